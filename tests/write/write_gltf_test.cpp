#include "exchange/write_gltf.h"

#include <gtest/gtest.h>

#include <fstream>

#include "write/assimp_reading.h"
#include "write/glb_chunks.h"
#include "write/sample.h"

namespace roomloom {
namespace {

using nlohmann::json;

std::vector<DrawnItem> drawings_of(const Annotation& annotation) {
  std::vector<DrawnItem> drawings;
  for (const AnnotationItem& item : annotation.items) drawings.push_back(drawn(item.shape));
  return drawings;
}

FileFrame y_up() { return customary_frame(Source{}, ModelFormat::glb); }

GlbFile appended(const std::string& original, const std::filesystem::path& file = "room.glb") {
  const Annotation annotation = sample::annotation();
  const auto made = append_to_gltf(original, file, y_up(), annotation, drawings_of(annotation));
  EXPECT_TRUE(made) << made.error().what;
  return made ? *made : GlbFile{};
}

json after_appending(const std::string& original) {
  return sample::glb_chunks(appended(original).bytes).json;
}

/// What is left of an extended document when our elements are taken off the ends again.
json without_ours(json extended, const json& original) {
  for (const char* key : {"nodes", "meshes", "materials", "accessors", "bufferViews"}) {
    if (!original.contains(key)) {
      extended.erase(key);
      continue;
    }
    while (extended[key].size() > original[key].size())
      extended[key].erase(extended[key].size() - 1);
  }
  extended["scenes"] = original["scenes"];
  if (original.contains("buffers"))
    extended["buffers"] = original["buffers"];
  else
    extended.erase("buffers");
  return extended;
}

TEST(AppendToGltf, KeepsEverythingThatWasThere) {
  const std::string original =
      R"({ "asset" : {"version":"2.0","copyright":"Ü \u00fc"}, "extras":{"x":1.50,"big":12345678901234567890},
  "scene":1, "scenes":[{"nodes":[0],"name":"other"},{"name":"shown","extras":[1e-3]}],
  "nodes":[ {"name":"a","extensions":{"EXT_x":{"deep":[{}]}}} ],
  "extensionsUsed":["EXT_x"] })";
  const GlbFile made = appended(original);
  const auto chunks = sample::glb_chunks(made.bytes);
  const json before = json::parse(original);
  EXPECT_EQ(without_ours(chunks.json, before), before);
  EXPECT_NE(chunks.json_text.find("\"big\":12345678901234567890"), std::string::npos);
  EXPECT_NE(chunks.json_text.find("\"x\":1.50,"), std::string::npos) << "numbers keep their digits";
  const std::size_t root = chunks.json["scenes"][1]["nodes"][0];
  EXPECT_EQ(chunks.json["nodes"][root]["name"], "Roomloom");
  EXPECT_EQ(chunks.json["scenes"][0]["nodes"], json::parse("[0]"));
}

TEST(AppendToGltf, AFileWithoutScenesStillShowsItsOwnRoots) {
  const json made =
      after_appending(R"({"asset":{"version":"2.0"},"nodes":[{"children":[1]},{},{"name":"b"}]})");
  ASSERT_EQ(made["scenes"].size(), 1U);
  const json& roots = made["scenes"][0]["nodes"];
  ASSERT_EQ(roots.size(), 3U);
  EXPECT_EQ(roots[0], 0);
  EXPECT_EQ(roots[1], 2);
  EXPECT_EQ(made["nodes"][roots[2].get<std::size_t>()]["name"], "Roomloom");
  EXPECT_EQ(made["scene"], 0);
}

TEST(AppendToGltf, TheEmptiestFileIsEnough) {
  const json made = after_appending(R"({"asset":{"version":"2.0"}})");
  EXPECT_EQ(made["buffers"].size(), 1U);
  EXPECT_FALSE(made["buffers"][0].contains("uri"));
}

TEST(AppendToGltf, BuffersBesideTheFileMoveIntoIt) {
  const auto folder = sample::fresh_folder("beside");
  std::ofstream(folder / "a b.bin") << "twelve bytes";
  std::ofstream(folder / "second.bin") << "1234";
  const GlbFile made = appended(
      R"({"asset":{"version":"2.0"},"buffers":[{"uri":"a%20b.bin","byteLength":12},{"byteLength":4,"uri":"second.bin"}]})",
      folder / "room.gltf");
  const auto chunks = sample::glb_chunks(made.bytes);
  EXPECT_EQ(chunks.binary.substr(0, 12), "twelve bytes");
  ASSERT_EQ(chunks.json["buffers"].size(), 2U);
  EXPECT_FALSE(chunks.json["buffers"][0].contains("uri"));
  EXPECT_EQ(chunks.json["buffers"][0]["byteLength"], chunks.binary.size());
  // RFC 4648, section 4: "1234" is MTIzNA==.
  EXPECT_EQ(chunks.json["buffers"][1]["uri"], "data:application/octet-stream;base64,MTIzNA==");
  EXPECT_TRUE(made.notes.empty());
}

TEST(AppendToGltf, ADataBufferBecomesTheBinaryChunk) {
  const GlbFile made = appended(
      R"({"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"data:;base64,MTIzNA==","name":"b"}]})");
  const auto chunks = sample::glb_chunks(made.bytes);
  EXPECT_EQ(chunks.binary.substr(0, 4), "1234");
  EXPECT_EQ(chunks.json["buffers"][0]["name"], "b");
  EXPECT_FALSE(chunks.json["buffers"][0].contains("uri"));
}

TEST(AppendToGltf, WhatIsMissingOrOutsideTheFolderIsToldAndOnlyReferredTo) {
  const auto folder = sample::fresh_folder("outside");
  const GlbFile made = appended(
      R"({"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"../secret.bin"},{"byteLength":4,"uri":"gone.bin"}]})",
      folder / "room.gltf");
  const auto chunks = sample::glb_chunks(made.bytes);
  EXPECT_EQ(made.notes.size(), 2U);
  EXPECT_EQ(chunks.json["buffers"][0]["uri"], "../secret.bin");
  ASSERT_EQ(chunks.json["buffers"].size(), 3U) << "ours has a buffer of its own";
  EXPECT_EQ(chunks.json["bufferViews"][0]["buffer"], 2);
}

TEST(AppendToGltf, RefusesWhatIsNoGltf) {
  const Annotation none;
  for (const char* text : {"", "[]", "{\"nodes\":1}", "{\"scene\":4,\"scenes\":[{}]}"})
    EXPECT_EQ(append_to_gltf(text, "f", y_up(), none, {}).error().code, "write.original-syntax")
        << text;
}

TEST(GlbOfOurOwn, NodesCarryTheirFactsAndHangInTheirGroups) {
  const Annotation annotation = sample::annotation();
  const auto folder = sample::fresh_folder("own");
  const auto file = folder / "runs.glb";
  std::ofstream(file, std::ios::binary)
      << glb_of_our_own(y_up(), annotation, drawings_of(annotation), nullptr, "t").bytes;
  std::string error;
  const auto nodes = assimp_reading::read_nodes(file.string(), error);
  ASSERT_FALSE(nodes.empty()) << error;
  for (const AnnotationItem& item : annotation.items) {
    const auto* node = assimp_reading::find(nodes, item.name);
    ASSERT_NE(node, nullptr) << item.name;
    EXPECT_EQ(node->parent, to_string(item.group));
    EXPECT_GT(node->triangles, 0U) << item.name;
    EXPECT_TRUE(node->outward) << item.name;
    EXPECT_EQ(node->texts, item.texts);
    EXPECT_EQ(node->numbers, item.numbers);
  }
  const auto* line = assimp_reading::find(nodes, "Run S1 centreline");
  ASSERT_NE(line, nullptr);
  EXPECT_EQ(line->parent, "Run S1");
  EXPECT_NEAR(line->line_length, 8.672551137, 5e-5);
  EXPECT_NEAR(line->box.high.y, 2.4, 1e-6) << "Y is up";
}

TEST(GlbOfOurOwn, ASceneComesAlongInItsGroups) {
  const Scene scene = sample::box_scene();
  const auto made = glb_of_our_own(y_up(), {}, {}, &scene, "t");
  const json document = sample::glb_chunks(made.bytes).json;
  std::map<std::string, json> by_name;
  for (const json& node : document["nodes"]) by_name[node["name"]] = node;
  ASSERT_TRUE(by_name.contains("Box room"));
  EXPECT_EQ(by_name["Box room"]["children"].size(), 3U);
  EXPECT_EQ(by_name["Outlet 1"]["extras"]["kind"], "outlet");
  EXPECT_EQ(by_name["box"]["children"].size(), 2U) << "the group and the marker without one";
}

TEST(GlbOfOurOwn, FarFromTheOriginTheRootCarriesTheDistance) {
  Source source;  // a surveyor's coordinates
  source.to_room.m = {1, 0, 0, -400000, 0, 1, 0, -5000000, 0, 0, 1, 0};
  const Annotation annotation = sample::annotation();
  const auto file = sample::fresh_folder("far") / "runs.glb";
  std::ofstream(file, std::ios::binary)
      << glb_of_our_own(*own_frame(source), annotation, drawings_of(annotation), nullptr, "t")
             .bytes;
  const json document = sample::glb_chunks(sample::read_text(file)).json;
  const json& root = document["nodes"].back();
  EXPECT_EQ(root["name"], "Roomloom");
  ASSERT_TRUE(root.contains("translation"));
  EXPECT_NEAR(root["translation"][1].get<double>(), 5000000, 10);
  for (const json& accessor : document["accessors"]) {
    if (!accessor.contains("max")) continue;
    for (const json& value : accessor["max"]) EXPECT_LT(std::abs(value.get<double>()), 20);
  }
}

}  // namespace
}  // namespace roomloom
