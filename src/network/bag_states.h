#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <vector>

/// Partial trees of the dynamic programming over a tree decomposition.
namespace roomloom::network {

/// How a partial tree joins the nodes of a bag: four bits a node, 0 for one that it does not touch,
/// else the number of its part, from 1 in order of first places.
using BagParts = std::uint64_t;
inline constexpr std::size_t kBagPlaces = 15;

inline unsigned part_at(BagParts parts, std::size_t place) {
  return static_cast<unsigned>(parts >> (4 * place)) & 15U;
}

inline BagParts with_part(BagParts parts, std::size_t place, unsigned part) {
  return (parts & ~(BagParts{15} << (4 * place))) | (BagParts{part} << (4 * place));
}

struct BagState {
  BagParts parts = 0;
  double cost = 0;
  double reduced = 0;         ///< at least so much under the reduced costs of the dual solution
  int step = -1;              ///< how it came about
  std::uint32_t assumed = 0;  ///< places only promised to be touched by the other side of a join
};

/// The same parts, numbered in order of their first places.
BagParts number_parts(BagParts parts, std::size_t places);

/// Places that are touched, a bit each.
std::uint32_t touched_places(BagParts parts);

/// States over the nodes of `scope`; of those with equal parts the cheapest.
class BagTable {
 public:
  std::vector<int> scope;
  std::vector<BagState> states;
  int content = -1;  ///< the number of its states in a `BagMemory`

  /// The place in `states` where a state of these parts and cost goes, new or in place of a dearer
  /// one; -1: it is no better than what is there.
  int place_for(const BagState& state);
  /// Of each set of touched places keeps so many states that any way to complete one of those left
  /// out completes one of those kept at no more cost (Bodlaender, Cygan, Kratsch and Nederlof
  /// 2015).
  void keep_representatives();

 private:
  void grow();
  std::vector<int> slots_;  ///< open addressing, into `states`; -1 empty
};

/// The same states over more nodes.
BagTable widen(BagTable table, const std::vector<int>& scope);

/// States by which of the common places they touch, each the least reduced cost first.
using BagGroups = std::map<std::uint32_t, std::vector<int>>;
BagGroups grouped(const BagTable& table, std::uint32_t common);

/// The parts of both together, where they meet in nodes.
BagParts unite(BagParts first, BagParts second, std::size_t places);

}  // namespace roomloom::network
