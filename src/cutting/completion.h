#pragma once

#include <optional>

#include "cutting/problem.h"

namespace roomloom::cutting {

enum class Verdict { packed, impossible, undecided };

/// Whether the largest numbers of bars (`most` of every kind) can hold all pieces, bar by bar (bin
/// completion, Korf 2002; for bars of several lengths Fukunaga and Korf 2007). A bar is only filled
/// in ways that no longer piece could improve, and never with more waste than all bars may have
/// together. For problems without types kept apart.
/// @param steps  the search gives up after so many, the same on every machine
/// @param packing  set where packed
Verdict complete_bars(const Problem& problem, long steps, Packing& packing);

/// Whether no type is kept apart from another, or from itself.
bool is_plain(const Problem& problem);

}  // namespace roomloom::cutting
