#include "room/survey.h"

#include <nlohmann/json.hpp>

#include "rooms.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

Scene surveyed_scene() {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.openings.push_back(door("Door", "Wall back", 0.4, 0.9, 2.1));
  MarkerSketch marker;
  marker.name = "Listener";
  marker.place.at_m = {2.1, 2};
  marker.place.up_m = 1.2;
  sketch.markers.push_back(marker);
  return scene_from(sketch);
}

TEST(Survey, NamesWhatWasFoundAndHowToOverruleEachGuess) {
  const Scene scene = surveyed_scene();
  const Room room = room_from(scene);
  const std::string text = survey_text(scene, room);
  for (const char* expected :
       {"up axis: z", "suspended ceiling", "Wall front", "void \"plenum\"", "70 tiles",
        "\"Listener\" at (2.100 m, 2.000 m, 1.200 m)", "door \"Door\"", "23.52 m2"})
    EXPECT_NE(text.find(expected), std::string::npos) << expected << " not in\n" << text;
  for (const Guess& guess : room.guesses) {
    EXPECT_FALSE(guess.overrule.empty()) << guess.what;
    if (guess.what.rfind("Role of ", 0) == 0) continue;  // told once for all parts
    EXPECT_NE(text.find(guess.overrule), std::string::npos) << guess.what;
  }
}

TEST(Survey, IsTheSameInJson) {
  const Scene scene = surveyed_scene();
  const Room room = room_from(scene);
  const auto json = nlohmann::json::parse(survey_json(scene, room));
  EXPECT_EQ(json["sheets"].size(), room.sheets.size());
  EXPECT_EQ(json["seams"].size(), room.seams.size());
  EXPECT_EQ(json["parts"].size(), scene.parts.size());
  EXPECT_EQ(json["guesses"].size(), room.guesses.size());
  EXPECT_EQ(json["tile_grids"][0]["tiles"].size(), 70U);
  EXPECT_EQ(json["tile_grids"][0]["tiles"][0]["name"], "A1");
  EXPECT_NEAR(json["voids"][0]["height_m"].get<double>(), 0.385, 1e-6);
}

TEST(Survey, TakesFeetAndInches) {
  const Scene scene = surveyed_scene();
  const std::string text = survey_text(scene, room_from(scene), DisplayUnits::feet_and_inches);
  EXPECT_NE(text.find(" ft "), std::string::npos);
}

}  // namespace
}  // namespace roomloom
