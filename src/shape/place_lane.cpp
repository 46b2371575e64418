#include "shape/place_lane.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "geometry/bundle.h"

namespace roomloom {
namespace {

constexpr double kApart = 1e-6;     // metres: so much further than touching
constexpr double kBroken = 2e-6;    // metres by which limits may be broken
constexpr double kStep = 1;         // cost of a step aside, and of each diameter of it
constexpr double kOff = 0.1;        // of lying a diameter off the target
constexpr double kByAnchor = 1e-4;  // a metre
constexpr double kNoStep = 1e-6;    // metres

double square(double x) { return x * x; }

class LaneFinder {
 public:
  explicit LaneFinder(const LaneTask& task) : task_(task) {
    targets_.push_back(task.target);
    for (const Wish& wish : task.wishes) targets_.push_back(wish.at);
    if (!task.wishes.empty()) {
      Vec2 sum;
      for (const Wish& wish : task.wishes) sum = sum + wish.at;
      targets_[0] = (1.0 / static_cast<double>(task.wishes.size())) * sum;
    }
    collect_sides();
  }

  FoundLane best() {
    collect_places();
    std::vector<std::pair<double, Vec2>> order;
    for (const Vec2& at : places_)
      if (broken_by(at) < kBroken) order.emplace_back(cost(at), at);
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first - 1e-12; });
    FoundLane near;
    for (const auto& [cost, at] : order) {
      if (!is_free(at)) continue;
      const double obstructed = task_.obstruction ? task_.obstruction(offset(at)) : 0;
      if (obstructed <= 0) return {at, true};
      if (obstructed < 1 && !near.free) near = {at, true};
    }
    return near.free ? near : least_bad(order);
  }

 private:
  Vec3 offset(const Vec2& at) const { return at.x * task_.axes[0] + at.y * task_.axes[1]; }

  double broken_by(const Vec2& at) const {
    double sum = 0;
    for (const LaneLimits& limits : task_.limits) sum += limits.broken_by(offset(at));
    return sum;
  }

  static double missed(const Wish& wish, const Vec2& at) {
    const Vec2 off = at - wish.at;
    if (wish.kind == Wish::Kind::near) return 0;
    return wish.kind == Wish::Kind::both ? norm(off) : std::fabs(dot(off, wish.axis));
  }

  double cost(const Vec2& at) const {
    double sum = kOff * norm(at - targets_[0]) / task_.diameter_m +
                 kByAnchor * norm(task_.from_anchor + offset(at));
    for (const Wish& wish : task_.wishes) {
      const double step = missed(wish, at);
      if (step > kNoStep) sum += kStep * (1 + step / task_.diameter_m);
    }
    return sum;
  }

  bool is_free(const Vec2& at) const {
    const bool apart =
        std::all_of(task_.beside.begin(), task_.beside.end(),
                    [&](const Beside& other) { return norm(at - other.at) >= other.need_m; });
    return apart && std::all_of(task_.across.begin(), task_.across.end(), [&](const Across& other) {
             const Vec3 by = offset(at);
             return segment_distance(other.cable.a, other.cable.b, other.way.a + by,
                                     other.way.b + by) >= other.need_m;
           });
  }

  // Where everything overlaps: as far from the nearest cable as it goes, within the limits.
  FoundLane least_bad(const std::vector<std::pair<double, Vec2>>& order) const {
    FoundLane best;
    best.at = targets_[0];
    double most = -Box3::kInf;
    for (const auto& [cost, at] : order) {
      double apart = 0;
      for (const Beside& other : task_.beside)
        apart = std::min(apart, norm(at - other.at) - other.need_m);
      if (apart <= most + 1e-9) continue;
      most = apart;
      best.at = at;
    }
    return best;
  }

  void add_side(std::size_t axis, double value) {
    if (!std::isfinite(value)) return;
    const bool known = std::any_of(sides_[axis].begin(), sides_[axis].end(),
                                   [&](double v) { return std::fabs(v - value) < 1e-7; });
    if (!known) sides_[axis].push_back(value);
  }

  void collect_sides() {
    for (const LaneLimits& limits : task_.limits)
      for (const LaneLimits::Interval& limit : limits.intervals)
        for (std::size_t axis = 0; axis < 2; ++axis) {
          const double same = dot(limit.axis, task_.axes[axis]);
          if (std::fabs(same) < 1 - 1e-9) continue;
          for (const int k : places_in(limit.places))
            for (const double value : {limit.low, limit.high})
              add_side(axis, (same > 0 ? 1 : -1) * (value + k * limit.pitch));
        }
    for (const Across& other : task_.across) {
      const Vec3 apart = cross(other.cable.b - other.cable.a, other.way.b - other.way.a);
      for (std::size_t axis = 0; axis < 2; ++axis) {
        if (std::fabs(dot(normalized(apart), task_.axes[axis])) < 1 - 1e-6) continue;
        const double level = dot(other.cable.a - other.way.a, task_.axes[axis]);
        for (const double off : {-other.need_m - kApart, other.need_m + kApart})
          add_side(axis, level + off);
      }
    }
  }

  // Where a side at `value` along one axis meets the disc.
  void add_side_contacts(const Beside& disc, std::size_t axis, double value) {
    const double centre = axis == 0 ? disc.at.x : disc.at.y;
    const double other = axis == 0 ? disc.at.y : disc.at.x;
    const double left = square(disc.need_m + kApart) - square(value - centre);
    if (left < 0) return;
    for (const double sign : {-1.0, 1.0}) {
      const double across = other + sign * std::sqrt(left);
      places_.push_back(axis == 0 ? Vec2{value, across} : Vec2{across, value});
    }
  }

  void add_disc_contacts(const Beside& a, const Beside& b) {
    const Vec2 way = b.at - a.at;
    const double apart = norm(way);
    const double ra = a.need_m + kApart;
    const double rb = b.need_m + kApart;
    if (apart < 1e-9 || apart > ra + rb || apart < std::fabs(ra - rb)) return;
    const double along = (apart * apart + ra * ra - rb * rb) / (2 * apart);
    const double aside = std::sqrt(std::max(0.0, ra * ra - along * along));
    const Vec2 unit = (1 / apart) * way;
    const Vec2 foot = a.at + along * unit;
    places_.push_back(foot + Vec2{-aside * unit.y, aside * unit.x});
    places_.push_back(foot - Vec2{-aside * unit.y, aside * unit.x});
  }

  void collect_places() {
    for (const Vec2& target : targets_) {
      places_.push_back(target);
      for (const double x : sides_[0]) places_.push_back({x, target.y});
      for (const double y : sides_[1]) places_.push_back({target.x, y});
      for (const Beside& disc : task_.beside) {
        const Vec2 out = target - disc.at;
        if (norm(out) > 1e-9)
          places_.push_back(disc.at + ((disc.need_m + kApart) / norm(out)) * out);
      }
    }
    for (const double x : sides_[0])
      for (const double y : sides_[1]) places_.push_back({x, y});
    for (std::size_t i = 0; i < task_.beside.size(); ++i) {
      const Beside& disc = task_.beside[i];
      for (const double sign : {-1.0, 1.0}) {
        places_.push_back(disc.at + Vec2{sign * (disc.need_m + kApart), 0});
        places_.push_back(disc.at + Vec2{0, sign * (disc.need_m + kApart)});
      }
      for (std::size_t axis = 0; axis < 2; ++axis)
        for (const double value : sides_[axis]) add_side_contacts(disc, axis, value);
      for (std::size_t j = i + 1; j < task_.beside.size(); ++j)
        add_disc_contacts(disc, task_.beside[j]);
    }
  }

  const LaneTask& task_;
  std::vector<Vec2> targets_;
  std::array<std::vector<double>, 2> sides_;
  std::vector<Vec2> places_;
};

}  // namespace

void LaneTask::keep_off(const Beside& cable) {
  const bool known = std::any_of(beside.begin(), beside.end(), [&](const Beside& one) {
    return norm(one.at - cable.at) < 1e-9 && one.need_m >= cable.need_m;
  });
  if (!known) beside.push_back(cable);
}

namespace {

/// So far apart that a hole round them would be much wider than their bundle asks.
bool spread_out(const std::vector<Disc>& cables) {
  constexpr double kMostSpread = 1.3, kSpare_m = 0.003;
  std::vector<double> diameters;
  for (const Disc& cable : cables) diameters.push_back(2 * cable.radius_m);
  const double needed = hole_saw_size(bundle_diameter(std::move(diameters)) + kSpare_m);
  return 2 * enclosing_circle(cables).radius_m + kSpare_m > kMostSpread * needed;
}

}  // namespace

std::vector<Vec2> bundled(const std::vector<const LaneTask*>& cables,
                          const std::vector<Vec2>& now) {
  std::vector<Disc> discs;
  std::vector<Vec2> wanted;
  bool within = true;
  double inside_m = Box3::kInf;
  for (std::size_t i = 0; i < cables.size(); ++i) {
    const LaneTask& task = *cables[i];
    discs.push_back({now[i], task.diameter_m / 2});
    wanted.push_back(task.target);
    const Vec3 offset = now[i].x * task.axes[0] + now[i].y * task.axes[1];
    for (const LaneLimits& limits : task.limits) {
      within = within && limits.broken_by(offset) < kBroken;
      for (const LaneLimits::Round& round : limits.rounds)
        inside_m = std::min(inside_m, 2 * round.radius + task.diameter_m);
    }
  }
  if (within && !any_meet(discs) && !spread_out(discs)) return {};
  return turned_bundle(discs, wanted, inside_m);
}

FoundLane find_lane(const LaneTask& task) { return LaneFinder(task).best(); }

}  // namespace roomloom
