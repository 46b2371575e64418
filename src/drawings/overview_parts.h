#pragma once

#include "drawings/drawings.h"
#include "drawings/raster.h"

namespace roomloom {

/// Floors, walls and slopes whose faces look toward the viewer, with some thickness behind them so
/// that the cut reads as one. `toward` is a unit vector.
void draw_shell(Raster& raster, const DrawingRequest& request, const Vec3& toward);

/// What stands or hangs in the room, and the gear. First call: what is solid; second call: what is
/// shown through (curtains, windows, what lies above a ceiling).
void draw_furnishing(Raster& raster, const DrawingRequest& request, const Vec3& toward,
                     bool see_through);

/// What is cut away, as dashed outlines, and the lines of the tiles, so that one sees what lies
/// above them.
void draw_outlines(Raster& raster, const DrawingRequest& request, const Vec3& toward);

}  // namespace roomloom
