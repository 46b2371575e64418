#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

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
  std::set<std::string> findings;  ///< ids

  explicit Planned(const Hall& hall) {
    sketch_model(hall.room.dump(), folder, ".glb");
    auto planned = plan(hall.job.dump(), folder);
    EXPECT_TRUE(planned) << to_text(planned.error());
    if (!planned) return;
    room.emplace(std::move(*planned));
    WriteOptions lists_only;
    lists_only.drawings = lists_only.report = false;
    const auto judged = write_plan(*room, folder / "out", lists_only);
    EXPECT_TRUE(judged) << to_text(judged.error());
    if (!judged) return;
    for (const Finding& finding : judged->items) {
      EXPECT_NE(finding.level, Level::must) << finding.text;
      findings.insert(finding.id);
    }
    for (const PlannedRun& run : room->plan.runs) {
      EXPECT_TRUE(run.routed) << run.blocked_by;
    }
  }
  const PlannedRoom* operator->() const { return &*room; }
};

const Planned& the_whole() {
  static const Planned planned(the_hall());
  return planned;
}

const PlannedRoom& whole_hall() { return *the_whole().room; }

// Lengths within a millimetre of each other.
bool same_ways(const PlannedRoom& a, const PlannedRoom& b) {
  for (std::size_t i = 0; i < a.shapes.cables.size(); ++i) {
    if (std::abs(a.shapes.cables[i].drawn_m - b.shapes.cables[i].drawn_m) > 0.001) return false;
  }
  return true;
}

double all_drawn_m(const PlannedRoom& planned) {
  double sum = 0;
  for (const CableShape& cable : planned.shapes.cables) sum += cable.drawn_m;
  return sum;
}

double bare_m(const PlannedRoom& planned, const std::string& run) {
  double sum = 0;
  for (std::size_t i = 0; i < planned.ends.runs.size(); ++i) {
    if (planned.ends.runs[i].id != run) continue;
    for (const Step& step : planned.plan.runs[i].steps) {
      const TrackEdge& edge = planned.tracks.edges[static_cast<std::size_t>(step.edge)];
      const bool free = edge.medium == Medium::bare || edge.medium == Medium::free;
      if (free) sum += edge.length_m;
    }
  }
  return sum;
}

const Table* table(const PlannedRoom& planned, const std::string& id) {
  for (const Table& one : planned.takeoff.tables) {
    if (one.id == id) return &one;
  }
  ADD_FAILURE() << "no list " << id;
  return nullptr;
}

/// The hall with one run more, to an end of its own.
Hall with_end(Hall hall, const Json& end) {
  hall.job["ends"].push_back(end);
  hall.job["ends"].back()["id"] = "extra";
  hall.job["runs"].push_back(
      {{"id", "X"}, {"from", "switch.8"}, {"to", "extra"}, {"cable", "cat6"}});
  return hall;
}

Hall bare_of(const std::string& kind, const std::string& rules) {
  Hall hall = the_hall();
  hall.room.erase(kind);
  drop_rules(hall, rules);
  return hall;
}

Planned without(const std::string& kind, const std::string& rules) {
  return Planned(bare_of(kind, rules));
}

/// The hall with one of its runs alone: its best way is found exactly.
Hall alone(Hall hall, const std::string& run) {
  Json& runs = hall.job["runs"];
  const Json all = runs;
  runs = Json::array();
  for (const Json& one : all) {
    if (one["id"] == run) runs.push_back(one);
  }
  Json& ends = hall.job["ends"];
  const Json places = ends;
  ends = Json::array();
  for (const Json& one : places) {
    if (one["id"] == runs[0]["to"]) ends.push_back(one);
  }
  return hall;
}

/// Why the whole hall has no place for such an end.
std::string refusal(const Hall& hall) {
  const TestFolder folder;
  sketch_model(hall.room.dump(), folder, ".glb");
  const auto planned = plan(hall.job.dump(), folder);
  EXPECT_FALSE(planned);
  return planned ? "" : to_text(planned.error());
}

/// The holes that a run passes.
std::vector<const Crossing*> holes_of(const PlannedRoom& planned, const std::string& run) {
  std::vector<const Crossing*> holes;
  for (const HoleShape& hole : planned.shapes.holes) {
    for (const int index : hole.runs) {
      if (planned.ends.runs[static_cast<std::size_t>(index)].id == run) {
        holes.push_back(&planned.room.crossings[static_cast<std::size_t>(hole.crossing)]);
      }
    }
  }
  return holes;
}

bool passes_plate(const PlannedRoom& planned, const std::string& run) {
  const auto holes = holes_of(planned, run);
  return std::any_of(holes.begin(), holes.end(),
                     [](const Crossing* hole) { return hole->kind == CrossingKind::wall_plate; });
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

// Behind it cable lies bare and unseen. Without it the same must go in raceway that is seen: no
// plan there can be as cheap.
TEST(TakenAway, WithoutTheCurtainWhatLayBareBehindItGoesRoundInRacewayAndCostsMore) {
  const Planned bare = without("curtains", "Curtain");
  EXPECT_GT(bare->plan.bound, whole_hall().plan.objective + 50);
  for (const char* sub : {"W1", "W2"}) {
    EXPECT_GT(drawn_m(*bare.room, sub), drawn_m(whole_hall(), sub) + 0.1) << sub;
    EXPECT_GT(bare_m(whole_hall(), sub), bare_m(*bare.room, sub) + 0.5) << sub;
  }
}

// M-135 would land in it: moved aside within its range, it stands no longer mirrored to M+135.
TEST(TakenAway, WithoutTheDoorTheLoudspeakerThatMadeWayForItIsMirroredAgain) {
  const Planned bare = without("doors", "Door");
  EXPECT_EQ(the_whole().findings.count("loudspeaker-symmetry"), 1U);
  EXPECT_EQ(bare.findings.count("loudspeaker-symmetry"), 0U);
  EXPECT_FALSE(same_ways(whole_hall(), *bare.room));
}

TEST(TakenAway, WithoutTheWindowAnEndGoesWhereItWas) {
  const Json end{{"at", "Wall left"}, {"from_left", 4.2}, {"up", 1.5}};
  EXPECT_NE(refusal(with_end(the_hall(), end)).find("This place lies in Window"),
            std::string::npos);
  const Planned bare(with_end(bare_of("windows", "Window"), end));
  EXPECT_GT(cut_m(*bare.room, "X"), 3);
}

// An end in it is reached bare. The run to the outlet beside it lies hidden in it, which is longer
// than straight over the wall, and worth it.
TEST(TakenAway, WithoutTheCupboardNoEndIsInItAndTheRunBesideItIsSeen) {
  const Hall held = with_end(alone(the_hall(), "N8"), {{"at", "Cupboard"}});
  const Planned holding(held);
  EXPECT_GT(bare_m(*holding.room, "X"), 0.1);
  Hall bare = held;
  bare.room.erase("cupboards");
  drop_rules(bare, "Cupboard");
  EXPECT_NE(refusal(bare).find("The model has no part \"Cupboard\""), std::string::npos);
  const Planned hidden(alone(the_hall(), "N8"));
  const Planned seen(alone(bare_of("cupboards", "Cupboard"), "N8"));
  EXPECT_GT(seen->plan.objective, hidden->plan.objective + 5);
  EXPECT_LT(drawn_m(*seen.room, "N8"), drawn_m(*hidden.room, "N8") - 2);
}

TEST(TakenAway, WithoutTheLuminairesAnEndHangsWhereOneWasAndItsTileIsCut) {
  const Json end{{"xyz", {0.9, 1.9, 2.5}}, {"mount", "on sheet"}};  // the middle of tile D2
  EXPECT_NE(refusal(with_end(the_hall(), end)).find("This place lies in Luminaire 1"),
            std::string::npos);
  const Planned dark(with_end(bare_of("luminaires", "Luminaire"), end));
  const auto holes = holes_of(*dark.room, "X");
  EXPECT_TRUE(std::any_of(holes.begin(), holes.end(),
                          [](const Crossing* hole) { return hole->name == "tile D2"; }));
}

// The picture's cable to the projector leads round what stands in the void.
TEST(TakenAway, WithoutTheVentOrTheDuctTheProjectorsCableGoesStraighterThroughTheVoid) {
  const Planned whole(alone(the_hall(), "V4"));
  const Planned no_vent(alone(bare_of("vents", "Vent"), "V4"));
  const Planned no_duct(alone(bare_of("ducts", "Duct"), "V4"));
  EXPECT_LT(drawn_m(*no_vent.room, "V4"), drawn_m(*whole.room, "V4") - 0.05);
  EXPECT_LT(no_vent->plan.objective, whole->plan.objective - 0.2);
  EXPECT_LT(drawn_m(*no_duct.room, "V4"), drawn_m(*whole.room, "V4") - 0.1);
  EXPECT_LT(no_duct->plan.objective, whole->plan.objective - 1);
}

// Nobody sits there to see: the list of what is seen has only the door's eye, and what it does not
// see counts less.
TEST(TakenAway, WithoutSeatsNobodySeesCableFromThemAndItCountsLess) {
  const Planned bare = without("seats", "Seat");
  const auto rows_from_seats = [](const PlannedRoom& planned) {
    const Table* seen = table(planned, "seen");
    if (seen == nullptr) return -1L;
    return static_cast<long>(
        std::count_if(seen->rows.begin(), seen->rows.end(), [](const auto& row) {
          const auto* from = std::get_if<std::string>(&row.front());
          return from != nullptr && from->rfind("Seat", 0) == 0;
        }));
  };
  EXPECT_GT(rows_from_seats(whole_hall()), 3);
  EXPECT_EQ(rows_from_seats(*bare.room), 0);
  EXPECT_LT(Planned(alone(bare_of("seats", "Seat"), "N8"))->plan.objective,
            Planned(alone(the_hall(), "N8"))->plan.objective);
}

TEST(TakenAway, WithoutMainsAndOutletsRunsNeedNotKeepAwayAndGearLacksAnOutlet) {
  Hall hall = bare_of("mains", "Mains");
  hall.room.erase("outlets");
  drop_rules(hall, "Outlet");
  const Planned bare(hall);
  EXPECT_LT(all_drawn_m(*bare.room), all_drawn_m(whole_hall()) - 2);
  EXPECT_LT(bare->plan.objective, whole_hall().plan.bound) << "no plan of the hall is as cheap";
  EXPECT_EQ(the_whole().findings.count("outlet-reach"), 0U);
  EXPECT_EQ(bare.findings.count("outlet-reach"), 1U);
}

// The hall has a wall of each build; before that of studs hangs the curtain, so that nothing need
// be fished there. An end on each of the others goes in raceway; of studs, each is fished instead.
TEST(TakenAway, WallsOfMasonryConcreteAndOutsideAreFishedOnceTheyAreOfStuds) {
  const std::map<std::string, double> ends{
      {"Wall right", 3.0}, {"Wall back", 1.4}, {"Wall left", 1.8}};
  Hall hall = the_hall();
  hall.job["prefer"] = "least seen";
  hall.job["gear"][0]["holds"][2]["ports"] = {"1..12", "uplink"};
  for (const auto& [wall, from_left] : ends) {
    hall.job["ends"].push_back(
        {{"id", "at " + wall}, {"at", wall}, {"from_left", from_left}, {"up", 0.5}});
    hall.job["runs"].push_back(
        {{"id", wall}, {"from", "switch"}, {"to", "at " + wall}, {"cable", "cat6"}});
  }
  const Planned as_it_is(hall);
  for (Json& part : hall.job["parts"]) {
    if (ends.count(part["match"]) == 0) continue;
    part["build"] = "stud";
    part["studs"] = {{"pitch", "400 mm"}, {"width", "45 mm"}, {"depth", "90 mm"}};
  }
  const Planned of_studs(hall);
  for (const auto& [wall, from_left] : ends) {
    EXPECT_FALSE(passes_plate(*as_it_is.room, wall)) << wall;
    EXPECT_TRUE(passes_plate(*of_studs.room, wall)) << wall;
  }
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
