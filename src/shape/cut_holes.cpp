#include <algorithm>
#include <cmath>
#include <tuple>

#include "shape/hole_sizes.h"
#include "types/given_names.h"
#include "types/grommets.h"
#include "types/recorded_holes.h"

// What the record of what was built says of a plan's holes: which are cut, how wide, and what they
// are called.

namespace roomloom {
namespace {

const Crossing& crossing_of(const HoleShape& shape, const Room& room) {
  return room.crossings[static_cast<std::size_t>(shape.crossing)];
}

HoleToFind to_find(const HoleShape& shape, const Crossing& crossing) {
  return {crossing.name, shape.centre, shape.passed_at, shape.normal, shape.diameter_m};
}

std::vector<HoleToFind> to_find(const std::vector<HoleShape>& holes, const Room& room) {
  std::vector<HoleToFind> all;
  for (const HoleShape& shape : holes) all.push_back(to_find(shape, crossing_of(shape, room)));
  return all;
}

/// All discs within a circle about `centre`.
bool holds(const std::vector<Disc>& discs, const Vec2& centre, double diameter_m) {
  return std::all_of(discs.begin(), discs.end(), [&](const Disc& disc) {
    return norm(disc.centre - centre) + disc.radius_m <= 0.5 * diameter_m + 1e-9;
  });
}

/// The recorded circle, moved no farther than the cables as drawn ask.
void take_circle(SizedHole& hole, const RecordedHole& cut, const Crossing& crossing,
                 const Job& job) {
  HoleShape& shape = hole.shape;
  const Vec2 least = enclosing_circle(hole.discs).centre;
  const Vec2 middle = crossing.frame.to_plane(cut.is_placed ? cut.at : shape.centre);
  double share = 0;
  const auto centre = [&] { return middle + share * (least - middle); };
  while (share < 1 && !holds(hole.discs, centre(), cut.diameter_m))
    share = std::min(1.0, share + 0.125);
  const int planned = shape.grommet;
  shape.grommet =
      grommet_for(crossing.kind, cut.diameter_m, shape.bundle_m, job, [](double) { return false; });
  if (shape.grommet < 0) shape.no_grommet = planned;
  shape.centre = crossing.frame.to_world(centre());
  shape.diameter_m = cut.diameter_m;
  shape.bare_m = std::min(shape.bare_m, shape.diameter_m);
}

/// About a middle from which the new circle holds the recorded one and the cables with their
/// clearance. @return whether the place allows that
bool widen(SizedHole& hole, const RecordedHole& cut, const Crossing& crossing, const Job& job) {
  HoleShape& shape = hole.shape;
  if (work_on(cut, to_find(shape, crossing)) == HoleWork::widen) return true;
  std::vector<Disc> all = hole.discs;
  for (Disc& disc : all) disc.radius_m += 0.5 * kHoleClearance_m;
  all.push_back({crossing.frame.to_plane(cut.at), 0.5 * cut.diameter_m});
  const Disc round = enclosing_circle(all);
  HoleShape wider = shape;
  wider.diameter_m = std::max(wider.bare_m, hole_saw_size(2 * round.radius_m - 1e-6));
  if (wider.diameter_m > crossing.largest_diameter_m + 1e-6 ||
      !hole_allowed_at(crossing, round.centre, wider.diameter_m))
    return false;
  wider.centre = crossing.frame.to_world(round.centre);
  wider.grommet = -1;
  line_hole(wider, crossing, hole.later_bundle_m, job);
  shape = wider;
  return true;
}

void take_record(SizedHole& hole, const RecordedHole& cut, int index, const Crossing& crossing,
                 const Job& job) {
  HoleShape& shape = hole.shape;
  const double needed =
      std::max({shape.bundle_m, hole.heads_m, 2 * enclosing_circle(hole.discs).radius_m});
  if (cut.diameter_m > 0 && cut.diameter_m >= needed - 1e-6)
    take_circle(hole, cut, crossing, job);
  else if (cut.diameter_m > 0 && !widen(hole, cut, crossing, job))
    return;  // no saw makes the one from the other
  shape.built_m = cut.diameter_m;
  shape.recorded = index;
}

}  // namespace

void take_as_cut(std::vector<SizedHole>& holes, const Room& room, const Job& job) {
  const std::vector<RecordedHole> recorded = recorded_holes(job.as_built);
  if (recorded.empty()) return;
  std::vector<HoleToFind> planned;
  for (const SizedHole& hole : holes)
    planned.push_back(to_find(hole.shape, crossing_of(hole.shape, room)));
  const std::vector<int> match = match_holes(planned, recorded);
  for (std::size_t i = 0; i < holes.size(); ++i) {
    const Crossing& crossing = crossing_of(holes[i].shape, room);
    if (match[i] < 0) continue;
    if (crossing.existing)
      holes[i].shape.recorded = match[i];  // it has its own size
    else
      take_record(holes[i], recorded[static_cast<std::size_t>(match[i])], match[i], crossing, job);
  }
}

void name_holes(std::vector<HoleShape>& holes, const Room& room, const Job& job) {
  const auto order = [&](const HoleShape& hole) {
    const Crossing& crossing = room.crossings[static_cast<std::size_t>(hole.crossing)];
    const TileId tile = crossing.tile.value_or(TileId{1 << 20, 0});
    const Vec2 at = crossing.frame.to_plane(hole.centre);
    return std::tuple(tile.row, tile.column, hole.crossing, std::llround(at.y * 1e4),
                      std::llround(at.x * 1e4));
  };
  std::stable_sort(holes.begin(), holes.end(),
                   [&](const HoleShape& a, const HoleShape& b) { return order(a) < order(b); });
  const std::vector<RecordedHole> recorded = recorded_holes(job.as_built);
  AsBuilt before;
  before.holes = job.names.holes;
  const std::vector<RecordedHole> named = recorded_holes(before);
  const std::vector<int> same = match_holes(to_find(holes, room), named);
  std::vector<std::string> names, given;
  for (const RecordedHole& one : recorded) given.push_back(one.name);
  for (const RecordedHole& one : named) given.push_back(one.name);
  for (std::size_t i = 0; i < holes.size(); ++i) {
    std::string name;
    if (holes[i].recorded >= 0) name = recorded[static_cast<std::size_t>(holes[i].recorded)].name;
    if (name.empty() && same[i] >= 0) name = named[static_cast<std::size_t>(same[i])].name;
    // One that was cut elsewhere than it was planned keeps its name: this one is another.
    const bool is_elsewhere =
        holes[i].recorded < 0 &&
        std::any_of(recorded.begin(), recorded.end(),
                    [&](const RecordedHole& one) { return !name.empty() && one.name == name; });
    names.push_back(is_elsewhere ? "" : name);
  }
  names = with_new_names("H", std::move(names), given);
  for (std::size_t i = 0; i < holes.size(); ++i) holes[i].name = names[i];
}

}  // namespace roomloom
