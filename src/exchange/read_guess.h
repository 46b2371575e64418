#pragma once

#include "exchange/read.h"
#include "types/scene.h"

namespace roomloom {

/// Settles a scene's unit and up axis: the options' where given, the format's where it has one,
/// else guessed from the shape of what is there. Sets Source::unit_m, up and to_room, moves the
/// scene into the room frame, and tells each guess in a Note with how to overrule it.
///
/// The scene comes in the file's own axes; STEP already in metres, as Source::unit_m says.
void settle_frame(Scene& scene, const ReadOptions& options);

}  // namespace roomloom
