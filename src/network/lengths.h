#pragma once

#include <vector>

#include "network/plan.h"

/// Greatest lengths of paths: a constraint that the searches leave out.
namespace roomloom::network {

/// What a unit of length weighs for a commodity.
struct LengthPrice {
  int commodity = 0;
  double per_length = 0;
};

/// Lays paths that are too long anew, each at the least price of length at which it keeps its
/// limit. Where even the shortest is too long, the path stays. @return the prices that served
std::vector<LengthPrice> keep_lengths(const Model& model, Plan& plan);

/// The problem with these prices on top of what edges cost, and closed to these commodities what
/// lies beyond their reach. Less `rebate`, any bound of it is one
/// of the problem with its limits (Geoffrion, Mathematical Programming Study 2, 1974): a path
/// within its limit pays at most what is given back.
Problem with_length_prices(const Problem& problem, const std::vector<LengthPrice>& prices,
                           double& rebate);

}  // namespace roomloom::network
