#include "check/written_result.h"

namespace roomloom::testing {
namespace {

Corruption in_glb(const std::string& file, const std::string& name,
                  const std::function<void(GlbFile&, Random&)>& spoil) {
  return {name + " in " + file, [=](const fs::path& folder, Random& random) {
            GlbFile glb(folder / file);
            spoil(glb, random);
            glb.save();
          }};
}

std::vector<Corruption> glb_corruptions(const std::string& file) {
  const auto run = [](Random& random) { return "Run " + any_of(kRuns, random); };
  return {
      in_glb(file, "a run moved by 20 mm",
             [=](GlbFile& glb, Random& random) {
               const std::string name = run(random);
               const Change change = any_move(random, 0.02);
               glb.change_points(name, change);
               glb.change_points(name + " centreline", change);
             }),
      in_glb(file, "a tube moved off its centreline",
             [=](GlbFile& glb, Random& random) {
               glb.change_points(run(random), any_move(random, 0.02));
             }),
      in_glb(file, "a bend of a centreline moved by 20 mm",
             [=](GlbFile& glb, Random& random) {
               const std::string name = run(random) + " centreline";
               const std::size_t at = 1 + random() % (glb.points(name).size() - 2);
               const Change change = any_move(random, 0.02);
               glb.change_points(
                   name, [&](std::size_t i, const Point& p) { return i == at ? change(p) : p; });
             }),
      in_glb(file, "an end of a run moved by 20 mm",
             [=](GlbFile& glb, Random& random) {
               const std::string name = run(random) + " centreline";
               const std::size_t at = random() % 2 == 0 ? 0 : glb.points(name).size() - 1;
               const Change change = any_move(random, 0.02);
               glb.change_points(
                   name, [&](std::size_t i, const Point& p) { return i == at ? change(p) : p; });
             }),
      in_glb(file, "a tube thinned",
             [=](GlbFile& glb, Random& random) {
               const std::string name = run(random);
               glb.change_points(name, thinned_about(glb.points(name + " centreline"), 0.8));
             }),
      in_glb(file, "a run renamed",
             [=](GlbFile& glb, Random& random) { glb.node(run(random))["name"] = "Run X1"; }),
      in_glb(file, "a run removed",
             [=](GlbFile& glb, Random& random) { glb.cut_out(run(random)); }),
      in_glb(file, "a centreline removed",
             [=](GlbFile& glb, Random& random) { glb.cut_out(run(random) + " centreline"); }),
      in_glb(file, "a run hung under Labels",
             [=](GlbFile& glb, Random& random) { glb.hang_under(run(random), "Labels"); }),
      in_glb(file, "a node moved by its transform",
             [=](GlbFile& glb, Random& random) {
               glb.node(run(random))["translation"] = {0, 0.02, 0};
             }),
      in_glb(file, "a cut length changed among the properties",
             [=](GlbFile& glb, Random& random) {
               auto& extras = glb.node(run(random))["extras"];
               extras["cut_m"] = extras["cut_m"].get<double>() + 0.1;
             }),
      in_glb(file, "a cable renamed among the properties",
             [=](GlbFile& glb, Random& random) {
               glb.node(run(random))["extras"]["cable"] = "bell wire";
             }),
      in_glb(file, "a ring moved by 20 mm",
             [](GlbFile& glb, Random& random) {
               glb.change_points("Hole H1", any_move(random, 0.02));
             }),
      in_glb(file, "a ring widened by 10 mm",
             [](GlbFile& glb, Random&) {
               const auto points = glb.points("Hole H1");
               glb.change_points("Hole H1", scaled_about(middle_of(points), 1.4));
             }),
      in_glb(file, "a ring removed", [](GlbFile& glb, Random&) { glb.cut_out("Hole H1"); }),
      in_glb(file, "a ring renamed",
             [](GlbFile& glb, Random&) { glb.node("Hole H1")["name"] = "Hole H9"; }),
      in_glb(file, "a hole's diameter changed among the properties",
             [](GlbFile& glb, Random&) { glb.node("Hole H1")["extras"]["diameter_m"] = 0.05; }),
      in_glb(file, "a piece of raceway moved by 20 mm",
             [](GlbFile& glb, Random& random) {
               glb.change_points("Raceway 1", any_move(random, 0.02));
             }),
      in_glb(file, "a piece of raceway removed",
             [](GlbFile& glb, Random&) { glb.cut_out("Raceway 2"); }),
      in_glb(file, "a support removed", [](GlbFile& glb, Random&) { glb.cut_out("Support 1"); }),
      in_glb(file, "a tag moved by 20 mm",
             [](GlbFile& glb, Random& random) {
               glb.change_points("Tag N1 to", any_move(random, 0.02));
             }),
      {"the end cut off " + file,
       [=](const fs::path& folder, Random&) {
         fs::resize_file(folder / file, fs::file_size(folder / file) / 2);
       }},
      {file + " removed", [=](const fs::path& folder, Random&) { write_text(folder / file, ""); }},
  };
}

TEST_F(WrittenResult, SpoiledInAGlbIsCaught) {
  expect_all_caught(glb_corruptions("routed.glb"), 2);
  expect_all_caught(glb_corruptions("runs.glb"));
}

}  // namespace
}  // namespace roomloom::testing
