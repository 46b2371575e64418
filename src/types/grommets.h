#pragma once

#include <functional>

#include "types/job.h"
#include "types/room.h"

namespace roomloom {

/// The grommet or plate for a hole of `hole_m`, from the catalogue: the one with the smallest hole
/// that lets `bundle_m` pass, in a ceiling tile none whose own hole is smaller than that. Where
/// what it asks to be cut is wider than the hole, `may_cut` says whether the place allows that.
/// Framing is sealed, not lined. Into Catalogue::grommets; -1 where none does.
int grommet_for(CrossingKind kind, double hole_m, double bundle_m, const Job& job,
                const std::function<bool(double)>& may_cut);

}  // namespace roomloom
