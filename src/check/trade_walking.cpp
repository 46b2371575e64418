#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"

// Where people walk, and cable over the floor.

namespace roomloom::check {
namespace {

constexpr double kInWalkway_m = 0.07;  ///< from a walkway's side: what is fixed to a wall there
constexpr double kHeadroom_m = 1.9;    ///< what hangs higher is in nobody's way

double floor_of(const TradeView& view) {
  double floor = 1e9;
  for (const TradePart& part : view.parts)
    if (part.role == Role::floor) floor = std::min(floor, part.box.high.z);
  return floor > 1e8 ? 0 : floor;
}

bool allowed(const Job& job, const Vec3& p) {
  return std::any_of(job.floor.areas.begin(), job.floor.areas.end(), [&](const FloorArea& area) {
    return p.x > area.low.x - 0.06 && p.x < area.high.x + 0.06 && p.y > area.low.y - 0.06 &&
           p.y < area.high.y + 0.06;
  });
}

}  // namespace

double on_walkway_m(const TradeView& view, const Vec3& p) {
  const double floor = floor_of(view);
  double deepest = 0;
  for (const TradePart& part : view.parts) {
    if (part.role != Role::walkway || part.box.empty()) continue;
    if (p.z > part.box.low.z - 0.1 && p.z < part.box.high.z + kHeadroom_m)
      deepest = std::max(deepest, inside_m(part.upright.box, part.upright.local(p), 2));
  }
  for (const WalkwaySpec& walkway : view.job.walkways) {
    if (p.z < floor - 0.1 || p.z > floor + kHeadroom_m) continue;
    for (std::size_t i = 0; i + 1 < walkway.points.size(); ++i) {
      const Vec2 at{p.x, p.y}, from = walkway.points[i], way = walkway.points[i + 1] - from;
      const double length = norm(way);
      if (length < 1e-6) continue;
      const double along = dot(at - from, way) / length;
      if (along < 0 || along > length) continue;
      deepest = std::max(deepest, walkway.width_m / 2 - std::abs(cross(way, at - from)) / length);
    }
  }
  return deepest > kInWalkway_m ? deepest : 0;
}

namespace {

/// Whether a wall stands so near, whichever way the room is turned: looked for on sixteen rays,
/// each longer by what lies between two.
bool wall_within(const TradeView& view, const Vec3& p, double reach_m) {
  constexpr int kRays = 16;
  constexpr double kOverFloor_m = 0.02;
  const Vec3 from = p + Vec3{0, 0, kOverFloor_m};
  const double reach = reach_m / std::cos(kPi / kRays);
  for (int k = 0; k < kRays; ++k) {
    const double angle = 2 * kPi * k / kRays;
    const Vec3 to = from + reach * Vec3{std::cos(angle), std::sin(angle), 0};
    for (const RayHit& hit : view.tree.hits(from, to))
      if (view.part_at(hit.triangle).role == Role::wall) return true;
  }
  return false;
}

void tell_crossing(const TradeView& view, const Gathered& runs, Level level, const std::string& how,
                   const std::string& remedy, const std::string& limit, Findings& findings) {
  if (runs.empty()) return;
  tell(findings, "floor-crossing", level, runs.names.front(),
       runs_do(runs.names, "cross") + " up to " + view.length(runs.worst) + " of open floor, " +
           how + ".",
       runs.where, remedy, {view.length(runs.worst), limit});
}

}  // namespace

void check_walkways(const TradeView& view, Findings& findings) {
  Gathered caught;
  for (const TradeCase& run : view.runs)
    for (const TradeSample& sample : run.samples) {
      if (shut_away(sample) || allowed(view.job, sample.at)) continue;
      if (const double inside = on_walkway_m(view, sample.at); inside > 0)
        caught.add(run.drawn->id, inside, sample.at);
    }
  if (caught.empty()) return;
  tell(findings, "walkway", Level::must, caught.names.front(),
       runs_do(caught.names, "lie") + " where people walk, up to " + view.small(caught.worst) +
           " inside a walkway's side, without leave of the job.",
       caught.where,
       "Route again; or name the place under \"floor\": { \"cross\": [ ... ] } and put a ramp "
       "there.",
       {view.small(caught.worst) + " inside", "outside, or above " + view.length(kHeadroom_m)});
}

void check_floor_crossings(const TradeView& view, Findings& findings) {
  constexpr double kOnFloor_m = 0.06;
  const double floor = floor_of(view);
  Gathered open, covered;
  for (const TradeCase& run : view.runs) {
    double open_m = 0, covered_m = 0;
    for (const TradeSample& sample : run.samples) {
      const Vec3& p = sample.at;
      if (shut_away(sample) || p.z > floor + kOnFloor_m || p.z < floor - 0.01) continue;
      if (wall_within(view, p, view.job.floor.beside_wall_m + 0.1)) continue;
      const bool leave =
          view.job.floor.anywhere || view.job.prefer.over_floor || allowed(view.job, p);
      double& so_far = leave ? covered_m : open_m;
      so_far += sample.step_m;
      (leave ? covered : open).add(run.drawn->id, so_far, p);
    }
  }
  tell_crossing(
      view, open, Level::must, "without leave of the job",
      "Route again; or allow it under \"floor\": { \"cross\": [ ... ] } and put a ramp there.",
      view.length(0), findings);
  tell_crossing(view, covered, Level::should, "where people trip over it",
                "Cover the whole length with a ramp that is fixed down and marked (ramps.csv).",
                view.length(0) + " without a ramp", findings);
}

}  // namespace roomloom::check
