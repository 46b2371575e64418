#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <set>

#include "base/files.h"
#include "drawings/checks.h"
#include "drawings/overview.h"
#include "drawings/page_files.h"
#include "drawings/pointed.h"
#include "drawings/sheets.h"
#include "drawings/shown.h"
#include "drawings/to_scale.h"
#include "pipeline/roomloom.h"

namespace roomloom::testing {
namespace {

/// pdftotext finds each run and each hole in the PDF of these sheets.
void expect_names_in_pdf(const std::vector<Page>& pages, const DrawingRequest& request,
                         const Lettering& lettering) {
  const auto pdf = pdf_of(pages, lettering, "test", request.program);
  ASSERT_TRUE(pdf) << to_text(pdf.error());
  std::string name = (std::filesystem::temp_directory_path() / "roomloom-XXXXXX").string();
  const int handle = mkstemp(name.data());
  ASSERT_GE(handle, 0);
  close(handle);
  const bool written = write_file(name, *pdf).has_value();
  const std::string text = written ? text_of_pdf(name) : "";
  std::filesystem::remove(name);
  ASSERT_TRUE(written);
  if (text.empty()) {
    std::puts("pdftotext is not installed: the PDF's text is not read");
    return;
  }
  for (const Run& run : request.ends.runs) EXPECT_TRUE(holds_word(text, run.id)) << run.id;
  for (const HoleShape& hole : request.shapes.holes)
    EXPECT_TRUE(holds_word(text, hole.name)) << hole.name;
}

bool has_text(const std::vector<TextMark>& texts, const std::string& wanted) {
  return std::any_of(texts.begin(), texts.end(),
                     [&](const TextMark& text) { return text.text == wanted; });
}

/// It stands there, or a number does, with a row in the column: "7: T3 × 4, at 500 across, 20 up".
bool has_name(const std::vector<TextMark>& texts, const std::string& wanted) {
  return std::any_of(texts.begin(), texts.end(), [&](const TextMark& text) {
    if (text.text == wanted) return true;
    const std::size_t colon = text.text.find(": ");
    if (colon == std::string::npos || !has_text(texts, text.text.substr(0, colon))) return false;
    const std::string row = text.text.substr(colon + 2);
    return row == wanted || row.rfind(wanted + ",", 0) == 0;
  });
}

/// Of the page and those that go on with its column.
std::vector<TextMark> all_texts_of(const std::vector<Page>& pages, std::size_t page) {
  std::vector<TextMark> texts = texts_of(pages[page]);
  for (std::size_t i = page + 1;
       i < pages.size() && pages[i].title == pages[page].title + ", continued"; ++i)
    for (TextMark& text : texts_of(pages[i])) texts.push_back(std::move(text));
  return texts;
}

/// "T3 × 4: S1 ..." in a sheet's key stands by a line of the same sheet: "T3 × 4".
void expect_keys_stand_by_lines(const std::vector<Page>& pages, std::size_t index) {
  const Page& page = pages[index];
  const std::vector<TextMark> texts = all_texts_of(pages, index);
  for (const TextMark& text : texts) {
    const std::size_t colon = text.text.find(": ");
    if (colon == std::string::npos || text.text.rfind(" × ", colon) == std::string::npos) continue;
    EXPECT_TRUE(has_name(texts, text.text.substr(0, colon)))
        << page.title << ": the key names " << text.text << ", the drawing does not";
  }
}

/// The row that begins with some words, further lines included; empty if there is none.
std::string row_from(const std::vector<TextMark>& texts, const std::string& start) {
  std::string row;
  for (const TextMark& text : texts) {
    if (row.empty() ? text.text.rfind(start, 0) == 0 : text.text.rfind("  ", 0) == 0)
      row += row.empty() ? text.text : text.text.substr(1);
    else if (!row.empty())
      break;
  }
  return row;
}

/// Each piece of raceway has its name on the sheet of the face that it lies on, and its row
/// there, which tells both its ends whole.
void expect_pieces_named(const std::vector<Page>& pages, const DrawingRequest& r) {
  constexpr double kJoint_m = 0.01;  // shorter is a joint: in the column only
  for (const RacewayPiece& piece : r.takeoff.raceway_pieces) {
    const std::string& sheet = r.room.sheets[static_cast<std::size_t>(piece.sheet)].name;
    bool named = piece.length_m < kJoint_m;
    bool listed = false;
    for (std::size_t i = 0; i < pages.size(); ++i) {
      if (pages[i].title.rfind(plain_text(sheet, 30) + " from ", 0) != 0) continue;
      const std::vector<TextMark> texts = all_texts_of(pages, i);
      named = named || has_name(texts, piece.name);
      const std::string row = row_from(texts, piece.name + " · ");
      listed = listed || (row.find(": " + piece.start + " / ") != std::string::npos &&
                          row.find(" / " + piece.end) != std::string::npos);
    }
    EXPECT_TRUE(named && listed) << piece.name << " is not on the sheet of " << sheet;
  }
}

/// Each box stands on the sheet of its face, and the column there tells of it.
void expect_boxes_drawn(const std::vector<Page>& pages, const DrawingRequest& r) {
  for (const OutletBox& box : r.takeoff.boxes) {
    const std::string& sheet = r.room.sheets[static_cast<std::size_t>(box.sheet)].name;
    int drawn = 0;
    bool named = false;
    for (std::size_t i = 0; i < pages.size(); ++i) {
      if (pages[i].title.rfind(plain_text(sheet, 30) + " from ", 0) != 0) continue;
      for (const Mark& mark : pages[i].marks)
        if (const auto* path = std::get_if<PathMark>(&mark))
          drawn += path->name == "Box " + box.name ? 1 : 0;
      const std::vector<TextMark> texts = all_texts_of(pages, i);
      named = named || !row_from(texts, box.name + " · ").empty();
    }
    EXPECT_EQ(drawn, 1) << box.name << " on " << sheet;
    EXPECT_TRUE(named) << box.name << " on " << sheet;
  }
}

/// Every hook that is bought is drawn: supports along the ways, and one for each coil.
void expect_supports_drawn(const std::vector<Page>& pages, const DrawingRequest& r) {
  std::set<std::string> along;
  std::set<std::string> of_coils;
  for (const Page& page : pages) {
    for (const Mark& mark : page.marks) {
      const auto* path = std::get_if<PathMark>(&mark);
      if (path == nullptr || path->name.rfind("Support ", 0) != 0) continue;
      (path->name.rfind("Support of", 0) == 0 ? of_coils : along).insert(path->name);
    }
  }
  EXPECT_EQ(along.size(), static_cast<std::size_t>(r.takeoff.supports));
  double hooks = 0;
  for (const Table& table : r.takeoff.tables)
    for (const auto& row : table.rows)
      if (table.id == "shopping" && std::get<std::string>(row[1]).rfind("hook ", 0) == 0)
        hooks += std::get<double>(row[2]);
  EXPECT_EQ(static_cast<double>(along.size() + of_coils.size()), hooks);
}

bool said(const std::vector<Page>& pages, const std::string& title, const std::string& words) {
  return std::any_of(pages.begin(), pages.end(), [&](const Page& page) {
    const std::vector<TextMark> texts = texts_of(page);
    return page.title.rfind(title, 0) == 0 &&
           std::any_of(texts.begin(), texts.end(), [&](const TextMark& text) {
             return text.text.find(words) != std::string::npos;
           });
  });
}

/// The back of the gear tells what is kept there; ends left coiled say so.
void expect_words(const std::vector<Page>& pages, const DrawingRequest& r) {
  for (std::size_t i = 0; i < r.ends.runs.size(); ++i) {
    for (const int index : {r.ends.runs[i].from, r.ends.runs[i].to}) {
      const End& end = r.ends.ends[static_cast<std::size_t>(index)];
      if (end.state != EndState::coiled || !end.gear.empty()) continue;
      EXPECT_TRUE(said(pages, "", plain_text(end.id, 24) + " · " + r.ends.runs[i].id + " · coiled"))
          << end.id;
    }
    for (const Addend& addend : r.shapes.cables[i].addends) {
      const bool start = addend.name == "loop at from";
      const End& end =
          r.ends.ends[static_cast<std::size_t>(start ? r.ends.runs[i].from : r.ends.runs[i].to)];
      const bool loop = start || addend.name == "loop at to";
      if (!loop || addend.metres <= 0 || end.gear.empty()) continue;
      EXPECT_TRUE(said(pages, "Back of the " + plain_text(end.gear, 24),
                       "loop " + (r.job.units == DisplayUnits::metric
                                      ? format_length(addend.metres, r.job.units, 2)
                                      : "1 ft 8 in")))  // 500 mm are 19.7 in
          << r.ends.runs[i].id;
    }
  }
}

/// A section of raceway, "T3 · 40 x 25", tells how full it is: by the circles drawn in its cell.
void expect_fill_told(const Page& page, const PaperBox& cell, const DrawingRequest& r) {
  const std::size_t colon = page.scale.find(':');
  const double metres = std::stod(page.scale.substr(colon + 1)) / std::stod(page.scale) / 1000;
  double area_m2 = 0;
  for (const Mark& mark : page.marks) {
    const auto* face = std::get_if<CircleMark>(&mark);
    if (face && face->name.rfind("Run ", 0) == 0 && cell.contains({face->centre, face->centre}))
      area_m2 += kPi * std::pow(face->radius_mm * metres, 2);
  }
  std::string title;
  std::string fill;
  for (const TextMark& text : texts_of(page)) {
    if (!cell.contains(text.box)) continue;
    if (text.bold && title.empty()) title = text.text;
    if (text.text.rfind("filled to ", 0) == 0) fill = text.text;
  }
  for (const RacewayType& type : r.job.catalogue.raceways) {
    const std::size_t at = title.find(" · " + type.id);
    if (at == std::string::npos || type.usable_area_m2 <= 0) continue;
    ASSERT_FALSE(fill.empty()) << title;
    EXPECT_NEAR(std::stod(fill.substr(10)), 100 * area_m2 / type.usable_area_m2, 1) << title;
    EXPECT_NE(fill.find("limit " + format_number(100 * r.job.prefer.fill_limit, 0) + " %"),
              std::string::npos)
        << title << ": " << fill;
    return;
  }
}

/// No cell of a section stands empty. @return how many cells there are
int expect_sections_filled(const Page& page, const DrawingRequest& r) {
  if (page.title.rfind("Cross-sections", 0) != 0) return 0;
  int cells = 0;
  for (const Mark& mark : page.marks) {
    const auto* cell = std::get_if<PathMark>(&mark);
    if (cell == nullptr || !cell->closed || !cell->pen || !(cell->pen->colour == shade(0.75)))
      continue;
    ++cells;
    const PaperBox box{cell->points[0], cell->points[2]};
    EXPECT_TRUE(std::any_of(page.marks.begin(), page.marks.end(),
                            [&](const Mark& other) {
                              const auto* face = std::get_if<CircleMark>(&other);
                              return face != nullptr && face->name.rfind("Run ", 0) == 0 &&
                                     box.contains({face->centre, face->centre});
                            }))
        << "an empty cell at " << box.low.x << ", " << box.low.y;
    expect_fill_told(page, box, r);
  }
  return cells;
}

/// Sections stand in the order of their trunks, so that one is found among six sheets; what lies in
/// two raceways side by side is cut through both, each under the trunk's name.
void expect_sections_in_order(const std::vector<Page>& pages, const DrawingRequest& r) {
  std::vector<int> order;
  std::multiset<std::string> headings;
  for (const Page& page : pages) {
    if (page.title.rfind("Cross-sections", 0) != 0) continue;
    for (const TextMark& text : texts_of(page)) {
      if (!text.bold) continue;
      headings.insert(text.text);
      std::string name = text.text.substr(0, text.text.find(" · "));
      if (name.rfind("part of ", 0) == 0) name = name.substr(8);
      const std::size_t digits = name.find_first_of("0123456789");
      const bool run = std::any_of(r.ends.runs.begin(), r.ends.runs.end(),
                                   [&](const Run& one) { return one.id == name; });
      if (!run && name[0] == 'T' && name.find(' ') == std::string::npos &&
          digits != std::string::npos)
        order.push_back(std::stoi(name.substr(digits)));
    }
  }
  EXPECT_GT(order.size(), 8U);
  EXPECT_TRUE(std::is_sorted(order.begin(), order.end()));
  const auto beside = [](const RacewayShape& a, const RacewayShape& b) {
    return a.runs != b.runs && a.runs.size() > 1 && b.runs.size() > 1 &&
           distance(0.5 * (a.from + a.to), 0.5 * (b.from + b.to)) < 0.12 &&
           norm(cross(normalized(a.to - a.from), normalized(b.to - b.from))) < 0.01;
  };
  for (const RacewayShape& a : r.shapes.raceways) {
    for (const RacewayShape& b : r.shapes.raceways) {
      if (!beside(a, b)) continue;
      EXPECT_GT(std::count_if(headings.begin(), headings.end(),
                              [](const std::string& one) { return one.rfind("part of ", 0) == 0; }),
                1);
      return;
    }
  }
}

/// The overview's names lie on no other and within the picture, and each end is named.
void expect_overview_lettered(const DrawingRequest& r, const Lettering& lettering) {
  const Page page = names_in_room(draw_room(r), r, lettering);
  expect_readable(page);
  const std::vector<TextMark> texts = texts_of(page);
  for (const Run& run : r.ends.runs) {
    for (const int index : {run.from, run.to}) {
      const End& end = r.ends.ends[static_cast<std::size_t>(index)];
      const std::string start = plain_text(end.id, 24) + " · ";
      EXPECT_TRUE(!end.gear.empty() ||
                  std::any_of(texts.begin(), texts.end(),
                              [&](const TextMark& text) { return text.text.rfind(start, 0) == 0; }))
          << end.id << " has no name in the overview";
    }
  }
}

/// All that must hold of a demo room's sheets, on every paper, in both systems of units.
void hold_room(const std::string& room, int least_sheets) {
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.reader_program = ROOMLOOM_BIN_DIR "/roomloom-read";
  auto p = plan_job(ROOMLOOM_SOURCE_DIR "/models/" + room + "/job.json", options);
  ASSERT_TRUE(p) << to_text(p.error());
  const Lettering lettering;
  const DisplayUnits own_units = p->job.units;
  Pointed pointed;
  for (const Paper paper : {Paper::a3, Paper::a4, Paper::letter}) {
    for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
      SCOPED_TRACE("paper " + std::to_string(static_cast<int>(paper)) + ", units " +
                   std::to_string(static_cast<int>(units)));
      p->job.units = units;
      const DrawingRequest request{p->job,    p->scene, p->room,          p->ends,
                                   p->tracks, p->plan,  p->shapes,        p->takeoff,
                                   "",        paper,    program_version()};
      const std::vector<Page> pages = draw_sheets(request, lettering);
      EXPECT_GE(pages.size(), static_cast<std::size_t>(least_sheets));
      Measured measured;
      int cells = 0;
      std::vector<HeldSheet> sheets;
      for (std::size_t i = 0; i < pages.size(); ++i) {
        const Page& page = pages[i];
        expect_readable(page);
        expect_labels_point(page, pointed);
        expect_no_line_covered(page);
        expect_ports_clear(page);
        expect_no_leaders_cross(page);
        // As it is delivered, all has its name beside it.
        if (paper == Paper::a3 && units == own_units) {
          EXPECT_EQ(page.unnamed, 0) << page.title;
        }
        if (page.title.find(", continued") == std::string::npos)
          expect_keys_stand_by_lines(pages, i);
        cells += expect_sections_filled(page, request);
        if (auto sheet = held(page, request)) sheets.push_back(std::move(*sheet));
      }
      for (const HeldSheet& sheet : sheets) expect_to_scale(sheet, request, measured);
      expect_all_shown(sheets, pages, request);
      expect_names_in_pdf(pages, request, lettering);
      expect_pieces_named(pages, request);
      expect_sections_in_order(pages, request);
      if (paper == Paper::a3) {
        expect_supports_drawn(pages, request);
        expect_boxes_drawn(pages, request);
        expect_words(pages, request);
        expect_overview_lettered(request, lettering);
      }
      EXPECT_GT(cells, 10);
      EXPECT_GT(measured.dimensions, 20);
      EXPECT_GT(measured.raceways, 5);
      EXPECT_GT(measured.cables, 10);
      EXPECT_GT(measured.ports, 10);
    }
  }
  EXPECT_GT(pointed.leaders, 10);
  EXPECT_GT(pointed.beside, 100);
}

}  // namespace

TEST(DemoRoomDrawings, AlderHallIsReadableToScaleAndWhole) {
  hold_room("alder-hall", 9);  // void, ceiling, floor, four walls, trunks, stand
}

TEST(DemoRoomDrawings, ClassroomIsReadableToScaleAndWhole) { hold_room("classroom", 12); }

TEST(DemoRoomDrawings, AtticStudioIsReadableToScaleAndWhole) { hold_room("attic-studio", 8); }

}  // namespace roomloom::testing
