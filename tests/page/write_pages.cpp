// Writes report.html of rooms that the browser's tests open: the demo rooms, one beside other plans
// of it, one with hostile names, and a floor of a thousand runs; and overview.png of the demo
// rooms. Argument: the folder to write into.
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "page/rooms.h"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("write_pages FOLDER\n", stderr);
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  std::filesystem::create_directories(folder);
  const auto write = [&](const std::string& name, const std::string& page) {
    std::ofstream(folder / (name + ".html"), std::ios::binary) << page;
    std::printf("%s.html %zu bytes\n", name.c_str(), page.size());
    return !page.empty();
  };
  bool good = true;
  for (const char* room : {"alder-hall", "classroom", "attic-studio"})
    good &= write(room, roomloom::testing::page_of_demo(
                            room, folder / (std::string(room) + "-overview.png")));
  good &= write("compared", roomloom::testing::page_of_demo("alder-hall", {}, true));
  good &= write("hostile", roomloom::testing::page_of_hostile_names());
  good &= write("thousand", roomloom::testing::page_of_floor(1000));
  return good ? 0 : 1;
}
