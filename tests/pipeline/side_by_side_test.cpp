#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "pipeline/planning.h"
#include "report/record.h"

/// More cables than the roomiest raceway holds, in a room without a void.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

/// Forty network ends along the back wall, 90 mm apart; the rack stands in the front corner.
Json the_job() {
  Json job = Json::parse(R"({ "model": { "file": "room.glb" },
    "gear": [ { "id": "rack", "box": [0.6, 0.4, 1.2], "at": "Wall front", "from_right": 0.25,
                "off_wall": 0.1, "holds": [ { "id": "switch", "ports": ["1..40"] } ] } ] })");
  for (int i = 1; i <= 40; ++i) {
    const std::string end = "data " + std::to_string(i);
    job["ends"].push_back(
        {{"id", end}, {"at", "Wall back"}, {"from_left", 0.3 + 0.09 * i}, {"up", 0.4}});
    job["runs"].push_back({{"id", "N" + std::to_string(i)},
                           {"from", "switch." + std::to_string(i)},
                           {"to", end},
                           {"cable", "cat6"}});
  }
  return job;
}

TEST(RacewaysSideBySide, EachCableKeepsToOneRacewayAndTheLastEndsWhereItsCablesLeave) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Long wall", "outline": { "width": 6, "depth": 4 }, "height": 2.6 })",
               folder, ".glb");
  const auto planned = plan(the_job().dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  // By run and sheet: how high the raceways lie that hold it where several lie side by side.
  std::map<std::pair<int, int>, std::set<int>> heights_mm;
  std::map<std::pair<int, int>, int> beside;  // by height and sheet: pieces
  for (const RacewayShape& piece : planned->shapes.raceways) {
    const double length = distance(piece.from, piece.to);
    if (std::abs(piece.from.z - piece.to.z) > 0.01 || length < 0.01) continue;
    const int height = static_cast<int>(std::lround(1000 * piece.from.z));
    if (piece.count > 1) ++beside[{height, piece.sheet}];
    for (const int run : piece.runs)
      if (piece.count > 1) heights_mm[{run, piece.sheet}].insert(height);
    double area = 0;
    for (const int run : piece.runs) {
      const int cable = planned->ends.runs[static_cast<std::size_t>(run)].cable;
      const double d = planned->job.catalogue.cables[static_cast<std::size_t>(cable)].diameter_m;
      area += kPi / 4 * d * d;
    }
    const RacewayType& type =
        planned->job.catalogue.raceways[static_cast<std::size_t>(piece.raceway)];
    EXPECT_LE(area, 0.4 * type.usable_area_m2 + 4e-5) << "one that leaves crosses its neighbour";
  }
  ASSERT_FALSE(beside.empty()) << "the room needs raceways side by side";
  int strays = 0;
  for (const auto& [where, heights] : heights_mm) strays += heights.size() > 1 ? 1 : 0;
  // Where a cable leaves it crosses to its end, at the height of the first.
  EXPECT_LE(strays, 12) << "of " << heights_mm.size();
  EXPECT_LE(beside.size(), 6U) << "raceways go straight on";
}

/// Planned and written into the folder; the plan as it was written.
Json planned_into(const TestFolder& folder, const Json& job, const std::string& into) {
  write_text(folder / "job.json", job.dump());
  auto plan = plan_job(folder / "job.json", test_options());
  EXPECT_TRUE(plan) << to_text(plan.error());
  if (!plan) return {};
  const auto findings = write_plan(*plan, folder / into, {.drawings = false, .report = false});
  EXPECT_TRUE(findings) << to_text(findings.error());
  for (std::size_t i = 0; findings && i < findings->items.size(); ++i)
    EXPECT_NE(findings->items[i].level, Level::must) << into << ": " << findings->items[i].text;
  return Json::parse(read_text(folder / into / "plan.json"));
}

Vec3 point(const Json& p) { return {p[0], p[1], p[2]}; }

/// In which of raceways side by side a run lies at a place of its way; -1 where it has no raceway.
int place_at(const Json& run, const Vec3& at) {
  for (const Json& stretch : run["way"]) {
    const Vec3 from = point(stretch["from"]), to = point(stretch["to"]);
    const bool holds = distance(from, at) + distance(at, to) < distance(from, to) + 1e-6;
    if (holds && stretch.contains("raceway")) return stretch.value("beside", 0);
  }
  return -1;
}

/// Planned once; a test records of it what it likes and plans again.
class LongWall : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(R"({ "name": "Long wall", "outline": { "width": 6, "depth": 4 }, "height": 2.6 })",
                 folder, ".glb");
    first = planned_into(folder, the_job(), "first");
    ASSERT_FALSE(first.is_null());
  }
  Json planned_with(const std::string& record) const {
    write_text(folder / "as-built.json", record);
    Json job = the_job();
    job["as_built"] = "as-built.json";
    return planned_into(folder, job, "second");
  }
  TestFolder folder;
  Json first;
};

TEST_F(LongWall, WhatLiesKeepsItsRacewayWhenTheRestIsPlannedAgain) {
  std::string record;
  std::map<std::string, const Json*> lying;
  for (std::size_t i = 0; i < first["runs"].size(); i += 2) {
    const Json& one = first["runs"][i];
    Recording what;
    what.run = one["id"];
    what.measured_m = one["cut_m"].get<double>();
    const auto text = recorded(first.dump(), record, what);
    ASSERT_TRUE(text) << to_text(text.error());
    record = *text;
    lying[what.run] = &one;
  }
  const Json second = planned_with(record);
  ASSERT_FALSE(second.is_null());
  int beside = 0;
  for (const Json& run : second["runs"]) {
    const auto before = lying.find(run["id"]);
    if (before == lying.end()) continue;
    for (const Json& stretch : (*before->second)["way"]) {
      if (!stretch.contains("raceway")) continue;
      const Vec3 middle = 0.5 * (point(stretch["from"]) + point(stretch["to"]));
      EXPECT_EQ(place_at(run, middle), stretch.value("beside", 0)) << before->first << stretch;
      beside += stretch.value("beside", 0) > 0 ? 1 : 0;
    }
  }
  EXPECT_GT(beside, 0) << "some of them lie in a raceway beside another";
  EXPECT_LE(second["pieces"].size(), first["pieces"].size()) << "what is fixed serves";
}

/// Those that touch are one way of tracks: no gap between them is bridged, and none is bought.
TEST_F(LongWall, RacewaysThatAreFixedBeforeAnyCableLiesInThemServeAsTheyAre) {
  Recording what;
  for (const Json& piece : first["pieces"]) what.raceway.push_back(piece["name"]);
  const auto text = recorded(first.dump(), "", what);
  ASSERT_TRUE(text) << to_text(text.error());
  const Json second = planned_with(*text);
  ASSERT_FALSE(second.is_null());
  EXPECT_EQ(second["pieces"].size(), first["pieces"].size());
  for (const Json& piece : second["pieces"]) EXPECT_EQ(piece["fixed"], true) << piece;
}

/// Raceways beside the first lie away from the track that is recorded: their cables lie there too.
TEST_F(LongWall, CablesThatOnlyAwaitTheirPlugsGetThoseAndNothingElse) {
  Json coiled = the_job();
  for (Json& run : coiled["runs"]) {
    run["provision"] = true;
    run["end"] = {{"state", "coiled"}};
  }
  const Json before = planned_into(folder, coiled, "coiled");
  ASSERT_FALSE(before.is_null());
  std::string record;
  int beside = 0;
  for (const Json& run : before["runs"]) {
    Recording what;
    what.run = run["id"];
    what.measured_m = run["cut_m"].get<double>();
    const auto text = recorded(before.dump(), record, what);
    ASSERT_TRUE(text) << to_text(text.error());
    record = *text;
    for (const Json& stretch : run["way"]) beside += stretch.value("beside", 0) > 0 ? 1 : 0;
  }
  ASSERT_GT(beside, 0) << "some of them lie in a raceway beside another";
  write_text(folder / "as-built.json", record);
  Json job = the_job();
  job["as_built"] = "as-built.json";
  write_text(folder / "job.json", job.dump());
  const auto plan = plan_job(folder / "job.json", test_options());
  ASSERT_TRUE(plan) << to_text(plan.error());
  std::map<std::string, double> minutes;
  for (const WorkStep& step : plan->takeoff.steps) minutes[step.task] += step.minutes;
  EXPECT_GT(minutes["fit a connector"], 0);
  for (const char* task : {"pull a metre of cable", "label an end", "cut a hole", "fix a support",
                           "fix a metre of raceway", "close a metre of raceway", "open raceway",
                           "lead a lying cable on"})
    EXPECT_EQ(minutes[task], 0) << task;
  const auto& tables = plan->takeoff.tables;
  const auto shopping = std::find_if(tables.begin(), tables.end(),
                                     [](const Table& table) { return table.id == "shopping"; });
  ASSERT_NE(shopping, tables.end());
  for (const auto& row : shopping->rows) {
    const auto* section = std::get_if<std::string>(&row.at(0));
    ASSERT_NE(section, nullptr);
    EXPECT_EQ((std::set<std::string>{"Ends", "Small parts", "Work", "All"}).count(*section), 1U)
        << *section;
  }
}

}  // namespace
}  // namespace roomloom::testing
