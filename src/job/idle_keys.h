#pragma once

#include "types/job.h"

namespace roomloom {

/// Tells, among the job's notes, of keys of a run that say something of another kind of cable than
/// it has, such as the impedance of a network run: nothing is judged by them.
void note_idle_keys(Job& job);

}  // namespace roomloom
