#include "shape/shape.h"

#include <gtest/gtest.h>

#include <random>

#include "shape/drawn_distance.h"
#include "shape/hand_room.h"

namespace roomloom {
namespace {

CableShapes shaped(const testing::HandRoom& hand) {
  return shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

// Three runs: up a wall in raceway, through one tile, across the void, down through another tile.
testing::HandRoom over_the_ceiling() {
  testing::HandRoom hand;
  const PlaceId left = hand.sheet("Wall left", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 5, 3);
  const PlaceId right = hand.sheet("Wall right", {4, 5, 0}, {0, -1, 0}, {0, 0, 1}, 5, 3);
  const PlaceId plenum = hand.plenum(4, 5, 2.515, 0.4);
  hand.tile_hole({0.008, 1, 2.5}, 0.015, {0, 1});
  hand.tile_hole({3.992, 1, 2.5}, 0.015, {6, 1});
  for (int i = 0; i < 3; ++i) {
    const double y = 1.2 + 0.1 * i;
    hand.edge({0.008, y, 0.4}, {0.008, 1, 0.4}, Medium::raceway, left);
    hand.edge({3.992, 1, 1.5}, {3.992, y, 1.5}, Medium::raceway, right);
    if (i == 0) {
      hand.edge({0.008, 1, 0.4}, {0.008, 1, 2.5}, Medium::raceway, left);
      hand.edge({0.008, 1, 2.515}, {0.008, 1, 2.7}, Medium::support, plenum);
      hand.edge({0.008, 1, 2.7}, {3.992, 1, 2.7}, Medium::support, plenum);
      hand.edge({3.992, 1, 2.7}, {3.992, 1, 2.515}, Medium::support, plenum);
      hand.edge({3.992, 1, 2.5}, {3.992, 1, 1.5}, Medium::raceway, right);
    }
    hand.run("S" + std::to_string(i + 1), {{0.008, y, 0.4},
                                           {0.008, 1, 0.4},
                                           {0.008, 1, 2.5},
                                           {0.008, 1, 2.515},
                                           {0.008, 1, 2.7},
                                           {3.992, 1, 2.7},
                                           {3.992, 1, 2.515},
                                           {3.992, 1, 2.5},
                                           {3.992, 1, 1.5},
                                           {3.992, y, 1.5}});
  }
  hand.buy_raceway(1);
  return hand;
}

void expect_same_lengths(const CableShapes& a, const CableShapes& b) {
  ASSERT_EQ(a.cables.size(), b.cables.size());
  for (std::size_t i = 0; i < a.cables.size(); ++i) {
    EXPECT_NEAR(a.cables[i].drawn_m, b.cables[i].drawn_m, 1e-7) << i;
    EXPECT_NEAR(a.cables[i].cut_m, b.cables[i].cut_m, 1e-7) << i;
  }
  ASSERT_EQ(a.holes.size(), b.holes.size());
  for (std::size_t i = 0; i < a.holes.size(); ++i)
    EXPECT_NEAR(a.holes[i].diameter_m, b.holes[i].diameter_m, 1e-9);
  EXPECT_EQ(a.supports.size(), b.supports.size());
  EXPECT_EQ(a.overlaps.size(), b.overlaps.size());
}

}  // namespace

TEST(Shape, OfOneRunIsTheLengthWorkedByHand) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(4, 5, 2.515, 0.4);
  hand.job.prefer.sag = 0;
  hand.run("S1", {{0, 0, 2.7}, {3, 0, 2.7}, {3, 2, 2.7}, {3, 2, 2.85}}, 0, Medium::support, plenum);
  const CableShape shape = shaped(hand).cables[0];
  // 3 + 2 + 0.15 m, less two square corners of 30 mm: 0.42920 r each.
  EXPECT_NEAR(shape.track_m, 5.15, 1e-12);
  EXPECT_NEAR(shape.drawn_m, 5.15 - 2 * 0.42920367 * 0.030, 1e-9);
  EXPECT_NEAR(shape.cut_m, shape.drawn_m, 1e-12);
}

TEST(Shape, PiecesJoinExactlyAndRunFromEndToEnd) {
  const testing::HandRoom hand = over_the_ceiling();
  const CableShapes shapes = shaped(hand);
  for (std::size_t i = 0; i < shapes.cables.size(); ++i) {
    const CableShape& shape = shapes.cables[i];
    ASSERT_TRUE(shape.routed);
    ASSERT_EQ(shape.pieces.size(), shape.homes.size());
    ASSERT_EQ(shape.pieces.size(), shape.edges.size());
    const auto& run = hand.ends.runs[i];
    Vec3 at = hand.ends.ends[static_cast<std::size_t>(run.from)].place.position;
    double sum = 0;
    for (const Piece& piece : shape.pieces) {
      std::visit(
          [&](const auto& p) {
            EXPECT_LE(distance(at, p.from), 1e-9);
            at = p.to;
          },
          piece);
      sum += length_m(piece);
      EXPECT_GT(length_m(piece), 1e-9);
    }
    EXPECT_LE(distance(at, hand.ends.ends[static_cast<std::size_t>(run.to)].place.position), 1e-9);
    EXPECT_NEAR(sum, shape.drawn_m, 1e-12);
  }
}

TEST(Shape, LanesChangeLengthByNoMoreThanTheyLieOff) {
  // Slants at both ends, and inner and outer lanes where the way doubles back: at each of eight
  // corners by no more than the lane lies off the track.
  const CableShapes shapes = shaped(over_the_ceiling());
  for (const CableShape& shape : shapes.cables) {
    double saved = 0;
    for (const Bend& bend : shape.bends) saved += fillet_saving(bend.used_m, bend.angle_rad);
    EXPECT_NEAR(shape.drawn_m, shape.track_m - saved, 8 * 0.0155);
  }
}

TEST(Shape, IsNeverShorterThanTheStraightLine) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> at(0, 3);
  for (int trial = 0; trial < 50; ++trial) {
    testing::HandRoom hand;
    std::vector<Vec3> way{{0, 0, 0}};
    for (int i = 0; i < 6; ++i) {
      Vec3 next = way.back();
      next[i % 3] = at(random);
      way.push_back(next);
    }
    hand.run("S1", way);
    const CableShape shape = shaped(hand).cables[0];
    EXPECT_GE(shape.drawn_m, distance(way.front(), way.back()) - 1e-9);
    EXPECT_LE(shape.drawn_m, shape.track_m + 1e-9);
  }
}

TEST(Shape, SwappingTheEndsOfARunKeepsEveryLength) {
  const testing::HandRoom hand = over_the_ceiling();
  for (int run = 0; run < 3; ++run) {
    testing::HandRoom swapped = hand;
    swapped.reverse(run);
    expect_same_lengths(shaped(hand), shaped(swapped));
  }
}

TEST(Shape, TurningMirroringAndMovingTheRoomKeepsEveryLength) {
  const testing::HandRoom hand = over_the_ceiling();
  const CableShapes as_drawn = shaped(hand);
  for (const double degrees : {17.0, 90.0, 133.0, 180.0}) {
    const double c = std::cos(radians(degrees));
    const double s = std::sin(radians(degrees));
    const auto turn = [&](const Vec3& p) {
      return Vec3{c * p.x - s * p.y, s * p.x + c * p.y, p.z};
    };
    testing::HandRoom turned = hand;
    turned.transform([&](const Vec3& p) { return turn(p) + Vec3{3, -7, 0.5}; }, turn);
    expect_same_lengths(as_drawn, shaped(turned));
  }
  testing::HandRoom mirrored = hand;
  const auto mirror = [](const Vec3& p) { return Vec3{-p.x, p.y, p.z}; };
  mirrored.transform(mirror, mirror);
  expect_same_lengths(as_drawn, shaped(mirrored));
}

TEST(Shape, ATightRacewayCornerIsToldWithWhatItAllows) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
  hand.run("P1", {{0.008, 0, 1}, {0.008, 1, 1}, {0.008, 1, 2}}, 2, Medium::raceway, wall);
  hand.buy_raceway(0);
  const CableShape shape = shaped(hand).cables[0];
  ASSERT_EQ(shape.bends.size(), 1U);
  const Bend& bend = shape.bends[0];
  EXPECT_DOUBLE_EQ(bend.required_m, 0.064);
  EXPECT_NEAR(bend.available_m, 3.41421 * 0.0135 - 2.91421 * 0.008, 1e-5);
  EXPECT_DOUBLE_EQ(bend.used_m, bend.available_m);
  EXPECT_TRUE(bend.in_fitting);
}

TEST(Shape, AnOutsideCornerDoesNotCutTheWall) {
  testing::HandRoom hand;
  // The solid is x < 0 and y < 0; the run goes round its edge 12.5 mm off both faces.
  const PlaceId a = hand.sheet("Wall a", {0, -3, 0}, {0, 1, 0}, {0, 0, 1}, 3, 3);
  const PlaceId b = hand.sheet("Wall b", {0, 0, 0}, {-1, 0, 0}, {0, 0, 1}, 3, 3);
  Seam seam;
  seam.a = 0;
  seam.b = 1;
  seam.convex = true;
  hand.room.seams.push_back(seam);
  const Vec3 corner{0.0125, 0.0125, 1};
  const int first = hand.edge({0.0125, -1, 1}, corner, Medium::raceway, a);
  const int fold = hand.edge(corner, corner, Medium::none, {}, EdgeKind::fold);
  hand.tracks.edges.back().seam = 0;
  const int second = hand.edge(corner, {-1, 0.0125, 1}, Medium::raceway, b);
  hand.run("S1", {{0.0125, -1, 1}, corner, {-1, 0.0125, 1}});
  hand.plan.runs[0].steps = {{first, true}, {fold, true}, {second, true}};
  hand.job.catalogue.cables[0].bend_radius_m = 0.1;
  hand.buy_raceway(1);
  const CableShape shape = shaped(hand).cables[0];
  ASSERT_EQ(shape.bends.size(), 1U);
  EXPECT_LT(shape.bends[0].used_m, 0.1);
  for (const Vec3& p : testing::centreline(shape))
    EXPECT_GE(std::hypot(std::max(p.x, 0.0), std::max(p.y, 0.0)), 0.003 - 1e-5);
}

TEST(Shape, TheEndOfAWallIsNotCutWhereNothingButAnotherFaceGoesOnBehindIt) {
  testing::HandRoom hand;
  // The solid is x < 0 and y < 0 again, but only its face x = 0 is one of the room's: over its top,
  // under eaves, the run goes on along the gable.
  const PlaceId wall = hand.sheet("Wall", {0, -3, 0}, {0, 1, 0}, {0, 0, 1}, 3, 3);
  const PlaceId gable = hand.sheet("Gable", {-3, -3, 0.9875}, {1, 0, 0}, {0, 1, 0}, 6, 6);
  const Vec3 corner{0.0125, 0.0125, 1};
  const int first = hand.edge({0.0125, -1, 1}, corner, Medium::raceway, wall);
  const int second = hand.edge(corner, {-1, 0.0125, 1}, Medium::raceway, gable);
  hand.run("S1", {{0.0125, -1, 1}, corner, {-1, 0.0125, 1}});
  hand.plan.runs[0].steps = {{first, true}, {second, true}};
  hand.job.catalogue.cables[0].bend_radius_m = 0.1;
  hand.buy_raceway(1);
  const CableShape shape = shaped(hand).cables[0];
  ASSERT_FALSE(shape.bends.empty());
  for (const Vec3& p : testing::centreline(shape))
    EXPECT_GE(std::hypot(std::max(p.x, 0.0), std::max(p.y, 0.0)), 0.003 - 1e-5);
}

TEST(Shape, ARunWithoutAWayHasNoShape) {
  testing::HandRoom hand = over_the_ceiling();
  hand.plan.runs[1].routed = false;
  hand.plan.runs[1].steps.clear();
  const CableShapes shapes = shaped(hand);
  ASSERT_EQ(shapes.cables.size(), 3U);
  EXPECT_FALSE(shapes.cables[1].routed);
  EXPECT_TRUE(shapes.cables[1].pieces.empty());
  EXPECT_EQ(shapes.cables[1].run, 1);
  EXPECT_EQ(shapes.cables[1].cut_m, 0);
}

TEST(Shape, AnEndOnTheFaceIsReachedAslantFromTheTrackOffIt) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
  hand.edge({0, 0.5, 1}, {0.008, 0.5, 1}, Medium::raceway, wall, EdgeKind::lead_in);
  hand.run("S1", {{0, 0.5, 1}, {0.008, 0.5, 1}, {0.008, 2.5, 1}}, 0, Medium::raceway, wall);
  const CableShape shape = shaped(hand).cables[0];
  // Over two bend radii, in one bend of the angle that the slant has; then in its lane.
  const double radius = hand.job.catalogue.cables[0].bend_radius_m;
  const double angle = std::atan(0.008 / (2 * radius));
  ASSERT_EQ(shape.bends.size(), 1U);
  EXPECT_NEAR(
      shape.drawn_m,
      std::hypot(2 * radius, 0.008) + 2 - 2 * radius - radius * (2 * std::tan(angle / 2) - angle),
      1e-9);
}

}  // namespace roomloom
