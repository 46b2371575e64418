// room_voxels JOB [EFFORT]
// The generic way beside ours, in the same room: every run by itself with Boost.Graph's A* on cells
// of 25 mm, against joint routing on tracks. A cell is open beside a face that can be fixed to, in
// a void, in a zone behind gear and where a hole may be cut; holes cost the generic way nothing, so
// its lengths are the shortest that such a grid knows. Its time is that of the searches alone.

#include <sys/resource.h>

#include <algorithm>
#include <boost/graph/astar_search.hpp>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/property_map/property_map.hpp>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <numeric>
#include <string>
#include <vector>

#include "geometry/polygon.h"
#include "planned_room.h"
#include "route/route.h"

namespace {

using namespace roomloom;
constexpr double kCell_m = 0.025;

double processor_seconds() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
         static_cast<double>(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) * 1e-6;
}

bool kept_out(const std::vector<SheetKeepOut>& keep_outs, const Vec2& p) {
  return std::any_of(keep_outs.begin(), keep_outs.end(),
                     [&](const SheetKeepOut& k) { return contains(k.ring, p); });
}

bool beside_sheet(const Room& room, const Vec3& p) {
  for (const Sheet& sheet : room.sheets) {
    if (!sheet.fixable) continue;
    const Vec3 q = sheet.frame.to_local(p);
    if (q.z >= 0 && q.z <= 1.5 * kCell_m && contains(sheet.region, {q.x, q.y}) &&
        !kept_out(sheet.keep_outs, {q.x, q.y}))
      return true;
  }
  return false;
}

bool in_void(const Room& room, const Vec3& p) {
  for (const Void& space : room.voids) {
    const Vec3 q = space.frame.to_local(p);
    if (q.z < 0 || q.z > space.height_m || !contains(space.plan, {q.x, q.y})) continue;
    const bool solid =
        std::any_of(space.obstacles.begin(), space.obstacles.end(), [&](const VoidObstacle& o) {
          const double c = o.clearance_m;
          return q.x > o.box.low.x - c && q.x < o.box.high.x + c && q.y > o.box.low.y - c &&
                 q.y < o.box.high.y + c && q.z > o.box.low.z - c && q.z < o.box.high.z + c;
        });
    if (!solid) return true;
  }
  return false;
}

bool in_zone(const Ends& ends, const Vec3& p) {
  return std::any_of(ends.zones.begin(), ends.zones.end(), [&](const Zone& zone) {
    const Vec3 q = zone.frame.to_local(p);
    return q.x >= 0 && q.y >= 0 && q.z >= 0 && q.x <= zone.size.x && q.y <= zone.size.y &&
           q.z <= zone.size.z;
  });
}

bool in_hole(const Room& room, const Vec3& p) {
  return std::any_of(room.crossings.begin(), room.crossings.end(), [&](const Crossing& c) {
    const Vec3 q = c.frame.to_local(p);
    return std::abs(q.z) <= c.thickness_m + 2 * kCell_m && contains(c.region, {q.x, q.y}) &&
           !kept_out(c.keep_outs, {q.x, q.y});
  });
}

/// Open cells of the room's box, numbered; -1: closed.
struct Cells {
  Vec3 low;
  int nx = 0, ny = 0, nz = 0;
  std::vector<int> number;
  std::vector<Vec3> middle;
  std::size_t at(int x, int y, int z) const {
    return static_cast<std::size_t>((static_cast<long>(z) * ny + y) * nx + x);
  }
};

Cells make_cells(const PlannedRoom& planned) {
  Cells cells;
  Vec3 high = planned.room.box.high;
  cells.low = planned.room.box.low;
  for (const TrackNode& node : planned.tracks.nodes) {
    const Vec3& p = node.position;
    cells.low = {std::min(cells.low.x, p.x), std::min(cells.low.y, p.y),
                 std::min(cells.low.z, p.z)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
  }
  const auto count = [](double length) { return static_cast<int>(length / kCell_m) + 2; };
  cells.nx = count(high.x - cells.low.x);
  cells.ny = count(high.y - cells.low.y);
  cells.nz = count(high.z - cells.low.z);
  cells.number.assign(cells.at(0, 0, cells.nz), -1);
  for (int z = 0; z < cells.nz; ++z)
    for (int y = 0; y < cells.ny; ++y)
      for (int x = 0; x < cells.nx; ++x) {
        const Vec3 p = cells.low + kCell_m * Vec3{x + 0.5, y + 0.5, z + 0.5};
        if (!in_void(planned.room, p) && !beside_sheet(planned.room, p) &&
            !in_zone(planned.ends, p) && !in_hole(planned.room, p))
          continue;
        cells.number[cells.at(x, y, z)] = static_cast<int>(cells.middle.size());
        cells.middle.push_back(p);
      }
  return cells;
}

using Grid =
    boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, boost::no_property,
                                       boost::no_property, std::uint32_t, std::uint32_t>;

Grid make_grid(const Cells& cells) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> edges;
  for (int z = 0; z < cells.nz; ++z)
    for (int y = 0; y < cells.ny; ++y)
      for (int x = 0; x < cells.nx; ++x) {
        const int here = cells.number[cells.at(x, y, z)];
        if (here < 0) continue;
        const int next[] = {x + 1 < cells.nx ? cells.number[cells.at(x + 1, y, z)] : -1,
                            y + 1 < cells.ny ? cells.number[cells.at(x, y + 1, z)] : -1,
                            z + 1 < cells.nz ? cells.number[cells.at(x, y, z + 1)] : -1};
        for (const int other : next) {
          if (other < 0) continue;
          edges.emplace_back(here, other);
          edges.emplace_back(other, here);
        }
      }
  std::sort(edges.begin(), edges.end());
  return {boost::edges_are_sorted, edges.begin(), edges.end(),
          static_cast<std::uint32_t>(cells.middle.size())};
}

std::uint32_t nearest_cell(const Cells& cells, const Vec3& p) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < cells.middle.size(); ++i)
    if (distance(cells.middle[i], p) < distance(cells.middle[best], p)) best = i;
  return static_cast<std::uint32_t>(best);
}

struct Found {};
class ToGoal {
 public:
  ToGoal(const Cells& cells, std::uint32_t goal) : cells_(cells), goal_(goal) {}
  double operator()(std::uint32_t v) const {
    const Vec3 d = cells_.middle[v] - cells_.middle[goal_];
    return std::abs(d.x) + std::abs(d.y) + std::abs(d.z);
  }

 private:
  const Cells& cells_;
  std::uint32_t goal_;
};
class StopAtGoal : public boost::default_astar_visitor {
 public:
  explicit StopAtGoal(std::uint32_t goal) : goal_(goal) {}
  template <typename Graph>
  void examine_vertex(std::uint32_t v, const Graph&) const {
    if (v == goal_) throw Found();
  }

 private:
  std::uint32_t goal_;
};

/// Length of the shortest way between two cells; below 0 where there is none.
double search(const Grid& grid, const Cells& cells, std::uint32_t from, std::uint32_t to,
              std::vector<double>& away) {
  const auto index = boost::get(boost::vertex_index, grid);
  away.resize(cells.middle.size());
  try {
    boost::astar_search(grid, from, ToGoal(cells, to),
                        boost::weight_map(boost::static_property_map<double>(kCell_m))
                            .distance_map(boost::make_iterator_property_map(away.begin(), index))
                            .visitor(StopAtGoal(to)));
  } catch (const Found&) {
    return away[to];
  }
  return -1;
}

}  // namespace

int main(int count, char** words) {
  if (count < 2) {
    std::fprintf(stderr, "usage: room_voxels JOB [EFFORT]\n");
    return 2;
  }
  const auto planned = planned_room(words[0], words[1]);
  if (!planned) return 2;
  RouteOptions route;
  route.effort =
      count > 2 && std::string(words[2]) == "normal" ? RouteEffort::normal : RouteEffort::quick;
  double start = processor_seconds();
  const Plan plan = route_runs(planned->tracks, planned->ends, planned->room, planned->job, route);
  const double ours_s = processor_seconds() - start;
  start = processor_seconds();
  const Cells cells = make_cells(*planned);
  const Grid grid = make_grid(cells);
  const double making_s = processor_seconds() - start;
  double ours_m = 0, theirs_m = 0, theirs_s = 0;
  int both = 0;
  std::vector<double> away;
  for (const PlannedRun& run : plan.runs) {
    const roomloom::Run& told = planned->ends.runs[static_cast<std::size_t>(run.run)];
    if (!run.routed || told.from < 0 || told.to < 0) continue;
    const auto cell_of = [&](int end) {
      return nearest_cell(cells, planned->ends.ends[static_cast<std::size_t>(end)].place.position);
    };
    const std::uint32_t from = cell_of(told.from), to = cell_of(told.to);
    start = processor_seconds();
    const double length = search(grid, cells, from, to, away);
    theirs_s += processor_seconds() - start;
    if (length < 0) continue;
    ++both;
    theirs_m += length;
    for (const Step& step : run.steps)
      ours_m += planned->tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
  }
  std::printf(
      "%zu cells made in %.2f s, %d of %zu runs found by both: A* on cells %.2f s %.1f m, joint on "
      "tracks %.2f s %.1f m; time ratio %.2f, with making cells %.2f, length ratio %.3f\n",
      cells.middle.size(), making_s, both, plan.runs.size(), theirs_s, theirs_m, ours_s, ours_m,
      theirs_s / ours_s, (theirs_s + making_s) / ours_s, ours_m / theirs_m);
  return 0;
}
