#include <gtest/gtest.h>

#include "pipeline/planning.h"

/// Suspended ceilings over a part of a room and under slopes, from tape measures to a judged plan.
namespace roomloom::testing {
namespace {

/// A run from a rack at the front to a wall, and one to the middle of the ceiling, 2.4 m up.
std::string job_to(const std::string& middle) {
  return R"({ "model": { "file": "room.glb" },
    "parts": [ { "match": "Ceiling tiles", "is": "suspended ceiling", "tile": [0.6, 0.6],
                 "tile_origin": [0.1, 0.05], "handles_air": false } ],
    "gear": [ { "id": "rack", "box": [0.5, 0.4, 0.8], "at": "Wall front", "from_left": 0.5,
                "off_wall": 0.1, "ports": ["1..2"] } ],
    "ends": [ { "id": "a", "xyz": )" +
         middle + R"( },
              { "id": "b", "at": "Wall left", "from_left": 2.0, "up": 0.6 } ],
    "runs": [ { "id": "A", "from": "rack.1", "to": "a", "cable": "speaker 2x2.5" },
              { "id": "B", "from": "rack.2", "to": "b", "cable": "cat6" } ] })";
}

std::string room_with(const std::string& more) {
  return R"({ "name": "Room", "outline": { "width": 4.4, "depth": 5.5 }, "height": 2.9, )" + more +
         "}";
}

void expect_planned(const std::string& room, const std::string& middle) {
  const TestFolder folder;
  sketch_model(room, folder, ".glb");
  expect_planned_through_a_hole(job_to(middle), folder);
}

TEST(PartCeilings, OverAnEndOfTheRoomArePlannedThrough) {
  expect_planned(room_with(R"("suspended_ceiling": { "height": 2.4, "grid_from": [0.1, 0.05],
                                                    "over": [[0, 2.45], [4.4, 5.5]] })"),
                 "[2.2, 3.95, 2.4]");
}

// Its tiles, 9 to 18 mm thick, touch the walls, which go on above: from a rack below to an end
// above, cable goes through a tile or round the open edge, not up the wall past the tiles' edge.
TEST(PartCeilings, AreNotPassedWhereTheirTilesTouchAWall) {
  for (const char* more : {"", R"(, "as": "tiles")"}) {
    const TestFolder folder;
    sketch_model(
        room_with(R"("suspended_ceiling": { "height": 2.4, "over": [[0, 1.2], [4.4, 3.6]])" +
                  std::string(more) + "}"),
        folder, ".glb");
    const auto planned = plan(R"({ "model": { "file": "room.glb" },
      "parts": [ { "match": "Wall *", "build": "masonry" } ],
      "ends": [ { "id": "low", "at": "Wall left", "from_right": 2.4, "up": 2.2 },
                { "id": "high", "at": "Wall left", "from_right": 2.4, "up": 2.65 } ],
      "runs": [ { "id": "A", "from": "low", "to": "high", "cable": "cat6" } ] })",
                              folder);
    ASSERT_TRUE(planned) << to_text(planned.error());
    EXPECT_GT(cut_m(*planned, "A"), 2) << "0.45 m straight up";
    const auto judged = write_plan(*planned, folder / "out", {.drawings = false, .report = false});
    ASSERT_TRUE(judged) << to_text(judged.error());
    for (const Finding& finding : judged->items)
      EXPECT_NE(finding.level, Level::must) << finding.id << ": " << finding.text;
    for (const std::string& warning : planned->room.warnings)
      EXPECT_EQ(warning.find("miss each other"), std::string::npos) << warning;
  }
}

TEST(PartCeilings, BetweenSlopesArePlannedThrough) {
  expect_planned(room_with(R"("suspended_ceiling": { "height": 2.4, "grid_from": [0.1, 0.05] },
    "slopes": [ { "wall": "Wall left", "knee": 1.3, "pitch": 45 },
                { "wall": "Wall right", "knee": 1.3, "pitch": 45 } ])"),
                 "[1.6, 2.75, 2.4]");
}

const char* const kRaft = R"("suspended_ceiling": { "height": 2.4, "grid_from": [0.1, 0.05],
                                                  "over": [[0.7, 1.25], [3.7, 4.25]] })";

// As the message says: the cable comes out of the conduit's end and down to the tiles.
TEST(PartCeilings, ThatMeetNoWallAreReachedThroughAConduit) {
  expect_planned(room_with(kRaft + std::string(R"(, "conduits": [ { "name": "Conduit",
      "points": [[0.02, 3, 2.6], [1.3, 3, 2.6]], "diameter": 0.05, "inside_diameter": 0.045 } ])")),
                 "[2.2, 2.75, 2.4]");
}

TEST(PartCeilings, ThatMeetNoWallAreToldAsWhatCannotBeReached) {
  const TestFolder folder;
  sketch_model(room_with(kRaft), folder, ".glb");
  const auto planned = plan(job_to("[2.2, 2.75, 2.4]"), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (const PlannedRun& run : planned->plan.runs) {
    const bool to_raft = planned->ends.runs[static_cast<std::size_t>(run.run)].id == "A";
    EXPECT_EQ(run.routed, !to_raft);
    if (to_raft) {
      EXPECT_NE(run.blocked_by.find("meets no wall"), std::string::npos) << run.blocked_by;
    }
  }
}

}  // namespace
}  // namespace roomloom::testing
