// Confines itself to the folder given and prints a letter for each thing that it could still do.

#include <arpa/inet.h>
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <string>

#include "reader/confine.h"

namespace {

bool can_open(const std::filesystem::path& file, int flags) {
  const int opened = ::open(file.c_str(), flags, 0600);
  if (opened >= 0) ::close(opened);
  return opened >= 0;
}

bool can_map(std::size_t bytes) {
  void* memory = ::mmap(nullptr, bytes, PROT_READ, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
  if (memory == MAP_FAILED) return false;
  ::munmap(memory, bytes);
  return true;
}

}  // namespace

int main(int, char** words) {
  const std::filesystem::path folder = words[1];
  roomloom::confine({0.5, 5, {folder}});
  std::string able;
  if (can_open(folder / "inside", O_RDONLY)) able += 'i';
  if (can_map(std::size_t{100} << 20)) able += 'm';
  if (can_open(folder / "../outside", O_RDONLY)) able += 'o';
  if (can_open("/etc/passwd", O_RDONLY)) able += 'p';
  if (can_open(folder / "new", O_WRONLY | O_CREAT)) able += 'w';
  if (::unlink((folder / "inside").c_str()) == 0) able += 'u';
  if (::socket(AF_INET, SOCK_STREAM, 0) >= 0) able += 's';
  if (::socket(AF_UNIX, SOCK_STREAM, 0) >= 0) able += 'x';
  if (can_map(std::size_t{600} << 20)) able += 'M';
  char* const program[] = {const_cast<char*>("/bin/echo"), const_cast<char*>("e"), nullptr};
  std::fputs(able.c_str(), stdout);
  std::fflush(stdout);
  ::execv("/bin/echo", program);
  return 0;
}
