#include <gtest/gtest.h>

#include "drawings/checks.h"
#include "drawings/sheets.h"
#include "pipeline/roomloom.h"

namespace roomloom::testing {

TEST(DemoRoomDrawings, AlderHallIsReadableOnEveryPaper) {
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.reader_program = ROOMLOOM_BIN_DIR "/roomloom-read";
  const auto p = plan_job(ROOMLOOM_SOURCE_DIR "/models/alder-hall/job.json", options);
  ASSERT_TRUE(p) << to_text(p.error());
  const Lettering lettering;
  for (const Paper paper : {Paper::a3, Paper::a4, Paper::letter}) {
    const std::vector<Page> pages =
        draw_sheets({p->job, p->scene, p->room, p->ends, p->tracks, p->plan, p->shapes, p->takeoff,
                     "", paper, program_version()},
                    lettering);
    EXPECT_GE(pages.size(), 8U);  // void, ceiling, four walls, trunks, stand at least
    for (const Page& page : pages) expect_readable(page);
  }
}

}  // namespace roomloom::testing
