#include <map>
#include <set>

#include "pipeline/held_room.h"

/// Provisions that lie ready serve what is added later.
namespace roomloom::testing {
namespace {

/// Two years later: gear is added, and a provision lies ready near it.
class LiesReady : public WhatLies {
 protected:
  void SetUp() override {
    WhatLies::SetUp();
    Json job = box_job();
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

// Half of the work is recorded, the provision first: what was planned all along has its own cable.
TEST_F(LiesReady, ARunThatWasPlannedBesideTheProvisionTakesNothingFromIt) {
  Json job = with_new_run(3.7);
  job.erase("as_built");
  old_ = planned(job, "both");
  const Json plan = planned(with_record(job, {"P1"}), "half");
  EXPECT_TRUE(has_run(plan, "P1"));
  EXPECT_FALSE(run_of(plan, "N9").contains("takes_over"));
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

TEST_F(LiesReady, ForgottenItGivesTheProvisionItsCableBack) {
  const Json plan = planned(with_new_run(3.7), "led-on");
  const std::string before = read_text(folder_ / "as-built.json");
  Recording what;
  what.run = "N9";
  what.measured_m = run_of(plan, "N9")["cut_m"].get<double>() - 0.2;
  auto record = recorded(plan.dump(), before, what);
  ASSERT_TRUE(record) << to_text(record.error());
  what.measured_m = *what.measured_m - 0.1;  // measured once more
  record = recorded(plan.dump(), *record, what);
  ASSERT_TRUE(record) << to_text(record.error());
  const auto back = forgotten(plan.dump(), *record, what);
  ASSERT_TRUE(back) << to_text(back.error());
  const auto runs_in = [](const std::string& text) {
    std::map<std::string, Json> runs;
    const Json built = Json::parse(text);
    for (const Json& run : built["runs"]) runs[run["run"]] = run;
    return runs;
  };
  EXPECT_EQ(runs_in(back->record), runs_in(before));
  // A record of an older program does not know what lay there before.
  Json old = Json::parse(*record);
  for (Json& run : old["runs"]) run.erase("was");
  const auto lost = forgotten(plan.dump(), old.dump(), what);
  ASSERT_TRUE(lost) << to_text(lost.error());
  const auto tells = std::count_if(lost->told.begin(), lost->told.end(), [](const auto& words) {
    return words.find("record that again") != std::string::npos;
  });
  EXPECT_EQ(tells, 1);
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

}  // namespace
}  // namespace roomloom::testing
