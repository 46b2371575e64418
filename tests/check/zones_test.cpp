#include <gtest/gtest.h>

#include "check/drawn_runs.h"

/// Cable at the side of a free zone, on centrelines made by hand.
namespace roomloom::check {
namespace {

/// Runs that go up behind gear along the zone's right side, and one of them bulges out of it by so
/// much at a place that is far from every surface.
std::size_t hanging(int count, double out_m) {
  Scene scene;
  scene.points = {{0, 0, -5}, {1, 0, -5}, {0, 1, -5}};
  scene.triangles = {{0, 1, 2}};
  Part part;
  part.name = part.path = "Floor";
  part.point_count = 3;
  part.triangle_count = 1;
  scene.parts = {part};
  Written written;
  written.plan.zones.push_back({"behind rack", {}, {1, 0.5, 2}});
  CableType cable;
  cable.diameter_m = 0.00635;
  std::vector<ListedRun> listed(static_cast<std::size_t>(count));
  std::vector<DrawnRun> runs;
  for (int i = 0; i < count; ++i) {
    DrawnRun run;
    run.id = "R" + std::to_string(i);
    run.cable = &cable;
    run.listed = &listed[static_cast<std::size_t>(i)];
    run.line = {{0.9, 0.3, 0.1}, {i == 0 ? 1 + out_m : 1.0, 0.3, 1}, {0.9, 0.3, 1.9}};
    runs.push_back(run);
  }
  Findings findings;
  check_surfaces(written, runs, scene, Job(), findings);
  return findings.items.size();
}

TEST(FreeZones, HoldTheirCablesAndLittleBeside) {
  EXPECT_EQ(hanging(1, 0), 0U);
  EXPECT_EQ(hanging(1, 0.03), 1U);
}

// Seventy-five cables of 6.35 mm are no thinner than 55 mm together: the root of the sum of their
// squares. Half of that lies beyond the side that their middle lies on.
TEST(FreeZones, HoldABundleThatLiesAlongTheirSide) {
  EXPECT_EQ(hanging(75, 0.02), 0U);
  EXPECT_EQ(hanging(75, 0.03), 1U);
  EXPECT_EQ(hanging(5, 0.02), 1U);
}

}  // namespace
}  // namespace roomloom::check
