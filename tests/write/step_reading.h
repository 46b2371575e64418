#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"
#include "types/scene.h"

/// STEP files as OpenCASCADE reads them, for tests: nothing of the writer's code.
namespace roomloom::step_reading {

/// A part that is no assembly, at its place.
struct ReadPart {
  std::string name;
  std::string path;  ///< names of the assemblies above, joined by '/'
  int solids = 0, faces = 0, edges = 0;
  bool valid = false;        ///< BRepCheck
  double volume_m3 = 0;      ///< of the solids
  double edge_length_m = 0;  ///< of all edges, each once
  std::optional<Colour> colour;
  std::vector<std::string> layers;
  Box3 box;  ///< metres
};

/// Empty when it cannot be read.
std::vector<ReadPart> read_parts(const std::string& file);

const ReadPart* find(const std::vector<ReadPart>& parts, const std::string& name);

}  // namespace roomloom::step_reading
