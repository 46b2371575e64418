#include <algorithm>

#include "geometry/polygon.h"
#include "rooms.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

RoomSketch with_outline(std::vector<Vec2> points, double height) {
  RoomSketch sketch;
  sketch.name = "Room";
  sketch.outline = OutlineKind::points;
  sketch.points_m = std::move(points);
  sketch.height_m = height;
  for (std::size_t i = 0; i < sketch.points_m.size(); ++i) {
    WallSketch wall;
    wall.name = "Wall " + std::to_string(i + 1);
    sketch.walls.push_back(wall);
  }
  return sketch;
}

int convex_seams(const Room& room) {
  return static_cast<int>(std::count_if(room.seams.begin(), room.seams.end(),
                                        [](const Seam& seam) { return seam.convex; }));
}

TEST(RoomShapes, AnLHasOneOutsideCorner) {
  // Clockwise seen from above: 5 x 4 m less a corner of 2 x 1.5 m.
  const Room room = room_from(
      scene_from(with_outline({{0, 4}, {3, 4}, {3, 2.5}, {5, 2.5}, {5, 0}, {0, 0}}, 2.5)));
  EXPECT_EQ(room.sheets.size(), 8U);
  EXPECT_EQ(room.seams.size(), 6U * 3U);
  EXPECT_EQ(convex_seams(room), 1);
  for (const Seam& seam : room.seams) {
    if (!seam.convex) continue;
    EXPECT_NEAR(seam.dihedral_rad, 1.5 * kPi, 1e-6);
    EXPECT_NEAR(seam.from.x, 3, 1e-4);
    EXPECT_NEAR(seam.from.y, 2.5, 1e-4);
  }
  const Sheet* floor = sheet_named(room, "Floor");
  ASSERT_NE(floor, nullptr);
  EXPECT_NEAR(area(floor->region), 5 * 4 - 2 * 1.5, 1e-3);
}

TEST(RoomShapes, ABayAtFortyFiveDegreesHasSheetsOfItsOwn) {
  // A bay window 0.8 m deep in the front wall of a 5 m wide room.
  const Room room = room_from(scene_from(with_outline(
      {{0, 4}, {1, 4}, {1.8, 4.8}, {3.2, 4.8}, {4.2, 3.8}, {5, 3.8}, {5, 0}, {0, 0}}, 2.6)));
  EXPECT_EQ(room.sheets.size(), 10U);
  EXPECT_EQ(room.seams.size(), 8U * 3U);
  const Seam* seam = seam_between(room, "Wall 2", "Wall 3");
  ASSERT_NE(seam, nullptr);
  EXPECT_NEAR(seam->dihedral_rad, radians(135), 1e-4);
  const Sheet* slanted = sheet_named(room, "Wall 2");
  ASSERT_NE(slanted, nullptr);
  EXPECT_NEAR(area(slanted->region), 0.8 * std::sqrt(2.0) * 2.6, 1e-3);
}

TEST(RoomShapes, OutOfSquareWallsKeepTheirTrueLengths) {
  const Room room =
      room_from(scene_from(with_outline({{0.1, 3.9}, {4.2, 4.1}, {4.0, 0}, {0, 0}}, 2.5)));
  EXPECT_EQ(room.sheets.size(), 6U);
  EXPECT_EQ(room.seams.size(), 12U);
  const Sheet* front = sheet_named(room, "Wall 1");
  ASSERT_NE(front, nullptr);
  EXPECT_NEAR(area(front->region), std::hypot(4.1, 0.2) * 2.5, 1e-3);
}

TEST(RoomShapes, SlopedCeilingsMeetWallsAtTheirOwnAngle) {
  RoomSketch sketch = rectangular_room("Attic", 4, 5, 2.6);
  SlopeSketch slope;
  slope.name = "Slope left";
  slope.wall = "Wall left";
  slope.knee_m = 1;
  slope.pitch_rad = radians(45);
  sketch.slopes.push_back(slope);
  const Room room = room_from(scene_from(sketch));
  const Sheet* sheet = sheet_named(room, "Slope left");
  ASSERT_NE(sheet, nullptr);
  EXPECT_EQ(sheet->role, SheetRole::slope);
  EXPECT_NEAR(area(sheet->region), 1.6 * std::sqrt(2.0) * 5, 1e-2);
  const Seam* seam = seam_between(room, "Slope left", "Wall left");
  ASSERT_NE(seam, nullptr);
  EXPECT_NEAR(seam->dihedral_rad, radians(135), 1e-4);
  const Sheet* gable = sheet_named(room, "Wall front");
  ASSERT_NE(gable, nullptr);
  EXPECT_NEAR(area(gable->region), 4 * 2.6 - 0.5 * 1.6 * 1.6, 1e-2);
}

void add_face(Scene& scene, const std::string& name, const std::vector<Vec3>& corners) {
  Part part;
  part.name = name;
  part.path = name;
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.point_count = 4;
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  part.triangle_count = 2;
  const std::uint32_t i = part.first_point;
  scene.points.insert(scene.points.end(), corners.begin(), corners.end());
  scene.triangles.push_back({i, i + 1, i + 2});
  scene.triangles.push_back({i, i + 2, i + 3});
  scene.face.insert(scene.face.end(), 2, -1);
  scene.parts.push_back(part);
}

// One thin sheet of triangles for each side; normals as they come.
Scene shell_of(double width, double depth, double height, double lift) {
  Scene scene;
  const auto add = [&scene](const std::string& name, const std::vector<Vec3>& corners) {
    add_face(scene, name, corners);
  };
  const double w = width, d = depth, h = height;
  add("Floor", {{0, 0, 0}, {w, 0, 0}, {w, d, 0}, {0, d, 0}});
  add("Ceiling", {{0, 0, h}, {w, 0, h}, {w, d, h}, {0, d, h}});
  add("Wall left", {{0, 0, lift}, {0, d, lift}, {0, d, h}, {0, 0, h}});
  add("Wall right", {{w, 0, 0}, {w, d, 0}, {w, d, h}, {w, 0, h}});
  add("Wall front", {{0, d, 0}, {w, d, 0}, {w, d, h}, {0, d, h}});
  add("Wall back", {{0, 0, 0}, {w, 0, 0}, {w, 0, h}, {0, 0, h}});
  return scene;
}

// A wall may have a splay, as at the foot of a chimney breast: part of it all the same, and never
// what people call the wall. Planes are found by size, with all that lies in them, so that the
// splay, in one plane with a larger thing elsewhere, can come first.
TEST(SingleFaces, ASplayOfAWallDoesNotTakeItsName) {
  Scene scene = shell_of(4, 3, 2.5, 0);
  // At 45 degrees along the foot of the right wall; the outer part of that plane is a roof's.
  add_face(scene, "Wall right", {{3.5, 0, 0}, {3.5, 3, 0}, {4, 3, 0.5}, {4, 0, 0.5}});
  add_face(scene, "Roof", {{5, -3, 1.5}, {5, 6, 1.5}, {9, 6, 5.5}, {9, -3, 5.5}});
  const Room room = room_from(scene);
  const Sheet* wall = sheet_named(room, "Wall right");
  ASSERT_NE(wall, nullptr);
  EXPECT_EQ(wall->role, SheetRole::wall);
  EXPECT_NEAR(area(wall->region), 3 * 2, 0.01);
  const Sheet* splay = sheet_named(room, "Wall right (2)");
  ASSERT_NE(splay, nullptr);
  EXPECT_EQ(splay->role, SheetRole::slope);
}

TEST(SingleFaces, MakeARoomWhicheverWayTheyLook) {
  const Room room = room_from(shell_of(4, 3, 2.5, 0));
  ASSERT_EQ(room.sheets.size(), 6U);
  EXPECT_EQ(room.seams.size(), 12U);
  for (const Sheet& sheet : room.sheets)
    EXPECT_GT(sheet.frame.height({2, 1.5, 1.25}), 1) << sheet.name;
}

// As scanning programs write it: the wall is whole, and the window a face a little before it.
TEST(SingleFaces, AWindowSetBeforeAWallDoesNotTakeTheWallAway) {
  Scene scene = shell_of(4, 3, 2.5, 0);
  add_face(scene, "Window",
           {{0.008, 0.4, 0.6}, {0.008, 2.6, 0.6}, {0.008, 2.6, 2.3}, {0.008, 0.4, 2.3}});
  const Room room = room_from(scene);
  const Sheet* wall = sheet_named(room, "Wall left");
  ASSERT_NE(wall, nullptr);
  EXPECT_NEAR(area(wall->region), 3 * 2.5, 0.01);
  ASSERT_EQ(wall->keep_outs.size(), 1U);
  EXPECT_NEAR(std::abs(signed_area(wall->keep_outs[0].ring)), 2.2 * 1.7, 0.01);
}

TEST(SingleFaces, AGapOfEightMillimetresIsJoinedAndTold) {
  const Room room = room_from(shell_of(4, 3, 2.5, 0.008));
  ASSERT_EQ(room.sheets.size(), 6U);
  const Seam* seam = seam_between(room, "Wall left", "Floor");
  ASSERT_NE(seam, nullptr);
  EXPECT_NEAR(seam->gap_m, 0.008, 1e-6);
  EXPECT_NEAR(seam->from.z, 0, 1e-9);
  ASSERT_EQ(room.warnings.size(), 1U);
  EXPECT_NE(room.warnings[0].find("Wall left"), std::string::npos);
}

TEST(SingleFaces, AGapOfTwelveMillimetresIsNotJoined) {
  const Room room = room_from(shell_of(4, 3, 2.5, 0.012));
  EXPECT_EQ(seam_between(room, "Wall left", "Floor"), nullptr);
}

TEST(SingleFaces, DuplicatedFacesGiveNoSecondSheet) {
  Scene scene = shell_of(4, 3, 2.5, 0);
  const std::vector<Part> parts = scene.parts;
  for (Part part : parts) {
    const std::uint32_t first = static_cast<std::uint32_t>(scene.triangles.size());
    for (std::uint32_t i = 0; i < part.triangle_count; ++i)
      scene.triangles.push_back(scene.triangles[part.first_triangle + i]);
    part.first_triangle = first;
    scene.parts.push_back(part);
  }
  scene.face.assign(scene.triangles.size(), -1);
  EXPECT_EQ(room_from(scene).sheets.size(), 6U);
}

TEST(SeveralRooms, TheLargestIsTakenUnlessASeedSaysOtherwise) {
  Scene scene = shell_of(4, 3, 2.5, 0);
  const Scene other = turned(shell_of(3, 3, 2.5, 0), 0, {10, 0, 0});
  const auto points = static_cast<std::uint32_t>(scene.points.size());
  const auto triangles = static_cast<std::uint32_t>(scene.triangles.size());
  scene.points.insert(scene.points.end(), other.points.begin(), other.points.end());
  for (auto t : other.triangles)
    scene.triangles.push_back({t[0] + points, t[1] + points, t[2] + points});
  for (Part part : other.parts) {
    part.first_point += points;
    part.first_triangle += triangles;
    scene.parts.push_back(part);
  }
  const Room large = room_from(scene);
  EXPECT_NEAR(large.box.size().x, 4, 1e-4);
  const bool told = std::any_of(large.guesses.begin(), large.guesses.end(), [](const Guess& g) {
    return g.what == "Which room" && g.overrule.find("seed") != std::string::npos;
  });
  EXPECT_TRUE(told);
  Job job;
  job.model.seed = Vec3{11, 1, 1};
  const Room small = room_from(scene, job);
  EXPECT_NEAR(small.box.size().x, 3, 1e-4);
  EXPECT_NEAR(small.box.low.x, 10, 1e-4);
}

TEST(Robustness, SliversAndSoupsOfTrianglesGiveARoomOrAWarning) {
  std::uint32_t state = 12345;  // a linear congruential generator: the same on every machine
  const auto next = [&state](double low, double high) {
    state = state * 1664525U + 1013904223U;
    return low + (high - low) * (state >> 8) / 16777216.0;
  };
  for (int round = 0; round < 6; ++round) {
    Scene scene = round % 2 == 0 ? shell_of(4, 3, 2.5, 0) : Scene{};
    Part soup;
    soup.name = round % 3 == 0 ? "Wall soup" : "Thing";
    soup.path = soup.name;
    soup.first_point = static_cast<std::uint32_t>(scene.points.size());
    soup.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
    for (int i = 0; i < 150; ++i) {
      Vec3 p{next(-1, 5), next(-1, 4), next(-1, 3)};
      const double size = i % 3 == 0 ? 1e-7 : i % 3 == 1 ? 0.2 : 3;
      for (int corner = 0; corner < 3; ++corner) {
        scene.points.push_back(p + Vec3{next(-size, size), next(-size, size), next(-size, size)});
        if (i % 7 == 0) scene.points.back() = p;  // no area
      }
      const auto first = static_cast<std::uint32_t>(scene.points.size() - 3);
      scene.triangles.push_back({first, first + 1, first + 2});
    }
    soup.point_count = static_cast<std::uint32_t>(scene.points.size()) - soup.first_point;
    soup.triangle_count = static_cast<std::uint32_t>(scene.triangles.size()) - soup.first_triangle;
    scene.parts.push_back(soup);
    scene.face.assign(scene.triangles.size(), -1);
    const Result<Room> room = understand_room(scene, {});
    ASSERT_TRUE(room) << round;
    EXPECT_TRUE(room->main_air >= 0 || !room->warnings.empty()) << round;
    for (const Sheet& sheet : room->sheets) {
      EXPECT_GE(area(sheet.region), 0.04) << round;
      EXPECT_TRUE(is_finite(sheet.frame.origin));
    }
  }
}

TEST(Robustness, AModelOfOnlyAMarkerIsNoRoom) {
  Scene scene;
  scene.points = {{1, 2, 3}};
  Part marker;
  marker.name = "Listener";
  marker.kind = PartKind::marker;
  marker.point_count = 1;
  scene.parts = {marker};
  const Room room = room_from(scene);
  EXPECT_EQ(room.main_air, -1);
  EXPECT_FALSE(room.warnings.empty());
}

TEST(Determinism, TheSameSceneGivesTheSameRoomTwice) {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  const Scene scene = scene_from(sketch);
  const Room a = room_from(scene), b = room_from(scene);
  ASSERT_EQ(a.sheets.size(), b.sheets.size());
  for (std::size_t i = 0; i < a.sheets.size(); ++i) {
    EXPECT_EQ(a.sheets[i].name, b.sheets[i].name);
    EXPECT_EQ(a.sheets[i].region.outline, b.sheets[i].region.outline);
  }
  EXPECT_EQ(a.crossings.size(), b.crossings.size());
}

}  // namespace
}  // namespace roomloom
