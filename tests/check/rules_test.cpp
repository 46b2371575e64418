#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <regex>
#include <set>

#include "check/check.h"
#include "check/written_files.h"
#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

int count_of(const Result<Findings>& findings, const std::string& id) {
  EXPECT_TRUE(findings) << to_text(findings.error());
  if (!findings) return -1;
  return static_cast<int>(std::count_if(findings->items.begin(), findings->items.end(),
                                        [&](const Finding& f) { return f.id == id; }));
}

/// The names that the source text of the checks gives to its findings.
std::set<std::string> ids_in_the_checks() {
  const std::regex named(
      "(?:push_back\\(\\s*\\{|tell\\(\\s*findings, )\\s*\"([a-z-]+)\",[^\"]*?[Ll]evel");
  std::set<std::string> ids;
  for (const char* folder : {"/src/check", "/src/pipeline"})
    for (const auto& entry :
         std::filesystem::directory_iterator(std::string(ROOMLOOM_SOURCE_DIR) + folder)) {
      if (entry.path().extension() != ".cpp") continue;
      const std::string text = read_text(entry.path());
      for (std::sregex_iterator it(text.begin(), text.end(), named), end; it != end; ++it)
        ids.insert((*it)[1].str());
    }
  return ids;
}

TEST(Explain, KnowsNothingThatNoCheckTells) {
  std::string text;
  for (const char* folder : {"/src/check", "/src/pipeline"})
    for (const auto& entry :
         std::filesystem::directory_iterator(std::string(ROOMLOOM_SOURCE_DIR) + folder))
      if (entry.path().filename() != "explain.cpp") text += read_text(entry.path());
  for (const std::string& id : explained_ids())
    EXPECT_NE(text.find('"' + id + '"'), std::string::npos) << id;
  EXPECT_TRUE(explain("nothing").empty());
}

TEST(Explain, SaysLimitAndSourceOfEveryFindingThatTheChecksCanTell) {
  const auto ids = ids_in_the_checks();
  EXPECT_GT(ids.size(), 45U);
  for (const std::string& id : ids) {
    EXPECT_NE(explain(id).find("Limit: "), std::string::npos) << id;
    EXPECT_NE(explain(id).find("Source: "), std::string::npos) << id;
  }
}

TEST(CheckedAgainstTheJob, ARunMayPassTheFacesOfAConduitButNotOfAnObstacle) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5,
    "conduits": [ { "name": "Conduit left", "points": [[0.012, 1.5, 0.4], [0.012, 3.5, 0.4]],
                    "diameter": 0.024, "inside_diameter": 0.02 } ] })",
               folder, ".glb");
  auto planned = plan(R"({ "model": { "file": "room.glb" },
    "parts": [ { "match": "conduit *", "is": "conduit", "inside": "20 mm" } ],
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall left", "from_left": 4, "up": 0.4 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6", "via": ["Conduit left"] } ] })",
                      folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  EXPECT_EQ(count_of(check_result(folder / "out", planned->scene, planned->job), "cuts-surface"),
            0);
  planned->job.parts[0].role = Role::obstacle;
  EXPECT_EQ(count_of(check_result(folder / "out", planned->scene, planned->job), "cuts-surface"),
            1);
}

TEST(CheckedAgainstTheJob, ARunInAConduitGoesThroughTheCeilingThatTheConduitGoesThrough) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.9,
    "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] },
    "conduits": [ { "name": "Conduit up", "points": [[0.03, 2.1, 0.3], [0.03, 2.1, 2.6]],
                    "diameter": 0.04, "inside_diameter": 0.034 } ] })",
               folder, ".glb");
  auto planned = plan(R"({ "model": { "file": "room.glb" },
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall right", "from_left": 2, "up": 2 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6", "via": ["Conduit up"] } ] })",
                      folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  const auto judged = [&] {
    return count_of(check_result(folder / "out", planned->scene, planned->job), "cuts-surface");
  };
  EXPECT_EQ(judged(), 0);
  // Were the conduit to end below the tiles, the cable would have to be told of.
  for (const Part& part : planned->scene.parts)
    if (part.name == "Conduit up")
      for (std::uint32_t i = 0; i < part.point_count; ++i) {
        Vec3& point = planned->scene.points[part.first_point + i];
        point.z = std::min(point.z, 2.45);
      }
  EXPECT_EQ(judged(), 1);
}

TEST(CheckedAgainstTheJob, ARunFixedToAWallPassesTheEdgeOfACurtainThere) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5,
    "curtains": [ { "name": "Curtain", "wall": "Wall front", "from_left": 0, "off_wall": 0.3,
                    "up": 0, "width": 4, "height": 2.5, "depth": 0.02 } ] })",
               folder, ".glb");
  auto planned = plan(R"({ "model": { "file": "room.glb" },
    "parts": [ { "match": "Curtain", "is": "curtain" } ],
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall front", "from_left": 2, "up": 0.4 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6" } ] })",
                      folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  const auto judged = [&] {
    return count_of(check_result(folder / "out", planned->scene, planned->job), "cuts-surface");
  };
  EXPECT_EQ(judged(), 0);
  planned->job.parts[0].role = Role::obstacle;
  EXPECT_EQ(judged(), 1);
}

// A run's line with a point put aside turns there without any radius.
TEST(CheckedAgainstTheJob, ACornerWithoutARadiusIsToldWithItsPlace) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5 })", folder,
               ".glb");
  const auto planned = plan(R"({ "model": { "file": "room.glb" },
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall left", "from_left": 4, "up": 1.4 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6" } ] })",
                            folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  EXPECT_EQ(count_of(check_result(folder / "out", planned->scene, planned->job), "bend-kink"), 0);
  GlbFile glb(folder / "out" / "routed.glb");
  const std::size_t middle = glb.points("Run R centreline").size() / 2;
  glb.change_points("Run R centreline", [&](std::size_t i, const Point& p) {
    return i == middle ? Point{p[0] + 0.05, p[1], p[2] + 0.05} : p;
  });
  glb.save();
  const auto findings = check_result(folder / "out", planned->scene, planned->job);
  ASSERT_EQ(count_of(findings, "bend-kink"), 1);
  for (const Finding& finding : findings->items) {
    if (finding.id != "bend-kink") continue;
    EXPECT_TRUE(finding.where);
    EXPECT_NE(finding.text.find(" m / "), std::string::npos) << finding.text;
  }
}

// The files stay as they are; the job's words change, so that the plan breaks one after the other.
TEST(CheckedAgainstTheJob, RunsAreHeldToTheJobsOwnWordsAboutTheirWay) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5 })", folder,
               ".glb");
  auto planned = plan(R"({ "model": { "file": "room.glb" },
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall left", "from_left": 4, "up": 0.4 },
              { "id": "c", "at": "Wall left", "from_left": 1.1, "up": 0.4 },
              { "id": "d", "at": "Wall left", "from_left": 3.9, "up": 0.4 },
              { "id": "e", "at": "Wall right", "from_left": 1, "up": 0.4 },
              { "id": "f", "at": "Wall right", "from_left": 2, "up": 0.4 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6" },
              { "id": "Q", "from": "c", "to": "d", "cable": "cat6" },
              { "id": "P", "from": "e", "to": "f", "cable": "cat6" } ] })",
                      folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  const auto broken = [&](auto&& change) {
    Job job = planned->job;
    change(*std::find_if(job.runs.begin(), job.runs.end(),
                         [](const RunSpec& run) { return run.id == "R"; }));
    return count_of(check_result(folder / "out", planned->scene, job), "run-rules");
  };
  EXPECT_EQ(broken([](RunSpec&) {}), 0);
  EXPECT_EQ(broken([](RunSpec& run) { run.via = {"wall LEFT"}; }), 0);
  EXPECT_EQ(broken([](RunSpec& run) { run.via = {"Wall right"}; }), 1);
  EXPECT_EQ(broken([](RunSpec& run) { run.avoid = {"Wall r*"}; }), 0);
  EXPECT_EQ(broken([](RunSpec& run) { run.avoid = {"Wall l*"}; }), 1);
  EXPECT_EQ(broken([](RunSpec& run) { run.not_with = {"P"}; }), 0);
  EXPECT_EQ(broken([](RunSpec& run) { run.not_with = {"Q"}; }), 1);
  EXPECT_EQ(broken([](RunSpec& run) { run.same_way_as = {"Q"}; }), 0);
  EXPECT_EQ(broken([](RunSpec& run) { run.same_way_as = {"P"}; }), 1);
}

TEST(CheckedAgainstTheJob, TheAirUnderATableIsNoVoidToHangIn) {
  const TestFolder folder;
  const std::string runs = R"("ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall left", "from_left": 4, "up": 0.4 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6" } ] })";
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5 })", folder,
               ".glb");
  const auto planned = plan(R"({ "model": { "file": "room.glb" }, )" + runs, folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  // The same files, held against a room with a shelf above the run: first far off the wall, where
  // it touches nothing; then the wall itself moved away, so that only floor and shelf are left.
  Scene scene = planned->scene;
  for (Vec3& p : scene.points) {
    if (p.x < 0.001) p.x -= 0.5;  // the left wall's inner face, and the rear of floor and ceiling
  }
  EXPECT_EQ(count_of(check_result(folder / "out", scene, planned->job), "unsupported"), 1);
  Part shelf;
  shelf.name = "Shelf";
  shelf.extras["is"] = "furniture";
  shelf.first_point = static_cast<std::uint32_t>(scene.points.size());
  shelf.point_count = 4;
  shelf.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  shelf.triangle_count = 2;
  const std::uint32_t at = shelf.first_point;
  for (const auto& [x, y] : {std::pair{-0.4, 0.2}, {0.6, 0.2}, {0.6, 4.8}, {-0.4, 4.8}}) {
    scene.points.push_back({x, y, 0.9});
  }
  scene.triangles.push_back({at, at + 1, at + 2});
  scene.triangles.push_back({at, at + 2, at + 3});
  scene.face.resize(scene.triangles.size(), -1);
  scene.parts.push_back(shelf);
  EXPECT_EQ(count_of(check_result(folder / "out", scene, planned->job), "unsupported"), 1);
  scene.parts.back().extras["is"] = "suspended ceiling";
  EXPECT_EQ(count_of(check_result(folder / "out", scene, planned->job), "unsupported"), 0)
      << "a ceiling bounds a void";
}

}  // namespace
}  // namespace roomloom::testing
