#pragma once

#include <filesystem>
#include <string>

#include "base/result.h"
#include "exchange/read.h"

namespace roomloom {

/// Starts `roomloom-read` on `file` and collects what it writes; kills it when it takes too long or
/// answers too much. Never forks: the caller may have threads.
///
/// @param bytes  the file's size, from which the time limit follows.
/// @return  its answer, unchecked: see scene_stream.h.
/// @error   `reader.missing` · `model.too-slow` · `model.too-large` · `model.crashed-reader`
Result<std::string> answer_of_reader(const std::filesystem::path& file, const ReadOptions& options,
                                     std::size_t bytes);

/// Collects what the reading process writes to the pipe `answer`, waits for its end, and kills it
/// when it takes too long or answers too much. Returns and errors as above.
///
/// @param seconds  processor seconds that it limits itself to.
Result<std::string> hear_out(int process, int answer, const std::filesystem::path& file,
                             const ReadOptions& options, double seconds);

/// Processor seconds that reading a file of this size may take, unless the options say otherwise.
double seconds_allowed(const ReadOptions& options, std::size_t bytes);

}  // namespace roomloom
