#pragma once

#include <optional>
#include <string>
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

/// "white", "dark brown" or "#f0ece0" as a colour; nothing if it is none. Words: the colours of
/// cables, walls and raceway, typical values (common practice, no source).
std::optional<Colour> colour_named(const std::string& text);
/// The words that colour_named knows.
std::vector<std::string> colour_words();

/// CIE 1976 colour difference (L*a*b*, D65). ISO/CIE 11664-4; 100 between black and white.
double colour_difference(const Colour& a, const Colour& b);

/// How much a thing shows against its background, 1 down to `blending` where they are alike; 1
/// where either colour is not known. From a difference of 50 on it stands out in full (common
/// practice, no source).
double contrast_weight(const std::optional<Colour>& thing, const std::optional<Colour>& background,
                       double blending);

/// Greys for what is no cable: raceway, supports, leaders.
Colour grey(int srgb_byte);

}  // namespace roomloom
