#pragma once

#include <string>
#include <vector>

#include "pipeline/held_room.h"

/// Plans, and what is recorded by them.
namespace roomloom::testing {

inline const Json& table_of(const Json& plan, const std::string& id) {
  for (const Json& table : plan["tables"])
    if (table["id"] == id) return table;
  ADD_FAILURE() << "no table " << id;
  return plan;
}

inline std::size_t column_of(const Json& table, const std::string& key) {
  for (std::size_t i = 0; i < table["columns"].size(); ++i)
    if (table["columns"][i]["key"] == key) return i;
  ADD_FAILURE() << "no column " << key;
  return 0;
}

/// The sum of a column over the rows whose other column holds `text`.
inline double sum_of(const Json& plan, const std::string& id, const std::string& key,
                     const std::string& by, const std::string& text) {
  const Json& table = table_of(plan, id);
  const std::size_t at = column_of(table, key), where = column_of(table, by);
  double sum = 0;
  for (const Json& row : table["rows"])
    if (row[where] == text) sum += row[at].get<double>();
  return sum;
}

class Records : public WhatLies {
 protected:
  void record_by(const Json& plan, const std::vector<std::string>& runs) {
    for (const std::string& run : runs) {
      Recording what;
      what.run = run;
      what.measured_m = run_of(plan, run)["cut_m"].get<double>();
      const auto text = recorded(plan.dump(), record_, what);
      ASSERT_TRUE(text) << to_text(text.error());
      record_ = *text;
    }
    write_text(folder_ / "as-built.json", record_);
  }

  std::string record_;
};

}  // namespace roomloom::testing
