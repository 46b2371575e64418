#include <gtest/gtest.h>

#include "base/files.h"
#include "cli/call.h"
#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

constexpr const char* kDen =
    "units: metres\nname: Den\nwall_front: 3.5 m\nwall_left: 420 cm\nheight: 2.4\n"
    "suspended_ceiling: yes\nvoid_depth: 0.3\ndoors: 0\nrack_wall: front\nrack_from_left: 1.75\n"
    "loudspeakers: 0+2+0\nlistener: 2.6\nsubwoofers: 0\nshelf_speaker: 50 m\n";

/// No answer is lost, whoever wrote it where.
class Start : public ::testing::Test {
 protected:
  void SetUp() override {
    at_ = folder_.path().string();
    write_text(folder_ / "den.txt", kDen);
  }
  Outcome start(const std::string& more = "") const {
    return call("start " + at_ + "/room --house none " + more);
  }
  std::string file(const std::string& name) const {
    const auto text = read_file(folder_ / "room" / name);
    return text ? *text : std::string();
  }
  TestFolder folder_;
  std::string at_;
};

TEST_F(Start, TakesOverWhatIsWrittenOnTheSheetAndLeavesItAsItIs) {
  ASSERT_EQ(start().status, 0);
  const std::string blank = file("measuring-sheet.txt");
  ASSERT_NE(blank.find("\nname: \n"), std::string::npos) << blank;
  std::string filled = blank + "# the tape was short\nnmae: Den\n";
  filled.replace(filled.find("\nname: \n"), 8, "\nname: Snug\n");
  write_text(folder_ / "room" / "measuring-sheet.txt", filled);
  const Outcome again = start();
  EXPECT_EQ(again.status, 0) << again.text;
  EXPECT_NE(again.text.find("taken over"), std::string::npos) << again.text;
  EXPECT_NE(file("answers.txt").find("name: Snug"), std::string::npos) << file("answers.txt");
  EXPECT_EQ(file("measuring-sheet.txt"), filled);
}

TEST_F(Start, TheSheetAsATableIsTakenOverAlike) {
  ASSERT_EQ(start().status, 0);
  std::string filled = file("measuring-sheet.csv");
  ASSERT_NE(filled.find("\nname,,"), std::string::npos) << filled;
  filled.replace(filled.find("\nname,,"), 7, "\nname,Snug,");
  write_text(folder_ / "room" / "measuring-sheet.csv", filled);
  ASSERT_EQ(start().status, 0);
  EXPECT_NE(file("answers.txt").find("name: Snug"), std::string::npos) << file("answers.txt");
  EXPECT_EQ(file("measuring-sheet.csv"), filled);
}

TEST_F(Start, EverythingThatIsWrongOrOddInAFileOfAnswersIsToldAtOnce) {
  std::string odd = kDen + std::string("heigth: 2.4\nno answer at all\n");
  odd.replace(odd.find("void_depth: 0.3"), 15, "void_depth: 3 mm");
  odd.replace(odd.find("wall_left: 420 cm"), 17, "wall_left: long");
  write_text(folder_ / "odd.txt", odd);
  const Outcome outcome = start("--answers " + at_ + "/odd.txt");
  EXPECT_EQ(outcome.status, 2) << outcome.text;
  for (const char* told : {"wall_left: ", "void_depth: ", "heigth: ", "Line 16 "})
    EXPECT_NE(outcome.text.find(told), std::string::npos) << told << " in\n" << outcome.text;
}

TEST_F(Start, MeasuresThatNoRoomHasAreToldWithWhatElseIsOdd) {
  write_text(folder_ / "odd.txt", std::string(kDen) +
                                      "void_depth: 3 mm\nwall_back: 3.5 m\nwall_right: 4.2 m\n"
                                      "diagonal_1: 9 m\ndiagonal_2: 5.4 m\n");
  const Outcome outcome = start("--answers " + at_ + "/odd.txt");
  for (const char* told : {"diagonal_1: No diagonal is as long", "void_depth: That is 0.003 m"})
    EXPECT_NE(outcome.text.find(told), std::string::npos) << told << " in\n" << outcome.text;
}

TEST_F(Start, ASheetThatWasTakenOverDoesNotUndoLaterAnswers) {
  ASSERT_EQ(start().status, 0);
  write_text(folder_ / "room" / "measuring-sheet.txt", "name: Snug\n");
  ASSERT_EQ(start().status, 0);
  write_text(folder_ / "room" / "answers.txt", "name: Parlour\n");
  ASSERT_EQ(start().status, 0);
  EXPECT_NE(file("answers.txt").find("name: Parlour"), std::string::npos) << file("answers.txt");
}

TEST_F(Start, AFaultySheetIsToldAndLeftAsItIs) {
  ASSERT_EQ(start().status, 0);
  const std::string faulty = std::string(kDen) + "# a note\nheight: tall\n";
  write_text(folder_ / "room" / "measuring-sheet.txt", faulty);
  const Outcome outcome = start("--answers " + at_ + "/room/measuring-sheet.txt");
  EXPECT_EQ(outcome.status, 2) << outcome.text;
  EXPECT_NE(outcome.text.find("height"), std::string::npos) << outcome.text;
  EXPECT_EQ(file("measuring-sheet.txt"), faulty);
}

TEST_F(Start, AnswersFromAFileAreAddedToThoseBefore) {
  ASSERT_EQ(start("--answers " + at_ + "/den.txt").status, 0);
  write_text(folder_ / "less.txt", "height: 2.5\n");
  ASSERT_EQ(start("--answers " + at_ + "/less.txt").status, 0);
  const std::string kept = file("answers.txt");
  for (const char* line : {"name: Den", "shelf_speaker: 50 m", "height: 2.5"})
    EXPECT_NE(kept.find(line), std::string::npos) << line << " in\n" << kept;
}

TEST_F(Start, ARoomThatWasChangedByHandIsKept) {
  ASSERT_EQ(start("--answers " + at_ + "/den.txt").status, 0);
  const std::string model = file("room.glb");
  write_text(folder_ / "room" / "room.json", "mine");
  write_text(folder_ / "less.txt", "height: 2.5\n");
  const Outcome again = start("--answers " + at_ + "/less.txt");
  EXPECT_EQ(again.status, 0) << again.text;
  EXPECT_NE(again.text.find("room.json was changed by hand"), std::string::npos) << again.text;
  EXPECT_EQ(file("room.json"), "mine");
  EXPECT_EQ(file("room.glb"), model);
  EXPECT_NE(file("room-from-answers.json").find("2.5"), std::string::npos);
}

}  // namespace
}  // namespace roomloom::testing
