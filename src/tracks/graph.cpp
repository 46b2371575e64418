#include "tracks/graph.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace roomloom::tracks {
namespace {

constexpr double kSamePoint_m = 0.0005;
constexpr double kCell_m = 0.001;

using Incidence = std::vector<std::vector<int>>;

Incidence incidence(const GraphDraft& draft) {
  Incidence at(draft.points.size());
  for (std::size_t i = 0; i < draft.stretches.size(); ++i) {
    const Stretch& s = draft.stretches[i];
    if (!s.alive) continue;
    at[static_cast<std::size_t>(s.a)].push_back(static_cast<int>(i));
    at[static_cast<std::size_t>(s.b)].push_back(static_cast<int>(i));
  }
  return at;
}

int alive_count(const GraphDraft& draft, const std::vector<int>& list) {
  int count = 0;
  for (const int i : list) count += draft.stretches[static_cast<std::size_t>(i)].alive ? 1 : 0;
  return count;
}

/// Stretches that end at a point where nothing else goes on carry no run.
void cut_dead_ends(GraphDraft& draft) {
  const Incidence at = incidence(draft);
  std::vector<int> open;
  for (std::size_t p = 0; p < draft.points.size(); ++p) open.push_back(static_cast<int>(p));
  while (!open.empty()) {
    const auto p = static_cast<std::size_t>(open.back());
    open.pop_back();
    if (draft.points[p].kept || alive_count(draft, at[p]) != 1) continue;
    for (const int i : at[p]) {
      Stretch& s = draft.stretches[static_cast<std::size_t>(i)];
      if (!s.alive) continue;
      s.alive = false;
      open.push_back(static_cast<std::size_t>(s.a) == p ? s.b : s.a);
    }
  }
}

bool same_nature(const Stretch& x, const Stretch& y) {
  return x.kind == EdgeKind::along && y.kind == EdgeKind::along && x.medium == y.medium &&
         x.home == y.home && x.visible_weight == y.visible_weight && x.closed_to == y.closed_to &&
         x.largest_diameter_m == y.largest_diameter_m && x.capacity_m2 == y.capacity_m2 &&
         !x.free_direction && !y.free_direction && x.charges.empty() && y.charges.empty();
}

int other_end(const Stretch& s, int p) { return s.a == p ? s.b : s.a; }

void join_through(GraphDraft& draft) {
  Incidence at = incidence(draft);
  for (std::size_t p = 0; p < draft.points.size(); ++p) {
    if (draft.points[p].kept || at[p].size() != 2) continue;
    Stretch& x = draft.stretches[static_cast<std::size_t>(at[p][0])];
    Stretch& y = draft.stretches[static_cast<std::size_t>(at[p][1])];
    if (!same_nature(x, y)) continue;
    const int here = static_cast<int>(p);
    const int far_x = other_end(x, here), far_y = other_end(y, here);
    const auto position = [&](int i) { return draft.points[static_cast<std::size_t>(i)].position; };
    const Vec3 in = normalized(position(here) - position(far_x));
    const Vec3 out = normalized(position(far_y) - position(here));
    if (dot(in, out) < 1 - 1e-9 || far_x == far_y) continue;
    x.a = far_x;
    x.b = far_y;
    x.money += y.money;
    x.minutes += y.minutes;
    y.alive = false;
    for (int& i : at[static_cast<std::size_t>(far_y)])
      if (i == at[p][1]) i = at[p][0];
    at[p].clear();
  }
}

}  // namespace

int GraphDraft::point(int layer, const Vec3& position) {
  const auto cell = [](double x) { return static_cast<std::int64_t>(std::floor(x / kCell_m)); };
  const std::int64_t x = cell(position.x), y = cell(position.y), z = cell(position.z);
  for (std::int64_t i = x - 1; i <= x + 1; ++i)
    for (std::int64_t j = y - 1; j <= y + 1; ++j)
      for (std::int64_t k = z - 1; k <= z + 1; ++k) {
        const auto found = cells_.find({layer, i, j, k});
        if (found == cells_.end()) continue;
        for (const int p : found->second)
          if (distance(points[static_cast<std::size_t>(p)].position, position) <= kSamePoint_m)
            return p;
      }
  const int made = static_cast<int>(points.size());
  points.push_back({position, false});
  cells_[{layer, x, y, z}].push_back(made);
  in_layer_[layer].push_back(made);
  return made;
}

void GraphDraft::add(const Stretch& stretch) {
  if (stretch.a != stretch.b) stretches.push_back(stretch);
}

void GraphDraft::line(int layer, const Vec3& from, const Vec3& to, const Stretch& nature) {
  point(layer, from);
  point(layer, to);
  lines.push_back({layer, from, to, nature});
}

namespace {

using CoarseCell = std::tuple<int, std::int64_t, std::int64_t, std::int64_t>;
constexpr double kCoarse_m = 0.25;

CoarseCell coarse_cell(int layer, const Vec3& p) {
  const auto cell = [](double x) { return static_cast<std::int64_t>(std::floor(x / kCoarse_m)); };
  return {layer, cell(p.x), cell(p.y), cell(p.z)};
}

/// Points by coarse cell, so that a line need only look about itself.
class PointGrid {
 public:
  explicit PointGrid(const std::map<int, std::vector<int>>& in_layer,
                     const std::vector<GraphPoint>& points) {
    for (const auto& [layer, list] : in_layer)
      for (const int p : list)
        cells_[coarse_cell(layer, points[static_cast<std::size_t>(p)].position)].push_back(p);
  }
  /// Points in the cells that a -> b passes and in those beside them; ascending.
  std::vector<int> about(int layer, const Vec3& a, const Vec3& b) const {
    std::set<CoarseCell> cells;
    const int steps = 1 + static_cast<int>(distance(a, b) / kCoarse_m);
    for (int i = 0; i <= steps; ++i) {
      const auto [l, x, y, z] = coarse_cell(layer, a + (double(i) / steps) * (b - a));
      for (std::int64_t dx = -1; dx <= 1; ++dx)
        for (std::int64_t dy = -1; dy <= 1; ++dy)
          for (std::int64_t dz = -1; dz <= 1; ++dz) cells.insert({l, x + dx, y + dy, z + dz});
    }
    std::vector<int> found;
    for (const CoarseCell& cell : cells)
      if (const auto here = cells_.find(cell); here != cells_.end())
        found.insert(found.end(), here->second.begin(), here->second.end());
    std::sort(found.begin(), found.end());
    return found;
  }

 private:
  std::map<CoarseCell, std::vector<int>> cells_;
};

}  // namespace

void GraphDraft::split_lines() {
  const PointGrid grid(in_layer_, points);
  for (const Line& line : lines) {
    const double length = distance(line.from, line.to);
    const Vec3 direction = normalized(line.to - line.from);
    std::vector<std::pair<double, int>> on_it;
    for (const int p : grid.about(line.layer, line.from, line.to)) {
      const Vec3 from_start = points[static_cast<std::size_t>(p)].position - line.from;
      const double t = dot(from_start, direction);
      if (t < -kSamePoint_m || t > length + kSamePoint_m) continue;
      if (norm(from_start - t * direction) <= kSamePoint_m) on_it.emplace_back(t, p);
    }
    std::sort(on_it.begin(), on_it.end());
    for (std::size_t i = 1; i < on_it.size(); ++i) {
      Stretch piece = line.nature;
      piece.a = on_it[i - 1].second;
      piece.b = on_it[i].second;
      add(piece);
    }
  }
  lines.clear();
}

void GraphDraft::tidy() {
  cut_dead_ends(*this);
  join_through(*this);
}

}  // namespace roomloom::tracks
