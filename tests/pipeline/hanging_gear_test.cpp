#include "pipeline/planning.h"

/// A projector that hangs from the ceiling and has sockets of its own.
namespace roomloom::testing {
namespace {

constexpr const char* kJob = R"({ "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.5, 1.0], "at": "Wall front", "from_left": 1.0,
              "off_wall": 0.1, "holds": [ { "id": "player", "ports": ["out", "net"] } ] },
            { "id": "projector", "box": [0.45, 0.4, 0.16], "xyz": [2.0, 1.7, 2.12],
              "ports": ["in", "net"], "powered": false } ],
  "runs": [ { "id": "V1", "from": "player.out", "to": "projector.in", "cable": "hdmi optical 48G" },
            { "id": "N1", "from": "player.net", "to": "projector.net", "cable": "cat6" } ] })";

TEST(HangingGear, IsWiredThroughAHoleBehindItInATiledCeiling) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Club", "outline": { "width": 4, "depth": 5.2 }, "height": 2.8,
                    "suspended_ceiling": { "height": 2.4, "tile": [0.6, 0.6] } })",
               folder, ".glb");
  expect_planned_through_a_hole(kJob, folder);
}

TEST(HangingGear, IsWiredAlongACeilingThatHasNoVoid) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Club", "outline": { "width": 4, "depth": 5.2 }, "height": 2.4 })",
               folder, ".glb");
  const auto planned = plan(kJob, folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  // From the rack's back up the wall and straight along the ceiling to the projector's back.
  EXPECT_LT(drawn_m(*planned, "N1"), 2.4 + 5.2 + 1.0);
}

}  // namespace
}  // namespace roomloom::testing
