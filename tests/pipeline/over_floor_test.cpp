#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

/// Gear and ends that stand in the floor, away from every wall.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

constexpr const char* kRoom = R"({ "name": "Open floor",
  "outline": { "width": 5, "depth": 6 }, "height": 2.6 })";

Json the_job(bool over_floor) {
  Json job = Json::parse(R"({ "model": { "file": "room.obj", "unit": "m", "up": "z" },
  "gear": [ { "id": "island", "box": [0.8, 0.5, 0.7], "xyz": [2.5, 3.2, 0], "ports": ["1..2"] } ],
  "ends": [ { "id": "stool", "xyz": [1.4, 1.7, 0.2], "mount": "on floor" },
            { "id": "socket", "at": "Wall left", "from_left": 4, "up": 0.3 } ],
  "runs": [ { "id": "N1", "from": "island.1", "to": "stool", "cable": "cat6" },
            { "id": "N2", "from": "island.2", "to": "socket", "cable": "cat6" } ] })");
  job["floor"] = {{"cross", over_floor ? "in raceway" : "nowhere"}};
  return job;
}

bool lies_on_floor(const PlannedRoom& planned, const CableShape& shape) {
  return std::any_of(shape.homes.begin(), shape.homes.end(), [&](const PlaceId& home) {
    return home.kind == PlaceKind::sheet &&
           planned.room.sheets[static_cast<std::size_t>(home.index)].role == SheetRole::floor;
  });
}

TEST(OverTheFloor, RacewayJoinsGearAndEndsThatStandInItWhereTheJobAllowsIt) {
  const TestFolder folder;
  sketch_model(kRoom, folder, ".obj");
  const auto planned = plan(the_job(true).dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (std::size_t i = 0; i < planned->shapes.cables.size(); ++i) {
    const CableShape& shape = planned->shapes.cables[i];
    ASSERT_TRUE(shape.routed) << planned->plan.runs[i].blocked_by;
    EXPECT_TRUE(lies_on_floor(*planned, shape)) << i;
  }
  // N1 runs 1.1 m across and 1.25 m along the floor from the gear's back (0.25 m behind its
  // middle): not by way of a wall.
  EXPECT_LT(drawn_m(*planned, "N1"), 4.5);
  const auto findings = write_plan(*planned, folder / "out");
  ASSERT_TRUE(findings) << to_text(findings.error());
  for (const Finding& finding : findings->items)
    EXPECT_NE(finding.level, Level::must) << finding.text;
}

TEST(OverTheFloor, GearThatStandsFreeNamesWhatWouldLetItsCableOut) {
  const TestFolder folder;
  sketch_model(kRoom, folder, ".obj");
  const auto planned = plan(the_job(false).dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (const PlannedRun& run : planned->plan.runs) {
    EXPECT_FALSE(run.routed);
    EXPECT_NE(run.blocked_by.find("in raceway"), std::string::npos) << run.blocked_by;
  }
}

}  // namespace
}  // namespace roomloom::testing
