#include "base/folder_commit.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <random>

#include "base/files.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

class FolderCommitTest : public testing::Test {
 protected:
  void SetUp() override {
    const auto* test = testing::UnitTest::GetInstance()->current_test_info();
    home_ = fs::temp_directory_path() /
            ("roomloom-commit-" + std::string(test->name()) + "-" + std::to_string(::getpid()));
    fs::remove_all(home_);
    fs::create_directories(home_);
  }
  void TearDown() override { fs::remove_all(home_); }

  fs::path out() const { return home_ / "out"; }
  std::string text(const std::string& name) const {
    const auto read = read_file(out() / name);
    return read ? *read : "";
  }
  void put(const std::vector<std::string>& names, const std::string& content) const {
    auto set = FolderCommit::begin(out());
    ASSERT_TRUE(set) << to_text(set.error());
    for (const std::string& name : names) ASSERT_TRUE(write_file(set->place() / name, content));
    const Status done = set->commit();
    ASSERT_TRUE(done) << to_text(done.error());
  }
  std::size_t entries_of_home() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(home_), fs::directory_iterator()));
  }

  fs::path home_;
};

TEST_F(FolderCommitTest, TheNextSetTakesTheOldOnesPlaceAndLeavesNothingBehind) {
  put({"a", "b"}, "old");
  put({"b", "c"}, "new");
  EXPECT_FALSE(fs::exists(out() / "a"));
  EXPECT_EQ(text("b"), "new");
  EXPECT_EQ(text("c"), "new");
  EXPECT_EQ(entries_of_home(), 1U) << "the hidden folder is gone";
}

TEST_F(FolderCommitTest, WhatElseLiesInTheFolderIsKept) {
  put({"a"}, "old");
  fs::create_directories(out() / "photos" / "day 1");
  ASSERT_TRUE(write_file(out() / "notes.txt", "mine"));
  ASSERT_TRUE(write_file(out() / "photos" / "day 1" / "1.jpg", "picture"));
  fs::create_symlink("notes.txt", out() / "link");
  put({"a"}, "new");
  EXPECT_EQ(text("a"), "new");
  EXPECT_EQ(text("notes.txt"), "mine");
  EXPECT_EQ(text("photos/day 1/1.jpg"), "picture");
  EXPECT_EQ(fs::read_symlink(out() / "link"), "notes.txt");
}

TEST_F(FolderCommitTest, WithoutCommitTheOldSetStays) {
  put({"a"}, "old");
  {
    auto set = FolderCommit::begin(out());
    ASSERT_TRUE(set);
    ASSERT_TRUE(write_file(set->place() / "a", "half"));
  }
  EXPECT_EQ(text("a"), "old");
  EXPECT_EQ(entries_of_home(), 1U);
}

TEST_F(FolderCommitTest, TwoSetsAreNotWrittenAtOnce) {
  const auto first = FolderCommit::begin(out());
  ASSERT_TRUE(first);
  const auto second = FolderCommit::begin(out());
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, "folder.busy");
}

TEST_F(FolderCommitTest, AFileOrAFolderInTheWayIsToldAndKept) {
  ASSERT_TRUE(write_file(out(), "a file"));
  const auto set = FolderCommit::begin(out());
  ASSERT_FALSE(set);
  EXPECT_EQ(set.error().code, "folder.unwritable");
  fs::remove(out());
  fs::create_directories(out() / "a" / "deep");
  auto other = FolderCommit::begin(out());
  ASSERT_TRUE(other);
  ASSERT_TRUE(write_file(other->place() / "a", "new"));
  EXPECT_FALSE(other->commit());
  EXPECT_TRUE(fs::exists(out() / "a" / "deep"));
}

TEST_F(FolderCommitTest, TheCurrentFolderIsWrittenFileByFileAndStaysCurrent) {
  put({"a", "b"}, "old");
  const fs::path before = fs::current_path();
  fs::current_path(out());
  put({"b"}, "new");
  const bool current = fs::equivalent(fs::current_path(), out());
  fs::current_path(before);
  EXPECT_TRUE(current);
  EXPECT_FALSE(fs::exists(out() / "a"));
  EXPECT_EQ(text("b"), "new");
  EXPECT_FALSE(left_unfinished(out()));
}

TEST_F(FolderCommitTest, ALinkToAFolderIsFollowedAndStaysALink) {
  fs::create_directories(home_ / "real");
  fs::create_directory_symlink(home_ / "real", out());
  put({"a"}, "new");
  EXPECT_TRUE(fs::is_symlink(out()));
  EXPECT_TRUE(fs::exists(home_ / "real" / "a"));
}

/// Writes sets of six equal files for ever, numbered from `first` upwards.
[[noreturn]] void write_sets_for_ever(const fs::path& out, int first) {
  for (int number = first;; ++number) {
    auto set = FolderCommit::begin(out);
    if (!set) ::_exit(1);
    for (int i = 0; i < 6; ++i) {
      if (!write_file(set->place() / std::to_string(i), std::to_string(number))) ::_exit(1);
    }
    if (!set->commit()) ::_exit(1);
  }
}

TEST_F(FolderCommitTest, KilledAtAnyMomentOneWholeSetIsThere) {
  put({"notes.txt"}, "mine");
  fs::remove(out() / ".roomloom");  // now a stranger's file
  std::mt19937 random(20);
  int finished = 0;
  // However slow the machine: until enough sets were finished between the kills.
  for (int round = 0; round < 200 || (finished < 20 && round < 20000); ++round) {
    const std::string before = text("0");
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) write_sets_for_ever(out(), 1000 * round);
    ::usleep(std::uniform_int_distribution<unsigned>(500, 15000)(random));
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    ASSERT_TRUE(WIFSIGNALED(status)) << "the writer gave up in round " << round;
    ASSERT_EQ(text("notes.txt"), "mine") << round;
    const std::string number = text("0");
    for (int i = 1; i < 6; ++i) ASSERT_EQ(text(std::to_string(i)), number) << round;
    finished += number != before;
  }
  EXPECT_GE(finished, 20) << "too few sets were finished: the test shows nothing";
}

}  // namespace
}  // namespace roomloom
