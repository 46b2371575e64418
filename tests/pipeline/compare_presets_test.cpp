#include <gtest/gtest.h>

#include <algorithm>

#include "pipeline/box_room.h"
#include "pipeline/planning.h"

/// The presets side by side.
namespace roomloom::testing {
namespace {

const Table* table_of(const PlannedRoom& planned, const std::string& id) {
  for (const Table& table : planned.takeoff.tables)
    if (table.id == id) return &table;
  return nullptr;
}

class SideBySide : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(kBoxRoom, folder_, ".glb");
    write_text(folder_ / "job.json", box_job().dump());
    PlanOptions options = test_options();
    options.compare = true;
    auto planned = plan_job(folder_ / "job.json", options);
    ASSERT_TRUE(planned) << to_text(planned.error());
    planned_ = std::make_unique<PlannedRoom>(std::move(*planned));
    table_ = table_of(*planned_, "presets");
    ASSERT_NE(table_, nullptr);
  }
  double figure(const std::string& row, const std::string& column) const {
    for (const auto& cells : table_->rows)
      for (std::size_t i = 0; i < table_->columns.size(); ++i)
        if (std::get<std::string>(cells[0]) == row && table_->columns[i].key == column)
          return std::get<double>(cells[i]);
    ADD_FAILURE() << "no " << column << " of " << row;
    return 0;
  }

  TestFolder folder_;
  std::unique_ptr<PlannedRoom> planned_;
  const Table* table_ = nullptr;
};

TEST_F(SideBySide, TellsWhatTheUserChoosesBy) {
  std::vector<std::string> keys, rows;
  for (const Column& column : table_->columns) keys.push_back(column.key);
  for (const auto& row : table_->rows) rows.push_back(std::get<std::string>(row[0]));
  EXPECT_EQ(keys, (std::vector<std::string>{"preset", "cable_m", "holes", "raceway_m", "visible_m",
                                            "minutes", "money", "longest_m", "gap_percent"}));
  EXPECT_EQ(rows, (std::vector<std::string>{"this plan", "balanced", "least cable", "least seen",
                                            "least work"}));
  ASSERT_NE(table_of(*planned_, "sensitivity"), nullptr);
}

TEST_F(SideBySide, EachRowIsThePlanThatItsPresetGivesByItself) {
  const std::pair<const char*, Preset> presets[] = {{"balanced", Preset::balanced},
                                                    {"least cable", Preset::least_cable},
                                                    {"least seen", Preset::least_seen},
                                                    {"least work", Preset::least_work}};
  for (const auto& [name, preset] : presets) {
    PlanOptions options = test_options();
    options.preset = preset;
    const auto alone = plan_job(folder_ / "job.json", options);
    ASSERT_TRUE(alone) << to_text(alone.error());
    double longest = 0;
    for (const RunRow& run : alone->takeoff.runs) longest = std::max(longest, run.cut_m);
    EXPECT_NEAR(figure(name, "cable_m"), alone->takeoff.cut_m, 1e-9) << name;
    EXPECT_NEAR(figure(name, "longest_m"), longest, 1e-9) << name;
    const auto holes = std::count_if(alone->takeoff.holes.begin(), alone->takeoff.holes.end(),
                                     [](const HoleRow& hole) { return !hole.existing; });
    EXPECT_EQ(figure(name, "holes"), static_cast<double>(holes)) << name;
    for (const Term& term : alone->plan.terms) {
      if (term.name == "raceway") {
        EXPECT_NEAR(figure(name, "raceway_m"), term.amount, 1e-9) << name;
      }
      if (term.name == "visible") {
        EXPECT_NEAR(figure(name, "visible_m"), term.amount, 1e-9) << name;
      }
    }
    const double gap = 100 * (alone->plan.objective - alone->plan.bound) / alone->plan.bound;
    EXPECT_NEAR(figure(name, "gap_percent"), std::max(0.0, gap), 0.0051) << name;
    double minutes = 0;
    for (const WorkStep& step : alone->takeoff.steps) minutes += step.minutes;
    EXPECT_NEAR(figure(name, "minutes"), minutes, 1e-9) << name;
    const Table* shopping = table_of(*alone, "shopping");
    ASSERT_NE(shopping, nullptr);
    EXPECT_NEAR(figure(name, "money"), std::get<double>(shopping->rows.back()[5]), 1e-9) << name;
  }
}

TEST_F(SideBySide, EachPresetHasLeastOfWhatItSaves) {
  EXPECT_LE(figure("least cable", "cable_m"), figure("balanced", "cable_m") + 1e-9);
  EXPECT_LE(figure("least seen", "visible_m"), figure("balanced", "visible_m") + 1e-9);
  EXPECT_LE(figure("least work", "minutes"), figure("balanced", "minutes") + 1e-9);
  EXPECT_LT(figure("least seen", "visible_m"), figure("least cable", "visible_m"));
  EXPECT_LT(figure("least cable", "cable_m"), figure("least seen", "cable_m"));
}

}  // namespace
}  // namespace roomloom::testing
