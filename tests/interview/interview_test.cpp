#include "interview/interview.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <sstream>

#include "base/files.h"
#include "interview/assumptions.h"
#include "interview/sheet_page.h"
#include "sketch/sketch.h"
#include "types/loudspeaker_layouts.h"

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

/// Everything that can be asked is asked.
Answers everything() {
  Answers answers = den();
  for (const auto& [key, value] :
       {std::pair("hollow_walls", "all"), std::pair("doors", "1"), std::pair("windows", "1"),
        std::pair("network_points", "1"), std::pair("screen", "yes"), std::pair("angles", "yes"),
        std::pair("projector", "yes")})
    answers.set(key, value);
  for (const Question& question : questions(answers))
    if (!answers.has(question.key) && question.usual.empty()) answers.set(question.key, kDoNotKnow);
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

TEST_F(InterviewTest, DoNotKnowIsAllowedEverywhereAndIsKeptAsThat) {
  for (const Question& question : questions(everything())) {
    const auto answer = understood(question, "?", DisplayUnits::metric);
    ASSERT_TRUE(answer) << question.key;
    EXPECT_EQ(*answer, kDoNotKnow) << question.key;
  }
}

TEST_F(InterviewTest, WhatIsNotKnownIsARangeOrIsToldWithWhatIsTakenForIt) {
  Answers answers = everything();
  ASSERT_TRUE(review(answers));
  for (const Question& question : questions(answers)) answers.set(question.key, kDoNotKnow);
  for (const char* key : {"doors", "windows", "network_points"}) answers.set(key, "1");
  for (const char* key : {"suspended_ceiling", "screen", "projector"}) answers.set(key, "yes");
  answers.set("hollow_walls", "all");
  answers.set("loudspeakers", "0+2+0");
  const std::string told = assumptions_text(answers, {});
  for (const Question& question : questions(answers)) {
    if (!answers.unknown(question.key)) continue;
    const bool nothing_taken =  // a second measure of what others tell; none is taken for it
        question.key == "height_above" || question.key.starts_with("diagonal");
    EXPECT_EQ(told.find(question.text) != std::string::npos ||
                  (question.key.starts_with("tile_cut") && told.find("cut tiles") < told.size()),
              !nothing_taken)
        << question.key << " in\n"
        << told;
  }
  for (const char* line :
       {"How much room is there above the tiles? 0.15 m to 0.60 m.",
        "How wide is door 1? 0.60 m to 1.00 m.",
        "How large is a tile? 600 x 600 mm or 600 x 1200 mm.",
        "In which wall is door 1? back, as is usual.", "the corners are taken to be square"})
    EXPECT_NE(told.find(line), std::string::npos) << line << " in\n" << told;
}

TEST_F(InterviewTest, ACeilingOfWhichNothingIsKnownMayBeSuspendedAtAnyDepth) {
  Answers answers = den();
  answers.set("suspended_ceiling", kDoNotKnow);
  ASSERT_TRUE(review(answers));
  const std::string told = assumptions_text(answers, {});
  EXPECT_NE(told.find("in a grid? no or yes."), std::string::npos) << told;
  const auto with = compose(answers, {{"suspended_ceiling", 1}}), without = compose(answers, {});
  ASSERT_TRUE(with && without);
  EXPECT_NE(with->room_json.find("suspended_ceiling"), std::string::npos);
  EXPECT_EQ(without->room_json.find("suspended_ceiling"), std::string::npos);
}

TEST_F(InterviewTest, ADepthThatFollowsFromTwoHeightsIsNoRange) {
  Answers answers = den();
  answers.set("void_depth", kDoNotKnow);
  EXPECT_EQ(unknown_here(answers, {}).size(), 1U);
  answers.set("height_above", "2.715 m");
  EXPECT_TRUE(unknown_here(answers, {}).empty());
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

TEST_F(InterviewTest, EveryLayoutIsPlannedWithAScreenAndAProjectorOnWhatIsUsual) {
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    Answers answers = den();
    for (const auto& [key, value] :
         {std::pair("wall_front", "5 m"), std::pair("wall_left", "6 m"),
          std::pair("listener", "4 m"), std::pair("screen", "yes"), std::pair("projector", "yes"),
          std::pair("subwoofers", "4"), std::pair("projector_from_front", "4.5 m")})
      answers.set(key, value);
    answers.set("loudspeakers", system.name);
    ASSERT_TRUE(review(answers));
    const auto answer = first_answer(answers, folder_ / "work", quick());
    EXPECT_TRUE(answer) << system.name << ": " << to_text(answer.error());
  }
}

TEST_F(InterviewTest, RoomsWithinTheToldBoundsLieWithinTheToldRange) {
  Answers answers = den();
  const std::vector<std::pair<const char*, std::pair<const char*, const char*>>> ends = {
      {"height", {"2.3 m", "2.7 m"}},
      {"void_depth", {"0.15 m", "0.6 m"}},
      {"wall_front", {"3 m", "5 m"}},
      {"wall_left", {"3 m", "6 m"}},
      {"listener", {"1.5 m", "4.5 m"}},
      {"rack_from_left", {"0.75 m", "3.75 m"}},
      {"tile", {"600 x 600 mm", "600 x 1200 mm"}}};
  Answers unknown = answers;
  for (const auto& [key, between] : ends) unknown.set(key, kDoNotKnow);
  ASSERT_TRUE(review(unknown));
  const auto range = first_answer(unknown, folder_ / "work", quick());
  ASSERT_TRUE(range) << to_text(range.error());
  const auto in_all = [](const std::string& text) {
    const auto at = text.find("In all ") + 7;
    const double low = std::stod(text.substr(at));
    const auto to = text.find(" to ", at);
    return std::pair(low, to < text.find('\n', at) ? std::stod(text.substr(to + 4)) : low);
  };
  const auto [low, high] = in_all(*range);
  EXPECT_LT(low + 1, high) << *range;
  // Corners that no pair of the planned ones needs to be: by the bits of these numbers.
  for (const unsigned corner : {0x2bU, 0x54U, 0x0fU, 0x70U}) {
    Answers known = answers;
    for (std::size_t i = 0; i < ends.size(); ++i)
      known.set(ends[i].first, (corner >> i) & 1 ? ends[i].second.second : ends[i].second.first);
    // Places that depend on the walls stay within them.
    const double front = *known.length("wall_front"), left = *known.length("wall_left");
    known.set("rack_from_left", std::to_string(((corner >> 5) & 1 ? 0.75 : 0.25) * front) + " m");
    known.set("listener", std::to_string(((corner >> 4) & 1 ? 0.75 : 0.5) * left) + " m");
    ASSERT_TRUE(review(known));
    const auto one = first_answer(known, folder_ / "work", quick());
    ASSERT_TRUE(one) << to_text(one.error());
    EXPECT_GE(in_all(*one).first, low - 0.1) << corner;
    EXPECT_LE(in_all(*one).first, high + 0.1) << corner;
  }
  for (const char* said :
       {"rooms were planned", "each two of them", "no proof", "0.15 m to 0.60 m"})
    EXPECT_NE(range->find(said), std::string::npos) << said << " in\n" << *range;
}

TEST_F(InterviewTest, ASlipThatAnyOfSeveralMeasuresMayBeIsToldOfAllOfThem) {
  Answers answers = den();
  answers.set("diagonal_1", "5.7 m");  // 5.467 m, were the room square
  ASSERT_TRUE(review(answers));
  const auto composed = compose(answers, {});
  ASSERT_TRUE(composed);
  const std::string one = misclosure_text(*composed, DisplayUnits::metric);
  EXPECT_NE(one.find("the diagonal from front left"), std::string::npos) << one;
  EXPECT_NE(one.find("Or no measure is wrong and the corners"), std::string::npos) << one;
  answers.set("diagonal_1", kDoNotKnow);
  answers.set("wall_right", "4.2 m");
  answers.set("wall_back", "3.8 m");  // or the front wall, which is 3.5 m
  const auto both = compose(answers, {});
  ASSERT_TRUE(both);
  const std::string more = misclosure_text(*both, DisplayUnits::metric);
  EXPECT_NE(more.find("About as likely to be wrong are the front wall (measured 3.500 m"),
            std::string::npos)
      << more;
  EXPECT_NE(more.find(" and the back wall (measured 3.800 m"), std::string::npos) << more;
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
