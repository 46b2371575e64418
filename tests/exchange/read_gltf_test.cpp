#include "exchange/gltf_text.h"
#include "exchange/read_references.h"
#include "exchange/read_support.h"

namespace roomloom {
namespace {

TEST(ReadGltf, PutsTheUpAxisUpAndKeepsTheFacesOutwards) {
  const auto scene =
      read_text_as("room.gltf", document(R"([{"name":"Cupboard","mesh":0}])", kBoxMesh));
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(scene->source.up, 'y');
  EXPECT_EQ(scene->source.format, ModelFormat::gltf);
  const Part& part = part_at(*scene, "Cupboard");
  EXPECT_EQ(part.triangle_count, 12U);
  EXPECT_EQ(part.closure, Closure::oriented);
  EXPECT_EQ(part.native_reference, "nodes/0");
  EXPECT_NEAR(distance(box_of(*scene, part).low, {0, -3, 0}), 0, 1e-9);
  EXPECT_NEAR(distance(box_of(*scene, part).high, {2, 0, 1}), 0, 1e-9);
  EXPECT_NEAR(volume_of(*scene, part), 6, 1e-9);
}

TEST(ReadGltf, AppliesNestedPlacesAndTurnsMirroredNodesRound) {
  const std::string nodes =
      R"([{"name":"House","translation":[10,0,0],"children":[1,2]},
          {"name":"Left","mesh":0,"scale":[-1,1,1]},
          {"name":"Turned","children":[3],"rotation":[0,0.7071067811865476,0,0.7071067811865476]},
          {"name":"Deep","mesh":0,"matrix":[2,0,0,0, 0,2,0,0, 0,0,2,0, 0,0,5,1]}])";
  const auto scene = read_text_as("room.gltf", document(nodes, kBoxMesh));
  ASSERT_TRUE(scene) << to_text(scene.error());
  const Part& left = part_at(*scene, "House/Left");
  EXPECT_NEAR(volume_of(*scene, left), 6, 1e-9);
  EXPECT_EQ(left.closure, Closure::oriented);
  EXPECT_LT(left.transform.determinant(), 0);
  EXPECT_NEAR(box_of(*scene, left).low.x, 8, 1e-9);
  // 90 degrees about Y take Z to X: the box at z 5..11 comes to x 15..21 of the house.
  const Part& deep = part_at(*scene, "House/Turned/Deep");
  EXPECT_NEAR(box_of(*scene, deep).low.x, 15, 1e-6);
  EXPECT_NEAR(box_of(*scene, deep).high.x, 21, 1e-6);
  EXPECT_NEAR(volume_of(*scene, deep), 48, 1e-6);
  EXPECT_EQ(scene->groups.at(static_cast<std::size_t>(deep.parent)).name, "Turned");
  EXPECT_EQ(scene->groups.at(0).name, "House");
}

/// Three places of a chair, as EXT_mesh_gpu_instancing tells them: moved, turned about the upright
/// axis by bytes (a quarter, none, a half), and scaled.
std::string row_of_chairs(const std::string& attributes) {
  const std::string moved = bytes_of(std::vector<float>{0, 0, 0, 5, 0, 0, 10, 0, 1});
  const std::string turned =
      bytes_of(std::vector<std::int8_t>{0, 90, 0, 90, 0, 0, 0, 127, 0, 127, 0, 0});
  const std::string scaled = bytes_of(std::vector<float>{1, 1, 1, 1, 2, 1, 1, 1, 1});
  std::string text = document(
      R"([{"name":"Row","children":[1],"translation":[100,0,0]},
          {"name":"Chair","mesh":0,"extensions":{"EXT_mesh_gpu_instancing":{"attributes":)" +
          attributes + "}}}]",
      kBoxMesh, R"(,"extensionsRequired":["EXT_mesh_gpu_instancing"])");
  const auto add = [&text](const std::string& before, const std::string& more) {
    text.insert(text.find(before), more);
  };
  add(R"(],
             "bufferViews")",
      R"(,{"bufferView":2,"componentType":5126,"count":3,"type":"VEC3"},
      {"bufferView":3,"componentType":5120,"normalized":true,"count":3,"type":"VEC4"},
      {"bufferView":4,"componentType":5126,"count":3,"type":"VEC3"})");
  add(R"(],
             "buffers")",
      R"(,{"buffer":1,"byteLength":36},{"buffer":1,"byteOffset":36,"byteLength":12},
      {"buffer":1,"byteOffset":48,"byteLength":36})");
  add(R"(],"extensionsRequired")",
      R"(,{"byteLength":84,"uri":"data:application/octet-stream;base64,)" +
          base64(moved + turned + scaled) + "\"}");
  return text;
}

TEST(ReadGltf, PlacesEachInstanceOfAMeshAsAPartOfItsOwn) {
  const auto scene =
      read_text_as("room.gltf", row_of_chairs(R"({"TRANSLATION":2,"ROTATION":3,"SCALE":4})"));
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(scene->parts.size(), 3U);
  const auto box = [&](const std::string& path) { return box_of(*scene, part_at(*scene, path)); };
  // The box is 2 wide, 1 high and 3 deep; our y is the file's -z. A quarter turn about the upright
  // takes the file's z to x and x to -z, a half turn both to their opposites.
  EXPECT_NEAR(distance(box("Row/Chair 1").low, {100, 0, 0}), 0, 1e-6);
  EXPECT_NEAR(distance(box("Row/Chair 1").high, {103, 2, 1}), 0, 1e-6);
  EXPECT_NEAR(distance(box("Row/Chair 2").low, {105, -3, 0}), 0, 1e-6);
  EXPECT_NEAR(distance(box("Row/Chair 2").high, {107, 0, 2}), 0, 1e-6);
  EXPECT_NEAR(distance(box("Row/Chair 3").low, {108, -1, 0}), 0, 1e-6);
  EXPECT_NEAR(distance(box("Row/Chair 3").high, {110, 2, 1}), 0, 1e-6);
  EXPECT_TRUE(scene->notes.empty()) << scene->notes.front().text;
}

TEST(ReadGltf, SaysWhatIsWrongWithInstances) {
  struct Case {
    std::string attributes, mention;
  };
  for (const Case& c :
       {Case{R"({})", "places no instance"},
        Case{R"({"TRANSLATION":0,"SCALE":4})", "another count"},
        Case{R"({"TRANSLATION":9})", "/attributes/TRANSLATION"}, Case{R"({"ROTATION":2})", "VEC4"},
        Case{R"([])", "/attributes is missing"}}) {
    const auto scene = read_text_as("room.gltf", row_of_chairs(c.attributes));
    ASSERT_FALSE(scene) << c.attributes;
    EXPECT_EQ(scene.error().code, "model.syntax");
    EXPECT_NE(scene.error().what.find(c.mention), std::string::npos) << scene.error().what;
  }
}

TEST(ReadGltf, KeepsExtrasMaterialsAndEmptyNodes) {
  const std::string nodes =
      R"([{"name":"Room","children":[1,2]},
          {"name":"W\u00e4nde","mesh":0,"extras":{"role":"wall","build":{"kind":"stud","pitch_mm":400},
            "list":[1,2],"fishable":false,"none":null}},
          {"name":"Listener","translation":[1,2,3]}])";
  const std::string meshes =
      R"([{"extras":{"role":"ignored","from mesh":"yes"},
           "primitives":[{"attributes":{"POSITION":0},"indices":1,"material":1}]}])";
  const std::string materials =
      R"(,"materials":[{},{"name":"Plaster","pbrMetallicRoughness":{"baseColorFactor":[0.5,0.25,0.125,0.75]}}])";
  const auto scene = read_text_as("room.gltf", document(nodes, meshes, materials));
  ASSERT_TRUE(scene) << to_text(scene.error());
  const Part& wall = part_at(*scene, "Room/W\u00e4nde");
  const std::map<std::string, std::string> expected = {
      {"role", "wall"},  {"build.kind", "stud"}, {"build.pitch_mm", "400"},
      {"list", "[1,2]"}, {"fishable", "false"},  {"from mesh", "yes"}};
  EXPECT_EQ(wall.extras, expected);
  EXPECT_EQ(wall.material, "Plaster");
  ASSERT_TRUE(wall.colour);
  EXPECT_EQ(*wall.colour, (Colour{0.5F, 0.25F, 0.125F, 0.75F}));
  const Part& listener = part_at(*scene, "Room/Listener");
  EXPECT_EQ(listener.kind, PartKind::marker);
  EXPECT_NEAR(distance(scene->points[listener.first_point], {1, -3, 2}), 0, 1e-12);
}

TEST(ReadGltf, UnrollsStripsAndFansAndJoinsTheMaterialsOfANode) {
  // The four corners 0..3 of the box's end, as a strip, as a fan (in ring order) and as triangles
  // without indices (only the first six points then).
  for (const char* primitive : {R"({"attributes":{"POSITION":0},"indices":2,"mode":5})",
                                R"({"attributes":{"POSITION":0},"indices":3,"mode":6})"}) {
    const std::string meshes =
        std::string(R"([{"primitives":[{"attributes":{"POSITION":0},"indices":1},)") + primitive +
        "]}]";
    std::string text = document(R"([{"name":"Box","mesh":0}])", meshes);
    const std::string more =
        R"({"bufferView":2,"componentType":5121,"count":4,"type":"SCALAR"},
           {"bufferView":2,"byteOffset":4,"componentType":5121,"count":4,"type":"SCALAR"})";
    text.replace(text.find(R"("type":"SCALAR"})") + 16, 0, "," + more);
    text.replace(text.find(R"("byteLength":72})") + 16, 0, R"(,{"buffer":1,"byteLength":8})");
    text.replace(text.rfind("]}"), 0,
                 R"(,{"byteLength":8,"uri":"data:;base64,)" +
                     base64(std::string("\0\1\2\3\0\1\3\2", 8)) + "\"}");
    const auto scene = read_text_as("room.gltf", text);
    ASSERT_TRUE(scene) << to_text(scene.error());
    ASSERT_EQ(scene->parts.size(), 1U);
    EXPECT_EQ(scene->parts[0].triangle_count, 14U);
    double area = 0;
    for (const auto& t : scene->triangles)
      area += norm(cross(scene->points[t[1]] - scene->points[t[0]],
                         scene->points[t[2]] - scene->points[t[0]])) /
              2;
    EXPECT_NEAR(area, 22 + 2, 1e-9) << primitive;
  }
}

TEST(ReadGltf, MakesCurvesOfLinesAndMarkersOfPoints) {
  const std::string meshes = R"([{"primitives":[{"attributes":{"POSITION":0},"mode":3},
                                                 {"attributes":{"POSITION":0},"mode":2},
                                                 {"attributes":{"POSITION":0},"mode":1},
                                                 {"attributes":{"POSITION":0},"mode":0}]}])";
  const auto scene = read_text_as("room.gltf", document(R"([{"name":"Path","mesh":0}])", meshes));
  ASSERT_TRUE(scene) << to_text(scene.error());
  ASSERT_EQ(scene->parts.size(), 1U + 1U + 4U + 8U);
  EXPECT_EQ(scene->parts[0].point_count, 8U);
  EXPECT_EQ(scene->parts[1].point_count, 9U);
  EXPECT_EQ(scene->parts[5].kind, PartKind::curve);
  EXPECT_EQ(scene->parts[6].kind, PartKind::marker);
}

TEST(ReadGltf, ReadsAGlbAndItsBuffersBesideTheFile) {
  const TemporaryFolder folder;
  const std::string nodes = R"([{"name":"Box","mesh":0}])";
  folder.write("my data.bin", bytes_of(kBox) + bytes_of(kBoxFaces));
  const auto beside = read_model_here(
      folder.write("room.gltf", document(nodes, kBoxMesh, "", "my%20data.bin")), {});
  ASSERT_TRUE(beside) << to_text(beside.error());
  EXPECT_EQ(beside->triangles.size(), 12U);

  std::string json = document(nodes, kBoxMesh, "", "none");
  json.erase(json.find(R"(,"uri":"none")"), 13);
  while (json.size() % 4) json += ' ';
  const std::string binary = bytes_of(kBox) + bytes_of(kBoxFaces);
  const auto word = [](std::size_t value) {
    const auto small = static_cast<std::uint32_t>(value);
    return std::string(reinterpret_cast<const char*>(&small), 4);
  };
  const std::string glb = "glTF" + word(2) + word(28 + json.size() + binary.size()) +
                          word(json.size()) + "JSON" + json + word(binary.size()) +
                          std::string("BIN\0", 4) + binary;
  const auto scene = read_model_here(folder.write("room.glb", glb), {});
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(scene->source.format, ModelFormat::glb);
  EXPECT_EQ(scene->points, beside->points);
  for (std::size_t length = 0; length < glb.size(); length += 7)
    EXPECT_FALSE(read_model_here(folder.write("cut.glb", glb.substr(0, length)), {})) << length;
}

TEST(ReadGltf, StaysInTheModelsFolderUnlessAllowed) {
  const TemporaryFolder folder;
  folder.write("outside.bin", bytes_of(kBox) + bytes_of(kBoxFaces));
  const std::string nodes = R"([{"name":"Box","mesh":0}])";
  std::filesystem::create_directories(folder.path() / "in");
  std::filesystem::create_symlink(folder.path() / "outside.bin", folder.path() / "in/link.bin");
  for (const char* uri :
       {"../outside.bin", "%2E%2E/outside.bin", "/etc/hostname", "link.bin",
        "http://example.org/a.bin", "file:///etc/hostname", "..\\\\outside.bin"}) {
    const auto scene =
        read_model_here(folder.write("in/room.gltf", document(nodes, kBoxMesh, "", uri)), {});
    EXPECT_EQ(code_of(scene), "model.outside-reference") << uri;
  }
  ReadOptions options;
  options.allow_outside_references = true;
  const auto file = folder.write("in/room.gltf", document(nodes, kBoxMesh, "", "../outside.bin"));
  EXPECT_EQ(code_of(read_model_here(file, options)), "read");
  EXPECT_EQ(code_of(read_text_as("room.gltf", document(nodes, kBoxMesh, "", "gone.bin"))),
            "model.missing-reference");
}

TEST(ReadGltf, CallsWhatHasNoNameByItsPlaceInTheFile) {
  const auto scene = read_text_as(
      "room.gltf",
      document(R"([{"name":"House","children":[1,2,3]},{"mesh":0},{"name":"Desk","mesh":0},{}])",
               R"([{"primitives":[{"attributes":{"POSITION":0},"indices":1}]}])"));
  ASSERT_TRUE(scene) << to_text(scene.error());
  ASSERT_EQ(scene->parts.size(), 3U);
  EXPECT_EQ(scene->parts[0].name, "part 1");
  EXPECT_EQ(scene->parts[0].path, "House/part 1");
  EXPECT_EQ(scene->parts[1].name, "Desk");
  EXPECT_EQ(scene->parts[2].kind, PartKind::marker);
  EXPECT_EQ(scene->parts[2].name, "part 3");
  EXPECT_TRUE(has_note(*scene, "reader.nameless"));
}

TEST(ReadGltf, SaysWhatIsWrongAndWhere) {
  const std::string nodes = R"([{"name":"Box","mesh":0}])";
  const std::string good = document(nodes, kBoxMesh);
  const auto replaced = [&good](const std::string& from, const std::string& to) {
    std::string text = good;
    text.replace(text.find(from), from.size(), to);
    return text;
  };
  struct Case {
    std::string text, code, mention;
  };
  const std::vector<Case> cases = {
      {replaced(R"("count":8)", R"("count":9)"), "model.syntax", "/accessors/0"},
      {replaced(R"("count":36)", R"("count":4000000000)"), "model.too-large", "/accessors/1/count"},
      {replaced(R"("count":8)", R"("count":-1)"), "model.syntax", "/accessors/0/count"},
      {replaced(R"("byteOffset":96)", R"("byteOffset":97)"), "model.syntax", "/bufferViews/1"},
      {replaced(R"("byteLength":168)", R"("byteLength":8000000000)"), "model.syntax", "/buffers/0"},
      {replaced(R"("POSITION":0)", R"("POSITION":7)"), "model.syntax", "POSITION"},
      {replaced(R"("indices":1)", R"("indices":0)"), "model.syntax", "/accessors/0"},
      {replaced(R"("mesh":0)", R"("mesh":3)"), "model.syntax", "/nodes/0/mesh"},
      {replaced(R"("mesh":0)", R"("mesh":0,"scale":[1,1e999,1])"), "model.syntax", "JSON"},
      {replaced(R"("mesh":0)", R"("mesh":0,"scale":[1,"x",1])"), "model.syntax", "/nodes/0/scale"},
      {replaced(R"("mesh":0)", R"("mesh":0,"children":[0])"), "model.syntax", "/nodes/0"},
      {replaced(R"("2.0")", R"("1.0")"), "model.unsupported", "/asset/version"},
      {replaced(R"("scene":0)", R"("scene":2)"), "model.syntax", "/scene"},
      {replaced(R"("scene":0,)", R"("scene":0,,)"), "model.syntax", "line 1, column"},
      {"{\"x\":" + std::string(100'000, '['), "model.syntax", "deeply"},
      {"[]", "model.syntax", "object"}};
  for (const Case& c : cases) {
    const auto scene = read_text_as("room.gltf", c.text);
    ASSERT_FALSE(scene) << c.mention;
    EXPECT_EQ(scene.error().code, c.code) << scene.error().what;
    EXPECT_NE(scene.error().what.find(c.mention), std::string::npos) << scene.error().what;
    EXPECT_FALSE(scene.error().remedy.empty());
  }
}

TEST(ReadGltf, ReadsThePlainMeshWhereACompressedOneStandsBesideIt) {
  const std::string nodes = R"([{"name":"Box","mesh":0}])";
  const std::string both = R"([{"name":"Box","primitives":[{"attributes":{"POSITION":0},"indices":1,
      "extensions":{"KHR_draco_mesh_compression":{"bufferView":0,"attributes":{"POSITION":0}}}}]}])";
  std::string text = document(nodes, both, R"(,"extensionsUsed":["KHR_draco_mesh_compression"])");
  const auto scene = read_text_as("room.gltf", text);
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(part_at(*scene, "Box").triangle_count, 12U);
  const std::string view = R"("bufferView":0,"componentType")";
  text.replace(text.find(view), view.size(), R"("componentType")");
  EXPECT_EQ(code_of(read_text_as("room.gltf", text)), "model.syntax") << "no Draco mesh is there";
}

TEST(ReadGltf, NamesTheModelWhereAFileThatItRefersToIsMissing) {
  const auto scene =
      read_text_as("room.gltf", document(R"([{"name":"Box","mesh":0}])", kBoxMesh, "", "gone.bin"));
  ASSERT_FALSE(scene);
  EXPECT_EQ(scene.error().code, "model.missing-reference");
  EXPECT_NE(scene.error().where.find("room.gltf"), std::string::npos) << scene.error().where;
}

TEST(ReadGltf, RefusesPointsThatAreNotFiniteAndIndicesOutOfRange) {
  const std::string nodes = R"([{"name":"Box","mesh":0}])";
  const TemporaryFolder folder;
  const auto file = folder.write("room.gltf", document(nodes, kBoxMesh, "", "data.bin"));
  std::vector<float> points = kBox;
  points[5] = std::numeric_limits<float>::quiet_NaN();
  folder.write("data.bin", bytes_of(points) + bytes_of(kBoxFaces));
  EXPECT_EQ(code_of(read_model_here(file, {})), "model.syntax");
  std::vector<std::uint16_t> faces = kBoxFaces;
  faces[5] = 8;
  folder.write("data.bin", bytes_of(kBox) + bytes_of(faces));
  EXPECT_EQ(code_of(read_model_here(file, {})), "model.syntax");
  points[5] = 1e30F;
  folder.write("data.bin", bytes_of(points) + bytes_of(kBoxFaces));
  EXPECT_EQ(code_of(read_model_here(file, {})), "model.too-large");
}

TEST(ReadGltf, RefusesAHierarchyTooDeepToWalk) {
  std::string nodes = "[";
  for (int i = 0; i < 5000; ++i) nodes += "{\"children\":[" + std::to_string(i + 1) + "]},";
  EXPECT_EQ(code_of(read_text_as("room.gltf", document(nodes + "{\"mesh\":0}]", kBoxMesh))),
            "model.syntax");
}

TEST(ReadGltf, ReplacesTextThatIsNotUtf8AndSaysSo) {
  const auto scene =
      read_text_as("room.gltf", document("[{\"name\":\"W\xE4nde\",\"mesh\":0}]", kBoxMesh));
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(scene->parts[0].name, "W\uFFFDnde");
  EXPECT_TRUE(has_note(*scene, "reader.not-utf8"));
}

TEST(GuessFrame, DoubtsARoomThatLiesOnItsSide) {
  // The box made 2 x 0.05 x 3 m lies level with Y up, and on its side once turned about X.
  const auto read = [](const std::string& rotation) {
    return read_text_as(
        "room.gltf",
        document(R"([{"name":"Floor","mesh":0,"scale":[1,0.05,1])" + rotation + "}]", kBoxMesh));
  };
  const auto level = read("");
  ASSERT_TRUE(level);
  EXPECT_FALSE(has_note(*level, "guess.up-doubtful"));
  const auto on_its_side = read(R"(,"rotation":[0.7071067811865476,0,0,0.7071067811865476])");
  ASSERT_TRUE(on_its_side);
  EXPECT_TRUE(has_note(*on_its_side, "guess.up-doubtful"));
  EXPECT_EQ(on_its_side->source.up, 'y');
}

TEST(GuessFrame, DoubtsAModelOfKilometresAndNamesTheUnitThatMakesARoomOfIt) {
  const auto read = [](const std::string& scale) {
    return read_text_as("room.gltf", document(R"([{"name":"Floor","mesh":0,"scale":[)" + scale +
                                                  "," + scale + "," + scale + "]}]",
                                              kBoxMesh));
  };
  const auto in_metres = read("2");
  ASSERT_TRUE(in_metres);
  EXPECT_FALSE(has_note(*in_metres, "guess.unit-doubtful"));
  const auto in_millimetres = read("2000");  // 2 x 1 x 3 units of the mesh: 6000 "metres"
  ASSERT_TRUE(in_millimetres);
  EXPECT_EQ(in_millimetres->source.unit_m, 1);
  for (const Note& note : in_millimetres->notes) {
    if (note.code != "guess.unit-doubtful") continue;
    EXPECT_NE(note.text.find("\"unit\": \"mm\""), std::string::npos) << note.text;
  }
  EXPECT_TRUE(has_note(*in_millimetres, "guess.unit-doubtful"));
}

TEST(DataUri, IsDecodedAsInRfc4648) {
  // RFC 4648, section 10, test vectors.
  for (const auto& [encoded, plain] : std::vector<std::pair<std::string, std::string>>{
           {"", ""}, {"Zg==", "f"}, {"Zm8=", "fo"}, {"Zm9v", "foo"}, {"Zm9vYmFy", "foobar"}})
    EXPECT_EQ(*read_data_uri("data:;base64," + encoded), plain);
  EXPECT_FALSE(read_data_uri("data:;base64,Zg=g"));
  EXPECT_FALSE(read_data_uri("data:text/plain,hello"));
}

}  // namespace
}  // namespace roomloom
