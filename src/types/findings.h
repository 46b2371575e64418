#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace roomloom {

enum class Level { must, should, note };
inline const char* to_string(Level level) {
  return level == Level::must ? "must" : level == Level::should ? "should" : "note";
}

/// What a check found. Ids are our own and stable ("bend-radius").
struct Finding {
  std::string id;
  Level level = Level::note;
  std::string text;     ///< one sentence with the figure and the limit
  std::string subject;  ///< run, hole or part
  std::optional<Vec3> where;
  std::string remedy;
  std::string source;  ///< publication, or "common practice, no source"
  /// What was found and what was wanted, where they can be held against one another: "6.2 %" and
  /// "5.0 %". In the user's units; empty where there is nothing to measure.
  std::string figure = {}, limit = {};
};

struct Findings {
  std::vector<Finding> items;
  int quiet = 0;  ///< checks that had nothing to say
};

}  // namespace roomloom
