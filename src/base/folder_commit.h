#pragma once

#include <filesystem>
#include <set>
#include <string>

#include "base/result.h"

namespace roomloom {

/// A set of files that takes its folder's place at once, so that whoever looks finds the old set or
/// the new one, never some of each, whenever the program ends.
///
/// The set is written into a hidden folder beside the destination, `.<name>.roomloom`, which is
/// locked meanwhile. Committing gives it the destination's name by one exchange of the two names
/// (renameat2(2), RENAME_EXCHANGE). What else lies in the destination is kept. The names that a set
/// consists of stand in its file `.roomloom`; the next set takes away those it does not have.
///
/// Where names cannot be exchanged (a file system without it, a mount point, the destination being
/// the current folder), the files are renamed one by one; a file `.roomloom-unfinished` stands
/// there as long as the set is mixed.
class FolderCommit {
 public:
  /// @error `folder.busy` another program writes there · `folder.unwritable`
  static Result<FolderCommit> begin(const std::filesystem::path& destination);

  FolderCommit(FolderCommit&& other) noexcept;
  FolderCommit& operator=(FolderCommit&&) = delete;
  /// Takes away what was not committed.
  ~FolderCommit();

  /// Where to write the files.
  std::filesystem::path place() const { return root_ / "new"; }
  /// Where they will be.
  const std::filesystem::path& destination() const { return destination_; }

  /// Puts the set in its place. Regular files only, no subfolders.
  /// @error `folder.unwritable`; the old set is then untouched
  Status commit();

 private:
  FolderCommit(std::filesystem::path destination, std::filesystem::path root, int lock)
      : destination_(std::move(destination)), root_(std::move(root)), lock_(lock) {}
  Status keep_what_is_not_ours(const std::set<std::string>& names) const;
  Status rename_one_by_one(const std::set<std::string>& names) const;

  std::filesystem::path destination_, root_;
  int lock_ = -1;
};

/// True when a set was left mixed by a program that ended while it renamed files one by one.
bool left_unfinished(const std::filesystem::path& folder);

}  // namespace roomloom
