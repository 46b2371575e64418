#include "shape/fixings.h"

#include <gtest/gtest.h>

#include "geometry/bundle.h"
#include "shape/drawn_distance.h"
#include "shape/hand_room.h"
#include "shape/hole_sizes.h"
#include "shape/shape.h"

namespace roomloom {
namespace {

CableShapes shaped(const testing::HandRoom& hand) {
  return shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

// `runs` cables of one type, straight up through one tile, each from and to a place of its own.
testing::HandRoom through_one_tile(int runs, int cable) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(4, 4, 2.515, 0.5);
  hand.tile_hole({2, 2, 2.5}, 0.015, {1, 1});
  for (int i = 0; i < runs; ++i) {
    const double a = 0.7 + 0.5 * i;
    const Vec3 off = 0.3 * Vec3{std::cos(a), std::sin(a), 0};
    const Vec3 out = Vec3{2, 2, 2.7} + 4 * off;
    hand.edge(Vec3{2, 2, 2} + off, {2, 2, 2}, Medium::bare);
    hand.run("R" + std::to_string(i),
             {Vec3{2, 2, 2} + off, {2, 2, 2}, {2, 2, 2.5}, {2, 2, 2.515}, {2, 2, 2.7}, out}, cable,
             Medium::support, plenum);
  }
  return hand;
}

// How far off the hole's axis the centreline lies within the tile.
double furthest_in_tile(const CableShape& shape, const HoleShape& hole) {
  double furthest = -1;
  const std::vector<Vec3> line = testing::centreline(shape);
  for (const Vec3& p : line)
    if (p.z > 2.5 - 1e-9 && p.z < 2.515 + 1e-9)
      furthest = std::max(furthest, std::hypot(p.x - hole.centre.x, p.y - hole.centre.y));
  return furthest;
}

}  // namespace

TEST(Holes, EncloseTheirCablesAsDrawnAndNoLessThanTheBundle) {
  for (const int runs : {1, 3, 6}) {
    const testing::HandRoom hand = through_one_tile(runs, 0);
    const CableShapes shapes = shaped(hand);
    ASSERT_EQ(shapes.holes.size(), 1U);
    const HoleShape& hole = shapes.holes[0];
    EXPECT_EQ(hole.name, "H1");
    EXPECT_EQ(hole.runs.size(), static_cast<std::size_t>(runs));
    EXPECT_GE(hole.diameter_m, hole.bundle_m);
    for (const CableShape& shape : shapes.cables) {
      EXPECT_LE(furthest_in_tile(shape, hole) + 0.003, hole.diameter_m / 2);
    }
  }
}

TEST(Holes, AreHardlyWiderThanTheBundleThatIsDrawnTogetherInThem) {
  for (const int runs : {2, 5, 12}) {
    const HoleShape hole = shaped(through_one_tile(runs, 0)).holes[0];
    EXPECT_LE(hole.diameter_m, 1.3 * hole_saw_size(hole.bundle_m + 0.003)) << runs;
  }
}

TEST(Holes, LetMouldedHeadsPassOneAfterTheOther) {
  const CableShapes one = shaped(through_one_tile(1, 2));
  // A head of 21 x 11 mm has a diagonal of 23.7 mm.
  EXPECT_GE(one.holes[0].diameter_m, 0.0237);
  EXPECT_LE(one.holes[0].diameter_m, 0.025 + 1e-9);
  const CableShapes two = shaped(through_one_tile(2, 2));
  EXPECT_GE(two.holes[0].diameter_m, 0.0237 + 0.008);
}

TEST(Holes, ThatExistKeepTheirSize) {
  testing::HandRoom hand = through_one_tile(2, 0);
  hand.room.crossings[0].existing = true;
  hand.room.crossings[0].largest_diameter_m = 0.05;
  EXPECT_DOUBLE_EQ(shaped(hand).holes[0].diameter_m, 0.05);
}

// Three cables of 6 mm: a bundle of 12.9 mm.
TEST(Holes, ThatAreRecordedAreAsWideAsTheRecordSaysUnlessItsCablesCannotPass) {
  testing::HandRoom hand = through_one_tile(3, 0);
  const HoleShape fresh = shaped(hand).holes[0];
  EXPECT_EQ(fresh.built_m, 0);
  const std::string name = hand.room.crossings[0].name;
  for (const double wide : {0.029, 0.0235}) {
    hand.job.as_built.holes = {{name, fresh.centre + Vec3{0.002, 0, 0}, wide}};
    const HoleShape cut = shaped(hand).holes[0];
    EXPECT_DOUBLE_EQ(cut.diameter_m, wide);
    EXPECT_DOUBLE_EQ(cut.built_m, wide);
    EXPECT_LE(distance(cut.centre, fresh.centre), 0.002 + 1e-9);
    for (const CableShape& shape : shaped(hand).cables)
      EXPECT_LE(furthest_in_tile(shape, cut) + 0.003, wide / 2 + 1e-9);
  }
  hand.job.as_built.holes[0].diameter_m = 0.012;
  const HoleShape narrow = shaped(hand).holes[0];
  EXPECT_DOUBLE_EQ(narrow.diameter_m, fresh.diameter_m) << "to widen";
  EXPECT_DOUBLE_EQ(narrow.built_m, 0.012);
  // Another hole of that tile, 0.2 m off, is another hole.
  hand.job.as_built.holes[0].at.x += 0.2;
  EXPECT_EQ(shaped(hand).holes[0].built_m, 0);
}

// Two bundles through one tile, 33 mm apart; one hole is recorded.
TEST(Holes, OfOneTileAreNotBothTheOneThatIsRecorded) {
  testing::HandRoom hand = through_one_tile(1, 0);
  const Vec3 beside{2.033, 2, 2.5};
  TrackEdge second = hand.tracks.edges[0];  // the tile's
  ASSERT_EQ(second.kind, EdgeKind::crossing);
  second.a = hand.node(beside);
  second.b = hand.node(beside + Vec3{0, 0, 0.015});
  hand.tracks.edges.push_back(second);
  hand.edge({2.033, 2.4, 2}, {2.033, 2, 2}, Medium::bare);
  hand.run("B",
           {{2.033, 2.4, 2}, {2.033, 2, 2}, beside, beside + Vec3{0, 0, 0.015}, {2.033, 2, 2.7}});
  hand.job.as_built.holes = {{hand.room.crossings[0].name, {2, 2, 2.5}, 0.012}};
  const std::vector<HoleShape> holes = shaped(hand).holes;
  ASSERT_EQ(holes.size(), 2U);
  int cut = 0;
  for (const HoleShape& hole : holes) {
    cut += hole.is_cut() ? 1 : 0;
    EXPECT_EQ(hole.is_cut(), distance(hole.centre, {2, 2, 2.5}) < 0.01);
    EXPECT_EQ(hole.recorded, hole.is_cut() ? 0 : -1);
  }
  EXPECT_EQ(cut, 1);
}

TEST(Holes, ThatAreWidenedHoldTheRecordedCircleOrAreAnother) {
  testing::HandRoom hand = through_one_tile(3, 0);
  const HoleShape fresh = shaped(hand).holes[0];
  const std::string name = hand.room.crossings[0].name;
  const Vec3 off{0.45 * fresh.diameter_m, 0, 0};
  hand.job.as_built.holes = {{name, fresh.centre + off, 0.008}};
  const HoleShape wider = shaped(hand).holes[0];
  EXPECT_DOUBLE_EQ(wider.built_m, 0.008);
  EXPECT_LE(distance(wider.centre, fresh.centre + off) + 0.004, wider.diameter_m / 2 + 1e-6);
  for (const CableShape& shape : shaped(hand).cables)
    EXPECT_LE(furthest_in_tile(shape, wider) + 0.003, wider.diameter_m / 2);
  hand.room.crossings[0].largest_diameter_m = fresh.diameter_m + 0.0005;
  const HoleShape other = shaped(hand).holes[0];
  EXPECT_EQ(other.recorded, -1);
  EXPECT_EQ(other.built_m, 0);
  EXPECT_DOUBLE_EQ(other.diameter_m, fresh.diameter_m);
}

TEST(Holes, KeepTheNamesThatAnEarlierPlanGave) {
  testing::HandRoom hand = through_one_tile(2, 0);
  EXPECT_EQ(shaped(hand).holes[0].name, "H1");
  const std::string tile = hand.room.crossings[0].name;
  hand.job.names.holes = {{tile, {2, 2, 2.5}, 0.02, "H10"}, {"tile 7.7", {9, 9, 2.5}, 0.02, "H1"}};
  EXPECT_EQ(shaped(hand).holes[0].name, "H10");
  hand.job.names.holes = {{"tile 7.7", {9, 9, 2.5}, 0.02, "H4"}};
  EXPECT_EQ(shaped(hand).holes[0].name, "H5") << "a new thing gets a new name";
  hand.job.as_built.holes = {{tile, {2, 2, 2.5}, 0.029, "H3"}};
  EXPECT_EQ(shaped(hand).holes[0].name, "H3");
}

TEST(Holes, AreAsWideAsTheirGrommetAsksWhereThePlaceAllowsThat) {
  testing::HandRoom hand = through_one_tile(3, 0);
  const double bare = shaped(hand).holes[0].diameter_m;
  hand.job.catalogue.grommets = {{"tight", "grommet", bare + 0.001, 0.010, 1, ""},
                                 {"wide", "grommet", bare + 0.010, 0.020, 1, ""}};
  const HoleShape lined = shaped(hand).holes[0];
  EXPECT_EQ(lined.grommet, 1) << "the bundle does not pass the first";
  EXPECT_DOUBLE_EQ(lined.diameter_m, bare + 0.010);
  EXPECT_DOUBLE_EQ(lined.bare_m, bare);
  hand.room.crossings[0].largest_diameter_m = bare + 0.005;
  const HoleShape plain = shaped(hand).holes[0];
  EXPECT_EQ(plain.grommet, -1);
  EXPECT_DOUBLE_EQ(plain.diameter_m, bare);
}

// 12 mm from a tee a hole about its cable can be 24 mm wide; moved off the tee it is as wide as the
// head of the cable that room is kept for asks, and still holds the one that passes.
TEST(Holes, GiveWayToATeeForWhatIsToPassLater) {
  testing::HandRoom hand = through_one_tile(1, 0);
  Crossing& tile = hand.room.crossings[0];
  const Vec2 axis = tile.frame.to_plane({2, 2, 2.5});
  tile.region.outline = {axis + Vec2{-0.012, -0.3}, axis + Vec2{0.3, -0.3}, axis + Vec2{0.3, 0.3},
                         axis + Vec2{-0.012, 0.3}};
  EXPECT_LE(shaped(hand).holes[0].diameter_m, 0.024);
  SpareSpec spare;
  spare.cable = hand.job.catalogue.cables[2].id;
  spare.heads_fitted = true;
  spare.along = {"R0"};
  hand.job.spares = {spare};
  const CableShapes shapes = shaped(hand);
  const HoleShape& hole = shapes.holes[0];
  EXPECT_GE(hole.diameter_m, 0.0237 + 0.006 + 0.003);
  EXPECT_TRUE(hole_allowed_at(tile, tile.frame.to_plane(hole.centre), hole.diameter_m));
  EXPECT_LE(furthest_in_tile(shapes.cables[0], hole) + 0.003, hole.diameter_m / 2);
}

TEST(Holes, AreNamedByTileRowAndColumn) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(4, 4, 2.515, 0.5);
  const std::vector<TileId> tiles{{2, 1}, {0, 3}, {2, 0}};
  for (std::size_t i = 0; i < tiles.size(); ++i) {
    const double x = 0.5 + static_cast<double>(i);
    hand.tile_hole({x, 1, 2.5}, 0.015, tiles[i]);
    hand.edge({x, 1, 2}, {x, 1, 2.5}, Medium::bare);
    hand.run("R" + std::to_string(i),
             {{x, 1, 2}, {x, 1, 2.5}, {x, 1, 2.515}, {x, 1, 2.7}, {x, 3, 2.7}}, 0, Medium::support,
             plenum);
  }
  const std::vector<HoleShape> holes = shaped(hand).holes;
  ASSERT_EQ(holes.size(), 3U);
  EXPECT_EQ(holes[0].runs, std::vector<int>{1});
  EXPECT_EQ(holes[1].runs, std::vector<int>{2});
  EXPECT_EQ(holes[2].runs, std::vector<int>{0});
  EXPECT_EQ(holes[2].name, "H3");
}

TEST(Raceways, AreOnePieceForEachStraightStretchOfTheSameRuns) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
  hand.run("S1", {{0.008, 0, 1}, {0.008, 0.5, 1}, {0.008, 1, 1}, {0.008, 1, 2}}, 0, Medium::raceway,
           wall);
  hand.run("S2", {{0.008, 0.5, 0.2}, {0.008, 0.5, 1}, {0.008, 0, 1}}, 0, Medium::raceway, wall);
  hand.buy_raceway(1);
  const std::vector<RacewayShape> pieces = shaped(hand).raceways;
  double length = 0;
  for (const RacewayShape& piece : pieces) {
    length += distance(piece.from, piece.to);
    EXPECT_NEAR(piece.from.x, 0.0125, 1e-12);  // half of 25 mm: its back lies on the wall
    EXPECT_NEAR(piece.to.x, 0.0125, 1e-12);
  }
  EXPECT_EQ(pieces.size(), 4U);  // shared, S1 onward, S1 up, S2 down
  EXPECT_NEAR(length, 0.5 + 0.5 + 1 + 0.8, 1e-12);
}

TEST(Raceways, SideBySideLieFromTheTrackTowardsTheMiddleOfTheFace) {
  for (const double height : {1.0, 2.0}) {
    testing::HandRoom hand;
    const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
    hand.run("S1", {{0.008, 0, height}, {0.008, 2, height}}, 0, Medium::raceway, wall);
    hand.buy_raceway(1, 2);
    const std::vector<RacewayShape> pieces = shaped(hand).raceways;
    ASSERT_EQ(pieces.size(), 2U);
    EXPECT_NEAR(pieces[0].from.z, height, 1e-12);
    EXPECT_NEAR(pieces[1].from.z, height + (height < 1.5 ? 0.040 : -0.040), 1e-12);
  }
}

TEST(Supports, AreSharedAndNeverFurtherApartThanTheSpacing) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(9, 4, 2.5, 0.5);
  hand.run("S1", {{0, 1, 2.7}, {2, 1, 2.7}, {5, 1, 2.7}}, 0, Medium::support, plenum);
  hand.run("S2", {{0, 1, 2.7}, {2, 1, 2.7}, {2, 3, 2.7}}, 0, Medium::support, plenum);
  const std::vector<SupportShape> supports = shaped(hand).supports;
  // 5 m in 5 spans: six hooks, the third of them at the branch; 2 m aside in 2 spans: two more.
  ASSERT_EQ(supports.size(), 8U);
  EXPECT_EQ(supports[0].runs.size(), 2U);
  EXPECT_EQ(supports[5].runs.size(), 1U);
}

}  // namespace roomloom
