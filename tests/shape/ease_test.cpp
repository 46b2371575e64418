#include "shape/ease.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "shape/fillet.h"
#include "shape/hand_room.h"
#include "shape/shape.h"

namespace roomloom {
namespace {

constexpr double kRadius = 0.03;

// Edge 1 is a hole, edge 2 and 3 lie in raceway.
EaseRules rules() {
  EaseRules rules;
  rules.radius_m = kRadius;
  rules.is_rigid = [](const PathEdge& edge) { return edge.edge == 1; };
  rules.in_raceway = [](const PathEdge& edge) { return edge.edge == 2 || edge.edge == 3; };
  rules.cap_m = [](const TrackPath&, std::size_t) { return Box3::kInf; };
  rules.is_clear = [](const PathEdge&, const Vec3&, const Vec3&) { return true; };
  return rules;
}

TrackPath path_of(const std::vector<Vec3>& points, const std::vector<int>& edges) {
  TrackPath path;
  path.points = points;
  for (const int edge : edges) path.edges.push_back({edge, true});
  return path;
}

double least_radius(const TrackPath& path) {
  std::vector<bool> rigid;
  for (const PathEdge& edge : path.edges) rigid.push_back(edge.edge == 1);
  const std::vector<double> caps(path.points.size(), Box3::kInf);
  double least = Box3::kInf;
  for (const Bend& bend : fillet_path(path.points, rigid, caps, kRadius).bends)
    least = std::min(least, bend.used_m);
  return least;
}

void expect_ends_kept(const TrackPath& before, const TrackPath& after) {
  EXPECT_EQ(before.points.front(), after.points.front());
  EXPECT_EQ(before.points.back(), after.points.back());
  EXPECT_EQ(after.points.size(), after.edges.size() + 1);
}

CableShapes shaped(const testing::HandRoom& hand) {
  return shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

}  // namespace

// The sharp corner wants 64 mm of the leg after it, which a kink of 0.25 mm cuts off at 49 mm.
TEST(Ease, ATurnOfAHairIsLeftOutWhereASharpCornerWantsItsLeg) {
  const double turn = 130 * kPi / 180;
  const Vec3 onward{std::cos(turn), 0, std::sin(turn)};
  const Vec3 kink = 0.049 * onward + Vec3{0, 0.25e-3, 0};
  const TrackPath path = path_of({{-1, 0, 0}, {0, 0, 0}, kink, onward}, {2, 3, 3});
  ASSERT_LT(least_radius(path), 0.8 * kRadius);
  const TrackPath eased = ease_corners(path, rules());
  EXPECT_NEAR(least_radius(eased), kRadius, 1e-9);
  expect_ends_kept(path, eased);
}

TEST(Ease, ATurnOfMoreThanAHairIsKeptInRaceway) {
  const double turn = 130 * kPi / 180;
  const Vec3 onward{std::cos(turn), 0, std::sin(turn)};
  const Vec3 kink = 0.049 * onward + Vec3{0, 2e-3, 0};
  const TrackPath path = path_of({{-1, 0, 0}, {0, 0, 0}, kink, onward}, {2, 3, 3});
  EXPECT_EQ(ease_corners(path, rules()).points.size(), path.points.size());
}

TEST(Ease, AnEndOnTheWallIsReachedFromATrackOffItInOneFullBend) {
  const TrackPath path = path_of({{0, 0, 0}, {1, 0, 0}, {1, 0.012, 0}}, {0, 0});
  ASSERT_LT(least_radius(path), kRadius / 2);
  const TrackPath eased = ease_corners(path, rules());
  EXPECT_NEAR(least_radius(eased), kRadius, 1e-9);
  expect_ends_kept(path, eased);
  EXPECT_LT(distance(eased.points[1], path.points[1]), 0.03);  // no further than it must
}

TEST(Ease, AStepBetweenTwoTracksBecomesASlantLongEnoughForBothBends) {
  const double step = 0.01;
  const TrackPath path = path_of({{0, 0, 0}, {1, 0, 0}, {1, step, 0}, {2, step, 0}}, {0, 0, 0});
  const TrackPath eased = ease_corners(path, rules());
  EXPECT_NEAR(least_radius(eased), kRadius, 1e-9);
  expect_ends_kept(path, eased);
  // Geometry: two arcs of radius r step aside by a over sqrt(4 a r - a^2) at the least.
  const double bends =
      2 * kRadius *
      std::tan(angle_between(eased.points[1] - eased.points[0], eased.points[2] - eased.points[1]) /
               2);
  EXPECT_GE(eased.points[2].x - eased.points[1].x + bends,
            std::sqrt(4 * step * kRadius - step * step) - 1e-6);
}

TEST(Ease, AHoleIsPassedOnItsAxis) {
  const TrackPath path = path_of({{0, 0, 0},
                                  {0, 0, 2},
                                  {0, 0.044, 2.05},
                                  {0, 0.044, 2.065},
                                  {0, 0.044, 2.165},
                                  {1, 0.044, 2.165}},
                                 {0, 0, 1, 0, 0});
  ASSERT_EQ(least_radius(path), 0);
  const TrackPath eased = ease_corners(path, rules());
  EXPECT_NEAR(least_radius(eased), kRadius, 1e-9);
  expect_ends_kept(path, eased);
  for (const Vec3& kept : {path.points[2], path.points[3]})
    EXPECT_NE(std::find(eased.points.begin(), eased.points.end(), kept), eased.points.end());
}

TEST(Ease, DoesNotLeaveARacewayAtACornerOfIt) {
  const TrackPath path = path_of({{0, 0, 0}, {1, 0, 0}, {1, 0.04, 0}, {2, 0.04, 0}}, {2, 2, 3});
  EXPECT_EQ(ease_corners(path, rules()).points, path.points);
}

TEST(Ease, DoesNotGoWhereItIsNotClear) {
  EaseRules blocked = rules();
  blocked.is_clear = [](const PathEdge&, const Vec3&, const Vec3&) { return false; };
  const TrackPath path = path_of({{0, 0, 0}, {1, 0, 0}, {1, 0.01, 0}, {2, 0.01, 0}}, {0, 0, 0});
  EXPECT_EQ(ease_corners(path, blocked).points, path.points);
}

TEST(Ease, LeavesAloneWhatHasItsRadius) {
  const TrackPath path = path_of({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {2, 1, 1}}, {0, 0, 0});
  EXPECT_EQ(ease_corners(path, rules()).points, path.points);
}

TEST(Ease, DoesNotDependOnWhichEndIsTheFirst) {
  TrackPath path =
      path_of({{0, 0, 0}, {1, 0, 0}, {1, 0.01, 0}, {1, 0.01, 1}, {1, 0.02, 1}}, {0, 0, 0, 0});
  const double length = ease_corners(path, rules()).length_m();
  std::reverse(path.points.begin(), path.points.end());
  EXPECT_NEAR(ease_corners(path, rules()).length_m(), length, 1e-9);
}

TEST(Ease, TouchingASheetIsNotPassingThroughIt) {
  testing::HandRoom hand;
  hand.sheet("Ceiling", {0, 0, 2.5}, {1, 0, 0}, {0, 1, 0}, 4, 4);
  EXPECT_EQ(sheets_passed({1, 1, 2}, {1, 1, 2.5}, hand.room), 0);
  EXPECT_EQ(sheets_passed({1, 1, 2}, {1, 1, 2.6}, hand.room), 1);
  EXPECT_EQ(sheets_passed({5, 1, 2}, {5, 1, 2.6}, hand.room), 0);
}

TEST(Ease, ARunIsPulledStraightOverTheMouthOfAHoleThatItDoesNotUse) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 2.5);
  const Vec3 up{0.012, 1, 2.45};
  const Vec3 mouth{0.05, 1.05, 2.5};
  const Vec3 on{0.012, 1.1, 2.45};
  hand.edge(up, mouth, Medium::free, wall, EdgeKind::lead_in);
  hand.edge(mouth, on, Medium::free, wall, EdgeKind::lead_in);
  hand.run("S1", {{0.012, 1, 0.5}, up, mouth, on, {0.012, 3, 2.45}}, 0, Medium::bare, wall);
  const CableShape shape = shaped(hand).cables[0];
  EXPECT_LT(shape.drawn_m, 1.95 + 2 + 0.01);
  for (const Piece& piece : shape.pieces) {
    const auto* line = std::get_if<Line3>(&piece);
    if (line != nullptr) {
      EXPECT_LT(line->to.x, 0.02);
    }
  }
  for (const Bend& bend : shape.bends) EXPECT_NEAR(bend.used_m, bend.required_m, 1e-9);
}

}  // namespace roomloom
