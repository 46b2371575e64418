#pragma once

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

#include "network/model.h"

/// Dual ascent for the disaggregated model: node potentials a demand, raised along cuts, paid for
/// out of the arcs' costs and then out of the charges' budgets.
namespace roomloom::network {

class Router;

/// Which arcs each demand may still use: a row a demand, one flag an arc. Demands may share a row,
/// which saves memory as long as nothing is ruled out for one of them alone.
class Permitted {
 public:
  Permitted() = default;
  Permitted(std::size_t demands, const std::vector<char>& row)
      : rows_(demands, row), row_of_(demands) {
    for (std::size_t k = 0; k < demands; ++k) row_of_[k] = k;
  }
  /// Rows as given; `row_of` tells which is whose.
  Permitted(std::vector<std::vector<char>> rows, std::vector<std::size_t> row_of)
      : rows_(std::move(rows)), row_of_(std::move(row_of)) {}
  std::size_t size() const { return row_of_.size(); }
  std::vector<char>& operator[](std::size_t demand) { return rows_[row_of_[demand]]; }
  const std::vector<char>& operator[](std::size_t demand) const { return rows_[row_of_[demand]]; }

 private:
  std::vector<std::vector<char>> rows_;
  std::vector<std::size_t> row_of_;
};

/// The dual solution of one demand.
struct Potential {
  double value = 0;            ///< level at which the root joined: the demand's share of the bound
  std::vector<int> nodes;      ///< nodes whose level is known; the others' is `value`
  std::vector<double> levels;  ///< one each; the terminal's is 0, the root's `value`
  std::vector<int> arcs;       ///< arcs that draw on charges
  std::vector<double> drawn;   ///< from all charges, one an entry of `arcs`
  std::vector<double> drawn_own;  ///< from the edge's own charge
  std::vector<int> charges;       ///< shared charges drawn on
  std::vector<double> charge_drawn;
};

struct Dual {
  double bound = 0;
  std::vector<Potential> potentials;             ///< one a demand
  std::vector<std::vector<double>> family_used;  ///< own charge drawn, per family and arc
  std::vector<double> own_used;                  ///< one an edge
  std::vector<double> shared_used;               ///< one a shared charge
};

/// How demands take turns.
enum class Turns { lowest_level, smallest_cut, in_order };

struct AscentOptions {
  Turns turns = Turns::lowest_level;
  double step = 0;         ///< a turn ends after rising this far; 0: at the first join
  std::vector<int> order;  ///< demands to raise; the place in the list decides between equals
  /// What each demand may draw on an edge's own charge before the rest is shared out, one row a
  /// demand, one number an arc; what it leaves is given back. Must fit the charges. May be null.
  const std::vector<std::vector<double>>* reserve = nullptr;
  /// Knows what arcs alone cost from a root; may be null. With it demands start from levels that
  /// are paid for by these costs, and only what draws on charges is left to raise.
  Router* router = nullptr;
};

Dual empty_dual(const Model& model);

/// Raises the demands of `options.order` in `dual` as far as their roots; their potentials must be
/// empty before.
void raise(const Model& model, const Permitted& permitted, const AscentOptions& options,
           Dual& dual);

/// Gives back what a demand has drawn.
void release(const Model& model, int demand, Dual& dual);

/// Draws again what a released demand had drawn.
void restore(const Model& model, int demand, const Potential& potential, Dual& dual);

/// Scales what demands may reserve on an edge's own charge (AscentOptions::reserve) down to the
/// charge where it is more. Prices of a relaxation can be more: other rows of it pay for the edge
/// too, and a bound would count what nobody pays.
void fit_reserve(const Model& model, std::vector<std::vector<double>>& reserve);

/// Own charge of the arc's edge that a family may still draw in the arc's direction.
inline double own_left(const Model& model, const Dual& dual, int family, int arc) {
  const auto edge = static_cast<std::size_t>(edge_of(arc));
  const std::vector<double>& used = dual.family_used[static_cast<std::size_t>(family)];
  const double forward = used[static_cast<std::size_t>(arc)];
  const double backward = used[static_cast<std::size_t>(reverse_of(arc))];
  return model.own[edge] - dual.own_used[edge] + std::max(0.0, backward - forward);
}

/// All demands, in order.
std::vector<int> all_demands(const Model& model);

/// Everything a demand's profile permits, a row a demand.
Permitted everything(const Model& model);

/// The same with a row a profile: nothing may be ruled out in it.
Permitted everything_shared(const Model& model);

}  // namespace roomloom::network
