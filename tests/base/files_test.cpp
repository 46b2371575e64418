#include "base/files.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>

#include "base/sha256.h"

namespace roomloom {
namespace {

class Files : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::temp_directory_path() /
              ("roomloom-files-test-" + std::to_string(::getpid()));
    std::filesystem::create_directories(folder_);
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  std::size_t entries() const {
    return static_cast<std::size_t>(
        std::distance(std::filesystem::directory_iterator(folder_), {}));
  }

  std::filesystem::path folder_;
};

TEST_F(Files, ComeBackByteForByteAndLeaveNothingElse) {
  const std::string content("a\0b\r\n\xFF", 6);
  ASSERT_TRUE(write_file(folder_ / "out.txt", content));
  ASSERT_TRUE(write_file(folder_ / "out.txt", content + "x"));
  EXPECT_EQ(*read_file(folder_ / "out.txt"), content + "x");
  EXPECT_EQ(entries(), 1U);
}

TEST_F(Files, ALinkInTheWayIsReplacedNotFollowed) {
  ASSERT_TRUE(write_file(folder_ / "input.txt", "input"));
  std::filesystem::create_symlink(folder_ / "input.txt", folder_ / "out.txt");
  ASSERT_TRUE(write_file(folder_ / "out.txt", "output"));
  EXPECT_EQ(*read_file(folder_ / "input.txt"), "input");
  EXPECT_EQ(*read_file(folder_ / "out.txt"), "output");
}

TEST_F(Files, WhatCannotBeWrittenOrReadIsSaidAndLeavesNothing) {
  EXPECT_EQ(write_file(folder_ / "gone/out.txt", "x").error().code, "file.unwritable");
  std::filesystem::create_directory(folder_ / "folder");
  EXPECT_EQ(write_file(folder_ / "folder", "x").error().code, "file.unwritable");
  EXPECT_EQ(entries(), 1U);
  EXPECT_EQ(read_file(folder_ / "folder").error().code, "file.not-regular");
  EXPECT_EQ(read_file(folder_ / "none").error().code, "file.missing");
  ASSERT_EQ(::mkfifo((folder_ / "pipe").c_str(), 0600), 0);
  EXPECT_EQ(read_file(folder_ / "pipe").error().code, "file.not-regular");
  ASSERT_TRUE(write_file(folder_ / "out.txt", "four"));
  EXPECT_EQ(read_file(folder_ / "out.txt", 3).error().code, "file.too-large");
}

TEST(Sha256, MatchesThePublishedExamples) {
  // NIST, "Cryptographic Standards and Guidelines: Example Values", SHA-256; the empty message and
  // the million letters are from FIPS 180-2's appendix and NIST's CAVP vectors. From memory, and
  // checked against coreutils' sha256sum.
  EXPECT_EQ(sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256(std::string(1'000'000, 'a')),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

}  // namespace
}  // namespace roomloom
