#pragma once

#include <string>
#include <vector>

#include "drawings/layout.h"
#include "drawings/trunks.h"

namespace roomloom {

/// Where a tape is held to measure a face of this outline (in the view's plane): its lower left
/// corner, where a plumb and a level side meet. Where the box round it has no such corner, as
/// beside a bay, the one with the longest sides; where there is none at all, the box's.
Vec2 corner_to_measure_from(const std::vector<Vec2>& outline);

/// A coordinate to be read off from a common origin.
struct Reading {
  double metres = 0;  ///< what is written; negative on the origin's other side
  Vec2 from;          ///< on paper: where its extension line starts
};

/// Running dimensions after ISO 129-1: one line from a common origin (a small circle), an arrow
/// and a figure for each reading; `origin` is the place on paper that is read from. Figures are
/// moved apart where they would touch; where there are more than find room they go into the column,
/// in order. Readings within 3 mm of each other are taken as one. `upright`: the line is vertical
/// at x = `line_mm` and figures stand to its left; else it is horizontal at y = `line_mm` and
/// figures stand below, turned by 90 degrees.
void running_dimensions(Work& work, bool upright, double line_mm, const Vec2& origin,
                        std::vector<Reading> readings, const std::string& name);

/// What is read off on a face, from one corner. Points are of the view's plane.
struct FaceReadings {
  Vec2 low{1e30, 1e30}, high{-1e30, -1e30};  ///< box round the outline
  Vec2 corner;
  std::vector<Reading> across, up;
};
/// The face's whole width and height.
FaceReadings readings_of(const Work& work, const std::vector<Vec2>& outline);
/// `plumb`: its distance is read off, `level`: its height.
void add_reading(const Work& work, FaceReadings& face, const Vec2& p, bool level, bool plumb);
/// Adds readings of level and plumb lines where there is none nearby: a line in raceway lies a few
/// millimetres beside the raceway's middle.
void read_lines(const Work& work, const std::vector<const Stretch*>& stretches, FaceReadings& face);
/// Below and to the left of the face; labels without room tell their places from there.
void draw_readings(Work& work, const FaceReadings& face, const std::string& across,
                   const std::string& up);
/// "the lower left corner"
const char* corner_words(const FaceReadings& face);

/// A single dimension along a -> b, which is level or plumb, with strokes at its ends. Its figure
/// is left out where there is no room near its line, which Page::left_out tells by the name, or
/// where it is told elsewhere.
void dimension_between(Work& work, const Vec2& a, const Vec2& b, double metres,
                       const std::string& name, bool with_figure = true);

/// Positions nearest to the wanted ones (ascending) that keep `gap` between neighbours.
std::vector<double> moved_apart(const std::vector<double>& wanted, double gap);
/// Ascending positions `gap` apart, moved as little as puts them all between low and high, which
/// must hold them.
std::vector<double> moved_within(std::vector<double> placed, double gap, double low, double high);

}  // namespace roomloom
