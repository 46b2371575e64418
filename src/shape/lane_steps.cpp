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
  Steps(const std::vector<Stretch>& stretches, const OffsetLattice& lattice,
        const StraightCost& cost)
      : stretches_(stretches), lattice_(lattice), cost_(cost) {
    for (std::size_t axis = 0; axis < 3; ++axis)
      sides_[axis] = static_cast<int>(lattice.coordinates_m[axis].size());
    strides_ = {sides_[1] * sides_[2], sides_[2], 1};
  }

  std::vector<Vec3> best(const std::function<double(int, const Vec3&)>& tip_cost) {
    const int states = sides_[0] * sides_[1] * sides_[2];
    std::vector<double> here(static_cast<std::size_t>(states));
    for (int s = 0; s < states; ++s) here[index(s)] = tip_cost(0, offset(s));
    std::vector<Move> moves;
    for (std::size_t k = 0; k < stretches_.size(); ++k) {
      const int axis = axis_of(k);
      if (!stretches_[k].steps_aside) {
        here = over(k, axis, here, moves);
        continue;
      }
      for (int aside = 0; aside < 3; ++aside)
        if (aside != axis) here = over(k, aside, here, moves);
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
    return traced(state, moves);
  }

 private:
  // The steps along one axis that were made on a stretch, one a state.
  struct Move {
    std::size_t stretch = 0;
    int axis = -1;
    std::vector<std::int16_t> steps;
  };

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
      if (std::fabs(dot(stretches_[straight].direction, lattice_.axes[index(axis)])) > 1 - 1e-9)
        return axis;
    return -1;
  }

  // From the offsets at the start of a stretch to those at its end, which differ along `axis`.
  std::vector<double> over(std::size_t straight, int axis, const std::vector<double>& before,
                           std::vector<Move>& moves) const {
    moves.push_back({straight, axis, std::vector<std::int16_t>(before.size(), 0)});
    std::vector<double> after(before.size());
    const bool costs = !stretches_[straight].steps_aside;
    for (int s = 0; s < static_cast<int>(before.size()); ++s) {
      if (axis < 0) {
        after[index(s)] = before[index(s)] + cost_(straight, offset(s));
      } else if (coordinate(s, axis) == 0) {
        const Vec3& way = lattice_.axes[index(axis)];
        const Vec3 aside = offset(s) - dot(offset(s), way) * way;
        along(s, axis, costs ? cost_(straight, aside) : 0, before, after, moves.back().steps);
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

  std::vector<Vec3> traced(int state, const std::vector<Move>& moves) const {
    std::vector<Vec3> offsets(stretches_.size() + 1);
    for (std::size_t m = moves.size(); m-- > 0;) {
      const bool last = m + 1 == moves.size() || moves[m + 1].stretch != moves[m].stretch;
      if (last) offsets[moves[m].stretch + 1] = offset(state);
      if (moves[m].axis >= 0)
        state -= moves[m].steps[index(state)] * strides_[index(moves[m].axis)];
    }
    offsets[0] = offset(state);
    return offsets;
  }

  const std::vector<Stretch>& stretches_;
  const OffsetLattice& lattice_;
  const StraightCost& cost_;
  std::array<int, 3> sides_{};
  std::array<int, 3> strides_{};
};

}  // namespace

std::vector<Vec3> stepped_offsets(
    const std::vector<Stretch>& stretches, const OffsetLattice& lattice, const StraightCost& cost,
    const std::function<double(int end, const Vec3& offset)>& tip_cost) {
  return Steps(stretches, lattice, cost).best(tip_cost);
}

}  // namespace roomloom
