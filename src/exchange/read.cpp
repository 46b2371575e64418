#include "exchange/read.h"

#include <algorithm>
#include <system_error>

#include "base/files.h"
#include "base/sha256.h"
#include "exchange/read_options.h"
#include "exchange/read_process.h"
#include "exchange/scene_stream.h"

namespace roomloom {
namespace {

Result<Scene> read_in_process_of_its_own(const std::filesystem::path& file,
                                         const ReadOptions& options, std::size_t bytes) {
  const Result<std::string> answer = answer_of_reader(file, options, bytes);
  if (!answer) return answer.error();
  return from_stream(*answer, file.string());
}

}  // namespace

Result<Scene> read_model(const std::filesystem::path& file, const ReadOptions& options) {
  if (const Status usable = check_options(options); !usable) return usable.error();
  if (!format_of(file)) return unknown_format(file);
  const Result<std::string> bytes = read_file(file);
  if (!bytes) return as_model_error(bytes.error());
  Result<Scene> scene = options.in_process != nullptr
                            ? options.in_process(file, options)
                            : read_in_process_of_its_own(file, options, bytes->size());
  if (!scene) return scene;
  // Said by this side, whatever the other one says.
  scene->source.path = file.string();
  scene->source.sha256 = sha256(*bytes);
  return scene;
}

}  // namespace roomloom
