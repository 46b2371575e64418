#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "network/ascent.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

Dual empty_dual(const Model& model) {
  Dual dual;
  dual.potentials.resize(model.demands.size());
  dual.family_used.assign(model.families.size(), std::vector<double>(at(model.arc_count), 0.0));
  dual.own_used.assign(model.own.size(), 0.0);
  dual.shared_used.assign(model.price.size(), 0.0);
  return dual;
}

void fit_reserve(const Model& model, std::vector<std::vector<double>>& reserve) {
  std::vector<double> sums(2 * model.families.size());
  for (std::size_t edge = 0; edge < model.own.size(); ++edge) {
    std::fill(sums.begin(), sums.end(), 0.0);
    for (std::size_t k = 0; k < reserve.size(); ++k)
      for (std::size_t way = 0; way < 2; ++way)
        sums[2 * at(model.demands[k].family) + way] += reserve[k][2 * edge + way];
    double total = 0;
    for (std::size_t q = 0; q < sums.size(); q += 2) total += std::max(sums[q], sums[q + 1]);
    if (total <= model.own[edge]) continue;
    const double share = model.own[edge] / total;
    for (std::size_t k = 0; k < reserve.size(); ++k) {
      const double* ways = &sums[2 * at(model.demands[k].family)];
      const double most = share * std::max(ways[0], ways[1]);
      for (std::size_t way = 0; way < 2; ++way)
        if (ways[way] > most) reserve[k][2 * edge + way] *= most / ways[way];
    }
  }
}

namespace {

/// Adds to what a demand draws; `sign` -1 gives it back.
void apply(const Model& model, int demand, const Potential& potential, double sign, Dual& dual) {
  std::vector<double>& used = dual.family_used[at(model.demands[at(demand)].family)];
  for (std::size_t i = 0; i < potential.arcs.size(); ++i) {
    const int arc = potential.arcs[i];
    const double before = std::max(used[at(arc)], used[at(reverse_of(arc))]);
    used[at(arc)] = std::max(0.0, used[at(arc)] + sign * potential.drawn_own[i]);
    const double after = std::max(used[at(arc)], used[at(reverse_of(arc))]);
    double& total = dual.own_used[at(edge_of(arc))];
    total = std::max(0.0, total + after - before);
  }
  for (std::size_t i = 0; i < potential.charges.size(); ++i) {
    double& total = dual.shared_used[at(potential.charges[i])];
    total = std::max(0.0, total + sign * potential.charge_drawn[i]);
  }
  dual.bound += sign * potential.value;
}

}  // namespace

void release(const Model& model, int demand, Dual& dual) {
  Potential& potential = dual.potentials[at(demand)];
  apply(model, demand, potential, -1, dual);
  potential = Potential{};
}

void restore(const Model& model, int demand, const Potential& potential, Dual& dual) {
  apply(model, demand, potential, 1, dual);
  dual.potentials[at(demand)] = potential;
}

std::vector<int> all_demands(const Model& model) {
  std::vector<int> order(model.demands.size());
  std::iota(order.begin(), order.end(), 0);
  return order;
}

Permitted everything(const Model& model) {
  Permitted permitted(model.demands.size(), std::vector<char>(at(model.arc_count), 0));
  for (std::size_t k = 0; k < permitted.size(); ++k)
    for (int arc = 0; arc < model.arc_count; ++arc)
      permitted[k][at(arc)] = !std::isinf(model.cost(static_cast<int>(k), arc));
  return permitted;
}

Permitted everything_shared(const Model& model) {
  std::vector<std::vector<char>> rows;
  for (const Profile& profile : model.profiles) {
    auto& row = rows.emplace_back(at(model.arc_count), 0);
    for (std::size_t a = 0; a < row.size(); ++a) row[a] = !std::isinf(profile.cost[a]);
  }
  std::vector<std::size_t> row_of;
  for (const Demand& d : model.demands) row_of.push_back(at(d.profile));
  return {std::move(rows), std::move(row_of)};
}

}  // namespace roomloom::network
