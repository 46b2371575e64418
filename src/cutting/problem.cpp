#include "cutting/problem.h"

#include <algorithm>
#include <cassert>

namespace roomloom::cutting {

int total_demand(const Problem& problem) {
  int total = 0;
  for (const PieceType& type : problem.types) total += type.demand();
  return total;
}

std::int64_t pattern_length(const Problem& problem, const Pattern& pattern) {
  std::int64_t length = 0;
  for (const auto& [type, count] : pattern.counts)
    length += count * problem.types[static_cast<std::size_t>(type)].length;
  return length;
}

namespace {

bool are_apart(const PieceType& type, int other) {
  return std::binary_search(type.apart.begin(), type.apart.end(), other);
}

}  // namespace

Pattern trimmed(const Problem& problem, const Pattern& pattern) {
  Pattern result{pattern.kind, {}};
  for (const auto& [index, count] : pattern.counts) {
    const PieceType& type = problem.types[static_cast<std::size_t>(index)];
    const int kept = std::min({count, type.demand(), type.per_bar});
    const bool clash =
        std::any_of(result.counts.begin(), result.counts.end(),
                    [&type](const auto& earlier) { return are_apart(type, earlier.first); });
    if (kept > 0 && !clash) result.counts.emplace_back(index, kept);
  }
  return result;
}

void cut_bars(Problem& problem, const Pattern& pattern, int times, Packing& packing) {
  StockKind& kind = problem.kinds[static_cast<std::size_t>(pattern.kind)];
  for (int bar = 0; bar < times; ++bar) {
    Bar cut{pattern.kind, {}};
    for (const auto& [index, count] : pattern.counts) {
      auto& bundles = problem.types[static_cast<std::size_t>(index)].bundles;
      assert(static_cast<int>(bundles.size()) >= count);
      for (int copy = 0; copy < count; ++copy) {
        cut.pieces.insert(cut.pieces.end(), bundles.back().begin(), bundles.back().end());
        bundles.pop_back();
      }
    }
    packing.bars.push_back(std::move(cut));
  }
  packing.cost += kind.cost * times;
  kind.least = std::max(0, kind.least - times);
  kind.most -= times;
}

namespace {

struct CostSearch {
  std::vector<StockKind> kinds;  // dearest first
  std::int64_t bound = 0;
  std::int64_t needed = 0;
  std::int64_t best = Packing::no_cost;
  std::vector<std::int64_t> length_after, cost_after;  // of all bars of the later kinds
  long steps = 0;

  void visit(std::size_t place, std::int64_t cost, std::int64_t length) {
    if (++steps > 200000 || cost >= best) return;
    if (place == kinds.size()) {
      if (cost >= bound && length >= needed) best = cost;
      return;
    }
    if (cost + cost_after[place] < bound || length + length_after[place] < needed) return;
    const StockKind& kind = kinds[place];
    std::int64_t low = kind.least;
    const std::int64_t short_of =
        std::max<std::int64_t>(0, needed - length - length_after[place + 1]);
    if (kind.capacity > 0) low = std::max(low, (short_of + kind.capacity - 1) / kind.capacity);
    const std::int64_t owing = std::max<std::int64_t>(0, bound - cost - cost_after[place + 1]);
    low = std::max(low, (owing + kind.cost - 1) / kind.cost);
    for (std::int64_t count = low; count <= kind.most; ++count) {
      if (cost + count * kind.cost >= best || steps > 200000) break;
      visit(place + 1, cost + count * kind.cost, length + count * kind.capacity);
    }
  }
};

}  // namespace

std::int64_t next_reachable_cost(const Problem& problem, std::int64_t bound) {
  CostSearch search{problem.kinds, bound, 0, Packing::no_cost, {}, {}, 0};
  for (const PieceType& type : problem.types) search.needed += type.length * type.demand();
  std::sort(search.kinds.begin(), search.kinds.end(),
            [](const StockKind& a, const StockKind& b) { return a.cost > b.cost; });
  search.length_after.assign(search.kinds.size() + 1, 0);
  search.cost_after = search.length_after;
  for (std::size_t i = search.kinds.size(); i-- > 0;) {
    search.length_after[i] =
        search.length_after[i + 1] + search.kinds[i].capacity * search.kinds[i].most;
    search.cost_after[i] = search.cost_after[i + 1] + search.kinds[i].cost * search.kinds[i].most;
  }
  search.visit(0, 0, 0);
  return search.steps > 200000 ? bound : search.best;
}

namespace {

struct CountSearch {
  const Problem& problem;
  std::size_t most;
  std::vector<std::vector<int>>& ways;
  std::vector<int> counts;
  long steps = 0;

  bool visit(std::size_t kind, std::int64_t cost, std::int64_t needed) {
    if (++steps > 100000) return false;
    if (kind == problem.kinds.size()) {
      if (cost != 0 || needed > 0) return true;
      ways.push_back(counts);
      return ways.size() <= most;
    }
    const StockKind& bars = problem.kinds[kind];
    for (int count = bars.least; count <= bars.most && count * bars.cost <= cost; ++count) {
      counts[kind] = count;
      if (!visit(kind + 1, cost - count * bars.cost, needed - count * bars.capacity)) return false;
    }
    return true;
  }
};

}  // namespace

bool list_counts(const Problem& problem, std::int64_t cost, std::size_t most,
                 std::vector<std::vector<int>>& ways) {
  std::int64_t needed = 0;
  for (const PieceType& type : problem.types) needed += type.length * type.demand();
  CountSearch search{problem, most, ways, std::vector<int>(problem.kinds.size(), 0)};
  return search.visit(0, cost, needed);
}

namespace {

using Apart = std::vector<std::vector<char>>;

Apart apart_matrix(const Problem& problem, std::size_t size) {
  Apart matrix(size, std::vector<char>(size, 0));
  for (std::size_t i = 0; i < problem.types.size(); ++i)
    for (const int other : problem.types[i].apart) matrix[i][static_cast<std::size_t>(other)] = 1;
  return matrix;
}

/// Sorts the types, drops those without demand, and puts alike ones together.
void tidy(Branch& branch, const Apart& apart) {
  Problem& problem = branch.problem;
  const std::size_t count = problem.types.size();
  branch.place.assign(count, -1);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < count; ++i)
    if (problem.types[i].demand() > 0) order.push_back(i);
  std::stable_sort(order.begin(), order.end(), [&problem](std::size_t a, std::size_t b) {
    return problem.types[a].length > problem.types[b].length;
  });
  std::vector<std::size_t> kept;
  std::vector<PieceType> types;
  for (const std::size_t i : order) {
    PieceType& type = problem.types[i];
    if (!kept.empty() && types.back().length == type.length &&
        types.back().per_bar == type.per_bar && apart[kept.back()] == apart[i] && !apart[i][i]) {
      auto& bundles = types.back().bundles;
      bundles.insert(bundles.end(), type.bundles.begin(), type.bundles.end());
      branch.place[i] = static_cast<int>(kept.size()) - 1;
      continue;
    }
    branch.place[i] = static_cast<int>(kept.size());
    kept.push_back(i);
    types.push_back(std::move(type));
  }
  for (std::size_t i = 0; i < kept.size(); ++i) {
    types[i].apart.clear();
    for (std::size_t j = 0; j < kept.size(); ++j)
      if (apart[kept[i]][kept[j]]) types[i].apart.push_back(static_cast<int>(j));
  }
  problem.types = std::move(types);
}

}  // namespace

Branch joined(const Problem& problem, int a, int b) {
  Branch result{problem, {}, a, b, true};
  const std::size_t count = problem.types.size();
  Apart apart = apart_matrix(problem, count + 1);
  PieceType bundle;
  std::vector<int> pieces;
  for (const int index : {a, b}) {
    PieceType& type = result.problem.types[static_cast<std::size_t>(index)];
    pieces.insert(pieces.end(), type.bundles.back().begin(), type.bundles.back().end());
    type.bundles.pop_back();
    bundle.length += type.length;
    for (std::size_t other = 0; other < count; ++other)
      if (apart[static_cast<std::size_t>(index)][other] ||
          (type.per_bar == 1 && other == static_cast<std::size_t>(index)))
        apart[count][other] = apart[other][count] = 1;
  }
  bundle.bundles = {pieces};
  result.problem.types.push_back(std::move(bundle));
  tidy(result, apart);
  return result;
}

Branch separated(const Problem& problem, int a, int b) {
  Branch result{problem, {}, a, b, false};
  Apart apart = apart_matrix(problem, problem.types.size());
  if (a == b) {
    result.problem.types[static_cast<std::size_t>(a)].per_bar = 1;
  } else {
    apart[static_cast<std::size_t>(a)][static_cast<std::size_t>(b)] = 1;
    apart[static_cast<std::size_t>(b)][static_cast<std::size_t>(a)] = 1;
  }
  tidy(result, apart);
  return result;
}

Pattern carried_over(const Branch& branch, const Pattern& pattern) {
  std::vector<int> counts(branch.place.size(), 0);
  for (const auto& [type, count] : pattern.counts) counts[static_cast<std::size_t>(type)] = count;
  if (branch.together) {
    int& first = counts[static_cast<std::size_t>(branch.a)];
    int& second = counts[static_cast<std::size_t>(branch.b)];
    const bool both = branch.a == branch.b ? first >= 2 : first >= 1 && second >= 1;
    if (both) {
      --first;
      --second;
      counts.back() = 1;
    }
  }
  std::vector<int> moved(branch.problem.types.size(), 0);
  for (std::size_t type = 0; type < counts.size(); ++type)
    if (branch.place[type] >= 0)
      moved[static_cast<std::size_t>(branch.place[type])] += counts[type];
  Pattern result{pattern.kind, {}};
  for (std::size_t type = 0; type < moved.size(); ++type)
    if (moved[type] > 0) result.counts.emplace_back(static_cast<int>(type), moved[type]);
  return trimmed(branch.problem, result);
}

}  // namespace roomloom::cutting
