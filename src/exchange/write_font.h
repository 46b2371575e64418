#pragma once

#include <string_view>
#include <vector>

#include "base/vec.h"

namespace roomloom {

/// A stroke's width as a fraction of a capital's height.
constexpr double kStrokeWidth = 0.13;

/// Text as polylines: x to the right and y up, in heights of a capital, the base of the first line
/// at y = 0. Covers ASCII, the accented letters of western and most of central Europe and a few
/// signs; any other code point is a box. A line feed starts a line below. Own drawing: every letter
/// is made of straight strokes on a grid of 5 x 10.
std::vector<std::vector<Vec2>> text_strokes(std::string_view utf8);

}  // namespace roomloom
