#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <vector>

#include "pipeline/planning.h"

/// The order in which a job happens to list its runs and ends decides nothing: not even between
/// plans that cost the same.
namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

/// Every place that each run passes, by its id, and what the plan costs at the end.
std::map<std::string, std::vector<double>> ways_of(const Json& job) {
  const TestFolder folder;
  std::map<std::string, std::vector<double>> ways;
  const auto planned = plan(job.dump(), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  if (!planned) return ways;
  for (const PlannedRun& run : planned->plan.runs) {
    std::vector<double>& way = ways[planned->ends.runs[static_cast<std::size_t>(run.run)].id];
    for (const Step& step : run.steps) {
      const TrackEdge& edge = planned->tracks.edges[static_cast<std::size_t>(step.edge)];
      const auto node = static_cast<std::size_t>(step.forward ? edge.b : edge.a);
      const Vec3& at = planned->tracks.nodes[node].position;
      way.insert(way.end(), {at.x, at.y, at.z});
    }
  }
  for (const RunRow& row : planned->takeoff.runs)
    ways[row.id + " lengths"] = {row.track_m, row.drawn_m};
  ways["plan"] = {planned->plan.objective, planned->plan.bound};
  return ways;
}

class OrderByRoom : public ::testing::TestWithParam<const char*> {};

TEST_P(OrderByRoom, RunsEndsAndGearMixedUpAreCabledOverTheVerySameWays) {
  const fs::path model_folder = fs::path(ROOMLOOM_SOURCE_DIR) / "models" / GetParam();
  Json job = Json::parse(read_text(model_folder / "job.json"));
  job["model"]["file"] = (model_folder / job["model"]["file"].get<std::string>()).string();
  const auto before = ways_of(job);
  ASSERT_GT(before.size(), 2 * job["runs"].size());
  std::mt19937 random(7);
  for (const char* list : {"runs", "ends", "gear"})
    if (job.contains(list))
      for (std::size_t i = job[list].size(); i > 1; --i)
        std::swap(job[list][i - 1], job[list][random() % i]);
  EXPECT_EQ(ways_of(job), before);
}

INSTANTIATE_TEST_SUITE_P(Demo, OrderByRoom,
                         ::testing::Values("alder-hall", "attic-studio", "classroom"));

TEST(Order, NumbersInIdsCountAsNumbers) {
  const fs::path model_folder = fs::path(ROOMLOOM_SOURCE_DIR) / "models" / "classroom";
  Json job = Json::parse(read_text(model_folder / "job.json"));
  job["model"]["file"] = (model_folder / job["model"]["file"].get<std::string>()).string();
  std::reverse(job["runs"].begin(), job["runs"].end());
  const TestFolder folder;
  const auto planned = plan(job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  std::vector<std::string> ids;
  for (const roomloom::Run& run : planned->ends.runs) ids.push_back(run.id);
  const auto place_of = [&](const char* id) {
    return std::find(ids.begin(), ids.end(), id) - ids.begin();
  };
  EXPECT_LT(place_of("N1"), place_of("N2"));
  EXPECT_LT(place_of("N2"), place_of("N10"));
  EXPECT_LT(place_of("N10"), place_of("S1"));
  EXPECT_LT(place_of("S1"), static_cast<long>(ids.size()));
}

}  // namespace
}  // namespace roomloom::testing
