#include "types/recorded_holes.h"

#include <algorithm>
#include <tuple>

#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kSamePlace_m = 0.002;  ///< two ways that pass at one place
/// Cables that lie in lanes beside their way pass a hole beside it, but no farther than this.
constexpr double kFarthestLane_m = 0.06;

bool overlap(double away_m, double diameter_m, double other_m) {
  return away_m < 0.5 * (diameter_m + other_m);
}

/// Across the passage: where only runs tell of a hole, how deep in it the point lies is not told.
double away_m(const Vec3& p, const Vec3& q, const Vec3& normal) {
  return norm(p - q - dot(p - q, normal) * normal);
}

RecordedHole from_entry(const BuiltHole& entry, int index) {
  RecordedHole hole;
  hole.crossing = entry.crossing;
  hole.name = entry.name;
  hole.at = entry.at;
  hole.passed_at = entry.passed_at.value_or(entry.at);
  hole.diameter_m = entry.diameter_m;
  hole.is_located = hole.is_placed = entry.diameter_m > 0;
  hole.entry = index;
  return hole;
}

/// The hole that a stretch passes, if it is among those known; the nearest of several.
RecordedHole* hole_passed(std::vector<RecordedHole>& holes, const WayStretch& stretch) {
  const auto away = [&](const Vec3& p) {
    return point_segment_distance(p, stretch.from, stretch.to);
  };
  RecordedHole* nearest = nullptr;
  for (RecordedHole& hole : holes) {
    if (hole.crossing != stretch.place || !hole.is_located) continue;
    if (away(hole.passed_at) >= kSamePlace_m &&
        !overlap(away(hole.at), hole.diameter_m, stretch.hole_diameter_m))
      continue;
    if (nearest == nullptr || away(hole.passed_at) < away(nearest->passed_at)) nearest = &hole;
  }
  return nearest;
}

/// An entry by its crossing's name alone is one of the holes that runs pass there.
RecordedHole* hole_unplaced(std::vector<RecordedHole>& holes, const std::string& crossing) {
  const auto found = std::find_if(holes.begin(), holes.end(), [&](const RecordedHole& hole) {
    return hole.crossing == crossing && !hole.is_located;
  });
  return found == holes.end() ? nullptr : &*found;
}

void add_passed(std::vector<RecordedHole>& holes, const WayStretch& stretch) {
  const Vec3 middle = 0.5 * (stretch.from + stretch.to);
  if (RecordedHole* known = hole_passed(holes, stretch)) {
    if (known->is_placed && known->passed_at == known->at) known->passed_at = middle;  // not told
    if (!known->is_placed) known->diameter_m = std::max(known->diameter_m, stretch.hole_diameter_m);
    return;
  }
  RecordedHole* hole = hole_unplaced(holes, stretch.place);
  if (hole == nullptr) hole = &holes.emplace_back();
  hole->crossing = stretch.place;
  hole->at = hole->passed_at = middle;
  hole->diameter_m = stretch.hole_diameter_m;
  hole->is_located = true;
}

}  // namespace

std::vector<RecordedHole> recorded_holes(const AsBuilt& built) {
  std::vector<RecordedHole> holes;
  for (std::size_t i = 0; i < built.holes.size(); ++i)
    holes.push_back(from_entry(built.holes[i], static_cast<int>(i)));
  for (const BuiltRun& run : built.runs)
    for (const WayStretch& stretch : run.track)
      if (stretch.kind == "crossing") add_passed(holes, stretch);
  return holes;
}

std::vector<int> match_holes(const std::vector<HoleToFind>& planned,
                             const std::vector<RecordedHole>& recorded) {
  std::vector<std::tuple<double, int, int>> pairs;  // distance, planned, recorded
  for (std::size_t p = 0; p < planned.size(); ++p)
    for (std::size_t r = 0; r < recorded.size(); ++r) {
      const HoleToFind& wanted = planned[p];
      const RecordedHole& hole = recorded[r];
      if (hole.crossing != wanted.crossing) continue;
      double away = away_m(hole.at, wanted.centre, wanted.normal);
      const double beside = away_m(hole.passed_at, wanted.passed_at, wanted.normal);
      if (!hole.is_located)
        away = 1e6;  // it may be any of those there that no other is
      else if (beside < kSamePlace_m && away < kFarthestLane_m)
        away = 0;
      else if (!overlap(away, hole.diameter_m, wanted.diameter_m))
        continue;
      pairs.emplace_back(away, static_cast<int>(p), static_cast<int>(r));
    }
  std::sort(pairs.begin(), pairs.end());
  std::vector<int> match(planned.size(), -1);
  std::vector<char> used(recorded.size(), 0);
  for (const auto& [away, p, r] : pairs) {
    int& own = match[static_cast<std::size_t>(p)];
    char& taken = used[static_cast<std::size_t>(r)];
    if (own >= 0 || taken != 0) continue;
    own = r;
    taken = 1;
  }
  return match;
}

HoleWork work_on(const RecordedHole& recorded, const HoleToFind& planned) {
  const double wide = recorded.diameter_m;
  if (wide <= 0 || wide >= planned.diameter_m - 1e-6) return HoleWork::none;
  if (!recorded.is_placed) return HoleWork::widen;
  const double reach = away_m(recorded.at, planned.centre, planned.normal) + 0.5 * wide;
  return reach <= 0.5 * planned.diameter_m + 1e-4 ? HoleWork::widen : HoleWork::other;
}

}  // namespace roomloom
