#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace roomloom {

/// One piece to be cut, in one length, without a splice.
struct CutPiece {
  std::string id;       ///< unique among the pieces; carried through to the result
  double length_m = 0;  ///< > 0; taken to the micrometre
};

/// One put-up, bar or remainder that pieces can be cut from.
struct CutStock {
  std::string id;         ///< unique among the stock
  double length_m = 0;    ///< > 0 of each stock piece; of a shelf remainder, what is left on it
  double price = 0;       ///< >= 0 of a whole new stock piece, any currency, to 1/10000
  bool on_shelf = false;  ///< already owned: costs nothing, whatever `price` says
  std::optional<int> available;  ///< absent: as many as are needed (one where `on_shelf`)
};

struct CutJob {
  std::vector<CutPiece> pieces;
  std::vector<CutStock> stock;
  double kerf_m = 0;               ///< >= 0, lost between two pieces and before the remainder
  double minimum_remainder_m = 0;  ///< >= 0, kept on every stock piece that is cut from
  /// The search ends after so many rounds of its relaxation, with what it has. Counted, so that a
  /// job gives the same plan on every machine.
  long effort = 20000;
  bool improve_leftover = true;  ///< also look for the largest single remainder
};

/// One stock piece that is cut from.
struct CutBar {
  int stock = 0;            ///< index into CutJob::stock
  std::vector<int> pieces;  ///< indices into CutJob::pieces, in cutting order: longest first
  double remainder_m = 0;   ///< what is left after the last cut
};

struct CutPlan {
  std::vector<CutBar> bars;      ///< every piece in exactly one; by stock index, fullest first
  double cost = 0;               ///< sum of the prices of the new stock pieces
  double cost_bound = 0;         ///< no plan costs less
  int bars_bound = 0;            ///< no plan of that cost has fewer bars; valid where `proven`
  bool proven = false;           ///< cost is least, and the number of bars is least for that cost
  long effort_spent = 0;         ///< of CutJob::effort
  bool leftover_proven = false;  ///< and no single remainder can be larger, to the millimetre
};

/// Assigns every piece to a stock piece at least cost; among these with fewest stock pieces (shelf
/// remainders count), among these with the largest single remainder.
///
/// Exact: Gilmore and Gomory's column generation priced by integer knapsacks, bounds taken from
/// integer duals (no rounding error enters them), dives, enumeration of all patterns that a better
/// plan could use, and branching on stock counts and on pairs of pieces that share a stock piece.
/// The same job gives the same plan, and the order of pieces and stock never changes the cost,
/// unless `effort` runs out first (`proven` is then false).
/// @error `cutting.input` a length, price or count is out of range, or an id comes twice
/// @error `cutting.piece_too_long` names the longest piece, which no stock can hold
/// @error `cutting.stock_short` the limited stock cannot hold all pieces
/// @error `cutting.not_found` no plan within `effort`, and none ruled out
Result<CutPlan> plan_cuts(const CutJob& job);

}  // namespace roomloom
