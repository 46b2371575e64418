#include "shape/fixings.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "geometry/bundle.h"
#include "shape/hole_passages.h"
#include "types/grommets.h"
#include "types/spares.h"

namespace roomloom {
namespace {

constexpr double kHoleClearance = 0.003;

void add_run(std::vector<int>& runs, int run) {
  const auto at = std::lower_bound(runs.begin(), runs.end(), run);
  if (at == runs.end() || *at != run) runs.insert(at, run);
}

// Heads pass one after the other, the largest first, each beside the cables of those before it.
double head_passage(std::vector<const CableType*> cables) {
  const auto head = [](const CableType* cable) { return head_diagonal_m(*cable); };
  std::erase_if(cables, [&](const CableType* cable) { return head(cable) <= 0; });
  std::stable_sort(cables.begin(), cables.end(),
                   [&](const CableType* a, const CableType* b) { return head(a) > head(b); });
  double need = 0;
  std::vector<double> passed;
  for (const CableType* cable : cables) {
    need = std::max(need, head(cable) + bundle_diameter(passed));
    passed.push_back(cable->diameter_m);
  }
  return need;
}

// The cables of a hole in its plane, as drawn at both faces.
std::vector<Disc> cable_discs(const HolePassages& hole, const Frame& frame,
                              const std::vector<LanePath>& paths, const Lanes& lanes) {
  std::vector<Disc> discs;
  for (const Passage& passage : hole.passages) {
    const double radius = paths[passage.path].diameter_m / 2;
    const std::vector<Vec3>& points = lanes.lanes[passage.path].line.points;
    discs.push_back({frame.to_plane(points[passage.edge]), radius});
    discs.push_back({frame.to_plane(points[passage.edge + 1]), radius});
  }
  return discs;
}

bool hole_allowed_at(const Crossing& crossing, const Vec2& centre, double diameter_m) {
  if (!contains(crossing.region, centre) ||
      border_distance(crossing.region, centre) < diameter_m / 2)
    return false;
  return std::none_of(
      crossing.keep_outs.begin(), crossing.keep_outs.end(), [&](const SheetKeepOut& keep_out) {
        const Polygon shape{keep_out.ring, {}};
        return contains(shape, centre) ||
               border_distance(shape, centre) < keep_out.clearance_m + diameter_m / 2;
      });
}

// The widest hole saw that the place allows, up to what the cables of later need: what is asked
// beyond that is a finding.
double widened_m(const Crossing& crossing, const Vec2& centre, double now_m, double wanted_m) {
  double widest = now_m;
  const double most = std::min(hole_saw_size(wanted_m), crossing.largest_diameter_m) + 1e-6;
  for (;;) {
    const double next = hole_saw_size(widest + 1e-4);
    if (next > most || !hole_allowed_at(crossing, centre, next)) return widest;
    widest = next;
  }
}

// Size and centre. The centre leaves the track only where that saves a size and the place allows.
void size_hole(HoleShape& shape, const HolePassages& hole, const Crossing& crossing,
               const std::vector<LanePath>& paths, const Lanes& lanes, double heads_m,
               double spare_m) {
  const Vec2 axis = crossing.frame.to_plane(hole.from);
  const std::vector<Disc> discs = cable_discs(hole, crossing.frame, paths, lanes);
  double reach = 0;
  for (const Disc& disc : discs) reach = std::max(reach, norm(disc.centre - axis) + disc.radius_m);
  shape.centre = hole.from - crossing.frame.height(hole.from) * crossing.frame.n;
  shape.normal = crossing.frame.n;
  if (crossing.existing) {
    shape.diameter_m = crossing.largest_diameter_m;
    return;
  }
  const double on_track = hole_saw_size(std::max(2 * reach + kHoleClearance, heads_m));
  const Vec3 on_track_at = shape.centre;
  shape.diameter_m = on_track;
  const Disc least = enclosing_circle(discs);
  const double saved = hole_saw_size(std::max(2 * least.radius_m + kHoleClearance, heads_m));
  if (saved < shape.diameter_m - 1e-6 && hole_allowed_at(crossing, least.centre, saved)) {
    shape.diameter_m = saved;
    shape.centre = crossing.frame.to_world(least.centre);
  }
  if (spare_m <= 0) return;
  const double wanted = spare_m + kHoleClearance;
  const double here =
      widened_m(crossing, crossing.frame.to_plane(shape.centre), shape.diameter_m, wanted);
  // The track has room for the whole bundle about it; nearer to a tee there is less.
  const double there = widened_m(crossing, axis, on_track, wanted);
  if (here < wanted && there > here) shape.centre = on_track_at;
  shape.diameter_m = here < wanted ? std::max(here, there) : here;
}

// What lines the hole may ask for a wider one.
void line_hole(HoleShape& shape, const Crossing& crossing, double later_bundle_m, const Job& job) {
  shape.bare_m = shape.diameter_m;
  if (crossing.existing) return;
  const Vec2 centre = crossing.frame.to_plane(shape.centre);
  const auto may_cut = [&](double diameter_m) {
    return diameter_m <= crossing.largest_diameter_m + 1e-6 &&
           hole_allowed_at(crossing, centre, diameter_m);
  };
  // Where room for later is too much for all of them, the one for what passes now.
  for (const double bundle : {later_bundle_m, shape.bundle_m})
    if (shape.grommet < 0)
      shape.grommet = grommet_for(crossing.kind, shape.bare_m, bundle, job, may_cut);
  if (shape.grommet < 0) return;
  const auto index = static_cast<std::size_t>(shape.grommet);
  shape.diameter_m = std::max(shape.bare_m, job.catalogue.grommets[index].hole_m);
}

// The record of a hole, by itself or with a run that lies in it; diameter 0 if there is none.
BuiltHole recorded_hole(const HoleShape& shape, const Crossing& crossing, const AsBuilt& built) {
  constexpr double kSameHole_m = 0.05;
  BuiltHole nearest;
  double least = kSameHole_m;
  const auto look = [&](const std::string& name, const Vec3& p, double diameter_m) {
    const Vec3 at = p - crossing.frame.height(p) * crossing.frame.n;
    if (name != crossing.name || diameter_m <= 0 || distance(at, shape.centre) > least) return;
    least = distance(at, shape.centre);
    nearest = {name, at, diameter_m};
  };
  for (const BuiltHole& cut : built.holes) look(cut.crossing, cut.at, cut.diameter_m);
  if (nearest.diameter_m > 0) return nearest;
  for (const BuiltRun& run : built.runs)
    for (const WayStretch& stretch : run.track)
      if (stretch.kind == "crossing")
        look(stretch.place, 0.5 * (stretch.from + stretch.to), stretch.hole_diameter_m);
  if (nearest.diameter_m > 0) nearest.at = shape.centre;  // a way tells no hole's middle
  return nearest;
}

// A hole that someone cut is as wide as he says, and where, moved no farther than the cables as
// drawn ask; one that they cannot pass is to be widened.
void take_as_cut(HoleShape& shape, const HolePassages& hole, const Crossing& crossing,
                 const std::vector<LanePath>& paths, const Lanes& lanes, double heads_m,
                 const Job& job) {
  if (crossing.existing) return;
  const BuiltHole cut = recorded_hole(shape, crossing, job.as_built);
  shape.built_m = cut.diameter_m;
  const std::vector<Disc> discs = cable_discs(hole, crossing.frame, paths, lanes);
  const Disc least = enclosing_circle(discs);
  const double needed = std::max({shape.bundle_m, heads_m, 2 * least.radius_m});
  if (cut.diameter_m < needed - 1e-6) return;
  const Vec2 middle = crossing.frame.to_plane(cut.at);
  const auto holds = [&](double share) {
    const Vec2 centre = middle + share * (least.centre - middle);
    return std::all_of(discs.begin(), discs.end(), [&](const Disc& disc) {
      return norm(disc.centre - centre) + disc.radius_m <= 0.5 * cut.diameter_m + 1e-9;
    });
  };
  double share = 0;
  while (share < 1 && !holds(share)) share = std::min(1.0, share + 0.125);
  shape.grommet =
      grommet_for(crossing.kind, cut.diameter_m, shape.bundle_m, job, [](double) { return false; });
  shape.centre = crossing.frame.to_world(middle + share * (least.centre - middle));
  shape.diameter_m = cut.diameter_m;
}

void name_holes(std::vector<HoleShape>& holes, const Room& room) {
  const auto order = [&](const HoleShape& hole) {
    const Crossing& crossing = room.crossings[static_cast<std::size_t>(hole.crossing)];
    const TileId tile = crossing.tile.value_or(TileId{1 << 20, 0});
    const Vec2 at = crossing.frame.to_plane(hole.centre);
    return std::tuple(tile.row, tile.column, hole.crossing, std::llround(at.y * 1e4),
                      std::llround(at.x * 1e4));
  };
  std::stable_sort(holes.begin(), holes.end(),
                   [&](const HoleShape& a, const HoleShape& b) { return order(a) < order(b); });
  for (std::size_t i = 0; i < holes.size(); ++i) holes[i].name = "H" + std::to_string(i + 1);
}

// A straight stretch of track and who uses it.
struct Stretch {
  int edge = -1;
  Vec3 from, to;
  std::vector<int> runs;
  int raceway = -1, count = 1, sheet = -1;
};

bool in_line(const Vec3& a, const Vec3& b) { return norm(cross(a, b)) <= 1e-6 * norm(a) * norm(b); }

// Joins b to a if they are one straight stretch that meets end to end.
bool join(Stretch& a, const Stretch& b) {
  if (!in_line(a.to - a.from, b.to - b.from)) return false;
  for (const auto& [near, far] : {std::pair{b.from, b.to}, std::pair{b.to, b.from}}) {
    if (distance(a.to, near) < 1e-6 && dot(a.to - a.from, far - near) > 0) return a.to = far, true;
    if (distance(a.from, near) < 1e-6 && dot(a.from - a.to, far - near) > 0)
      return a.from = far, true;
  }
  return false;
}

template <typename MayJoin>
std::vector<Stretch> joined(std::vector<Stretch> stretches, MayJoin may_join) {
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    bool grown = true;
    while (grown) {
      grown = false;
      for (std::size_t j = i + 1; j < stretches.size(); ++j) {
        if (!may_join(stretches[i], stretches[j]) || !join(stretches[i], stretches[j])) continue;
        stretches.erase(stretches.begin() + static_cast<std::ptrdiff_t>(j));
        grown = true;
        break;
      }
    }
  }
  return stretches;
}

std::vector<Stretch> supported_edges(const std::vector<LanePath>& paths, const Tracks& tracks) {
  std::map<int, Stretch> by_edge;
  for (const LanePath& run : paths) {
    for (const int index : run.tracks) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(index)];
      const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
      const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
      if (edge.medium != Medium::support || std::fabs(b.z - a.z) > 0.7 * distance(a, b)) continue;
      Stretch& stretch = by_edge[index];
      stretch.edge = index;
      stretch.from = a;
      stretch.to = b;
      add_run(stretch.runs, run.run);
    }
  }
  std::vector<Stretch> stretches;
  for (auto& [edge, stretch] : by_edge) stretches.push_back(std::move(stretch));
  return stretches;
}

void add_support(std::vector<SupportShape>& supports, const Vec3& at, const Vec3& direction,
                 const std::vector<int>& runs) {
  constexpr double kSameHook = 0.05;  // metres: at a corner one hook does for both stretches
  const auto same = std::find_if(supports.begin(), supports.end(), [&](const SupportShape& other) {
    return distance(other.at, at) < kSameHook;
  });
  if (same == supports.end()) {
    supports.push_back({at, runs, direction});
    return;
  }
  for (const int run : runs) add_run(same->runs, run);
}

std::vector<int> runs_at(const Vec3& at, const std::vector<Stretch>& edges) {
  std::vector<int> runs;
  for (const Stretch& edge : edges) {
    const double detour =
        distance(edge.from, at) + distance(at, edge.to) - distance(edge.from, edge.to);
    if (detour > 1e-7) continue;
    for (const int run : edge.runs) add_run(runs, run);
  }
  return runs;
}

// Of bars side by side, from the index `first` on, the one that the cable lies in.
RacewayShape& nearest_bar(std::vector<RacewayShape>& bars, std::size_t first, const Vec3& across,
                          const CableShape& cable) {
  const auto away = [&](const RacewayShape& bar) {
    const Vec3 middle = 0.5 * (bar.from + bar.to);
    return std::fabs(dot(nearest_on(cable, middle) - middle, across));
  };
  return *std::min_element(
      bars.begin() + static_cast<std::ptrdiff_t>(first), bars.end(),
      [&](const RacewayShape& a, const RacewayShape& b) { return away(a) < away(b) - 1e-9; });
}

}  // namespace

std::vector<HoleShape> shape_holes(const std::vector<LanePath>& paths, const Lanes& lanes,
                                   const Tracks& tracks, const Room& room, const Ends& ends,
                                   const Job& job) {
  std::vector<HoleShape> shapes;
  for (const HolePassages& hole : find_holes(lanes, tracks, room)) {
    const Crossing& crossing = room.crossings[static_cast<std::size_t>(hole.crossing)];
    HoleShape shape;
    shape.crossing = hole.crossing;
    shape.thickness_m = crossing.thickness_m;
    std::vector<double> diameters;
    std::vector<const CableType*> cables;
    for (std::size_t k = 0; k < hole.passages.size(); ++k) {
      const Passage& passage = hole.passages[k];
      // A cable that moves over within the hole passes it in two pieces, but once.
      if (k > 0 && hole.passages[k - 1].path == passage.path &&
          hole.passages[k - 1].edge + 1 == passage.edge)
        continue;
      const int run = paths[passage.path].run;
      add_run(shape.runs, run);
      diameters.push_back(paths[passage.path].diameter_m);
      const int cable = ends.runs[static_cast<std::size_t>(run)].cable;
      cables.push_back(&job.catalogue.cables[static_cast<std::size_t>(cable)]);
    }
    shape.bundle_m = bundle_diameter(diameters);
    const double heads = head_passage(cables);
    size_hole(shape, hole, crossing, paths, lanes, heads,
              spare_hole_m(diameters, shape.runs, ends, job));
    for (const CableType* cable : spare_cables(shape.runs, ends, job))
      diameters.push_back(cable->diameter_m);
    line_hole(shape, crossing, bundle_diameter(diameters), job);
    take_as_cut(shape, hole, crossing, paths, lanes, heads, job);
    shapes.push_back(std::move(shape));
  }
  name_holes(shapes, room);
  return shapes;
}

std::vector<RacewayShape> shape_raceways(const std::map<int, RacewayOnEdge>& raceways,
                                         const std::vector<CableShape>& cables,
                                         const Tracks& tracks, const Room& room) {
  std::vector<Stretch> stretches;
  for (const auto& [index, raceway] : raceways) {
    const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(index)];
    const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    if (distance(a, b) < 1e-6 || sheet_of(edge, room) == nullptr) continue;
    stretches.push_back({index, a, b, raceway.runs, raceway.index, raceway.count, edge.home.index});
  }
  stretches = joined(std::move(stretches), [](const Stretch& a, const Stretch& b) {
    return a.runs == b.runs && a.raceway == b.raceway && a.count == b.count && a.sheet == b.sheet;
  });
  std::vector<RacewayShape> shapes;
  for (const Stretch& stretch : stretches) {
    const Sheet& sheet = room.sheets[static_cast<std::size_t>(stretch.sheet)];
    const RacewayOnEdge& raceway = raceways.at(stretch.edge);
    const RacewayType& type = *raceway.type;
    const Vec3& n = sheet.frame.n;
    const Vec3 across = side_by_side(sheet, stretch.from, normalized(stretch.to - stretch.from));
    const auto first = shapes.size();
    for (int k = 0; k < stretch.count; ++k) {
      const Vec3 aside = (k * type.width_m) * across;
      const auto seated = [&](const Vec3& p) { return p + raceway.seat + aside; };
      shapes.push_back({stretch.edge, seated(stretch.from), seated(stretch.to), n, stretch.raceway,
                        stretch.sheet, stretch.count == 1 ? stretch.runs : std::vector<int>{},
                        stretch.count});
    }
    for (const int run : stretch.count == 1 ? std::vector<int>{} : stretch.runs)
      nearest_bar(shapes, first, across, cables[static_cast<std::size_t>(run)]).runs.push_back(run);
  }
  return shapes;
}

std::vector<SupportShape> place_supports(const std::vector<LanePath>& paths, const Tracks& tracks,
                                         const Preferences& prefer) {
  const std::vector<Stretch> edges = supported_edges(paths, tracks);
  std::vector<SupportShape> supports;
  for (const Stretch& line : joined(edges, [](const Stretch&, const Stretch&) { return true; })) {
    const double length = distance(line.from, line.to);
    const double spacing = prefer.support_spacing_m > 0 ? prefer.support_spacing_m : 1.2;
    const int spans = std::max(1, static_cast<int>(std::ceil(length / spacing - 1e-9)));
    for (int i = 0; i <= spans; ++i) {
      const Vec3 at = line.from + (static_cast<double>(i) / spans) * (line.to - line.from);
      add_support(supports, at, normalized(line.to - line.from), runs_at(at, edges));
    }
  }
  return supports;
}

}  // namespace roomloom
