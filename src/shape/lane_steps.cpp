#include "shape/lane_steps.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace roomloom {
namespace {

// A step from lane to lane within a stretch: made only if it saves more than this.
constexpr double kAnyStep = 0.02;
constexpr double kStepByMetre = 0.3;

class Steps {
 public:
  Steps(const std::vector<Vec3>& directions, const OffsetLattice& lattice, const StraightCost& cost)
      : directions_(directions), lattice_(lattice), cost_(cost) {
    for (std::size_t axis = 0; axis < 3; ++axis)
      sides_[axis] = static_cast<int>(lattice.coordinates_m[axis].size());
    strides_ = {sides_[1] * sides_[2], sides_[2], 1};
  }

  std::vector<Vec3> best(const std::function<double(int, const Vec3&)>& tip_cost) {
    const int states = sides_[0] * sides_[1] * sides_[2];
    std::vector<double> here(static_cast<std::size_t>(states));
    for (int s = 0; s < states; ++s) here[index(s)] = tip_cost(0, offset(s));
    std::vector<std::vector<std::int16_t>> came_by;  // steps taken, one a state and stretch
    for (std::size_t k = 0; k < directions_.size(); ++k) {
      came_by.emplace_back(static_cast<std::size_t>(states), std::int16_t{0});
      here = over(k, here, came_by.back());
    }
    int state = 0;
    double least = -1;
    for (int s = 0; s < states; ++s) {
      const double total = here[index(s)] + tip_cost(1, offset(s));
      if (least >= 0 && total >= least - 1e-12 &&
          !(total < least + 1e-12 && norm(offset(s)) < norm(offset(state)) - 1e-12))
        continue;
      least = total;
      state = s;
    }
    return traced(state, came_by);
  }

 private:
  static std::size_t index(int i) { return static_cast<std::size_t>(i); }
  int coordinate(int state, int axis) const {
    return state / strides_[index(axis)] % sides_[index(axis)];
  }

  Vec3 offset(int state) const {
    Vec3 sum;
    for (int axis = 0; axis < 3; ++axis)
      sum += lattice_.coordinates_m[index(axis)][index(coordinate(state, axis))] *
             lattice_.axes[index(axis)];
    return sum;
  }

  int axis_of(std::size_t straight) const {
    for (int axis = 0; axis < 3; ++axis)
      if (std::fabs(dot(directions_[straight], lattice_.axes[index(axis)])) > 1 - 1e-9) return axis;
    return -1;
  }

  // From the offsets at the start of a stretch to those at its end.
  std::vector<double> over(std::size_t straight, const std::vector<double>& before,
                           std::vector<std::int16_t>& step_to) const {
    const int axis = axis_of(straight);
    std::vector<double> after(before.size());
    for (int s = 0; s < static_cast<int>(before.size()); ++s) {
      if (axis < 0) {
        after[index(s)] = before[index(s)] + cost_(straight, offset(s));
      } else if (coordinate(s, axis) == 0) {
        const Vec3& way = lattice_.axes[index(axis)];
        const Vec3 aside = offset(s) - dot(offset(s), way) * way;
        along(s, axis, cost_(straight, aside), before, after, step_to);
      }
    }
    return after;
  }

  // All states that differ from `first` along one axis only.
  void along(int first, int axis, double here, const std::vector<double>& before,
             std::vector<double>& after, std::vector<std::int16_t>& step_to) const {
    const int stride = strides_[index(axis)];
    const int side = sides_[index(axis)];
    const std::vector<double>& metres = lattice_.coordinates_m[index(axis)];
    for (int to = 0; to < side; ++to) {
      double least = before[index(first + to * stride)];
      int from = to;
      for (int other = 0; other < side; ++other) {
        if (other == to) continue;
        const double total = before[index(first + other * stride)] + kAnyStep +
                             kStepByMetre * std::fabs(metres[index(to)] - metres[index(other)]);
        if (total >= least - 1e-12) continue;
        least = total;
        from = other;
      }
      after[index(first + to * stride)] = least + here;
      step_to[index(first + to * stride)] = static_cast<std::int16_t>(to - from);
    }
  }

  std::vector<Vec3> traced(int state, const std::vector<std::vector<std::int16_t>>& came_by) const {
    std::vector<Vec3> offsets{offset(state)};
    for (std::size_t k = directions_.size(); k-- > 0;) {
      const int axis = axis_of(k);
      if (axis >= 0) state -= came_by[k][index(state)] * strides_[index(axis)];
      offsets.push_back(offset(state));
    }
    std::reverse(offsets.begin(), offsets.end());
    return offsets;
  }

  const std::vector<Vec3>& directions_;
  const OffsetLattice& lattice_;
  const StraightCost& cost_;
  std::array<int, 3> sides_{};
  std::array<int, 3> strides_{};
};

}  // namespace

std::vector<Vec3> stepped_offsets(
    const std::vector<Vec3>& directions, const OffsetLattice& lattice, const StraightCost& cost,
    const std::function<double(int end, const Vec3& offset)>& tip_cost) {
  return Steps(directions, lattice, cost).best(tip_cost);
}

}  // namespace roomloom
