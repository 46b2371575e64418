#include "drawings/drawings.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "drawings/checks.h"
#include "drawings/hand_made.h"
#include "drawings/page_files.h"
#include "drawings/sheets.h"

namespace roomloom::testing {
namespace {

class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "roomloom-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) ADD_FAILURE() << "no folder " << name;
    path = name;
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::filesystem::path path;
};

std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

/// Length on paper of the two-point path of that name, mm.
double measured_mm(const std::string& svg, const std::string& name) {
  const std::size_t at = svg.find("data-name=\"" + name + "\"");
  if (at == std::string::npos) return -1;
  const std::size_t way = svg.find(" d=\"M", at);
  double x0 = 0;
  double y0 = 0;
  double x1 = 0;
  double y1 = 0;
  if (std::sscanf(svg.c_str() + way, " d=\"M%lf %lfL%lf %lf", &x0, &y0, &x1, &y1) != 4) return -1;
  return std::hypot(x1 - x0, y1 - y0);
}

const Page* page_named(const std::vector<Page>& pages, const std::string& part) {
  for (const Page& page : pages)
    if (page.stem.find(part) != std::string::npos) return &page;
  return nullptr;
}

}  // namespace

TEST(Drawings, PdfHoldsEveryRunAndHole) {
  const Folder folder;
  const HandMade made(12);
  const auto written = write_drawings(made.request(folder.path));
  ASSERT_TRUE(written) << to_text(written.error());
  const std::string text = text_of_pdf((folder.path / "drawings.pdf").string());
  if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
  for (const auto& run : made.ends.runs) EXPECT_TRUE(holds_word(text, run.id)) << run.id;
  EXPECT_TRUE(holds_word(text, "H1"));
}

TEST(Drawings, EveryNamedFileIsThereAndNoOther) {
  const Folder folder;
  const auto written = write_drawings(HandMade(3).request(folder.path));
  ASSERT_TRUE(written) << to_text(written.error());
  std::size_t found = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path)) {
    ++found;
    EXPECT_NE(
        std::find(written->files.begin(), written->files.end(), entry.path().filename().string()),
        written->files.end())
        << entry.path();
  }
  EXPECT_EQ(found, written->files.size());
  EXPECT_TRUE(std::filesystem::exists(folder.path / "overview.png"));
}

TEST(Drawings, DimensionMeasuredOnPaperIsTheModelsAtScale) {
  const Lettering lettering;
  const std::vector<Page> pages = draw_sheets(HandMade(4).request(""), lettering);
  const Page* ceiling = page_named(pages, "ceiling");
  ASSERT_NE(ceiling, nullptr);
  ASSERT_EQ(ceiling->scale.substr(0, 2), "1:");
  const double scale = std::stod(ceiling->scale.substr(2));
  const std::string svg = svg_of(*ceiling);
  // By hand: the hole is at x = 2.0, y = 2.9; tile A4 spans x 1.8 to 2.4 and, seen from below with
  // the rear at the top, y from 2.4 (upper edge) down to 3.0... the sheet's v runs toward the rear.
  EXPECT_NEAR(measured_mm(svg, "Dimension H1 from left") * scale, 200, 0.5);
  EXPECT_NEAR(measured_mm(svg, "Dimension H1 from below") * scale, 100, 0.5);
}

TEST(Drawings, SayWhichWayTheFrontIsAndByAWallWhereNobodyListens) {
  const Lettering lettering;
  HandMade made(4);
  const auto said = [&](const std::string& sheet) {
    std::string words;
    for (const Page& page : draw_sheets(made.request(""), lettering)) {
      if (page.stem.find(sheet) == std::string::npos) continue;
      for (const TextMark& text : texts_of(page))
        if (text.text.find("this way ") == 0 ||
            text.text.find("is behind you") != std::string::npos)
          words = text.text;
    }
    return words;
  };
  EXPECT_EQ(said("void-plan"), "this way to the front");
  EXPECT_EQ(said("back-of-stand"), "the front is behind you");
  made.ends.listener.reset();
  // Who holds the paper sees no axes of the model, but walls.
  EXPECT_EQ(said("void-plan"), "this way to Wall front");
  EXPECT_EQ(said("ceiling"), "this way to Wall front");
  EXPECT_EQ(said("back-of-stand"), "Wall front is behind you");
  made.room.sheets[0].front_air = -1;  // no wall stands there
  EXPECT_EQ(said("void-plan"), "this way +y in the model");
}

namespace {

std::vector<double> segments_mm(const PathMark& path) {
  std::vector<double> lengths;
  for (std::size_t i = 0; i + 1 < path.points.size(); ++i)
    lengths.push_back(norm(path.points[i + 1] - path.points[i]));
  return lengths;
}

std::vector<PathMark> paths_of(const Page& page, const std::string& start) {
  std::vector<PathMark> paths;
  for (const Mark& mark : page.marks)
    if (const auto* path = std::get_if<PathMark>(&mark))
      if (path->name.rfind(start, 0) == 0) paths.push_back(*path);
  return paths;
}

/// Is the text there, or begins one with it?
bool says(const Page& page, const std::string& start) {
  const std::vector<TextMark> texts = texts_of(page);
  return std::any_of(texts.begin(), texts.end(),
                     [&](const TextMark& text) { return text.text.rfind(start, 0) == 0; });
}

}  // namespace

TEST(Drawings, KeyShowsSupportsAsTheyAreDrawn) {
  const Lettering lettering;
  HandMade made(3);
  made.ends.ends[1].state = EndState::coiled;
  made.shapes.supports = {{{2, 2, 2.5}, {}, {0, 1, 0}}};
  const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
  const Page* page = page_named(pages, "void-plan");
  ASSERT_NE(page, nullptr);
  int strokes = 0;
  for (const PathMark& sample : paths_of(*page, "Sample")) {
    if (sample.points.size() == 2) continue;
    ++strokes;
    const std::vector<PathMark> drawn = paths_of(*page, "Support ");
    EXPECT_TRUE(std::any_of(drawn.begin(), drawn.end(), [&](const PathMark& support) {
      const std::vector<double> a = segments_mm(sample);
      const std::vector<double> b = segments_mm(support);
      return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                        [](double x, double y) { return std::abs(x - y) < 0.01; });
    })) << strokes;
  }
  EXPECT_EQ(strokes, 2);  // along the ways, and of coils
}

TEST(Drawings, SectionsHaveABarByWhichTheirSizeIsChecked) {
  const Lettering lettering;
  for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
    for (const int runs : {2, 80}) {
      HandMade made(runs);
      made.job.units = units;
      const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
      const Page* page = page_named(pages, "trunks");
      ASSERT_NE(page, nullptr);
      const std::size_t colon = page->scale.find(':');
      const double scale = std::stod(page->scale) / std::stod(page->scale.substr(colon + 1));
      double told_mm = 0;
      for (const TextMark& text : texts_of(*page))
        if (text.text.rfind("scale bar: ", 0) == 0)
          told_mm = 1000 * parse_length(text.text.substr(11)).value();
      double longest = 0;
      for (const PathMark& sample : paths_of(*page, "Sample"))
        if (sample.points.size() == 6) longest = segments_mm(sample)[2];
      EXPECT_GT(longest, 4);
      EXPECT_NEAR(longest / scale, told_mm, 0.5 / scale);
    }
  }
}

TEST(Drawings, NameAUnitOnlyWhereThereAreDimensions) {
  const Lettering lettering;
  HandMade made(4);
  for (const Page& page : draw_sheets(made.request(""), lettering)) {
    const bool figures = !paths_of(page, "Dimension").empty();
    EXPECT_EQ(says(page, "Dimensions in millimetres"), figures) << page.title;
  }
  made.job.units = DisplayUnits::feet_and_inches;
  const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
  EXPECT_TRUE(says(*page_named(pages, "void-plan"), "Dimensions in feet and inches; "));
  const Page* stand = page_named(pages, "back-of-stand");
  EXPECT_FALSE(says(*stand, "Dimensions"));
  EXPECT_TRUE(std::any_of(stand->marks.begin(), stand->marks.end(), [](const Mark& mark) {
    const auto* text = std::get_if<TextMark>(&mark);
    return text != nullptr && text->text.find(" on paper is 1 ft") != std::string::npos;
  }));
}

TEST(Drawings, SlopeTellsHowItsHeightsAreFoundWithALevel) {
  const Lettering lettering;
  HandMade made(2);
  Sheet slope;
  slope.name = "Slope";
  slope.role = SheetRole::slope;
  slope.frame = {{0, 0, 1.35}, {1, 0, 0}, {0, 0.8, 0.6}, {0, 0.6, -0.8}};
  slope.region.outline = {{0, 0}, {4, 0}, {4, 2}, {0, 2}};
  slope.front_air = 0;
  made.room.floor_z_m = 0.25;
  made.room.sheets.push_back(slope);
  made.ends.ends[1].place = {{1, 0.8, 1.95}, {PlaceKind::sheet, 2}, slope.frame.n};
  const auto said = [&](const std::string& sheet) {
    std::string all;
    for (const Page& page : draw_sheets(made.request(""), lettering))
      if (page.stem.find(sheet) != std::string::npos)
        for (const TextMark& text : texts_of(page))
          all += text.text.rfind("  ", 0) == 0 ? text.text.substr(1) : " " + text.text;
    const std::size_t at = all.find("Heights begin");
    return at == std::string::npos ? "" : all.substr(at, all.find('.', at) + 1 - at);
  };
  // A slope of 3 : 4 : 5: 1000 along it rise by 600, a foot by 7.2 in. 1.1 m are 43.31 in.
  EXPECT_EQ(said("slope"),
            "Heights begin 1100 above the floor; each 1000 along the slope is 600 higher.");
  made.job.units = DisplayUnits::feet_and_inches;
  EXPECT_EQ(said("slope"),
            "Heights begin 3 ft 7 5/16 in above the floor; each 1 ft along the slope is 7 3/16 in "
            "higher.");
  EXPECT_EQ(said("wall-front"), "");
}

TEST(Drawings, GearHasThePageToItselfWhereItsTableGoesOnOverThePage) {
  const Lettering lettering;
  HandMade made(40);
  GearBox& gear = made.ends.gear[0];
  gear.frame.origin.x = 2.8;
  gear.size = {1.6, 0.4, 0.6};
  for (int i = 0; i < 40; ++i) {  // in four rows, 7 mm from each other at 1:20
    End& port = made.ends.ends[static_cast<std::size_t>(2 * i)];
    port.id = "amplifier beside the door." + std::to_string(i + 1);
    port.place.position = {1.3 + 0.14 * (i % 10), 2.7, 0.1 + 0.12 * (i / 10)};
    made.takeoff.runs[static_cast<std::size_t>(i)].cable = "a cable with a long name";
  }
  std::vector<Page> stand;
  for (Page& page : draw_sheets(made.request("", Paper::a4), lettering))
    if (page.title == "Back of the stand") stand.push_back(std::move(page));
  ASSERT_EQ(stand.size(), 2U);
  EXPECT_FALSE(says(stand[0], "Goes to"));
  // 1.6 m of gear are 160 mm at 1:10, of 205 mm beside the column.
  EXPECT_EQ(stand[0].scale, "1:10");
}

TEST(Drawings, ManyHolesCostAPlanNeitherItsScaleNorAPage) {
  const Lettering lettering;
  HandMade made(30);
  const auto plan = [&] {
    std::vector<Page> pages;
    for (Page& page : draw_sheets(made.request("", Paper::a4), lettering))
      if (page.title.rfind("Plan of the void", 0) == 0) pages.push_back(std::move(page));
    return pages;
  };
  const std::string scale = plan().front().scale;
  for (int i = 0; i < 30; ++i) {
    HoleShape hole = made.shapes.holes[0];
    hole.name = "H" + std::to_string(i + 2);
    hole.centre = made.ends.ends[static_cast<std::size_t>(2 * i + 1)].place.position;
    hole.runs = {i};
    made.shapes.holes.push_back(hole);
  }
  const std::vector<Page> pages = plan();
  EXPECT_EQ(pages.size(), 1U);
  EXPECT_EQ(pages.front().scale, scale);
  std::string all;
  for (const TextMark& text : texts_of(pages.front())) all += text.text + " ";
  for (int i = 0; i < 30; ++i)
    EXPECT_TRUE(holds_word(all, "H" + std::to_string(i + 2) + ": R" + std::to_string(i + 1))) << i;
}

TEST(Drawings, StubOfARunBesideTheHoleThatTellsItHasNoNameOfItsOwn) {
  const Lettering lettering;
  HandMade made(17);
  const auto named = [&](const std::string& wanted) {
    const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
    const std::vector<TextMark> texts = texts_of(*page_named(pages, "void-plan"));
    return std::any_of(texts.begin(), texts.end(),
                       [&](const TextMark& text) { return text.text == wanted; });
  };
  // It leaves the trunk 0.2 m before its end, 10 mm on paper.
  EXPECT_TRUE(named("R10"));
  HoleShape hole = made.shapes.holes[0];
  hole.name = "H2";
  hole.centre = made.ends.ends[19].place.position;
  hole.runs = {9};
  made.shapes.holes.push_back(hole);
  EXPECT_FALSE(named("R10"));
  EXPECT_TRUE(named("H2: R10"));
  EXPECT_TRUE(named("R17"));  // 1.6 m of it lie by themselves
}

TEST(Drawings, NoTextLiesOnAnotherOnAnyPaper) {
  const Lettering lettering;
  for (const Paper paper : {Paper::a3, Paper::a4, Paper::letter}) {
    for (const int runs : {1, 12, 80}) {
      for (const Page& page : draw_sheets(HandMade(runs).request("", paper), lettering))
        expect_readable(page);
    }
  }
}

TEST(Drawings, NoTextLiesOnAnotherInFeetAndInches) {
  const Lettering lettering;
  HandMade made(20);
  made.job.units = DisplayUnits::feet_and_inches;
  for (const Page& page : draw_sheets(made.request("", Paper::letter), lettering))
    expect_readable(page);
}

TEST(Drawings, HostileNamesDoNoHarm) {
  const Folder folder;
  HandMade made(6);
  const std::string evil[] = {"<script>alert(1)</script>",
                              "\"' onload=\"x\" &amp; ]]>",
                              "=cmd|' /C calc'!A0",
                              "\xE2\x80\xAE"
                              "gnirts\xE2\x80\xAC",
                              std::string(10000, 'W'),
                              std::string("\xC3\x28\x00\x01", 4)};
  for (std::size_t i = 0; i < 6; ++i) {
    made.ends.runs[i].id = evil[i];
    made.takeoff.runs[i].id = evil[i];
    made.ends.ends[2 * i + 1].id = evil[(i + 1) % 6];
  }
  made.job.name = evil[4] + evil[0];
  made.room.sheets[0].name = "../../<b>" + evil[3];
  made.ends.gear[0].id = "/etc/../" + evil[1];
  for (std::size_t i = 0; i < 6; ++i) made.ends.ends[2 * i].gear = made.ends.gear[0].id;
  const auto written = write_drawings(made.request(folder.path));
  ASSERT_TRUE(written) << to_text(written.error());
  for (const std::string& name : written->files) {
    EXPECT_EQ(name.find_first_of("/\\<>\"' "), std::string::npos) << name;
    EXPECT_LT(name.size(), 80U);
    if (name.size() < 4 || name.substr(name.size() - 4) != ".svg") continue;
    const std::string svg = bytes_of(folder.path / name);
    EXPECT_EQ(svg.find("<script"), std::string::npos) << name;
    EXPECT_EQ(svg.find("\" onload"), std::string::npos) << name;
    EXPECT_EQ(svg.find("\xE2\x80\xAE"), std::string::npos) << name;
    EXPECT_EQ(svg.find(std::string(200, 'W')), std::string::npos) << name;
    EXPECT_EQ(svg.find('\x01'), std::string::npos) << name;
  }
  const std::string text = text_of_pdf((folder.path / "drawings.pdf").string());
  EXPECT_EQ(text.find("\xE2\x80\xAE"), std::string::npos);
  EXPECT_EQ(text.find(std::string(200, 'W')), std::string::npos);
  const Lettering lettering;
  for (const Page& page : draw_sheets(made.request(folder.path), lettering)) expect_readable(page);
}

TEST(Drawings, SamePlanGivesTheSameBytes) {
  const Folder one;
  const Folder two;
  const HandMade made(9);
  const auto first = write_drawings(made.request(one.path));
  const auto second = write_drawings(made.request(two.path));
  ASSERT_TRUE(first && second);
  ASSERT_EQ(first->files, second->files);
  for (const std::string& name : first->files)
    EXPECT_TRUE(bytes_of(one.path / name) == bytes_of(two.path / name)) << name;
}

TEST(Drawings, FolderThatIsNotThereIsAnError) {
  const auto written = write_drawings(HandMade(1).request("/nonexistent/folder"));
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, "file.unwritable");
}

}  // namespace roomloom::testing
