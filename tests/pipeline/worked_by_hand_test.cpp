#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "pipeline/planning.h"

/// Lengths that one can work out on paper, in a box of 4 x 5 x 2.5 m without a suspended ceiling.
/// All runs are one network cable in raceway along the walls, 300 mm above the floor.
namespace roomloom::testing {
namespace {

constexpr double kDiameter = 0.00635;    // of "cat6"
constexpr double kBendRadius = 0.0254;   // four diameters
constexpr double kRacewayDepth = 0.016;  // outer, of the smallest raceway it can turn a corner in
constexpr double kClearDepth = 0.0135;   // within it
/// How far a cable's middle may lie from the middle of that raceway.
constexpr double kLane = (kClearDepth - kDiameter) / 2;
/// What a fillet saves against its corner, for each metre of its radius: 2 tan(45 deg) - pi / 2.
const double kSaving = 2 - kPi / 2;

std::string job(const std::string& runs) {
  return R"({ "model": { "file": "room.glb" }, "prefer": "least cable",
    "ends": [ { "id": "a", "at": "Wall front", "from_left": 1, "up": 0.3 },
              { "id": "b", "at": "Wall front", "from_left": 3, "up": 0.3 },
              { "id": "c", "at": "Wall front", "from_left": 3, "up": 1.3 },
              { "id": "d", "at": "Wall right", "from_left": 1.5, "up": 0.3 },
              { "id": "e", "at": "Wall back", "from_left": 2, "up": 0.3 } ],
    "runs": [ )" +
         runs + " ] }";
}

class WorkedByHand : public ::testing::Test {
 protected:
  /// One run, alone in the room.
  PlannedRoom planned(const std::string& from, const std::string& to) {
    sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5 })",
                 folder_, ".glb");
    auto result = plan(
        job(R"({ "id": "R", "from": ")" + from + R"(", "to": ")" + to + R"(", "cable": "cat6" })"),
        folder_);
    EXPECT_TRUE(result) << to_text(result.error());
    return result ? std::move(*result) : PlannedRoom{};
  }
  TestFolder folder_;
};

TEST_F(WorkedByHand, StraightAlongAWallIsTheDistance) {
  // Off the wall and back by no more than the raceway is deep.
  const double length = drawn_m(planned("a", "b"), "R");
  EXPECT_GE(length, 2);
  EXPECT_LE(length, 2 + 2 * kRacewayDepth);
}

TEST_F(WorkedByHand, ATurnOnAWallSavesItsFillet) {
  // 2 m along, 1 m up, and a bend at the cable's own radius, which a flat turn has room for.
  EXPECT_NEAR(drawn_m(planned("a", "c"), "R"), 2 + 1 - kSaving * kBendRadius, 0.001);
}

TEST_F(WorkedByHand, AnInsideCornerCutsShortByWhatTheRacewayAllows) {
  // 3 m and 1.5 m to the corner. The cable runs half the raceway's depth off both walls, and bends
  // at its own radius: a mitred corner of the clear depth h gives a cable of diameter d at most
  // (h k - d (1 + k) / 2) / (k - 1), k = 1 / cos(45 deg), which is 27.6 mm here and 7.1 mm in the
  // next smaller raceway.
  const double k = std::sqrt(2.0);
  const double radius =
      std::min(kBendRadius, (kClearDepth * k - kDiameter * (1 + k) / 2) / (k - 1));
  const double wanted = 3 + 1.5 - 2 * kRacewayDepth / 2 - kSaving * radius;
  EXPECT_NEAR(drawn_m(planned("a", "d"), "R"), wanted, 2 * kLane + 0.001);
}

TEST_F(WorkedByHand, RoundTwoCornersIsTheShorterWayRound) {
  // By the left wall: 1 + 5 + 2 m. By the right: 3 + 5 + 2.
  const double wanted = 8 - 4 * kRacewayDepth / 2 - 2 * kSaving * kBendRadius;
  EXPECT_NEAR(drawn_m(planned("a", "e"), "R"), wanted, 4 * kLane + 0.001);
}

TEST_F(WorkedByHand, TheCutLengthIsDrawnAndItsAddendsRoundedUp) {
  const PlannedRoom room = planned("a", "b");
  // 0.3 m of loop and 0.05 m of termination at each end, 2 % in hand, up to the next 0.05 m.
  const double sum = drawn_m(room, "R") * 1.02 + 2 * 0.3 + 2 * 0.05;
  EXPECT_NEAR(cut_m(room, "R"), std::ceil(sum / 0.05) * 0.05, 1e-9);
}

}  // namespace
}  // namespace roomloom::testing
