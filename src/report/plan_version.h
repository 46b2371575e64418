#pragma once

#include <nlohmann/json.hpp>

namespace roomloom {

/// Of plan.json, as it is written and at most read.
constexpr int kPlanVersion = 1;

/// What a document says under "version"; 0 = nothing, -1 = no number.
inline double version_of(const nlohmann::ordered_json& document) {
  const auto version = document.find("version");
  if (version == document.end()) return 0;
  return version->is_number() ? version->get<double>() : -1;
}

}  // namespace roomloom
