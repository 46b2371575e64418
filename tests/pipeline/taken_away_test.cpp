#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

/// Alder Hall with one thing taken away at a time: each shows in the plan, as it should.
namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

struct Hall {
  Json room, job;
};

Hall the_hall() {
  const fs::path folder = fs::path(ROOMLOOM_SOURCE_DIR) / "models" / "alder-hall";
  Hall hall{Json::parse(read_text(folder / "room.json")),
            Json::parse(read_text(folder / "job.json"))};
  hall.job["model"]["file"] = "room.glb";
  return hall;
}

// The job's rules for parts that are gone would only be told as unused.
void drop_rules(Hall& hall, const std::string& beginning) {
  Json kept = Json::array();
  for (const Json& rule : hall.job["parts"]) {
    if (rule["match"].get<std::string>().rfind(beginning, 0) != 0) kept.push_back(rule);
  }
  hall.job["parts"] = kept;
}

/// A planned hall with the folder that its model lies in.
struct Planned {
  TestFolder folder;
  std::optional<PlannedRoom> room;

  explicit Planned(const Hall& hall) {
    sketch_model(hall.room.dump(), folder, ".glb");
    auto planned = plan(hall.job.dump(), folder);
    EXPECT_TRUE(planned) << to_text(planned.error());
    if (!planned) return;
    room.emplace(std::move(*planned));
    const auto findings = write_plan(*room, folder / "out");
    EXPECT_TRUE(findings) << to_text(findings.error());
    if (!findings) return;
    for (const Finding& finding : findings->items) {
      EXPECT_NE(finding.level, Level::must) << finding.text;
    }
    for (const PlannedRun& run : room->plan.runs) {
      EXPECT_TRUE(run.routed) << run.blocked_by;
    }
  }
  const PlannedRoom* operator->() const { return &*room; }
};

const PlannedRoom& whole_hall() {
  static const Planned planned(the_hall());
  return *planned.room;
}

Planned without(const std::string& kind, const std::string& rules) {
  Hall hall = the_hall();
  hall.room.erase(kind);
  drop_rules(hall, rules);
  return Planned(hall);
}

int keep_outs_of(const PlannedRoom& planned, Role role) {
  int count = 0;
  for (const Sheet& sheet : planned.room.sheets) {
    count += static_cast<int>(std::count_if(sheet.keep_outs.begin(), sheet.keep_outs.end(),
                                            [&](const auto& k) { return k.what == role; }));
  }
  return count;
}

int uncuttable_tiles(const PlannedRoom& planned) {
  int count = 0;
  for (const TileGrid& grid : planned.room.grids) {
    count += static_cast<int>(std::count_if(grid.tiles.begin(), grid.tiles.end(),
                                            [](const Tile& tile) { return !tile.cuttable; }));
  }
  return count;
}

bool has_zone(const PlannedRoom& planned, const std::string& word) {
  return std::any_of(planned.ends.zones.begin(), planned.ends.zones.end(),
                     [&](const Zone& z) { return z.name.find(word) != std::string::npos; });
}

std::size_t obstacles_above(const PlannedRoom& planned) {
  std::size_t count = 0;
  for (const Void& space : planned.room.voids) {
    if (space.kind == VoidKind::plenum) count += space.obstacles.size();
  }
  return count;
}

// Lengths within a millimetre of each other.
bool same_ways(const PlannedRoom& a, const PlannedRoom& b) {
  for (std::size_t i = 0; i < a.shapes.cables.size(); ++i) {
    if (std::abs(a.shapes.cables[i].drawn_m - b.shapes.cables[i].drawn_m) > 0.001) return false;
  }
  return true;
}

double addend(const PlannedRoom& planned, const std::string& run, const std::string& name) {
  for (std::size_t i = 0; i < planned.ends.runs.size(); ++i) {
    if (planned.ends.runs[i].id != run) continue;
    for (const Addend& one : planned.shapes.cables[i].addends) {
      if (one.name == name) return one.metres;
    }
  }
  ADD_FAILURE() << "no " << name << " of " << run;
  return 0;
}

TEST(TakenAway, WithoutTheCurtainNothingIsHiddenBehindIt) {
  const Planned bare = without("curtains", "Curtain");
  EXPECT_TRUE(has_zone(whole_hall(), "Curtain"));
  EXPECT_FALSE(has_zone(*bare.room, "Curtain"));
  EXPECT_FALSE(same_ways(whole_hall(), *bare.room));
}

TEST(TakenAway, WithoutTheDoorItsWallIsFree) {
  const Planned bare = without("doors", "Door");
  EXPECT_GT(keep_outs_of(whole_hall(), Role::door), 0);
  EXPECT_EQ(keep_outs_of(*bare.room, Role::door), 0);
  EXPECT_GT(whole_hall().room.swept.size(), bare->room.swept.size());
  EXPECT_FALSE(same_ways(whole_hall(), *bare.room));
}

TEST(TakenAway, WithoutTheWindowItsWallIsFree) {
  const Planned bare = without("windows", "Window");
  EXPECT_GT(keep_outs_of(whole_hall(), Role::window), 0);
  EXPECT_EQ(keep_outs_of(*bare.room, Role::window), 0);
  EXPECT_LE(bare->plan.bound, whole_hall().plan.objective);
}

TEST(TakenAway, WithoutTheCupboardNothingLiesInIt) {
  const Planned bare = without("cupboards", "Cupboard");
  EXPECT_TRUE(has_zone(whole_hall(), "Cupboard"));
  EXPECT_FALSE(has_zone(*bare.room, "Cupboard"));
}

TEST(TakenAway, WithoutVentAndLuminairesTheirTilesMayBeCut) {
  Hall hall = the_hall();
  hall.room.erase("luminaires");
  drop_rules(hall, "Luminaire");
  const Planned dark(hall);
  EXPECT_EQ(uncuttable_tiles(whole_hall()) - uncuttable_tiles(*dark.room), 4);
  hall.room.erase("vents");
  drop_rules(hall, "Vent");
  const Planned closed(hall);
  EXPECT_EQ(uncuttable_tiles(*dark.room) - uncuttable_tiles(*closed.room), 1);
}

TEST(TakenAway, WithoutTheDuctThePlenumHasLessInIt) {
  const Planned bare = without("ducts", "Duct");
  EXPECT_GT(obstacles_above(whole_hall()), obstacles_above(*bare.room));
}

TEST(TakenAway, WithoutSeatsNothingIsSweptBesideTheDoor) {
  const Planned bare = without("seats", "Seat");
  EXPECT_EQ(whole_hall().room.swept.size() - bare->room.swept.size(), 3U);
}

TEST(TakenAway, WithoutMainsAndOutletsRunsKeepAwayFromNothing) {
  Hall hall = the_hall();
  hall.room.erase("mains");
  hall.room.erase("outlets");
  drop_rules(hall, "Mains");
  drop_rules(hall, "Outlet");
  const Planned bare(hall);
  EXPECT_FALSE(whole_hall().room.power.empty());
  EXPECT_TRUE(bare->room.power.empty());
  EXPECT_FALSE(same_ways(whole_hall(), *bare.room));
}

TEST(TakenAway, AWallOfStudsInsteadOfMasonryHasBaysToFishIn) {
  Hall hall = the_hall();
  for (Json& rule : hall.job["parts"]) {
    if (rule["match"] == "Wall right") {
      rule["build"] = "stud";
      rule["studs"] = {{"pitch", "400 mm"}, {"width", "45 mm"}, {"depth", "90 mm"}};
    }
  }
  const auto bays = [](const PlannedRoom& planned) {
    return std::count_if(planned.room.voids.begin(), planned.room.voids.end(),
                         [](const Void& space) { return space.kind == VoidKind::bay; });
  };
  const Planned fished(hall);
  EXPECT_GT(bays(*fished.room), bays(whole_hall()));
  EXPECT_LE(fished->plan.bound, whole_hall().plan.objective) << "more ways cannot cost more";
}

TEST(TakenAway, WithoutLeaveToMoveNothingIsAddedForIt) {
  Hall hall = the_hall();
  for (Json& run : hall.job["runs"]) {
    if (run.contains("end")) run["end"].erase("may_move");
  }
  const Planned fixed(hall);
  EXPECT_GT(addend(whole_hall(), "P3", "movable end"), 0.1);
  EXPECT_EQ(addend(*fixed.room, "P3", "movable end"), 0);
}

TEST(TakenAway, WithoutRoomToPullTheStandOutNothingIsAddedForIt) {
  Hall hall = the_hall();
  hall.job["gear"][0].erase("pull_out");
  const Planned fixed(hall);
  EXPECT_NEAR(addend(whole_hall(), "S1", "pull-out"), 0.6, 1e-9);
  EXPECT_EQ(addend(*fixed.room, "S1", "pull-out"), 0);
}

TEST(TakenAway, BetweenComponentsOfOneStandNothingIsAddedToPullItOut) {
  EXPECT_EQ(addend(whole_hall(), "N1", "pull-out"), 0) << "both ends come out with it";
}

/// One run round a corner to an end that may move by half a metre on its wall, and perhaps another
/// through the ceiling to close by.
double moves_by(bool beside_another) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.9,
    "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] } })",
               folder, ".glb");
  Json job = Json::parse(R"({ "model": { "file": "room.glb" },
    "ends": [ { "id": "from", "at": "Wall front", "from_left": 1, "up": 0.4 },
              { "id": "later", "at": "Wall left", "from_left": 2, "up": 1.2,
                "may_move": { "radius": 0.5 } },
              { "id": "top", "xyz": [0.4, 2.2, 2.5], "mount": "on sheet" } ],
    "runs": [ { "id": "I", "from": "from", "to": "later", "cable": "cat6" } ] })");
  if (beside_another)
    job["runs"].push_back({{"id", "C"}, {"from", "from"}, {"to", "top"}, {"cable", "cat6"}});
  const auto planned = plan(job.dump(), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  return planned ? addend(*planned, "I", "movable end") : 0;
}

// To any place of the circle one goes on from the present one, at most half a metre along and half
// up or down: sqrt 2 times the radius, and bends. What others paid for makes it no longer.
TEST(TakenAway, WithoutTheOtherRunAnEndThatMayMoveNeedsNoLessCable) {
  const double alone = moves_by(false);
  EXPECT_GT(alone, 0.3);
  EXPECT_LT(alone, 0.5 * std::sqrt(2.0) + 0.05);
  EXPECT_NEAR(moves_by(true), alone, 0.05);
}

}  // namespace
}  // namespace roomloom::testing
