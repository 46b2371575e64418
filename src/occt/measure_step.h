#pragma once

#include <string>
#include <vector>

#include "base/result.h"

namespace roomloom {

/// A solid of a STEP file as OpenCASCADE judges it.
struct StepSolid {
  std::string name;      ///< of its representation item
  bool valid = false;    ///< BRepCheck finds nothing wrong
  bool closed = false;   ///< each shell is
  double volume_m3 = 0;  ///< by its mass properties; negative when its faces look inwards
};

/// Reads a STEP file of our own making afresh and judges every solid in it, in file order.
/// @error `model.syntax` the library cannot read or transfer it.
Result<std::vector<StepSolid>> measure_step_solids(const std::string& text);

}  // namespace roomloom
