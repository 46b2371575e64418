#pragma once

#include "pipeline/roomloom.h"

namespace roomloom {

/// Takes up the ways of the plan that is to be started from, if there is one. Those of installed
/// runs are held, unless the record of what was built says where they lie.
/// @error `from.no-plan` · `file.*`
Status start_from(const PlanOptions& options, Job& job);

/// What does not lie where that plan had it.
Table moved_table(const PlannedRoom& planned);

}  // namespace roomloom
