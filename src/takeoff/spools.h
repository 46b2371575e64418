#pragma once

#include <vector>

namespace roomloom {

/// How many stocks of `stock_m` first-fit decreasing needs for these lengths, none of them joined.
/// -1 if one is longer than a stock. An upper bound on the least count.
int first_fit_decreasing(std::vector<double> lengths_m, double stock_m);

}  // namespace roomloom
