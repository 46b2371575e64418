#pragma once

#include <filesystem>

#include "exchange/read.h"

namespace roomloom {

/// What a reading process is for: confines this process (confine.h) to `file`'s folder and to the
/// options' limits, reads the file, writes the scene or what is wrong to `descriptor`
/// (scene_stream.h), and ends the process. Needs all shared libraries loaded, and no other thread.
[[noreturn]] void answer_and_leave(const std::filesystem::path& file, const ReadOptions& options,
                                   int descriptor);

}  // namespace roomloom
