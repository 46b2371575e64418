#include "exchange/read_process.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <cstdlib>

#include "base/sha256.h"
#include "exchange/read_support.h"

namespace roomloom {
namespace {

ReadOptions with_program(const char* name) {
  ReadOptions options;
  options.reader_program = std::string(ROOMLOOM_BIN_DIR) + "/" + name;
  return options;
}

/// What read_model makes of a reader that misbehaves in this manner.
Result<Scene> read_with_pretender(const std::string& manner, ReadOptions options) {
  const TemporaryFolder folder;
  return read_model(folder.write(manner + ".obj", "v 0 0 0\n"), options);
}

TEST(ReadProcess, EveryWayToFailBecomesAnErrorInWords) {
  const std::vector<std::pair<std::string, std::string>> manners = {
      {"crash", "model.crashed-reader"}, {"abort", "model.crashed-reader"},
      {"busy", "model.too-slow"},        {"out-of-memory", "model.too-large"},
      {"garbage", "model.bad-answer"},   {"silent", "model.bad-answer"}};
  for (const auto& [manner, code] : manners) {
    const auto scene = read_with_pretender(manner, with_program("pretend_reader"));
    ASSERT_FALSE(scene) << manner;
    EXPECT_EQ(scene.error().code, code) << manner;
    EXPECT_NE(scene.error().where.find(manner + ".obj"), std::string::npos);
    EXPECT_FALSE(scene.error().remedy.empty());
  }
}

TEST(ReadProcess, AReaderThatSleepsForeverIsStopped) {
  ReadOptions options = with_program("pretend_reader");
  options.seconds_limit = 0.01;
  EXPECT_EQ(code_of(read_with_pretender("hang", options)), "model.too-slow");
}

// It ends by itself after twice the time that one which sleeps is given.
TEST(ReadProcess, AReaderThatGetsLittleProcessorTimeIsWaitedFor) {
  ReadOptions options = with_program("pretend_reader");
  options.seconds_limit = 0.01;
  EXPECT_EQ(code_of(read_with_pretender("starved", options)), "model.bad-answer");
}

TEST(ReadProcess, AReaderThatNeverStopsTalkingIsStopped) {
  ReadOptions options = with_program("pretend_reader");
  options.memory_limit_gb = 0.25;
  EXPECT_EQ(code_of(read_with_pretender("flood", options)), "model.too-large");
}

TEST(ReadProcess, SaysWhereItLookedWhenThereIsNoReader) {
  const auto scene = read_with_pretender("any", with_program("no-such-program"));
  ASSERT_FALSE(scene);
  EXPECT_EQ(scene.error().code, "reader.missing");
  EXPECT_NE(scene.error().what.find("no-such-program"), std::string::npos);
}

TEST(ReadProcess, AllowsMoreTimeToLargerFilesAndLessThanTenSecondsToSmallOnes) {
  EXPECT_LT(seconds_allowed({}, 1'000'000), 10);
  EXPECT_GT(seconds_allowed({}, 4'000'000), 15);
  ReadOptions options;
  options.seconds_limit = 3;
  EXPECT_EQ(seconds_allowed(options, 4'000'000), 3);
}

TEST(ReadModel, ReadsThroughTheOtherProcess) {
  const TemporaryFolder folder;
  const std::string text = "o Floor 1\nv 0 0 0\nv 4 0 0\nv 4 0 5\nf 3 2 1\n";
  const auto file = folder.write("a room \u2013 1.obj", text);
  const auto scene = read_model(file, with_program("roomloom-read"));
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(scene->parts.at(0).name, "Floor 1");
  EXPECT_EQ(scene->source.path, file.string());
  EXPECT_EQ(scene->source.sha256, sha256(text));
}

TEST(ReadModel, HandsTheOptionsOver) {
  const TemporaryFolder folder;
  const auto file = folder.write("room.obj", "o plate\nv 0 0 0\nv 100 0 0\nv 0 100 0\nf 1 2 3\n");
  ReadOptions options = with_program("roomloom-read");
  options.unit_m = 0.0254;
  options.up = 'z';
  const auto scene = read_model(file, options);
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_TRUE(scene->notes.empty());
  EXPECT_NEAR(scene->points.at(1).x, 2.54, 1e-12);
}

TEST(ReadModel, GivesTheSameInAnyLocaleAndInThisProcess) {
  const std::string hall = ROOMLOOM_SOURCE_DIR "/tests/exchange/data/hall_ap214_mm.step";
  const auto plain = read_model(hall, with_program("roomloom-read"));
  ::setenv("LC_ALL", "de_DE.UTF-8", 1);
  const auto german = read_model(hall, with_program("roomloom-read"));
  ::unsetenv("LC_ALL");
  ASSERT_TRUE(plain && german);
  EXPECT_EQ(plain->points, german->points);
  EXPECT_EQ(plain->triangles, german->triangles);
}

TEST(ReadModel, RefusesWhatIsNoFile) {
  const TemporaryFolder folder;
  EXPECT_EQ(code_of(read_model(folder.path() / "gone.step")), "model.missing");
  std::filesystem::create_directory(folder.path() / "folder.obj");
  EXPECT_EQ(code_of(read_model(folder.path() / "folder.obj")), "model.unreadable");
  ASSERT_EQ(::mkfifo((folder.path() / "pipe.obj").c_str(), 0600), 0);
  EXPECT_EQ(code_of(read_model(folder.path() / "pipe.obj")), "model.unreadable");
  EXPECT_EQ(code_of(read_model(folder.write("room.txt", "x"))), "model.unknown-format");
}

TEST(ReadModel, FollowsALinkToTheModelItself) {
  const TemporaryFolder folder;
  folder.write("there/room.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n");
  std::filesystem::create_symlink(folder.path() / "there/room.obj", folder.path() / "link.obj");
  EXPECT_EQ(code_of(read_model(folder.path() / "link.obj", with_program("roomloom-read"))), "read");
}

TEST(ReadModel, KeepsToItsMemoryLimit) {
#ifdef ROOMLOOM_WITHOUT_LIMITS
  GTEST_SKIP() << "built with sanitizers, which need the address space";
#endif
  // A million points as text need more than the quarter of a gigabyte that is left to the process.
  const TemporaryFolder folder;
  std::string text;
  for (int i = 0; i < 1'500'000; ++i) text += "v 1 2 3\n";
  for (int i = 0; i < 500'000; ++i) text += "f -1 -2 -3 -4\n";
  ReadOptions options = with_program("roomloom-read");
  options.memory_limit_gb = 0.25;
  EXPECT_EQ(code_of(read_model(folder.write("room.obj", text), options)), "model.too-large");
}

}  // namespace
}  // namespace roomloom
