#include "takeoff/raceway_joints.h"

#include <gtest/gtest.h>

#include "shape/hand_room.h"
#include "takeoff/colours.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr int kSmall = 0, kLarge = 1;  // 16 x 16 and 40 x 25

/// Straights on Wall (x = 0, facing +x) and on Side (y = 3, facing -y), which meet in a corner.
struct Corner {
  testing::HandRoom hand;
  Takeoff takeoff;
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
  Joints joints() const { return join_straights(straights, takeoff, hand.ends, hand.job); }
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
  EXPECT_EQ(joints.ends[0].words, "square, runs through the flat elbow, end cap");
  EXPECT_NEAR(joints.ends[0].longer_m, 0.008, 1e-12) << "to the far side of the small one";
  EXPECT_EQ(joints.starts[1].words, "square, butts in the flat elbow");
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
  EXPECT_EQ(joints.ends[0].words, "square, runs through the inside corner") << "the wall closes it";
  EXPECT_EQ(joints.starts[1].words, "square, butts in the inside corner");
  EXPECT_NEAR(joints.ends[0].longer_m, 0.0125, 1e-12);
  EXPECT_NEAR(joints.starts[1].longer_m, -0.0125, 1e-12);
  EXPECT_EQ(corner.count("40 x 25", "inside corner"), 0);
}

TEST(RacewayJoints, InLineAreJoinersOrWhereTheSizeChangesReducers) {
  Corner corner;
  corner.on_wall(kLarge, {0, 0, 1}, {0, 1, 1});
  corner.on_wall(kSmall, {0, 1, 1}, {0, 2, 1});
  corner.on_wall(kSmall, {0, 2, 1}, {0, 3, 1});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[0].words, "square, reducer");
  EXPECT_EQ(joints.starts[1].words, "square, reducer");
  EXPECT_EQ(joints.ends[1].words, "square, joiner");
  EXPECT_EQ(corner.count("40 x 25", "reducer"), 1) << "counted in the larger size";
  EXPECT_EQ(corner.count("16 x 16", "joiner"), 1);
}

TEST(RacewayJoints, HaveNoCapWhereAnotherStretchPassesRoundTheCorner) {
  Corner corner;
  corner.on_wall(kSmall, {0, 0, 1}, {0, 2.99, 1});
  corner.on_side(kLarge, {0.01, 3, 0}, {0.01, 3, 3});
  const Joints joints = corner.joints();
  EXPECT_EQ(joints.ends[0].words, "square, tee into the other in the corner");
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
  EXPECT_EQ(joints.starts[0].words, "square, end piece over hole H1");
  EXPECT_EQ(joints.ends[0].words, "square, end cap cut out for S1");
  EXPECT_EQ(corner.count("40 x 25", "end piece over a hole"), 1);
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
