#pragma once

#include <vector>

#include "takeoff/terminations.h"
#include "types/room.h"
#include "types/takeoff.h"

namespace roomloom {

/// The boxes that ends of cables sit in: those to mount by name, then those that are there.
///
/// A box takes one place, 86 mm square, or, where ends lie side by side or above each other, so
/// many that it is 146 mm long or longer; it is centred on its ends. These are the plates' usual
/// sizes, common practice, no source: raceway that runs into boxes of another size is cut to those.
std::vector<OutletBox> boxes_of(const std::vector<Termination>& terminations, const Ends& ends,
                                const Room& room);

/// Its outline on its sheet, counter-clockwise in the sheet's own u, v.
Ring outline_of(const OutletBox& box, const Frame& frame);

/// "box B2 of data 5 and data 6", "the box of data 5 that is there".
std::string box_words(const OutletBox& box, const Ends& ends);

}  // namespace roomloom
