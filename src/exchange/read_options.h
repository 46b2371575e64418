#pragma once

#include <filesystem>
#include <optional>

#include "base/result.h"
#include "exchange/read.h"

// What both sides of the reading process share.
namespace roomloom {

/// By the file name's ending, in any case: .step .stp .p21 .obj .gltf .glb
std::optional<ModelFormat> format_of(const std::filesystem::path& file);

/// @error `options.invalid`
Status check_options(const ReadOptions& options);

/// `model.unknown-format`
Error unknown_format(const std::filesystem::path& file);

/// An Error of base/files.h in the words of read_model.
Error as_model_error(const Error& error);

}  // namespace roomloom
