#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "base/result.h"

namespace roomloom {

/// From where a model may fetch the files that it refers to.
struct ReferenceFolder {
  std::filesystem::path folder;  ///< of the model
  bool allow_outside = false;    ///< follow references out of it
};

/// The content of a file that a model refers to.
///
/// @param reference  as in the file: a relative path or, with `percent_encoded`, a URI reference.
/// @error `model.outside-reference` leads out of the folder (also through a symbolic link), or is
/// an
///        address of the network · `model.missing-reference` no such file, or unreadable.
Result<std::string> read_reference(const ReferenceFolder& place, std::string_view reference,
                                   bool percent_encoded);

/// The bytes of a `data:` URI. @error `model.syntax` not base64.
Result<std::string> read_data_uri(std::string_view uri);

}  // namespace roomloom
