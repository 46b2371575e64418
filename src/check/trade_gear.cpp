#include <algorithm>
#include <cmath>
#include <set>

#include "check/trade_check.h"

// Gear before a door's opening, where people walk, and in furniture that is not said to hold it:
// judged by points and lines of the gear's written box against the original's parts.

namespace roomloom::check {
namespace {

constexpr double kStep_m = 0.05;       ///< between points in plan; 0.1 m in height
constexpr double kTouches_m = 0.025;   ///< so deep gear may stand as rooms and boxes are measured
constexpr double kBeforeDoor_m = 0.6;  ///< one passes between a door and what stands there
constexpr double kAcross_m = 0.05;     ///< less of a doorway is not in the way; these three are
                                       ///< common practice, no source
constexpr double kHeadroom_m = 1.9;

/// Coordinates from 0 to `length`, both ends among them.
std::vector<double> steps_over(double length, double step) {
  const int count = std::clamp(static_cast<int>(std::ceil(length / step)), 1, 60);
  std::vector<double> all;
  for (int i = 0; i <= count; ++i) all.push_back(length * i / count);
  return all;
}

std::vector<Vec3> points_of(const TradeBox& box) {
  std::vector<Vec3> points;
  for (const double x : steps_over(box.size.x, kStep_m))
    for (const double y : steps_over(box.size.y, kStep_m))
      for (const double z : steps_over(box.size.z, 2 * kStep_m))
        points.push_back(box.frame.to_world(Vec3{x, y, z}));
  return points;
}

const GearSpec* spec_of(const Job& job, const TradeBox& box) {
  for (const GearSpec& gear : job.gear)
    if (gear.id == box.name) return &gear;
  return nullptr;
}

/// By the job gear may stand in this: it is said to hide things, or the gear is measured on it.
bool may_hold(const TradePart& part, const GearSpec* gear) {
  if (part.role == Role::cupboard || (part.rule != nullptr && part.rule->hides)) return true;
  const auto* on = gear != nullptr ? std::get_if<OnPart>(&gear->place) : nullptr;
  return on != nullptr && (on->part == part.part->name || on->part == part.part->path);
}

/// Furniture whose faces lines through the gear meet, or within whose body its middle lies.
std::set<const TradePart*> furniture_in(const TradeView& view, const TradeBox& box,
                                        const GearSpec* gear) {
  std::set<const TradePart*> met;
  const auto is_furniture = [&](const TradePart& part) {
    return part.role == Role::furniture && !may_hold(part, gear);
  };
  for (int axis = 0; axis < 3; ++axis) {
    const int next = (axis + 1) % 3, last = (axis + 2) % 3;
    if (box.size[axis] <= 2 * kTouches_m) continue;
    for (const double a : steps_over(box.size[next] - 2 * kTouches_m, kStep_m))
      for (const double b : steps_over(box.size[last] - 2 * kTouches_m, kStep_m)) {
        Vec3 from, to;
        from[axis] = kTouches_m;
        to[axis] = box.size[axis] - kTouches_m;
        from[next] = to[next] = kTouches_m + a;
        from[last] = to[last] = kTouches_m + b;
        for (const RayHit& hit : view.tree.hits(box.frame.to_world(from), box.frame.to_world(to)))
          if (const TradePart& part = view.part_at(hit.triangle); is_furniture(part))
            met.insert(&part);
      }
  }
  constexpr double kFarAbove_m = 50;
  const Vec3 middle = box.frame.to_world(0.5 * box.size) + Vec3{0.0013, 0.0007, 0};
  std::map<const TradePart*, int> above;
  for (const RayHit& hit : view.tree.hits(middle, middle + Vec3{0, 0, kFarAbove_m}))
    ++above[&view.part_at(hit.triangle)];
  for (const auto& [part, count] : above)
    if (count % 2 == 1 && is_furniture(*part) && part->box.contains(middle)) met.insert(part);
  return met;
}

/// Furniture of several parts is told by each name once, in the order of the model.
void tell_furniture(const TradeView& view, const TradeBox& box, Findings& findings) {
  const auto met = furniture_in(view, box, spec_of(view.job, box));
  std::vector<std::string> names;
  for (const TradePart& part : view.parts)
    if (met.contains(&part) &&
        std::find(names.begin(), names.end(), part.part->name) == names.end())
      names.push_back(part.part->name);
  if (names.empty()) return;
  tell(
      findings, "gear-place", Level::should, box.name,
      "Gear \"" + box.name + "\" stands in " + listed(names) + ".",
      box.frame.to_world(0.5 * box.size),
      "Move it; or say \"parts\": [{ \"match\": \"" + names.front() +
          "\", \"hides\": true }] if it is to stand in there, or \"is\": \"ignore\" if that is the "
          "gear itself",
      {"in " + names.front(), "beside it, on it, or in what hides things"});
}

/// How much of a door's opening the gear stands across, near before it.
double across_doorway_m(const TradePart& door, const std::vector<Vec3>& points) {
  double low = 1e9, high = -1e9;
  for (const Vec3& at : points) {
    const Vec3 p = door.upright.local(at);
    if (p.z > door.upright.box.low.z + kHeadroom_m || p.z > door.upright.box.high.z) continue;
    const Front before = before_door(door.upright.box, p);
    if (before.away > kBeforeDoor_m || before.along < 0 || before.along > before.width) continue;
    low = std::min(low, before.along);
    high = std::max(high, before.along);
  }
  return std::max(0.0, high - low);
}

/// Before a door's opening; in its swing it is the check of what moves that tells it.
void tell_doorway(const TradeView& view, const TradePart& door, const TradeBox& box,
                  const std::vector<Vec3>& points, Findings& findings) {
  const double across = across_doorway_m(door, points);
  if (across <= kAcross_m) return;
  if (std::any_of(points.begin(), points.end(),
                  [&](const Vec3& p) { return swept_m(view, door, p) > kTouches_m; }))
    return;
  tell(findings, "gear-place", Level::should, box.name,
       "Gear \"" + box.name + "\" stands before " + door.part->name + ", across " +
           view.small(across) + " of its opening.",
       box.frame.to_world(0.5 * box.size), "Move the gear: people come in there",
       {view.small(across) + " of the opening", view.length(kBeforeDoor_m) + " free before it"});
}

void tell_walkway(const TradeView& view, const TradeBox& box, const std::vector<Vec3>& points,
                  Findings& findings) {
  Gathered caught;
  for (const Vec3& p : points)
    if (const double inside = on_walkway_m(view, p); inside > 0) caught.add(box.name, inside, p);
  if (caught.empty()) return;
  tell(findings, "gear-place", Level::should, box.name,
       "Gear \"" + box.name + "\" stands where people walk, up to " + view.small(caught.worst) +
           " inside a walkway's side.",
       caught.where, "Move the gear, or the walkway if people can walk round it",
       {view.small(caught.worst) + " inside", "outside"});
}

}  // namespace

void check_gear_place(const TradeView& view, Findings& findings) {
  for (const TradeBox& box : view.plan.gear) {
    const std::vector<Vec3> points = points_of(box);
    tell_furniture(view, box, findings);
    for (const TradePart& part : view.parts)
      if (part.role == Role::door && !part.box.empty())
        tell_doorway(view, part, box, points, findings);
    tell_walkway(view, box, points, findings);
  }
}

}  // namespace roomloom::check
