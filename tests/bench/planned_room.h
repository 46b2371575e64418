#pragma once

#include <cstdio>
#include <filesystem>
#include <optional>
#include <utility>

#include "pipeline/roomloom.h"

namespace roomloom {

/// A job planned quickly, for its tracks and ends; tells on standard error why it cannot be.
/// @param program  this program, beside which the reader lies
inline std::optional<PlannedRoom> planned_room(const char* program, const char* job) {
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.compare_variants = false;
  options.reader_program = std::filesystem::path(program).parent_path() / "roomloom-read";
  auto planned = plan_job(job, options);
  if (planned) return std::move(*planned);
  std::fprintf(stderr, "%s\n", to_text(planned.error()).c_str());
  return std::nullopt;
}

}  // namespace roomloom
