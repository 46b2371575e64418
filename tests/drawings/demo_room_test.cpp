#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>

#include "base/files.h"
#include "drawings/checks.h"
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

/// No cell of a section stands empty. @return how many cells there are
int expect_sections_filled(const Page& page) {
  if (page.title.rfind("Cross-sections", 0) != 0) return 0;
  int cells = 0;
  for (const Mark& mark : page.marks) {
    const auto* cell = std::get_if<PathMark>(&mark);
    if (cell == nullptr || !cell->closed || !cell->pen || !(cell->pen->colour == shade(0.75)))
      continue;
    ++cells;
    const Box2 box{cell->points[0], cell->points[2]};
    EXPECT_TRUE(std::any_of(page.marks.begin(), page.marks.end(),
                            [&](const Mark& other) {
                              const auto* face = std::get_if<CircleMark>(&other);
                              return face != nullptr && face->name.rfind("Run ", 0) == 0 &&
                                     box.contains({face->centre, face->centre});
                            }))
        << "an empty cell at " << box.low.x << ", " << box.low.y;
  }
  return cells;
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
        expect_no_leaders_cross(page);
        // As it is delivered, all has its name beside it.
        if (paper == Paper::a3 && units == own_units) {
          EXPECT_EQ(page.unnamed, 0) << page.title;
        }
        if (page.title.find(", continued") == std::string::npos)
          expect_keys_stand_by_lines(pages, i);
        cells += expect_sections_filled(page);
        if (auto sheet = held(page, request)) sheets.push_back(std::move(*sheet));
      }
      for (const HeldSheet& sheet : sheets) expect_to_scale(sheet, request, measured);
      expect_all_shown(sheets, pages, request);
      expect_names_in_pdf(pages, request, lettering);
      expect_pieces_named(pages, request);
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
