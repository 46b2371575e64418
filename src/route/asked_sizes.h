#pragma once

#include <map>
#include <vector>

#include "network/network.h"
#include "route/costs.h"

/// What raceway costs at least by load and by what the bends on it ask for.
namespace roomloom::route {

/// How many of the catalogue's clear widths are too narrow, and of its clear depths too shallow.
struct AskedSize {
  int wider = 0, deeper = 0;
  bool operator==(const AskedSize&) const = default;
  bool holds(const AskedSize& other) const {
    return wider >= other.wider && deeper >= other.deeper;
  }
};

class AskedSizes {
 public:
  /// @param asked  all that some bend asks of raceway for some run
  AskedSizes(const Setting& setting, const std::vector<ClearNeed>& asked);

  AskedSize size_of(const ClearNeed& need) const;
  /// More states than this are not priced: sizes_of() is not to be called then.
  static constexpr std::size_t kMostStates = 16;
  /// What can be asked of a stretch of raceway, as far as that makes a difference to a price.
  const std::vector<AskedSize>& states() const { return states_; }
  /// The state that holds what is asked and costs the same everywhere.
  int state_of(const AskedSize& asked) const;
  /// What an edge's raceway costs by load in square metres, its levels being the states. What two
  /// runs ask for together counts as the dearer of the two.
  std::vector<network::ChargeSize> sizes_of(int edge) const;

 private:
  using Table = std::vector<std::vector<double>>;  ///< price a metre by state, then by load
  void find_loads();
  std::vector<int> raceways_of(int edge) const;
  double least_price(int edge, double load_m2, const AskedSize& state) const;
  Table table_of(int edge, const std::vector<AskedSize>& states) const;
  void keep_what_differs(const std::vector<int>& edges);
  std::vector<network::ChargeSize> as_sizes(const Table& table) const;

  const Setting& setting_;
  std::vector<double> widths_, depths_;  ///< of the catalogue, ascending
  std::vector<ClearNeed> pairs_;         ///< all that two bends can ask for together
  std::vector<double> loads_;            ///< ascending; prices are even between them
  std::vector<AskedSize> all_, states_;
  std::vector<int> state_of_;  ///< one of all_
  /// A metre, by the raceways that may lie on an edge.
  std::map<std::vector<int>, std::vector<network::ChargeSize>> sizes_;
};

}  // namespace roomloom::route
