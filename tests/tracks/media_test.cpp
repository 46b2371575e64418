#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tracks/graph_check.h"
#include "tracks/tracks.h"

// Stud bays, ready conduits and outside corners, worked out by hand.

namespace roomloom {
namespace {

using namespace roomloom::testing;

Vec3 at(const Tracks& tracks, int node) {
  return tracks.nodes[static_cast<std::size_t>(node)].position;
}

std::vector<const TrackEdge*> edges_in(const Tracks& tracks, Medium medium) {
  std::vector<const TrackEdge*> edges;
  for (const TrackEdge& edge : tracks.edges)
    if (edge.medium == medium) edges.push_back(&edge);
  return edges;
}

/// A bay of 0.4 x 0.09 m behind Wall 2, from the floor to the void, that can be entered through the
/// wall's board and left through its head.
Case bay_case(const PrismRoom& prism, bool open_head) {
  Case c = make_case(prism);
  Void bay;
  bay.name = "Bay 1";
  bay.kind = VoidKind::bay;
  bay.upright_only = true;
  bay.supported = false;
  bay.frame.origin = {4.2, 1.0, 0};
  bay.plan.outline = {{0.01, 0}, {0.10, 0}, {0.10, 0.4}, {0.01, 0.4}};
  bay.height_m = 2.5;
  const int index = static_cast<int>(c.room.voids.size());
  c.room.voids.push_back(bay);
  c.room.voids[0].plan.outline = {{0, 0}, {4.3, 0}, {4.3, 5.4}, {0, 5.4}};
  Crossing plate;
  plate.name = "plate Bay 1";
  plate.kind = CrossingKind::wall_plate;
  plate.from = {PlaceKind::sheet, sheet_named(c.room, "Wall 2")};
  plate.to = {PlaceKind::void_space, index};
  plate.frame = {{4.2, 1.0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
  plate.region.outline = {{0.02, 0.05}, {0.38, 0.05}, {0.38, 2.4}, {0.02, 2.4}};
  plate.thickness_m = 0.0125;
  c.room.crossings.push_back(plate);
  if (!open_head) return c;
  Crossing head;
  head.name = "head of Bay 1";
  head.kind = CrossingKind::plate_hole;
  head.from = {PlaceKind::void_space, index};
  head.to = {PlaceKind::void_space, 0};
  head.frame = {{4.2, 1.0, 2.5}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  head.region.outline = {{0.02, 0.02}, {0.09, 0.02}, {0.09, 0.38}, {0.02, 0.38}};
  head.thickness_m = 0.015;
  c.room.crossings.push_back(head);
  return c;
}

TEST(Tracks, AStudBayIsRunUprightFromAPlateAtTheEndToAHoleInItsHead) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = bay_case(prism, true);
  const int a = add_end(c, prism, "a", "Wall 2", {4.2, 1.2, 0.4});
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 3", {2.0, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  const auto bays = edges_in(tracks, Medium::bay);
  ASSERT_FALSE(bays.empty());
  double length = 0;
  for (const TrackEdge* edge : bays) {
    const Vec3 along = normalized(at(tracks, edge->b) - at(tracks, edge->a));
    EXPECT_NEAR(std::abs(along.z), 1, 1e-9) << "upright only";
    EXPECT_GT(at(tracks, edge->a).x, 4.2);
    length += edge->length_m;
  }
  // The lowest plate is the one at the skirting's raceway: 60 mm over its track.
  const double lowest = track_stand_off_m(c.job.catalogue) + 0.06;
  EXPECT_NEAR(length, 2.5 - lowest, 1e-6) << "past the plate at the end to the head, once";
  const auto holes = [&](const std::string& name) {
    return std::count_if(tracks.charges.begin(), tracks.charges.end(), [&](const Charge& charge) {
      return charge.kind == ChargeKind::hole && charge.name.find(name) != std::string::npos;
    });
  };
  EXPECT_GE(holes("plate Bay 1"), 1);
  EXPECT_EQ(holes("head of Bay 1"), 1);
  // The plate behind the end's box is its own; the one at the skirting is anybody's.
  int own = 0, open = 0;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.kind != EdgeKind::crossing || std::abs(at(tracks, edge.a).x - 4.2) > 0.05) continue;
    const bool at_end = std::abs(at(tracks, edge.a).z - 0.4) < 0.01;
    ++(edge.only_end == a ? own : open);
    EXPECT_EQ(edge.only_end == a, at_end) << at(tracks, edge.a).z;
  }
  EXPECT_GE(own, 1);
  EXPECT_GE(open, 1);
}

TEST(Tracks, AStudBayThatCannotBeLeftCarriesNothing) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = bay_case(prism, false);
  const int a = add_end(c, prism, "a", "Wall 2", {4.2, 1.2, 0.4});
  add_run(c, "r", a, add_end(c, prism, "b", "Wall 3", {2.0, 5.4, 1.0}));
  const Tracks tracks = tracks_of(c);
  for (const TrackEdge* edge : edges_in(tracks, Medium::bay))
    EXPECT_LT(at(tracks, edge->b).z, 2.0) << "only between two plates, if at all";
  EXPECT_GE(terminal_of(tracks, a).node, 0) << "raceway on the wall still leads there";
}

Case conduit_case(double occupied_m2) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  Conduit conduit;
  conduit.name = "Conduit";
  conduit.line = {{4.18, 1.0, 0.3}, {4.18, 4.0, 0.3}};
  conduit.inside_diameter_m = 0.03;
  conduit.occupied_area_m2 = occupied_m2;
  const PlaceId wall{PlaceKind::sheet, sheet_named(c.room, "Wall 2")};
  conduit.mouths = {wall, wall};
  c.room.conduits.push_back(conduit);
  add_run(c, "r", add_end(c, prism, "a", "Wall 2", {4.2, 0.8, 0.3}),
          add_end(c, prism, "b", "Wall 2", {4.2, 4.2, 0.3}));
  return c;
}

// 40 % of pi/4 x 30 mm squared is 282.7 square millimetres.
TEST(Tracks, AReadyConduitHoldsItsFillLessWhatIsInIt) {
  const double all = 0.4 * kPi / 4 * 0.03 * 0.03;
  const Tracks empty = tracks_of(conduit_case(0));
  const auto edges = edges_in(empty, Medium::conduit);
  ASSERT_EQ(edges.size(), 1U);
  EXPECT_NEAR(edges[0]->capacity_m2, all, 1e-12);
  EXPECT_NEAR(edges[0]->largest_diameter_m, 0.03, 1e-12);
  EXPECT_NEAR(edges[0]->length_m, 3.0, 1e-9);
  EXPECT_TRUE(edges[0]->charges.empty()) << "it is there already";
  const auto used = tracks_of(conduit_case(0.0002));
  ASSERT_EQ(edges_in(used, Medium::conduit).size(), 1U);
  EXPECT_NEAR(edges_in(used, Medium::conduit)[0]->capacity_m2, all - 0.0002, 1e-12);
  EXPECT_TRUE(edges_in(tracks_of(conduit_case(0.0003)), Medium::conduit).empty()) << "full";
}

// An L: 1 m and 0.8 m beside the corner that stands out into the room. Tracks go round it at the
// stand-off h from both faces: 1 + h and 0.8 + h, and h from each tip to its track.
TEST(Tracks, AnOutsideCornerIsGoneRoundAtTheStandOff) {
  PrismRoom prism;
  prism.plenum_m = 0;
  prism.outline = {{0, 0}, {5, 0}, {5, 2}, {2, 2}, {2, 5}, {0, 5}};
  Case c = make_case(prism);
  const int a = add_end(c, prism, "a", "Wall 3", {3.0, 2, 1.2});
  const int b = add_end(c, prism, "b", "Wall 4", {2, 2.8, 1.2});
  add_run(c, "r", a, b);
  const Tracks tracks = tracks_of(c);
  const double h = track_stand_off_m(c.job.catalogue);
  EXPECT_NEAR(shortest_m(tracks, a, b), 1.8 + 4 * h, 1e-6);
  const auto outside =
      std::find_if(tracks.charges.begin(), tracks.charges.end(),
                   [](const Charge& charge) { return charge.name == "outside corner"; });
  EXPECT_NE(outside, tracks.charges.end());
}

}  // namespace
}  // namespace roomloom
