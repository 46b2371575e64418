#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/vec.h"

/// GLB and OBJ files as Assimp reads them, for tests: nothing of the writer's code.
namespace roomloom::assimp_reading {

struct ReadNode {
  std::string name, parent;
  std::map<std::string, std::string> texts;
  std::map<std::string, double> numbers;
  std::size_t triangles = 0;
  double line_length = 0;  ///< sum of the segments of its line primitives, file units
  Box3 box;                ///< file coordinates
  bool outward = true;     ///< every triangle's corners turn the way its normals look
};

/// Empty when it cannot be read; `error` then says why.
std::vector<ReadNode> read_nodes(const std::string& file, std::string& error);

const ReadNode* find(const std::vector<ReadNode>& nodes, const std::string& name);

}  // namespace roomloom::assimp_reading
