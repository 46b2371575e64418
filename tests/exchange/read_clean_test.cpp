#include "exchange/read_clean.h"

#include <gtest/gtest.h>

#include "exchange/read_support.h"
#include "exchange/read_text.h"

namespace roomloom {
namespace {

using Triangle = std::array<std::uint32_t, 3>;

const std::vector<Triangle> kCube = {{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6},
                                     {0, 1, 5}, {0, 5, 4}, {2, 6, 7}, {2, 7, 3},
                                     {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}};

std::vector<Vec3> cube_points(double low, double size) {
  std::vector<Vec3> points;
  for (int corner = 0; corner < 8; ++corner)
    points.push_back({low + (corner & 1 ? size : 0), low + (corner & 2 ? size : 0),
                      low + (corner & 4 ? size : 0)});
  return points;
}

/// A scene of one part.
Scene scene_of(std::vector<Vec3> points, std::vector<Triangle> triangles) {
  Scene scene;
  Part part;
  part.name = "Part";
  part.point_count = static_cast<std::uint32_t>(points.size());
  part.triangle_count = static_cast<std::uint32_t>(triangles.size());
  scene.parts.push_back(part);
  scene.points = std::move(points);
  scene.face.assign(triangles.size(), -1);
  scene.triangles = std::move(triangles);
  return scene;
}

std::vector<Triangle> turned(std::vector<Triangle> triangles) {
  for (Triangle& t : triangles) std::swap(t[1], t[2]);
  return triangles;
}

Closure closure_after_cleaning(Scene scene) {
  const Status done = clean(scene, "room.obj");
  EXPECT_TRUE(done);
  return scene.parts.empty() ? Closure::open : scene.parts[0].closure;
}

TEST(Clean, MergesEqualPointsAndDropsWhatHasNoAreaOrComesTwice) {
  std::vector<Vec3> points = cube_points(0, 1);
  points.push_back(points[0]);  // 8 is 0 again
  points.push_back({0.5, 0, 0});
  points.push_back({7, 7, 7});  // used by nothing
  std::vector<Triangle> triangles = kCube;
  triangles.push_back({3, 8, 2});  // the first one again, from another corner and point
  triangles.push_back({0, 8, 5});  // two equal corners
  triangles.push_back({0, 9, 1});  // three in line
  Scene scene = scene_of(points, triangles);
  ASSERT_TRUE(clean(scene, "room.obj"));
  EXPECT_EQ(scene.triangles.size(), 12U);
  EXPECT_EQ(scene.parts[0].point_count, 9U);
  EXPECT_TRUE(has_note(scene, "reader.degenerate-triangles"));
  EXPECT_TRUE(has_note(scene, "reader.duplicate-triangles"));
}

TEST(Clean, JudgesClosure) {
  const std::vector<Vec3> points = cube_points(3, 1);
  EXPECT_EQ(closure_after_cleaning(scene_of(points, kCube)), Closure::oriented);
  EXPECT_EQ(closure_after_cleaning(scene_of(points, turned(kCube))), Closure::closed);
  std::vector<Triangle> one_turned = kCube;
  std::swap(one_turned[3][0], one_turned[3][1]);
  EXPECT_EQ(closure_after_cleaning(scene_of(points, one_turned)), Closure::closed);
  const std::vector<Triangle> without_one(kCube.begin() + 1, kCube.end());
  EXPECT_EQ(closure_after_cleaning(scene_of(points, without_one)), Closure::open);
  const std::vector<Triangle> both_sides = {{0, 1, 2}, {0, 2, 1}};
  EXPECT_EQ(closure_after_cleaning(scene_of(points, both_sides)), Closure::open);
}

TEST(Clean, TakesAnInwardBodyWithinAnotherForItsCavity) {
  std::vector<Vec3> points = cube_points(0, 3);
  const std::vector<Vec3> inner = cube_points(1, 1);
  points.insert(points.end(), inner.begin(), inner.end());
  std::vector<Triangle> triangles = kCube;
  for (Triangle t : turned(kCube)) triangles.push_back({t[0] + 8, t[1] + 8, t[2] + 8});
  EXPECT_EQ(closure_after_cleaning(scene_of(points, triangles)), Closure::oriented);
  for (std::size_t i = 8; i < 16; ++i) points[i] = points[i] + Vec3{10, 0, 0};
  EXPECT_EQ(closure_after_cleaning(scene_of(points, triangles)), Closure::closed);
}

TEST(Clean, MinusZeroIsZero) {
  Scene scene =
      scene_of({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {-0.0, 0, 0}, {0, 0, 1}}, {{0, 1, 2}, {3, 4, 1}});
  ASSERT_TRUE(clean(scene, "room.obj"));
  EXPECT_EQ(scene.points.size(), 4U);
}

TEST(Clean, RefusesAbsurdDistancesAndEmptyScenes) {
  Scene far = scene_of({{0, 0, 0}, {1e7, 0, 0}, {0, 1, 0}}, {{0, 1, 2}});
  EXPECT_EQ(clean(far, "room.obj").error().code, "model.too-large");
  EXPECT_NE(clean(far, "room.obj").error().remedy.find("stray"), std::string::npos);
  for (Vec3& p : far.points) p.x = 2e7 + p.y;
  EXPECT_NE(clean(far, "room.obj").error().remedy.find("map"), std::string::npos);
  Scene flat = scene_of({{0, 0, 0}, {1, 0, 0}, {2, 0, 0}}, {{0, 1, 2}});
  EXPECT_EQ(clean(flat, "room.obj").error().code, "model.empty");
}

TEST(PlaceInRoom, TurnsTrianglesRoundWhenItMirrors) {
  Scene scene = scene_of(cube_points(0, 1), kCube);
  Transform mirror;
  mirror.m[0] = -2;
  place_in_room(scene, mirror);
  EXPECT_NEAR(volume_of(scene, scene.parts[0]), 2, 1e-12);
}

TEST(Utf8, IsJudgedAndRepairedAsInRfc3629) {
  EXPECT_TRUE(is_utf8("Wände \u2013 \U0001F3AC"));
  // Overlong, surrogate, past the last code point, cut off, a lone follower.
  for (const char* bad :
       {"\xC0\xAF", "\xE0\x80\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\x80"}) {
    EXPECT_FALSE(is_utf8(bad));
    EXPECT_TRUE(is_utf8(repaired_utf8(bad)));
  }
  EXPECT_EQ(repaired_utf8("W\xE4nde"), "W\uFFFDnde");
  EXPECT_EQ(with_separators(1234567), "1,234,567");
  EXPECT_EQ(with_separators(123), "123");
}

}  // namespace
}  // namespace roomloom
