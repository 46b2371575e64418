#pragma once

#include <optional>
#include <vector>

#include "drawings/trunks.h"

namespace roomloom {

/// Which sheet of paper shows a line or a point, and how.
struct ShownAt {
  PlaceId place;  ///< a sheet of the room, or a void
  enum Depth { on, behind, before } depth = on;
};
/// Each is shown somewhere: what has no sheet or void of its own (free before a wall, over
/// the floor, in a conduit) goes to the face that it lies before or behind. Nothing only for what
/// hangs behind gear, whose sheet has the ports, or where a room has no sheet at all.
std::optional<ShownAt> shown_at(const DrawingRequest& request, const PlaceId& home,
                                const std::vector<Vec3>& line);

/// What one sheet of the room carries.
struct Carried {
  std::vector<const Stretch*> on, behind, before;  ///< a void has all in `on`
  std::vector<const RacewayShape*> raceways;
  std::vector<int> ends;
  std::vector<const HoleShape*> holes;
  bool empty() const {
    return on.empty() && behind.empty() && before.empty() && raceways.empty() && ends.empty() &&
           holes.empty();
  }
};
/// One for each of Room::sheets.
std::vector<Carried> carried_by(const DrawingRequest& request, const Trunks& trunks);
/// What the plan of a void shows.
Carried carried_in(const DrawingRequest& request, const Trunks& trunks, int space);

}  // namespace roomloom
