#include "network/bag_steps.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

void BagSteps::forget_all_but(std::vector<std::vector<BagTable>>& waiting) {
  std::vector<int> number(steps_.size(), -1);
  const auto each_state = [&](auto&& act) {
    for (auto& tables : waiting)
      for (BagTable& table : tables)
        for (BagState& state : table.states) act(state.step);
  };
  each_state([&](int step) {
    if (step >= 0) number[at(step)] = 0;
  });
  for (std::size_t i = steps_.size(); i-- > 0;) {
    if (number[i] < 0) continue;  // a step comes after those it needs
    for (int needed : {steps_[i].first, steps_[i].second})
      if (needed >= 0) number[at(needed)] = 0;
  }
  int next = 0;
  const auto renumber = [&](int& step) {
    if (step >= 0) step = number[at(step)];
  };
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    if (number[i] < 0) continue;
    BagStep step = steps_[i];
    renumber(step.first);
    renumber(step.second);
    number[i] = next;
    steps_[at(next++)] = step;
  }
  steps_.resize(at(next));
  each_state(renumber);
  wanted_ = 2 * steps_.size() + kFew;
}

}  // namespace roomloom::network
