#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "base/result.h"
#include "types/scene.h"

namespace roomloom {

/// How a model file is to be read, and within which limits.
struct ReadOptions {
  std::optional<double> unit_m;  ///< metres a file unit; overrules what the file says or we guess
  std::optional<char> up;        ///< 'y' or 'z'; overrules likewise
  double chord_error_m = 0.002;  ///< STEP: largest distance of a triangle from its curved face
  /// Address space of the reading process. Half of it caps the file and the answer, so that this
  /// process keeps to it as well.
  double memory_limit_gb = 4;
  /// Processor seconds the reading process may use; 0 chooses from the file's size: 6 s, and 4 s
  /// more for each megabyte past the first half. On a busy machine the clock may show more; at
  /// three times as much, plus two seconds, it is killed all the same.
  double seconds_limit = 0;
  /// Follow references (glTF buffers, OBJ material libraries) out of the model's folder.
  bool allow_outside_references = false;
  /// Path of `roomloom-read`. Empty: the variable ROOMLOOM_READER, else beside the running program,
  /// else its ../libexec/roomloom and ../libexec, else where it was installed.
  std::string reader_program;
  /// Read in this process instead, without limits: `&read_model_here` of "exchange/read_here.h"
  /// (library roomloom_readers). For sanitizers and fuzzing. Null: by the reading process.
  Result<Scene> (*in_process)(const std::filesystem::path&, const ReadOptions&) = nullptr;
};

/// Reads a STEP (.step, .stp, .p21), OBJ (.obj), glTF (.gltf) or GLB (.glb) file into metres, Z up.
///
/// Foreign libraries see the file only in a process of its own, which has limits on time and
/// memory, no network, cannot start programs, and sees only the model's folder; its answer is
/// checked before it is believed. What was guessed, dropped or lost is told in Scene::notes.
///
/// @return  every index in range, every number finite; parts in the file's order.
/// @error   `model.missing` no such file · `model.unreadable` cannot be opened or read ·
///          `model.unknown-format` · `model.syntax` breaks its format's rules · `model.unsupported`
///          a part of the format we cannot read · `model.empty` nothing to plan with ·
///          `model.outside-reference` · `model.missing-reference` · `model.too-large` ·
///          `model.too-slow` · `model.crashed-reader` · `model.bad-answer` the reading process
///          answered nonsense · `reader.missing` roomloom-read was not found ·
///          `options.invalid` an option is out of range.
Result<Scene> read_model(const std::filesystem::path& file, const ReadOptions& options = {});

}  // namespace roomloom
