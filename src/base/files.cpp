#include "base/files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <system_error>

namespace roomloom {
namespace {

/// An open file descriptor, closed when it goes out of scope.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  int close() { return ::close(std::exchange(number_, -1)); }

 private:
  int number_;
};

std::string system_reason() { return std::generic_category().message(errno); }

Error unreadable(const std::filesystem::path& file) {
  return {"file.unreadable", "Cannot be read: " + system_reason() + ".", file.string(),
          "Check that it exists and that you may read it."};
}

Error unwritable(const std::filesystem::path& file) {
  return {"file.unwritable", "Cannot be written: " + system_reason() + ".", file.string(),
          "Check the folder's rights and the free space."};
}

bool write_all(int descriptor, std::string_view content) {
  while (!content.empty()) {
    const ssize_t written = ::write(descriptor, content.data(), content.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return false;
    content.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

/// The folder's own entry must reach the disk too, or the rename may be lost in a power cut.
void flush_folder(const std::filesystem::path& folder) {
  const Descriptor opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (opened.number() >= 0) ::fsync(opened.number());
}

std::filesystem::path temporary_beside(const std::filesystem::path& file) {
  static std::atomic<unsigned> counter{0};
  return file.parent_path() / ("." + file.filename().string() + "." + std::to_string(::getpid()) +
                               "-" + std::to_string(counter++) + ".tmp");
}

}  // namespace

Result<std::string> read_file(const std::filesystem::path& file, std::uint64_t limit_bytes) {
  // O_NONBLOCK: opening a pipe without a writer would otherwise wait for ever.
  const Descriptor opened(::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
  if (opened.number() < 0) {
    if (errno != ENOENT && errno != ENOTDIR) return unreadable(file);
    return Error{"file.missing", "There is no such file.", file.string(), "Check the path."};
  }
  struct stat facts {};
  if (::fstat(opened.number(), &facts) != 0) return unreadable(file);
  if (!S_ISREG(facts.st_mode))
    return Error{"file.not-regular", "Is a folder, a pipe or a device, not a file.", file.string(),
                 "Give the path of a file."};
  const auto size = static_cast<std::uint64_t>(facts.st_size);
  if (size > limit_bytes)
    return Error{
        "file.too-large",
        "Has " + std::to_string(size) + " bytes; the limit is " + std::to_string(limit_bytes) + ".",
        file.string(), "Give a smaller file or raise the limit."};
  std::string content(size, '\0');
  std::size_t filled = 0;
  while (filled < content.size()) {
    const ssize_t got = ::read(opened.number(), content.data() + filled, content.size() - filled);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return unreadable(file);
    if (got == 0) break;
    filled += static_cast<std::size_t>(got);
  }
  content.resize(filled);
  return content;
}

Status write_file(const std::filesystem::path& file, std::string_view content) {
  const std::filesystem::path temporary = temporary_beside(file);
  Descriptor opened(::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
  if (opened.number() < 0) return unwritable(file);
  const bool whole =
      write_all(opened.number(), content) && ::fsync(opened.number()) == 0 && opened.close() == 0;
  if (!whole || ::rename(temporary.c_str(), file.c_str()) != 0) {
    const Error error = unwritable(file);
    ::unlink(temporary.c_str());
    return error;
  }
  flush_folder(file.parent_path().empty() ? "." : file.parent_path());
  return Done{};
}

}  // namespace roomloom
