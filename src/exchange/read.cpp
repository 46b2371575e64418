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
  // A file of more than half the memory is never read: what it holds takes at least as much again.
  const auto largest = static_cast<std::uint64_t>(options.memory_limit_gb * 1e9 / 2);
  Result<std::string> bytes = read_file(file, largest);
  if (!bytes) return as_model_error(bytes.error());
  const std::string digest = sha256(*bytes);
  const std::size_t size = bytes->size();
  *bytes = std::string();  // not held while the scene takes its place
  Result<Scene> scene = options.in_process != nullptr
                            ? options.in_process(file, options)
                            : read_in_process_of_its_own(file, options, size);
  if (!scene) return scene;
  // Said by this side, whatever the other one says.
  scene->source.path = file.string();
  scene->source.sha256 = digest;
  return scene;
}

}  // namespace roomloom
