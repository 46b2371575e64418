#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

#include "base/files.h"
#include "pipeline/planning.h"

/// Ceilings of foreign models are drawn tile by tile, with joints as wide as the tees between them.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

/// Boxes as OBJ has them, in metres.
class Boxes {
 public:
  void add(const std::string& name, const Vec3& low, const Vec3& high) {
    text_ << "o " << name << "\n";
    for (const double z : {low.z, high.z})
      text_ << "v " << low.x << " " << low.y << " " << z << "\nv " << high.x << " " << low.y << " "
            << z << "\nv " << high.x << " " << high.y << " " << z << "\nv " << low.x << " "
            << high.y << " " << z << "\n";
    const int faces[6][4] = {{4, 3, 2, 1}, {5, 6, 7, 8}, {1, 2, 6, 5},
                             {2, 3, 7, 6}, {3, 4, 8, 7}, {4, 1, 5, 8}};
    for (const auto& face : faces) {
      text_ << "f";
      for (const int corner : face) text_ << " " << corner + first_;
      text_ << "\n";
    }
    first_ += 8;
  }
  std::string text() const { return text_.str(); }

 private:
  std::ostringstream text_;
  int first_ = 0;
};

/// 3.0 x 3.6 x 3.0 m; tiles of 600 mm less the joint, half of which is left along the walls.
std::string room_with_joints(double joint_m) {
  constexpr double kWide = 3.0, kDeep = 3.6, kHigh = 3.0, kThick = 0.15;
  Boxes boxes;
  const auto slab = [&](const char* name, double low, double high) {
    boxes.add(name, {-kThick, -kThick, low}, {kWide + kThick, kDeep + kThick, high});
  };
  slab("Floor", -0.1, 0);
  slab("Slab above", kHigh, kHigh + 0.1);
  boxes.add("Wall south", {-kThick, -kThick, 0}, {kWide + kThick, 0, kHigh});
  boxes.add("Wall north", {-kThick, kDeep, 0}, {kWide + kThick, kDeep + kThick, kHigh});
  boxes.add("Wall west", {-kThick, 0, 0}, {0, kDeep, kHigh});
  boxes.add("Wall east", {kWide, 0, 0}, {kWide + kThick, kDeep, kHigh});
  for (int x = 0; x < 5; ++x)
    for (int y = 0; y < 6; ++y)
      boxes.add("Ceiling tile " + std::to_string(x) + "-" + std::to_string(y),
                {x * 0.6 + joint_m / 2, y * 0.6 + joint_m / 2, 2.5},
                {(x + 1) * 0.6 - joint_m / 2, (y + 1) * 0.6 - joint_m / 2, 2.515});
  return boxes.text();
}

/// Ends on the middles of joints and off them, on the ceiling and on a wall.
Json job_across_joints() {
  return Json::parse(R"({ "model": { "file": "room.obj", "unit": "m" },
    "parts": [ { "match": "Ceiling tile *", "is": "suspended ceiling", "tile": [0.6, 0.6],
                 "handles_air": false },
               { "match": "Wall *", "build": "masonry" } ],
    "gear": [ { "id": "rack", "box": [0.6, 0.5, 0.9], "at": "Wall north", "from_left": 0.3,
                "off_wall": 0.1, "ports": ["1..4"] } ],
    "ends": [ { "id": "a", "at": "Suspended ceiling", "from_left": 0.9, "up": 2.7 },
              { "id": "b", "at": "Suspended ceiling", "from_left": 2.2, "up": 2.7 },
              { "id": "c", "at": "Suspended ceiling", "from_left": 1.5, "up": 1.0 },
              { "id": "d", "at": "Wall south", "from_left": 1.4, "up": 2.0 } ],
    "runs": [ { "id": "A", "from": "rack.1", "to": "a", "cable": "cat6" },
              { "id": "B", "from": "rack.2", "to": "b", "cable": "speaker 2x2.5" },
              { "id": "C", "from": "rack.3", "to": "c", "cable": "cat6" },
              { "id": "D", "from": "rack.4", "to": "d", "cable": "speaker 2x2.5" } ] })");
}

class TileByTile : public ::testing::TestWithParam<int> {};

TEST_P(TileByTile, IsACeilingThatRunsGoUpThroughAndLieAbove) {
  const TestFolder folder;
  ASSERT_TRUE(write_file(folder / "room.obj", room_with_joints(GetParam() / 1000.0)));
  expect_planned_through_a_hole(job_across_joints().dump(), folder);
}

INSTANTIATE_TEST_SUITE_P(JointsOfMillimetres, TileByTile, ::testing::Values(3, 10, 24));

}  // namespace
}  // namespace roomloom::testing
