#include "types/recorded_holes.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

const std::string kTile = "tile A4";
constexpr double kThick_m = 0.015;

BuiltHole cut_at(double x, double wide_m) { return {kTile, {x, 0, 2.5}, wide_m}; }

HoleToFind planned_at(double x, double wide_m) {
  return {kTile, {x, 0, 2.5}, {x, 0, 2.5}, {0, 0, 1}, wide_m};
}

/// A run that passes the tile; `down` = from above.
BuiltRun passing_at(double x, double wide_m, bool down = false) {
  WayStretch stretch;
  stretch.from = {x, 0, 2.5};
  stretch.to = {x, 0, 2.5 + kThick_m};
  if (down) std::swap(stretch.from, stretch.to);
  stretch.kind = "crossing";
  stretch.place = kTile;
  stretch.hole_diameter_m = wide_m;
  BuiltRun run;
  run.track = {stretch};
  return run;
}

TEST(RecordedHoles, StandForOnePlannedHoleEachTheNearestFirst) {
  AsBuilt built;
  built.holes = {cut_at(0, 0.02), cut_at(0.033, 0.01)};
  const auto recorded = recorded_holes(built);
  const std::vector<HoleToFind> planned{planned_at(0.012, 0.02), planned_at(0.001, 0.02),
                                        planned_at(0.2, 0.02)};
  EXPECT_EQ(match_holes(planned, recorded), (std::vector<int>{-1, 0, -1}))
      << "the first overlaps the record of the second, and the other record by nothing";
}

TEST(RecordedHoles, ThatHaveNothingInCommonWithAPlannedOneAreAnother) {
  AsBuilt built;
  built.holes = {cut_at(0, 0.01)};
  EXPECT_EQ(match_holes({planned_at(0.033, 0.016)}, recorded_holes(built)), std::vector<int>{-1});
  EXPECT_EQ(match_holes({planned_at(0.012, 0.016)}, recorded_holes(built)), std::vector<int>{0});
  HoleToFind elsewhere = planned_at(0, 0.016);
  elsewhere.crossing = "tile A5";
  EXPECT_EQ(match_holes({elsewhere}, recorded_holes(built)), std::vector<int>{-1});
}

TEST(RecordedHoles, AreFoundWhereTheirWaysPassThoughLanesLieBesideThem) {
  AsBuilt built;
  built.holes = {cut_at(0.02, 0.01)};
  built.holes[0].passed_at = Vec3{0, 0, 2.5};
  HoleToFind planned = planned_at(-0.015, 0.01);
  planned.passed_at = {0, 0, 2.5};
  EXPECT_EQ(match_holes({planned}, recorded_holes(built)), std::vector<int>{0});
  built.holes[0].passed_at.reset();
  EXPECT_EQ(match_holes({planned}, recorded_holes(built)), std::vector<int>{-1});
}

TEST(RecordedHoles, AreToldOnceByTheRunsThatPassThemWhicheverWay) {
  AsBuilt built;
  built.runs = {passing_at(0, 0.01), passing_at(0, 0.01, true), passing_at(0.033, 0.01)};
  EXPECT_EQ(recorded_holes(built).size(), 2U);
  built.holes = {cut_at(0.004, 0.029)};
  const auto recorded = recorded_holes(built);
  ASSERT_EQ(recorded.size(), 2U) << "the entry is the hole of the first two";
  EXPECT_DOUBLE_EQ(recorded[0].diameter_m, 0.029);
  EXPECT_NEAR(recorded[0].passed_at.x, 0, 1e-12);
  EXPECT_FALSE(recorded[1].is_placed);
  EXPECT_EQ(match_holes({planned_at(0.033, 0.01), planned_at(0, 0.02)}, recorded),
            (std::vector<int>{1, 0}));
}

TEST(RecordedHoles, ByTheirCrossingsNameAloneAreOneHoleOfIt) {
  AsBuilt built;
  built.holes = {{kTile, {}, 0}};
  EXPECT_EQ(match_holes({planned_at(0, 0.02), planned_at(0.2, 0.02)}, recorded_holes(built)),
            (std::vector<int>{0, -1}));
  built.runs = {passing_at(0.2, 0.02)};
  const auto recorded = recorded_holes(built);
  ASSERT_EQ(recorded.size(), 1U);
  EXPECT_EQ(match_holes({planned_at(0, 0.02), planned_at(0.2, 0.02)}, recorded),
            (std::vector<int>{-1, 0}));
}

TEST(RecordedHoles, AreWidenedOnlyByACircleThatHoldsThem) {
  AsBuilt built;
  built.holes = {cut_at(0, 0.008)};
  const RecordedHole hole = recorded_holes(built)[0];
  EXPECT_EQ(work_on(hole, planned_at(0.004, 0.016)), HoleWork::widen);
  EXPECT_EQ(work_on(hole, planned_at(0.006, 0.016)), HoleWork::other);
  EXPECT_EQ(work_on(hole, planned_at(0.006, 0.008)), HoleWork::none);
}

}  // namespace
}  // namespace roomloom
