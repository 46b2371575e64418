#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "types/scene.h"

namespace roomloom {

/// A scene, or the Error instead of it, as bytes for the pipe between `roomloom-read` and its
/// parent: a mark and a version, then every field in the order of types/scene.h, then the mark
/// again. Numbers are in the machine's own order, since both ends run on it.
std::string to_stream(const Result<Scene>& scene);

/// Reads it back and believes nothing: every length is compared with what is there before memory is
/// taken, every index and range is checked, every number must be finite, every text UTF-8.
///
/// @param file  for the Error's `where`.
/// @error `model.bad-answer`, or the Error that was sent.
Result<Scene> from_stream(std::string_view bytes, const std::string& file);

}  // namespace roomloom
