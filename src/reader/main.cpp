// roomloom-read FILE [--unit M] [--up y|z] [--chord M] [--memory GB] [--seconds S] [--outside]
//
// Reads one model file and writes the scene, or what is wrong, to descriptor 3 (scene_stream.h).
// Started by read_model; not for people.

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstdio>
#include <filesystem>
#include <new>
#include <string>
#include <string_view>

#include "exchange/read_here.h"
#include "exchange/read_limits.h"
#include "exchange/scene_stream.h"
#include "reader/confine.h"

namespace roomloom {
namespace {

struct Order {
  std::filesystem::path file;
  ReadOptions options;
};

bool read_number(std::string_view word, double& number) {
  const auto [end, status] = std::from_chars(word.data(), word.data() + word.size(), number);
  return status == std::errc() && end == word.data() + word.size();
}

/// False when the words are not an order.
bool read_order(int count, char** words, Order& order) {
  if (count < 2) return false;
  order.file = words[1];
  for (int i = 2; i < count; ++i) {
    const std::string_view word = words[i];
    if (word == "--outside") {
      order.options.allow_outside_references = true;
      continue;
    }
    if (++i >= count) return false;
    const std::string_view value = words[i];
    double number = 0;
    if (word == "--up" && value.size() == 1) {
      order.options.up = value.front();
    } else if (!read_number(value, number)) {
      return false;
    } else if (word == "--unit") {
      order.options.unit_m = number;
    } else if (word == "--chord") {
      order.options.chord_error_m = number;
    } else if (word == "--memory") {
      order.options.memory_limit_gb = number;
    } else if (word == "--seconds") {
      order.options.seconds_limit = number;
    } else {
      return false;
    }
  }
  return true;
}

void confine_for(Order& order) {
  std::error_code failed;
  order.file = std::filesystem::absolute(order.file, failed);
  Confinement limits;
  limits.memory_gb = order.options.memory_limit_gb;
  limits.seconds = order.options.seconds_limit > 0 ? order.options.seconds_limit : 60;
  // The model itself may be a symbolic link to elsewhere.
  limits.readable = {order.file.parent_path(),
                     std::filesystem::weakly_canonical(order.file, failed)};
  if (order.options.allow_outside_references) limits.readable = {"/"};
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
}  // namespace roomloom

int main(int count, char** words) {
  using namespace roomloom;
  Order order;
  if (::fcntl(kAnswerDescriptor, F_GETFD) < 0 || !read_order(count, words, order)) {
    std::fputs("roomloom-read is started by roomloom; run `roomloom --help` instead.\n", stderr);
    return 2;
  }
  try {
    confine_for(order);
    const std::string answer = to_stream(read_model_here(order.file, order.options));
    const bool written = write_all(kAnswerDescriptor, answer);
    // The answer is out: leave before destructors of libraries can fail.
    ::_exit(written ? 0 : 1);
  } catch (const std::bad_alloc&) {
    ::_exit(kExitOutOfMemory);
  }
}
