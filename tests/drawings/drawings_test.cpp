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
