#include "fuzz/seeds.h"

#include <cstdio>
#include <cstdlib>

#include "base/files.h"

namespace roomloom::fuzz {
namespace {

namespace fs = std::filesystem;

fs::path& named_result() {
  static fs::path folder;
  return folder;
}

}  // namespace

void broken_promise(const std::string& what) {
  std::fprintf(stderr, "broken promise: %s\n", what.c_str());
  std::abort();
}

std::string text_of(const fs::path& file) {
  auto text = read_file(file);
  if (!text) broken_promise("no seed: " + to_text(text.error()));
  return std::move(*text);
}

std::string source(const std::string& file) {
  return text_of(fs::path(ROOMLOOM_SOURCE_DIR) / file);
}

const fs::path& small_result() {
  if (named_result().empty()) broken_promise("nobody has said where the small room's result is");
  return named_result();
}

void use_small_result(const fs::path& folder) { named_result() = folder; }

}  // namespace roomloom::fuzz
