#pragma once

#include <filesystem>

#include "base/result.h"
#include "exchange/read.h"

namespace roomloom {

/// As read_model, but in this process and without limits: what `roomloom-read` does, and what
/// sanitizers and fuzzers call. A damaged STEP file can crash or stop the caller.
/// Library roomloom_readers.
Result<Scene> read_model_here(const std::filesystem::path& file, const ReadOptions& options);

}  // namespace roomloom
