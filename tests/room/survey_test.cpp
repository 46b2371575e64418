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

// A rule that matches nothing would teach nothing.
TEST(Survey, AsksOfPartsByTheirOwnNames) {
  Scene scene = surveyed_scene();
  for (Part& part : scene.parts)
    if (part.name.starts_with("Wall ")) part.name = "Blue wall" + part.name.substr(4);
  const std::string text = survey_text(scene, room_from(scene));
  EXPECT_NE(text.find("\"match\": \"Blue wall *\", \"build\": \"stud\""), std::string::npos)
      << text;
}

TEST(Survey, TellsWhereEachOfSeveralSheetsOfOnePartIs) {
  Scene scene = surveyed_scene();
  for (Part& part : scene.parts)
    if (part.name == "Wall left" || part.name == "Wall right") part.name = "Wall side";
  const std::string text = survey_text(scene, room_from(scene));
  const auto line_of = [&](const std::string& name) {
    const std::size_t from = text.find("\"" + name + "\": wall");
    return from == std::string::npos ? "" : text.substr(from, text.find('\n', from) - from);
  };
  const std::string one = line_of("Wall side"), other = line_of("Wall side (2)");
  for (const char* place : {"round (0.000 m, 2.800 m", "round (4.200 m, 2.800 m"})
    EXPECT_NE((one + other).find(place), std::string::npos) << one << "\n" << other;
  EXPECT_EQ(line_of("Wall front").find("round"), std::string::npos);
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
  Job job;
  job.units = DisplayUnits::feet_and_inches;
  const std::string text = survey_text(scene, room_from(scene, job), job.units);
  EXPECT_NE(text.find(" ft "), std::string::npos);
  for (const char* metric : {" m2", " m3", " mm", " m,", " m)"})
    EXPECT_EQ(text.find(metric), std::string::npos) << metric << " in\n" << text;
}

// 4.2 x 5.6 x 2.5 m below the tiles, and 0.385 m of plenum over them: by the model's own planes,
// not by the cells that told the airs apart.
TEST(Survey, MeasuresTheAirsByTheirSurfaces) {
  const Scene scene = surveyed_scene();
  const Room room = room_from(scene);
  const Air& main = room.airs.at(static_cast<std::size_t>(room.main_air));
  EXPECT_NEAR(main.volume_m3, 4.2 * 5.6 * 2.5, 1e-3);
  EXPECT_NEAR(main.box.size().z, 2.5, 1e-6);
  for (const Air& air : room.airs) {
    if (air.kind != AirKind::plenum) continue;
    EXPECT_NEAR(air.volume_m3, area(room.voids.at(0).plan) * room.voids.at(0).height_m, 1e-9);
  }
}

TEST(Survey, SaysWhatComesNextForWhatItWasAsked) {
  const Scene scene = surveyed_scene();
  const Room room = room_from(scene);
  const auto next = [&](const SurveyAsked& asked) {
    const std::string text = survey_text(scene, room, DisplayUnits::metric, asked);
    return text.substr(text.find("What to do next"));
  };
  EXPECT_NE(next({}).find("--start job.json"), std::string::npos);
  const std::string started = next({"", "hall.json"});
  EXPECT_EQ(started.find("--start"), std::string::npos) << started;
  EXPECT_NE(started.find("roomloom route hall.json"), std::string::npos) << started;
  EXPECT_NE(started.find("to answer"), std::string::npos) << started;
  const std::string with_job = next({"mine.json", ""});
  EXPECT_EQ(with_job.find("to answer"), std::string::npos) << with_job;
  EXPECT_NE(with_job.find("1. gear, ends and runs in mine.json"), std::string::npos) << with_job;
}

}  // namespace
}  // namespace roomloom
