#include <gtest/gtest.h>

#include <optional>
#include <random>
#include <set>

#include "check/check.h"
#include "check/written_files.h"
#include "pipeline/planning.h"

/// A result is written once and spoiled in many ways, one at a time; the check must notice each.
namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;
using Random = std::mt19937;  // its numbers are the same everywhere

constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4, "depth": 5 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] } })";
constexpr const char* kJob = R"({ "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.7,
              "off_wall": 0.15, "ports": ["1..4"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1, "up": 0.4 },
            { "id": "lamp", "xyz": [2, 2, 2.5], "mount": "on sheet" },
            { "id": "screen", "at": "Wall left", "from_left": 2, "up": 1.5 } ],
  "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack", "to": "lamp", "cable": "cat6" },
            { "id": "S1", "from": "rack", "to": "screen", "cable": "speaker 2x1.5" } ] })";

const std::vector<std::string> kRuns{"N1", "N2", "S1"};

struct Corruption {
  std::string name;
  std::function<void(const fs::path& folder, Random& random)> spoil;
};

template <class T>
const T& any_of(const std::vector<T>& all, Random& random) {
  return all[random() % all.size()];
}

Change any_move(Random& random, double metres) {
  const std::size_t axis = random() % 3;
  const double step = random() % 2 == 0 ? metres : -metres;
  return moved_by(axis == 0 ? step : 0, axis == 1 ? step : 0, axis == 2 ? step : 0);
}

Point middle_of(const std::vector<Point>& points) {
  Point low = points.front();
  Point high = points.front();
  for (const Point& p : points) {
    for (std::size_t i = 0; i < 3; ++i) {
      low[i] = std::min(low[i], p[i]);
      high[i] = std::max(high[i], p[i]);
    }
  }
  return {0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]), 0.5 * (low[2] + high[2])};
}

Vec3 vec(const Point& p) { return {p[0], p[1], p[2]}; }

// Toward the line's nearest point: what a thinner tube looks like.
Change thinned_about(const std::vector<Point>& line, double factor) {
  return [=](const Point& p) {
    double least = 1e9;
    Point nearest = p;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      const Vec3 a = vec(line[i]);
      const Vec3 way = vec(line[i + 1]) - a;
      const double t = std::clamp(dot(vec(p) - a, way) / dot(way, way), 0.0, 1.0);
      const Vec3 foot = a + t * way;
      if (distance(foot, vec(p)) >= least) continue;
      least = distance(foot, vec(p));
      nearest = {foot.x, foot.y, foot.z};
    }
    return scaled_about(nearest, factor)(p);
  };
}

class WrittenResult : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(kRoom, folder_, ".glb");
    auto planned = plan(kJob, folder_);
    ASSERT_TRUE(planned) << to_text(planned.error());
    planned_.emplace(std::move(*planned));
    const auto findings = write_plan(*planned_, folder_ / "clean");
    ASSERT_TRUE(findings) << to_text(findings.error());
    for (const Finding& finding : findings->items) {
      ASSERT_NE(finding.level, Level::must) << finding.text;
    }
    ASSERT_FALSE(planned_->shapes.holes.empty());
    ASSERT_FALSE(planned_->shapes.raceways.empty());
    ASSERT_FALSE(planned_->shapes.supports.empty());
  }

  /// What the check says that must be mended, or the error that it gives up with; empty if nothing.
  std::string verdict(const fs::path& folder) const {
    const auto findings = check_result(folder, planned_->scene, planned_->job);
    if (!findings)
      return findings.error().code.rfind("check.", 0) == 0 ? findings.error().code : "";
    for (const Finding& finding : findings->items) {
      if (finding.level == Level::must) return finding.id;
    }
    return "";
  }

  void expect_caught(const Corruption& corruption, unsigned seed) {
    SCOPED_TRACE(corruption.name + ", seed " + std::to_string(seed));
    const fs::path folder = folder_ / "spoiled";
    fs::remove_all(folder);
    fs::copy(folder_ / "clean", folder);
    Random random(seed);
    corruption.spoil(folder, random);
    bool changed = false;
    for (const auto& file : fs::directory_iterator(folder_ / "clean")) {
      changed |= read_text(file.path()) != read_text(folder / file.path().filename().string());
    }
    ASSERT_TRUE(changed) << "the test itself spoiled nothing";
    const std::string said = verdict(folder);
    EXPECT_NE(said, "") << "not caught";
    ++caught_[said];
  }

  void expect_all_caught(const std::vector<Corruption>& corruptions, unsigned seeds = 1) {
    unsigned seed = 7;
    for (const Corruption& corruption : corruptions) {
      for (unsigned i = 0; i < seeds; ++i) expect_caught(corruption, seed++);
    }
  }

  TestFolder folder_;
  std::optional<PlannedRoom> planned_;
  std::map<std::string, int> caught_;
};

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

// One changed character in each column of a list, in a row of the seed's choice.
std::vector<Corruption> cell_corruptions(const fs::path& clean, const std::string& file,
                                         const std::set<std::string>& but) {
  std::vector<Corruption> all;
  const std::vector<std::string> headings = ListFile(clean / file).rows.front();
  for (std::size_t column = 0; column < headings.size(); ++column) {
    if (but.count(headings[column]) != 0) continue;
    all.push_back({"a character under " + headings[column] + " in " + file,
                   [=](const fs::path& folder, Random& random) {
                     ListFile list(folder / file);
                     const std::size_t row = 1 + random() % (list.rows.size() - 1);
                     change_cell(list.rows[row][column], random());
                     list.save();
                   }});
  }
  return all;
}

std::vector<Corruption> row_corruptions(const std::string& file) {
  const auto spoil = [=](const std::function<void(ListFile&, std::size_t)>& change) {
    return [=](const fs::path& folder, Random& random) {
      ListFile list(folder / file);
      change(list, 1 + random() % (list.rows.size() - 1));
      list.save();
    };
  };
  return {
      {"a row dropped from " + file, spoil([](ListFile& list, std::size_t row) {
         list.rows.erase(list.rows.begin() + static_cast<std::ptrdiff_t>(row));
       })},
      {"a row doubled in " + file,
       spoil([](ListFile& list, std::size_t row) { list.rows.push_back(list.rows[row]); })},
      {"a cell dropped from " + file,
       spoil([](ListFile& list, std::size_t row) { list.rows[row].pop_back(); })},
      {"the heading changed in " + file,
       spoil([](ListFile& list, std::size_t) { list.rows[0][0] = "Thing"; })},
      {file + " emptied", spoil([](ListFile& list, std::size_t) { list.rows.clear(); })},
  };
}

using Json = nlohmann::ordered_json;

Corruption in_plan(const std::string& name, const std::function<void(Json&, Random&)>& spoil) {
  return {name + " in plan.json", [=](const fs::path& folder, Random& random) {
            Json plan = read_json(folder / "plan.json");
            spoil(plan, random);
            write_json(folder / "plan.json", plan);
          }};
}

Json& any_run(Json& plan, Random& random) { return plan["runs"][random() % plan["runs"].size()]; }

void add(Json& number, double more) { number = number.get<double>() + more; }

std::vector<Corruption> plan_corruptions() {
  return {
      in_plan(
          "a hole removed",
          [](Json& plan, Random& random) { plan["holes"].erase(random() % plan["holes"].size()); }),
      in_plan(
          "a hole moved by 20 mm",
          [](Json& plan, Random& random) { add(plan["holes"][0]["centre"][random() % 2], 0.02); }),
      in_plan("a hole widened",
              [](Json& plan, Random&) { add(plan["holes"][0]["diameter_m"], 0.01); }),
      in_plan("a run taken from a hole",
              [](Json& plan, Random& random) {
                Json& hole = plan["holes"][random() % plan["holes"].size()];
                hole["runs"].erase(0);
              }),
      in_plan(
          "a run removed",
          [](Json& plan, Random& random) { plan["runs"].erase(random() % plan["runs"].size()); }),
      in_plan("a run called not routed",
              [](Json& plan, Random& random) { any_run(plan, random)["routed"] = false; }),
      in_plan("a run renamed",
              [](Json& plan, Random& random) { any_run(plan, random)["id"] = "X1"; }),
      in_plan("a cable type renamed",
              [](Json& plan, Random& random) { any_run(plan, random)["cable"] = "bell wire"; }),
      in_plan("a cable changed for another",
              [](Json& plan, Random& random) { any_run(plan, random)["cable"] = "line coax"; }),
      in_plan("a run turned about",
              [](Json& plan, Random& random) {
                Json& run = any_run(plan, random);
                std::swap(run["from"], run["to"]);
              }),
      in_plan("a drawn length changed by 1 mm",
              [](Json& plan, Random& random) { add(any_run(plan, random)["drawn_m"], 0.001); }),
      in_plan("a cut length changed by 1 mm",
              [](Json& plan, Random& random) { add(any_run(plan, random)["cut_m"], 0.001); }),
      in_plan("an addend changed by 1 mm",
              [](Json& plan, Random& random) {
                add(any_run(plan, random)["addends_m"]["contingency"], 0.001);
              }),
      in_plan("an end moved by 20 mm",
              [](Json& plan, Random& random) {
                for (Json& end : plan["ends"]) {
                  if (end["id"] == "lamp") add(end["at"][random() % 2], 0.02);
                }
              }),
      in_plan("the free zone behind the rack removed",
              [](Json& plan, Random&) { plan["zones"].clear(); }),
      in_plan("a piece of raceway removed", [](Json& plan, Random&) { plan["raceways"].erase(0); }),
      in_plan("a piece of raceway of another size",
              [](Json& plan, Random&) { plan["raceways"][0]["size"] = "40 x 25"; }),
      in_plan("a total changed",
              [](Json& plan, Random&) { add(plan["totals"][0]["cut_m"], 0.05); }),
      in_plan("another model's digest",
              [](Json& plan, Random&) { plan["model"]["sha256"] = std::string(64, '0'); }),
      in_plan("another version", [](Json& plan, Random&) { plan["version"] = 2; }),
      {"plan.json cut in half",
       [](const fs::path& folder, Random&) {
         fs::resize_file(folder / "plan.json", fs::file_size(folder / "plan.json") / 2);
       }},
  };
}

TEST_F(WrittenResult, LeftAloneGivesNothingThatMustBeMended) {
  EXPECT_EQ(verdict(folder_ / "clean"), "");
  const auto findings = check_result(folder_ / "clean", planned_->scene, planned_->job);
  ASSERT_TRUE(findings);
  for (const Finding& finding : findings->items) {
    EXPECT_FALSE(explain(finding.id).empty()) << finding.id;
  }
}

TEST_F(WrittenResult, SpoiledInAGlbIsCaught) {
  expect_all_caught(glb_corruptions("routed.glb"), 2);
  expect_all_caught(glb_corruptions("runs.glb"));
}

TEST_F(WrittenResult, SpoiledInAStepFileIsCaught) {
  expect_all_caught(step_corruptions("routed.step"), 2);
  expect_all_caught(step_corruptions("runs.step"));
}

TEST_F(WrittenResult, SpoiledInTheObjIsCaught) { expect_all_caught(obj_corruptions(), 2); }

TEST_F(WrittenResult, SpoiledInAnyColumnOrRowOfAListIsCaught) {
  const fs::path clean = folder_ / "clean";
  expect_all_caught(cell_corruptions(clean, "lengths.csv", {}), 2);
  // Measured from the tile's sides: plan.json does not say where these are.
  expect_all_caught(cell_corruptions(
      clean, "holes.csv", {"From the tile's left side (m)", "From the tile's near side (m)"}));
  // The least number of stocks is a matter of how one cuts them: only too few is wrong.
  expect_all_caught(cell_corruptions(clean, "raceway.csv", {"Stocks (upper bound)"}));
  for (const char* file : {"lengths.csv", "holes.csv", "raceway.csv"}) {
    expect_all_caught(row_corruptions(file));
  }
}

TEST_F(WrittenResult, SpoiledInThePlanIsCaught) { expect_all_caught(plan_corruptions(), 2); }

TEST_F(WrittenResult, HeldAgainstAnotherModelOrJobIsCaught) {
  const auto must = [&] {
    const auto findings = check_folder(folder_ / "clean", test_options());
    EXPECT_TRUE(findings) << to_text(findings.error());
    std::set<std::string> ids;
    for (const Finding& finding : findings->items) {
      if (finding.level == Level::must) ids.insert(finding.id);
    }
    return ids;
  };
  EXPECT_EQ(must(), std::set<std::string>{});
  std::string narrower = kRoom;
  narrower.replace(narrower.find("\"width\": 4"), 10, "\"width\": 3");
  sketch_model(narrower, folder_, ".glb");
  EXPECT_EQ(must().count("model-changed"), 1U);
  sketch_model(kRoom, folder_, ".glb");
  std::string other = kJob;
  other.replace(other.find("speaker 2x1.5"), 13, "speaker 2x2.5");
  write_text(folder_ / "job.json", other);
  EXPECT_EQ(must().count("plan-differs"), 1U);
}

}  // namespace
}  // namespace roomloom::testing
