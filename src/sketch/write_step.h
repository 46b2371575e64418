#pragma once

#include <string>

#include "types/solids.h"

namespace roomloom {

/// A STEP file (AP214, ISO 10303-21) of the solids: a product a part, in an assembly of groups;
/// solids with shared edges, polylines, points; names, colours (sRGB, without transparency) and
/// layers. Millimetres, Z up. Written as text of our own, since the same sketch must give the same
/// bytes; the date in its header is therefore fixed.
std::string step_of(const Solids& solids);

}  // namespace roomloom
