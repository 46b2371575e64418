#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

/// Facts of the trade, as people who wire such rooms put them: common practice, no source. The
/// rooms are our own. "Bed channels" are the loudspeakers at ear height.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

constexpr double kFoot = 0.3048;

Json rack(int ports) {
  return Json::array({{{"id", "rack"},
                       {"box", {0.8, 0.45, 0.9}},
                       {"at", "Wall front"},
                       {"from_left", "4 ft 2 in"},
                       {"off_wall", 0.15},
                       {"ports", {"1.." + std::to_string(ports)}}}});
}

Json on_wall(const std::string& id, const std::string& wall, const std::string& side,
             const std::string& distance, double up) {
  return {{"id", id}, {"at", wall}, {side, distance}, {"up", up}};
}

Json run(const std::string& to, const std::string& via) {
  Json one{{"id", to}, {"from", "rack"}, {"to", to}, {"cable", "speaker 2x2.5"}};
  if (!via.empty()) one["via"] = {via};
  return one;
}

// An 11 x 12 ft room under a suspended ceiling. Its seven bed-channel runs were put at 150 ft with
// slack by an estimate made beforehand: three short ones beside the rack, four over the ceiling.
TEST(Trade, SevenBedChannelsOfASmallRoomSumToAboutAHundredAndFiftyFeet) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Small room", "outline": { "width": "11 ft", "depth": "12 ft" },
    "height": "2.7 m", "suspended_ceiling": { "height": "2.4 m", "tile": [0.6, 0.6] } })",
               folder, ".glb");
  const Json ends{on_wall("left", "Wall front", "from_left", "2 ft", 1.1),
                  on_wall("centre", "Wall front", "from_left", "5 ft 6 in", 1.1),
                  on_wall("right", "Wall front", "from_right", "2 ft", 1.1),
                  on_wall("side left", "Wall left", "from_right", "7 ft", 1.3),
                  on_wall("side right", "Wall right", "from_left", "7 ft", 1.3),
                  on_wall("rear left", "Wall back", "from_right", "2 ft", 1.3),
                  on_wall("rear right", "Wall back", "from_left", "2 ft", 1.3)};
  Json runs = Json::array();
  for (const char* front : {"left", "centre", "right"}) runs.push_back(run(front, ""));
  for (const char* other : {"side left", "side right", "rear left", "rear right"}) {
    runs.push_back(run(other, "plenum"));
  }
  const Json job{
      {"model", {{"file", "room.glb"}}}, {"gear", rack(7)}, {"ends", ends}, {"runs", runs}};
  const auto planned = plan(job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  double sum = 0;
  double fronts = 0;
  for (const Json& one : runs) {
    const double length = cut_m(*planned, one["id"]);
    sum += length;
    if (!one.contains("via")) fronts += length;
  }
  EXPECT_NEAR(sum / kFoot, 150, 0.15 * 150);
  EXPECT_LT(fronts / 3, (sum - fronts) / 4 / 2) << "the front three are the short ones";
}

// Two mirrored holes are there already, in the front of the ceiling: the left side goes up the
// left one, the right side up the right one.
Json side_by_side(const std::vector<std::string>& left, const std::vector<std::string>& right) {
  Json ends{on_wall("side left", "Wall left", "from_right", "7 ft", 1.3),
            on_wall("side right", "Wall right", "from_left", "7 ft", 1.3),
            on_wall("rear left", "Wall back", "from_right", "2 ft", 1.3),
            on_wall("rear right", "Wall back", "from_left", "2 ft", 1.3),
            on_wall("sub 1", "Wall left", "from_right", "3 ft", 0.3),
            on_wall("sub 2", "Wall back", "from_right", "4 ft", 0.3)};
  for (const auto& [side, x] : {std::pair{"left", 0.9}, std::pair{"right", 2.4528}}) {
    for (const auto& [row, y] :
         {std::pair{"front", 2.9}, std::pair{"middle", 1.8}, std::pair{"rear", 0.7}}) {
      ends.push_back({{"id", std::string("height ") + side + " " + row},
                      {"xyz", {x, y, 2.4}},
                      {"mount", "on sheet"}});
    }
  }
  Json runs = Json::array();
  for (const std::string& end : left) runs.push_back(run(end, "Hole left"));
  for (const std::string& end : right) runs.push_back(run(end, "Hole right"));
  return {{"model", {{"file", "room.glb"}}}, {"gear", rack(12)}, {"ends", ends}, {"runs", runs}};
}

std::size_t runs_through(const PlannedRoom& planned, const std::string& crossing) {
  for (const HoleShape& hole : planned.shapes.holes) {
    const Crossing& one = planned.room.crossings[static_cast<std::size_t>(hole.crossing)];
    if (one.name == crossing) return hole.runs.size();
  }
  return 0;
}

void expect_through(const std::vector<std::string>& left, const std::vector<std::string>& right) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Two holes", "outline": { "width": "11 ft", "depth": "12 ft" },
    "height": "2.7 m", "suspended_ceiling": { "height": "2.4 m", "tile": [0.6, 0.6] },
    "holes": [ { "name": "Hole left", "at": [0.9, 3.6], "diameter": "50 mm" },
               { "name": "Hole right", "at": [2.4528, 3.6], "diameter": "50 mm" } ] })",
               folder, ".glb");
  const auto planned = plan(side_by_side(left, right).dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (const PlannedRun& one : planned->plan.runs) EXPECT_TRUE(one.routed) << one.blocked_by;
  EXPECT_EQ(runs_through(*planned, "Hole left"), left.size());
  EXPECT_EQ(runs_through(*planned, "Hole right"), right.size());
  const auto findings = write_plan(*planned, folder / "out");
  ASSERT_TRUE(findings) << to_text(findings.error());
  for (const Finding& finding : findings->items) {
    EXPECT_NE(finding.level, Level::must) << finding.text;
  }
}

TEST(Trade, LeftAndRightThroughTwoHolesAreEightRunsAndFour) {
  expect_through({"sub 1", "sub 2", "rear left", "rear right", "side left", "height left front",
                  "height left middle", "height left rear"},
                 {"side right", "height right front", "height right middle", "height right rear"});
}

TEST(Trade, WithTheRearPairSentRightTheyAreSixAndSix) {
  expect_through({"sub 1", "sub 2", "side left", "height left front", "height left middle",
                  "height left rear"},
                 {"rear left", "rear right", "side right", "height right front",
                  "height right middle", "height right rear"});
}

}  // namespace
}  // namespace roomloom::testing
