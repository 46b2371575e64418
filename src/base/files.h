#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

#include "base/result.h"

namespace roomloom {

/// The whole of a regular file. Pipes and devices are refused, so that reading always ends.
/// @error `file.missing` · `file.not-regular` · `file.too-large` above `limit_bytes` ·
///        `file.unreadable`
Result<std::string> read_file(const std::filesystem::path& file,
                              std::uint64_t limit_bytes = std::uint64_t{4} << 30);

/// Puts `content` at `file`, whole or not at all: written to a temporary name in the same folder,
/// flushed to the disk, then renamed. An older file there is replaced; a symbolic link is replaced
/// itself, not what it points to.
/// @error `file.unwritable`, with the system's reason; the older file is then untouched.
Status write_file(const std::filesystem::path& file, std::string_view content);

}  // namespace roomloom
