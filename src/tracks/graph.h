#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "types/tracks.h"

namespace roomloom::tracks {

/// A straight piece of track between two points; becomes one edge of the graph.
struct Stretch {
  int a = -1, b = -1;  ///< points
  EdgeKind kind = EdgeKind::along;
  Medium medium = Medium::none;
  PlaceId home;
  bool free_direction = false;  ///< a cable lying free: its ends have no axis of their own
  double visible_weight = 0;    ///< visible metres a metre
  std::uint32_t closed_to = 0;
  double largest_diameter_m = 1;
  double capacity_m2 = 0;
  double money = 0, minutes = 0;  ///< shared, besides what the medium costs by the metre
  std::vector<int> charges;       ///< shared charges made beforehand (a hole used from two sides)
  int crossing = -1;
  int only_end = -1;  ///< into Ends::ends: nobody else's cable leads by the end's tip; -1 = all
  bool alive = true;
};

struct GraphPoint {
  Vec3 position;
  bool kept = false;  ///< may not be pruned or merged away: a terminal or a crossing
};

/// Collects points and stretches of all places, then drops what leads nowhere and turns the rest
/// into nodes (a copy per direction) and edges.
class GraphDraft {
 public:
  /// The point at `position` in `layer`, made if there is none within half a millimetre. Points of
  /// different layers never meet.
  int point(int layer, const Vec3& position);
  int new_layer() { return next_layer_++; }
  /// Joins two points; nothing happens if they are one.
  void add(const Stretch& stretch);
  /// A straight track; `split_lines` later cuts it at every point of its layer that lies on it.
  void line(int layer, const Vec3& from, const Vec3& to, const Stretch& nature);
  /// Turns all lines into stretches between neighbouring points.
  void split_lines();

  struct Line {
    int layer = 0;
    Vec3 from, to;
    Stretch nature;
  };
  std::vector<GraphPoint> points;
  std::vector<Stretch> stretches;
  std::vector<Line> lines;
  /// Points of a layer, in the order they were made.
  const std::vector<int>& in_layer(int layer) { return in_layer_[layer]; }

  /// Cuts off dead ends, then joins stretches that run on through points where nothing branches.
  void tidy();

 private:
  std::map<int, std::vector<int>> in_layer_;
  std::map<std::tuple<int, std::int64_t, std::int64_t, std::int64_t>, std::vector<int>> cells_;
  int next_layer_ = 1000;
};

}  // namespace roomloom::tracks
