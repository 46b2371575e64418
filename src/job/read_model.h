#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// The job's "model", with the faces that it states: walls and slabs that the model lacks, each
/// given by three points of its plane or by its corners, or all at once by the room's outline.
/// Problems: `job.face` points that span no plane, corners that are not flat or whose sides cross.
ModelInput read_model_input(const Field& field);

}  // namespace roomloom
