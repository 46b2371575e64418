#include <draco/compression/encode.h>
#include <draco/mesh/triangle_soup_mesh_builder.h>
#include <meshoptimizer.h>

#include <array>

#include "exchange/gltf_text.h"
#include "exchange/read_support.h"

// glTF files whose meshes are packed, by the encoders of the extensions' own authors.
namespace roomloom {
namespace {

std::string text_of(const std::vector<unsigned char>& bytes) {
  return {bytes.begin(), bytes.end()};
}

/// The box as Draco packs it, its positions kept to a 65536th of its size.
std::string box_by_draco() {
  draco::TriangleSoupMeshBuilder builder;
  builder.Start(static_cast<int>(kBoxFaces.size() / 3));
  const int id = builder.AddAttribute(draco::GeometryAttribute::POSITION, 3, draco::DT_FLOAT32);
  const auto corner = [](std::size_t i) { return kBox.data() + 3 * kBoxFaces[i]; };
  for (std::uint32_t face = 0; face < kBoxFaces.size() / 3; ++face)
    builder.SetAttributeValuesForFace(id, draco::FaceIndex(face), corner(3 * face),
                                      corner(3 * face + 1), corner(3 * face + 2));
  const auto mesh = builder.Finalize();
  draco::Encoder encoder;
  encoder.SetAttributeQuantization(draco::GeometryAttribute::POSITION, 16);
  draco::EncoderBuffer out;
  EXPECT_TRUE(encoder.EncodeMeshToBuffer(*mesh, &out).ok());
  return {out.data(), out.size()};
}

/// A document with one buffer of `bytes`, these views, and no plain mesh.
std::string packed_document(const std::string& bytes, const std::string& primitive,
                            const std::string& accessors, const std::string& views,
                            const std::string& more_buffers, const std::string& extension) {
  return R"({"asset":{"version":"2.0"},"extensionsRequired":[")" + extension +
         R"("],"scene":0,"scenes":[{"nodes":[0]}],"nodes":[{"name":"Cupboard","mesh":0}],
             "meshes":[{"name":"Box","primitives":[)" +
         primitive + R"(]}],"accessors":[)" + accessors + R"(],"bufferViews":[)" + views +
         R"(],"buffers":[{"byteLength":)" + std::to_string(bytes.size()) +
         R"(,"uri":"data:application/octet-stream;base64,)" + base64(bytes) + "\"}" + more_buffers +
         "]}";
}

std::string draco_document(const std::string& bytes, int position = 0, int corners = 36) {
  return packed_document(
      bytes,
      R"({"attributes":{"POSITION":0},"indices":1,"extensions":{"KHR_draco_mesh_compression":
          {"bufferView":0,"attributes":{"POSITION":)" +
          std::to_string(position) + "}}}}",
      R"({"componentType":5126,"count":8,"type":"VEC3"},{"componentType":5123,"count":)" +
          std::to_string(corners) + R"(,"type":"SCALAR"})",
      R"({"buffer":0,"byteLength":)" + std::to_string(bytes.size()) + "}", "",
      "KHR_draco_mesh_compression");
}

void expect_the_box(const Result<Scene>& scene, double within) {
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_TRUE(scene->notes.empty()) << scene->notes.front().text;
  const Part& part = part_at(*scene, "Cupboard");
  EXPECT_EQ(part.triangle_count, 12U);
  EXPECT_EQ(part.closure, Closure::oriented);
  EXPECT_NEAR(distance(box_of(*scene, part).low, {0, -3, 0}), 0, within);
  EXPECT_NEAR(distance(box_of(*scene, part).high, {2, 0, 1}), 0, within);
  EXPECT_NEAR(volume_of(*scene, part), 6, 12 * within);
}

TEST(ReadPackedGltf, ReadsAMeshThatDracoPacked) {
  expect_the_box(read_text_as("room.gltf", draco_document(box_by_draco())), 3.0 / 65535);
}

TEST(ReadPackedGltf, TellsTrianglesThatAPackedMeshDeclaresAndDoesNotHold) {
  const auto scene = read_text_as("room.gltf", draco_document(box_by_draco(), 0, 39));
  ASSERT_TRUE(scene) << to_text(scene.error());
  ASSERT_EQ(scene->notes.size(), 1U);
  EXPECT_EQ(scene->notes[0].code, "reader.lost-triangles");
  EXPECT_EQ(scene->notes[0].text, "13 triangles were expected, 12 came through.");
}

TEST(ReadPackedGltf, SaysThatADracoMeshIsDamagedWhereverItIsCut) {
  const std::string whole = box_by_draco();
  for (std::size_t keep = 0; keep < whole.size(); keep += 7) {
    const auto scene = read_text_as("room.gltf", draco_document(whole.substr(0, keep)));
    ASSERT_FALSE(scene) << keep;
    EXPECT_EQ(scene.error().code, "model.syntax");
    EXPECT_NE(scene.error().what.find("/meshes/0/primitives/0"), std::string::npos)
        << scene.error().what;
  }
  EXPECT_EQ(code_of(read_text_as("room.gltf", draco_document(whole, 5))), "model.syntax")
      << "there is no such attribute";
}

/// How meshoptimizer's packer leaves a file: views that tell where their packed bytes are, beside a
/// buffer that holds nothing.
std::string meshopt_document(const std::string& positions, const std::string& indices,
                             const std::string& filter = "NONE", int count = 8) {
  const auto view = [](std::size_t plain_at, std::size_t plain, std::size_t at, std::size_t size,
                       const std::string& how) {
    return R"({"buffer":1,"byteOffset":)" + std::to_string(plain_at) + R"(,"byteLength":)" +
           std::to_string(plain) + R"(,"extensions":{"EXT_meshopt_compression":{"buffer":0,
           "byteOffset":)" +
           std::to_string(at) + R"(,"byteLength":)" + std::to_string(size) + how + "}}}";
  };
  return packed_document(
      positions + indices, R"({"attributes":{"POSITION":0},"indices":1})",
      R"({"bufferView":0,"componentType":5126,"count":8,"type":"VEC3"},
         {"bufferView":1,"componentType":5123,"count":36,"type":"SCALAR"})",
      view(0, 96, 0, positions.size(),
           R"(,"byteStride":12,"mode":"ATTRIBUTES","filter":")" + filter + R"(","count":)" +
               std::to_string(count)) +
          "," +
          view(96, 72, positions.size(), indices.size(),
               R"(,"byteStride":2,"mode":"TRIANGLES","count":36)"),
      R"(,{"byteLength":168,"extensions":{"EXT_meshopt_compression":{"fallback":true}}})",
      "EXT_meshopt_compression");
}

template <typename T>
std::string packed_vertices(const std::vector<T>& values) {
  std::vector<unsigned char> bytes(
      meshopt_encodeVertexBufferBound(values.size() / 3, 3 * sizeof(T)));
  bytes.resize(meshopt_encodeVertexBuffer(bytes.data(), bytes.size(), values.data(),
                                          values.size() / 3, 3 * sizeof(T)));
  return text_of(bytes);
}

std::string packed_triangles() {
  const std::vector<unsigned> indices(kBoxFaces.begin(), kBoxFaces.end());
  std::vector<unsigned char> bytes(meshopt_encodeIndexBufferBound(indices.size(), 8));
  bytes.resize(
      meshopt_encodeIndexBuffer(bytes.data(), bytes.size(), indices.data(), indices.size()));
  return text_of(bytes);
}

TEST(ReadPackedGltf, ReadsViewsThatMeshoptimizerPacked) {
  meshopt_encodeIndexVersion(1);  // the version that the extension takes
  expect_the_box(
      read_text_as("room.gltf", meshopt_document(packed_vertices(kBox), packed_triangles())), 1e-9);
}

TEST(ReadPackedGltf, UndoesTheFilterOfExponents) {
  meshopt_encodeIndexVersion(1);
  std::vector<std::int32_t> filtered(kBox.size());
  meshopt_encodeFilterExp(filtered.data(), kBox.size() / 3, 12, 20, kBox.data());
  expect_the_box(read_text_as("room.gltf", meshopt_document(packed_vertices(filtered),
                                                            packed_triangles(), "EXPONENTIAL")),
                 1e-5);
}

TEST(ReadPackedGltf, SaysThatAPackedViewIsDamagedOrClaimsTooMuch) {
  meshopt_encodeIndexVersion(1);
  const std::string vertices = packed_vertices(kBox), triangles = packed_triangles();
  for (const std::string& text :
       {meshopt_document(vertices.substr(0, vertices.size() - 3), triangles),
        meshopt_document(vertices, triangles.substr(0, triangles.size() - 3)),
        meshopt_document(vertices, triangles, "QUATERNION"),
        meshopt_document(vertices, triangles, "NONE", 40'000'000)}) {
    const auto scene = read_text_as("room.gltf", text);
    ASSERT_FALSE(scene);
    EXPECT_EQ(scene.error().code, "model.syntax");
    EXPECT_NE(scene.error().what.find("/bufferViews/"), std::string::npos) << scene.error().what;
  }
}

TEST(ReadPackedGltf, SaysThatAWayOfPackingIsNotKnownAndGuessesNone) {
  meshopt_encodeIndexVersion(1);
  const std::string whole = meshopt_document(packed_vertices(kBox), packed_triangles());
  const auto with = [&](const std::string& old, const std::string& word) {
    std::string text = whole;
    return read_text_as("room.gltf", text.replace(text.find(old), old.size(), word));
  };
  for (const auto& [old, word, pointer] :
       {std::tuple(R"("mode":"TRIANGLES")", R"("mode":"STRIPS")", "/mode"),
        std::tuple(R"("filter":"NONE")", R"("filter":"COLOR")", "/filter"),
        std::tuple(R"("mode":"ATTRIBUTES",)", "", "/mode")}) {
    const auto scene = with(old, word);
    ASSERT_FALSE(scene) << word;
    EXPECT_EQ(scene.error().code, "model.unsupported");
    EXPECT_NE(scene.error().what.find(pointer), std::string::npos) << scene.error().what;
  }
}

}  // namespace
}  // namespace roomloom
