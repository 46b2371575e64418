#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "tracks/graph_check.h"
#include "tracks/tracks.h"

// How ends, ports and mouths of holes are joined to tracks.
namespace roomloom {
namespace {

using namespace roomloom::testing;

/// The edges that lead to this end alone.
std::vector<TrackEdge> ways_of(const Tracks& tracks, int end) {
  std::vector<TrackEdge> ways;
  for (const TrackEdge& edge : tracks.edges)
    if (edge.only_end == end) ways.push_back(edge);
  return ways;
}

TEST(Tracks, PortsReachTheWallByFreeWaysInsideTheirZone) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int zone = add_zone(c, prism, "Behind the stand", {1.3, 0, 0}, {1.6, 0.1, 0.6});
  const int a = add_port(c, prism, "amp", zone, {1.6, 0.1, 0.4});
  const int b = add_end(c, prism, "b", "Wall 2", {4.2, 2.0, 0.3});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_TRUE(std::isfinite(shortest_m(tracks, a, b)));
  EXPECT_GT(count(tracks, EdgeKind::lead_in, Medium::free), 3);
  EXPECT_GT(count(tracks, EdgeKind::along, Medium::bare), 0) << "behind the stand nothing shows";
}

TEST(Tracks, ASmallSpaceBehindGearStaysOpenBesideMainsAndALongOneDoesNot) {
  const auto closed_within = [](double width) {
    const PrismRoom prism = box_prism(4.2, 5.4);
    Case c = make_case(prism);
    const int zone = add_zone(c, prism, "Behind the box", {1.3, 0, 0.2}, {width, 0.2, 0.4});
    add_run(c, "r", add_port(c, prism, "box", zone, {1.3 + 0.3 * width, 0.2, 0.5}),
            add_end(c, prism, "b", "Wall 2", {4.2, 2.0, 1.5}));
    c.room.power.push_back({{0, 0, 0.5}, {4.2, 0, 0.5}, 0.01, 0.3, -1, "Mains"});
    const Tracks tracks = tracks_of(c);
    return std::count_if(tracks.edges.begin(), tracks.edges.end(), [&](const TrackEdge& edge) {
      return edge.home.kind == PlaceKind::zone && edge.home.index == zone &&
             (edge.closed_to & service_bit(Service::network)) != 0;
    });
  };
  EXPECT_EQ(closed_within(0.5), 0) << "0.5 m and less is a passing by";
  EXPECT_GT(closed_within(1.2), 0);
}

TEST(Tracks, AZoneThatTouchesNothingIsNamed) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int zone = add_zone(c, prism, "Behind the island", {1.8, 2.0, 0}, {0.6, 0.1, 0.6});
  const int a = add_port(c, prism, "amp", zone, {2.0, 2.05, 0.4});
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 2", {4.2, 2.0, 0.3}));
  const Tracks tracks = tracks_of(c);
  const Terminal& terminal = terminal_of(tracks, a);
  EXPECT_EQ(terminal.node, -1);
  EXPECT_NE(terminal.blocked_by.find("Behind the island"), std::string::npos);
}

// 0.4 m from the wall, its tip 0.3 m up: along the skirting, over the floor at the height of the
// skirting's tracks, then upright. Never through the air.
TEST(Tracks, AnEndOnTheFloorIsReachedOverTheFloorFromTheFootOfItsWall) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "sub", "Floor", {0.4, 2.0, 0.3});
  const int b = add_end(c, prism, "b", "Wall 4", {0, 3.0, 0.0125});
  add_run(c, "r", a, b);
  add_floor_way(c, a, "Wall 4");
  const Tracks tracks = tracks_of(c);
  const double h = track_stand_off_m(c.job.catalogue);
  EXPECT_NEAR(shortest_m(tracks, a, b), h + 1.0 + (0.4 - h) + (0.3 - h), 0.001);
  int over_floor = 0;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.home.kind != PlaceKind::zone || edge.kind == EdgeKind::turn) continue;
    ++over_floor;
    EXPECT_EQ(edge.medium, Medium::bare);
    const Zone& zone = c.ends.zones[static_cast<std::size_t>(edge.home.index)];
    for (const int node : {edge.a, edge.b}) {
      const Vec3 p = zone.frame.to_local(tracks.nodes[static_cast<std::size_t>(node)].position);
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_GE(p[axis], -1e-9);
        EXPECT_LE(p[axis], zone.size[axis] + 1e-9);
      }
    }
  }
  EXPECT_EQ(over_floor, 2);
}

TEST(Tracks, AnEndOnTheFloorThatHugsAWallIsReachedStraight) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "sub", "Floor", {0.07, 2.0, 0.2});
  const int b = add_end(c, prism, "b", "Wall 4", {0, 3.0, 0.2});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  const double h = track_stand_off_m(c.job.catalogue);
  EXPECT_NEAR(shortest_m(tracks, a, b), (0.07 - h) + 1.0 + h, 0.001);
}

TEST(Tracks, AWayOverTheFloorGoesNotWhereADoorSwings) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "sub", "Floor", {1.4, 2.0, 0.3});
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 4", {0, 3.5, 0.5}));
  add_floor_way(c, a, "Wall 4");
  c.room.swept.push_back(
      {MovingKind::door, prism_of(Box3{{0, 1.5, 0}, {0.9, 2.4, 2.0}}), -1, "where Door swings"});
  const Tracks tracks = tracks_of(c);
  EXPECT_EQ(terminal_of(tracks, a).node, -1);
  EXPECT_FALSE(terminal_of(tracks, a).blocked_by.empty());
}

TEST(Tracks, AnEndInTheMiddleOfTheFloorIsBlockedByTheFloor) {
  const PrismRoom prism = box_prism(9, 9);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "seat", "Floor", {4.5, 4.5, 0});
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 4", {0, 3.0, 1}));
  const Tracks tracks = tracks_of(c);
  EXPECT_EQ(terminal_of(tracks, a).node, -1);
  EXPECT_NE(terminal_of(tracks, a).blocked_by.find("Floor"), std::string::npos);
}

TEST(Tracks, AnEndInTheCeilingIsReachedThroughItsTile) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int a = add_end(c, prism, "top", "Ceiling", {2.1, 2.7, 2.5});
  const int b = add_end(c, prism, "b", "Wall 1", {2.1, 0, 1.0});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_NEAR(shortest_m(tracks, a, b), 0.165 + 2.7 + 2.665 - 1.0, 0.15);
}

// A hole beside the wall is all but above the end: cable cannot turn in so little, and no other
// hole may be cut beside it. So one is offered farther off, and the near one is not joined.
TEST(Tracks, AnEndInTheCeilingIsNotReachedFromAHoleInWhichTheCableCannotTurn) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int top = add_end(c, prism, "top", "Ceiling", {2.1, 0.11, 2.5});
  const int beside = add_end(c, prism, "beside", "Wall 1", {2.1, 0, 1.0});
  add_run(c, "r", top, add_end(c, prism, "far", "Wall 3", {2.1, 5.4, 1.0}));
  add_run(c, "q", beside, add_end(c, prism, "farther", "Wall 3", {1.1, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  const double turn = 3 * c.job.catalogue.cables[0].bend_radius_m;
  EXPECT_FALSE(ways_of(tracks, top).empty());
  for (const TrackEdge& way : ways_of(tracks, top))
    EXPECT_TRUE(way.length_m < 0.001 || way.length_m >= turn - 1e-6) << way.length_m;
}

// What an end may need later is no reason to hang its cable below the tiles today, to a hole that
// is cut where it may be moved to.
TEST(Tracks, AnEndInTheCeilingIsReachedThroughTheHoleStraightAboveItWhereverItMayMove) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int top = add_end(c, prism, "top", "Ceiling", {2.1, 2.7, 2.5});
  for (const double y : {2.55, 2.85}) {
    EndPlace moved = c.ends.ends[static_cast<std::size_t>(top)].place;
    moved.position = prism.place({2.3, y, 2.5});
    c.ends.ends[static_cast<std::size_t>(top)].may_move_to.push_back(moved);
  }
  add_run(c, "r", top, add_end(c, prism, "far", "Wall 3", {2.1, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  for (const TrackEdge& way : ways_of(tracks, top)) EXPECT_LT(way.length_m, 0.001);
  EXPECT_EQ(ways_of(tracks, top).size(), 3U) << "one for today and one for each place";
}

// Where a duct lies just over the hole, cable hangs below the tiles to the next; that is seen.
TEST(Tracks, BelowADuctAnEndInTheCeilingIsReachedFromAHoleBesideWhichIsSeen) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int top = add_end(c, prism, "top", "Ceiling", {2.1, 2.7, 2.5});
  add_duct(c, prism, {1.95, 2.55, 2.53}, {2.25, 2.85, 2.9}, "Duct");
  const int other = add_end(c, prism, "other", "Ceiling", {2.1, 3.1, 2.5});
  const int far = add_end(c, prism, "far", "Wall 3", {2.1, 5.4, 1.0});
  add_run(c, "r", top, far);
  add_run(c, "q", other, far);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  const auto ways = ways_of(tracks, top);
  ASSERT_EQ(ways.size(), 1U);
  EXPECT_NEAR(ways[0].length_m, 0.4, 0.001);
  EXPECT_NEAR(ways[0].visible_m, ways[0].length_m, 1e-9);
}

// Else cable would be planned round a bend that nobody pays, past the mouth of a hole that nobody
// cuts, or by another end's own tip.
TEST(Tracks, NoFreeWayLeadsIntoAnotherWhereTracksPass) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int zone = add_zone(c, prism, "Behind the stand", {1.3, 0, 0}, {1.6, 0.1, 0.6});
  const int top = add_end(c, prism, "top", "Ceiling", {0.5, 2.7, 2.5});
  add_run(c, "r", add_port(c, prism, "amp", zone, {1.6, 0.1, 0.4}), top);
  add_run(c, "q", add_port(c, prism, "amp 2", zone, {1.7, 0.1, 0.4}),
          add_end(c, prism, "b", "Wall 4", {0, 2.6, 1}));
  const Tracks tracks = tracks_of(c);
  std::vector<int> free(tracks.nodes.size()), others(tracks.nodes.size());
  for (const TrackEdge& edge : tracks.edges)
    for (const int node : {edge.a, edge.b}) {
      const bool is_free = edge.medium == Medium::free && edge.kind == EdgeKind::lead_in;
      ++(is_free ? free : others)[static_cast<std::size_t>(node)];
    }
  int met = 0;
  for (std::size_t n = 0; n < tracks.nodes.size(); ++n) {
    if (free[n] == 0 || others[n] == 0) continue;
    ++met;
    EXPECT_EQ(free[n], 1) << "node " << n;
  }
  EXPECT_GT(met, 3);
  const int tip = terminal_of(tracks, top).node;
  for (const TrackEdge& edge : tracks.edges) {
    const bool leads_there = edge.a == tip || edge.b == tip;
    EXPECT_TRUE(!leads_there || edge.only_end == top);
  }
}

/// What one cable pays for these edges.
double price_of(const Tracks& tracks, const std::vector<const TrackEdge*>& edges) {
  double price = 0;
  std::set<int> charges;
  for (const TrackEdge* edge : edges) {
    price += edge->per_run_cost;
    charges.insert(edge->charges.begin(), edge->charges.end());
  }
  for (const int charge : charges) price += tracks.charges[static_cast<std::size_t>(charge)].price;
  return price;
}

struct WaysRoundElbows {
  int at_moves = 0, elsewhere = 0;
};

/// Turns of two steps, by a third way that leaves the point, beside each elbow between raceways.
WaysRoundElbows expect_no_cheap_way_round_an_elbow(const Tracks& tracks, const Case& c) {
  const auto near = [&](const Vec3& p, bool moved) {
    return std::any_of(c.ends.ends.begin(), c.ends.ends.end(), [&](const End& end) {
      const auto here = [&](const EndPlace& place) { return distance(place.position, p) < 0.06; };
      return moved ? std::any_of(end.may_move_to.begin(), end.may_move_to.end(), here)
                   : here(end.place);
    });
  };
  std::map<std::pair<int, int>, const TrackEdge*> turns;
  for (const TrackEdge& edge : tracks.edges)
    if (edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold)
      turns[{edge.a, edge.b}] = turns[{edge.b, edge.a}] = &edge;
  WaysRoundElbows met;
  for (const auto& [nodes, elbow] : turns) {
    const auto [a, b] = nodes;
    const Vec3& where = tracks.nodes[static_cast<std::size_t>(a)].position;
    if (a > b || elbow->medium != Medium::raceway || elbow->charges.empty()) continue;
    if (near(where, false)) continue;  // its box is passed
    for (auto step = turns.lower_bound({a, 0}); step != turns.end() && step->first.first == a;
         ++step) {
      const auto back = turns.find({step->first.second, b});
      if (back == turns.end()) continue;
      ++(near(where, true) ? met.at_moves : met.elsewhere);
      EXPECT_GE(price_of(tracks, {step->second, back->second}) + 1e-9, price_of(tracks, {elbow}))
          << where.x << ' ' << where.y << ' ' << where.z;
    }
  }
  return met;
}

// Cable that leaves one raceway at a corner and enters the other there needs the elbow as much as
// if it had stayed in: a way past it that costs less hides the elbow from the plan and its price.
TEST(Tracks, NoTurnBesideAnElbowCostsLessThanTheElbow) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int zone = add_zone(c, prism, "Behind the stand", {1.3, 0, 0}, {1.6, 0.1, 0.6});
  const int moving = add_end(c, prism, "h", "Wall 3", {4.1, 5.4, 2.0});
  for (const Vec3& p : {Vec3{4.2, 5.4, 2.0}, Vec3{4.1, 5.4, 1.9}, Vec3{4.0, 5.4, 2.0}}) {
    EndPlace moved = c.ends.ends[static_cast<std::size_t>(moving)].place;
    moved.position = prism.place(p);
    c.ends.ends[static_cast<std::size_t>(moving)].may_move_to.push_back(moved);
  }
  add_run(c, "r", add_port(c, prism, "amp", zone, {1.6, 0.1, 0.4}), moving);
  add_run(c, "q", add_port(c, prism, "amp 2", zone, {1.7, 0.1, 0.4}),
          add_end(c, prism, "b", "Wall 4", {0, 2.6, 1}));
  const WaysRoundElbows met = expect_no_cheap_way_round_an_elbow(tracks_of(c), c);
  EXPECT_GT(met.at_moves, 0);
  EXPECT_GT(met.elsewhere, 0);
}

TEST(Tracks, FromBehindACurtainToTheCeilingCloseByCableStaysBare) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  const auto raceway_over = [&](double curtain_m) {
    Case c = make_case(prism);
    add_zone(c, prism, "Behind the curtain", {0.5, 0, 0}, {3.2, 0.3, curtain_m});
    add_run(c, "r", add_end(c, prism, "a", "Wall 1", {2.1, 0, 1}),
            add_end(c, prism, "b", "Wall 3", {2.1, 5.4, 1}));
    const Tracks tracks = tracks_of(c);
    int edges = 0;
    for (const TrackEdge& edge : tracks.edges) {
      const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
      const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
      const bool upright = std::abs(a.z - b.z) > 0.01, on_wall = a.y < 0.1 && b.y < 0.1;
      if (edge.medium == Medium::raceway && upright && on_wall && a.x > 0.6 && a.x < 3.6) ++edges;
    }
    return edges;
  };
  EXPECT_EQ(raceway_over(2.42), 0);
  EXPECT_GT(raceway_over(2.2), 0) << "30 cm over it are more than a gap";
}

TEST(Tracks, NoLegOfMillimetresLeadsFromATrackPastAnOutletToAnEndBesideIt) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  for (int mm = 304; mm < 360; mm += 2) {
    Case c = make_case(prism);
    add_keep_out(c, prism, "Wall 1", {2.6, 0, 0.2}, {2.7, 0, 0.3}, 0.02, "Outlet");
    add_run(c, "r", add_end(c, prism, "a", "Wall 1", {1.5, 0, 0.001 * mm}),
            add_end(c, prism, "b", "Wall 3", {2.1, 5.4, 1}));
    const Tracks tracks = tracks_of(c);
    for (const TrackEdge& edge : tracks.edges) {
      const bool leg = edge.medium == Medium::raceway && edge.length_m > 1e-6;
      EXPECT_TRUE(!leg || edge.length_m > 0.012) << edge.length_m << " m, end at " << mm << " mm";
    }
  }
}

TEST(Tracks, EndsOnWhatCannotBeFixedToNameIt) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  c.room.sheets[0].fixable = false;
  const int a = add_end(c, prism, "a", "Wall 1", {1, 0, 1});
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 2", {4.2, 2.0, 1}));
  const Tracks tracks = tracks_of(c);
  EXPECT_EQ(terminal_of(tracks, a).node, -1);
  EXPECT_NE(terminal_of(tracks, a).blocked_by.find("Wall 1"), std::string::npos);
}

// Cable may lean a hand's breadth from a wall's raceway to a hole; farther it would hang bare below
// the tiles. Common practice, no source.
constexpr double kLean_m = 0.13;

/// How far off "Wall 1", at y = 0, what leads from it free to holes in the ceiling ends, at most.
double farthest_lead_m(const Tracks& tracks) {
  double farthest = 0;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.kind != EdgeKind::lead_in || edge.medium != Medium::free) continue;
    const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    if (std::max(a.z, b.z) > 2.501 || std::max(a.z, b.z) < 2.4 || std::min(a.y, b.y) > 0.02)
      continue;
    farthest = std::max({farthest, a.y, b.y});
  }
  return farthest;
}

Case wall_below_an_end(const PrismRoom& prism) {
  Case c = make_case(prism);
  add_run(c, "r", add_end(c, prism, "top", "Ceiling", {2.1, 0.3, 2.5}),
          add_end(c, prism, "b", "Wall 1", {2.1, 0, 1.0}));
  return c;
}

TEST(Tracks, NothingHangsBareFromAWallToAHoleFartherOffWhereOneCloseByServesIt) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  const Case c = wall_below_an_end(prism);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_GT(farthest_lead_m(tracks), 0.01) << "there is a hole close by";
  EXPECT_LT(farthest_lead_m(tracks), kLean_m);
  EXPECT_GE(terminal_of(tracks, 0).node, 0);
}

// An end 10 mm off a tee gets its hole beside it. From the wall's own hole, which the cable need
// not pass, it would hang bare all the way.
TEST(Tracks, AnEndBesideATeeIsReachedThroughAHoleOfItsOwnAndNotFromTheWallsMouth) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int top = add_end(c, prism, "top", "Ceiling", {2.41, 0.3, 2.5});
  const int wall = add_end(c, prism, "b", "Wall 1", {2.41, 0, 1.0});
  add_run(c, "r", top, wall);
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  ASSERT_FALSE(ways_of(tracks, top).empty());
  for (const TrackEdge& way : ways_of(tracks, top)) {
    const Vec3 a = tracks.nodes[static_cast<std::size_t>(way.a)].position;
    const Vec3 b = tracks.nodes[static_cast<std::size_t>(way.b)].position;
    EXPECT_GT(std::min(a.y, b.y), kLean_m);
  }
}

TEST(Tracks, NoRunIsLedByAPlaceThatItsEndMayMoveTo) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int top = add_end(c, prism, "top", "Ceiling", {2.41, 2.7, 2.5});
  for (const double x : {2.39, 2.2}) {
    EndPlace moved = c.ends.ends[static_cast<std::size_t>(top)].place;
    moved.position = prism.place({x, 2.7, 2.5});
    c.ends.ends[static_cast<std::size_t>(top)].may_move_to.push_back(moved);
  }
  add_run(c, "r", top, add_end(c, prism, "far", "Wall 3", {2.1, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  for (const int alternative : {0, 1}) {
    const int node = terminal_of(tracks, top, alternative).node;
    ASSERT_GE(node, 0);
    const auto leads_there = [&](const TrackEdge& edge) {
      return edge.a == node || edge.b == node;
    };
    EXPECT_EQ(std::count_if(tracks.edges.begin(), tracks.edges.end(), leads_there), 1);
  }
}

TEST(Tracks, WhereNoHoleCanBeCutCloseToAWallCableLeadsBareToOneFartherOff) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = wall_below_an_end(prism);
  for (Crossing& crossing : c.room.crossings) {
    Ring along_the_wall;
    for (const Vec3& p : {Vec3{0, 0, 0}, Vec3{4.2, 0, 0}, Vec3{4.2, 0.2, 0}, Vec3{0, 0.2, 0}})
      along_the_wall.push_back(crossing.frame.to_plane(prism.place(p)));
    crossing.keep_outs.push_back({along_the_wall, 0.02, Role::luminaire, -1, "Cornice light"});
  }
  const Tracks tracks = tracks_of(c);
  expect_sound(tracks, c);
  EXPECT_GT(farthest_lead_m(tracks), 0.2);
}

}  // namespace
}  // namespace roomloom
