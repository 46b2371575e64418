#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>

#include "base/files.h"
#include "drawings/checks.h"
#include "drawings/page_files.h"
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

/// All that must hold of a demo room's sheets, on every paper, in both systems of units.
void hold_room(const std::string& room, int least_sheets) {
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.reader_program = ROOMLOOM_BIN_DIR "/roomloom-read";
  auto p = plan_job(ROOMLOOM_SOURCE_DIR "/models/" + room + "/job.json", options);
  ASSERT_TRUE(p) << to_text(p.error());
  const Lettering lettering;
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
      std::vector<HeldSheet> sheets;
      for (const Page& page : pages) {
        expect_readable(page);
        EXPECT_EQ(struck_texts(page), 0) << page.title << ": leaders pass through texts";
        if (auto sheet = held(page, request)) sheets.push_back(std::move(*sheet));
      }
      for (const HeldSheet& sheet : sheets) expect_to_scale(sheet, request, measured);
      expect_all_shown(sheets, pages, request);
      expect_names_in_pdf(pages, request, lettering);
      EXPECT_GT(measured.dimensions, 20);
      EXPECT_GT(measured.raceways, 5);
      EXPECT_GT(measured.cables, 10);
      EXPECT_GT(measured.ports, 10);
    }
  }
}

}  // namespace

TEST(DemoRoomDrawings, AlderHallIsReadableToScaleAndWhole) {
  hold_room("alder-hall", 9);  // void, ceiling, floor, four walls, trunks, stand
}

TEST(DemoRoomDrawings, ClassroomIsReadableToScaleAndWhole) { hold_room("classroom", 12); }

TEST(DemoRoomDrawings, AtticStudioIsReadableToScaleAndWhole) { hold_room("attic-studio", 8); }

}  // namespace roomloom::testing
