#include "place/place.h"

#include "place/context.h"

namespace roomloom {

Ends place_ends(const Scene& scene, const Room& room, const Job& job) {
  Ends ends;
  ends.zones = room.zones;
  const place::Surfaces surfaces(scene, room, job.layout.has_value());
  place::Context context{scene, room, job, surfaces, ends, std::nullopt, {}};
  place::place_listener(context);
  place::place_gear(context);
  place::place_runs(context);
  place::add_floor_ways(context);
  return ends;
}

}  // namespace roomloom
