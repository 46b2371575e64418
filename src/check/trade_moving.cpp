#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "base/units.h"
#include "check/trade_check.h"

// Where doors, cupboard doors and seats move, told from the model's boxes, turned as they stand,
// and the job alone.

namespace roomloom::check {

Front before_door(const Box3& box, const Vec3& p) {
  const Vec3 size = box.size(), middle = box.centre();
  if (size.x >= size.y) {  // one looks along y; from low y the right is +x
    const bool south = p.y < middle.y;
    return {south ? p.x - box.low.x : box.high.x - p.x, std::abs(p.y - middle.y) - size.y / 2,
            size.x};
  }
  const bool west = p.x < middle.x;  // one looks along +x: the right is -y
  return {west ? box.high.y - p.y : p.y - box.low.y, std::abs(p.x - middle.x) - size.x / 2, size.y};
}

namespace {

constexpr double kOffLeaf_m = 0.03;   ///< in front of a shut leaf: its frame and trim
constexpr double kCoil_m = 0.1;       ///< half of a coil's size; common practice, no source
constexpr double kTouches_m = 0.001;  ///< at the edge of a sweep nothing is caught
constexpr double kPlay_m = 0.02;      ///< round a seat that stands still

std::string said(const TradePart& part, const char* key) {
  const auto found = part.part->extras.find(key);
  return found == part.part->extras.end() ? std::string() : found->second;
}

double length_said(const TradePart& part, const char* key, double by_rule) {
  if (by_rule > 0) return by_rule;
  const auto length = parse_length(said(part, key));
  return length ? *length : 0;
}

double swing_of(const TradePart& part) {
  if (part.rule != nullptr && part.rule->swing_rad) return *part.rule->swing_rad;
  if (said(part, "opens") == "out") return 0;
  const auto angle = parse_angle(said(part, "swing"));
  return angle ? *angle : 0;
}

/// How far inside the sweep of a leaf of the row the place is, metres; 0 = none sweeps it.
double inside_leaf_m(const TradePart& part, const Front& at, int leaves) {
  const double leaf = at.width / leaves, swing = swing_of(part);
  const std::string hinge = part.rule != nullptr && part.rule->hinge_left
                                ? (*part.rule->hinge_left ? "left" : "right")
                                : said(part, "hinge");
  const auto inside = [&](double from_hinge) {  // along the shut leaf, away from its hinge
    const double angle = std::atan2(at.away, from_hinge), radius = std::hypot(from_hinge, at.away);
    return std::max(0.0, std::min(leaf - radius, radius * (swing - angle)));
  };
  double deepest = 0;
  for (int i = 0; i < leaves; ++i) {
    const bool left = leaves > 1 ? i % 2 == 0 : hinge != "right";
    const bool right = leaves > 1 ? i % 2 == 1 : hinge != "left";
    if (left) deepest = std::max(deepest, inside(at.along - i * leaf));
    if (right) deepest = std::max(deepest, inside((i + 1) * leaf - at.along));
  }
  return deepest;
}

double swept_by_door(const TradePart& door, const Vec3& p) {
  const Box3& box = door.upright.box;
  const double width = std::max(box.size().x, box.size().y);
  if (p.z < box.low.z || p.z > box.high.z || width > 2.6 || swing_of(door) <= 0) return 0;
  const Front at = before_door(box, p);
  if (at.away < kOffLeaf_m) return 0;
  const int said_leaves = door.rule != nullptr ? door.rule->leaves : 0;
  return inside_leaf_m(door, at, said_leaves > 0 ? said_leaves : width > 1.3 ? 2 : 1);
}

/// A cupboard opens on the side named, else on one of its long sides: the one away from the
/// nearest side of the room's box.
double swept_by_cupboard(const TradeView& view, const TradePart& cupboard, const Vec3& p) {
  const Box3& box = cupboard.upright.box;
  if (p.z < box.low.z || p.z > box.high.z || swing_of(cupboard) <= 0 || box.contains(p)) return 0;
  Vec3 goal;
  bool found = false;
  if (cupboard.rule != nullptr && !cupboard.rule->toward.empty()) {
    if (const TradePart* toward = part_named(view, cupboard.rule->toward)) {
      goal = cupboard.upright.local(toward->box.centre());
      found = true;
    }
  }
  const Vec3 middle = box.centre(), size = box.size();
  if (!found) {  // the middle of the walls is where one stands before it
    Box3 walls;
    for (const TradePart& part : view.parts)
      if (part.role == Role::wall) walls.add(part.box);
    if (walls.empty()) return 0;
    const Vec3 before = cupboard.upright.local(walls.centre());
    goal = middle;
    (size.x >= size.y ? goal.y : goal.x) = size.x >= size.y ? before.y : before.x;
  }
  const bool along_y = std::abs(goal.y - middle.y) > std::abs(goal.x - middle.x);
  const double side = along_y ? (goal.y > middle.y ? 1 : -1) : (goal.x > middle.x ? 1 : -1);
  Front at;
  if (along_y) {  // faced from the goal: its right is +x when one looks along +y, at side < 0
    at = {side < 0 ? p.x - box.low.x : box.high.x - p.x, side * (p.y - middle.y) - size.y / 2,
          size.x};
  } else {
    at = {side < 0 ? box.high.y - p.y : p.y - box.low.y, side * (p.x - middle.x) - size.x / 2,
          size.y};
  }
  if (at.away < 0.001) return 0;
  int leaves = cupboard.rule != nullptr ? cupboard.rule->leaves : 0;
  if (leaves <= 0) leaves = std::atoi(said(cupboard, "leaves").c_str());
  if (leaves <= 0) leaves = static_cast<int>(std::ceil(at.width / 0.65 - 1e-9));
  return inside_leaf_m(cupboard, at, leaves);
}

double swept_by_seat(const TradeView& view, const TradePart& seat, const Vec3& p) {
  const double recline = length_said(seat, "recline", seat.rule ? seat.rule->recline_m : 0);
  const double slide = length_said(seat, "slide", seat.rule ? seat.rule->slide_m : 0);
  Vec3 low{recline, recline, kPlay_m}, high{recline, recline, kPlay_m};
  const TradePart* toward = seat.rule != nullptr && !seat.rule->toward.empty()
                                ? part_named(view, seat.rule->toward)
                                : nullptr;
  if (toward == nullptr) {
    for (int axis = 0; axis < 2; ++axis)
      low[axis] = high[axis] = std::max({recline, slide, kPlay_m});
  } else {
    const Vec3 way = seat.upright.local(toward->box.centre()) - seat.upright.box.centre();
    const int axis = std::abs(way.x) > std::abs(way.y) ? 0 : 1;
    low[1 - axis] = high[1 - axis] = kPlay_m;
    (way[axis] > 0 ? high : low)[axis] = std::max({recline, slide, kPlay_m});
    (way[axis] > 0 ? low : high)[axis] = std::max(recline, kPlay_m);
  }
  const Box3& box = seat.upright.box;
  return std::max(0.0, inside_m({box.low - low, box.high + high}, p, 3));
}

double inside_sweep_m(const TradeView& view, const TradePart& part, const Vec3& p) {
  switch (part.role) {
    case Role::door:
      return swept_by_door(part, p);
    case Role::cupboard:
    case Role::furniture:
      return swept_by_cupboard(view, part, p);
    case Role::seat:
      return swept_by_seat(view, part, p);
    default:
      return 0;
  }
}

}  // namespace

double swept_m(const TradeView& view, const TradePart& part, const Vec3& at) {
  const double inside = inside_sweep_m(view, part, part.upright.local(at));
  return inside > kTouches_m ? inside : 0;
}

namespace {

void tell_moving(const TradeView& view, const TradePart& part, const Gathered& caught,
                 const std::string& what, const std::string& remedy, Findings& findings) {
  if (caught.empty()) return;
  const std::string stop = part.role == Role::seat ? "seat" : "door";
  tell(findings, "pinch-point", Level::should, caught.names.front(),
       what + " where " + part.part->name + " moves, up to " + view.small(caught.worst) +
           " inside its sweep.",
       caught.where, remedy + ", or stop the " + stop + " short.",
       {view.small(caught.worst) + " inside its sweep", "outside it"});
}

/// Gear that stands where the part moves, but not in it.
Gathered gear_in_the_way(const TradeView& view, const TradePart& part) {
  constexpr int kSteps = 10;      // along each side of its footprint
  constexpr double kEdge = 0.01;  // share of a side: what only touches the sweep is out of it
  const auto share = [&](int step) {
    return std::clamp(static_cast<double>(step) / kSteps, kEdge, 1 - kEdge);
  };
  Gathered caught;
  for (const TradeBox& box : view.plan.gear) {
    if (part.box.contains(box.frame.to_world(0.5 * box.size))) continue;
    for (int i = 0; i <= kSteps; ++i)
      for (int k = 0; k <= kSteps; ++k)
        for (const double up : {0.1, 0.5, 0.9}) {
          const Vec3 at = box.frame.to_world(
              Vec3{share(i) * box.size.x, share(k) * box.size.y, up * box.size.z});
          if (const double inside = swept_m(view, part, at); inside > 0)
            caught.add(box.name, inside, at);
        }
  }
  return caught;
}

void check_moving_part(const TradeView& view, const TradePart& part, Findings& findings) {
  Gathered caught, coils;
  for (const TradeCase& run : view.runs) {
    if (part.box.grown(0.02).contains(run.drawn->line.back())) continue;  // it feeds the seat
    for (const TradeSample& sample : run.samples) {
      const double inside = shut_away(sample) ? 0 : swept_m(view, part, sample.at);
      if (inside > 0) caught.add(run.drawn->id, inside, sample.at);
    }
  }
  for (const TradeEnd& end : view.plan.ends) {
    if (end.state != "coiled" || part.box.grown(0.02).contains(end.at)) continue;
    for (const Vec3& aside : {Vec3{}, Vec3{kCoil_m, 0, 0}, Vec3{-kCoil_m, 0, 0},
                              Vec3{0, kCoil_m, 0}, Vec3{0, -kCoil_m, 0}})
      if (const double inside = swept_m(view, part, end.at + aside); inside > 0)
        coils.add(end.id, inside, end.at);
  }
  tell_moving(view, part, caught, runs_do(caught.names, "lie"), "Lay them another way (\"avoid\")",
              findings);
  tell_moving(view, part, coils, "The coil at " + listed(coils.names) + " lies",
              "Hang it up out of the way", findings);
  const Gathered gear = gear_in_the_way(view, part);
  tell_moving(view, part, gear,
              listed(gear.names) + (gear.names.size() == 1 ? " stands" : " stand"), "Move it",
              findings);
}

}  // namespace

void check_pinch_points(const TradeView& view, Findings& findings) {
  for (const TradePart& part : view.parts)
    if (!part.box.empty() && (part.role == Role::door || part.role == Role::seat ||
                              part.role == Role::cupboard || part.role == Role::furniture))
      check_moving_part(view, part, findings);
}

}  // namespace roomloom::check
