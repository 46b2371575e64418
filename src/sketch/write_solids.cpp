#include <algorithm>
#include <cctype>

#include "base/files.h"
#include "sketch/sketch.h"
#include "sketch/write_glb.h"
#include "sketch/write_obj.h"
#include "sketch/write_step.h"

namespace roomloom {
namespace {

std::string lower_extension(const std::filesystem::path& file) {
  std::string extension = file.extension().string();
  std::transform(extension.begin(), extension.end(), extension.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return extension;
}

/// The library first: an OBJ never names one that is not there.
Status write_obj_files(const Solids& solids, const std::filesystem::path& file) {
  const std::filesystem::path library = std::filesystem::path(file).replace_extension(".mtl");
  const ObjTexts texts = obj_of(scene_of(solids), library.filename().string());
  const Status written = write_file(library, texts.mtl);
  return written ? write_file(file, texts.obj) : written;
}

}  // namespace

Status write_solids(const Solids& solids, const std::filesystem::path& file) {
  const std::string extension = lower_extension(file);
  if (extension == ".step" || extension == ".stp") return write_file(file, step_of(solids));
  if (extension == ".glb") return write_file(file, glb_of(scene_of(solids)));
  if (extension == ".obj") return write_obj_files(solids, file);
  return Error{"sketch.unknown-format", "A model cannot be written as \"" + extension + "\".",
               file.string(), "Use a name that ends in .step, .obj or .glb."};
}

}  // namespace roomloom
