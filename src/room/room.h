#pragma once

#include "base/result.h"
#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// Finds the room in a model: what each part is, which bodies of air there are, the planes that
/// cables can be fixed to, the voids they can run in and where they may pass from one to another.
///
/// @param scene  metres, Z up. Parts may be solids, thin shells or single faces; they may overlap,
///               miss each other by up to 10 mm (a suspended ceiling its walls by up to
///               25 mm), or be a scan's noisy mesh.
/// @param job    part rules, seed and preferences; a default Job serves for a survey without one.
/// @return  everything that was guessed is in `guesses`, with how to overrule it; what could not be
///          understood is in `warnings`. `main_air` is -1 when no room was found; then there are
///          roles, guesses and warnings, but no sheets.
/// @error   `room.no-parts` the scene has no parts · `room.bad-scene` indices out of range or
///          points that are not finite · `room.bad-seed` the seed lies far outside the model.
/// @cost    about a second for a furnished scan of a few hundred thousand triangles.
Result<Room> understand_room(const Scene& scene, const Job& job);

/// Adds the faces that the job states ("model": "faces", "outline") to the scene as parts of their
/// own, each told in a note. Planes given by three points reach as far as the model and the other
/// stated faces do; one that misses the model is left out and told.
void add_stated_faces(const Job& job, Scene& scene);

/// Whether a part is a face that the job states. Where it lies on a face of the model it takes that
/// one's place.
bool is_stated(const Part& part);

}  // namespace roomloom
