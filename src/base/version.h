#pragma once

#include <optional>
#include <string>

#include "base/result.h"

namespace roomloom {

/// What is wrong with a file because of the version that it carries. A file without one is older
/// than versions are, and opens; nothing is wrong with the newest version or any before it.
///
/// @param found  the version that the file names; 0 = none
/// @param newest  the newest that this program reads
/// @param kind  "job", "plan": what the file is
/// @param where  the file
/// @error `version.newer` · `version.wrong` it is no whole number from 1 on
inline std::optional<Error> version_problem(double found, int newest, const std::string& kind,
                                            const std::string& where) {
  if (found == 0 || (found >= 1 && found <= newest && found == static_cast<int>(found)))
    return std::nullopt;
  if (!(found > newest) || found > 1e6 || found != static_cast<int>(found))
    return Error{"version.wrong", "This is no version of a " + kind + ": versions count from 1.",
                 where, "Write \"version\": " + std::to_string(newest) + "."};
  return Error{"version.newer",
               "This " + kind + " is of version " + std::to_string(static_cast<int>(found)) +
                   ", and this program reads them up to version " + std::to_string(newest) + ".",
               where,
               "A newer roomloom wrote it: install that one (roomloom --version says which this "
               "is), or make the " +
                   kind + " again with this one."};
}

}  // namespace roomloom
