#include <gtest/gtest.h>

#include "place/tests_place.h"

/// What is taken where the job leaves something open, or asks for more than there is: each is told
/// with how to overrule it.
namespace roomloom {
namespace {

using namespace testing_rooms;

constexpr double kW = 4.2, kD = 5.6, kH = 2.9;

const Guess* guess_about(const Ends& ends, const std::string& what) {
  for (const Guess& guess : ends.guesses)
    if (guess.what == what) return &guess;
  return nullptr;
}

TEST(Guesses, ALabelThatTheLayoutsSystemLacksIsPlacedByAnotherAndTold) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  set_listener(job, {2.1, 3.0, 1.2}, "0+5+0");
  add_gear(job, "amp", OnPart{"Wall front", 1.0, std::nullopt, std::nullopt, 0}, {0.6, 0.4, 0.5},
           0.1);
  for (const char* label : {"M+030", "U+030"}) add_run(job, label, "amp", label);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  EXPECT_EQ(guess_about(ends, "Direction of M+030"), nullptr) << "0+5+0 has it";
  const Guess* told = guess_about(ends, "Direction of U+030");
  ASSERT_NE(told, nullptr);
  EXPECT_EQ(told->value, "as system 2+5+0 has it, azimuth 30.0 deg, elevation 30.0 deg");
  EXPECT_EQ(told->why, "the layout's own system 0+5+0 has no U+030");
  EXPECT_EQ(told->overrule.find("\"system\": \"2+5+0\""), 0U) << told->overrule;
}

// A wall of 5.6 x 2.9 m cannot give a circle of 5 m; upward it gives least, 1.7 m from 1.2 m, and
// less downward.
TEST(Guesses, ALeaveToMoveThatTheSheetCutsIsToldWithWhatIsLeft) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "far", AtPoint{{0, 2.5, 1.2}}).may_move = MayMove{5, std::nullopt, {}};
  add_end(job, "near", AtPoint{{kW, 2.5, 1.2}}).may_move = MayMove{0.5, std::nullopt, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.guesses.size(), 1U) << "the second has all its room";
  EXPECT_EQ(ends.guesses[0].what, "Where /ends/0 may move");
  EXPECT_EQ(ends.guesses[0].value, "only within Wall left: to one side 1.20 m instead of 5.00 m");
  EXPECT_NE(ends.guesses[0].overrule.find("\"alternatives\""), std::string::npos);
}

TEST(Guesses, ALeaveToMoveThatAnOpeningOrACupboardCutsIsToldToo) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 2.7, 0, 1, kH);
  Zone zone;
  zone.name = "in Cupboard";
  zone.frame.origin = {1, 1, 0};
  zone.size = {0.8, 0.4, 1.8};
  box.room.zones.push_back(zone);
  Job job;
  add_end(job, "by the window", AtPoint{{0, 2.5, 1.2}}).may_move = MayMove{0.5, std::nullopt, {}};
  add_end(job, "inside", AtPoint{{1.4, 1.2, 0.9}}).may_move = MayMove{0.3, std::nullopt, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.guesses.size(), 2U);
  EXPECT_EQ(ends.guesses[0].value, "only within Wall left: to one side 0.20 m instead of 0.50 m");
  EXPECT_EQ(ends.guesses[1].value,
            "only within the space in Cupboard: to one side 0.20 m instead of 0.30 m");
}

/// A bay behind Wall left from 1.0225 to 1.3775 m along it: studs of 45 mm at 1.0 and 1.4 m.
BoxRoom room_with_a_bay() {
  BoxRoom box = box_room(kW, kD, kH);
  Crossing plate;
  plate.name = "plate in bay 1";
  plate.kind = CrossingKind::wall_plate;
  plate.from = {PlaceKind::sheet, 3};
  plate.to = {PlaceKind::void_space, 0};
  plate.frame = box.room.sheets[3].frame;
  plate.region.outline = rectangle(1.0225, 0, 1.3775, kH);
  box.room.crossings.push_back(plate);
  return box;
}

TEST(Guesses, AnEndBeforeAStudIsToldWithTheNearestPlaceOverABay) {
  const BoxRoom box = room_with_a_bay();
  Job job;
  add_end(job, "on the stud", OnPart{"Wall left", 1.4, std::nullopt, 0.3, 0});
  add_end(job, "in the bay", OnPart{"Wall left", 1.2, std::nullopt, 0.3, 0});
  add_end(job, "far from it", OnPart{"Wall left", 3.0, std::nullopt, 0.3, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.guesses.size(), 1U);
  EXPECT_EQ(ends.guesses[0].what, "Way into the wall at \"on the stud\"");
  // To 20 mm inside the bay: 1.3575 m, in whole centimetres.
  EXPECT_EQ(ends.guesses[0].overrule.find("a place 0.05 m farther left"), 0U)
      << ends.guesses[0].overrule;
}

}  // namespace
}  // namespace roomloom
