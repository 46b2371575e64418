#include <gtest/gtest.h>

#include <filesystem>

#include "exchange/read_here.h"
#include "exchange/write.h"
#include "write/assimp_reading.h"
#include "write/sample.h"

/// Real models read by our reader and written into the other formats.
namespace roomloom {
namespace {

namespace fs = std::filesystem;

class Conversion : public testing::TestWithParam<const char*> {};

Box3 box_of(const std::vector<assimp_reading::ReadNode>& nodes) {
  Box3 box;
  for (const auto& node : nodes) box.add(node.box);
  return box;
}

/// The room frame's box of the scene, about its origin in the file, Y up and in metres.
Box3 expected_box(const Scene& scene) {
  const auto& m = scene.source.to_room.m;
  const Vec3 origin{m[3], m[7], m[11]};
  Box3 box;
  for (const Vec3& p : scene.points) {
    const Vec3 q = p - origin;
    box.add(Vec3{q.x, q.z, -q.y});
  }
  return box;
}

std::size_t mesh_parts(const Scene& scene) {
  std::size_t count = 0;
  for (const Part& part : scene.parts) count += part.triangle_count > 0 ? 1 : 0;
  return count;
}

TEST_P(Conversion, KeepsPartsTrianglesAndSize) {
  const fs::path file = fs::path(ROOMLOOM_SHARED_DATA) / "rooms" / GetParam();
  if (!fs::exists(file)) GTEST_SKIP() << "the shared model " << file << " is not here";
  ReadOptions options;
  options.in_process = &read_model_here;
  const auto scene = read_model(file, options);
  ASSERT_TRUE(scene) << to_text(scene.error());
  const auto out = sample::fresh_folder("conversion");
  const auto written = write_models({*scene, {}, file, out, {}, "Roomloom"});
  ASSERT_TRUE(written) << to_text(written.error());
  for (const char* name : {"routed.glb", "routed.obj"}) {
    if (file.extension() == fs::path(name).extension()) continue;
    std::string error;
    const auto nodes = assimp_reading::read_nodes((out / name).string(), error);
    ASSERT_FALSE(nodes.empty()) << error;
    std::size_t triangles = 0;
    std::size_t meshes = 0;
    for (const auto& node : nodes) {
      triangles += node.triangles;
      meshes += node.triangles > 0 ? 1 : 0;
    }
    EXPECT_EQ(triangles, scene->triangles.size()) << name;
    EXPECT_EQ(meshes, mesh_parts(*scene)) << name;
    const Box3 box = box_of(nodes);
    const Box3 expected = expected_box(*scene);
    EXPECT_NEAR(distance(box.low, expected.low), 0, 1e-4) << name;
    EXPECT_NEAR(distance(box.high, expected.high), 0, 1e-4) << name;
    ASSERT_FALSE(sample::find(*written, name)->notes.empty());
    EXPECT_NE(sample::find(*written, name)->notes.back().find("Converted"), std::string::npos);
  }
  fs::remove_all(out);
}

INSTANTIATE_TEST_SUITE_P(Files, Conversion,
                         testing::Values("units/cube-in.step", "assembly/as1-oc-214.stp",
                                         "interior/occt_kitchen_ap203_inch.step",
                                         "building/openhouse_ap214_mm.step",
                                         "building/openhouse.glb", "building/openhouse.obj",
                                         "scan/office_small.glb", "scan/office_small.scan.obj"));

}  // namespace
}  // namespace roomloom
