#pragma once

#include <vector>

#include "types/ends.h"
#include "types/job.h"

namespace roomloom {

/// Whether room for these later cables is kept on a way that `runs` (into Ends::runs, each once)
/// take: on the ways of the runs that it names, else on every way that two or more share.
bool keeps_room(const SpareSpec& spare, const std::vector<int>& runs, const Ends& ends);

/// What the job keeps free on the way of `runs`: the cable of each, once for every cable.
std::vector<const CableType*> spare_cables(const std::vector<int>& runs, const Ends& ends,
                                           const Job& job);

/// The hole that those cables need beside the cables that pass it, without clearance: the bundle
/// of all, and where heads shall be fitted the last head beside all others. 0 where no room is
/// kept.
double spare_hole_m(const std::vector<double>& diameters_m, const std::vector<int>& runs,
                    const Ends& ends, const Job& job);

}  // namespace roomloom
