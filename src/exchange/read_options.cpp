#include "exchange/read_options.h"

#include <algorithm>
#include <cmath>

namespace roomloom {

std::optional<ModelFormat> format_of(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  if (ending == ".step" || ending == ".stp" || ending == ".p21") return ModelFormat::step;
  if (ending == ".obj") return ModelFormat::obj;
  if (ending == ".gltf") return ModelFormat::gltf;
  if (ending == ".glb") return ModelFormat::glb;
  return std::nullopt;
}

Status check_options(const ReadOptions& options) {
  const auto invalid = [](const std::string& what) {
    return Error{"options.invalid", what, "", "Correct the option."};
  };
  const auto within = [](double value, double low, double high) {
    return value >= low && value <= high;  // false for NaN
  };
  if (options.unit_m && !within(*options.unit_m, 1e-6, 1e4))
    return invalid("A file unit must be between a micrometre and 10 km.");
  if (options.up && *options.up != 'y' && *options.up != 'z')
    return invalid("The up axis must be y or z.");
  if (!within(options.chord_error_m, 1e-5, 1))
    return invalid("The chord error must be between 0.01 mm and 1 m.");
  if (!within(options.memory_limit_gb, 0.25, 1024))
    return invalid("The memory limit must be between 0.25 and 1024 GB.");
  if (!within(options.seconds_limit, 0, 86400))
    return invalid("The time limit must be between 0 and 86400 seconds.");
  return Done{};
}

Error unknown_format(const std::filesystem::path& file) {
  return {"model.unknown-format", "The name does not end in .step, .stp, .obj, .gltf or .glb.",
          file.string(), "Export the model in one of these formats."};
}

Error as_model_error(const Error& error) {
  Error out = error;
  if (error.code == "file.missing") {
    out.code = "model.missing";
  } else if (error.code == "file.too-large") {
    out.code = "model.too-large";
  } else {
    out.code = "model.unreadable";
  }
  return out;
}

}  // namespace roomloom
