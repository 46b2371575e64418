#include "reader/answer.h"

#include <unistd.h>

#include <cerrno>
#include <new>
#include <string>
#include <string_view>

#include "exchange/read_here.h"
#include "exchange/read_limits.h"
#include "exchange/scene_stream.h"
#include "reader/confine.h"

namespace roomloom {
namespace {

void confine_for(const std::filesystem::path& file, const ReadOptions& options) {
  std::error_code failed;
  Confinement limits;
  limits.memory_gb = options.memory_limit_gb;
  limits.seconds = options.seconds_limit > 0 ? options.seconds_limit : 60;
  // The model itself may be a symbolic link to elsewhere.
  limits.readable = {file.parent_path(), std::filesystem::weakly_canonical(file, failed)};
  if (options.allow_outside_references) limits.readable = {"/"};
  // Where Landlock is missing, at least relative names of external STEP files lead nowhere.
  std::filesystem::current_path("/", failed);
#ifndef ROOMLOOM_WITHOUT_LIMITS
  confine(limits);
#endif
}

bool write_all(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

}  // namespace

void answer_and_leave(const std::filesystem::path& file, const ReadOptions& options,
                      int descriptor) {
  try {
    std::error_code failed;
    const std::filesystem::path whole = std::filesystem::absolute(file, failed);
    confine_for(whole, options);
    const std::string answer = to_stream(read_model_here(whole, options));
    const bool written = write_all(descriptor, answer);
    // The answer is out: leave before destructors of libraries can fail.
    ::_exit(written ? 0 : 1);
  } catch (const std::bad_alloc&) {
    ::_exit(kExitOutOfMemory);
  }
}

}  // namespace roomloom
