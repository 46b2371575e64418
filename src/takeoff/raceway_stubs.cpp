#include "takeoff/raceway_stubs.h"

#include <algorithm>

#include "takeoff/raceway_tips.h"

namespace roomloom {
namespace {

bool lies_in(const Straight& straight, int run) {
  return std::find(straight.runs.begin(), straight.runs.end(), run) != straight.runs.end();
}

bool is_needed(const std::vector<Straight>& straights, std::size_t stub) {
  return std::any_of(straights[stub].runs.begin(), straights[stub].runs.end(), [&](int run) {
    for (std::size_t i = 0; i < straights.size(); ++i)
      if (i != stub && lies_in(straights[i], run)) return false;
    return true;
  });
}

/// Lengthens a straight by one that goes on in its line. @return whether it does
bool lengthen(Straight& straight, const Straight& by) {
  const Vec3 along = normalized(straight.to - straight.from);
  if (straight.fixed || straight.sheet != by.sheet || straight.raceway < by.raceway ||
      !RacewayTips::in_line(along, normalized(by.to - by.from)))
    return false;
  const auto take = [&](const Vec3& tip, Vec3& end, int& end_box, double sense) {
    for (const bool turned : {false, true}) {
      const Vec3 near = turned ? by.to : by.from, far = turned ? by.from : by.to;
      if (distance(tip, near) > kSamePoint_m || sense * dot(far - near, along) <= 0) continue;
      end = far;
      end_box = turned ? by.from_box : by.to_box;
      return true;
    }
    return false;
  };
  if (!take(straight.to, straight.to, straight.to_box, 1) &&
      !take(straight.from, straight.from, straight.from_box, -1))
    return false;
  if (straight.parts.empty()) straight.parts = {{straight.from, straight.to, straight.runs}};
  straight.parts.insert(straight.parts.end(), by.parts.begin(), by.parts.end());
  if (by.parts.empty()) straight.parts.push_back({by.from, by.to, by.runs});
  for (const int run : by.runs)
    if (!lies_in(straight, run))
      straight.runs.insert(std::upper_bound(straight.runs.begin(), straight.runs.end(), run), run);
  return true;
}

/// The shortest of those that are to be taken out; -1: none.
int shortest_stub(const std::vector<Straight>& straights, const Joints& joints) {
  int shortest = -1;
  double least = kLeastPiece_m - 1e-9;
  for (std::size_t i = 0; i < straights.size(); ++i) {
    const double net = net_length_m(straights[i], joints.starts[i], joints.ends[i]);
    if (straights[i].fixed || net >= least || is_needed(straights, i)) continue;
    least = net;
    shortest = static_cast<int>(i);
  }
  return shortest;
}

}  // namespace

double net_length_m(const Straight& straight, const StraightEnd& start, const StraightEnd& end) {
  return distance(straight.from, straight.to) + start.longer_m + end.longer_m;
}

Joints join_without_stubs(std::vector<Straight>& straights, const Takeoff& takeoff,
                          const std::vector<Termination>& terminations, const Ends& ends,
                          const Job& job) {
  for (;;) {
    Joints joints = join_straights(straights, takeoff, terminations, ends, job);
    const int stub = shortest_stub(straights, joints);
    if (stub < 0) return joints;
    const Straight gone = straights[static_cast<std::size_t>(stub)];
    straights.erase(straights.begin() + stub);
    for (Straight& straight : straights)
      if (lengthen(straight, gone)) break;
  }
}

}  // namespace roomloom
