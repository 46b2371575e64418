#include "check/written_result.h"

namespace roomloom::testing {
namespace {

Corruption in_step(const std::string& file, const std::string& name,
                   const std::function<void(StepFile&, Random&)>& spoil) {
  return {name + " in " + file, [=](const fs::path& folder, Random& random) {
            StepFile step(folder / file);
            spoil(step, random);
            step.save();
          }};
}

// The room's model is a GLB, so the STEP files are of our own custom: millimetres.
std::vector<Corruption> step_corruptions(const std::string& file) {
  const auto run = [](Random& random) { return "Run " + any_of(kRuns, random); };
  return {
      in_step(file, "a centreline moved by 20 mm",
              [=](StepFile& step, Random& random) {
                step.change_points(run(random) + " centreline", any_move(random, 20));
              }),
      in_step(file, "a solid moved by 20 mm",
              [=](StepFile& step, Random& random) {
                step.change_points(run(random), any_move(random, 20));
              }),
      in_step(file, "a point of a centreline moved by 20 mm",
              [=](StepFile& step, Random& random) {
                const auto all = step.parts_of(run(random) + " centreline", "CARTESIAN_POINT");
                // The last of them is the origin of the product's own axes.
                step.change_point(all[random() % (all.size() - 1)], any_move(random, 20));
              }),
      in_step(file, "an arc's radius changed",
              [=](StepFile& step, Random& random) {
                const auto all = step.parts_of(run(random) + " centreline", "CIRCLE");
                step.scale_last(any_of(all, random), 1.1);
              }),
      in_step(file, "a tube thinned",
              [=](StepFile& step, Random& random) {
                const std::string name = run(random);
                for (const char* type : {"CYLINDRICAL_SURFACE", "CIRCLE"}) {
                  for (const long one : step.parts_of(name, type)) step.scale_last(one, 0.9);
                }
              }),
      in_step(file, "a run renamed",
              [=](StepFile& step, Random& random) {
                step.statement(step.product(run(random))) = "PRODUCT('Run X1','Run X1','',());";
              }),
      in_step(file, "a centreline renamed",
              [=](StepFile& step, Random& random) {
                step.statement(step.product(run(random) + " centreline")) =
                    "PRODUCT('Run X1 centreline','Run X1 centreline','',());";
              }),
      in_step(file, "a run removed",
              [=](StepFile& step, Random& random) { step.cut_out(run(random)); }),
      in_step(file, "a centreline removed",
              [=](StepFile& step, Random& random) { step.cut_out(run(random) + " centreline"); }),
      in_step(file, "a ring moved by 20 mm",
              [](StepFile& step, Random& random) {
                step.change_points("Hole H1", any_move(random, 20));
              }),
      in_step(file, "a ring widened",
              [](StepFile& step, Random&) {
                for (const char* type : {"CYLINDRICAL_SURFACE", "CIRCLE"}) {
                  for (const long one : step.parts_of("Hole H1", type)) step.scale_last(one, 1.1);
                }
              }),
      in_step(file, "a ring removed", [](StepFile& step, Random&) { step.cut_out("Hole H2"); }),
      in_step(file, "a piece of raceway moved by 20 mm",
              [](StepFile& step, Random& random) {
                step.change_points("Raceway 1", any_move(random, 20));
              }),
      in_step(file, "a support removed",
              [](StepFile& step, Random&) { step.cut_out("Support 1"); }),
      {"the end cut off " + file,
       [=](const fs::path& folder, Random&) {
         fs::resize_file(folder / file, fs::file_size(folder / file) / 2);
       }},
  };
}

Corruption in_obj(const std::string& name, const std::function<void(ObjFile&, Random&)>& spoil) {
  return {name + " in routed.obj", [=](const fs::path& folder, Random& random) {
            ObjFile obj(folder / "routed.obj");
            spoil(obj, random);
            obj.save();
          }};
}

std::vector<Corruption> obj_corruptions() {
  const auto run = [](Random& random) { return "Run_" + any_of(kRuns, random); };
  return {
      in_obj("a run moved by 20 mm",
             [=](ObjFile& obj, Random& random) {
               const std::string name = run(random);
               const Change change = any_move(random, 0.02);
               obj.change_points(name, change);
               obj.change_points(name + "_centreline", change);
             }),
      in_obj("a tube moved by 20 mm",
             [=](ObjFile& obj, Random& random) {
               obj.change_points(run(random), any_move(random, 0.02));
             }),
      in_obj("a bend of a centreline moved by 20 mm",
             [=](ObjFile& obj, Random& random) {
               const std::string name = run(random) + "_centreline";
               const std::size_t at = 1 + random() % (obj.points(name).size() - 2);
               const Change change = any_move(random, 0.02);
               obj.change_points(
                   name, [&](std::size_t i, const Point& p) { return i == at ? change(p) : p; });
             }),
      in_obj("a tube thinned",
             [=](ObjFile& obj, Random& random) {
               const std::string name = run(random);
               obj.change_points(name, thinned_about(obj.points(name + "_centreline"), 0.8));
             }),
      in_obj("a run renamed",
             [=](ObjFile& obj, Random& random) { obj.rename(run(random), "Run_X1"); }),
      in_obj("a run removed", [=](ObjFile& obj, Random& random) { obj.cut_out(run(random)); }),
      in_obj("a ring moved by 20 mm",
             [](ObjFile& obj, Random& random) {
               obj.change_points("Hole_H1", any_move(random, 0.02));
             }),
      in_obj("a ring widened",
             [](ObjFile& obj, Random&) {
               obj.change_points("Hole_H1", scaled_about(middle_of(obj.points("Hole_H1")), 1.2));
             }),
      in_obj("a ring removed", [](ObjFile& obj, Random&) { obj.cut_out("Hole_H2"); }),
      in_obj("a tag moved by 20 mm",
             [](ObjFile& obj, Random& random) {
               obj.change_points("Tag_H1", any_move(random, 0.02));
             }),
  };
}

TEST_F(WrittenResult, SpoiledInAStepFileIsCaught) {
  expect_all_caught(step_corruptions("routed.step"), 2);
  expect_all_caught(step_corruptions("runs.step"));
}

TEST_F(WrittenResult, SpoiledInTheObjIsCaught) { expect_all_caught(obj_corruptions(), 2); }

}  // namespace
}  // namespace roomloom::testing
