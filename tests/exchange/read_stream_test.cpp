#include <gtest/gtest.h>

#include <random>

#include "exchange/scene_stream.h"

namespace roomloom {
namespace {

Scene sample() {
  Scene scene;
  scene.source = {"room.step", std::string(64, 'a'), ModelFormat::step, 0.0254, 'y', 0.002, {},
                  "AP214"};
  scene.groups = {{"Room", -1}, {"Desk", 0}};
  Part mesh;
  mesh.name = "W\u00e4nde";
  mesh.path = "Room/W\u00e4nde";
  mesh.parent = 1;
  mesh.colour = Colour{0.1F, 0.2F, 0.3F, 1};
  mesh.extras = {{"role", "wall"}};
  mesh.closure = Closure::oriented;
  mesh.point_count = 3;
  mesh.triangle_count = 1;
  Part curve = mesh;
  curve.kind = PartKind::curve;
  curve.first_point = 3;
  curve.point_count = 2;
  curve.first_triangle = 1;
  curve.triangle_count = 0;
  scene.parts = {mesh, curve};
  scene.points = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {5, 5, 5}, {6, 5, 5}};
  scene.triangles = {{0, 1, 2}};
  scene.face = {4};
  scene.notes = {{"guess.up", "Y", "room.step"}};
  return scene;
}

std::string fault_of(const Scene& scene) {
  const auto back = from_stream(to_stream(scene), "room.step");
  return back ? "" : back.error().code;
}

TEST(SceneStream, BringsEveryFieldBack) {
  const std::string bytes = to_stream(sample());
  const auto back = from_stream(bytes, "room.step");
  ASSERT_TRUE(back) << to_text(back.error());
  EXPECT_EQ(to_stream(*back), bytes);
  EXPECT_EQ(back->parts[0].extras.at("role"), "wall");
  EXPECT_EQ(back->source.schema, "AP214");
  EXPECT_EQ(back->points, sample().points);
}

TEST(SceneStream, BringsAnErrorBack) {
  const Result<Scene> sent = Error{"model.syntax", "bad", "room.obj", "mend"};
  const auto back = from_stream(to_stream(sent), "x");
  ASSERT_FALSE(back);
  EXPECT_EQ(back.error().code, "model.syntax");
  EXPECT_EQ(back.error().remedy, "mend");
}

TEST(SceneStream, RefusesIndicesRangesAndNumbersThatCannotBe) {
  ASSERT_EQ(fault_of(sample()), "");
  const auto with = [](auto change) {
    Scene scene = sample();
    change(scene);
    return fault_of(scene);
  };
  EXPECT_EQ(with([](Scene& s) { s.triangles[0][1] = 5; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.triangles[0][1] = 3; }), "model.bad-answer");  // of another part
  EXPECT_EQ(with([](Scene& s) { s.points[0].x = std::nan(""); }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.parts[1].point_count = 3; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.parts[1].first_point = UINT32_MAX; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.parts[0].parent = 2; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.groups[0].parent = 1; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.face.clear(); }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.source.unit_m = 0; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.source.up = 'x'; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.parts[0].name = "\xFF"; }), "model.bad-answer");
  EXPECT_EQ(with([](Scene& s) { s.parts[0].colour->g = 2; }), "model.bad-answer");
}

TEST(SceneStream, RefusesEveryTruncationAndSurvivesDamage) {
  const std::string bytes = to_stream(sample());
  for (std::size_t length = 0; length < bytes.size(); ++length)
    EXPECT_FALSE(from_stream(bytes.substr(0, length), "x")) << length;
  EXPECT_FALSE(from_stream(bytes + "x", "x"));
  std::mt19937 random(20260101);
  for (int round = 0; round < 5000; ++round) {
    std::string damaged = bytes;
    for (int hits = 0; hits < 3; ++hits)
      damaged[random() % damaged.size()] = static_cast<char>(random());
    const auto back = from_stream(damaged, "x");  // no crash, no giant allocation
    if (back) {
      EXPECT_EQ(back->face.size(), back->triangles.size()) << "seed 20260101, round " << round;
    }
  }
}

}  // namespace
}  // namespace roomloom
