#include <nlohmann/json.hpp>
#include <random>

#include "room/planes.h"
#include "room/survey.h"
#include "rooms.h"

// A scan has holes where nothing was measured: which of them are taken for surface is told.
namespace roomloom {
namespace {
using namespace testing_rooms;

constexpr double kWidth = 3.2, kDepth = 3.6, kHeight = 2.4, kCell = 0.1;

/// How badly a room was scanned.
struct Scan {
  double stray_m = 0.004;
  int missing = 0;  ///< of a hundred cells; those in the faces' corners always, where there are any
};

/// One face of a scanned room as a grid of triangles that look along n, strayed by millimetres;
/// cells inside the hole (in the face's own u, v) are missing.
void add_face(Scene& scene, const Frame& frame, double width, double height, const Polygon& hole,
              std::mt19937& random, const Scan& scan = {}) {
  std::uniform_real_distribution<double> stray(-scan.stray_m, scan.stray_m);
  const int columns = static_cast<int>(std::lround(width / kCell));
  const int rows = static_cast<int>(std::lround(height / kCell));
  const auto first = static_cast<std::uint32_t>(scene.points.size());
  for (int y = 0; y <= rows; ++y)
    for (int x = 0; x <= columns; ++x)
      scene.points.push_back(frame.to_world(Vec2{x * kCell, y * kCell}, stray(random)));
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < columns; ++x) {
      if (!hole.outline.empty() && contains(hole, {(x + 0.5) * kCell, (y + 0.5) * kCell})) continue;
      const bool in_corner = (x == 0 || x == columns - 1) && (y == 0 || y == rows - 1);
      if (scan.missing > 0 && (in_corner || static_cast<int>(random() % 100) < scan.missing))
        continue;
      const auto at = first + static_cast<std::uint32_t>(y * (columns + 1) + x);
      const auto above = at + static_cast<std::uint32_t>(columns) + 1;
      scene.triangles.push_back({at, at + 1, above + 1});
      scene.triangles.push_back({at, above + 1, above});
    }
  }
}

/// A room as one raw scan, with a hole of the given half size in the middle of its wall at y = 0.
Scene scanned_room(double half_hole_m, const Scan& scan = {}) {
  Scene scene;
  std::mt19937 random(7);
  const Vec2 middle{kWidth / 2, kHeight / 2};
  const double h = half_hole_m;
  const Polygon hole{{{middle.x - h, middle.y - h},
                      {middle.x + h, middle.y - h},
                      {middle.x + h, middle.y + h},
                      {middle.x - h, middle.y + h}},
                     {}};
  const Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};
  add_face(scene, {{kWidth, 0, 0}, -x, z, y}, kWidth, kHeight, hole, random, scan);
  add_face(scene, {{0, kDepth, 0}, x, z, -y}, kWidth, kHeight, {}, random, scan);
  add_face(scene, {{0, 0, 0}, y, z, x}, kDepth, kHeight, {}, random, scan);
  add_face(scene, {{kWidth, kDepth, 0}, -y, z, -x}, kDepth, kHeight, {}, random, scan);
  add_face(scene, {{0, 0, 0}, x, y, z}, kWidth, kDepth, {}, random, scan);
  add_face(scene, {{0, kDepth, kHeight}, x, -y, -z}, kWidth, kDepth, {}, random, scan);
  Part part;
  part.name = part.path = "scan";
  part.point_count = static_cast<std::uint32_t>(scene.points.size());
  part.triangle_count = static_cast<std::uint32_t>(scene.triangles.size());
  scene.parts.push_back(part);
  scene.face.assign(scene.triangles.size(), -1);
  return scene;
}

double area_of_wall_at_y_0(const Room& room) {
  double sum = 0;
  for (const Sheet& sheet : room.sheets)
    if (sheet.frame.n.y > 0.99 && sheet.frame.origin.y < 0.1) sum += area(sheet.region);
  return sum;
}

TEST(ScanHoles, OneThatNobodyMeasuredIsTakenForSurfaceAndListedWithItsPlaceAndSize) {
  const Scene scene = scanned_room(0.3);
  ASSERT_TRUE(is_noisy(scene, scene.parts[0]));
  const Room room = room_from(scene);
  ASSERT_FALSE(room.bridged.empty());
  EXPECT_NEAR(room.bridged[0].area_m2, 0.36, 0.04);
  EXPECT_NEAR(distance(room.bridged[0].middle, {kWidth / 2, 0, kHeight / 2}), 0, 0.1);
  EXPECT_EQ(room.bridged[0].parts, std::vector<int>{0});
  EXPECT_NEAR(area_of_wall_at_y_0(room), kWidth * kHeight, 0.4);
  const std::string text = survey_text(scene, room);
  EXPECT_NE(text.find("Holes of the scan that were taken for surface"), std::string::npos) << text;
  EXPECT_NE(text.find("bridged up to 0.5 m2, and gaps up to 0.20 m"), std::string::npos) << text;
  const auto json = nlohmann::json::parse(survey_json(scene, room));
  EXPECT_EQ(json["bridged"].size(), room.bridged.size());
  EXPECT_EQ(json["bridged"][0]["parts"][0], "scan");
}

TEST(ScanHoles, ALargerOneStaysOpenAndIsNotListed) {
  const Scene scene = scanned_room(0.5);
  const Room room = room_from(scene);
  for (const BridgedHole& hole : room.bridged) EXPECT_LT(hole.area_m2, kLargestGap_m2);
  EXPECT_LT(area_of_wall_at_y_0(room), kWidth * kHeight - 0.7);
}

/// Sheets at their true places: metres that floor, ceiling and walls of `role` measure together.
double area_of(const Room& room, SheetRole role) {
  double sum = 0;
  for (const Sheet& sheet : room.sheets)
    if (sheet.role == role) sum += area(sheet.region);
  return sum;
}

void expect_the_whole_room(const Room& room) {
  ASSERT_GE(room.main_air, 0);
  EXPECT_TRUE(room.airs[static_cast<std::size_t>(room.main_air)].open_sides.empty());
  EXPECT_NEAR(room.airs[static_cast<std::size_t>(room.main_air)].volume_m3,
              kWidth * kDepth * kHeight, 0.5);
  EXPECT_NEAR(area_of(room, SheetRole::wall), 2 * (kWidth + kDepth) * kHeight, 0.5);
  EXPECT_NEAR(area_of(room, SheetRole::floor), kWidth * kDepth, 0.3);
}

TEST(ScanHoles, ManySmallOnesAndAllCornersMissingLeaveARoomAndNotTheSpaceAboveItsCeiling) {
  expect_the_whole_room(room_from(scanned_room(0, {0.012, 8})));
}

TEST(ScanHoles, NoiseThatTiltsItsTrianglesLeavesItsPlanesWhereTheyAre) {
  // Three centimetres either way over cells of ten: triangles lie twenty degrees askew and more.
  const Room room = room_from(scanned_room(0, {0.03, 0}));
  expect_the_whole_room(room);
  for (const Sheet& sheet : room.sheets) EXPECT_LT(sheet.residual_m, 0.03) << sheet.name;
}

TEST(ScanHoles, AScanInCoordinatesOfItsSiteIsReadLikeOneAtTheOrigin) {
  Scene scene = scanned_room(0, {0.015, 2});
  for (Vec3& p : scene.points) p += Vec3{800, -3000, 120};
  expect_the_whole_room(room_from(scene));
}

TEST(ScanHoles, AnUnevenThingInALabelledRoomIsFurnitureAndNoScanToBeSetAside) {
  Scene scene = scene_from(rectangular_room("Box", 4.2, 5.6, 2.4));
  const auto known_points = scene.points.size(), known_triangles = scene.triangles.size();
  std::mt19937 random(3);
  // A cushion of 0.9 m, uneven by centimetres.
  const double size = 0.9;
  const Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1}, low{1, 1, 0.1}, high = low + size * (x + y + z);
  for (const Frame& side : {Frame{low, y, x, -z}, Frame{low, x, z, -y}, Frame{low, z, y, -x},
                            Frame{high, -x, -y, z}, Frame{high, -z, -x, y}, Frame{high, -y, -z, x}})
    add_face(scene, side, size, size, {}, random, {0.03, 0});
  Part part;
  part.name = part.path = "Mesh 17";
  part.first_point = static_cast<std::uint32_t>(known_points);
  part.first_triangle = static_cast<std::uint32_t>(known_triangles);
  part.point_count = static_cast<std::uint32_t>(scene.points.size() - known_points);
  part.triangle_count = static_cast<std::uint32_t>(scene.triangles.size() - known_triangles);
  scene.parts.push_back(part);
  scene.face.resize(scene.triangles.size(), -1);
  ASSERT_TRUE(is_noisy(scene, scene.parts.back()));
  EXPECT_EQ(room_from(scene).roles.back().role, Role::furniture);
}

}  // namespace
}  // namespace roomloom
