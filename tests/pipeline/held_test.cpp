#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "job/job.h"
#include "pipeline/planning.h"
#include "report/record.h"

/// What lies in the room stays where it is and costs nothing more; a plan that starts from another
/// moves little.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4.1, "depth": 5.3 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6], "as": "tiles" } })";

Json the_job() {
  return Json::parse(R"({ "model": { "file": "room.glb" },
  "parts": [ { "match": "Wall *", "is": "wall", "build": "masonry" } ],
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.5,
              "off_wall": 0.15, "ports": ["1..12"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1.1, "up": 0.4 },
            { "id": "screen", "at": "Wall left", "from_left": 3.3, "up": 1.5 },
            { "id": "speaker", "at": "Wall right", "from_left": 2.9, "up": 1.9 } ],
  "runs": [ { "id": "N1", "from": "rack.1", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack.2", "to": "screen", "cable": "cat6" },
            { "id": "S1", "from": "rack.3", "to": "speaker", "cable": "speaker 2x1.5" } ] })");
}

/// Cables are nearly free and looks are dear: the best ways of the same runs are others.
Json weighed_otherwise(Json job) {
  job["prefer"] = {{"preset", "least seen"}, {"cable_weight", 0.05}, {"minutes_per_hole", 1}};
  return job;
}

void add_runs(Json& job, int count, const std::string& cable = "speaker 2x2.5") {
  for (int i = 0; i < count; ++i) {
    const std::string number = std::to_string(i);
    job["ends"].push_back(
        {{"id", "spot" + number}, {"at", "Wall left"}, {"from_left", 3.4 + 0.1 * i}, {"up", 1.5}});
    job["runs"].push_back({{"id", "L" + number},
                           {"from", "rack." + std::to_string(4 + i)},
                           {"to", "spot" + number},
                           {"cable", cable}});
  }
}

const Json& run_of(const Json& plan, const std::string& id) {
  for (const Json& run : plan["runs"])
    if (run["id"] == id) return run;
  ADD_FAILURE() << "no run " << id;
  return plan;
}

using Corners = std::vector<std::array<long, 3>>;

/// Corners of a run's way as plan.json has them, rounded to a millimetre.
Corners corners(const Json& plan, const std::string& id) {
  Corners all;
  const auto rounded = [](const Json& p) {
    return std::array<long, 3>{std::lround(1e3 * p[0].get<double>()),
                               std::lround(1e3 * p[1].get<double>()),
                               std::lround(1e3 * p[2].get<double>())};
  };
  Vec3 before{};
  for (const Json& stretch : run_of(plan, id)["way"]) {
    const auto at = [&](const char* key) {
      return Vec3{stretch[key][0], stretch[key][1], stretch[key][2]};
    };
    const Vec3 along = normalized(at("to") - at("from"));
    if (all.empty()) all.push_back(rounded(stretch["from"]));
    if (all.size() > 1 && dot(before, along) > 1 - 1e-9) all.pop_back();
    all.push_back(rounded(stretch["to"]));
    before = along;
  }
  return all;
}

double objective(const Json& plan) { return plan["optimum"]["objective"]; }

class WhatLies : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(kRoom, folder_, ".glb");
    old_ = planned(the_job(), "old");
    ASSERT_FALSE(old_.is_null());
  }

  Json planned(const Json& job, const std::string& into, const std::string& from = "",
               std::optional<double> moving_price = std::nullopt) {
    write_text(folder_ / "job.json", job.dump());
    PlanOptions options = test_options();
    if (!from.empty()) options.from = folder_ / from;
    options.moving_price = moving_price;
    auto plan = plan_job(folder_ / "job.json", options);
    EXPECT_TRUE(plan) << to_text(plan.error());
    if (!plan) return {};
    const auto findings = write_plan(*plan, folder_ / into, {.drawings = false, .report = false});
    EXPECT_TRUE(findings) << to_text(findings.error());
    if (!findings) return {};
    for (const Finding& finding : findings->items)
      EXPECT_NE(finding.level, Level::must) << into << ": " << finding.text;
    last_ = std::make_unique<PlannedRoom>(std::move(*plan));
    return Json::parse(read_text(folder_ / into / "plan.json"));
  }

  /// The job with runs of the old plan recorded as they lie, each as long as was predicted.
  Json with_record(Json job, const std::vector<std::string>& runs) {
    std::string record;
    for (const std::string& run : runs) {
      Recording what;
      what.run = run;
      what.measured_m = run_of(old_, run)["cut_m"].get<double>();
      const auto text = recorded(old_.dump(), record, what);
      EXPECT_TRUE(text) << to_text(text.error());
      if (text) record = *text;
    }
    write_text(folder_ / "as-built.json", record);
    job["as_built"] = "as-built.json";
    return job;
  }

  TestFolder folder_;
  Json old_;
  std::unique_ptr<PlannedRoom> last_;
};

TEST_F(WhatLies, StaysStretchByStretchWhereAFreshPlanWouldLayItElsewhere) {
  Json job = weighed_otherwise(the_job());
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

TEST_F(WhatLies, CostsNothingMoreAndServesNewRunsForNothing) {
  const Json nothing_left = planned(with_record(the_job(), {"N1", "N2", "S1"}), "done");
  EXPECT_NEAR(objective(nothing_left), 0, 1e-9);
  // Thin enough for the room that is left beside the screen's run.
  const Json cables = Json::parse(R"([ { "id": "thin", "like": "cat6", "diameter": "3 mm" } ])");
  Json alone = the_job();
  alone["runs"] = Json::array();
  alone["cables"] = cables;
  add_runs(alone, 1, "thin");
  const double by_itself = objective(planned(alone, "alone"));
  Json job = the_job();
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
  Json job = the_job();
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
  Json job = weighed_otherwise(the_job());
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
}

TEST_F(WhatLies, AnInstalledRunOfWhichNothingIsKnownIsToldAndTheOldPlanHoldsIt) {
  Json job = weighed_otherwise(the_job());
  for (Json& run : job["runs"]) run["installed"] = true;
  const Json unknown = planned(job, "unknown");
  EXPECT_EQ(unknown["optimum"]["notes"].size(), 3U);
  const Json held = planned(job, "held", "old");
  for (const char* run : {"N1", "N2", "S1"}) EXPECT_EQ(corners(held, run), corners(old_, run));
  EXPECT_TRUE(held["optimum"]["notes"].empty());
}

TEST_F(WhatLies, ARunWhoseEndWasMovedSinceIsToldToLieElsewhere) {
  Json job = with_record(the_job(), {"N2"});
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
  Json job = the_job();
  job["as_built"] = "as-built.json";
  write_text(folder_ / "job.json", job.dump());
  const auto read = read_job(folder_ / "job.json");
  ASSERT_TRUE(read) << to_text(read.error());
  EXPECT_TRUE(std::any_of(
      read->spools.begin(), read->spools.end(), [&, left = length - 11](const SpoolSpec& spool) {
        return spool.on_shelf && spool.cable == "cat6" && std::abs(spool.length_m - left) < 1e-6;
      }));
}

/// Two years later: gear is added, and a provision lies ready near it.
class LiesReady : public WhatLies {
 protected:
  void SetUp() override {
    WhatLies::SetUp();
    Json job = the_job();
    job["ends"].push_back({{"id", "later"}, {"at", "Wall left"}, {"from_left", 4.0}, {"up", 1.5}});
    job["runs"].push_back({{"id", "P1"},
                           {"from", "rack.4"},
                           {"to", "later"},
                           {"cable", "cat6"},
                           {"via", "plenum"},
                           {"provision", true},
                           {"end", {{"state", "coiled"}}}});
    old_ = planned(job, "before");
    provided_ = with_record(job, {"N1", "N2", "S1", "P1"});
  }

  /// Of that job, with a new run to a place beside where the provision ends.
  Json with_new_run(double from_left) const {
    Json job = provided_;
    job["ends"].push_back(
        {{"id", "new"}, {"at", "Wall left"}, {"from_left", from_left}, {"up", 1.5}});
    job["runs"].push_back({{"id", "N9"}, {"from", "rack.5"}, {"to", "new"}, {"cable", "cat6"}});
    return job;
  }

  static bool has_run(const Json& plan, const std::string& id) {
    for (const Json& run : plan["runs"])
      if (run["id"] == id) return true;
    return false;
  }

  int spools_of(const std::string& cable) const {
    int count = 0;
    for (const Spool& spool : last_->takeoff.spools) count += spool.cable == cable ? 1 : 0;
    return count;
  }

  double minutes_of(const std::string& task) const {
    double sum = 0;
    for (const WorkStep& step : last_->takeoff.steps)
      if (step.task == task) sum += step.minutes;
    return sum;
  }

  Json provided_;
};

TEST_F(LiesReady, ANewRunTakesTheProvisionsCableAndNoneIsBought) {
  const Json plan = planned(with_new_run(3.7), "after");
  ASSERT_FALSE(plan.is_null());
  EXPECT_FALSE(has_run(plan, "P1")) << "its cable is N9's now";
  const Json& run = run_of(plan, "N9");
  EXPECT_EQ(run["takes_over"], "P1");
  EXPECT_NEAR(run["cut_m"].get<double>(), run_of(old_, "P1")["cut_m"].get<double>(), 1e-9)
      << "as long as was measured";
  EXPECT_LE(run["drawn_m"].get<double>(), run["cut_m"].get<double>());
  EXPECT_EQ(spools_of("cat6"), 0);
  EXPECT_GT(minutes_of("lead a lying cable on"), 0);
  EXPECT_EQ(minutes_of("pull a metre of cable"), 0);
  EXPECT_EQ(minutes_of("cut a hole"), 0) << "it passes the hole that is there";
  EXPECT_GT(minutes_of("fit a connector"), 0);
  EXPECT_GT(minutes_of("test a run"), 0);
  EXPECT_LE(plan["optimum"]["bound"].get<double>(), objective(plan) * (1 + 1e-9) + 1e-9);
  // Most of its way is the provision's.
  const Corners before = corners(old_, "P1"), now = corners(plan, "N9");
  EXPECT_GE(std::count_if(now.begin(), now.end(),
                          [&](const auto& corner) {
                            return std::find(before.begin(), before.end(), corner) != before.end();
                          }),
            static_cast<long>(before.size()) - 4);
  EXPECT_NE(read_text(folder_ / "after" / "use_first.csv").find("the cable of P1"),
            std::string::npos);
  EXPECT_NE(read_text(folder_ / "after" / "lengths.csv").find("to lead on: the cable of P1"),
            std::string::npos);
  const auto again = check_folder(folder_ / "after", test_options());
  ASSERT_TRUE(again) << to_text(again.error());
  for (const Finding& finding : again->items) EXPECT_NE(finding.level, Level::must) << finding.text;
}

TEST_F(LiesReady, ACableThatWasLedOnIsRecordedOnceAndServesNobodyElse) {
  const Json plan = planned(with_new_run(3.7), "led-on");
  Recording what;
  what.run = "N9";
  what.measured_m = run_of(plan, "N9")["cut_m"].get<double>() - 0.2;
  const auto record = recorded(plan.dump(), read_text(folder_ / "as-built.json"), what);
  ASSERT_TRUE(record) << to_text(record.error());
  write_text(folder_ / "as-built.json", *record);
  double metres = 0;  // on the spool that the provision was cut from
  const Json built = Json::parse(*record);
  for (const Json& run : built["runs"]) {
    EXPECT_NE(run["run"], "P1");
    if (run["run"] == "N9" || run["run"] == "P1 (cut off)") metres += run["measured"].get<double>();
  }
  EXPECT_NEAR(metres, run_of(old_, "P1")["cut_m"].get<double>(), 1e-9);
  // The job may keep the provision: it is planned no more. Another run beside finds nothing ready.
  Json job = with_new_run(3.7);
  Json& runs = job["runs"];
  job["ends"].push_back({{"id", "next"}, {"at", "Wall left"}, {"from_left", 3.8}, {"up", 1.5}});
  runs.push_back({{"id", "N10"}, {"from", "rack.6"}, {"to", "next"}, {"cable", "cat6"}});
  const Json next = planned(job, "next");
  EXPECT_FALSE(run_of(next, "N10").contains("takes_over"));
  EXPECT_TRUE(run_of(next, "N9")["held"]);
  EXPECT_FALSE(has_run(next, "P1"));
  EXPECT_EQ(spools_of("cat6"), 1);
  const auto again = check_folder(folder_ / "next", test_options());
  ASSERT_TRUE(again) << to_text(again.error());
  for (const Finding& finding : again->items) EXPECT_NE(finding.level, Level::must) << finding.text;
  // Measured once more, by the plan that it was led on by or by a later one, it keeps its past.
  for (const Json* by : {&plan, &next}) {
    what.measured_m = *what.measured_m - 0.1;
    const auto more = recorded(by->dump(), read_text(folder_ / "as-built.json"), what);
    ASSERT_TRUE(more) << to_text(more.error());
    int entries = 0;
    const Json after = Json::parse(*more);
    for (const Json& run : after["runs"]) {
      if (run["run"] != "N9") continue;
      ++entries;
      EXPECT_EQ(run["took_over"], "P1");
      EXPECT_EQ(run["measured"], *what.measured_m);
      EXPECT_TRUE(run.contains("spool")) << "or what is left of it would be lost";
      EXPECT_FALSE(run.contains("predicted"));
    }
    EXPECT_EQ(entries, 1);
  }
}

TEST_F(LiesReady, RulesThatNameAProvisionThatWasLedOnNameTheRunThatHasItsCable) {
  Json record = Json::parse(read_text(folder_ / "as-built.json"));
  for (Json& run : record["runs"])
    if (run["run"] == "P1") {
      run["run"] = "N9";
      run["took_over"] = "P1";
    }
  write_text(folder_ / "as-built.json", record.dump());
  Json job = with_new_run(4.0);
  for (Json& run : job["runs"])
    if (run["id"] == "N2") run["not_with"] = {"P1"};
  job["spare"] = {{{"count", 1}, {"cable", "cat6"}, {"along", {"P1"}}}};
  write_text(folder_ / "job.json", job.dump());
  const auto read = read_job(folder_ / "job.json");
  ASSERT_TRUE(read) << to_text(read.error());
  for (const RunSpec& run : read->runs) {
    EXPECT_NE(run.id, "P1");
    if (run.id == "N2") {
      EXPECT_EQ(run.not_with, std::vector<std::string>{"N9"});
    }
  }
  EXPECT_EQ(read->spares.at(0).along, std::vector<std::string>{"N9"});
}

TEST_F(LiesReady, ARunThatItsCoilDoesNotReachHasACableOfItsOwn) {
  const Json plan = planned(with_new_run(0.5), "far");
  EXPECT_TRUE(has_run(plan, "P1"));
  EXPECT_FALSE(run_of(plan, "N9").contains("takes_over"));
  EXPECT_EQ(spools_of("cat6"), 1);
}

TEST_F(LiesReady, ARunThatAsksForACableOfItsOwnGetsIt) {
  Json job = with_new_run(3.7);
  job["runs"].back()["own_cable"] = true;
  const Json plan = planned(job, "own");
  EXPECT_TRUE(has_run(plan, "P1"));
  EXPECT_EQ(spools_of("cat6"), 1);
}

TEST_F(LiesReady, AProvisionThatTheJobNoLongerNamesServesAllTheSame) {
  Json job = with_new_run(3.7);
  Json& runs = job["runs"];
  runs.erase(std::find_if(runs.begin(), runs.end(), [](const Json& r) { return r["id"] == "P1"; }));
  EXPECT_EQ(run_of(planned(job, "gone"), "N9")["takes_over"], "P1");
}

TEST_F(LiesReady, AProvisionThatIsConnectedNowGetsItsConnectorAndATestAndNothingElse) {
  Json job = provided_;
  job["runs"].back().erase("provision");
  job["runs"].back().erase("end");
  planned(job, "connected");
  EXPECT_EQ(spools_of("cat6"), 0);
  EXPECT_GT(minutes_of("fit a connector"), 0);
  EXPECT_GT(minutes_of("test a run"), 0);
  for (const char* task : {"pull a metre of cable", "label an end", "cut a hole", "fix a support",
                           "fix a metre of raceway", "lead a lying cable on"})
    EXPECT_EQ(minutes_of(task), 0) << task;
  EXPECT_NEAR(objective(Json::parse(read_text(folder_ / "connected" / "plan.json"))), 0, 1e-9);
}

TEST_F(LiesReady, RacewayThatOthersLieInIsNotFixedAgainForANewRunBesideThem) {
  Json job = with_new_run(3.7);
  job["runs"].back()["own_cable"] = true;
  job["cables"] = Json::parse(R"([ { "id": "thin", "like": "cat6", "diameter": "3 mm" } ])");
  job["runs"].back()["cable"] = "thin";
  const Json plan = planned(job, "beside");
  double raceway_m = 0;
  for (const RacewayPiece& piece : last_->takeoff.raceway_pieces)
    if (!piece.fixed) raceway_m += piece.length_m;
  EXPECT_LT(raceway_m, 1.5) << "only from where the others' ends";
  const std::string first = read_text(folder_ / "beside" / "use_first.csv");
  EXPECT_NE(first.find("N9,raceway R"), std::string::npos) << first;
}

class StartFrom : public WhatLies {};

TEST_F(StartFrom, TheSameJobGivesTheSamePlanAndNothingMoves) {
  const Json again = planned(the_job(), "again", "old");
  EXPECT_TRUE(last_->plan.started_from);
  EXPECT_TRUE(last_->plan.moved.empty());
  EXPECT_NEAR(objective(again), objective(old_), 1e-6);
  for (const char* run : {"N1", "N2", "S1"}) EXPECT_EQ(corners(again, run), corners(old_, run));
}

TEST_F(StartFrom, OnlyTheRunWhoseEndMovedMovesThoughAllWouldHaveBetterWays) {
  Json job = weighed_otherwise(the_job());
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
  const Json job = weighed_otherwise(the_job());
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
  Json room = Json::parse(kRoom);
  room["obstacles"] = Json::parse(R"([ { "name": "Cupboard", "wall": "Wall left",
    "from_left": 4.0, "off_wall": 0, "up": 0, "width": 0.6, "depth": 0.3, "height": 2.45 } ])");
  sketch_model(room.dump(), folder_, ".glb");
  const Json plan = planned(the_job(), "blocked", "old");
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
  write_text(folder_ / "job.json", the_job().dump());
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
