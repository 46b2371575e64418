#include "shape/lanes.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "shape/chains.h"
#include "shape/lane_line.h"
#include "shape/lane_search.h"
#include "shape/untangle.h"

namespace roomloom {
namespace {

std::string place_text(const Vec3& at, DisplayUnits units) {
  return "(" + format_length(at.x, units, 2) + ", " + format_length(at.y, units, 2) + ", " +
         format_length(at.z, units, 2) + ")";
}

std::string overlap_text(const std::string& a, const std::string& b, const Conflict& conflict,
                         DisplayUnits units) {
  const std::string pair = "Runs " + a + " and " + b;
  if (conflict.worst == Meeting::straight)
    return pair + " found no lanes of their own near " + place_text(conflict.at, units);
  return pair + " overlap as drawn inside " +
         (conflict.fittings.size() == 1
              ? "a fitting near "
              : std::to_string(conflict.fittings.size()) + " fittings, one near ") +
         place_text(conflict.at, units);
}

void add_overlap(Lane& lane, const DrawnWay& run, const DrawnWay& other, const Conflict& conflict) {
  const double step = (run.diameter_m + other.diameter_m) / 2;
  const auto count = static_cast<int>(conflict.fittings.size());
  lane.overlaps_in_fittings += count;
  lane.overlap_bound_m += count * step_over_extra(step, kFittingReach * run.diameter_m);
  for (const std::size_t i : conflict.fittings) lane.overlapped.push_back(run.points[i]);
}

// After all are placed: what is left, told for both runs.
// Returns the pairs that get into each other's way outside fittings.
std::vector<std::pair<std::size_t, std::size_t>> tell_overlaps(Lanes& result,
                                                               const std::vector<LanePath>& paths,
                                                               const Tracks& tracks,
                                                               const Ends& ends,
                                                               DisplayUnits units) {
  std::vector<std::pair<std::size_t, std::size_t>> tangled;
  int loose_pairs = 0;
  std::vector<DrawnWay> ways;
  std::vector<Box3> boxes;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    ways.push_back(drawn_way(paths[i], result.lanes[i].line, tracks));
    boxes.push_back(box_of(ways.back()));
  }
  for (std::size_t a = 0; a < paths.size(); ++a) {
    for (std::size_t b = a + 1; b < paths.size(); ++b) {
      if (paths[a].path.empty() || paths[b].path.empty() || !boxes[a].overlaps(boxes[b])) continue;
      const Conflict there = find_conflict(ways[a], ways[b]);
      if (there.worst == Meeting::loose) ++loose_pairs;
      if (there.worst == Meeting::none || there.worst == Meeting::loose) continue;
      if (there.worst == Meeting::straight) tangled.emplace_back(a, b);
      const Conflict back = find_conflict(ways[b], ways[a]);
      add_overlap(result.lanes[a], ways[a], ways[b], there);
      add_overlap(result.lanes[b], ways[b], ways[a], back);
      const auto id = [&](const LanePath& run) {
        return ends.runs[static_cast<std::size_t>(run.run)].id;
      };
      result.overlaps.push_back(overlap_text(id(paths[a]), id(paths[b]), there, units));
    }
  }
  if (loose_pairs > 0)
    result.overlaps.push_back(std::to_string(loose_pairs) +
                              " pairs of runs overlap as drawn only where they lie loose");
  return tangled;
}

// A point that moves with the room and lies off its planes of symmetry: the middle of all ends,
// each weighed by the rank of its run.
Vec3 anchor_of(const std::vector<LanePath>& paths) {
  std::vector<const LanePath*> ranked;
  for (const LanePath& path : paths)
    if (!path.path.empty()) ranked.push_back(&path);
  std::sort(ranked.begin(), ranked.end(),
            [](const LanePath* a, const LanePath* b) { return a->rank < b->rank; });
  Vec3 sum;
  double weights = 0;
  for (std::size_t i = 0; i < ranked.size(); ++i) {
    const double weight = 1 + static_cast<double>(i);
    sum += weight * (ranked[i]->path.points.front() + ranked[i]->path.points.back());
    weights += 2 * weight;
  }
  return weights > 0 ? sum / weights : sum;
}

Vec3 offset_on_longest(const LanePath& path, const std::vector<Vec3>& offsets) {
  Vec3 offset;
  double longest = -1;
  for (std::size_t i = 0; i < offsets.size(); ++i) {
    const double length = distance(path.path.points[i], path.path.points[i + 1]);
    if (path.loose[i] || length <= longest) continue;
    longest = length;
    offset = offsets[i];
  }
  return offset;
}

Lanes lanes_at(const std::vector<LanePath>& paths, const LaneOffsets& offsets) {
  Lanes result;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    Lane lane;
    lane.offset = offset_on_longest(paths[i], offsets[i]);
    lane.line = lane_line(paths[i], offsets[i]);
    result.lanes.push_back(std::move(lane));
  }
  return result;
}

}  // namespace

double step_over_extra(double step_m, double reach_m) {
  if (step_m <= 0 || reach_m <= 0) return 0;
  // Two arcs of opposite turn, each of half the step over half the reach: the chord makes half the
  // turn with the way.
  const double turn = 2 * std::atan(step_m / reach_m);
  return 2 * reach_m * (turn / std::sin(turn) - 1);
}

Lanes assign_lanes(const std::vector<LanePath>& paths, const Tracks& tracks, const Room& room,
                   const Ends& ends, DisplayUnits units) {
  const Vec3 anchor = anchor_of(paths);
  const Chains chains = find_chains(paths, tracks, room, anchor);
  LaneOffsets offsets = search_lanes(paths, chains, room, ends, tracks, anchor);
  Lanes result = lanes_at(paths, offsets);
  const auto tangled = tell_overlaps(result, paths, tracks, ends, units);
  if (tangled.empty() || !untangle(paths, chains, tracks, tangled, offsets)) return result;
  result = lanes_at(paths, offsets);
  tell_overlaps(result, paths, tracks, ends, units);
  return result;
}

}  // namespace roomloom
