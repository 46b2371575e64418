#include <gtest/gtest.h>
#include <linux/landlock.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <cstdio>

#include "exchange/read_support.h"

namespace roomloom {
namespace {

bool kernel_has_landlock() {
  return ::syscall(__NR_landlock_create_ruleset, nullptr, 0, LANDLOCK_CREATE_RULESET_VERSION) > 0;
}

std::string what_a_confined_process_can_do(const std::filesystem::path& folder) {
  const std::string command = ROOMLOOM_BIN_DIR "/confined_probe '" + folder.string() + "'";
  std::FILE* pipe = ::popen(command.c_str(), "r");
  EXPECT_NE(pipe, nullptr);
  char answer[64] = "";
  if (pipe != nullptr) {
    if (std::fgets(answer, sizeof answer, pipe) == nullptr) answer[0] = '\0';
    ::pclose(pipe);
  }
  return answer;
}

TEST(Confine, LeavesOnlyReadingInTheFolderAndSomeMemory) {
  if (!kernel_has_landlock()) GTEST_SKIP() << "this kernel has no Landlock";
  const TemporaryFolder folder;
  folder.write("in/inside", "x");
  folder.write("outside", "x");
  // i: read within the folder; m: a hundred megabytes. Not: o and p read elsewhere, w write,
  // u remove, s and x sockets, M more memory than allowed, e start a program.
  EXPECT_EQ(what_a_confined_process_can_do(folder.path() / "in"), "im");
  EXPECT_TRUE(std::filesystem::exists(folder.path() / "in/inside"));
}

}  // namespace
}  // namespace roomloom
