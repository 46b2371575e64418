#include "shape/lanes.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "shape/lane_search.h"

namespace roomloom {
namespace {

std::string place_text(const Vec3& at) {
  return "(" + format_number(at.x, 2) + ", " + format_number(at.y, 2) + ", " +
         format_number(at.z, 2) + ") m";
}

std::string overlap_text(const std::string& a, const std::string& b, const Conflict& conflict) {
  const std::string pair = "Runs " + a + " and " + b;
  if (conflict.worst == Meeting::straight)
    return pair + " found no lanes of their own near " + place_text(conflict.at);
  return pair + " overlap as drawn inside " +
         (conflict.fittings.size() == 1
              ? "a fitting near "
              : std::to_string(conflict.fittings.size()) + " fittings, one near ") +
         place_text(conflict.at);
}

void add_overlap(Lane& lane, const LanePath& run, const LanePath& other, const Conflict& conflict) {
  const double step = (run.diameter_m + other.diameter_m) / 2;
  const auto count = static_cast<int>(conflict.fittings.size());
  lane.overlaps_in_fittings += count;
  lane.overlap_bound_m += count * step_over_extra(step, 4 * run.diameter_m);
  lane.overlapped.insert(lane.overlapped.end(), conflict.fittings.begin(), conflict.fittings.end());
}

// After all are placed: what is left, told for both runs.
void tell_overlaps(Lanes& result, const std::vector<LanePath>& paths, const Ends& ends) {
  int loose_pairs = 0;
  std::vector<std::vector<Vec3>> points;
  for (std::size_t i = 0; i < paths.size(); ++i)
    points.push_back(leg_points(paths[i], result.lanes[i].points));
  for (std::size_t a = 0; a < paths.size(); ++a) {
    for (std::size_t b = a + 1; b < paths.size(); ++b) {
      Lane& la = result.lanes[a];
      Lane& lb = result.lanes[b];
      const double reach =
          (paths[a].diameter_m + paths[b].diameter_m) / 2 + norm(la.offset) + norm(lb.offset);
      const NearPairs near = near_pairs(paths[a], paths[b], reach);
      const Conflict there = find_conflict(paths[a], points[a], paths[b], points[b], near, false);
      if (there.worst == Meeting::none) continue;
      if (there.worst == Meeting::loose) ++loose_pairs;
      if (there.worst == Meeting::loose) continue;
      NearPairs turned;
      for (const auto& [i, j] : near) turned.emplace_back(j, i);
      const Conflict back = find_conflict(paths[b], points[b], paths[a], points[a], turned, false);
      add_overlap(la, paths[a], paths[b], there);
      add_overlap(lb, paths[b], paths[a], back);
      const auto id = [&](const LanePath& run) {
        return ends.runs[static_cast<std::size_t>(run.run)].id;
      };
      result.overlaps.push_back(overlap_text(id(paths[a]), id(paths[b]), there));
    }
  }
  if (loose_pairs > 0)
    result.overlaps.push_back(std::to_string(loose_pairs) +
                              " pairs of runs overlap as drawn only where they lie loose");
}

}  // namespace

double step_over_extra(double step_m, double reach_m) {
  if (step_m <= 0 || reach_m <= 0) return 0;
  // Two arcs of opposite turn, each of half the step over half the reach: the chord makes half the
  // turn with the way.
  const double turn = 2 * std::atan(step_m / reach_m);
  return 2 * reach_m * (turn / std::sin(turn) - 1);
}

Lanes assign_lanes(std::vector<LanePath>& paths, const std::vector<double>& bend_radius_m,
                   const std::vector<std::vector<LaneLimits>>& limits, const Tracks& tracks,
                   const Room& room, const Ends& ends) {
  mark_legs(paths, bend_radius_m, tracks);
  Lanes result;
  result.lanes = search_lanes(paths, limits, tracks, room, ends);
  tell_overlaps(result, paths, ends);
  return result;
}

}  // namespace roomloom
