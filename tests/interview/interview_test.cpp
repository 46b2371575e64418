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
  std::istringstream in("metres\nDen\n4\n5\n\n\n\n\n\n2.4\nyes\n0.3\n\n\n\n");
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

/// What is said of an answer to one question, others being answered.
std::string said_of(const std::string& key, const std::string& value, Answers answers) {
  answers.set(key, value);
  for (const Question& question : questions(answers))
    if (question.key == key) return implausible(question, value, answers);
  return "no such question: " + key;
}

TEST_F(InterviewTest, StudsSixteenFeetApartAreQueried) {
  Answers answers = den();
  answers.set("units", "feet");
  answers.set("hollow_walls", "all");
  EXPECT_NE(said_of("stud_pitch", "16 ft", answers).find("16 ft 0 in; usual is 10 in to"),
            std::string::npos)
      << said_of("stud_pitch", "16 ft", answers);
  EXPECT_EQ(said_of("stud_pitch", "16 in", answers), "");
  EXPECT_EQ(said_of("stud_pitch", "24 in", answers), "");
}

TEST_F(InterviewTest, AVoidOfThreeMillimetresIsQueried) {
  EXPECT_NE(said_of("void_depth", "3 mm", den()).find("0.003 m"), std::string::npos)
      << said_of("void_depth", "3 mm", den());
  EXPECT_EQ(said_of("void_depth", "0.2", den()), "");
}

TEST_F(InterviewTest, ADoorOrWindowHigherThanTheCeilingIsQueried) {
  Answers answers = den();
  answers.set("doors", "1");
  answers.set("windows", "1");
  answers.set("door_1_wall", "back");
  answers.set("window_1_wall", "back");
  answers.set("window_1_sill", "1.5 m");
  EXPECT_NE(said_of("door_1_height", "2.5 m", answers).find("higher than the ceiling"),
            std::string::npos);
  EXPECT_EQ(said_of("door_1_height", "2.03 m", answers), "");
  EXPECT_NE(said_of("window_1_height", "1.2 m", answers).find("higher than the ceiling"),
            std::string::npos);
  answers.set("door_1_from_left", "3 m");
  EXPECT_NE(said_of("door_1_width", "0.9 m", answers).find("beyond the wall"), std::string::npos)
      << "the back wall is as long as the front one, 3.5 m";
}

TEST_F(InterviewTest, AScreenBehindTheListenerIsQueried) {
  Answers answers = den();
  answers.set("screen", "yes");
  EXPECT_NE(said_of("screen_from_front", "3 m", answers).find("behind you"), std::string::npos);
  EXPECT_EQ(said_of("screen_from_front", "0.4 m", answers), "");
}

TEST_F(InterviewTest, ADiagonalThatNoRoomHasIsQueried) {
  EXPECT_NE(said_of("diagonal_1", "7.8 m", den()), "");
  EXPECT_NE(said_of("diagonal_1", "0.5 m", den()), "");
  EXPECT_EQ(said_of("diagonal_1", "5.46 m", den()), "");
}

TEST_F(InterviewTest, HeightsThatDisagreeAreSharedOutAndTold) {
  Answers answers = den();
  answers.set("height_above", "2.655 m");  // 2.4 + 0.015 + 0.3 is 60 mm more
  ASSERT_TRUE(review(answers));
  const auto composed = compose(answers, {});
  ASSERT_TRUE(composed);
  EXPECT_NEAR(composed->height_misclosure_m, 0.06, 1e-9);
  const auto sketch = parse_sketch(composed->room_json, "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  EXPECT_NEAR(sketch->height_m, 2.655 + 0.02, 1e-9) << "a third of it";
  const std::string told = misclosure_text(*composed, DisplayUnits::metric);
  EXPECT_NE(told.find("0.060 m more"), std::string::npos) << told;
}

TEST_F(InterviewTest, AHeightThatIsNotKnownFollowsFromTheOthers) {
  Answers answers = den();
  answers.set("void_depth", kDoNotKnow);
  answers.set("height_above", "2.715 m");
  ASSERT_TRUE(review(answers));
  const auto composed = compose(answers, {});
  ASSERT_TRUE(composed);
  const auto sketch = parse_sketch(composed->room_json, "room.json");
  ASSERT_TRUE(sketch);
  EXPECT_NEAR(sketch->height_m, 2.715, 1e-9);
}

TEST_F(InterviewTest, AMeasuredAngleShapesTheRoom) {
  Answers answers = den();
  answers.set("angles", "yes");
  answers.set("angle_front_left", "93 deg");
  ASSERT_TRUE(review(answers));
  const auto composed = compose(answers, {});
  ASSERT_TRUE(composed);
  EXPECT_GT(composed->outline.corners[2].y, composed->outline.corners[1].y + 0.03);
}

TEST_F(InterviewTest, WallsThatNobodyKnowsBecomeARange) {
  Answers answers = den();
  answers.set("wall_left", kDoNotKnow);
  answers.set("listener", "2 m");
  ASSERT_TRUE(review(answers));
  const auto low = compose(answers, {{"wall_left", 0}}),
             high = compose(answers, {{"wall_left", 1}});
  ASSERT_TRUE(low);
  ASSERT_TRUE(high);
  EXPECT_NEAR(low->outline.corners[1].y, 3, 1e-6);
  EXPECT_NEAR(high->outline.corners[1].y, 6, 1e-6);
}

TEST_F(InterviewTest, DoNotKnowIsAllowedWhereverALengthIsAsked) {
  Answers answers = den();
  answers.set("hollow_walls", "all");
  for (const char* key : {"doors", "windows", "network_points"}) answers.set(key, "1");
  for (const Question& question : questions(answers)) {
    const auto answer = understood(question, "?", DisplayUnits::metric);
    EXPECT_TRUE(answer) << question.key;
  }
}

TEST_F(InterviewTest, AnOlderFileOfAnswersOpensAndANewerOneSaysWhatToDo) {
  ASSERT_TRUE(write_file(folder_ / "old.txt", "name: Den\n"));
  EXPECT_TRUE(read_answers(folder_ / "old.txt"));
  ASSERT_TRUE(write_file(folder_ / "now.txt", to_text(den())));
  const auto now = read_answers(folder_ / "now.txt");
  ASSERT_TRUE(now);
  EXPECT_EQ(now->all(), den().all());
  ASSERT_TRUE(write_file(folder_ / "new.txt", "version: 2\nname: Den\n"));
  const auto newer = read_answers(folder_ / "new.txt");
  ASSERT_FALSE(newer);
  EXPECT_EQ(newer.error().code, "version.newer");
  EXPECT_NE(newer.error().remedy.find("newer roomloom"), std::string::npos);
}

TEST_F(InterviewTest, TheHousesFavouritesAndShelfServeTheFirstAnswer) {
  ASSERT_TRUE(write_file(folder_ / "house.json", R"({"favourites": {"loudspeaker": "pair"},
      "cables": [{"id": "pair", "like": "speaker 2x2.5"}],
      "stock": {"spools": [{"cable": "pair", "length": 70}]}})"));
  const auto habits = house_habits(folder_ / "house.json");
  ASSERT_TRUE(habits) << to_text(habits.error());
  Answers answers = den();
  answers.set_house_stock(true);
  answers.set("shelf_speaker", kAsInHouse);
  ASSERT_TRUE(review(answers));
  PlanOptions options = quick();
  options.house = folder_ / "house.json";
  const auto answer = first_answer(answers, folder_ / "work", options, *habits);
  ASSERT_TRUE(answer) << to_text(answer.error());
  EXPECT_NE(answer->find("pair: "), std::string::npos) << *answer;
  EXPECT_NE(answer->find("on the shelf 70.0 m: enough"), std::string::npos) << *answer;
}

TEST_F(InterviewTest, TextFitsATerminalHoweverNarrow) {
  const std::string text =
      fitted("  S1  rack to M+030                        12 m to 14 m\nshort\n", 30);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 30U) << line;
  EXPECT_NE(text.find("short\n"), std::string::npos);
  EXPECT_EQ(fitted("one line\n", 30), "one line\n");
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
