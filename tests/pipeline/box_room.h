#pragma once

#include <nlohmann/json.hpp>

/// A small room of masonry under tiles, with a rack, three ends and a run to each.
namespace roomloom::testing {

using Json = nlohmann::json;

constexpr const char* kBoxRoom = R"({ "name": "Box",
  "outline": { "width": 4.1, "depth": 5.3 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6], "as": "tiles" } })";

inline Json box_job() {
  return Json::parse(R"({ "model": { "file": "room.glb" },
  "parts": [ { "match": "Wall *", "is": "wall", "build": "masonry" } ],
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.5,
              "off_wall": 0.15, "ports": ["1..12"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1.1, "up": 0.4 },
            { "id": "screen", "at": "Wall left", "from_left": 3.3, "up": 1.5 },
            { "id": "speaker", "at": "Wall right", "from_left": 2.9, "up": 1.9 } ],
  "runs": [ { "id": "N1", "from": "rack.1", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack.2", "to": "screen", "cable": "cat6" },
            { "id": "S1", "from": "rack.3", "to": "speaker", "cable": "speaker 2x1.5" } ] })");
}

}  // namespace roomloom::testing
