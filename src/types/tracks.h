#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include "types/ends.h"

namespace roomloom {

enum class EdgeKind { along, turn, fold, crossing, lead_in };
/// What holds or covers the cable along an edge.
enum class Medium { none, raceway, support, bay, conduit, bare, free };
const char* to_string(Medium medium);

struct TrackNode {
  Vec3 position;  ///< room frame, metres: the trunk's centreline
  PlaceId home;
  Vec3 axis;  ///< unit direction of the track this copy of the node lies on; zero = any direction
};

/// A stretch on which a cable may lie. Usable both ways.
struct TrackEdge {
  int a = -1, b = -1;  ///< nodes
  EdgeKind kind = EdgeKind::along;
  Medium medium = Medium::none;
  PlaceId home;
  double length_m = 0;      ///< |b - a|; 0 for a turn between axis copies
  double turn_rad = 0;      ///< turn, fold: the change of direction
  double per_run_cost = 0;  ///< objective, each run that uses it (bend, pulling), without its cable
  double visible_m = 0;     ///< metres weighted by how visible; shared
  std::uint32_t closed_to = 0;    ///< bits of Service that may not use it
  double largest_diameter_m = 1;  ///< of one cable
  double capacity_m2 = 0;         ///< cross-section of cable that may lie here; 0 = no limit
  std::vector<int> charges;       ///< paid once by all who share the edge
  std::vector<int> options;       ///< raceway sizes, ascending; empty = no choice
  int crossing = -1;              ///< into Room::crossings, for kind crossing
  int seam = -1;                  ///< into Room::seams, for folds
  int only_end = -1;              ///< into Ends::ends: only its runs may lie here; -1 = all
};

/// Of raceways side by side along an edge: bit k for the one that lies k widths beside the track.
using RacewayPlaces = std::uint32_t;
inline constexpr RacewayPlaces kOnTrack = 1;
inline constexpr int kMostPlaces = 32;
constexpr RacewayPlaces place_bit(int place) {
  return RacewayPlaces{1} << std::clamp(place, 0, kMostPlaces - 1);
}

/// A size of raceway on an edge; exactly one (or none if unused) is bought.
struct EdgeOption {
  int raceway = -1;        ///< into Catalogue::raceways
  double capacity_m2 = 0;  ///< sum of pi d^2 / 4 that it may hold: usable area at the fill limit
  double price = 0;        ///< objective, whole edge, on top of the edge's charges
  RacewayPlaces installed = 0;  ///< fixed already
};

enum class ChargeKind { hole, raceway, fitting, support, bay, ladder, visible, other };
const char* to_string(ChargeKind kind);

/// Paid once by all who share it. Objective units (money), with what it is made of.
struct Charge {
  ChargeKind kind = ChargeKind::other;
  double price = 0;  ///< = money + minutes * money_per_minute + visible
  double money = 0, minutes = 0, visible_m = 0;
  Vec3 where;
  std::string name;  ///< "hole in tile C4"
};

/// A place of an end in the graph.
struct Terminal {
  int end = -1;            ///< into Ends::ends
  int alternative = -1;    ///< -1 the present place, else into may_move_to
  int node = -1;           ///< -1: no track could be reached
  std::string blocked_by;  ///< what stands in the way, when node is -1
};

/// The graph on which cables may lie.
struct Tracks {
  std::vector<TrackNode> nodes;
  std::vector<TrackEdge> edges;
  std::vector<EdgeOption> options;
  std::vector<Charge> charges;
  std::vector<Terminal> terminals;
  double merge_tolerance_m = 0.05;
  std::vector<std::string> coarsened;  ///< what was left out to stay within the budget
};

}  // namespace roomloom
