#include <map>
#include <set>

#include "pipeline/held_room.h"

/// What lies in the room stays where it is and costs nothing more; a plan that starts from another
/// moves little.
namespace roomloom::testing {
namespace {

// Nobody measured where the rack's sockets are: a switch that gets more of them is no reason to
// take the cables that lie there for others.
TEST_F(WhatLies, KeepsItsPortsWhenItsGearGetsMore) {
  Json job = with_record(box_job(), {"N1", "N2", "S1"});
  job["gear"][0]["ports"] = {"1..17"};
  job["ends"].push_back({{"id", "new"}, {"at", "Wall left"}, {"from_left", 2.0}, {"up", 1.0}});
  job["runs"].push_back({{"id", "N9"}, {"from", "rack.17"}, {"to", "new"}, {"cable", "cat6"}});
  const Json plan = planned(job, "more");
  ASSERT_FALSE(plan.is_null());
  for (const std::string& note : last_->plan.notes)
    EXPECT_EQ(note.find("lies in the room"), std::string::npos) << note;
  for (const char* run : {"N1", "N2", "S1"}) {
    const Corners before = corners(old_, run), now = corners(plan, run);
    ASSERT_EQ(now.size(), before.size()) << run;
    for (std::size_t i = 0; i < now.size(); ++i)
      for (std::size_t axis = 0; axis < 3; ++axis)
        EXPECT_LE(std::abs(now[i][axis] - before[i][axis]), 1) << run << ", in rounded mm";
  }
  for (const WorkStep& step : last_->takeoff.steps)
    EXPECT_EQ(step.runs.empty() ? "N9" : step.runs.front(), "N9") << step.text;
}

TEST_F(WhatLies, StaysStretchByStretchWhereAFreshPlanWouldLayItElsewhere) {
  Json job = weighed_otherwise(box_job());
  add_runs(job, 2);
  const Json fresh = planned(job, "fresh");
  int elsewhere = 0;
  for (const char* run : {"N1", "N2", "S1"})
    elsewhere += corners(fresh, run) != corners(old_, run) ? 1 : 0;
  ASSERT_GE(elsewhere, 2) << "the plan that would break it";
  const Json held = planned(with_record(job, {"N1", "N2", "S1"}), "held");
  for (const char* run : {"N1", "N2", "S1"}) {
    EXPECT_EQ(corners(held, run), corners(old_, run)) << run;
    EXPECT_TRUE(run_of(held, run)["held"]) << run;
  }
  EXPECT_FALSE(run_of(held, "L0")["held"]);
  EXPECT_TRUE(held["optimum"]["notes"].empty()) << held["optimum"]["notes"];
}

/// Where a recorded way goes up through a void it goes by the upright that gives all cables lanes,
/// not by a loose way beside it, in which they would be drawn through each other.
TEST_F(WhatLies, GoesUpByTheSameUprightsAsAllOther) {
  planned(with_record(box_job(), {"N1", "S1"}), "held");
  const Tracks& tracks = last_->tracks;
  int uprights = 0;
  for (const TrackEdge& edge : tracks.edges) {
    const Vec3 way = tracks.nodes[static_cast<std::size_t>(edge.b)].position -
                     tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    if (edge.home.kind != PlaceKind::void_space || std::hypot(way.x, way.y) > 1e-6) continue;
    EXPECT_NE(edge.kind, EdgeKind::lead_in);
    ++uprights;
  }
  EXPECT_GT(uprights, 0);
}

TEST_F(WhatLies, CostsNothingMoreAndServesNewRunsForNothing) {
  const Json nothing_left = planned(with_record(box_job(), {"N1", "N2", "S1"}), "done");
  EXPECT_NEAR(objective(nothing_left), 0, 1e-9);
  // Thin enough for the room that is left beside the screen's run.
  const Json cables = Json::parse(R"([ { "id": "thin", "like": "cat6", "diameter": "3 mm" } ])");
  Json alone = box_job();
  alone["runs"] = Json::array();
  alone["cables"] = cables;
  add_runs(alone, 1, "thin");
  const double by_itself = objective(planned(alone, "alone"));
  Json job = box_job();
  job["cables"] = cables;
  add_runs(job, 1, "thin");
  const Json beside = planned(with_record(job, {"N1", "N2", "S1"}), "beside");
  EXPECT_LT(objective(beside), 0.5 * by_itself) << "most of its way is there";
  EXPECT_LE(beside["optimum"]["bound"].get<double>(), objective(beside) * (1 + 1e-9) + 1e-9);
  for (const Json& charge : beside["optimum"]["charges"]) {
    EXPECT_NE(charge["kind"], "hole") << charge["name"];
    EXPECT_EQ(charge["runs"], Json::array({"L0"})) << "who lies already pays nothing";
  }
}

TEST_F(WhatLies, RacewayThatIsFixedKeepsItsSizeAndIsNeverOverfilled) {
  Json job = box_job();
  add_runs(job, 8);
  const Json held = planned(with_record(job, {"N1", "N2", "S1"}), "held");
  const Plan& plan = last_->plan;
  const Tracks& tracks = last_->tracks;
  int installed = 0;
  for (const PlannedRaceway& raceway : plan.raceways) {
    const EdgeOption& option = tracks.options[static_cast<std::size_t>(raceway.option)];
    if (!option.installed) continue;
    ++installed;
    EXPECT_LE(raceway.load_m2, option.capacity_m2 * raceway.count * (1 + 1e-9));
  }
  EXPECT_GT(installed, 0);
  for (const char* run : {"N1", "N2", "S1"})
    for (const Json& stretch : run_of(held, run)["way"]) {
      if (!stretch.contains("raceway")) continue;
      bool same = false;
      for (const Json& before : run_of(old_, run)["way"])
        same = same || (before.contains("raceway") && before["raceway"] == stretch["raceway"] &&
                        before["place"] == stretch["place"]);
      EXPECT_TRUE(same) << run << " in " << stretch["raceway"];
    }
}

TEST_F(WhatLies, AHoleAndAPieceOfRacewayThatAreRecordedAloneAreFreeToUse) {
  Json job = weighed_otherwise(box_job());
  const Json before = planned(job, "before");
  Recording what;
  for (const Json& hole : before["holes"]) what.holes.push_back(hole["name"]);
  for (const Json& table : before["tables"])
    if (table["id"] == "raceway_pieces")
      for (const Json& row : table["rows"]) what.raceway.push_back(row[0]);
  ASSERT_FALSE(what.holes.empty());
  ASSERT_FALSE(what.raceway.empty());
  const auto record = recorded(before.dump(), "", what);
  ASSERT_TRUE(record) << to_text(record.error());
  write_text(folder_ / "as-built.json", *record);
  job["as_built"] = "as-built.json";
  const Json plan = planned(job, "built");
  for (const char* run : {"N1", "N2", "S1"})
    EXPECT_EQ(corners(plan, run), corners(before, run)) << "nothing is cheaper than what is there";
  for (const Json& charge : plan["optimum"]["charges"])
    EXPECT_NE(charge["kind"], "hole") << charge["name"];
  EXPECT_LT(objective(plan), 0.8 * objective(before)) << "holes and raceway are paid";
  for (const char* list : {"holes.csv", "hole_schedule.csv"}) {
    const std::string text = read_text(folder_ / "built" / list);
    EXPECT_NE(text.find("cut already"), std::string::npos) << list;
    EXPECT_EQ(text.find("to cut"), std::string::npos) << list;
  }
  const std::string summary = read_text(folder_ / "built" / "summary.txt");
  EXPECT_NE(summary.find("Holes to cut: 0 "), std::string::npos) << summary;
}

TEST_F(WhatLies, AnInstalledRunOfWhichNothingIsKnownIsToldAndTheOldPlanHoldsIt) {
  Json job = weighed_otherwise(box_job());
  for (Json& run : job["runs"]) run["installed"] = true;
  const Json unknown = planned(job, "unknown");
  EXPECT_EQ(unknown["optimum"]["notes"].size(), 3U);
  const Json held = planned(job, "held", "old");
  for (const char* run : {"N1", "N2", "S1"}) EXPECT_EQ(corners(held, run), corners(old_, run));
  EXPECT_TRUE(held["optimum"]["notes"].empty());
}

TEST_F(WhatLies, ARunWhoseEndWasMovedSinceIsToldToLieElsewhere) {
  Json job = with_record(box_job(), {"N2"});
  job["ends"][1]["up"] = 1.2;
  const Json plan = planned(job, "moved");
  ASSERT_EQ(plan["optimum"]["notes"].size(), 1U);
  EXPECT_NE(plan["optimum"]["notes"][0].get<std::string>().find("N2"), std::string::npos);
}

TEST_F(WhatLies, ACutFromAnotherSpoolOrForNoRunShortensThatSpoolAndOnlyOneOfThatCable) {
  std::map<std::string, std::pair<std::string, double>> spools;  // by cable: name and length
  for (const Json& table : old_["tables"])
    if (table["id"] == "spools")
      for (const Json& row : table["rows"]) spools[row[1]] = {row[0], row[4]};
  const auto& [name, length] = spools.at("cat6");
  Recording what;
  what.run = "N1";
  what.measured_m = 9;
  what.spool = spools.at("speaker 2x1.5").first;
  const auto wrong = recorded(old_.dump(), "", what);
  ASSERT_FALSE(wrong);
  EXPECT_EQ(wrong.error().code, "record.spool");
  what.spool = name;
  const auto run = recorded(old_.dump(), "", what);
  ASSERT_TRUE(run) << to_text(run.error());
  what.run.clear();
  what.measured_m = 2;
  const auto both = recorded(old_.dump(), *run, what);
  ASSERT_TRUE(both) << to_text(both.error());
  write_text(folder_ / "as-built.json", *both);
  Json job = box_job();
  job["as_built"] = "as-built.json";
  write_text(folder_ / "job.json", job.dump());
  const auto read = read_job(folder_ / "job.json");
  ASSERT_TRUE(read) << to_text(read.error());
  EXPECT_TRUE(std::any_of(
      read->spools.begin(), read->spools.end(), [&, left = length - 11](const SpoolSpec& spool) {
        return spool.on_shelf && spool.cable == "cat6" && std::abs(spool.length_m - left) < 1e-6;
      }));
}

class StartFrom : public WhatLies {};

TEST_F(StartFrom, TheSameJobGivesTheSamePlanAndNothingMoves) {
  const Json again = planned(box_job(), "again", "old");
  EXPECT_TRUE(last_->plan.started_from);
  EXPECT_TRUE(last_->plan.moved.empty());
  EXPECT_NEAR(objective(again), objective(old_), 1e-6);
  for (const char* run : {"N1", "N2", "S1"}) EXPECT_EQ(corners(again, run), corners(old_, run));
}

TEST_F(StartFrom, OnlyTheRunWhoseEndMovedMovesThoughAllWouldHaveBetterWays) {
  Json job = weighed_otherwise(box_job());
  job["ends"][1]["from_left"] = 3.0;
  const Json fresh = planned(job, "fresh");
  ASSERT_NE(corners(fresh, "N1"), corners(old_, "N1")) << "the plan that would break it";
  const Json held = planned(job, "held", "old");
  ASSERT_EQ(last_->plan.moved.size(), 1U);
  EXPECT_EQ(last_->ends.runs[static_cast<std::size_t>(last_->plan.moved[0].run)].id, "N2");
  EXPECT_EQ(last_->plan.moved[0].why, "an end has moved");
  EXPECT_GT(last_->plan.moved[0].off_m, 0);
  EXPECT_EQ(corners(held, "N1"), corners(old_, "N1"));
  EXPECT_EQ(corners(held, "S1"), corners(old_, "S1"));
  EXPECT_LE(held["optimum"]["bound"].get<double>(), objective(held) * (1 + 1e-9));
  EXPECT_NE(read_text(folder_ / "held" / "moved.csv").find("N2"), std::string::npos);
}

TEST_F(StartFrom, ToldThatMovingCostsNothingItFindsThePlanThatAFreshStartFinds) {
  const Json job = weighed_otherwise(box_job());
  const Json fresh = planned(job, "fresh"), kept = planned(job, "kept", "old");
  EXPECT_TRUE(last_->plan.moved.empty());
  ASSERT_GT(objective(kept), objective(fresh) * 1.01) << "staying costs something here";
  const Json free = planned(job, "free", "old", 0.0);
  EXPECT_FALSE(last_->plan.moved.empty());
  EXPECT_LE(objective(free), objective(fresh) * (1 + 1e-6));
  const Json dear = planned(job, "dear", "old", 1e6);
  EXPECT_NEAR(objective(dear), objective(kept), 1e-6) << "too dear to move";
}

TEST_F(StartFrom, ARunInWhoseWaySomethingStandsNowMovesAndSaysSo) {
  Json room = Json::parse(kBoxRoom);
  room["obstacles"] = Json::parse(R"([ { "name": "Cupboard", "wall": "Wall left",
    "from_left": 4.0, "off_wall": 0, "up": 0, "width": 0.6, "depth": 0.3, "height": 2.45 } ])");
  sketch_model(room.dump(), folder_, ".glb");
  const Json plan = planned(box_job(), "blocked", "old");
  ASSERT_GE(last_->plan.moved.size(), 1U);
  std::set<std::string> moved;
  for (const MovedRun& one : last_->plan.moved) {
    moved.insert(last_->ends.runs[static_cast<std::size_t>(one.run)].id);
    EXPECT_EQ(one.why, "something stands in its way now");
  }
  EXPECT_TRUE(moved.contains("N2"));
  for (const char* run : {"N1", "N2", "S1"})
    if (!moved.contains(run)) {
      EXPECT_EQ(corners(plan, run), corners(old_, run)) << run;
    }
}

TEST_F(StartFrom, AFolderWithoutAPlanIsRefused) {
  write_text(folder_ / "job.json", box_job().dump());
  PlanOptions options = test_options();
  options.from = folder_ / "nowhere";
  EXPECT_FALSE(plan_job(folder_ / "job.json", options));
  std::filesystem::create_directory(folder_ / "other");
  write_text(folder_ / "other" / "plan.json", R"({"format": "something else"})");
  options.from = folder_ / "other";
  const auto refused = plan_job(folder_ / "job.json", options);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "from.no-plan");
}

}  // namespace
}  // namespace roomloom::testing
