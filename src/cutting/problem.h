#pragma once

#include <cstdint>
#include <utility>
#include <vector>

namespace roomloom::cutting {

/// What work the search may still do: rounds of the relaxation, and nodes of the MILP solver at so
/// many to a round. Counted, not timed: what is found does not depend on the machine.
class Budget {
 public:
  explicit Budget(long rounds) : left_(rounds) {}
  bool is_spent() const { return left_ <= 0; }
  void spend(long rounds) { left_ -= rounds; }
  long left() const { return left_; }

 private:
  long left_;
};

/// Pieces, or bundles of pieces that are cut from the same bar, which the search treats alike.
struct PieceType {
  std::int64_t length = 0;
  int per_bar = any_number;  ///< at most so many from one bar
  static constexpr int any_number = 1 << 24;
  std::vector<int> apart;                 ///< types that never share a bar with this one, sorted
  std::vector<std::vector<int>> bundles;  ///< one entry a copy: the pieces in it
  int demand() const { return static_cast<int>(bundles.size()); }
};

struct StockKind {
  std::int64_t capacity = 0;
  std::int64_t cost = 0;  ///< > 0
  int least = 0;          ///< at least so many are bought
  int most = 0;           ///< at most so many
};

/// Integer lengths and costs; kerf and kept remainders are in the lengths and capacities.
struct Problem {
  std::vector<PieceType> types;  ///< longest first
  std::vector<StockKind> kinds;
};

/// A way to cut one bar: counts by type, types ascending.
struct Pattern {
  int kind = 0;
  std::vector<std::pair<int, int>> counts;
  bool operator==(const Pattern&) const = default;
  auto operator<=>(const Pattern&) const = default;
};

struct Bar {
  int kind = 0;
  std::vector<int> pieces;
};

/// Bars that hold every piece; `cost` of all of them, or `no_cost` where none is known.
struct Packing {
  static constexpr std::int64_t no_cost = INT64_MAX / 4;
  std::int64_t cost = no_cost;
  std::vector<Bar> bars;
};

int total_demand(const Problem& problem);
std::int64_t pattern_length(const Problem& problem, const Pattern& pattern);

/// The pattern without what is more than the demand or allowed together; may become empty.
Pattern trimmed(const Problem& problem, const Pattern& pattern);

/// Takes `times` bars of `pattern` (which must fit the demand) out of the problem into `packing`.
/// Types keep their places, also with no demand left.
void cut_bars(Problem& problem, const Pattern& pattern, int times, Packing& packing);

/// The least cost >= `bound` that some allowed numbers of bars can add up to, if their lengths
/// reach that of all pieces; Packing::no_cost where none does. With too many kinds, `bound`.
std::int64_t next_reachable_cost(const Problem& problem, std::int64_t bound);

/// All numbers of bars, by kind, that cost exactly `cost` and are long enough together.
/// @return false where there are more than `most` ways, or too many to look through
bool list_counts(const Problem& problem, std::int64_t cost, std::size_t most,
                 std::vector<std::vector<int>>& ways);

/// A problem made from another by a decision; `place` is where each of its types went (-1: gone).
struct Branch {
  Problem problem;
  std::vector<int> place;
  int a = -1, b = -1;  ///< the types decided on, in the problem it was made from
  bool together = false;
};

/// What follows if some bar holds a piece of type `a` and one of type `b` (which may be the same);
/// `place` has one entry more, for the bundle of both.
Branch joined(const Problem& problem, int a, int b);

/// What follows if no bar does.
Branch separated(const Problem& problem, int a, int b);

/// A pattern of the problem before the branch as one of the problem after it, as far as it goes.
Pattern carried_over(const Branch& branch, const Pattern& pattern);

}  // namespace roomloom::cutting
