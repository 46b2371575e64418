#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "base/result.h"

/// What a record says of stock: from which spool or length of the plan a thing was cut.
namespace roomloom {

using Json = nlohmann::ordered_json;

/// One of the plan's lists; rows are found by the text in their first column.
class PlanList {
 public:
  PlanList(const Json& plan, const std::string& id) {
    for (const Json& table : plan.at("tables"))
      if (table.at("id") == id) table_ = &table;
  }
  const Json* row(const std::string& name, std::size_t column = 0) const {
    if (table_ == nullptr) return nullptr;
    for (const Json& row : table_->at("rows"))
      if (row.at(column) == name) return &row;
    return nullptr;
  }
  const Json& cell(const Json& row, const std::string& key) const {
    const Json& columns = table_->at("columns");
    for (std::size_t i = 0; i < columns.size(); ++i)
      if (columns[i].at("key") == key) return row.at(i);
    return row.at(0);
  }
  std::size_t column(const std::string& key) const {
    if (table_ == nullptr) return 0;
    const Json& columns = table_->at("columns");
    for (std::size_t i = 0; i < columns.size(); ++i)
      if (columns[i].at("key") == key) return i;
    return 0;
  }

 private:
  const Json* table_ = nullptr;
};

/// @param names  that the plan has, for a suggestion
Error unknown_in_plan(const std::string& kind, const std::string& name,
                      const std::vector<std::string>& names);

/// Whether what lies on the shelf is the house's: "stock" for spools, "raceway_stock".
bool is_the_houses(const Json& plan, const char* stock);

/// Tells plans apart in which the same name may mean another spool or length.
std::string plan_id(const Json& plan);

/// The name of the spool that a run is cut from; empty where the plan does not say.
std::string spool_of(const Json& plan, const std::string& run);

/// A spool of the plan as a record has it. @error `record.unknown`
Result<Json> spool_entry(const Json& plan, const std::string& name);

/// The length that a piece of raceway is cut from; null where the plan does not say.
Json stock_of(const Json& plan, const std::string& piece);

}  // namespace roomloom
