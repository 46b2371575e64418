#include "takeoff/raceway_joints.h"

#include <gtest/gtest.h>

#include "shape/hand_room.h"
#include "takeoff/boxes.h"
#include "takeoff/colours.h"
#include "takeoff/raceway_stubs.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr int kSmall = 0, kLarge = 1;  // 16 x 16 and 40 x 25

/// Straights on Wall (x = 0, facing +x) and on Side (y = 3, facing -y), which meet in a corner.
struct Corner {
  testing::HandRoom hand;
  Takeoff takeoff;
  std::vector<Termination> terminations;
  std::vector<Straight> straights;

  Corner() {
    hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 3, 3);
    hand.sheet("Side", {0, 3, 0}, {1, 0, 0}, {0, 0, 1}, 3, 3);
    Run run;
    run.id = "S1";
    hand.ends.runs.push_back(run);
  }
  void on_wall(int raceway, const Vec3& from, const Vec3& to) {
    straights.push_back({raceway, 0, from, to, {1, 0, 0}, {0}, false});
  }
  void on_side(int raceway, const Vec3& from, const Vec3& to) {
    straights.push_back({raceway, 1, from, to, {0, -1, 0}, {0}, false});
  }
  Joints joints() const {
    return join_straights(straights, takeoff, terminations, hand.ends, hand.job);
  }
  /// An end of run 0 with a jack in box B1, on Wall.
  void box_at(const std::vector<Vec3>& places) {
    for (const Vec3& at : places) {
      End end;
      end.id = "data " + std::to_string(hand.ends.ends.size() + 1);
      end.place.position = at;
      end.place.home = {PlaceKind::sheet, 0};
      Termination fitted;
      fitted.run = 0;
      fitted.end = static_cast<int>(hand.ends.ends.size());
      fitted.box = "B1";
      fitted.state = "fit now";
      hand.ends.ends.push_back(end);
      terminations.push_back(fitted);
    }
    takeoff.boxes = boxes_of(terminations, hand.ends, hand.room);
  }
  /// Raceway of the drawn shapes, as it is left beside the boxes.
  void lay(const std::vector<RacewayShape>& raceways) {
    CableShapes shapes;
    shapes.raceways = raceways;
    straights = straights_of(shapes, takeoff.boxes, hand.room, hand.job);
  }
  int count(const std::string& raceway, const std::string& kind) const {
    for (const RacewayFitting& fitting : joints().fittings)
      if (fitting.raceway == raceway && fitting.kind == kind) return fitting.count;
    return 0;
  }
};

TEST(RacewayJoints, OfUnequalSizesButtAndAreNeverMitred) {
  Corner corner;
  corner.on_wall(kLarge, {0, 0, 1}, {0, 2, 1});
  corner.on_wall(kSmall, {0, 2, 1}, {0, 2, 3});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[0].words, "square, end cap 40 x 25, runs through the flat corner");
  EXPECT_NEAR(joints.ends[0].longer_m, 0.008, 1e-12) << "to the far side of the small one";
  EXPECT_EQ(joints.starts[1].words,
            "square, butts against the other's side in the flat corner, no fitting");
  EXPECT_NEAR(joints.starts[1].longer_m, -0.020, 1e-12) << "from the near side of the large one";
  EXPECT_EQ(corner.count("40 x 25", "flat elbow"), 0);
  // The corner's own cap, and one at each free end.
  EXPECT_EQ(corner.count("40 x 25", "end cap"), 2);
  EXPECT_EQ(corner.count("16 x 16", "end cap"), 1);
}

TEST(RacewayJoints, ButtWhereTheJobSaysSoTheLongerRunningThrough) {
  Corner corner;
  corner.hand.job.work.corners = RacewayCorners::butt;
  corner.on_wall(kLarge, {0.0125, 0, 1}, {0.0125, 3, 1});
  corner.on_side(kLarge, {0, 2.9875, 1}, {1, 2.9875, 1});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[0].words, "square, up to the other face in the inside corner, no fitting");
  EXPECT_EQ(joints.starts[1].words,
            "square, butts against the other's side in the inside corner, no fitting");
  EXPECT_NEAR(joints.ends[0].longer_m, 0, 1e-12) << "it ends at the other wall, which closes it";
  EXPECT_NEAR(joints.starts[1].longer_m, -0.025, 1e-12) << "at the first one's face";
  EXPECT_EQ(corner.count("40 x 25", "inside corner"), 0);
}

TEST(RacewayJoints, ThatTheRecordNamesAreNotBoughtAgainForWhatIsNew) {
  Corner corner;
  corner.on_wall(kLarge, {0, 0, 1}, {0, 1, 1});
  corner.on_wall(kLarge, {0, 1, 1}, {0, 2, 1});
  corner.on_wall(kLarge, {0, 1, 1}, {0, 1, 2});
  corner.straights[0].fixed = corner.straights[1].fixed = true;
  EXPECT_EQ(corner.count("40 x 25", "tee"), 1) << "a new branch of what was a joiner";
  corner.straights[0].end_is = "square, tee 40 x 25";
  EXPECT_EQ(corner.count("40 x 25", "tee"), 0);
  EXPECT_NE(corner.joints().starts[2].words.find("tee 40 x 25, there already"), std::string::npos);
  // The cap of what runs through a corner is on that piece.
  Corner butt;
  butt.on_wall(kLarge, {0, 0, 1}, {0, 2, 1});
  butt.on_wall(kSmall, {0, 2, 1}, {0, 2, 3});
  butt.straights[0].fixed = true;
  EXPECT_EQ(butt.count("40 x 25", "end cap"), 0);
  EXPECT_EQ(butt.count("16 x 16", "end cap"), 1);
}

TEST(RacewayJoints, InLineAreJoinersOrWhereTheSizeChangesReducers) {
  Corner corner;
  corner.on_wall(kLarge, {0, 0, 1}, {0, 1, 1});
  corner.on_wall(kSmall, {0, 1, 1}, {0, 2, 1});
  corner.on_wall(kSmall, {0, 2, 1}, {0, 3, 1});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[0].words, "square, reducer 40 x 25");
  EXPECT_EQ(joints.starts[1].words, "square, reducer 40 x 25");
  EXPECT_EQ(joints.ends[1].words, "square, joiner 16 x 16");
  EXPECT_EQ(corner.count("40 x 25", "reducer"), 1) << "counted in the larger size";
  EXPECT_EQ(corner.count("16 x 16", "joiner"), 1);
}

TEST(RacewayJoints, HaveNoCapWhereAnotherStretchPassesRoundTheCorner) {
  Corner corner;
  corner.on_wall(kSmall, {0, 0, 1}, {0, 2.99, 1});
  corner.on_side(kLarge, {0.01, 3, 0}, {0.01, 3, 3});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[0].words, "square, tee 40 x 25, into the side of the other in the corner");
  EXPECT_EQ(corner.count("40 x 25", "tee"), 1);
  EXPECT_EQ(corner.count("16 x 16", "end cap"), 1) << "at its other end";
}

TEST(RacewayJoints, CoverAHoleAtOneEndOfAShortPieceAlone) {
  Corner corner;
  HoleRow hole;
  hole.name = "H1";
  hole.centre = {0, 1, 1};
  hole.diameter_m = 0.03;
  corner.takeoff.holes = {hole};
  corner.on_wall(kLarge, {0, 1.0, 1}, {0, 1.06, 1});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.starts[0].words, "square, end piece over a hole 40 x 25: H1");
  EXPECT_EQ(joints.ends[0].words, "square, end cap 40 x 25, cut out for S1");
  EXPECT_EQ(corner.count("40 x 25", "end piece over a hole"), 1);
}

// Tracks turn 12.5 mm off each wall whatever lies in them; the back of a mitred piece reaches the
// other wall, whether the raceway is shallower than that or deeper.
TEST(RacewayJoints, MitreUpToTheOtherWallHoweverDeepTheyAre) {
  for (const double depth : {0.010, 0.016, 0.050}) {
    Corner corner;
    corner.hand.job.catalogue.raceways[kLarge].depth_m = depth;
    corner.on_wall(kLarge, {depth / 2, 0, 1}, {depth / 2, 3 - 0.0125, 1});
    corner.on_side(kLarge, {0.0125, 3 - depth / 2, 1}, {1, 3 - depth / 2, 1});
    const Joints joints = corner.joints();
    EXPECT_EQ(joints.ends[0].words, "45 deg mitre, inside corner 40 x 25");
    EXPECT_NEAR(joints.ends[0].longer_m, 0.0125, 1e-9) << "to the wall";
    EXPECT_NEAR(joints.starts[1].longer_m, 0.0125, 1e-9);
  }
}

TEST(RacewayJoints, OfNeighboursAreWithWhatGoesOnAndNotWithEachOther) {
  Corner corner;  // two side by side go up; at z = 2 one of them goes on
  corner.on_wall(kLarge, {0, 1, 1}, {0, 1, 2});
  corner.on_wall(kLarge, {0, 1.04, 1}, {0, 1.04, 2});
  const Joints apart = corner.joints();
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_EQ(apart.starts[i].words, "square, end cap 40 x 25, cut out for S1");
    EXPECT_EQ(apart.ends[i].words, "square, end cap 40 x 25, cut out for S1");
  }
  EXPECT_EQ(corner.count("40 x 25", "end cap"), 4);
  EXPECT_EQ(corner.count("40 x 25", "joiner"), 0);
  corner.on_wall(kLarge, {0, 1, 2}, {0, 1, 3});
  const Joints on = corner.joints();
  EXPECT_EQ(on.ends[0].words, "square, joiner 40 x 25");
  EXPECT_EQ(on.ends[1].words, "square, end cap 40 x 25, opened into the one beside it");
  // What comes from the side of the outer one meets that, and cannot reach the inner.
  corner.on_wall(kSmall, {0, 1, 2}, {0, 2, 2});
  const Joints outer = corner.joints();
  EXPECT_EQ(outer.ends[0].words, "square, joiner 40 x 25");
  EXPECT_EQ(outer.ends[1].words, "square, end cap 40 x 25, runs through the flat corner");
  EXPECT_NEAR(outer.ends[1].longer_m, 0.008, 1e-9) << "to the far side of the small one";
  EXPECT_EQ(outer.starts[3].words,
            "square, butts against the other's side in the flat corner, no fitting");
  EXPECT_NEAR(outer.starts[3].longer_m, -0.06, 1e-9) << "at the outer one's side";
  EXPECT_EQ(corner.count("40 x 25", "tee"), 0);
  // From the other side the inner one, which goes on, is the first.
  corner.straights.back().to = {0, 0, 2};
  const Joints tee = corner.joints();
  for (const StraightEnd& end : {tee.ends[0], tee.starts[2], tee.starts[3]})
    EXPECT_EQ(end.words, "square, tee 40 x 25");
  EXPECT_NEAR(tee.starts[3].longer_m, -0.02, 1e-9) << "at the inner one's side";
  EXPECT_EQ(tee.ends[1].words, "square, end cap 40 x 25, opened into the one beside it");
  EXPECT_EQ(corner.count("40 x 25", "tee"), 1);
}

TEST(RacewayJoints, OfTwoSideBySideIsWithTheOneThatASingleComesToFirst) {
  Corner corner;
  roomloom::Run other;
  other.id = "N5";
  corner.hand.ends.runs.push_back(other);
  corner.on_wall(kLarge, {0, 1, 1}, {0, 1, 2});
  corner.on_wall(kLarge, {0, 1.04, 1}, {0, 1.04, 2});
  corner.on_wall(kLarge, {0, 1, 2}, {0, 2, 2});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[1].words, "45 deg mitre, flat elbow 40 x 25");
  EXPECT_NEAR(joints.starts[2].longer_m, -0.04 + 0.02, 1e-9) << "where the outer one stands";
  EXPECT_EQ(joints.ends[0].words, "square, end cap 40 x 25, opened into the one beside it");
}

TEST(RacewayJoints, SayLastThatAnEndNeedsNoFittingThoughItIsOpenedIntoTheOneBeside) {
  Corner corner;
  corner.hand.ends.runs.push_back(corner.hand.ends.runs.front());
  corner.on_wall(kSmall, {0, 1, 1}, {0, 1, 2});
  corner.on_wall(kSmall, {0, 1.016, 1}, {0, 1.016, 2});
  corner.on_wall(kSmall, {0, 1, 2}, {0, 1, 2.9});
  corner.on_wall(kLarge, {0, 1, 2}, {0, 2, 2});
  corner.straights[3].runs = {0, 1};
  EXPECT_EQ(corner.joints().ends[1].words,
            "square, butts against the other's side in the flat corner, opened into the one beside "
            "it, no fitting");
}

/// BS 4662 and its kin: single boxes about 86 mm square; here only that raceway stops at the sides.
TEST(RacewayJoints, StopAtBothSidesOfABoxAndGoOnBeyondIt) {
  Corner corner;
  corner.box_at({{0, 1, 1}, {0, 1.1, 1}});
  ASSERT_EQ(corner.takeoff.boxes.size(), 1U);
  EXPECT_NEAR(corner.takeoff.boxes[0].half_u_m, 0.073, 1e-9);
  EXPECT_NEAR(corner.takeoff.boxes[0].half_v_m, 0.043, 1e-9);
  const Vec3 n{1, 0, 0};
  corner.lay({{0, {0, 0.2, 1}, {0, 1, 1}, n, kSmall, 0, {0}, 1},
              {1, {0, 1, 1}, {0, 1.1, 1}, n, kSmall, 0, {0}, 1},
              {2, {0, 1.1, 1}, {0, 2, 1}, n, kSmall, 0, {}, 1}});
  ASSERT_EQ(corner.straights.size(), 2U) << "between the jacks is the box alone";
  EXPECT_NEAR(corner.straights[0].to.y, 1.05 - 0.073, 1e-9);
  EXPECT_NEAR(corner.straights[1].from.y, 1.05 + 0.073, 1e-9);
  EXPECT_EQ(corner.straights[0].runs, std::vector<int>{0});
  EXPECT_TRUE(corner.straights[1].runs.empty()) << "run 0 does not come so far";
  const Joints joints = corner.joints();
  for (const StraightEnd& end : {joints.ends[0], joints.starts[1]})
    EXPECT_EQ(end.words, "square, into box B1 of data 1 and data 2, no fitting");
  EXPECT_EQ(corner.count("16 x 16", "joiner"), 0);
  EXPECT_TRUE(joints.ways_out[0].empty()) << "the run leaves in the box";
}

TEST(RacewayJoints, EndInABoxThatStandsInTheirCornerInsteadOfTurning) {
  Corner corner;
  corner.box_at({{0, 1, 1}});
  const Vec3 n{1, 0, 0};
  corner.lay({{0, {0, 1, 2}, {0, 1, 1}, n, kSmall, 0, {0}, 1},
              {1, {0, 1, 1}, {0, 2, 1}, n, kSmall, 0, {0}, 1},
              {2, {0, 2, 1.05}, {0, 0.2, 1.05}, n, kSmall, 0, {}, 1}});
  const Joints joints = corner.joints();
  EXPECT_NEAR(corner.straights[0].to.z, 1.043, 1e-9);
  EXPECT_NEAR(corner.straights[1].from.y, 1.043, 1e-9);
  EXPECT_EQ(joints.ends[0].words, "square, into box B1 of data 1, no fitting");
  EXPECT_EQ(joints.starts[1].words, "square, into box B1 of data 1, no fitting");
  EXPECT_EQ(corner.count("16 x 16", "flat elbow"), 0);
  EXPECT_EQ(corner.straights.size(), 3U) << "what passes beside the box stays whole";
}

TEST(RacewayJoints, LetOutWhatEndsBetweenTheirEndsAndAtTees) {
  Corner corner;
  End speaker;
  speaker.id = "M+110";
  speaker.place.position = {0, 1, 1.02};
  corner.hand.ends.ends.push_back(speaker);
  roomloom::Run other;
  other.id = "S2";
  corner.hand.ends.runs.push_back(other);
  Termination here;
  here.run = 1;
  here.end = 0;
  here.state = "fit now";
  corner.terminations = {here};
  const Vec3 n{1, 0, 0};
  corner.lay({{0, {0, 0.2, 1}, {0, 1, 1}, n, kSmall, 0, {0, 1}, 1},
              {1, {0, 1, 1}, {0, 2, 1}, n, kSmall, 0, {0}, 1}});
  ASSERT_EQ(corner.straights.size(), 1U);
  const Joints between = corner.joints();
  ASSERT_EQ(between.ways_out[0].size(), 1U);
  EXPECT_NEAR(between.ways_out[0][0].along_m, 0.8, 1e-9);
  EXPECT_EQ(between.ways_out[0][0].run, 1);
  EXPECT_EQ(between.ways_out[0][0].end, 0);
  EXPECT_EQ(between.starts[0].words, "square, end cap 16 x 16, cut out for S1, S2");
  EXPECT_EQ(between.ends[0].words, "square, end cap 16 x 16, cut out for S1") << "S2 is out";
  // A tee at the same place leads run 0 on and lets nothing out.
  corner.lay({{0, {0, 0.2, 1}, {0, 1, 1}, n, kSmall, 0, {0, 1}, 1},
              {1, {0, 1, 1}, {0, 2, 1}, n, kLarge, 0, {0}, 1},
              {2, {0, 1, 1}, {0, 1, 2}, n, kSmall, 0, {0}, 1}});
  const Joints tee = corner.joints();
  EXPECT_EQ(tee.ends[0].words, "square, tee 40 x 25");
  ASSERT_EQ(tee.ways_out[0].size(), 1U);
  EXPECT_EQ(tee.ways_out[0][0].run, 1);
  EXPECT_NEAR(tee.ways_out[0][0].along_m, 0.8, 1e-9);
  EXPECT_TRUE(tee.ways_out[1].empty() && tee.ways_out[2].empty());
}

/// One stands in the corner on Wall; the other comes along Side and meets its front.
TEST(RacewayJoints, ButtWhereOneRunsAlongTheCornersEdge) {
  Corner corner;
  corner.on_wall(kSmall, {0.008, 2.992, 0.4}, {0.008, 2.992, 2});
  corner.on_side(kSmall, {0.008, 2.992, 0.4}, {1, 2.992, 0.4});
  const Joints joints = corner.joints();
  EXPECT_EQ(corner.count("16 x 16", "inside corner"), 0);
  EXPECT_EQ(joints.starts[0].words,
            "square, end cap 16 x 16, runs along the corner past the other");
  EXPECT_NEAR(joints.starts[0].longer_m, 0.008, 1e-9) << "to the far side of the other";
  EXPECT_EQ(joints.starts[1].words,
            "square, butts against the other's front in the corner, no fitting");
  EXPECT_NEAR(joints.starts[1].longer_m, -0.008, 1e-9) << "16 mm from Wall, not through it";
}

TEST(RacewayJoints, TurnTwoSideBySideWithTheOuterInTheOuter) {
  Corner corner;
  corner.on_wall(kLarge, {0, 1, 1}, {0, 1, 2});
  corner.on_wall(kLarge, {0, 1.04, 1}, {0, 1.04, 2});
  corner.on_wall(kLarge, {0, 1, 2}, {0, 2, 2});
  corner.on_wall(kLarge, {0, 1, 1.96}, {0, 2, 1.96});
  const Joints joints = corner.joints();
  EXPECT_EQ(corner.count("40 x 25", "flat elbow"), 2);
  EXPECT_NEAR(joints.ends[0].longer_m, 0.02, 1e-9);
  EXPECT_NEAR(joints.ends[1].longer_m, 0.02 - 0.04, 1e-9) << "the inner turns earlier";
  EXPECT_NEAR(joints.starts[2].longer_m, 0.02, 1e-9);
  EXPECT_NEAR(joints.starts[3].longer_m, 0.02 - 0.04, 1e-9);
}

/// A box of 86 mm whose upper side stands 3 mm in a raceway that passes above it.
TEST(RacewayStubs, BetweenABoxAndTheRacewayThatItTouchesAreNone) {
  Corner corner;
  corner.box_at({{0, 1, 1}});
  const Vec3 n{1, 0, 0};
  corner.lay({{0, {0, 0.2, 1.06}, {0, 1.8, 1.06}, n, kLarge, 0, {0}, 1},
              {1, {0, 1, 1}, {0, 1, 1.06}, n, kSmall, 0, {0}, 1}});
  ASSERT_EQ(corner.straights.size(), 2U);
  const Joints joints = join_without_stubs(corner.straights, corner.takeoff, corner.terminations,
                                           corner.hand.ends, corner.hand.job);
  ASSERT_EQ(corner.straights.size(), 1U);
  for (const RacewayFitting& fitting : joints.fittings) EXPECT_NE(fitting.kind, "tee");
  // A stub that is long enough stays.
  corner.lay({{0, {0, 0.2, 1.2}, {0, 1.8, 1.2}, n, kLarge, 0, {0}, 1},
              {1, {0, 1, 1}, {0, 1, 1.2}, n, kSmall, 0, {0}, 1}});
  join_without_stubs(corner.straights, corner.takeoff, corner.terminations, corner.hand.ends,
                     corner.hand.job);
  EXPECT_EQ(corner.straights.size(), 2U);
}

TEST(RacewayStubs, InALineArePartOfTheLargerNeighbour) {
  Corner corner;
  const Vec3 n{1, 0, 0};
  corner.lay({{0, {0, 0.2, 1}, {0, 1, 1}, n, kLarge, 0, {0}, 1},
              {1, {0, 1, 1}, {0, 1.012, 1}, n, kSmall, 0, {0}, 1}});
  join_without_stubs(corner.straights, corner.takeoff, corner.terminations, corner.hand.ends,
                     corner.hand.job);
  ASSERT_EQ(corner.straights.size(), 1U);
  EXPECT_NEAR(corner.straights[0].to.y, 1.012, 1e-9);
  EXPECT_EQ(stays_in(corner.straights[0]).size(), 1U);
  EXPECT_NEAR(stays_in(corner.straights[0])[0].to_m, 0.812, 1e-9);
  // One that alone holds a cable stays.
  corner.lay({{1, {0, 1, 1}, {0, 1.012, 1}, n, kSmall, 0, {0}, 1}});
  join_without_stubs(corner.straights, corner.takeoff, corner.terminations, corner.hand.ends,
                     corner.hand.job);
  EXPECT_EQ(corner.straights.size(), 1U);
}

TEST(RacewayJoints, EndInABoxOnlyWhereThereIsOne) {
  Corner corner;
  End desk;
  desk.id = "desk";
  desk.place.position = {0, 2, 1};
  corner.hand.ends.ends.push_back(desk);
  Termination fitted;
  fitted.run = fitted.end = 0;
  fitted.box = "B1";
  fitted.state = "fit now";
  corner.terminations = {fitted};
  corner.on_wall(kLarge, {0, 0, 1}, {0, 2, 1});
  EXPECT_EQ(corner.joints().ends[0].words, "square, into box B1 of desk, no fitting");
  EXPECT_EQ(corner.count("40 x 25", "end cap"), 1) << "at its other end";
  corner.terminations[0].box.clear();
  corner.terminations[0].state = "leave coiled";
  EXPECT_EQ(corner.joints().ends[0].words,
            "square, end cap 40 x 25, cut out for S1, coiled at desk");
  EXPECT_EQ(corner.count("40 x 25", "end cap"), 2);
  corner.terminations[0].box_there = true;
  EXPECT_EQ(corner.joints().ends[0].words,
            "square, into the box of desk that is there, no fitting");
}

TEST(RacewayJoints, OfWhatIsFixedAlreadyAreNotBoughtAgain) {
  Corner corner;
  corner.on_wall(kLarge, {0, 0, 1}, {0, 2, 1});
  corner.on_wall(kLarge, {0, 2, 1}, {0, 2, 2});
  corner.straights[0].fixed = corner.straights[1].fixed = true;
  EXPECT_TRUE(corner.joints().fittings.empty());
  corner.straights[1].fixed = false;
  EXPECT_EQ(corner.count("40 x 25", "flat elbow"), 1);
}

TEST(Colours, AreThoseThatShowLeastAndPaintIsOnlyForOthers) {
  const auto cream = colour_named("#f0ece0");
  EXPECT_EQ(colour_least_seen({"black", "white", "brown"}, cream), "white");
  EXPECT_EQ(colour_least_seen({"white", "brown"}, std::nullopt), "brown") << "the darkest";
  EXPECT_TRUE(looks_alike("white", colour_named("white")));
  EXPECT_FALSE(looks_alike("white", colour_named("brown")));
  EXPECT_FALSE(looks_alike("white", std::nullopt)) << "an unknown face is painted";
  EXPECT_EQ(colour_by_service(Service::network, {"white", "blue"}), "blue");
  EXPECT_EQ(colour_by_service(Service::loudspeaker, {"black", "white"}), "white");
  EXPECT_EQ(colour_by_service(Service::fibre, {"pink"}), "pink");
}

}  // namespace
}  // namespace roomloom
