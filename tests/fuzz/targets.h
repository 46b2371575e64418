#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

/// The readers of everything that comes from outside, each as one function of any bytes. libFuzzer
/// drives them (scripts/fuzz), and a test feeds them seeds, damaged seeds and all that ever made
/// one of them fail (kept/<target>/).
namespace roomloom::fuzz {

struct Target {
  const char* name;
  /// Reads the bytes to the end. Stops the process (std::abort) where a result breaks its promise;
  /// whatever else stops it is a fault as well.
  void (*read)(std::string_view bytes);
  std::vector<std::string> (*seeds)();  ///< small inputs that are read without an error
};

const std::vector<Target>& targets();

/// Null if there is none of that name.
const Target* find_target(std::string_view name);

/// Bytes of all files in a folder, in the order of their names; none where it is missing.
std::vector<std::pair<std::string, std::string>> files_in(const std::filesystem::path& folder);

}  // namespace roomloom::fuzz
