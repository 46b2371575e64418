#pragma once

#include "cutting/problem.h"

namespace roomloom::cutting {

/// Looks for a way to cut all pieces from these bars (`most` of every kind): bar after bar, each
/// round a long piece with what fills it best, over and over with other bars and other pieces
/// first, since only the last bars show what should have been kept for them. Where many short
/// pieces go into each bar this finds packings without any waste, which the relaxation rounds to
/// only after long. After Gupta and Ho, A new heuristic algorithm for the one-dimensional
/// bin-packing problem (Production Planning and Control 10, 1999), the least slack by the reachable
/// sums instead of by trying subsets.
/// @param steps  the search gives up after so many words of sums, the same on every machine; what
/// it
///               took is taken off
/// @return a packing, or one of Packing::no_cost
Packing fill_bars(const Problem& problem, std::int64_t& steps);

}  // namespace roomloom::cutting
