#pragma once

#include <vector>

#include "types/catalogue.h"
#include "types/scene.h"

namespace roomloom {

/// One colour a service, told apart by the colour-blind too; linear RGB.
/// Source: M. Okabe, K. Ito, "Color Universal Design (CUD): How to make figures and presentations
/// that are friendly to colorblind people", 2008, palette of eight colours (sRGB bytes).
Colour service_colour(Service service);

/// Dash, gap, ... of a service's line in millimetres on paper, for those who do not tell the
/// colours apart; empty = continuous.
std::vector<double> service_dash(Service service);

/// Greys for what is no cable: raceway, supports, leaders.
Colour grey(int srgb_byte);

}  // namespace roomloom
