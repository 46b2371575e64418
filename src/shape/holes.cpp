#include <algorithm>
#include <cmath>
#include <optional>

#include "shape/fixings.h"
#include "shape/hole_passages.h"
#include "shape/hole_sizes.h"
#include "types/grommets.h"
#include "types/spares.h"

namespace roomloom {
namespace {

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

// The centre nearest to `near` at which a hole may be cut so wide and holds all its cables.
std::optional<Vec2> centre_for(const Crossing& crossing, const std::vector<Disc>& discs,
                               const Vec2& near, double diameter_m) {
  constexpr double kStep_m = 0.002;
  constexpr int kDirections = 24;
  const auto serves = [&](const Vec2& centre) {
    const double within = (diameter_m - kHoleClearance_m) / 2 + 1e-9;
    return hole_allowed_at(crossing, centre, diameter_m) &&
           std::all_of(discs.begin(), discs.end(), [&](const Disc& disc) {
             return norm(disc.centre - centre) + disc.radius_m <= within;
           });
  };
  if (serves(near)) return near;
  for (double away = kStep_m; away < diameter_m; away += kStep_m)
    for (int i = 0; i < kDirections; ++i) {
      const double turn = 2 * kPi * i / kDirections;
      const Vec2 centre = near + away * Vec2{std::cos(turn), std::sin(turn)};
      if (serves(centre)) return centre;
    }
  return std::nullopt;
}

struct Circle {
  Vec2 centre;
  double diameter_m = 0;
};

// The widest hole saw that the place allows, up to what the cables of later need: what is asked
// beyond that is a finding. Near a tee or a wall the centre gives way.
Circle widened(const Crossing& crossing, const std::vector<Disc>& discs, Circle now,
               double wanted_m) {
  const double most = std::min(hole_saw_size(wanted_m), crossing.largest_diameter_m) + 1e-6;
  for (;;) {
    const double next = hole_saw_size(now.diameter_m + 1e-4);
    if (next > most) return now;
    const auto centre = centre_for(crossing, discs, now.centre, next);
    if (!centre) return now;
    now = {*centre, next};
  }
}

// Size and centre. The centre leaves the track only where that saves a size and the place allows.
void size_hole(SizedHole& sized, const HolePassages& hole, const Crossing& crossing,
               double spare_m) {
  HoleShape& shape = sized.shape;
  const double heads_m = sized.heads_m;
  const std::vector<Disc>& discs = sized.discs;
  const Vec2 axis = crossing.frame.to_plane(hole.from);
  double reach = 0;
  for (const Disc& disc : discs) reach = std::max(reach, norm(disc.centre - axis) + disc.radius_m);
  shape.centre = hole.from - crossing.frame.height(hole.from) * crossing.frame.n;
  shape.passed_at = shape.centre;
  shape.normal = crossing.frame.n;
  if (crossing.existing) {
    shape.diameter_m = crossing.largest_diameter_m;
    return;
  }
  shape.diameter_m = hole_saw_size(std::max(2 * reach + kHoleClearance_m, heads_m));
  const Disc least = enclosing_circle(discs);
  const double saved = hole_saw_size(std::max(2 * least.radius_m + kHoleClearance_m, heads_m));
  if (saved < shape.diameter_m - 1e-6 && hole_allowed_at(crossing, least.centre, saved)) {
    shape.diameter_m = saved;
    shape.centre = crossing.frame.to_world(least.centre);
  }
  if (spare_m <= 0) return;
  const Vec2 centre = crossing.frame.to_plane(shape.centre);
  const Circle wide =
      widened(crossing, discs, {centre, shape.diameter_m}, spare_m + kHoleClearance_m);
  shape.centre = crossing.frame.to_world(wide.centre);
  shape.diameter_m = wide.diameter_m;
}

}  // namespace

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

std::vector<HoleShape> shape_holes(const std::vector<LanePath>& paths, const Lanes& lanes,
                                   const Tracks& tracks, const Room& room, const Ends& ends,
                                   const Job& job) {
  std::vector<SizedHole> holes;
  for (const HolePassages& hole : find_holes(lanes, tracks, room)) {
    const Crossing& crossing = room.crossings[static_cast<std::size_t>(hole.crossing)];
    SizedHole& sized = holes.emplace_back();
    HoleShape& shape = sized.shape;
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
      shape.runs.push_back(run);
      diameters.push_back(paths[passage.path].diameter_m);
      const int cable = ends.runs[static_cast<std::size_t>(run)].cable;
      cables.push_back(&job.catalogue.cables[static_cast<std::size_t>(cable)]);
    }
    std::sort(shape.runs.begin(), shape.runs.end());
    shape.runs.erase(std::unique(shape.runs.begin(), shape.runs.end()), shape.runs.end());
    shape.bundle_m = bundle_diameter(diameters);
    sized.heads_m = head_passage(cables);
    sized.discs = cable_discs(hole, crossing.frame, paths, lanes);
    size_hole(sized, hole, crossing, spare_hole_m(diameters, shape.runs, ends, job));
    for (const CableType* cable : spare_cables(shape.runs, ends, job))
      diameters.push_back(cable->diameter_m);
    sized.later_bundle_m = bundle_diameter(diameters);
    line_hole(shape, crossing, sized.later_bundle_m, job);
  }
  take_as_cut(holes, room, job);
  std::vector<HoleShape> shapes;
  for (SizedHole& sized : holes) shapes.push_back(std::move(sized.shape));
  name_holes(shapes, room, job);
  return shapes;
}

}  // namespace roomloom
