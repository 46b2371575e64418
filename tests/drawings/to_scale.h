#pragma once

#include "drawings/held_sheet.h"

namespace roomloom::testing {

/// How many things were measured, so that a test can tell that it looked at some.
struct Measured {
  int sheets = 0, dimensions = 0, ends = 0, holes = 0, raceways = 0, cables = 0, ports = 0,
      lines = 0;
};

/// Measures a sheet's SVG and holds every length against the model's, to 0.5 mm at the model's
/// size: dimensions (the line as well as its figure), ends, holes, raceway, tiles, cut faces of
/// cables, ports, and the way of every line.
void expect_to_scale(const HeldSheet& sheet, const DrawingRequest& request, Measured& measured);

}  // namespace roomloom::testing
