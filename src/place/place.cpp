#include "place/place.h"

#include "place/context.h"

namespace roomloom {

Ends place_ends(const Scene& scene, const Room& room, const Job& job) {
  Ends ends;
  ends.zones = room.zones;
  if (room.main_air < 0) {  // nothing can be placed; the rest would only be told as consequences
    ends.problems.push_back(
        {"place.no-room", "No room was found in the model, so nothing can be placed in it.",
         job.path.empty() ? "/model" : job.path + " /model",
         "Ask \"roomloom survey\" what was found. Say which parts are walls, floor and ceiling "
         "under \"parts\", or give \"seed\", \"unit\" or \"up\" under \"model\"."});
    return ends;
  }
  const place::Surfaces surfaces(scene, room, job.layout.has_value());
  place::Context context{scene, room, job, surfaces, ends, std::nullopt, {}, {}};
  place::place_listener(context);
  place::place_gear(context);
  place::place_runs(context);
  place::keep_written_ports(context);
  place::add_floor_ways(context);
  place::place_eyes(context);
  return ends;
}

}  // namespace roomloom
