#include <algorithm>

#include "rooms.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

// Slab at 2.9 m, tiles of 15 mm at 2.5 m: the void is 0.385 m high.
RoomSketch hall() {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  return sketch;
}

/// Floor, walls and slab as one part, as a box that was cut out of a larger one is.
Scene as_one_body(const Scene& scene) {
  Scene body = scene;
  body.parts.assign(1, scene.parts.front());
  body.parts[0].name = body.parts[0].path = "Body";
  body.parts[0].extras = {{"is", "wall"}};
  body.points.clear();
  body.triangles.clear();
  const auto take = [&](const Part& part) {
    const auto first = static_cast<std::uint32_t>(body.points.size());
    for (std::uint32_t i = 0; i < part.point_count; ++i)
      body.points.push_back(scene.points[part.first_point + i]);
    for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
      auto triangle = scene.triangles[part.first_triangle + i];
      for (std::uint32_t& corner : triangle) corner += first - part.first_point;
      body.triangles.push_back(triangle);
    }
  };
  std::vector<Part> others;
  for (const Part& part : scene.parts)
    if (part.name == "Ceiling tiles")
      others.push_back(part);
    else
      take(part);
  body.parts[0].first_point = body.parts[0].first_triangle = 0;
  body.parts[0].point_count = static_cast<std::uint32_t>(body.points.size());
  body.parts[0].triangle_count = static_cast<std::uint32_t>(body.triangles.size());
  for (Part part : others) {
    const auto point = static_cast<std::uint32_t>(body.points.size());
    const auto triangle = static_cast<std::uint32_t>(body.triangles.size());
    take(part);
    part.first_point = point;
    part.first_triangle = triangle;
    body.parts.push_back(part);
  }
  return body;
}

bool guesses(const Room& room, const std::string& what, const std::string& why) {
  return std::any_of(room.guesses.begin(), room.guesses.end(), [&](const Guess& guess) {
    return guess.what == what && guess.why.find(why) != std::string::npos;
  });
}

TEST(Plenum, EndsUnderTheBodyThatIsWallsAndSlabInOne) {
  const Room room = room_from(as_one_body(scene_from(hall())));
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_NEAR(room.voids[0].height_m, 2.9 - 2.515, 1e-4);
  EXPECT_TRUE(guesses(room, "Height of plenum", "\"Body\" is what lies over"));
  EXPECT_TRUE(room.voids[0].obstacles.empty()) << "it is round the void, not in it";
}

/// The hall with one beam from left to right under the slab, which the model calls a wall.
Room hall_with_downstand(double depth_m, double raised_m = 0) {
  RoomSketch sketch = hall();
  JoistsSketch beam;
  beam.first_m = 3;
  beam.width_m = 0.12;
  beam.depth_m = depth_m;
  beam.count = 1;
  sketch.joists.push_back(beam);
  Scene scene = scene_from(sketch);
  for (Part& part : scene.parts)
    if (part.name.starts_with("Joist")) {
      part.extras["is"] = "wall";
      for (std::uint32_t i = 0; i < part.point_count; ++i)
        scene.points[part.first_point + i].z += raised_m;
    }
  return room_from(scene);
}

TEST(Plenum, HasItsDownstandsAndWallsInTheWayOfCables) {
  const Room room = hall_with_downstand(0.2);
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_NEAR(room.voids[0].height_m, 2.9 - 2.515, 1e-4) << "its underside is not the deck's";
  ASSERT_EQ(room.voids[0].obstacles.size(), 1U);
  const Box3& box = room.voids[0].obstacles[0].box;
  EXPECT_NEAR(box.low.z, 2.7 - 2.515, 1e-4);
  EXPECT_NEAR(box.high.z, room.voids[0].height_m, 1e-4);
  const Vec3 middle = room.voids[0].frame.to_world((box.low + box.high) * 0.5);
  EXPECT_NEAR(middle.y, 3, 0.001);
  EXPECT_NEAR(box.size().y, 0.12, 0.002);
  EXPECT_NEAR(box.size().x, 4.2, 0.002) << "to the walls: no cable slips through there";
}

TEST(Plenum, HasNothingInItThatStandsOnTheStoreyAbove) {
  const Room room = hall_with_downstand(0.2, 0.5);
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_TRUE(room.voids[0].obstacles.empty());
  EXPECT_FALSE(guesses(room, "In plenum", "it is a wall"));
  EXPECT_TRUE(guesses(hall_with_downstand(0.2), "In plenum", "it is a wall"));
}

// A model as modellers of houses group it: nothing but its groups tells what a part is.
TEST(Roles, TheNearestGroupTellsAndAStoreysNameNever) {
  for (const char* storey : {"Ground floor", "Floor 2", "1st floor", "Upper floor"}) {
    Scene scene = scene_from(rectangular_room("Hall", 4.2, 5.6, 2.9));
    for (Part& part : scene.parts) {
      if (!part.name.starts_with("Wall")) continue;
      part.extras.clear();
      part.path = std::string("House/") + storey + "/Walls group/Cube";
      part.name = "Cube";
      part.layer = storey;
    }
    const Room room = room_from(scene);
    for (std::size_t i = 0; i < scene.parts.size(); ++i)
      if (scene.parts[i].name == "Cube") {
        EXPECT_EQ(room.roles[i].role, Role::wall) << storey;
        EXPECT_NE(room.roles[i].why.find("its group says \"walls\""), std::string::npos)
            << room.roles[i].why;
      }
  }
  Scene scene = scene_from(rectangular_room("Hall", 4.2, 5.6, 2.9));
  for (Part& part : scene.parts) {
    if (part.name != "Floor") continue;
    part.extras.clear();
    part.path = "House/Floors/Plane";
    part.name = "Plane";
    part.layer.clear();
  }
  EXPECT_NE(sheet_named(room_from(scene), "Plane"), nullptr) << "a group of floors is one";
}

// What a damaged file can make of a room: each face cuts nearly every other.
TEST(Faces, ThatCutOneAnotherIntoTooManyPiecesAreToldNotCutForever) {
  Scene scene = scene_from(rectangular_room("Hall", 8, 8, 2.9));
  for (int k = 0; k < 110; ++k) {
    const double angle = k * kPi / 110 + 0.01, lean = 0.3 * std::sin(7.0 * k);
    const Vec3 along{std::cos(angle), std::sin(angle), 0}, across{-along.y, along.x, 0};
    const Vec3 middle = Vec3{4, 4, 0} + (1.2 * std::sin(3.0 * k)) * across;
    Part part;
    part.name = part.path = "Wall cut " + std::to_string(k);
    part.first_point = static_cast<std::uint32_t>(scene.points.size());
    part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
    part.point_count = 4;
    part.triangle_count = 2;
    for (const double side : {-2.5, 2.5})
      for (const double up : {1.6, 2.9})
        scene.points.push_back(middle + side * along + (up * lean) * across + Vec3{0, 0, up});
    const std::uint32_t p = part.first_point;
    scene.triangles.push_back({p, p + 1, p + 2});
    scene.triangles.push_back({p + 1, p + 3, p + 2});
    scene.parts.push_back(part);
  }
  const Room room = room_from(scene);
  EXPECT_TRUE(std::any_of(room.warnings.begin(), room.warnings.end(), [](const std::string& text) {
    return text.find("cut one another into more than 15000 pieces") != std::string::npos;
  }));
}

}  // namespace
}  // namespace roomloom
