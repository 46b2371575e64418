#include "tracks/tracks.h"

#include <gtest/gtest.h>

#include "tracks/graph_check.h"

namespace roomloom {
namespace {

using namespace roomloom::testing;

// Box of 4.2 x 5.4 m without a void, both ends on the same wall and at one height, 2 m apart: out
// of the wall by the stand-off, along, and back.
TEST(Tracks, OnOneWallTheWayIsTheDistanceAndTwiceTheStandOff) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 1", {1.0, 0, 1.0});
  const int b = add_end(c, prism, "b", "Wall 1", {3.0, 0, 1.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_NEAR(shortest_m(tracks, a, b), 2.0 + 2 * track_stand_off_m(c.job.catalogue), 1e-9);
}

// Round an inside corner: 1.2 m to the corner on one wall, 0.9 m from it on the next. The tracks
// meet on the line h off both walls, so each side is h shorter; the two ends add h each.
TEST(Tracks, RoundAnInsideCornerTheStandOffsCancel) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 1", {3.0, 0, 1.0});
  const int b = add_end(c, prism, "b", "Wall 2", {4.2, 0.9, 1.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_NEAR(shortest_m(tracks, a, b), 1.2 + 0.9, 1e-9);
}

TEST(Tracks, FoldsCarryTheAngleOfTheirSeam) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  add_run(c, "r", add_end(c, prism, "a", "Wall 1", {3.0, 0, 1.0}),
          add_end(c, prism, "b", "Wall 2", {4.2, 0.9, 1.0}));
  const Tracks tracks = tracks_of(c);
  int folds = 0;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.kind != EdgeKind::fold) continue;
    ++folds;
    EXPECT_NEAR(edge.turn_rad, kPi / 2, 1e-9);
    ASSERT_EQ(edge.charges.size(), 1U);
    EXPECT_EQ(tracks.charges[static_cast<std::size_t>(edge.charges[0])].name, "inside corner");
  }
  EXPECT_GT(folds, 0);
}

// A door between two ends at 1 m height: the way goes over it. Door 0.9 x 2.0 m from x = 1.5 to
// 2.4, clearance 50 mm and half a nominal raceway (40 x 25: 20 mm) above: up and down 1.07 m each.
TEST(Tracks, TheWayGoesOverADoorAtItsClearance) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  add_keep_out(c, prism, "Wall 1", {1.5, 0, 0}, {2.4, 0, 2.0}, 0.05, "Door");
  const int a = add_end(c, prism, "a", "Wall 1", {1.0, 0, 1.0});
  const int b = add_end(c, prism, "b", "Wall 1", {3.0, 0, 1.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  const double h = track_stand_off_m(c.job.catalogue);
  EXPECT_NEAR(shortest_m(tracks, a, b), 2.0 + 2 * (2.0 + 0.05 + 0.02 - 1.0) + 2 * h, 1e-6);
}

TEST(Tracks, NothingLiesWhereADoorSwings) {
  PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const Box3 swept{{1.5, 0, 0}, {2.4, 0.9, 2.0}};
  c.room.swept.push_back({MovingKind::door, prism_of(swept), -1, "where Door swings"});
  add_run(c, "r", add_end(c, prism, "a", "Wall 1", {1.0, 0, 1.0}),
          add_end(c, prism, "b", "Wall 1", {3.0, 0, 1.0}));
  const Tracks tracks = tracks_of(c);
  for (const TrackEdge& edge : tracks.edges)
    for (int i = 0; i <= 10; ++i) {
      const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
      const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
      EXPECT_FALSE(swept.grown(-0.001).contains(a + (i / 10.0) * (b - a)));
    }
}

// Through the void: front wall to back wall, by hand. Up to the jog's start, over to the hole, up
// through the tile to the hooks (0.015 + 0.15 m), across, and down again. The shortest way on the
// tracks is bounded below by the walls' distance and the heights.
TEST(Tracks, ThroughTheVoidTheWayIsAsLongAsTheRoomAsks) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 1", {2.0, 0, 1.0});
  const int b = add_end(c, prism, "b", "Wall 3", {2.0, 5.4, 1.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  const double rise = 2.5 + 0.015 + 0.15 - 1.0;
  const double found = shortest_m(tracks, a, b);
  // Around by the side walls it is 2.0 + 5.4 + 2.0 m and more; through the void 5.4 + 2 rises.
  EXPECT_GT(found, 5.4 + 2 * rise - 0.15);
  EXPECT_LT(found, 5.4 + 2 * rise + 0.05);
}

TEST(Tracks, HolesKeepClearOfTheGridAndOfWhatATileHolds) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  for (Crossing& crossing : c.room.crossings)  // something in the middle of every tile
    crossing.keep_outs.push_back(
        {{{crossing.region.outline[0].x + 0.2, crossing.region.outline[0].y + 0.2},
          {crossing.region.outline[0].x + 0.4, crossing.region.outline[0].y + 0.2},
          {crossing.region.outline[0].x + 0.4, crossing.region.outline[0].y + 0.4},
          {crossing.region.outline[0].x + 0.2, crossing.region.outline[0].y + 0.4}},
         0.02,
         Role::luminaire,
         -1,
         "Luminaire"});
  for (int i = 0; i < 6; ++i)
    add_run(c, "r" + std::to_string(i),
            add_end(c, prism, "a" + std::to_string(i), "Wall 1", {0.4 + 0.6 * i, 0, 1.0}),
            add_end(c, prism, "b" + std::to_string(i), "Wall 3", {0.5 + 0.6 * i, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  EXPECT_GT(count(tracks, EdgeKind::crossing, Medium::none), 8);
  expect_sound(tracks, c);
}

TEST(Tracks, ATileThatHoldsALuminaireAndCannotBeCutGetsNoHole) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  std::erase_if(c.room.crossings,
                [](const Crossing& crossing) { return crossing.tile && crossing.tile->row == 0; });
  add_run(c, "r", add_end(c, prism, "a", "Wall 1", {2.0, 0, 1.0}),
          add_end(c, prism, "b", "Wall 3", {2.0, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  for (const TrackEdge& edge : tracks.edges)
    if (edge.crossing >= 0) {
      EXPECT_NE(c.room.crossings[static_cast<std::size_t>(edge.crossing)].tile->row, 0);
    }
  expect_sound(tracks, c);
}

TEST(Tracks, VoidTracksGoRoundADuct) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  add_duct(c, prism, {1.2, 2.4, 2.52}, {3.0, 2.8, 2.9}, "Duct");
  const int a = add_end(c, prism, "a", "Wall 1", {2.0, 0, 2.0});
  const int b = add_end(c, prism, "b", "Wall 3", {2.0, 5.4, 2.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  // The nearer end of the duct, 25 mm clear of it: 2 x (2.0 - 1.175) m more than straight across.
  const double rise = 2.5 + 0.015 + 0.15 - 2.0;
  EXPECT_NEAR(shortest_m(tracks, a, b), 5.4 + 2 * rise + 2 * (2.0 - 1.175), 0.16);
}

// Tracks that followed the mean of the walls would drift off the tiles' grid by centimetres.
TEST(Tracks, InARoomOutOfSquareTracksInTheVoidRunAsTheTilesDo) {
  PrismRoom prism;
  prism.outline = {{0, 0}, {4.5, 0}, {4.2, 5.4}, {0, 5.3}};
  const Case c = [&] {
    Case made = make_case(prism);
    add_run(made, "r", add_end(made, prism, "a", "Wall 1", {2.1, 0, 1}),
            add_end(made, prism, "b", "Ceiling", {2.2, 3.1, 2.5}));
    return made;
  }();
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  int straight = 0;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.medium != Medium::support) continue;
    const Vec3 way = tracks.nodes[static_cast<std::size_t>(edge.b)].position -
                     tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    EXPECT_LT(std::min(std::abs(way.x), std::abs(way.y)), 1e-6);
    ++straight;
  }
  EXPECT_GT(straight, 5);
}

TEST(Tracks, DirectPathsInTheVoidAreStraight) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 1", {0.9, 0, 2.0});
  const int b = add_end(c, prism, "b", "Wall 3", {3.3, 5.4, 2.0});
  add_run(c, "r", a, b);
  const double square = shortest_m(tracks_of(c), a, b);
  c.job.prefer.void_paths = VoidPaths::direct;
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_LT(shortest_m(tracks, a, b), square - (2.4 + 5.2 - std::hypot(2.4, 5.2)) + 0.2);
}

TEST(Tracks, BesideMainsAreClosedToSignalsButMayBeCrossed) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  c.room.power.push_back({{0, 0, 0.5}, {4.2, 0, 0.5}, 0.01, 0.3, -1, "Mains"});
  add_run(c, "r", add_end(c, prism, "a", "Wall 1", {1, 0, 0.6}),
          add_end(c, prism, "b", "Wall 1", {3, 0, 1.5}));
  const Tracks tracks = tracks_of(c);
  int closed = 0, crossing = 0;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold) continue;
    const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    const bool level = std::abs(a.z - b.z) < 1e-6 && std::abs(a.x - b.x) > 0.01;
    const bool near = std::abs(a.z - 0.5) < 0.29 && a.y < 0.05;
    if (level && near && b.y < 0.05) {
      EXPECT_NE(edge.closed_to & service_bit(Service::network), 0U);
      EXPECT_EQ(edge.closed_to & service_bit(Service::mains), 0U);
      EXPECT_EQ(edge.closed_to & service_bit(Service::fibre), 0U) << "light is not disturbed";
      ++closed;
    }
    if (std::abs(a.x - b.x) < 1e-6 && std::abs(a.y - b.y) < 1e-6 && near) {
      EXPECT_EQ(edge.closed_to, 0U) << "crossing at right angles is allowed";
      ++crossing;
    }
  }
  EXPECT_GT(closed, 0);
  EXPECT_GT(crossing, 0);
}

TEST(Tracks, PlacesAnEndMayMoveToAreTerminalsToo) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 1", {1, 0, 1});
  EndPlace other = c.ends.ends[0].place;
  other.position = {1.5, 0, 1.3};
  c.ends.ends[0].may_move_to.push_back(other);
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 2", {4.2, 2, 1}));
  const Tracks tracks = tracks_of(c);
  ASSERT_GE(terminal_of(tracks, a, 0).node, 0);
  EXPECT_NEAR(
      distance(tracks.nodes[static_cast<std::size_t>(terminal_of(tracks, a, 0).node)].position,
               other.position),
      0, 1e-9);
}

/// A busy room, used by the property tests: everything that has tracks of its own.
Case busy_case(const PrismRoom& prism) {
  Case c = make_case(prism);
  add_keep_out(c, prism, "Wall 3", {1.2, 5.4, 0}, {2.1, 5.4, 2.0}, 0.05, "Door");
  add_keep_out(c, prism, "Wall 2", {4.2, 2.0, 0.9}, {4.2, 3.4, 2.0}, 0.03, "Window");
  add_duct(c, prism, {1.0, 3.1, 2.6}, {3.2, 3.5, 2.9}, "Duct");
  const int zone = add_zone(c, prism, "Behind the stand", {1.3, 0, 0}, {1.6, 0.1, 0.6});
  const Vec3 places[] = {{4.2, 1.0, 1.2}, {4.2, 4.1, 1.2}, {3.1, 5.4, 1.2},
                         {0.5, 5.4, 2.1}, {0, 4.0, 1.2},   {0, 1.3, 2.1}};
  const char* walls[] = {"Wall 2", "Wall 2", "Wall 3", "Wall 3", "Wall 4", "Wall 4"};
  for (int i = 0; i < 6; ++i)
    add_run(c, "r" + std::to_string(i),
            add_port(c, prism, "p" + std::to_string(i), zone, {1.6 + 0.17 * i, 0.1, 0.4}),
            add_end(c, prism, "e" + std::to_string(i), walls[i], places[i]), i % 2);
  return c;
}

double all_lengths(const Case& c) {
  const Tracks tracks = tracks_of(c);
  double sum = 0;
  for (const Run& run : c.ends.runs) sum += shortest_m(tracks, run.from, run.to);
  return sum;
}

TEST(TracksProperty, TurningMovingAndMirroringTheRoomChangesNoLength) {
  const double expected = all_lengths(busy_case(box_prism(4.2, 5.4)));
  ASSERT_TRUE(std::isfinite(expected));
  for (const double turn : {0.3, kPi / 2, 2.0, kPi}) {
    PrismRoom prism = box_prism(4.2, 5.4);
    prism.turn_rad = turn;
    prism.moved = {13.7, -5.1, 2.3};
    // A duct turned by an odd angle is a larger box in the void's frame, which is the room's doing.
    Case c = busy_case(prism);
    if (turn == 0.3 || turn == 2.0) c.room.voids[0].obstacles.clear();
    Case plain = busy_case(box_prism(4.2, 5.4));
    if (turn == 0.3 || turn == 2.0) plain.room.voids[0].obstacles.clear();
    EXPECT_NEAR(all_lengths(c), all_lengths(plain), 1e-6) << "turned by " << turn;
    prism.mirrored = true;
    Case mirrored = busy_case(prism);
    if (turn == 0.3 || turn == 2.0) mirrored.room.voids[0].obstacles.clear();
    EXPECT_NEAR(all_lengths(mirrored), all_lengths(plain), 1e-6) << "mirrored, by " << turn;
  }
}

TEST(TracksProperty, TheSameRoomGivesTheSameGraph) {
  const Tracks a = tracks_of(busy_case(box_prism(4.2, 5.4)));
  const Tracks b = tracks_of(busy_case(box_prism(4.2, 5.4)));
  ASSERT_EQ(a.edges.size(), b.edges.size());
  for (std::size_t i = 0; i < a.nodes.size(); ++i)
    EXPECT_EQ(a.nodes[i].position, b.nodes[i].position);
  for (std::size_t i = 0; i < a.edges.size(); ++i) {
    EXPECT_EQ(a.edges[i].a, b.edges[i].a);
    EXPECT_EQ(a.edges[i].charges, b.edges[i].charges);
  }
}

TEST(TracksProperty, ABusyRoomIsSoundAsGeometry) {
  const Case c = busy_case(box_prism(4.2, 5.4));
  expect_sound(tracks_of(c), c);
}

// A six-sided bay: corners at 135 degrees fold by 45 degrees, and the graph stays within budget.
TEST(Tracks, ABayWithSlantedWallsFoldsAtItsOwnAngles) {
  PrismRoom prism;
  prism.outline = {{0, 0}, {4, 0}, {4, 4}, {3, 5}, {1, 5}, {0, 4}};
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 2", {4, 3.0, 1.0});
  const int b = add_end(c, prism, "b", "Wall 4", {2.0, 5, 1.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_LT(tracks.edges.size(), static_cast<std::size_t>(kTrackEdgeBudget));
  // 1 m, the slanted wall's sqrt(2), 1 m; at each corner the tracks meet h tan(22.5 degrees) early
  // on both walls; at both ends the stand-off is added.
  const double h = track_stand_off_m(c.job.catalogue);
  const double expected = 2 + std::sqrt(2.0) - 4 * h * std::tan(kPi / 8) + 2 * h;
  EXPECT_NEAR(shortest_m(tracks, a, b), expected, 1e-6);
  bool found = false;
  for (const TrackEdge& edge : tracks.edges)
    found = found || (edge.kind == EdgeKind::fold && std::abs(edge.turn_rad - kPi / 4) < 1e-6);
  EXPECT_TRUE(found);
}

TEST(Tracks, PastTheBudgetTracksAreMergedAndItIsSaid) {
  const PrismRoom prism = box_prism(30, 30);
  Case c = make_case(prism);
  for (int i = 0; i < 400; ++i) {
    const double along = 0.2 + 0.0737 * i, up = 0.2 + 0.0053 * i;
    add_end(c, prism, "a" + std::to_string(i), i % 2 != 0 ? "Wall 1" : "Wall 3",
            {along, i % 2 != 0 ? 0.0 : 30.0, up});
    add_end(c, prism, "b" + std::to_string(i), i % 2 != 0 ? "Wall 2" : "Wall 4",
            {i % 2 != 0 ? 30.0 : 0.0, along, up});
    add_run(c, "r" + std::to_string(i), 2 * i, 2 * i + 1);
  }
  const Tracks tracks = tracks_of(c);
  EXPECT_LE(tracks.edges.size(), static_cast<std::size_t>(kTrackEdgeBudget));
  ASSERT_FALSE(tracks.coarsened.empty());
  EXPECT_GT(tracks.merge_tolerance_m, 0.06);
}

}  // namespace
}  // namespace roomloom
