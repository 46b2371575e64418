#include <gtest/gtest.h>

#include <random>
#include <string>

#include "base/files.h"
#include "sketch/solids_support.h"

namespace roomloom {
namespace {

constexpr const char* kRoom = R"({
  // Measured on a rainy day.
  "name": "Test room",
  "outline": { "width": "13 ft 9 in", "depth": 5.6 },
  "height": "2900 mm",
  "wall_thickness": "20 cm",
  "walls": [ { "name": "Wall left", "build": "stud", "thickness": "4 3/4 in" } ],
  "suspended_ceiling": { "height": 2.5, "tile": ["600 mm", 0.6], "grid_from": [0.3, "-0.1 m"],
                         "as": "tiles" },
  "doors": [ { "name": "Door", "wall": "Wall back", "from_right": 0.4, "width": 0.9,
               "height": 2.05, "hinge": "right", "swing": "80 deg" } ],
  "vents": [ { "name": "Vent low", "wall": "Wall left", "from_left": 1, "up": 0.2,
               "width": 0.3, "height": 0.15 },
             { "name": "Vent high", "tile": "B2", "size": [0.3, 0.3] } ],
  "mains": [ { "name": "Mains", "wall": "Wall left", "points": [[0.2, 0.3], [4, 0.3]],
               "off_wall": 0.01, "diameter": 0.02, "note": "clipped above the skirting" } ],
  "seats": [ { "name": "Seat", "at": [2, 3], "turn": 15, "width": 0.7, "depth": 0.8,
               "height": 0.9 } ]
})";

std::string mistakes(const std::string& text) {
  const Result<RoomSketch> sketch = parse_sketch(text, "room.json");
  return sketch ? "was read" : to_text(sketch.error());
}

void expect_told(const std::string& text, const std::string& part) {
  EXPECT_NE(mistakes(text).find(part), std::string::npos) << mistakes(text);
}

TEST(ReadSketch, LengthsComeInAnyUnitAndBareNumbersAreMetres) {
  const Result<RoomSketch> sketch = parse_sketch(kRoom, "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  EXPECT_NEAR(sketch->width_m, 4.191, 1e-9);  // 165 in x 25.4 mm
  EXPECT_NEAR(sketch->depth_m, 5.6, 1e-12);
  EXPECT_NEAR(sketch->height_m, 2.9, 1e-12);
  EXPECT_NEAR(sketch->walls[0].thickness_m, 0.2, 1e-12);
  EXPECT_NEAR(sketch->walls[3].thickness_m, 0.12065, 1e-9);
  EXPECT_EQ(sketch->walls[3].build, Build::stud);
  EXPECT_NEAR(sketch->suspended_ceiling->grid_from_m[1], -0.1, 1e-12);
  EXPECT_TRUE(sketch->suspended_ceiling->tile_by_tile);
}

TEST(ReadSketch, AnOlderRoomOpensAndANewerOneSaysWhatToDo) {
  const std::string rest = R"("name": "Den", "outline": {"width": 4, "depth": 5}, "height": 2.5})";
  EXPECT_TRUE(parse_sketch("{" + rest, "room.json"));
  EXPECT_TRUE(parse_sketch("{\"version\": 1, " + rest, "room.json"));
  const auto newer = parse_sketch("{\"version\": 2, \"new_key\": 1, " + rest, "room.json");
  ASSERT_FALSE(newer);
  EXPECT_EQ(newer.error().code, "version.newer") << "what else is new is not judged";
  EXPECT_NE(newer.error().remedy.find("newer roomloom"), std::string::npos);
  EXPECT_EQ(parse_sketch("{\"version\": \"x\", " + rest, "room.json").error().code,
            "version.wrong");
}

TEST(ReadSketch, DoorsKeepTheirSwingAndHinge) {
  const Result<RoomSketch> sketch = parse_sketch(kRoom, "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  EXPECT_NEAR(sketch->openings[0].swing_rad, radians(80), 1e-12);
  EXPECT_FALSE(sketch->openings[0].hinge_left);
  EXPECT_TRUE(sketch->openings[0].opens_in);
  EXPECT_NEAR(*sketch->openings[0].from_right_m, 0.4, 1e-12);
}

TEST(ReadSketch, AVentLiesInItsWallOrInATile) {
  const Result<RoomSketch> sketch = parse_sketch(kRoom, "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  EXPECT_EQ(sketch->openings[1].name, "Vent low");
  EXPECT_EQ(sketch->ceiling_things[0].name, "Vent high");
  expect_sound(built(*sketch));
}

TEST(ReadSketch, AMisspeltKeyIsToldWithItsPlaceAndTheNearest) {
  expect_told(R"({"name": "R", "outline": {"width": 4, "depth": 5}, "heigth": 2.5})",
              "/heigth: this key is not known here. Did you mean \"height\"?");
  expect_told(R"({"name": "R", "outline": {"width": 4, "depth": 5}, "heigth": 2.5})",
              "the key \"height\" is missing");
}

TEST(ReadSketch, AllMistakesComeAtOnce) {
  const std::string text = R"({"name": "R", "outline": {"width": "4 spans", "depth": 5},
    "height": true, "walls": [{"name": "Wall lef", "build": "masonary"}],
    "doors": [{"name": "Door", "wall": "Wall left", "width": 0.9, "height": 2}]})";
  expect_told(text, "5 mistakes");
  expect_told(text, "/outline/width: expected a length such as 2.31, \"600 mm\"");
  expect_told(text, "/height: expected a length");
  expect_told(text,
              "/walls/0/name: the outline has no wall \"Wall lef\". Did you mean \"Wall left\"");
  expect_told(text, "Did you mean \"masonry\"?");
  expect_told(text, "/doors/0: give either \"from_left\" or \"from_right\"");
}

TEST(ReadSketch, BrokenJsonIsToldWithItsLine) {
  expect_told("{\n  \"name\": \"R\",\n  \"height\": 2.5,,\n}", "line 3");
}

TEST(ReadSketch, AKeyGivenTwiceIsRefused) {
  expect_told(R"({"name": "R", "outline": {"width": 4, "depth": 5}, "height": 2, "height": 3})",
              "\"height\" is given twice");
}

TEST(ReadSketch, OnlyTheLastWallMayBeWithoutLength) {
  expect_told(R"({"name": "R", "height": 2.5, "outline": {"walls": [{"name": "A"},
    {"name": "B", "length": 2}, {"name": "C", "length": 2}]}})",
              "/outline/walls/1: only the last wall's");
}

TEST(ReadSketch, TwoKindsOfOutlineAtOnceAreRefused) {
  expect_told(R"({"name": "R", "height": 2.5,
                  "outline": {"width": 3, "depth": 3, "points": [[0, 0]]}})",
              "give the outline once");
}

TEST(ReadSketch, WallsByLengthAndCornerMakeAnOutline) {
  const Result<RoomSketch> sketch = parse_sketch(R"({"name": "R", "height": 2.5, "outline":
    {"walls": [{"name": "Wall front", "length": 4, "corner": 90},
               {"name": "Wall right", "length": 3, "corner": "90 deg"},
               {"name": "Wall back", "length": 2, "corner": 120}, {"name": "Wall slant"}]}})",
                                                 "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  const Solids solids = built(*sketch);
  expect_sound(solids);
  EXPECT_EQ(part_named(solids, "Ceiling").extras.at("is"), "ceiling");
}

std::string page_example() {
  const auto page = read_file(ROOMLOOM_SOURCE_DIR "/src/sketch/ROOM_FILE.md");
  if (!page) return {};
  const std::string fence = "```json\n";
  const std::size_t from = page->find(fence) + fence.size();
  return page->substr(from, page->find("```", from) - from);
}

TEST(ReadSketch, TheExampleInTheFormatsOwnPageIsReadAndBuilt) {
  const Result<RoomSketch> sketch = parse_sketch(page_example(), "ROOM_FILE.md");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  const Solids solids = built(*sketch);
  expect_sound(solids);
  // Six of the room, the ceiling, seven that fill openings (a passage has no part), three joists,
  // eleven entries more, and two stretches of a walkway.
  EXPECT_EQ(solids.parts.size(), 30U);
}

// Changed bytes give another room or an error with a place and a remedy, never a crash.
TEST(ReadSketch, DamagedFilesAreReadOrRefusedInWords) {
  const std::string whole = page_example();
  ASSERT_FALSE(whole.empty());
  int refused = 0, made = 0;
  for (unsigned seed = 1; seed <= 400; ++seed) {
    std::mt19937 random(seed);
    std::string text = whole;
    for (unsigned long n = random() % 3 + 1; n > 0; --n) {
      const std::size_t at = random() % text.size();
      switch (random() % 4) {
        case 0:
          text[at] = static_cast<char>(random() % 256);
          break;
        case 1:
          text.erase(at, random() % 20);
          break;
        case 2:
          text.insert(at, text.substr(random() % text.size(), random() % 30));
          break;
        default:
          text[at] = "0123456789.-,:\"{}[]"[random() % 19];
          break;
      }
    }
    const Result<RoomSketch> sketch = parse_sketch(text, "room.json");
    const Result<Solids> solids = sketch ? build_sketch(*sketch) : sketch.error();
    if (solids) {
      ++made;
      expect_sound(*solids);
    } else {
      ++refused;
      EXPECT_FALSE(solids.error().what.empty());
    }
  }
  EXPECT_GT(refused, 100);
  EXPECT_GT(made, 10);
}

TEST(ReadSketch, AJobInItsPlaceIsCalledSo) {
  const auto sketch = parse_sketch(
      "{ \"model\": {\"file\": \"a.glb\"}, \"runs\": [], } // a job may end so", "job.json");
  ASSERT_FALSE(sketch);
  EXPECT_EQ(sketch.error().code, "sketch.is-job");
}

TEST(ReadSketch, AMissingFileIsAnError) {
  const Result<RoomSketch> sketch = read_sketch("/nowhere/room.json");
  ASSERT_FALSE(sketch);
  EXPECT_EQ(sketch.error().code, "file.missing");
}

}  // namespace
}  // namespace roomloom
