#include "takeoff/raceway_record.h"

#include <gtest/gtest.h>

#include "shape/hand_room.h"
#include "takeoff/raceway_joints.h"
#include "takeoff/where.h"

/// Raceway that hangs, beside what a later plan makes of it.
namespace roomloom {
namespace {

struct Hangs {
  testing::HandRoom hand;
  std::vector<RacewayPiece> pieces;

  Hangs() { hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 3, 3); }
  void recorded(double from_m, double to_m, const std::string& start, const std::string& end) {
    BuiltRaceway built;
    built.name = "R" + std::to_string(hand.job.as_built.raceway.size() + 1);
    built.raceway = "40 x 25";
    built.on = "Wall";
    built.corner = "left corner";
    built.start_along_m = from_m;
    built.end_along_m = to_m;
    built.start_up_m = built.end_up_m = 1.2;
    built.start_is = start;
    built.end_is = end;
    hand.job.as_built.raceway.push_back(built);
  }
  RacewayPiece& planned(double from_m, double to_m, const std::string& start,
                        const std::string& end) {
    RacewayPiece& piece = pieces.emplace_back();
    piece.raceway = "40 x 25";
    piece.sheet = 0;
    piece.from = {0.0125, from_m, 1.2};
    piece.to = {0.0125, to_m, 1.2};
    piece.length_m = to_m - from_m;
    piece.start = start;
    piece.end = end;
    piece.fixed = true;
    return piece;
  }
  const RacewayPiece& lying() {
    lie_as_recorded(pieces, hand.room, hand.job);
    return pieces.front();
  }
};

TEST(RacewayThatHangs, KeepsTheLengthAndTheFittingsThatItWasPutUpWith) {
  Hangs hangs;
  hangs.recorded(0.5, 2.0, "square, tee 40 x 25", "square, end cap 40 x 25, cut out for S1");
  hangs.planned(0.52, 2.0, "square, reducer 40 x 25, there already",
                "square, end cap 40 x 25, there already, cut out for S1, at lamp");
  const RacewayPiece& piece = hangs.lying();
  EXPECT_EQ(piece.start, "square, tee 40 x 25, there already");
  EXPECT_EQ(piece.end, "square, end cap 40 x 25, there already, cut out for S1, at lamp")
      << "the same cap, and what leaves it now";
  EXPECT_NEAR(piece.length_m, 1.5, 1e-9);
  EXPECT_NEAR(distance(piece.from, piece.to), 1.5, 1e-9);
}

TEST(RacewayThatHangs, GetsTheFittingsThatAreNewAndTheEndsThatItIsCutTo) {
  Hangs hangs;
  hangs.recorded(0.5, 2.0, "square, end cap 40 x 25", "square, end cap 40 x 25");
  hangs.planned(0.5, 1.4, "square, joiner 40 x 25", "square, into box B1 of data, no fitting");
  const RacewayPiece& piece = hangs.lying();
  EXPECT_EQ(piece.start, "square, joiner 40 x 25") << "that is bought";
  EXPECT_EQ(piece.end, "square, into box B1 of data, no fitting");
  EXPECT_NEAR(piece.length_m, 0.9, 1e-9) << "the rest is beyond the box";
}

TEST(RacewayThatHangs, IsInTheWayOfABoxOnlyWhereItGoesOnThroughIt) {
  Hangs hangs;
  hangs.recorded(0.5, 2.0, "", "");
  OutletBox box;
  box.sheet = 0;
  box.half_u_m = box.half_v_m = 0.043;
  const auto through = [&](double along_m, double up_m) {
    box.centre = {0, along_m, up_m};
    return pieces_through(box, hangs.hand.room, hangs.hand.job.as_built);
  };
  EXPECT_EQ(through(1.3, 1.2), std::vector<std::string>{"R1"});
  EXPECT_TRUE(through(2.043, 1.2).empty()) << "it stops at the box's side";
  EXPECT_TRUE(through(1.3, 0.4).empty());
}

// A ceiling's v runs toward one who looks up from the back of the room; jobs count from there, too.
TEST(SheetMeasure, CountsOnACeilingFromTheSameEdgeAsOnTheFloorBelow) {
  testing::HandRoom hand;
  hand.sheet("Floor", {0, 0, 0}, {1, 0, 0}, {0, 1, 0}, 3, 4);
  hand.sheet("Ceiling", {0, 4, 2.5}, {1, 0, 0}, {0, -1, 0}, 3, 4);
  for (const int sheet : {0, 1}) {
    const Vec3 point{1, 0.75, sheet == 0 ? 0 : 2.5};
    const SheetMeasure measure = measure_on(hand.room, sheet, point, false);
    EXPECT_NEAR(measure.along_m, 1, 1e-9);
    EXPECT_NEAR(measure.up_m, 0.75, 1e-9) << hand.room.sheets[static_cast<std::size_t>(sheet)].name;
    const Vec2 back = point_measured(hand.room, sheet, false, measure.along_m, measure.up_m);
    EXPECT_NEAR(
        distance(hand.room.sheets[static_cast<std::size_t>(sheet)].frame.to_world(back), point), 0,
        1e-9);
  }
}

}  // namespace
}  // namespace roomloom
