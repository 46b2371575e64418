#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "network/bag_states.h"

namespace roomloom::network {

/// How a state came about: from one or two others and edges between the node taken out and later
/// ones (a bit each).
struct BagStep {
  int first = -1;
  int second = -1;
  std::uint32_t edges = 0;
  int place = 0;
};

/// The steps by which the states that wait came about.
class BagSteps {
 public:
  const BagStep& operator[](int step) const { return steps_[static_cast<std::size_t>(step)]; }
  /// @return its number, which is higher than those of the steps it needs
  int add(const BagStep& step) {
    steps_.push_back(step);
    return static_cast<int>(steps_.size()) - 1;
  }
  /// Whether there are so many that it is worth to forget those that no state needs.
  bool crowded() const { return steps_.size() > wanted_; }
  /// Keeps the steps only from which the states of these tables came, and renumbers them.
  void forget_all_but(std::vector<std::vector<BagTable>>& waiting);

 private:
  /// Steps kept before those that no state came from are forgotten.
  static constexpr std::size_t kFew = 4'000'000;
  std::vector<BagStep> steps_;
  std::size_t wanted_ = kFew;
};

}  // namespace roomloom::network
