#pragma once

#include <string>
#include <utility>
#include <vector>

#include "base/vec.h"

namespace roomloom::testing {

/// What a sheet's SVG file holds, read from its text alone: millimetres on paper, y down.
struct SvgPath {
  std::string name;
  std::vector<Vec2> points;
  bool closed = false;
  bool dashed = false;
};
struct SvgCircle {
  std::string name;
  Vec2 centre;
  double radius = 0;
};
struct SvgText {
  std::string text;
  Vec2 at;
};
struct SvgSheet {
  std::vector<SvgPath> paths;
  std::vector<SvgCircle> circles;
  std::vector<SvgText> texts;

  std::vector<const SvgPath*> paths_named(const std::string& start) const;
  std::vector<const SvgCircle*> circles_named(const std::string& start) const;
};

SvgSheet read_svg(const std::string& svg);

/// Corners of the box round the points.
std::pair<Vec2, Vec2> bounds_of(const std::vector<Vec2>& points);

}  // namespace roomloom::testing
