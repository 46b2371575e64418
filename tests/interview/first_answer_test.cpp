#include <gtest/gtest.h>

#include "base/files.h"
#include "interview/assumptions.h"
#include "interview/den.h"
#include "interview/interview.h"
#include "sketch/sketch.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom {
namespace {

class FirstAnswer : public InFolder {};

TEST_F(FirstAnswer, HeightsThatDisagreeAreSharedOutAndTold) {
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

TEST_F(FirstAnswer, AHeightThatIsNotKnownFollowsFromTheOthers) {
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

TEST_F(FirstAnswer, AMeasuredAngleShapesTheRoom) {
  Answers answers = den();
  answers.set("angles", "yes");
  answers.set("angle_front_left", "93 deg");
  ASSERT_TRUE(review(answers));
  const auto composed = compose(answers, {});
  ASSERT_TRUE(composed);
  EXPECT_GT(composed->outline.corners[2].y, composed->outline.corners[1].y + 0.03);
}

TEST_F(FirstAnswer, WallsThatNobodyKnowsBecomeARange) {
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

TEST_F(FirstAnswer, WhatIsNotKnownIsARangeOrIsToldWithWhatIsTakenForIt) {
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
        "In which wall is door 1? back, as is usual.", "the corners are taken to be square",
        "the suspended ceiling over the whole room (\"over\" says where"})
    EXPECT_NE(told.find(line), std::string::npos) << line << " in\n" << told;
}

TEST_F(FirstAnswer, ACeilingOfWhichNothingIsKnownMayBeSuspendedAtAnyDepth) {
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

TEST_F(FirstAnswer, ADepthThatFollowsFromTwoHeightsIsNoRange) {
  Answers answers = den();
  answers.set("void_depth", kDoNotKnow);
  EXPECT_EQ(unknown_here(answers, {}).size(), 1U);
  answers.set("height_above", "2.715 m");
  EXPECT_TRUE(unknown_here(answers, {}).empty());
}

TEST_F(FirstAnswer, TheHousesFavouritesAndShelfServeTheFirstAnswer) {
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

TEST_F(FirstAnswer, EveryLayoutIsPlannedWithAScreenAndAProjectorOnWhatIsUsual) {
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

TEST_F(FirstAnswer, RoomsWithinTheToldBoundsLieWithinTheToldRange) {
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

TEST_F(FirstAnswer, ASlipThatAnyOfSeveralMeasuresMayBeIsToldOfAllOfThem) {
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

TEST_F(FirstAnswer, AKnownRoomGivesOneLengthARun) {
  Answers answers = den();
  ASSERT_TRUE(review(answers));
  const auto answer = first_answer(answers, folder_ / "work", quick());
  ASSERT_TRUE(answer) << to_text(answer.error());
  EXPECT_NE(answer->find("S1  rack to M+030"), std::string::npos);
  EXPECT_EQ(answer->find(" to 5"), std::string::npos) << *answer;
  EXPECT_NE(answer->find("on the shelf 50.0 m: enough"), std::string::npos) << *answer;
  EXPECT_FALSE(fs::exists(folder_ / "work"));
}

TEST_F(FirstAnswer, WhatIsNotKnownBecomesARangeAndTheOneThatDecidesMostIsNamed) {
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

TEST_F(FirstAnswer, AJobThatWasChangedByHandIsKept) {
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

TEST_F(FirstAnswer, ASkewRoomIsSketchedAsItsMeasuresSay) {
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
