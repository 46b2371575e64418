#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <vector>

#include "network/bag_states.h"

namespace roomloom::network {

/// A table of states and how each came about, told without naming nodes.
struct MadeTable {
  int content = -1;  ///< its number: tables made alike have the same
  std::vector<BagState> states;
  std::vector<std::uint32_t> edges;  ///< one a state: taken at the node that was taken out
  std::size_t inputs = 0;            ///< tables it was made from
  std::vector<int> from;  ///< `inputs` a state: states it came from, counted through all inputs
};

/// Tables made before, by all that they depend on: parts of a graph that are alike, as rows of
/// equal things are, are gone through once. Nothing is guessed: a table made from inputs of equal
/// numbers in the same way is the same table.
class BagMemory {
 public:
  using Making = std::vector<std::uint64_t>;  ///< all that a table depends on

  /// null: not made before, or forgotten
  std::shared_ptr<const MadeTable> find(const Making& making) const;
  /// Numbers a table and keeps it. When more than a million states are kept, all are forgotten.
  std::shared_ptr<const MadeTable> keep(Making making, MadeTable table);

 private:
  std::map<Making, std::shared_ptr<const MadeTable>> made_;
  std::size_t states_ = 0;
  int next_ = 0;
};

}  // namespace roomloom::network
