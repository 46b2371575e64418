#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

/// What is seen, in a room where it can be worked out by hand: similar triangles.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

/// 4 x 5 x 2.5 m, an eye 1.2 m up and 1 m from the back wall, and a box half way to the front wall.
Json the_room() {
  return Json::parse(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5,
    "furniture": [ { "name": "Chest", "at": [2, 3.2], "width": 1, "depth": 0.4, "height": 1 } ] })");
}

/// One run in raceway, 3 m along the front wall and 0.3 m above the floor.
Json the_job() {
  return Json::parse(R"({ "model": { "file": "room.glb" }, "prefer": "least cable",
    "sight": { "eyes": [ { "name": "Stool", "xyz": [2, 1, 1.2] } ] },
    "ends": [ { "id": "a", "at": "Wall front", "from_left": 0.5, "up": 0.3 },
              { "id": "b", "at": "Wall front", "from_left": 3.5, "up": 0.3 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6" } ] })");
}

struct Seen {
  TestFolder folder;
  std::optional<PlannedRoom> room;
  Findings findings;

  Seen(const Json& sketch, const Json& job) {
    sketch_model(sketch.dump(), folder, ".glb");
    auto planned = plan(job.dump(), folder);
    EXPECT_TRUE(planned) << to_text(planned.error());
    if (!planned) return;
    room.emplace(std::move(*planned));
    WriteOptions lists_only;
    lists_only.drawings = lists_only.report = false;
    const auto judged = write_plan(*room, folder / "out", lists_only);
    EXPECT_TRUE(judged) << to_text(judged.error());
    if (judged) findings = *judged;
  }
  bool tells(const std::string& id) const {
    return std::any_of(findings.items.begin(), findings.items.end(),
                       [&](const Finding& finding) { return finding.id == id; });
  }
  SeenFrom from(const std::string& eye) const {
    if (room)
      for (const SeenFrom& one : room->takeoff.seen)
        if (one.eye == eye) return one;
    ADD_FAILURE() << "nothing is told from " << eye;
    return {};
  }
};

TEST(SeenFromAStool, AChestHidesWhatSimilarTrianglesSay) {
  const Seen seen(the_room(), the_job());
  ASSERT_TRUE(seen.room);
  ASSERT_EQ(seen.room->takeoff.seen.size(), 1U);
  // The raceway's middle is off the wall by half its depth h. From the eye the chest's front is 2 m
  // away and 1 m wide; at 4 m - h it hides (4 - h) / 2 m. The line of sight is 0.75 m high there,
  // below the chest's top.
  const double half_depth = std::abs(seen.room->shapes.raceways.front().from.y - 5);
  ASSERT_LT(half_depth, 0.03);
  const double wanted = 3 - (4 - half_depth) / 2;
  EXPECT_NEAR(seen.from("Stool").open_m, wanted, 0.03);  // the ends' own stubs come on top
  EXPECT_FALSE(seen.tells("sight")) << "the check's rays agree";
  EXPECT_NE(seen.from("Stool").words.find("From Stool you will see 1.0 m"), std::string::npos)
      << seen.from("Stool").words;
}

TEST(SeenFromAStool, IsToldBehindWhatItIsSeen) {
  // A narrow tower before the front wall, below the line of sight to the run behind it: the eye sees
  // all of it, and the tower is what it sees it by.
  Json room = the_room(), job = the_job();
  room["furniture"] = Json::parse(R"([ { "name": "Left tower", "at": [2, 4.7], "width": 0.3,
    "depth": 0.3, "height": 0.9 } ])");
  for (Json& end : job["ends"]) end["up"] = 1.0;
  job["ends"][0]["from_left"] = 1.2;
  job["ends"][1]["from_left"] = 2.8;
  const Seen seen(room, job);
  ASSERT_TRUE(seen.room);
  EXPECT_NEAR(seen.from("Stool").open_m, 1.6, 0.03);
  EXPECT_NE(seen.from("Stool").words.find("you will see 1.6 m, behind Left tower."),
            std::string::npos)
      << seen.from("Stool").words;
}

TEST(SeenFromAStool, WithoutTheChestAllIsSeenAndBehindACurtainNothing) {
  Json room = the_room();
  room.erase("furniture");
  EXPECT_NEAR(Seen(room, the_job()).from("Stool").open_m, 3, 0.05);
  room["curtains"] = Json::parse(R"([ { "name": "Curtain", "wall": "Wall front", "from_left": 0.01,
    "off_wall": 0.4, "up": 0, "width": 3.98, "height": 2.4 } ])");
  const Seen seen(room, the_job());
  EXPECT_NEAR(seen.from("Stool").open_m, 3, 0.1);
  EXPECT_NEAR(seen.from("Stool").closed_m, 0, 0.01);
  EXPECT_FALSE(seen.tells("sight"));
  EXPECT_NE(seen.from("Stool").words.find("nothing with the curtains closed"), std::string::npos)
      << seen.from("Stool").words;
}

TEST(SeenFromAStool, ALineThatACheckFindsElsewhereIsTold) {
  TestFolder folder;
  const Json room = the_room();
  sketch_model(room.dump(), folder, ".glb");
  auto planned = plan(the_job().dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  planned->takeoff.seen.front().open_m = 0.2;  // a plan that flatters itself
  WriteOptions lists_only;
  lists_only.drawings = lists_only.report = false;
  const auto judged = write_plan(*planned, folder / "out", lists_only);
  ASSERT_TRUE(judged) << to_text(judged.error());
  EXPECT_TRUE(std::any_of(judged->items.begin(), judged->items.end(),
                          [](const Finding& finding) { return finding.id == "sight"; }));
}

TEST(SeenFromAStool, RacewayOfTheWallsColourCountsLess) {
  Json job = the_job();
  job["parts"] = Json::parse(R"([ { "match": "Wall *", "is": "wall", "colour": "white" } ])");
  job["sight"]["raceway_colour"] = "white";
  job["sight"]["blending_weight"] = 0.25;
  const SeenFrom alike = Seen(the_room(), job).from("Stool");
  EXPECT_NEAR(alike.open_weighted_m, 0.25 * alike.open_m, 0.03);
  job["sight"]["raceway_colour"] = "black";
  const SeenFrom dark = Seen(the_room(), job).from("Stool");
  EXPECT_NEAR(dark.open_weighted_m, dark.open_m, 1e-9);
  EXPECT_NEAR(dark.open_m, alike.open_m, 0.02);
}

/// From wall to wall by the front or by the back, which is as long: the way goes where a long, high
/// cupboard hides it from the eye.
double middle_of_way(double cupboard_y) {
  Json room = the_room();
  room["furniture"] = Json::array();
  room["furniture"].push_back({{"name", "Partition"},
                               {"at", {2, cupboard_y}},
                               {"width", 3.6},
                               {"depth", 0.1},
                               {"height", 2.0}});
  Json job = the_job();
  job["prefer"] = "least seen";
  job["sight"]["eyes"] = Json::parse(R"([ { "name": "Middle", "xyz": [2, 2.5, 1.2] } ])");
  job["ends"] = Json::parse(R"([ { "id": "a", "at": "Wall left", "from_left": 2.5, "up": 0.3 },
                                 { "id": "b", "at": "Wall right", "from_left": 2.5, "up": 0.3 } ])");
  const Seen seen(room, job);
  if (!seen.room) return -1;
  const CableShape& shape = seen.room->shapes.cables.front();
  return nearest_on(shape, {2, cupboard_y > 2.5 ? 5.0 : 0.0, 0}).y;
}

TEST(RoutingBySight, OfTwoWaysAlikeTheHiddenOneIsTaken) {
  EXPECT_NEAR(middle_of_way(4.6), 5, 0.05) << "by the front wall, behind the partition";
  EXPECT_NEAR(middle_of_way(0.4), 0, 0.05) << "by the back wall, behind the partition";
}

TEST(EyePoints, SeatsAndDoorsAreEyesUnlessTheJobSaysNo) {
  Json room = the_room();
  room["seats"] = Json::parse(
      R"([ { "name": "Sofa", "at": [2, 1], "width": 1.9, "depth": 0.9, "height": 0.8 } ])");
  room["doors"] = Json::parse(R"([ { "name": "Door", "wall": "Wall left", "from_left": 2,
    "width": 0.9, "height": 2.05, "opens": "out" } ])");
  Json job = the_job();
  const Seen all(room, job);
  ASSERT_TRUE(all.room);
  ASSERT_EQ(all.room->ends.eyes.size(), 3U);
  EXPECT_EQ(all.room->ends.eyes[0].name, "Sofa");
  EXPECT_EQ(all.room->ends.eyes[0].at.size(), 3U) << "three people in a row on 1.9 m";
  EXPECT_NEAR(all.room->ends.eyes[0].at[1].z, 1.2, 1e-6);
  EXPECT_EQ(all.room->ends.eyes[1].name, "Door");
  EXPECT_NEAR(all.room->ends.eyes[1].at[0].x, 0.1, 0.01);
  job["sight"]["seats"] = job["sight"]["doors"] = false;
  const Seen listed(room, job);
  ASSERT_TRUE(listed.room);
  EXPECT_EQ(listed.room->ends.eyes.size(), 1U);
}

}  // namespace
}  // namespace roomloom::testing
