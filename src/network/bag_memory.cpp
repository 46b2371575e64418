#include "network/bag_memory.h"

#include <utility>

namespace roomloom::network {
namespace {

constexpr std::size_t kMostStates = 1'000'000;

}  // namespace

std::shared_ptr<const MadeTable> BagMemory::find(const Making& making) const {
  const auto found = made_.find(making);
  return found == made_.end() ? nullptr : found->second;
}

std::shared_ptr<const MadeTable> BagMemory::keep(Making making, MadeTable table) {
  table.content = next_++;
  if (states_ > kMostStates) {  // numbers are not used again, so what waits stays told apart
    made_.clear();
    states_ = 0;
  }
  states_ += table.states.size() + 1;
  auto kept = std::make_shared<const MadeTable>(std::move(table));
  made_.insert_or_assign(std::move(making), kept);
  return kept;
}

}  // namespace roomloom::network
