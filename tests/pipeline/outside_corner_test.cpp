#include <gtest/gtest.h>

#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

// A room of our own with a step in it: a run comes round the step's outside corner to an end close
// behind, in a raceway that keeps it 5 mm off both faces. It touches the face it ends on, and is
// behind that face's plane only where the face has ended.
TEST(OutsideCorner, ARunRoundItToAnEndCloseBehindCutsNothing) {
  const TestFolder folder;
  sketch_model(
      R"({ "name": "Step", "height": 3.04, "wall_thickness": 0.1, "wall_build": "concrete",
           "outline": { "points": [[0, 0], [0, 4.02], [1.59, 4.02], [1.59, 2.41], [3.18, 2.41],
                                   [3.18, 0]],
                        "names": ["Wall left", "Wall front", "Wall step", "Wall nook",
                                  "Wall right", "Wall back"] },
           "suspended_ceiling": { "height": 2.54, "tile": [0.6, 0.6] },
           "doors": [ { "name": "Door", "wall": "Wall step", "from_left": 0.28, "width": 0.9,
                        "height": 2, "swing": 90 } ],
           "furniture": [ { "name": "Table", "at": [1.27, 1.41], "width": 1, "depth": 0.6,
                            "height": 0.74 } ] })",
      folder, ".step");
  const auto planned = plan(
      R"({ "model": { "file": "room.step", "seed": [0.5, 0.5, 1.2] },
           "parts": [ { "match": "Ceiling tiles", "is": "suspended ceiling", "tile": [0.6, 0.6] },
                      { "match": "Wall *", "is": "wall", "build": "concrete" } ],
           "gear": [ { "id": "rack", "box": [0.6, 0.45, 0.8], "at": "Wall right", "from_left": 1.3,
                       "off_wall": 0.1, "ports": ["1..13"] } ],
           "ends": [ { "id": "e2", "at": "Wall step", "from_left": 1.43, "up": 1.29 },
                     { "id": "e4", "at": "Wall nook", "from_left": 0.21, "up": 0.61 },
                     { "id": "e5", "xyz": [0.4, 1.93, 2.54], "mount": "on sheet" },
                     { "id": "e6", "at": "Wall front", "from_left": 1.34, "up": 1.77 },
                     { "id": "e7", "at": "Wall nook", "from_left": 0.42, "up": 1.32 },
                     { "id": "e10", "xyz": [0.62, 0.95, 2.54], "mount": "on sheet" },
                     { "id": "e11", "at": "Wall left", "from_left": 3.66, "up": 0.23 } ],
           "runs": [ { "id": "R2", "from": "rack.3", "to": "e2", "cable": "tv coax" },
                     { "id": "R4", "from": "rack.5", "to": "e4", "cable": "speaker 2x14awg" },
                     { "id": "R5", "from": "rack.6", "to": "e5", "cable": "line coax",
                       "provision": true },
                     { "id": "R6", "from": "rack.7", "to": "e6", "cable": "cat6",
                       "end": { "may_move": { "radius": 0.3 } } },
                     { "id": "R7", "from": "rack.8", "to": "e7", "cable": "speaker 2x2.5",
                       "end": { "may_move": { "radius": 0.3 } } },
                     { "id": "R10", "from": "rack.11", "to": "e10", "cable": "cat6" },
                     { "id": "R11", "from": "rack.12", "to": "e11", "cable": "speaker 2x14awg" } ]
         })",
      folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  WriteOptions lists_only;
  lists_only.drawings = lists_only.report = false;
  const auto findings = write_plan(*planned, folder / "out", lists_only);
  ASSERT_TRUE(findings) << to_text(findings.error());
  for (const Finding& finding : findings->items)
    EXPECT_NE(finding.level, Level::must) << finding.text;
}

}  // namespace
}  // namespace roomloom::testing
