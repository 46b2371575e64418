#pragma once

#include <filesystem>
#include <vector>

namespace roomloom {

/// Limits on this process, from here on and for good.
struct Confinement {
  double memory_gb = 4;  ///< address space
  double seconds = 60;   ///< processor time
  /// The only folders and files that may be opened, for reading, and what lies beneath them.
  std::vector<std::filesystem::path> readable;
};

/// Takes from this process what a file that takes it over could abuse: more memory and time than
/// allowed, writing files, files not named (Landlock, Linux 5.13), the network, starting
/// programs, tracing others (seccomp). Where the kernel lacks Landlock or seccomp, the remaining
/// limits still hold. All shared libraries must be loaded by now.
void confine(const Confinement& limits);

}  // namespace roomloom
