#pragma once

#include <coin/OsiClpSolverInterface.hpp>
#include <vector>

namespace roomloom::network {

/// Branch and cut by CBC from a relaxation within a time limit.
/// @param cutoff   what the answer must be below
/// @param seconds  by the wall clock
/// @param x        the best solution found, if any; else untouched
/// @return a bound, at most `cutoff`
double branch(OsiClpSolverInterface& start, double cutoff, double seconds, std::vector<double>& x);

}  // namespace roomloom::network
