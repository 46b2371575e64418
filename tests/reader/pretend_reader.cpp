// Stands in for roomloom-read and misbehaves as the model's name says: crash.obj, hang.obj, …

#include <signal.h>
#include <unistd.h>

#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>

#include "exchange/read_limits.h"

int main(int count, char** words) {
  using roomloom::kAnswerDescriptor;
  const std::string manner = count > 1 ? std::filesystem::path(words[1]).stem().string() : "";
  if (manner == "crash") ::raise(SIGSEGV);
  if (manner == "abort") std::abort();
  if (manner == "busy") ::raise(SIGXCPU);
  if (manner == "out-of-memory") return roomloom::kExitOutOfMemory;
  if (manner == "hang")
    while (true) ::pause();
  if (manner == "starved") {  // as on a busy machine: some processor time now and then
    for (int second = 0; second < 4; ++second) {
      const std::clock_t start = std::clock();
      while (std::clock() - start < CLOCKS_PER_SEC / 100) continue;
      ::sleep(1);
    }
  }
  if (manner == "flood") {
    const std::string block(1 << 20, 'x');
    while (::write(kAnswerDescriptor, block.data(), block.size()) > 0) continue;
  }
  if (manner == "garbage") return ::write(kAnswerDescriptor, "hello", 5) == 5 ? 0 : 1;
  return 0;  // "silent"
}
