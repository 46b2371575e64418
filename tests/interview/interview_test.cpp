#include "interview/interview.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <sstream>

#include "base/files.h"
#include "sketch/sketch.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

class InterviewTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ =
        fs::temp_directory_path() / ("roomloom-interview-" + std::to_string(::getpid()) + "-" +
                                     testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  fs::path folder_;
};

Answers den() {
  Answers answers;
  for (const auto& [key, value] :
       {std::pair("units", "metres"), std::pair("name", "Den"), std::pair("wall_front", "3.5 m"),
        std::pair("wall_left", "420 cm"), std::pair("height", "2.4"),
        std::pair("suspended_ceiling", "yes"), std::pair("void_depth", "0.3"),
        std::pair("doors", "0"), std::pair("rack_wall", "front"),
        std::pair("rack_from_left", "1.75"), std::pair("loudspeakers", "0+2+0"),
        std::pair("listener", "2.6"), std::pair("subwoofers", "0"),
        std::pair("shelf_speaker", "50 m")})
    answers.set(key, value);
  return answers;
}

PlanOptions quick() {
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.reader_program = std::string(ROOMLOOM_BIN_DIR) + "/roomloom-read";
  return options;
}

TEST_F(InterviewTest, EveryAnswerIsKeptAsSoonAsItIsGiven) {
  Answers answers;
  std::istringstream in("feet\nAttic\n12 ft\n");
  std::ostringstream out;
  const auto whole = ask(in, out, 80, answers, folder_ / "answers.txt");
  ASSERT_TRUE(whole);
  EXPECT_FALSE(*whole) << "the input ended early";
  const auto kept = read_answers(folder_ / "answers.txt");
  ASSERT_TRUE(kept);
  EXPECT_EQ(kept->text("wall_front"), "12 ft");
  EXPECT_EQ(kept->text("name"), "Attic");
}

TEST_F(InterviewTest, WrongAndUnlikelyAnswersAreAskedAgain) {
  Answers answers;
  std::istringstream in("metres\nDen\nabout four\n42\nn\n4.2\n");
  std::ostringstream out;
  ASSERT_TRUE(ask(in, out, 80, answers, folder_ / "answers.txt"));
  EXPECT_EQ(answers.text("wall_front"), "4.2");
  EXPECT_NE(out.str().find("Is that right?"), std::string::npos);
}

TEST_F(InterviewTest, LinesKeepWithinANarrowTerminal) {
  Answers answers;
  std::istringstream in("metres\nDen\n4\n5\n\n\n\n\n2.4\nyes\n0.3\n\n\n\n");
  std::ostringstream out;
  ASSERT_TRUE(ask(in, out, 40, answers, folder_ / "answers.txt"));
  std::istringstream lines(out.str());
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 40U) << line;
}

TEST_F(InterviewTest, BackAsksTheQuestionBeforeAgain) {
  Answers answers;
  std::istringstream in("metres\nDen\n4\nback\n5\n");
  std::ostringstream out;
  ASSERT_TRUE(ask(in, out, 80, answers, folder_ / "answers.txt"));
  EXPECT_EQ(answers.text("wall_front"), "5");
}

TEST_F(InterviewTest, AFilledInSheetOrATableIsReadAlike) {
  ASSERT_TRUE(write_file(folder_ / "a.txt", "# sheet\nname: Den\nwall_front: 7' 6 3/8\"\n"));
  ASSERT_TRUE(
      write_file(folder_ / "a.csv", "key,value\r\nname,Den\r\nwall_front,\"7' 6 3/8\"\"\"\r\n"));
  const auto text = read_answers(folder_ / "a.txt"), table = read_answers(folder_ / "a.csv");
  ASSERT_TRUE(text);
  ASSERT_TRUE(table);
  EXPECT_EQ(text->all(), table->all());
  ASSERT_TRUE(write_file(folder_ / "bad.txt", "name: Den\nwhat\nis this\n"));
  const auto bad = read_answers(folder_ / "bad.txt");
  ASSERT_FALSE(bad);
  EXPECT_NE(bad.error().what.find("Line 2"), std::string::npos);
  EXPECT_NE(bad.error().what.find("Line 3"), std::string::npos);
}

TEST_F(InterviewTest, AllWrongAnswersOfAFileAreToldAtOnce) {
  Answers answers = den();
  answers.set("wall_front", "long");
  answers.set("subwoofers", "3");
  const auto reviewed = review(answers);
  ASSERT_FALSE(reviewed);
  EXPECT_NE(reviewed.error().what.find("wall_front"), std::string::npos);
  EXPECT_NE(reviewed.error().what.find("subwoofers"), std::string::npos);
}

TEST_F(InterviewTest, OddAnswersOfAFileAreTold) {
  Answers answers = den();
  answers.set("void_depth", "3 mm");
  answers.set("listener", "6 m");
  answers.set("wal_front", "4");
  const auto odd = review(answers);
  ASSERT_TRUE(odd);
  ASSERT_EQ(odd->size(), 3U);
  EXPECT_NE((*odd)[0].find("void_depth"), std::string::npos);
  EXPECT_NE((*odd)[1].find("behind the back wall"), std::string::npos);
  EXPECT_NE((*odd)[2].find("wal_front"), std::string::npos);
}

TEST_F(InterviewTest, TheMeasuringSheetCanBeFilledInAndReadBack) {
  ASSERT_TRUE(write_file(folder_ / "sheet.txt", measuring_sheet_text(den())));
  const auto read = read_answers(folder_ / "sheet.txt");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->text("wall_left"), "420 cm");
  ASSERT_TRUE(write_measuring_sheet(den(), folder_ / "sheet.pdf"));
  EXPECT_TRUE(read_file(folder_ / "sheet.pdf")->starts_with("%PDF"));
}

TEST_F(InterviewTest, AKnownRoomGivesOneLengthARun) {
  Answers answers = den();
  ASSERT_TRUE(review(answers));
  const auto answer = first_answer(answers, folder_ / "work", quick());
  ASSERT_TRUE(answer) << to_text(answer.error());
  EXPECT_NE(answer->find("S1  rack to M+030"), std::string::npos);
  EXPECT_EQ(answer->find(" to 5"), std::string::npos) << *answer;
  EXPECT_NE(answer->find("on the shelf 50.0 m: enough"), std::string::npos) << *answer;
  EXPECT_FALSE(fs::exists(folder_ / "work"));
}

TEST_F(InterviewTest, WhatIsNotKnownBecomesARangeAndTheOneThatDecidesMostIsNamed) {
  Answers answers = den();
  answers.set("listener", kDoNotKnow);
  answers.set("rack_from_left", kDoNotKnow);
  answers.set("shelf_speaker", "3 m");
  ASSERT_TRUE(review(answers));
  const auto answer = first_answer(answers, folder_ / "work", quick());
  ASSERT_TRUE(answer) << to_text(answer.error());
  EXPECT_NE(answer->find(" m to "), std::string::npos) << *answer;
  EXPECT_NE(answer->find("What would narrow it most"), std::string::npos);
  EXPECT_NE(answer->find("not enough"), std::string::npos) << *answer;
}

TEST_F(InterviewTest, AJobThatWasChangedByHandIsKept) {
  Answers answers = den();
  ASSERT_TRUE(review(answers));
  ASSERT_TRUE(write_start(answers, folder_));
  ASSERT_TRUE(write_start(answers, folder_)) << "its own job is replaced";
  EXPECT_FALSE(fs::exists(folder_ / "job-from-answers.json"));
  ASSERT_TRUE(write_file(folder_ / "job.json", "mine"));
  ASSERT_TRUE(write_start(answers, folder_));
  EXPECT_EQ(*read_file(folder_ / "job.json"), "mine");
  EXPECT_TRUE(fs::exists(folder_ / "job-from-answers.json"));
}

TEST_F(InterviewTest, ASkewRoomIsSketchedAsItsMeasuresSay) {
  Answers answers = den();
  answers.set("wall_right", "4.2");
  answers.set("wall_back", "3.5");
  answers.set("diagonal_1", "5.40");
  answers.set("diagonal_2", "5.532");
  const auto composed = compose(answers, {});
  ASSERT_TRUE(composed);
  const auto sketch = parse_sketch(composed->room_json, "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  ASSERT_EQ(sketch->points_m.size(), 4U);
  EXPECT_NEAR(norm(sketch->points_m[1] - sketch->points_m[3]), 5.40, 0.003);
  EXPECT_NEAR(norm(sketch->points_m[2] - sketch->points_m[0]), 5.532, 0.003);
}

}  // namespace
}  // namespace roomloom
