#pragma once

#include <map>
#include <set>
#include <tuple>
#include <utility>
#include <vector>

#include "geometry/arc.h"

// Cables that lie nearer than a hand's breadth are one thing to look at: each metre of what is seen
// counts once.

namespace roomloom {

/// Lines that lie open, cut back to where none of another run lies beside them already.
class Together {
 public:
  /// Runs' own edges of the track graph, by run: two runs on one edge are told apart elsewhere.
  explicit Together(std::vector<std::set<int>> edges_of_runs);

  /// Parts of the line from a to b (metres, world frame), of a run on an edge, that lie farther
  /// than kTogether_m from every line kept before of a run whose edge this run does not share.
  /// Keeps them. Run -1 is raceway.
  std::vector<std::pair<Vec3, Vec3>> apart(const Vec3& a, const Vec3& b, int run, int edge);

  static constexpr double kTogether_m = 0.06;

 private:
  struct Kept {
    Vec3 at;
    int run, edge;
  };
  using Cell = std::tuple<int, int, int>;
  static Cell cell(const Vec3& p);
  bool beside_another(const Vec3& at, int run) const;

  std::vector<std::set<int>> edges_of_runs_;
  std::multimap<Cell, Kept> kept_;
};

}  // namespace roomloom
