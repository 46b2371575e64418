#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "pipeline/planning.h"

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

}  // namespace
}  // namespace roomloom::testing
