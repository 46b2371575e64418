#include "exchange/read_guess.h"
#include "exchange/read_obj_text.h"
#include "exchange/read_support.h"

namespace roomloom {
namespace {

/// A box of the given size from (x, y, z) as OBJ text, its faces outwards, with relative indices.
std::string box_text(double x, double y, double z, double sx, double sy, double sz) {
  std::string text;
  for (int corner = 0; corner < 8; ++corner)
    text += "v " + std::to_string(x + (corner & 1 ? sx : 0)) + " " +
            std::to_string(y + (corner & 2 ? sy : 0)) + " " +
            std::to_string(z + (corner & 4 ? sz : 0)) + "\n";
  return text +
         "f -8 -6 -5 -7\nf -4 -3 -1 -2\nf -8 -7 -3 -4\nf -6 -2 -1 -5\nf -8 -4 -2 -6\nf -7 -5 -1 "
         "-3\n";
}

ReadOptions metres_z_up() {
  ReadOptions options;
  options.unit_m = 1;
  options.up = 'z';
  return options;
}

TEST(ReadObj, KeepsNamesWithSpacesAndMergesWhatHasOneName) {
  const std::string text =
      "o Wall north \nv 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n"
      "o W\u00e4nde / 2\nf 1 3 2\no Wall north\nv 1 1 0\nf 2 4 3\n";
  const auto scene = read_text_as("room.obj", text, metres_z_up());
  ASSERT_TRUE(scene) << to_text(scene.error());
  ASSERT_EQ(scene->parts.size(), 2U);
  EXPECT_EQ(scene->parts[0].name, "Wall north");
  EXPECT_EQ(scene->parts[0].triangle_count, 2U);
  EXPECT_EQ(scene->parts[0].point_count, 4U);
  EXPECT_EQ(scene->parts[0].native_reference, "line 5");
  EXPECT_EQ(scene->parts[1].name, "W\u00e4nde / 2");
}

TEST(ReadObj, PutsGroupsBelowTheirObject) {
  const auto scene = read_text_as("room.obj",
                                  "v 0 0 0\nv 1 0 0\nv 0 1 0\no Desk\ng Top\nf 1 2 3\ng Left leg\n"
                                  "f 1 3 2\no Lamp\ng Shade\nf 1 2 3\n",
                                  metres_z_up());
  ASSERT_TRUE(scene);
  EXPECT_EQ(part_at(*scene, "Desk/Top").name, "Top");
  EXPECT_EQ(part_at(*scene, "Desk/Left leg").parent, 0);
  EXPECT_EQ(scene->groups.at(0).name, "Desk");
  EXPECT_EQ(part_at(*scene, "Lamp").parent, -1);
}

TEST(ReadObj, NamesPartsByMaterialWhereNothingElseHasAName) {
  const auto scene = read_text_as(
      "room.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nusemtl Oak floor\nf 1 2 3\nusemtl Plaster\nf 1 3 2\n",
      metres_z_up());
  ASSERT_TRUE(scene);
  EXPECT_EQ(part_at(*scene, "Oak floor").triangle_count, 1U);
  EXPECT_EQ(part_at(*scene, "Plaster").triangle_count, 1U);
}

TEST(ReadObj, CutsConcavePolygonsWithoutChangingTheirArea) {
  // An L of 3 square metres that a fan from its first corner would get wrong.
  const auto scene = read_text_as("room.obj",
                                  "o Floor\nv 1 1 0\nv 1 2 0\nv 0 2 0\nv 0 0 0\nv 2 0 0\nv 2 1 0\n"
                                  "f 1 2 3 4 5 6\n",
                                  metres_z_up());
  ASSERT_TRUE(scene);
  double area = 0;
  for (const auto& t : scene->triangles) {
    const Vec3 n =
        cross(scene->points[t[1]] - scene->points[t[0]], scene->points[t[2]] - scene->points[t[0]]);
    EXPECT_GT(n.z, 0);
    area += n.z / 2;
  }
  EXPECT_NEAR(area, 3, 1e-12);
  EXPECT_EQ(scene->face, (std::vector<std::int32_t>(4, 0)));
}

TEST(ReadObj, KeepsTheFullPrecisionOfTheTextFarFromTheOrigin) {
  const auto scene = read_text_as(
      "room.obj", "o Box\n" + box_text(500000.125, 200000.5, 12.0625, 1, 2, 3), metres_z_up());
  ASSERT_TRUE(scene);
  const Box3 box = box_of(*scene, scene->parts[0]);
  EXPECT_EQ(box.low, (Vec3{500000.125, 200000.5, 12.0625}));
  EXPECT_EQ(box.high, (Vec3{500001.125, 200002.5, 15.0625}));
  EXPECT_EQ(scene->parts[0].closure, Closure::oriented);
}

TEST(ReadObj, MakesCurvesOfLinesAndMarkersOfPoints) {
  const auto scene = read_text_as("room.obj",
                                  "o Path\nv 0 0 0\nv 1 0 0\nv 1 1 0\nv 5 5 5\nv 6 5 5\n"
                                  "l 1 2\nl 2 3\nl 4 5\no Listener\np 4\n",
                                  metres_z_up());
  ASSERT_TRUE(scene);
  ASSERT_EQ(scene->parts.size(), 3U);
  EXPECT_EQ(scene->parts[0].kind, PartKind::curve);
  EXPECT_EQ(scene->parts[0].point_count, 3U);
  EXPECT_EQ(scene->parts[1].point_count, 2U);
  EXPECT_EQ(scene->parts[2].kind, PartKind::marker);
  EXPECT_EQ(scene->points[scene->parts[2].first_point], (Vec3{5, 5, 5}));
}

TEST(ReadObj, ReadsColoursOfItsLibraryAndTellsWhenOneIsMissing) {
  const TemporaryFolder folder;
  folder.write("my colours.mtl",
               "newmtl Dark oak\nKd 0.5 0.25 0.125\nd 0.5\nnewmtl Other\nKd 1 1 1\n");
  const auto file = folder.write("room.obj",
                                 "mtllib my colours.mtl\nmtllib gone.mtl\nmtllib ../../etc/passwd\n"
                                 "usemtl Dark oak\nv 0 0 0\nv 1 0 0\nv 0 1 0\nf 1/1/1 2//2 3\n");
  const auto scene = read_model_here(file, metres_z_up());
  ASSERT_TRUE(scene);
  const auto colour = scene->parts[0].colour;
  ASSERT_TRUE(colour);
  EXPECT_EQ(*colour, (Colour{0.5F, 0.25F, 0.125F, 0.5F}));
  EXPECT_TRUE(has_note(*scene, "reader.missing-reference"));
  EXPECT_TRUE(has_note(*scene, "reader.outside-reference"));
}

TEST(ReadObj, TakesAnyLineEndsContinuedLinesAndCommentsAndBlanks) {
  const auto scene =
      read_text_as("room.obj",
                   "\xEF\xBB\xBF# made by hand\r\nv  0\t0 0 # origin\r\nv 1 0 +0\rv 0 1 \\\n 0\n"
                   "v 0.5 0.5 1e-400 1 0.5 0.25\n\nf 1 2 \\\n3\nf 2 4 3",
                   metres_z_up());
  ASSERT_TRUE(scene) << to_text(scene.error());
  EXPECT_EQ(scene->triangles.size(), 1U);  // the second one has no area
  EXPECT_TRUE(has_note(*scene, "reader.degenerate-triangles"));
}

TEST(ReadObj, NamesTheLineThatIsDamaged) {
  const std::vector<std::pair<std::string, std::string>> damaged = {
      {"v 0 0\n", "line 1"},
      {"v 0 0 0\nv nan 0 0\n", "line 2"},
      {"v 0 0 1e999\n", "line 1"},
      {"v 0 0 0\nf 1 2 3\n", "no point 3"},
      {"v 0 0 0\nf 1 1 -2\n", "line 2"},
      {"v 0 0 0\nf 0 1 1\n", "line 2"},
      {"v 0 0 0\nf 1 1 99999999999999999999\n", "line 2"},
      {"v 0 0 0\n\nf one two three\n", "line 3"}};
  for (const auto& [text, where] : damaged) {
    const auto scene = read_text_as("room.obj", text, metres_z_up());
    ASSERT_FALSE(scene) << text;
    EXPECT_EQ(scene.error().code, "model.syntax");
    EXPECT_NE(scene.error().what.find(where), std::string::npos) << scene.error().what;
  }
}

TEST(ReadObj, RefusesAFaceThatWouldTakeForeverToCut) {
  std::string text, face = "f";
  for (int i = 1; i <= 6000; ++i) {
    text += "v " + std::to_string(i) + " " + std::to_string(i * i % 7) + " 0\n";
    face += " " + std::to_string(i);
  }
  EXPECT_EQ(code_of(read_text_as("room.obj", text + face + "\n", metres_z_up())), "model.syntax");
}

TEST(ReadObj, SaysThatAFileWithoutElementsIsEmpty) {
  EXPECT_EQ(code_of(read_text_as("room.obj", "v 0 0 0\n", metres_z_up())), "model.empty");
  EXPECT_EQ(code_of(read_text_as("room.obj", "")), "model.empty");
  EXPECT_EQ(code_of(read_text_as("room.obj", "\xFF\xFEv\0 \0")), "model.unsupported");
}

TEST(GuessFrame, FindsUnitAndUpAxisOfARoomAndSaysHowToOverrule) {
  struct Case {
    double factor;  // the file's numbers are metres times this
    bool y_up;
    double unit_m;
  };
  for (const Case& c :
       {Case{1, true, 1}, Case{1, false, 1}, Case{100, true, 0.01}, Case{1000, false, 0.001}}) {
    const double f = c.factor;
    const std::string text = c.y_up ? "o Room\n" + box_text(0, 0, 0, 4 * f, 2.5 * f, 5 * f)
                                    : "o Room\n" + box_text(0, 0, 0, 4 * f, 5 * f, 2.5 * f);
    const auto scene = read_text_as("room.obj", text);
    ASSERT_TRUE(scene);
    EXPECT_EQ(scene->source.unit_m, c.unit_m);
    EXPECT_EQ(scene->source.up, c.y_up ? 'y' : 'z');
    EXPECT_TRUE(has_note(*scene, "guess.unit"));
    EXPECT_TRUE(has_note(*scene, "guess.up"));
    EXPECT_NEAR(distance(box_of(*scene, scene->parts[0]).size(), {4, 5, 2.5}), 0, 1e-9);
    EXPECT_NEAR(volume_of(*scene, scene->parts[0]), 50, 1e-9);
    // File coordinates to the room frame: the file's own up axis becomes Z.
    const Vec3 up = scene->source.to_room.apply(c.y_up ? Vec3{0, f, 0} : Vec3{0, 0, f});
    EXPECT_NEAR(distance(up, {0, 0, 1}), 0, 1e-12);
  }
}

TEST(GuessFrame, TakesInchesWhereARoomWouldBeTooLowInCentimetres) {
  // 100 units high: a metre in centimetres, 2.54 m in inches.
  const auto scene = read_text_as("room.obj", "o Room\n" + box_text(0, 0, 0, 160, 100, 200));
  ASSERT_TRUE(scene);
  EXPECT_EQ(scene->source.unit_m, 0.0254);
  EXPECT_EQ(scene->source.up, 'y');
  // A cupboard in centimetres is no room in either.
  const auto low = read_text_as("room.obj", "o Cupboard\n" + box_text(0, 0, 0, 160, 40, 200));
  ASSERT_TRUE(low);
  EXPECT_EQ(low->source.unit_m, 0.01);
}

TEST(GuessFrame, TrustsTheNamesOfFloorsMoreThanTheShape) {
  // A tower: higher than wide, with Z up.
  const auto scene = read_text_as("room.obj", "o Floor\n" + box_text(0, 0, 0, 3, 3, 0.2) +
                                                  "o Shaft\n" + box_text(0, 0, 0.2, 3, 3, 9));
  ASSERT_TRUE(scene);
  EXPECT_EQ(scene->source.up, 'z');
}

/// Floor, ceiling and walls of a room of 4 x 5 x 2.5, in the file's axes: Z up, or Y.
Scene room_scene(ModelFormat format, bool y_up) {
  std::string text;
  const auto box = [&](const std::string& name, const Vec3& at, const Vec3& size) {
    text += "o " + name + "\n" +
            (y_up ? box_text(at.x, at.z, -at.y - size.y, size.x, size.z, size.y)
                  : box_text(at.x, at.y, at.z, size.x, size.y, size.z));
  };
  box("Floor slab", {0, 0, -0.2}, {4, 5, 0.2});
  box("Ceiling", {0, 0, 2.5}, {4, 5, 0.1});
  for (int i = 0; i < 8; ++i)  // far more upright area than level
    box("Wall " + std::to_string(i), {0, 0.6 * i, 0}, {4, 0.1, 2.5});
  auto scene = read_text_as("room.obj", text, metres_z_up());
  EXPECT_TRUE(scene);
  scene->source.format = format;
  scene->notes.clear();
  return *scene;
}

TEST(GuessFrame, TakesTheUpAxisOfStepFromTheNamesOfFloorsWhereTheyLeaveNoDoubt) {
  for (const bool y_up : {false, true}) {
    Scene scene = room_scene(ModelFormat::step, y_up);
    settle_frame(scene, {});
    EXPECT_EQ(scene.source.up, y_up ? 'y' : 'z');
    EXPECT_EQ(has_note(scene, "guess.up"), y_up);
    EXPECT_NEAR(box_of(scene, scene.parts[0]).size().z, 0.2, 1e-9);
  }
  // Walls that would lie level forbid it, and the job's word comes first.
  Scene doubtful = room_scene(ModelFormat::step, true);
  for (Part& part : doubtful.parts) part.name = part.name == "Ceiling" ? "Ceiling" : "Panel";
  doubtful.parts[0].name = "Wall front";
  settle_frame(doubtful, {});
  EXPECT_EQ(doubtful.source.up, 'z');
  Scene told = room_scene(ModelFormat::step, true);
  settle_frame(told, metres_z_up());
  EXPECT_EQ(told.source.up, 'z');
}

TEST(GuessFrame, DoubtsTheUpAxisOfGltfWhereTheNamesOfFloorsSpeakAgainstIt) {
  for (const bool y_up : {false, true}) {
    Scene scene = room_scene(ModelFormat::glb, y_up);
    settle_frame(scene, {});
    EXPECT_EQ(scene.source.up, 'y') << "as the format has it";
    EXPECT_EQ(has_note(scene, "guess.up-doubtful"), !y_up);
    for (const Note& note : scene.notes) {
      if (note.code != "guess.up-doubtful") continue;
      EXPECT_NE(note.text.find("\"up\": \"z\""), std::string::npos) << note.text;
    }
  }
}

TEST(GuessFrame, TakesFeetWhereADoorWouldBeSixMetresHighAndElseOffersThem) {
  const auto read = [](const std::string& name, double height) {
    return read_text_as("room.obj", "o Room\n" + box_text(0, 0, 0, 13, 8.5, 16) + "o " + name +
                                        "\n" + box_text(1, 0, 0, 3, height, 0.1));
  };
  const auto with_door = read("Door leaf", 6.6);
  ASSERT_TRUE(with_door);
  EXPECT_EQ(with_door->source.unit_m, 0.3048);
  for (const auto& [name, height] : {std::pair{"Panel", 6.6}, {"Door", 2.0}}) {
    const auto other = read(name, height);
    ASSERT_TRUE(other);
    EXPECT_EQ(other->source.unit_m, 1) << name;
    EXPECT_TRUE(std::any_of(other->notes.begin(), other->notes.end(), [](const Note& note) {
      return note.text.find("\"unit\": \"ft\"") != std::string::npos;
    }));
  }
  const auto in_metres = read_text_as("room.obj", "o Room\n" + box_text(0, 0, 0, 4, 2.5, 5));
  ASSERT_TRUE(in_metres);
  for (const Note& note : in_metres->notes)
    EXPECT_EQ(note.text.find("ft"), std::string::npos) << note.text;
}

TEST(GuessFrame, DoesAsTheOptionsSayAndDoesNotGuess) {
  ReadOptions options;
  options.unit_m = 0.0254;
  options.up = 'y';
  const auto scene =
      read_text_as("room.obj", "o Room\n" + box_text(0, 0, 0, 100, 100, 100), options);
  ASSERT_TRUE(scene);
  EXPECT_FALSE(has_note(*scene, "guess.unit"));
  EXPECT_NEAR(distance(box_of(*scene, scene->parts[0]).high, {2.54, 0, 2.54}), 0, 1e-9);
}

TEST(ReadOptions, OutOfRangeAreRefused) {
  for (const double unit : {0.0, -1.0, 1e9}) {
    ReadOptions options;
    options.unit_m = unit;
    EXPECT_EQ(code_of(read_text_as("room.obj", "v 0 0 0\n", options)), "options.invalid");
  }
  ReadOptions options;
  options.up = 'x';
  EXPECT_EQ(code_of(read_text_as("room.obj", "v 0 0 0\n", options)), "options.invalid");
  EXPECT_EQ(code_of(read_text_as("room.ply", "ply\n")), "model.unknown-format");
}

}  // namespace
}  // namespace roomloom
