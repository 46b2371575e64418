#include "route/asked_sizes.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <set>

namespace roomloom::route {
namespace {

constexpr double kSlack_m = 1e-6;       ///< as where sizes are chosen
constexpr std::size_t kMostLoads = 64;  ///< sums of cables that are told apart
constexpr int kMostSideBySide = 64;     ///< raceways
constexpr double kSamePrice = 1e-9;     ///< relatively

int too_small(const std::vector<double>& sizes, double asked_m) {
  return static_cast<int>(std::lower_bound(sizes.begin(), sizes.end(), asked_m - kSlack_m) -
                          sizes.begin());
}

std::vector<double> sorted(const std::set<double>& values) {
  return {values.begin(), values.end()};
}

}  // namespace

AskedSizes::AskedSizes(const Setting& setting, const std::vector<ClearNeed>& asked)
    : setting_(setting) {
  std::set<double> widths, depths, wide{0}, deep{0};
  for (const RacewayType& type : setting.job.catalogue.raceways) {
    widths.insert(type.inner_width_m);
    depths.insert(type.inner_depth_m);
  }
  widths_ = sorted(widths);
  depths_ = sorted(depths);
  for (const ClearNeed& need : asked) {
    wide.insert(need.width_m);
    deep.insert(need.depth_m);
  }
  for (const double width : wide)
    for (const double depth : deep) {
      pairs_.push_back({width, depth});
      const AskedSize size = size_of(pairs_.back());
      if (std::find(all_.begin(), all_.end(), size) == all_.end()) all_.push_back(size);
    }
  find_loads();
  std::map<std::vector<int>, int> first_with;
  for (std::size_t e = 0; e < setting.tracks.edges.size(); ++e)
    if (is_leg(setting.tracks.edges[e]))
      first_with.try_emplace(raceways_of(static_cast<int>(e)), static_cast<int>(e));
  std::vector<int> edges;
  for (const auto& [raceways, edge] : first_with) edges.push_back(edge);
  keep_what_differs(edges);
  if (states_.size() > kMostStates) return;
  for (const int edge : edges) sizes_[raceways_of(edge)] = as_sizes(table_of(edge, states_));
}

AskedSize AskedSizes::size_of(const ClearNeed& need) const {
  return {too_small(widths_, need.width_m), too_small(depths_, need.depth_m)};
}

/// Where prices can rise: what cables can sum to, or where raceways are full if that is too much.
void AskedSizes::find_loads() {
  std::set<double> sums{0};
  double all = 0, least = std::numeric_limits<double>::infinity();
  for (const RunNeeds& run : setting_.runs) {
    if (!run.settled.empty()) continue;
    all += run.area_m2;
    least = std::min(least, run.area_m2);
    std::set<double> with = sums;
    if (sums.size() <= kMostLoads)
      for (const double sum : sums) {
        const auto near = with.lower_bound(sum + run.area_m2 - 1e-12);
        if (near == with.end() || *near > sum + run.area_m2 + 1e-12)
          with.insert(near, sum + run.area_m2);
      }
    sums = std::move(with);
  }
  if (sums.size() > kMostLoads) {
    sums = {least, all};
    for (const EdgeOption& option : setting_.tracks.options)
      for (int count = 1; count <= kMostSideBySide; ++count)
        if (count * option.capacity_m2 >= least && count * option.capacity_m2 < all)
          sums.insert(count * option.capacity_m2);
  }
  sums.erase(0);
  loads_ = sorted(sums);
}

std::vector<int> AskedSizes::raceways_of(int edge) const {
  std::vector<int> raceways;
  for (const int index : setting_.tracks.edges[static_cast<std::size_t>(edge)].options) {
    const EdgeOption& option = setting_.tracks.options[static_cast<std::size_t>(index)];
    raceways.push_back(option.raceway);
    raceways.insert(raceways.end(), static_cast<std::size_t>(std::popcount(option.installed)),
                    -1 - option.raceway);
  }
  return raceways;
}

/// At least what is paid where bends ask for so much, or for more.
double AskedSizes::least_price(int edge, double load_m2, const AskedSize& state) const {
  double least = std::numeric_limits<double>::infinity();
  for (const ClearNeed& pair : pairs_)
    if (size_of(pair).holds(state))
      least = std::min(least, choose_size(setting_, edge, load_m2, pair).price);
  return least;
}

AskedSizes::Table AskedSizes::table_of(int edge, const std::vector<AskedSize>& states) const {
  Table table;
  const double metres = setting_.tracks.edges[static_cast<std::size_t>(edge)].length_m;
  for (const AskedSize& state : states) {
    std::vector<double>& row = table.emplace_back();
    for (const double load : loads_) row.push_back(least_price(edge, load, state) / metres);
  }
  return table;
}

/// Of states that cost the same everywhere, the one that holds the others stands for all.
void AskedSizes::keep_what_differs(const std::vector<int>& edges) {
  std::vector<Table> tables;
  for (const int edge : edges) tables.push_back(table_of(edge, all_));
  const auto same = [&](std::size_t a, std::size_t b) {
    return std::all_of(tables.begin(), tables.end(), [&](const Table& table) {
      return std::equal(table[a].begin(), table[a].end(), table[b].begin(),
                        [](double x, double y) { return std::abs(x - y) <= kSamePrice * x; });
    });
  };
  std::vector<std::size_t> kept;
  for (std::size_t i = 0; i < all_.size(); ++i) {
    bool needed = true;
    for (std::size_t j = 0; j < all_.size() && needed; ++j)
      needed = j == i || !all_[j].holds(all_[i]) || !same(i, j);
    if (needed) kept.push_back(i);
  }
  for (const std::size_t i : kept) states_.push_back(all_[i]);
  for (std::size_t i = 0; i < all_.size(); ++i) {
    std::size_t k = 0;
    while (k < kept.size() && (!all_[kept[k]].holds(all_[i]) || !same(i, kept[k]))) ++k;
    if (k == kept.size()) {  // "costs the same" holds only nearly, and not along a chain
      kept.push_back(i);
      states_.push_back(all_[i]);
    }
    state_of_.push_back(static_cast<int>(k));
  }
}

int AskedSizes::state_of(const AskedSize& asked) const {
  const auto found = std::find(all_.begin(), all_.end(), asked);
  return state_of_[static_cast<std::size_t>(found - all_.begin())];
}

/// At each load, for each price there, what states it serves; without what another size has, too.
std::vector<network::ChargeSize> AskedSizes::as_sizes(const Table& table) const {
  std::vector<network::ChargeSize> all, kept;
  for (std::size_t i = 0; i < loads_.size(); ++i)
    for (const std::vector<double>& row : table) {
      network::ChargeSize size{loads_[i], row[i], 0};
      for (std::size_t s = 0; s < table.size(); ++s)
        if (table[s][i] <= row[i] * (1 + kSamePrice)) size.levels |= std::uint32_t{1} << s;
      if (i + 1 == loads_.size()) size.capacity = network::kUnlimited;
      all.push_back(size);
    }
  const std::uint32_t every = (std::uint32_t{1} << table.size()) - 1;
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return a.price < b.price || (a.price == b.price && a.capacity > b.capacity);
  });
  for (network::ChargeSize& size : all) {
    if (size.levels == every) size.levels = ~0U;
    if (std::none_of(kept.begin(), kept.end(), [&](const network::ChargeSize& other) {
          return other.capacity >= size.capacity && (size.levels & ~other.levels) == 0;
        }))
      kept.push_back(size);
  }
  return kept;
}

std::vector<network::ChargeSize> AskedSizes::sizes_of(int edge) const {
  std::vector<network::ChargeSize> sizes = sizes_.at(raceways_of(edge));
  const double metres = setting_.tracks.edges[static_cast<std::size_t>(edge)].length_m;
  for (network::ChargeSize& size : sizes) size.price *= metres;
  return sizes;
}

}  // namespace roomloom::route
