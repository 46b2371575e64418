#pragma once

#include <string>

#include "sketch/entry.h"
#include "sketch/sketch.h"

namespace roomloom {

void read_name(Entry& entry, std::string& out);

/// Doors, windows, vents, luminaires, lines, joists, boxes and markers of a room file.
void read_things(Entry& root, RoomSketch& sketch);

}  // namespace roomloom
