// write_seeds FOLDER: the seeds and kept inputs of each target as files FOLDER/<target>/<n>, for
// libFuzzer to start from, and the small room's result as FOLDER/result.

#include <cstdio>
#include <fstream>

#include "fuzz/seeds.h"
#include "fuzz/small_room.h"
#include "fuzz/targets.h"

int main(int count, char** words) {
  using namespace roomloom::fuzz;
  if (count != 2) return std::fputs("write_seeds FOLDER\n", stderr), 2;
  const SmallRoom room;
  for (const Target& target : targets()) {
    const std::filesystem::path folder = std::filesystem::path(words[1]) / target.name;
    std::filesystem::create_directories(folder);
    int number = 0;
    for (const std::string& seed : target.seeds())
      std::ofstream(folder / ("seed-" + std::to_string(number++)), std::ios::binary) << seed;
    for (const auto& [name, bytes] :
         files_in(std::string(ROOMLOOM_SOURCE_DIR "/tests/fuzz/kept/") + target.name))
      std::ofstream(folder / ("kept-" + name), std::ios::binary) << bytes;
    std::puts(target.name);
  }
  std::filesystem::copy(
      small_result(), std::filesystem::path(words[1]) / "result",
      std::filesystem::copy_options::recursive | std::filesystem::copy_options::overwrite_existing);
  return 0;
}
