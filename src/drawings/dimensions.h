#pragma once

#include <string>
#include <vector>

#include "drawings/layout.h"
#include "drawings/trunks.h"

namespace roomloom {

/// A coordinate to be read off from a common origin.
struct Reading {
  double metres = 0;  ///< what is written
  Vec2 from;          ///< on paper: where its extension line starts
};

/// Running dimensions after ISO 129-1: one line from a common origin (a small circle), an arrow
/// and a figure for each reading. Figures are moved apart where they would touch; where there are
/// more than find room they go into the column, in order. Readings within 3 mm of each other are
/// taken as one. `upright`: the line is vertical at x = `line_mm` and figures stand to its left;
/// else it is horizontal at y = `line_mm` and figures stand below, turned by 90 degrees.
void running_dimensions(Work& work, bool upright, double line_mm, const Vec2& origin,
                        std::vector<Reading> readings, const std::string& name);

/// Adds readings of level and plumb lines, from `low` in the plane of the view's frame, where there
/// is none nearby: a line in raceway lies a few millimetres beside the raceway's middle.
void read_lines(const Work& work, const std::vector<const Stretch*>& stretches, const Vec2& low,
                std::vector<Reading>& across, std::vector<Reading>& up);

/// A single dimension along a -> b, which is level or plumb, with strokes at its ends. Its figure
/// must stand in the column as well, since it is left out where there is no room near its line.
void dimension_between(Work& work, const Vec2& a, const Vec2& b, double metres,
                       const std::string& name);

/// Positions nearest to the wanted ones (ascending) that keep `gap` between neighbours.
std::vector<double> moved_apart(const std::vector<double>& wanted, double gap);
/// Ascending positions `gap` apart, moved as little as puts them all between low and high, which
/// must hold them.
std::vector<double> moved_within(std::vector<double> placed, double gap, double low, double high);

}  // namespace roomloom
