#include "exhaustive.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <vector>

namespace roomloom::cutting_tests {
namespace {

long um(double metres) { return std::lround(metres * 1e6); }

/// What stays of a bar after these pieces; nothing where they do not fit. The last piece may end at
/// the bar's end, and then needs no cut.
std::optional<long> remainder_um(const CutJob& job, const CutStock& stock, unsigned pieces) {
  long used = 0;
  int count = 0;
  for (std::size_t i = 0; i < job.pieces.size(); ++i) {
    if ((pieces >> i & 1U) == 0) continue;
    used += um(job.pieces[i].length_m);
    ++count;
  }
  const long kerf = um(job.kerf_m);
  const long length = um(stock.length_m);
  const long between = used + (count - 1) * kerf;
  if (between > length) return std::nullopt;
  const long left = std::max(0L, length - between - kerf);
  if (left < um(job.minimum_remainder_m)) return std::nullopt;
  return left;
}

using Figures = std::tuple<long, int, long>;  // price, bars, minus the largest remainder

}  // namespace

std::optional<Best> best_by_trying_all(const CutJob& job) {
  const unsigned all = (1U << job.pieces.size()) - 1;
  std::vector<std::optional<Figures>> best(all + 1);
  best[0] = Figures{0, 0, 0};
  for (const CutStock& stock : job.stock) {
    const int copies = stock.available.value_or(stock.on_shelf ? 1 : 99);
    const long price = stock.on_shelf ? 0 : std::lround(stock.price * 1e4);
    for (int bar = 0; bar < std::min<int>(copies, static_cast<int>(job.pieces.size())); ++bar) {
      auto next = best;
      for (unsigned held = 0; held <= all; ++held) {
        if (!best[held]) continue;
        const unsigned open = all & ~held;
        for (unsigned taken = open; taken != 0; taken = (taken - 1) & open) {
          const auto left = remainder_um(job, stock, taken);
          if (!left) continue;
          const auto [cost, bars, minus] = *best[held];
          const Figures figures{cost + price, bars + 1, std::min(minus, -*left)};
          auto& entry = next[held | taken];
          if (!entry || figures < *entry) entry = figures;
        }
      }
      best = std::move(next);
    }
  }
  if (!best[all]) return std::nullopt;
  return Best{std::get<0>(*best[all]), std::get<1>(*best[all]), -std::get<2>(*best[all])};
}

std::string fault_of(const CutPlan& plan, const CutJob& job) {
  std::vector<int> cut(job.pieces.size(), 0), bars(job.stock.size(), 0);
  double cost = 0;
  for (const CutBar& bar : plan.bars) {
    const CutStock& stock = job.stock.at(static_cast<std::size_t>(bar.stock));
    ++bars[static_cast<std::size_t>(bar.stock)];
    if (!stock.on_shelf) cost += stock.price;
    if (bar.pieces.empty()) return "an empty bar";
    double before = 1e300;
    unsigned long count = 0;
    long used = 0;
    for (const int piece : bar.pieces) {
      const double length = job.pieces.at(static_cast<std::size_t>(piece)).length_m;
      ++cut[static_cast<std::size_t>(piece)];
      if (length > before) return "a longer piece after a shorter one";
      before = length;
      used += um(length) + (count++ > 0 ? um(job.kerf_m) : 0);
    }
    if (used > um(stock.length_m)) return "an overdrawn bar";
    const long left = std::max(0L, um(stock.length_m) - used - um(job.kerf_m));
    if (left != um(bar.remainder_m)) return "a wrong remainder";
    if (left < um(job.minimum_remainder_m)) return "too small a remainder";
  }
  for (const int times : cut)
    if (times != 1) return "a piece not cut exactly once";
  for (std::size_t s = 0; s < bars.size(); ++s)
    if (bars[s] > job.stock[s].available.value_or(job.stock[s].on_shelf ? 1 : 1 << 30))
      return "more bars than there are";
  if (std::abs(cost - plan.cost) > 1e-4) return "a wrong cost";
  if (plan.cost_bound > plan.cost + 1e-9) return "a bound above the cost";
  return "";
}

long largest_remainder_um(const CutPlan& plan) {
  long largest = 0;
  for (const CutBar& bar : plan.bars) largest = std::max(largest, um(bar.remainder_m));
  return largest;
}

}  // namespace roomloom::cutting_tests
