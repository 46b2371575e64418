#pragma once

#include <filesystem>
#include <string>

namespace roomloom::fuzz {

/// Says so and aborts: what libFuzzer and a test take for a fault.
[[noreturn]] void broken_promise(const std::string& what);

/// A file's bytes; a broken promise where it cannot be read.
std::string text_of(const std::filesystem::path& file);

/// The same, of the source tree.
std::string source(const std::string& file);

/// The folder of a small room's result, from which seeds are taken; the room's models in all
/// formats are beside it (../box-room.obj). Whoever needs seeds of that kind names it first, or
/// plans it.
const std::filesystem::path& small_result();
void use_small_result(const std::filesystem::path& folder);

}  // namespace roomloom::fuzz
