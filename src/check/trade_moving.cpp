#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "base/units.h"
#include "check/trade_check.h"

// Where doors, cupboard doors and seats move and where people walk, told from the model's boxes and
// the job alone.

namespace roomloom::check {
namespace {

constexpr double kOffLeaf_m = 0.03;    ///< in front of a shut leaf: its frame and trim
constexpr double kCoil_m = 0.1;        ///< half of a coil's size; common practice, no source
constexpr double kPlay_m = 0.02;       ///< round a seat that stands still
constexpr double kInWalkway_m = 0.07;  ///< from a walkway's side: what is fixed to a wall there

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

/// Along an edge, from its left end as one faces it, and away from it.
struct Front {
  double along = 0, away = 0, width = 0;
};

/// p before the box's face on the side where p is; nothing where it stands beside the box.
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

/// Whether a leaf of the row sweeps the place.
bool leaf_reaches(const TradePart& part, const Front& at, int leaves) {
  const double leaf = at.width / leaves, swing = swing_of(part);
  const std::string hinge = part.rule != nullptr && part.rule->hinge_left
                                ? (*part.rule->hinge_left ? "left" : "right")
                                : said(part, "hinge");
  const auto reached = [&](double from_hinge) {  // along the shut leaf, away from its hinge
    const double angle = std::atan2(at.away, from_hinge);
    return std::hypot(from_hinge, at.away) < leaf && angle < swing;
  };
  for (int i = 0; i < leaves; ++i) {
    const bool left = leaves > 1 ? i % 2 == 0 : hinge != "right";
    const bool right = leaves > 1 ? i % 2 == 1 : hinge != "left";
    if (left && reached(at.along - i * leaf)) return true;
    if (right && reached((i + 1) * leaf - at.along)) return true;
  }
  return false;
}

bool swept_by_door(const TradePart& door, const Vec3& p) {
  const double width = std::max(door.box.size().x, door.box.size().y);
  if (p.z < door.box.low.z || p.z > door.box.high.z || width > 2.6 || swing_of(door) <= 0)
    return false;
  const Front at = before_door(door.box, p);
  if (at.away < kOffLeaf_m) return false;
  const int said_leaves = door.rule != nullptr ? door.rule->leaves : 0;
  return leaf_reaches(door, at, said_leaves > 0 ? said_leaves : width > 1.3 ? 2 : 1);
}

/// A cupboard opens on the side named, else on one of its long sides: the one away from the
/// nearest side of the room's box.
bool swept_by_cupboard(const TradeView& view, const TradePart& cupboard, const Vec3& p) {
  const Box3& box = cupboard.box;
  if (p.z < box.low.z || p.z > box.high.z || swing_of(cupboard) <= 0 || box.contains(p))
    return false;
  Vec3 goal;
  bool found = false;
  if (cupboard.rule != nullptr && !cupboard.rule->toward.empty()) {
    if (const TradePart* toward = part_named(view, cupboard.rule->toward)) {
      goal = toward->box.centre();
      found = true;
    }
  }
  const Vec3 middle = box.centre(), size = box.size();
  if (!found) {  // the middle of the walls is where one stands before it
    Box3 walls;
    for (const TradePart& part : view.parts)
      if (part.role == Role::wall) walls.add(part.box);
    if (walls.empty()) return false;
    goal = middle;
    const bool wide = size.x >= size.y;
    if (wide)
      goal.y = walls.centre().y;
    else
      goal.x = walls.centre().x;
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
  if (at.away < 0.001) return false;
  int leaves = cupboard.rule != nullptr ? cupboard.rule->leaves : 0;
  if (leaves <= 0) leaves = std::atoi(said(cupboard, "leaves").c_str());
  if (leaves <= 0) leaves = static_cast<int>(std::ceil(at.width / 0.65 - 1e-9));
  return leaf_reaches(cupboard, at, leaves);
}

bool swept_by_seat(const TradeView& view, const TradePart& seat, const Vec3& p) {
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
    const Vec3 way = toward->box.centre() - seat.box.centre();
    const int axis = std::abs(way.x) > std::abs(way.y) ? 0 : 1;
    low[1 - axis] = high[1 - axis] = kPlay_m;
    (way[axis] > 0 ? high : low)[axis] = std::max({recline, slide, kPlay_m});
    (way[axis] > 0 ? low : high)[axis] = std::max(recline, kPlay_m);
  }
  return Box3{seat.box.low - low, seat.box.high + high}.contains(p);
}

bool swept(const TradeView& view, const TradePart& part, const Vec3& p) {
  switch (part.role) {
    case Role::door:
      return swept_by_door(part, p);
    case Role::cupboard:
    case Role::furniture:
      return swept_by_cupboard(view, part, p);
    case Role::seat:
      return swept_by_seat(view, part, p);
    default:
      return false;
  }
}

/// In a void, a bay or a conduit nothing moves.
bool shut_away(const TradeSample& sample) {
  return sample.stretch != nullptr &&
         (sample.stretch->place.kind == "void" || sample.stretch->place.kind == "conduit");
}

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

bool on_walkway(const TradeView& view, const Vec3& p) {
  for (const TradePart& part : view.parts) {
    if (part.role != Role::walkway || part.box.empty()) continue;
    Box3 box = part.box;
    box.low = box.low + Vec3{kInWalkway_m, kInWalkway_m, -0.1};
    box.high = box.high + Vec3{-kInWalkway_m, -kInWalkway_m, 1.9};
    if (box.contains(p)) return true;
  }
  const double floor = floor_of(view);
  for (const WalkwaySpec& walkway : view.job.walkways) {
    if (p.z < floor - 0.1 || p.z > floor + 1.9) continue;
    for (std::size_t i = 0; i + 1 < walkway.points.size(); ++i) {
      const Vec2 at{p.x, p.y}, from = walkway.points[i], way = walkway.points[i + 1] - from;
      const double length = norm(way);
      if (length < 1e-6) continue;
      const double along = dot(at - from, way) / length;
      if (along < 0 || along > length) continue;
      if (std::abs(cross(way, at - from)) / length < walkway.width_m / 2 - kInWalkway_m)
        return true;
    }
  }
  return false;
}

void check_moving_part(const TradeView& view, const TradePart& part, Findings& findings) {
  Gathered caught, coils;
  for (const TradeCase& run : view.runs) {
    if (part.box.grown(0.02).contains(run.drawn->line.back())) continue;  // it feeds the seat
    for (const TradeSample& sample : run.samples) {
      if (shut_away(sample) || !swept(view, part, sample.at)) continue;
      caught.add(run.drawn->id, 0, sample.at);
      break;
    }
  }
  for (const TradeEnd& end : view.plan.ends) {
    if (end.state != "coiled" || part.box.grown(0.02).contains(end.at)) continue;
    const auto reaches = [&](const Vec3& aside) { return swept(view, part, end.at + aside); };
    if (reaches({}) || reaches({kCoil_m, 0, 0}) || reaches({-kCoil_m, 0, 0}) ||
        reaches({0, kCoil_m, 0}) || reaches({0, -kCoil_m, 0}))
      coils.add(end.id, 0, end.at);
  }
  const std::string stop = part.role == Role::seat ? "seat" : "door";
  if (!caught.empty())
    tell(findings, "pinch-point", Level::should, caught.names.front(),
         listed_runs(caught.names) + " lie where " + part.part->name + " moves.", caught.where,
         "Lay them another way (\"avoid\"), or stop the " + stop + " short.");
  if (!coils.empty())
    tell(findings, "pinch-point", Level::should, coils.names.front(),
         "The coil at " + listed(coils.names) + " lies where " + part.part->name + " moves.",
         coils.where, "Hang it up out of the way, or stop the " + stop + " short.");
}

}  // namespace

void check_pinch_points(const TradeView& view, Findings& findings) {
  for (const TradePart& part : view.parts)
    if (!part.box.empty() && (part.role == Role::door || part.role == Role::seat ||
                              part.role == Role::cupboard || part.role == Role::furniture))
      check_moving_part(view, part, findings);
}

void check_walkways(const TradeView& view, Findings& findings) {
  Gathered caught;
  for (const TradeCase& run : view.runs)
    for (const TradeSample& sample : run.samples) {
      if (shut_away(sample) || !on_walkway(view, sample.at) || allowed(view.job, sample.at))
        continue;
      caught.add(run.drawn->id, 0, sample.at);
      break;
    }
  if (caught.empty()) return;
  tell(findings, "walkway", Level::must, caught.names.front(),
       listed_runs(caught.names) + " lie where people walk, without leave of the job.",
       caught.where,
       "Route again; or name the place under \"floor\": { \"cross\": [ ... ] } and put a ramp "
       "there.");
}

void check_floor_crossings(const TradeView& view, Findings& findings) {
  constexpr double kOnFloor_m = 0.06;
  const double floor = floor_of(view);
  std::vector<Box3> walls;
  for (const TradePart& part : view.parts)
    if (part.role == Role::wall && !part.box.empty()) walls.push_back(part.box);
  const auto off_walls = [&](const Vec3& p) {
    double least = 1e9;
    for (const Box3& box : walls) {
      const Vec3 near{std::clamp(p.x, box.low.x, box.high.x),
                      std::clamp(p.y, box.low.y, box.high.y), p.z};
      least = std::min(least, distance(p, near));
    }
    return least;
  };
  Gathered open, covered;
  for (const TradeCase& run : view.runs)
    for (const TradeSample& sample : run.samples) {
      const Vec3& p = sample.at;
      if (shut_away(sample) || p.z > floor + kOnFloor_m || p.z < floor - 0.01) continue;
      if (walls.empty() || off_walls(p) < view.job.floor.beside_wall_m + 0.1) continue;
      const bool leave = view.job.floor.anywhere || allowed(view.job, p);
      (leave ? covered : open).add(run.drawn->id, 0, p);
      break;
    }
  if (!open.empty())
    tell(findings, "floor-crossing", Level::must, open.names.front(),
         listed_runs(open.names) + " cross open floor without leave of the job.", open.where,
         "Route again; or allow it under \"floor\": { \"cross\": [ ... ] } and put a ramp there.");
  if (!covered.empty())
    tell(findings, "floor-crossing", Level::should, covered.names.front(),
         listed_runs(covered.names) + " cross open floor: people trip over bare cable.",
         covered.where,
         "Cover the whole length with a ramp that is fixed down and marked (ramps.csv).");
}

}  // namespace roomloom::check
