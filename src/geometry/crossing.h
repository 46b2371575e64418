#pragma once

#include "base/vec.h"

namespace roomloom {

/// Where two segments cross, if they do (ends count, within a tenth of a millimetre). Metres.
bool crossing_point(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d, Vec2& at);

}  // namespace roomloom
