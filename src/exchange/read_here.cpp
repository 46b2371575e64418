#include "exchange/read_here.h"

#include <algorithm>
#include <new>

#include "base/files.h"
#include "exchange/read_clean.h"
#include "exchange/read_gltf.h"
#include "exchange/read_guess.h"
#include "exchange/read_obj.h"
#include "exchange/read_options.h"
#include "occt/part21_check.h"
#include "occt/read_step.h"

namespace roomloom {
namespace {

Result<Scene> read_step_text(const std::string& text, const std::string& file,
                             const ReadOptions& options) {
  const Result<Part21Facts> facts = check_part21(text, file);
  if (!facts) return facts.error();
  return read_step(text, file, *facts, options.chord_error_m);
}

Result<Scene> read_by_format(const std::string& bytes, const std::filesystem::path& path,
                             const ReadOptions& options) {
  const std::string file = path.string();
  const ReferenceFolder references{path.has_parent_path() ? path.parent_path() : ".",
                                   options.allow_outside_references};
  const std::optional<ModelFormat> format = format_of(path);
  if (!format) return unknown_format(path);
  if (bytes.empty())
    return Error{"model.empty", "The file is empty.", file, "Export the model again."};
  switch (*format) {
    case ModelFormat::step:
      return read_step_text(bytes, file, options);
    case ModelFormat::obj:
      return read_obj(bytes, file, references);
    case ModelFormat::gltf:
    case ModelFormat::glb:
      return read_gltf(bytes, file, references);
  }
  return unknown_format(path);
}

/// Parts that the file leaves nameless are called by their place in it: a job has to name what it
/// says something of.
void name_the_nameless(Scene& scene) {
  std::size_t nameless = 0;
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    Part& part = scene.parts[i];
    if (!part.name.empty()) continue;
    part.name = "part " + std::to_string(i + 1);
    if (!part.path.empty() && part.path.back() != '/') part.path += '/';
    part.path += part.name;
    ++nameless;
  }
  if (nameless > 0)
    scene.notes.push_back({"reader.nameless",
                           std::to_string(nameless) + " of " + std::to_string(scene.parts.size()) +
                               (scene.parts.size() == 1 ? " part has" : " parts have") +
                               " no name in the file: here they are called \"part 1\", \"part "
                               "2\" and so on, by their place in it, and a job can name them so.",
                           ""});
}

}  // namespace

Result<Scene> read_model_here(const std::filesystem::path& path, const ReadOptions& options) {
  const std::string file = path.string();
  try {
    if (const Status usable = check_options(options); !usable) return usable.error();
    const Result<std::string> bytes = read_file(path);
    if (!bytes) return as_model_error(bytes.error());
    Result<Scene> scene = read_by_format(*bytes, path, options);
    if (!scene) return scene;
    scene->source.path = file;
    if (!scene->parts.empty()) settle_frame(*scene, options);
    if (const Status cleaned = clean(*scene, file); !cleaned) return cleaned.error();
    name_the_nameless(*scene);
    for (Note& note : scene->notes)
      if (note.where.empty()) note.where = file;
    return scene;
  } catch (const std::bad_alloc&) {
    return Error{"model.too-large", "Reading the model needs more memory than allowed.", file,
                 "Give a simpler model or raise the memory limit."};
  }
}

}  // namespace roomloom
