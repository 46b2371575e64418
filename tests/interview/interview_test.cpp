#include "interview/interview.h"

#include <gtest/gtest.h>

#include <sstream>

#include "base/files.h"
#include "interview/den.h"
#include "interview/sheet_page.h"

namespace roomloom {
namespace {

class InterviewTest : public InFolder {};

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

TEST_F(InterviewTest, NoLineOfAnyQuestionIsWiderThanTheTerminal) {
  for (const int width : {80, 60, 40}) {
    Answers answers = everything();
    answers.set("name", "A room with a name that is longer than most rooms have");
    ASSERT_TRUE(review(answers));
    for (const Question& question : questions(answers))  // each with its longest offer
      if (question.kind == AnswerKind::choice && question.key != "units")
        answers.set(question.key, question.choices.back());
    ASSERT_TRUE(review(answers));
    std::string keys;
    for (std::size_t i = 0; i < questions(answers).size(); ++i) keys += "\n";
    std::istringstream in(keys);
    std::ostringstream out;
    const auto whole = ask(in, out, width, answers, folder_ / "answers.txt");
    ASSERT_TRUE(whole && *whole) << out.str();
    std::istringstream lines(out.str());
    for (std::string line; std::getline(lines, line);)
      EXPECT_LE(line.size(), static_cast<std::size_t>(width)) << line;
  }
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

TEST_F(InterviewTest, AllWrongAndOddAnswersOfAFileAreToldAtOnce) {
  Answers answers = den();
  answers.set("wall_front", "long");
  answers.set("subwoofers", "3");
  answers.set("void_depth", "3 mm");
  answers.set("wal_front", "4");
  const auto reviewed = review(answers);
  ASSERT_FALSE(reviewed);
  for (const char* key : {"wall_front: ", "subwoofers: ", "void_depth: ", "wal_front: "})
    EXPECT_NE(reviewed.error().what.find(key), std::string::npos) << reviewed.error().what;
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

TEST_F(InterviewTest, DoNotKnowIsAllowedEverywhereAndIsKeptAsThat) {
  for (const Question& question : questions(everything())) {
    const auto answer = understood(question, "?", DisplayUnits::metric);
    ASSERT_TRUE(answer) << question.key;
    EXPECT_EQ(*answer, kDoNotKnow) << question.key;
  }
}

TEST_F(InterviewTest, InchesAfterFeetNeedNoWord) {
  Answers answers = den();
  for (const Question& question : questions(answers)) {
    if (question.key != "height") continue;
    for (const char* typed : {"7 ft 10", "7' 10", "7'10", "7 ft 10 in"}) {
      const auto answer = understood(question, typed, DisplayUnits::feet_and_inches);
      ASSERT_TRUE(answer) << typed;
      EXPECT_NEAR(*parse_length(*answer), 94 * 0.0254, 1e-9) << typed;
    }
    const auto wrong = understood(question, "about four", DisplayUnits::metric);
    ASSERT_FALSE(wrong);
    EXPECT_NE(wrong.error().what.find("2.31 m"), std::string::npos);
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

TEST_F(InterviewTest, TheMeasuringSheetAsATableIsReadBackWithItsQuestionsLeftOut) {
  Answers answers = den();
  answers.set("name", "Den, \"small\"");
  ASSERT_TRUE(write_file(folder_ / "sheet.csv", measuring_sheet_csv(answers)));
  const auto read = read_answers(folder_ / "sheet.csv");
  ASSERT_TRUE(read) << to_text(read.error());
  EXPECT_EQ(read->text("name"), "Den, \"small\"");
  EXPECT_EQ(read->text("wall_left"), "420 cm");
  EXPECT_FALSE(read->has("diagonal_1"));
}

TEST_F(InterviewTest, EveryMeasureOfTheSheetHasItsNumberInADrawing) {
  const std::vector<Question> all = questions(everything());
  for (const Question& question : all) {
    if (question.kind != AnswerKind::length) continue;
    const SheetFigure figure = figure_of(question.key);
    ASSERT_TRUE(figure.draw) << question.key;
    std::string bytes;
    bool drawn = false;
    {
      SheetPage page(bytes);
      figure.draw(page, 0, 0, [&](const std::string& key) {
        drawn = drawn || key == question.key;
        return std::string("1");
      });
      ASSERT_TRUE(page.finish());
    }
    EXPECT_TRUE(drawn) << question.key << " is not in \"" << figure.title << "\"";
  }
}

}  // namespace
}  // namespace roomloom
