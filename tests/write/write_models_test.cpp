#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>

#include "base/sha256.h"
#include "exchange/write.h"
#include "exchange/write_frame.h"
#include "exchange/write_gltf.h"
#include "exchange/write_obj.h"
#include "exchange/write_step.h"
#include "write/sample.h"
#include "write/step_reading.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

std::string small_glb() {
  const Scene scene = sample::box_scene();
  return glb_of_our_own(customary_frame(Source{}, ModelFormat::glb), {}, {}, &scene, "t").bytes;
}

std::string small_step() {
  const SheetPlane floor{"Floor", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}}, {}, {}};
  return step_of_our_own(customary_frame(Source{}, ModelFormat::step), {}, {floor}, "f", "t").text;
}

/// An original of a kind, in a folder of its own.
struct Original {
  fs::path folder, file, out;
  Scene scene;
};

Original original(const std::string& test, const std::string& name, ModelFormat format) {
  Original made;
  made.folder = sample::fresh_folder(test);
  made.file = made.folder / name;
  made.out = made.folder / "out";
  fs::create_directories(made.out);
  const std::string content = format == ModelFormat::glb ? small_glb()
                              : format == ModelFormat::step
                                  ? small_step()
                                  : "o Floor\nv 0 0 0\nv 4 0 0\nv 4 0 3\nf 1 2 3\n";
  made.scene = sample::scene_from(made.file, content, format);
  return made;
}

Result<std::vector<WrittenFile>> written(const Original& from, const Annotation& annotation,
                                         const fs::path& out) {
  return write_models({from.scene, annotation, from.file, out, {}, "Roomloom"});
}

TEST(WriteModels, WritesEveryFileAndTellsItsDigest) {
  for (const ModelFormat format : {ModelFormat::glb, ModelFormat::step, ModelFormat::obj}) {
    const Original from = original("all", "room", format);
    const auto files = written(from, sample::annotation(), from.out);
    ASSERT_TRUE(files) << to_text(files.error());
    std::vector<std::string> names;
    for (const WrittenFile& file : *files) {
      names.push_back(file.name);
      EXPECT_EQ(sha256(sample::read_text(from.out / file.name)), file.sha256);
      EXPECT_EQ(fs::file_size(from.out / file.name), file.bytes);
    }
    EXPECT_EQ(names, (std::vector<std::string>{"routed.glb", "routed.step", "routed.obj",
                                               "routed.mtl", "runs.glb", "runs.step"}));
  }
}

TEST(WriteModels, SameInputSameBytes) {
  for (const ModelFormat format : {ModelFormat::glb, ModelFormat::step, ModelFormat::obj}) {
    const Original from = original("same", "room", format);
    fs::create_directories(from.folder / "again");
    const auto first = written(from, sample::annotation(), from.out);
    const auto second = written(from, sample::annotation(), from.folder / "again");
    ASSERT_TRUE(first && second);
    for (std::size_t i = 0; i < first->size(); ++i)
      EXPECT_EQ((*first)[i].sha256, (*second)[i].sha256) << (*first)[i].name;
  }
}

TEST(WriteModels, TheRoutedFileOfTheSameFormatIsTheOriginalAndOurs) {
  const Original from = original("bytes", "room.step", ModelFormat::step);
  ASSERT_TRUE(written(from, sample::annotation(), from.out));
  const std::string before = small_step();
  const std::string after = sample::read_text(from.out / "routed.step");
  const std::size_t tail = before.rfind("ENDSEC;");
  EXPECT_TRUE(after.starts_with(before.substr(0, tail)));
  EXPECT_TRUE(after.ends_with(before.substr(tail)));
  EXPECT_EQ(sample::read_text(from.file), before);
}

TEST(WriteModels, FramesSayWhereTheNumbersLie) {
  const Original from = original("frames", "room.step", ModelFormat::step);
  const auto files = written(from, sample::annotation(), from.out);
  ASSERT_TRUE(files);
  const Vec3 p{1, 2, 3};
  const auto at = [&](const char* name) {
    return sample::find(*files, name)->frame.from_room.apply(p);
  };
  EXPECT_NEAR(distance(at("routed.step"), {1000, 2000, 3000}), 0, 1e-9);
  EXPECT_NEAR(distance(at("runs.step"), {1000, 2000, 3000}), 0, 1e-9);
  EXPECT_NEAR(distance(at("routed.glb"), {1, 3, -2}), 0, 1e-12);
  EXPECT_NEAR(distance(at("routed.obj"), {1, 3, -2}), 0, 1e-12);
}

TEST(WriteModels, NeverWritesOverTheOriginal) {
  const Original from = original("over", "routed.glb", ModelFormat::glb);
  const auto files = written(from, sample::annotation(), from.folder);
  ASSERT_FALSE(files);
  EXPECT_EQ(files.error().code, "write.over-original");
  EXPECT_EQ(sample::read_text(from.file), small_glb());
  EXPECT_FALSE(fs::exists(from.folder / "runs.glb")) << "nothing was written at all";
}

TEST(WriteModels, KnowsTheOriginalThroughALink) {
  const Original from = original("link", "room.glb", ModelFormat::glb);
  fs::create_hard_link(from.file, from.out / "runs.glb");
  EXPECT_EQ(written(from, sample::annotation(), from.out).error().code, "write.over-original");
  fs::remove(from.out / "runs.glb");
  fs::create_symlink(from.file, from.out / "routed.step");
  EXPECT_EQ(written(from, sample::annotation(), from.out).error().code, "write.over-original");
}

TEST(WriteModels, NeverWritesOverAMaterialLibraryOfTheOriginal) {
  Original from = original("library", "room.obj", ModelFormat::obj);
  std::ofstream(from.folder / "routed.mtl") << "newmtl oak\n";
  from.scene = sample::scene_from(from.file, "mtllib routed.mtl\nv 0 0 0\n", ModelFormat::obj);
  EXPECT_EQ(written(from, sample::annotation(), from.folder).error().code, "write.over-original");
  EXPECT_EQ(sample::read_text(from.folder / "routed.mtl"), "newmtl oak\n");
}

TEST(WriteModels, CopiesAnObjsMaterialLibraryBesideTheResult) {
  Original from = original("copy", "room.obj", ModelFormat::obj);
  std::ofstream(from.folder / "room.mtl") << "newmtl oak\n";
  from.scene = sample::scene_from(from.file, "mtllib room.mtl\nmtllib gone.mtl\nv 0 0 0\n",
                                  ModelFormat::obj);
  const auto files = written(from, sample::annotation(), from.out);
  ASSERT_TRUE(files) << to_text(files.error());
  EXPECT_EQ(sample::read_text(from.out / "room.mtl"), "newmtl oak\n");
  EXPECT_NE(sample::find(*files, "room.mtl"), nullptr);
  EXPECT_EQ(sample::find(*files, "routed.obj")->notes.size(), 1U) << "the missing one is told";
}

TEST(WriteModels, RefusesAnOriginalThatHasChangedSince) {
  Original from = original("changed", "room.glb", ModelFormat::glb);
  from.scene.source.sha256 = sha256("something else");
  EXPECT_EQ(written(from, sample::annotation(), from.out).error().code, "write.original-changed");
  EXPECT_TRUE(fs::is_empty(from.out));
}

TEST(WriteModels, RefusesItemsThatCannotBeDrawn) {
  const Original from = original("bad", "room.glb", ModelFormat::glb);
  const auto code = [&](auto change) {
    Annotation annotation = sample::annotation();
    change(annotation.items);
    const auto files = written(from, annotation, from.out);
    return files ? std::string("written") : files.error().code;
  };
  using Items = std::vector<AnnotationItem>;
  EXPECT_EQ(code([](Items&) {}), "written");
  EXPECT_EQ(code([](Items& i) { i[0].name = i[1].name; }), "write.bad-item");
  EXPECT_EQ(code([](Items& i) { i[0].numbers["x"] = std::nan(""); }), "write.bad-item");
  EXPECT_EQ(code([](Items& i) { std::get<Tube>(i[0].shape).pieces.clear(); }), "write.bad-item");
  EXPECT_EQ(code([](Items& i) { std::get<Tube>(i[0].shape).diameter_m = 0; }), "write.bad-item");
  EXPECT_EQ(
      code([](Items& i) { std::get<Arc>(std::get<Tube>(i[0].shape).pieces[1]).centre.x += 0.1; }),
      "write.bad-item");
  EXPECT_EQ(code([](Items& i) {
              std::get<Bar>(i[2].shape).width_axis = {0, 0, 1};
            }),
            "write.bad-item");
  EXPECT_EQ(code([](Items& i) { std::get<RingShape>(i[3].shape).outer_m = 0.01; }),
            "write.bad-item");
  EXPECT_EQ(code([](Items& i) { std::get<Tag>(i[5].shape).up = {1, 0, 0}; }), "write.bad-item");
}

TEST(WriteModels, AFolderThatIsMissingIsAnError) {
  const Original from = original("folder", "room.glb", ModelFormat::glb);
  EXPECT_EQ(written(from, sample::annotation(), from.folder / "none").error().code,
            "file.unwritable");
}

TEST(WriteModels, AnAnnotationWithoutItemsStillMakesWholeFiles) {
  for (const ModelFormat format : {ModelFormat::glb, ModelFormat::step, ModelFormat::obj}) {
    const Original from = original("none", "room", format);
    EXPECT_TRUE(written(from, {}, from.out));
  }
}

TEST(WriteModels, AMeshBecomesPlanesInStep) {
  const Original from = original("planes", "room.glb", ModelFormat::glb);
  const Annotation annotation = sample::annotation();
  const SheetPlane floor{"Floor", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}}, {}, {}};
  ASSERT_TRUE(write_models({from.scene, annotation, from.file, from.out, {floor}, "Roomloom"}));
  const auto parts = step_reading::read_parts((from.out / "routed.step").string());
  const auto* part = step_reading::find(parts, "Floor");
  ASSERT_NE(part, nullptr);
  EXPECT_EQ(part->faces, 1);
  EXPECT_NE(step_reading::find(parts, "Run S1"), nullptr);
}

}  // namespace
}  // namespace roomloom
