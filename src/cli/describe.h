#pragma once

#include <string>

namespace CLI {
class App;
}

namespace roomloom::cli {

/// What the command line says of itself, made from the same definitions that read it: "man" (a
/// manual page in roff), "bash", "zsh" or "fish" (what completes a line in that shell). Empty for
/// any other word.
std::string describe(const CLI::App& app, const std::string& what, const std::string& version);

}  // namespace roomloom::cli
