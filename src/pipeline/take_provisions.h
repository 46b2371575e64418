#pragma once

#include <map>
#include <set>
#include <string>
#include <utility>

#include "pipeline/roomloom.h"

namespace roomloom {

/// A run and the recorded provision whose cable it might have.
using Taking = std::pair<std::string, std::string>;

/// Cables that were pulled for later serve new runs before any is bought. A run may have one of the
/// same cable that begins and ends so near to where it does that what was left coiled and looped
/// there reaches; each cable serves one run, the pairs that lie nearest first. Changes the job as
/// take_over of job/job.h does.
/// @param scene,room  for where the ends are
/// @param refused     pairs that were found not to do
/// @return what was taken
std::set<Taking> take_provisions(const Scene& scene, const Room& room,
                                 const std::set<Taking>& refused, Job& job);

/// Of a plan with such runs, those whose cable is too short for the way that was found, or that
/// found none.
std::set<Taking> too_short(const PlannedRoom& planned);

}  // namespace roomloom
