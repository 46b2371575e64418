#include "shape/lanes.h"

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "shape/drawn_distance.h"
#include "shape/hand_room.h"
#include "shape/shape.h"

namespace roomloom {
namespace {

CableShapes shaped(const testing::HandRoom& hand) {
  return shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

// Runs that share a trunk x, y, x, z in a void and leave it one after the other to both sides.
testing::HandRoom trunk(int runs) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(12, 12, 2.5, 2);
  const std::vector<Vec3> shared{{1, 1, 3}, {3, 1, 3}, {3, 4, 3}, {6, 4, 3}, {6, 4, 4}};
  for (int i = 0; i < runs; ++i) {
    std::vector<Vec3> way{{0.5, 0.4 + 0.1 * i, 3}, {1, 0.4 + 0.1 * i, 3}};
    if (std::abs(0.4 + 0.1 * i - 1) < 1e-9) way.pop_back();
    way.insert(way.end(), shared.begin(), shared.end());
    const double x = 6.5 + 0.3 * i;
    way.push_back({x, 4, 4});
    way.push_back({x, i % 2 == 0 ? 5.0 : 3.0, 4});
    // All nodes of the last stretch lie on it, so that it is shared as well.
    for (int k = 0; k < i; ++k) way.insert(way.end() - 2, Vec3{6.5 + 0.3 * k, 4, 4});
    hand.run("S" + std::to_string(i + 1), way, 0, Medium::support, plenum);
  }
  return hand;
}

void expect_apart(const CableShapes& shapes, double need) {
  for (std::size_t a = 0; a < shapes.cables.size(); ++a)
    for (std::size_t b = a + 1; b < shapes.cables.size(); ++b)
      EXPECT_GE(testing::straight_distance(shapes.cables[a], shapes.cables[b], 0.03), need - 1e-5)
          << a << " and " << b;
}

}  // namespace

TEST(Lanes, ARunByItselfLiesOnItsTrack) {
  const CableShapes shapes = shaped(trunk(1));
  EXPECT_EQ(shapes.cables[0].lane, Vec3{});
  EXPECT_TRUE(shapes.overlaps.empty());
}

TEST(Lanes, RunsOfATrunkInThreeDirectionsKeepACableApart) {
  for (const int runs : {2, 5, 9}) {
    const CableShapes shapes = shaped(trunk(runs));
    expect_apart(shapes, 0.006);
    for (const std::string& overlap : shapes.overlaps)
      EXPECT_EQ(overlap.find("no lanes"), std::string::npos) << overlap;
  }
}

// Where five cables turn in three planes one after the other, some cross as drawn: in fittings
// only.
TEST(Lanes, RunsInAVoidOverlapInFittingsInHalfOfAllPairsAtMost) {
  const CableShapes shapes = shaped(trunk(5));
  EXPECT_LE(shapes.overlaps.size(), 5U);  // of ten pairs
  for (const std::string& overlap : shapes.overlaps)
    EXPECT_NE(overlap.find("fitting"), std::string::npos) << overlap;
}

TEST(Lanes, OneOfTwoTracksThatCrossStepsOver) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(4, 4, 2.5, 1);
  hand.run("S1", {{0, 1, 3}, {1, 1, 3}, {2, 1, 3}}, 0, Medium::support, plenum);
  hand.run("S2", {{1, 0, 3}, {1, 1, 3}, {1, 2, 3}}, 0, Medium::support, plenum);
  const CableShapes shapes = shaped(hand);
  EXPECT_GE(testing::straight_distance(shapes.cables[0], shapes.cables[1], 0.01), 0.006 - 1e-5);
  EXPECT_TRUE(shapes.overlaps.empty());
}

TEST(Lanes, ParallelTracksNearerThanACableAreKeptApart) {
  testing::HandRoom hand;
  const PlaceId plenum = hand.plenum(4, 4, 2.5, 1);
  for (int i = 0; i < 2; ++i) {
    const double y = 1 + 0.002 * i;
    hand.run("S" + std::to_string(i),
             {{0, 1 + 0.3 * i, 3}, {0.5, y, 3}, {3, y, 3}, {3.5, 2.0 - i, 3}}, 0, Medium::support,
             plenum);
  }
  expect_apart(shaped(hand), 0.006);
}

TEST(Lanes, StayInsideTheRaceway) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
  for (int i = 0; i < 4; ++i) {
    const double z = 0.3 + 0.1 * i;
    hand.run("S" + std::to_string(i),
             {{0.008, 0.5, z},
              {0.008, 1, z},
              {0.008, 1, 1},
              {0.008, 1, 2},
              {0.008, 3 + 0.1 * i, 2},
              {0.008, 3 + 0.1 * i, 2.5}},
             0, Medium::raceway, wall);
  }
  hand.buy_raceway(1);
  const CableShapes shapes = shaped(hand);
  expect_apart(shapes, 0.006);
  for (const CableShape& shape : shapes.cables) {
    // 25 mm deep, clear 22: the centre of a 6 mm cable lies 4.5 to 20.5 mm off the wall.
    EXPECT_GE(0.008 + shape.lane.x, 0.0045 - 1e-9);
    EXPECT_LE(0.008 + shape.lane.x, 0.0205 + 1e-9);
    EXPECT_LE(std::abs(shape.lane.y), 0.0155 + 1e-9);
    EXPECT_LE(std::abs(shape.lane.z), 0.0155 + 1e-9);
  }
}

// Six cables to a raceway for three, along a wall near the floor and then up it, left or right of
// its middle: raceways are put beside the track towards the middle, so that they count outwards
// before the corner and inwards after it, or the same way.
TEST(Lanes, OfRacewaysSideBySideTheInnerTurnsIntoTheInner) {
  for (const double x : {1.0, 3.0}) {
    testing::HandRoom hand;
    const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {1, 0, 0}, {0, 0, 1}, 4, 3);
    for (int i = 0; i < 6; ++i)
      hand.run("S" + std::to_string(i), {{0.3, -0.0125, 0.3}, {x, -0.0125, 0.3}, {x, -0.0125, 1.2}},
               0, Medium::raceway, wall);
    hand.buy_raceway(1, 2);
    for (EdgeOption& option : hand.tracks.options)
      option.capacity_m2 = 3.5 * kPi / 4 * 0.006 * 0.006;
    const CableShapes shapes = shaped(hand);
    std::map<int, std::vector<Vec3>>
        ends;  // by run: of the raceways that it lies in, at the corner
    for (const RacewayShape& bar : shapes.raceways)
      for (const int run : bar.runs)
        for (const Vec3& end : {bar.from, bar.to})
          if (distance(end, {x, -0.0125, 0.3}) < 0.1 && distance(bar.from, bar.to) > 0.3)
            ends[run].push_back(end);
    EXPECT_EQ(ends.size(), 6U);
    std::set<int> places;
    for (const auto& [run, two] : ends) {
      ASSERT_EQ(two.size(), 2U) << run;
      // Both on the track, or both a width off it, 57 mm from each other.
      const auto off = [&](const Vec3& end) { return distance(end, {x, -0.0125, 0.3}) > 0.02; };
      const bool inner_turns = x > 2;
      EXPECT_EQ(off(two[0]) == off(two[1]), inner_turns) << x << " run " << run;
      places.insert(off(two[0]) ? 1 : 0);
    }
    EXPECT_EQ(places.size(), 2U) << "both raceways are used";
  }
}

TEST(Lanes, ThatDoNotExistAreTold) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
  for (int i = 0; i < 6; ++i)
    hand.run("S" + std::to_string(i),
             {{0.008, 0.2 * i, 0.5}, {0.008, 1.5, 1}, {0.008, 1.5, 2}, {0.008, 3, 2.1 + 0.1 * i}},
             0, Medium::raceway, wall);
  hand.buy_raceway(0);  // clear 13.5 mm: four cables of 6 mm at most
  bool told = false;
  for (const std::string& overlap : shaped(hand).overlaps)
    told = told || overlap.find("found no lanes of their own") != std::string::npos;
  EXPECT_TRUE(told);
}

TEST(Lanes, StayOffAnObstacleBesideTheTrack) {
  testing::HandRoom hand = trunk(6);
  // A duct whose face is 25 mm from the trunk's second stretch, on its -x side.
  VoidObstacle duct;
  duct.box.add(Vec3{2.5, 1.5, 0});
  duct.box.add(Vec3{2.975, 3.5, 1.9});
  duct.clearance_m = 0.015;
  hand.room.voids[0].obstacles.push_back(duct);
  const CableShapes shapes = shaped(hand);
  expect_apart(shapes, 0.006);
  for (const CableShape& shape : shapes.cables) EXPECT_GE(3 + shape.lane.x - 0.003, 2.99 - 1e-9);
}

TEST(Lanes, AnInsideCornerBetweenTwoWallsIsSharedWithoutTouching) {
  testing::HandRoom hand;
  const PlaceId left = hand.sheet("Wall left", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 4, 3);
  const PlaceId front = hand.sheet("Wall front", {0, 4, 0}, {1, 0, 0}, {0, 0, 1}, 4, 3);
  hand.room.sheets[1].frame.n = {0, -1, 0};
  for (int i = 0; i < 3; ++i) {
    const Vec3 start{0.0125, 0.5 + 0.2 * i, 0.5};
    hand.edge({0.0125, 0.5 + 0.2 * i, 2}, start, Medium::raceway, left);
  }
  const auto way = [&](int i) {
    std::vector<Vec3> points{{0.0125, 0.5 + 0.2 * i, 0.5}};
    for (int k = i; k < 3; ++k) points.push_back({0.0125, 0.5 + 0.2 * k, 2});
    points.push_back({0.0125, 3.9875, 2});
    return points;
  };
  for (int i = 0; i < 3; ++i) {
    std::vector<Vec3> points = way(i);
    for (std::size_t p = 1; p + 1 < points.size(); ++p)
      if (hand.steps({points[p], points[p + 1]}).empty())
        hand.edge(points[p], points[p + 1], Medium::raceway, left);
    for (int k = 0; k <= i; ++k) points.push_back({2 + 0.3 * k, 3.9875, 2});
    points.push_back({2 + 0.3 * i, 3.9875, 1});
    hand.run("S" + std::to_string(i), points, 0, Medium::raceway, front);
  }
  hand.buy_raceway(1);
  const CableShapes shapes = shaped(hand);
  expect_apart(shapes, 0.006);
  // Those that come in last leave last: one of them crosses the others in the fitting where it
  // leaves.
  for (const std::string& overlap : shapes.overlaps)
    EXPECT_NE(overlap.find("inside a fitting"), std::string::npos) << overlap;
}

}  // namespace roomloom
