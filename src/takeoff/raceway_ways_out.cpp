#include "takeoff/raceway_ways_out.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "takeoff/cells.h"

namespace roomloom {
namespace {

constexpr double kNearEnd_m = 0.1;  // of the way to a cable's end from a raceway's side

bool holds(const std::vector<int>& runs, int run) {
  return std::find(runs.begin(), runs.end(), run) != runs.end();
}

/// Of each stretch the ends of others that stop at its side.
std::vector<std::vector<Tip>> tips_at_sides(const RacewayTips& tips, int count) {
  std::vector<std::vector<Tip>> at(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i)
    for (const bool start : {true, false}) {
      const Tip tip{i, start};
      if (tips.box(tip) >= 0) continue;
      if (const int side = tips.passed_by(tip); side >= 0)
        at[static_cast<std::size_t>(side)].push_back(tip);
    }
  return at;
}

/// Whether another of the stretches that stop at this one's side takes the run over there.
bool taken_from_side(const RacewayTips& tips, const std::vector<Tip>& at_side, int index, int run,
                     double along_m) {
  const Straight& straight = tips.straight({index, true});
  const Vec3 way = normalized(straight.to - straight.from);
  return std::any_of(at_side.begin(), at_side.end(), [&](const Tip& tip) {
    return std::abs(dot(tips.point(tip) - straight.from, way) - along_m) < kAtEnd_m &&
           holds(tips.runs_at(tip), run);
  });
}

}  // namespace

const Termination* end_near(const Vec3& point, const std::vector<int>& runs, double most_m,
                            const std::vector<Termination>& terminations, const Ends& ends) {
  const Termination* nearest = nullptr;
  double least = most_m;
  for (const Termination& one : terminations) {
    if (!holds(runs, one.run)) continue;
    const double away = distance(element(ends.ends, one.end).place.position, point);
    if (away > least) continue;
    nearest = &one;
    least = away;
  }
  return nearest;
}

bool is_over(const HoleRow& hole, const Vec3& point, const RacewayType& type) {
  return distance(hole.centre, point) <= 0.5 * hole.diameter_m + type.depth_m + 0.1;
}

std::vector<std::vector<WayOut>> ways_out_of(const RacewayTips& tips,
                                             const std::vector<std::set<int>>& let_out,
                                             const std::vector<HoleRow>& holes,
                                             const std::vector<Termination>& terminations,
                                             const Ends& ends) {
  const int count = static_cast<int>(let_out.size() / 2);
  const auto lets_out = [&](int index, bool start, int run) {
    return element(let_out, 2 * index + (start ? 0 : 1)).count(run) != 0;
  };
  const std::vector<std::vector<Tip>> at_sides = tips_at_sides(tips, count);
  std::vector<std::vector<WayOut>> all(let_out.size() / 2);
  for (int index = 0; index < count; ++index) {
    const Straight& straight = tips.straight({index, true});
    const double length = distance(straight.from, straight.to);
    std::vector<WayOut>& ways = all[static_cast<std::size_t>(index)];
    for (const RunStay& stay : tips.stays(index))
      for (const double at : {stay.from_m, stay.to_m}) {
        const bool first = at <= kSamePoint_m, last = at >= length - kSamePoint_m;
        if ((first && lets_out(index, true, stay.run)) ||
            (last && lets_out(index, false, stay.run)) ||
            (!first && !last &&
             taken_from_side(tips, element(at_sides, index), index, stay.run, at)))
          continue;
        const Vec3 point = straight.from + at * normalized(straight.to - straight.from);
        WayOut way{at, stay.run, -1, ""};
        if (const Termination* end = end_near(point, {stay.run}, kNearEnd_m, terminations, ends))
          way.end = end->end;
        const std::string& id = element(ends.runs, stay.run).id;
        for (const HoleRow& hole : holes)
          if (way.end < 0 && way.hole.empty() &&
              std::find(hole.runs.begin(), hole.runs.end(), id) != hole.runs.end() &&
              is_over(hole, point, tips.type({index, true})))
            way.hole = hole.name;
        ways.push_back(std::move(way));
      }
    std::stable_sort(ways.begin(), ways.end(), [](const WayOut& a, const WayOut& b) {
      return std::tuple(std::llround(a.along_m / kSamePoint_m), a.end, a.hole) <
             std::tuple(std::llround(b.along_m / kSamePoint_m), b.end, b.hole);
    });
  }
  return all;
}

}  // namespace roomloom
