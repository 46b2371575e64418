#include "base/folder_commit.h"

#include <fcntl.h>
#include <stdio.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <sstream>
#include <system_error>

#include "base/files.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

constexpr const char* kManifest = ".roomloom";
constexpr const char* kUnfinished = ".roomloom-unfinished";

std::string system_reason() { return std::generic_category().message(errno); }

Error unwritable(const fs::path& folder, const std::string& reason) {
  return {"folder.unwritable", "The result cannot be written: " + reason + ".", folder.string(),
          "Check the folder's rights and the free space, or choose another one with -o."};
}

Error busy(const fs::path& folder) {
  return {"folder.busy", "Another program is writing a result there.", folder.string(),
          "Wait for it to end, or choose another folder with -o."};
}

bool same_folder(int descriptor, const fs::path& path) {
  struct stat open {
  }, named{};
  return ::fstat(descriptor, &open) == 0 && ::lstat(path.c_str(), &named) == 0 &&
         open.st_dev == named.st_dev && open.st_ino == named.st_ino;
}

/// Makes and locks the hidden folder. A folder left by a program that ended is taken over.
Result<int> lock_root(const fs::path& root, const fs::path& destination) {
  for (int attempt = 0; attempt < 20; ++attempt) {
    if (::mkdir(root.c_str(), 0700) != 0 && errno != EEXIST)
      return unwritable(destination, system_reason());
    const int lock = ::open(root.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (lock < 0 && errno == ENOENT) continue;  // its owner has just ended
    if (lock < 0) return unwritable(destination, system_reason());
    if (::flock(lock, LOCK_EX | LOCK_NB) != 0) {
      ::close(lock);
      return busy(destination);
    }
    if (same_folder(lock, root)) return lock;
    ::close(lock);
  }
  return busy(destination);
}

std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  std::error_code failed;
  for (fs::directory_iterator at(folder, failed), end; !failed && at != end; at.increment(failed))
    names.insert(at->path().filename().string());
  return names;
}

/// The names of the set that lies in `folder`.
std::set<std::string> names_listed(const fs::path& folder) {
  std::set<std::string> names;
  const auto text = read_file(folder / kManifest, 1 << 20);
  if (!text) return names;
  std::istringstream lines(*text);
  for (std::string line; std::getline(lines, line);) {
    if (!line.empty() && line.find('/') == std::string::npos && line != "." && line != "..")
      names.insert(line);
  }
  names.insert(kManifest);
  return names;
}

/// A second name for a file, or a copy where the file system has no such names.
void link_or_copy(const fs::path& from, const fs::path& to, std::error_code& failed) {
  if (fs::is_symlink(fs::symlink_status(from, failed))) return fs::copy_symlink(from, to, failed);
  if (fs::is_directory(fs::symlink_status(from, failed))) {
    fs::create_directory(to, from, failed);
    for (const std::string& name : names_in(from))
      if (!failed) link_or_copy(from / name, to / name, failed);
    return;
  }
  fs::create_hard_link(from, to, failed);
  if (failed) fs::copy_file(from, to, failed);
}

bool is_current_folder_within(const fs::path& folder) {
  std::error_code failed;
  for (fs::path at = fs::current_path(failed); !failed; at = at.parent_path()) {
    if (fs::equivalent(at, folder, failed)) return true;
    if (at == at.parent_path()) return false;
  }
  return false;
}

Status flush(const fs::path& folder) {
  const int opened = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  const bool good = opened >= 0 && ::fsync(opened) == 0;
  const std::string reason = system_reason();
  if (opened >= 0) ::close(opened);
  if (!good) return unwritable(folder, reason);
  return Done{};
}

}  // namespace

Result<FolderCommit> FolderCommit::begin(const fs::path& destination) {
  std::error_code failed;
  fs::path whole = fs::weakly_canonical(fs::absolute(destination, failed), failed);
  if (!failed && whole.filename().empty()) whole = whole.parent_path();
  if (failed || whole.filename().empty())
    return unwritable(destination, failed ? failed.message() : "it has no name");
  const auto kind = fs::status(whole, failed).type();
  if (kind != fs::file_type::not_found && kind != fs::file_type::directory)
    return unwritable(whole, "there is something of that name which is no folder");
  fs::create_directories(whole.parent_path(), failed);
  if (failed) return unwritable(whole, failed.message());
  const bool exists = kind == fs::file_type::directory;
  if (exists && ::access(whole.c_str(), W_OK | X_OK) != 0)
    return unwritable(whole, system_reason());
  fs::path root = whole.parent_path() / ("." + whole.filename().string() + ".roomloom");
  if (exists && ::access(whole.parent_path().c_str(), W_OK | X_OK) != 0)
    root = whole / ".roomloom-new";  // only the folder itself is ours to write
  const auto lock = lock_root(root, whole);
  if (!lock) return lock.error();
  FolderCommit result(std::move(whole), std::move(root), *lock);
  fs::remove_all(result.place(), failed);
  fs::create_directory(result.place(), failed);
  if (failed) return unwritable(result.destination_, failed.message());
  return result;
}

FolderCommit::FolderCommit(FolderCommit&& other) noexcept
    : destination_(std::move(other.destination_)),
      root_(std::move(other.root_)),
      lock_(std::exchange(other.lock_, -1)) {}

FolderCommit::~FolderCommit() {
  if (lock_ < 0) return;
  std::error_code ignored;
  fs::remove_all(root_, ignored);
  ::close(lock_);
}

Status FolderCommit::keep_what_is_not_ours(const std::set<std::string>& names) const {
  std::set<std::string> gone = names_listed(destination_);
  gone.insert({kUnfinished, root_.filename().string()});
  gone.insert(names.begin(), names.end());
  for (const std::string& name : names_in(destination_)) {
    std::error_code failed;
    if (names.contains(name) && fs::is_directory(destination_ / name, failed))
      return unwritable(destination_ / name, "a folder of that name is in the way");
    if (gone.contains(name)) continue;
    link_or_copy(destination_ / name, place() / name, failed);
    if (failed) return unwritable(destination_ / name, failed.message());
  }
  return Done{};
}

Status FolderCommit::rename_one_by_one(const std::set<std::string>& names) const {
  if (const Status marked = write_file(destination_ / kUnfinished, ""); !marked) return marked;
  for (const std::string& name : names_listed(destination_))
    if (!names.contains(name)) ::unlink((destination_ / name).c_str());
  for (const std::string& name : names) {
    if (::rename((place() / name).c_str(), (destination_ / name).c_str()) != 0)
      return unwritable(destination_ / name, system_reason());
  }
  ::unlink((destination_ / kUnfinished).c_str());
  return flush(destination_);
}

Status FolderCommit::commit() {
  std::set<std::string> names = names_in(place());
  std::string manifest;
  for (const std::string& name : names) manifest += name + "\n";
  if (const Status listed = write_file(place() / kManifest, manifest); !listed) return listed;
  names.insert(kManifest);
  std::error_code failed;
  if (!fs::exists(destination_, failed)) {
    if (::rename(place().c_str(), destination_.c_str()) == 0)
      return flush(destination_.parent_path());
    return unwritable(destination_, system_reason());
  }
  if (is_current_folder_within(destination_) || root_.parent_path() == destination_)
    return rename_one_by_one(names);
  if (const Status kept = keep_what_is_not_ours(names); !kept) return kept;
  fs::permissions(place(), fs::status(destination_, failed).permissions(), failed);
  if (::renameat2(AT_FDCWD, place().c_str(), AT_FDCWD, destination_.c_str(), RENAME_EXCHANGE) == 0)
    return flush(destination_.parent_path());
  return rename_one_by_one(names);
}

bool left_unfinished(const fs::path& folder) {
  std::error_code failed;
  return fs::exists(folder / kUnfinished, failed);
}

}  // namespace roomloom
