#pragma once

#include <string>

#include "base/result.h"
#include "occt/part21_check.h"
#include "types/scene.h"

namespace roomloom {

/// Reads a STEP file (AP203, AP214, AP242) through OpenCASCADE: product tree, names, colours,
/// layers, instances with their places, solids and faces as triangles, loose wires and edges as
/// curves, loose points as markers.
///
/// One Part a leaf product instance; where the solids of one product carry names of their own, one
/// a solid, in a group named after the product. An instance's name wins over its product's where it
/// says more than a counter.
///
/// Call it only with text that passed check_part21, and best in a process of its own: a file that
/// breaks the schema's rules can still crash the library.
///
/// @param text           the whole file.
/// @param file           its name, for messages only.
/// @param facts          what check_part21 said; what comes through is counted against it.
/// @param chord_error_m  in (0, 1]: largest distance of a triangle from its curved face, or of a
///                       polyline from its curve.
/// @return  points in metres, in the file's own axes; Source::unit_m and schema set; triangles not
///          yet cleaned, closure not yet judged. Source::path and sha256 are left to the caller.
/// @error   `model.syntax` · `model.too-large` out of memory · `model.empty` nothing was
/// transferred.
Result<Scene> read_step(const std::string& text, const std::string& file, const Part21Facts& facts,
                        double chord_error_m);

}  // namespace roomloom
