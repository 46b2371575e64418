#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "pipeline/random_rooms.h"

/// The take-off of a demo room or of one made up at random, and how to look into its tables.
namespace roomloom::testing {

inline const Table& table_of(const PlannedRoom& p, const std::string& id) {
  for (const Table& table : p.takeoff.tables)
    if (table.id == id) return table;
  ADD_FAILURE() << "no list " << id;
  static const Table none;
  return none;
}

inline std::size_t column_of(const Table& table, const std::string& key) {
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    if (table.columns[i].key == key) return i;
  ADD_FAILURE() << table.id << " has no " << key;
  return 0;
}

inline std::string text_in(const Table& table, std::size_t row, const std::string& key) {
  const auto* text = std::get_if<std::string>(&table.rows[row][column_of(table, key)]);
  return text == nullptr ? "" : *text;
}

inline double number_in(const Table& table, std::size_t row, const std::string& key) {
  const auto* number = std::get_if<double>(&table.rows[row][column_of(table, key)]);
  return number == nullptr ? 0 : *number;
}

class TakeoffOf : public ::testing::TestWithParam<std::string> {
 protected:
  void SetUp() override {
    plan_ = planned_by_name(GetParam());
    ASSERT_NE(plan_, nullptr);
  }
  const PlannedRoom& p() const { return *plan_; }
  const Takeoff& t() const { return plan_->takeoff; }
  bool to_pull(const RunRow& row) const { return row.routed && !row.installed; }
  bool is_demo() const { return GetParam().rfind("room ", 0) != 0; }

  const CableType& cable_of(int run) const {
    return p().job.catalogue.cables[static_cast<std::size_t>(
        p().ends.runs[static_cast<std::size_t>(run)].cable)];
  }

  std::vector<double> diameters_in(const HoleShape& hole) const {
    std::vector<double> all;
    for (const int run : hole.runs) all.push_back(cable_of(run).diameter_m);
    return all;
  }

 private:
  const PlannedRoom* plan_ = nullptr;
};

inline std::string room_test_name(const ::testing::TestParamInfo<std::string>& info) {
  std::string name = info.param;
  std::replace_if(
      name.begin(), name.end(), [](char c) { return c == '-' || c == ' '; }, '_');
  return name;
}

inline const auto kDemoRooms = ::testing::Values("alder-hall", "classroom", "attic-studio");
inline const auto kMadeUpRooms =
    ::testing::Values("room 1", "room 2", "room 3", "room 4", "room 5", "room 6", "room 7",
                      "room 8", "room 9", "room 10");

}  // namespace roomloom::testing
