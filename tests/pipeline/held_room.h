#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "pipeline/box_room.h"
#include "pipeline/planning.h"
#include "report/record.h"

/// A small room planned once, so that what was recorded in it can be planned around.
namespace roomloom::testing {

/// Cables are nearly free and looks are dear: the best ways of the same runs are others.
inline Json weighed_otherwise(Json job) {
  job["prefer"] = {{"preset", "least seen"}, {"cable_weight", 0.05}, {"minutes_per_hole", 1}};
  return job;
}

inline void add_runs(Json& job, int count, const std::string& cable = "speaker 2x2.5") {
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

inline const Json& run_of(const Json& plan, const std::string& id) {
  for (const Json& run : plan["runs"])
    if (run["id"] == id) return run;
  ADD_FAILURE() << "no run " << id;
  return plan;
}

using Corners = std::vector<std::array<long, 3>>;

/// Corners of a run's way as plan.json has them, rounded to a millimetre.
inline Corners corners(const Json& plan, const std::string& id) {
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

inline double objective(const Json& plan) { return plan["optimum"]["objective"]; }

class WhatLies : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(kBoxRoom, folder_, ".glb");
    old_ = planned(box_job(), "old");
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

}  // namespace roomloom::testing
