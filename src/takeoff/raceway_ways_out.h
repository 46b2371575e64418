#pragma once

#include <set>
#include <vector>

#include "takeoff/raceway_tips.h"

namespace roomloom {

inline constexpr double kAtEnd_m = 0.06;  ///< an end of a stretch is at a cable's end

/// The end of one of the runs that is nearest to a point, and not farther than `most_m`; null where
/// there is none.
const Termination* end_near(const Vec3& point, const std::vector<int>& runs, double most_m,
                            const std::vector<Termination>& terminations, const Ends& ends);

/// Whether a hole opens where raceway of this size stops or passes.
bool is_over(const HoleRow& hole, const Vec3& point, const RacewayType& type);

/// Where runs leave a stretch through no end of it and into no other stretch; one list a stretch.
/// @param let_out  by tip (2 x stretch, its end one later): runs that this end lets out or leads on
std::vector<std::vector<WayOut>> ways_out_of(const RacewayTips& tips,
                                             const std::vector<std::set<int>>& let_out,
                                             const std::vector<HoleRow>& holes,
                                             const std::vector<Termination>& terminations,
                                             const Ends& ends);

}  // namespace roomloom
