#include "occt/read_step.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

#include "base/files.h"

namespace roomloom {
namespace {

Scene hall(const std::string& variant, double chord_error_m = 0.002) {
  const std::string file = ROOMLOOM_SOURCE_DIR "/tests/exchange/data/hall_" + variant + ".step";
  const auto text = read_file(file);
  EXPECT_TRUE(text) << file;
  const auto facts = check_part21(*text, file);
  EXPECT_TRUE(facts);
  auto scene = read_step(*text, file, *facts, chord_error_m);
  EXPECT_TRUE(scene) << to_text(scene.error());
  return scene ? *scene : Scene{};
}

const Part& part(const Scene& scene, const std::string& path) {
  const auto found = std::find_if(scene.parts.begin(), scene.parts.end(),
                                  [&](const Part& p) { return p.path == path; });
  EXPECT_NE(found, scene.parts.end()) << path;
  static const Part kNone;
  return found != scene.parts.end() ? *found : kNone;
}

Box3 box_of(const Scene& scene, const Part& part) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i) box.add(scene.points[part.first_point + i]);
  return box;
}

double volume_of(const Scene& scene, const Part& part) {
  double volume = 0;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    const auto& t = scene.triangles[part.first_triangle + i];
    volume += dot(scene.points[t[0]], cross(scene.points[t[1]], scene.points[t[2]])) / 6;
  }
  return volume;
}

class EverySchemaAndUnit : public testing::TestWithParam<std::pair<const char*, double>> {};

TEST_P(EverySchemaAndUnit, GivesTheSameHallInMetres) {
  const Scene scene = hall(GetParam().first);
  EXPECT_DOUBLE_EQ(scene.source.unit_m, GetParam().second);
  ASSERT_EQ(scene.parts.size(), 6U);
  ASSERT_EQ(scene.groups.size(), 1U);
  EXPECT_EQ(scene.groups[0].name, "Hall");
  EXPECT_TRUE(scene.notes.empty()) << scene.notes.front().text;

  const Box3 north = box_of(scene, part(scene, "Hall/Wall north"));
  EXPECT_NEAR(distance(north.low, {0, 5, 0}), 0, 1e-9);
  EXPECT_NEAR(distance(north.high, {4, 5.1, 2.5}), 0, 1e-9);
  // Turned by 90 degrees about Z, then moved by (0.1, 0.1, 0).
  const Box3 west = box_of(scene, part(scene, "Hall/Wall west"));
  EXPECT_NEAR(distance(west.low, {0, 0.1, 0}), 0, 1e-9);
  EXPECT_NEAR(distance(west.high, {0.1, 4.1, 2.5}), 0, 1e-9);
  EXPECT_NEAR(volume_of(scene, part(scene, "Hall/Wall west")), 4 * 0.1 * 2.5, 1e-9);
  EXPECT_EQ(part(scene, "Hall/Wall west").native_reference,
            part(scene, "Hall/Wall north").native_reference);
}

INSTANTIATE_TEST_SUITE_P(Hall, EverySchemaAndUnit,
                         testing::Values(std::pair("ap203_inch", 0.0254),
                                         std::pair("ap214_mm", 0.001), std::pair("ap242_m", 1.0)));

TEST(ReadStep, KeepsColoursLayersAndNamesBeyondAscii) {
  const Scene scene = hall("ap214_mm");
  const auto colour = part(scene, "Hall/Wall south").colour;
  ASSERT_TRUE(colour);
  EXPECT_NEAR(colour->r, 0.5, 1e-3);
  EXPECT_NEAR(colour->g, 0.25, 1e-3);
  EXPECT_NEAR(colour->b, 0.125, 1e-3);
  EXPECT_EQ(part(scene, "Hall/S\u00e4ule").layer, "Structure");
  EXPECT_EQ(scene.source.schema, "AUTOMOTIVE_DESIGN");
}

TEST(ReadStep, StaysWithinTheStatedChordErrorOnRoundFaces) {
  for (const double chord : {0.02, 0.002, 0.0002}) {
    const Scene scene = hall("ap214_mm", chord);
    const Part& column = part(scene, "Hall/S\u00e4ule");
    double worst = 0;
    for (std::uint32_t i = 0; i < column.triangle_count; ++i) {
      const auto& t = scene.triangles[column.first_triangle + i];
      const auto from_axis = [&](const Vec3& p) { return std::hypot(p.x - 2, p.y - 2.5); };
      for (std::size_t k = 0; k < 3; ++k) {
        const Vec3 &a = scene.points[t[k]], &b = scene.points[t[(k + 1) % 3]];
        const bool on_side = a.z != b.z;  // the caps' own diagonals say nothing
        if (on_side) worst = std::max(worst, 0.3 - from_axis(0.5 * (a + b)));
      }
    }
    EXPECT_GT(worst, 0);
    EXPECT_LE(worst, chord);
  }
}

TEST(ReadStep, NumbersTheFacesOfAPart) {
  const Scene scene = hall("ap214_mm");
  const Part& wall = part(scene, "Hall/Wall south");
  ASSERT_EQ(wall.triangle_count, 12U);
  std::vector<std::int32_t> faces(scene.face.begin() + wall.first_triangle,
                                  scene.face.begin() + wall.first_triangle + 12);
  EXPECT_EQ(faces, (std::vector<std::int32_t>{0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5}));
}

TEST(ReadStep, KeepsLooseWiresAsOneCurveAndLoosePointsAsMarkers) {
  const Scene scene = hall("ap242_m", 0.0002);
  const Part& path = part(scene, "Hall/Cable path");
  EXPECT_EQ(path.kind, PartKind::curve);
  double length = 0;
  for (std::uint32_t i = 1; i < path.point_count; ++i)
    length += distance(scene.points[path.first_point + i - 1], scene.points[path.first_point + i]);
  EXPECT_NEAR(length, 1 + 0.2 * kPi / 2 + 1, 0.001);
  EXPECT_NEAR(distance(scene.points[path.first_point], {0.5, 0.2, 0.1}), 0, 1e-9);
  const Part& listener = part(scene, "Hall/Listener");
  EXPECT_EQ(listener.kind, PartKind::marker);
  EXPECT_NEAR(distance(scene.points[listener.first_point], {2.1, 3.4, 1.2}), 0, 1e-9);
}

TEST(ReadStep, TellsWhatTheFileDeclaresAndDidNotComeThrough) {
  const std::string file = ROOMLOOM_SOURCE_DIR "/tests/exchange/data/hall_ap214_mm.step";
  const auto text = read_file(file);
  ASSERT_TRUE(text);
  auto facts = check_part21(*text, file);
  ASSERT_TRUE(facts);
  EXPECT_EQ(facts->count({"ADVANCED_FACE"}), 9U);  // a box and a cylinder
  facts->entities["ADVANCED_FACE"] = 10;
  const auto scene = read_step(*text, file, *facts, 0.002);
  ASSERT_TRUE(scene);
  ASSERT_EQ(scene->notes.size(), 1U);
  EXPECT_EQ(scene->notes[0].code, "reader.lost-faces");
}

TEST(ReadStep, GivesTheSameBytesTwice) {
  const Scene first = hall("ap203_inch"), second = hall("ap203_inch");
  EXPECT_EQ(first.points, second.points);
  EXPECT_EQ(first.triangles, second.triangles);
}

TEST(ReadStep, SaysOfAFileWithTessellatedFacesOnlyWhatToExportInstead) {
  const std::string text =
      "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n"
      "FILE_NAME('','2026-01-01T00:00:00',(''),(''),'','','');\n"
      "FILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF'));\nENDSEC;\nDATA;\n"
      "#1=COORDINATES_LIST('',3,((0.,0.,0.),(1.,0.,0.),(0.,1.,0.)));\n"
      "#2=TRIANGULATED_FACE('',#1,3,$,$,(1,2,3),((1,2,3)));\n"
      "#3=TESSELLATED_SHELL('Wall',(#2),$);\nENDSEC;\nEND-ISO-10303-21;\n";
  const auto facts = check_part21(text, "room.step");
  ASSERT_TRUE(facts) << to_text(facts.error());
  const auto scene = read_step(text, "room.step", *facts, 0.002);
  ASSERT_FALSE(scene);
  EXPECT_EQ(scene.error().code, "model.unsupported");
  EXPECT_NE(scene.error().what.find("1 tessellated face"), std::string::npos) << scene.error().what;
}

}  // namespace
}  // namespace roomloom
