#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <string>

namespace roomloom::testing {

struct Outcome {
  int status = -1;
  std::string text;  ///< standard output, and standard error when asked for
};

/// Runs the program with these arguments, through the shell, without a terminal.
inline Outcome call(const std::string& arguments, bool with_errors = true) {
  const std::string command = std::string(ROOMLOOM_BIN_DIR) + "/roomloom " + arguments +
                              (with_errors ? " 2>&1" : " 2>/dev/null") + " </dev/null";
  Outcome outcome;
  FILE* pipe = popen(command.c_str(), "r");
  std::array<char, 4096> buffer{};
  for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) {
    outcome.text.append(buffer.data(), n);
  }
  const int status = pclose(pipe);
  outcome.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return outcome;
}

}  // namespace roomloom::testing
