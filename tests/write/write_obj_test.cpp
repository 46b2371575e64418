#include "exchange/write_obj.h"

#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "write/assimp_reading.h"
#include "write/sample.h"

namespace roomloom {
namespace {

std::vector<DrawnItem> drawings_of(const Annotation& annotation) {
  std::vector<DrawnItem> drawings;
  for (const AnnotationItem& item : annotation.items) drawings.push_back(drawn(item.shape));
  return drawings;
}

FileFrame y_up() { return customary_frame(Source{}, ModelFormat::obj); }

TEST(ObjNames, HoldNoWhiteSpace) {
  EXPECT_EQ(obj_name("Run S1 centreline"), "Run_S1_centreline");
  EXPECT_EQ(obj_name("Küche\t1"), "Küche_1");
}

TEST(AppendToObj, KeepsTheOriginalAndAddsObjects) {
  const std::string original =
      "mtllib room.mtl\no Floor\nv 0 0 0\nv 4 0 0\nv 4 0 -3\nusemtl grey\nf 1 2 3";
  const Annotation annotation = sample::annotation();
  const auto made =
      append_to_obj(original, y_up(), annotation, drawings_of(annotation), "routed.mtl");
  EXPECT_TRUE(made.text.starts_with(original + "\nmtllib routed.mtl\n"));
  const auto folder = sample::fresh_folder("obj");
  std::ofstream(folder / "routed.obj", std::ios::binary) << made.text;
  std::ofstream(folder / "routed.mtl", std::ios::binary) << made.materials;
  std::string error;
  const auto nodes = assimp_reading::read_nodes((folder / "routed.obj").string(), error);
  ASSERT_FALSE(nodes.empty()) << error;
  ASSERT_NE(assimp_reading::find(nodes, "Floor"), nullptr);
  EXPECT_EQ(assimp_reading::find(nodes, "Floor")->triangles, 1U);
  for (const AnnotationItem& item : annotation.items) {
    const auto* node = assimp_reading::find(nodes, obj_name(item.name));
    ASSERT_NE(node, nullptr) << item.name;
    EXPECT_EQ(node->triangles, drawn(item.shape).triangles.size());
  }
  const auto* line = assimp_reading::find(nodes, "Run_S1_centreline");
  ASSERT_NE(line, nullptr);
  EXPECT_NEAR(line->line_length, 8.672551137, 5e-5);
  EXPECT_NEAR(line->box.high.y, 2.4, 1e-6);
}

TEST(AppendToObj, CoordinatesKeepAHundredthOfAMicrometreInAnyUnit) {
  Source source;
  source.unit_m = 0.001;
  source.to_room.m = {0.001, 0, 0, 0, 0, 0.001, 0, 0, 0, 0, 0.001, 0};
  Annotation annotation;
  annotation.items.push_back({});
  annotation.items[0].name = "Run A";
  annotation.items[0].shape = Tube{{Line3{{0, 0, 0}, {1.23456789, 0, 0}}}, 0.01};
  const auto made = append_to_obj("", *own_frame(source), annotation, drawings_of(annotation), "m");
  EXPECT_NE(made.text.find("v 1234.56789 0 0\n"), std::string::npos);
}

TEST(AppendToObj, MaterialsAreNewToTheFile) {
  const Annotation annotation = sample::annotation();
  const auto once = append_to_obj("", y_up(), annotation, drawings_of(annotation), "routed.mtl");
  const auto twice =
      append_to_obj(once.text, y_up(), annotation, drawings_of(annotation), "routed.mtl");
  EXPECT_NE(once.materials.find("newmtl roomloom_1\n"), std::string::npos);
  EXPECT_EQ(once.text.find("roomloom2_"), std::string::npos);
  EXPECT_NE(twice.materials.find("newmtl roomloom2_1\n"), std::string::npos);
}

TEST(AppendToObj, NamesAreNewToTheFile) {
  const Annotation annotation = sample::annotation();
  const auto made = append_to_obj("o Run_S1\nv 0 0 0\n", y_up(), annotation,
                                  drawings_of(annotation), "routed.mtl");
  EXPECT_NE(made.text.find("\no Run_S1_2\n"), std::string::npos);
  EXPECT_NE(made.text.find("\no Run_S1_centreline\n"), std::string::npos);
}

TEST(AppendToObj, EachGroupStandsOnceBeforeItsObjects) {
  const Annotation annotation = sample::annotation();
  const auto made = append_to_obj("", y_up(), annotation, drawings_of(annotation), "routed.mtl");
  std::istringstream lines(made.text);
  std::map<std::string, std::string> group_of;
  std::set<std::string> groups;
  std::string line, group;
  while (std::getline(lines, line)) {
    if (line.starts_with("g ")) {
      group = line.substr(2);
      EXPECT_TRUE(groups.insert(group).second) << group;
    }
    if (line.starts_with("o ")) group_of[line.substr(2)] = group;
  }
  for (const AnnotationItem& item : annotation.items) {
    EXPECT_EQ(group_of[obj_name(item.name)], to_string(item.group));
  }
  EXPECT_EQ(group_of["Run_S1_centreline"], "Runs");
}

TEST(ObjOfOurOwn, PartsGiveWayToOursAndToEachOther) {
  Scene scene = sample::box_scene();
  for (Part& part : scene.parts) part.name = "Run S1";
  const Annotation annotation = sample::annotation();
  const auto made =
      obj_of_our_own(y_up(), annotation, drawings_of(annotation), scene, "routed.mtl", "t");
  for (const char* name : {"\no Run_S1_2\n", "\no Run_S1_3\n", "\no Run_S1_4\n", "\no Run_S1\n"})
    EXPECT_NE(made.text.find(name), std::string::npos) << name;
  EXPECT_GT(made.text.find("\no Run_S1\n"), made.text.find("\no Run_S1_4\n"));
}

TEST(ObjOfOurOwn, HoldsTheSceneAndItsColours) {
  const Scene scene = sample::box_scene();
  const auto made = obj_of_our_own(y_up(), {}, {}, scene, "routed.mtl", "t");
  EXPECT_NE(made.text.find("o Wall_front\n"), std::string::npos);
  EXPECT_NE(made.materials.find("Kd 0.7000 0.7000 0.6500"), std::string::npos);
  EXPECT_EQ(made.text.find("Outlet"), std::string::npos) << "a marker has no faces";
}

TEST(ObjLibraries, AreFoundWhateverTheLineEnds) {
  EXPECT_EQ(obj_libraries("mtllib a b.mtl\r\n  mtllib c.mtl\nmtllibx\n#mtllib d.mtl\nmtllib c.mtl"),
            (std::vector<std::string>{"a b.mtl", "c.mtl"}));
}

}  // namespace
}  // namespace roomloom
