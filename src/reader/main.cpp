// roomloom-read FILE [--unit M] [--up y|z] [--chord M] [--memory GB] [--seconds S] [--outside]
//
// Reads one model file and writes the scene, or what is wrong, to descriptor 3 (scene_stream.h).
// Started by read_model; not for people.

#include <fcntl.h>

#include <charconv>
#include <cstdio>
#include <filesystem>
#include <string>
#include <string_view>

#include "exchange/read_limits.h"
#include "reader/answer.h"

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

}  // namespace
}  // namespace roomloom

int main(int count, char** words) {
  using namespace roomloom;
  Order order;
  if (::fcntl(kAnswerDescriptor, F_GETFD) < 0 || !read_order(count, words, order)) {
    std::fputs("roomloom-read is started by roomloom; run `roomloom --help` instead.\n", stderr);
    return 2;
  }
  answer_and_leave(order.file, order.options, kAnswerDescriptor);
}
