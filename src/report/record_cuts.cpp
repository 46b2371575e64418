#include "report/record_cuts.h"

#include <algorithm>

#include "base/units.h"

namespace roomloom {
namespace {

Json& list_of(Json& record, const char* key) {
  Json& list = record[key];
  if (!list.is_array()) list = Json::array();
  return list;
}

bool is_of(const Json& entry, const char* key, const Json& stock) {
  return entry.contains(key) && entry.at(key).value("plan", "") == stock.at("plan") &&
         entry.at(key).value("name", "") == stock.at("name");
}

/// How much is cut for nothing: as measured, or what is missing where it is told what is left.
/// @param taken_m  all that is recorded of the spool or length
Result<double> wasted_m(const Recording& what, const Json& stock, double taken_m) {
  if (!what.left_m) {
    const auto told = measured_entry(what.spool, what);
    if (!told) return told.error();
    return length_of(*told);
  }
  const double reckoned_m = stock.at("length").get<double>() - taken_m;
  if (*what.left_m > reckoned_m + 1e-3)
    return Error{"record.length",
                 "By what is recorded, " + format_number(reckoned_m, 2) + " m are left of " +
                     what.spool + ", not " + format_number(*what.left_m, 2) + " m.",
                 what.spool,
                 "Record a cut that was too long anew, or tell the stock how long it was."};
  return reckoned_m - *what.left_m;
}

Status add_raceway_cut(const Json& plan, const PlanList& cuts, const Json& row,
                       const Recording& what, Json& record) {
  const std::string piece = cuts.cell(row, "piece");
  Json stock = stock_of(plan, piece);
  if (stock.is_null()) return unknown_in_plan("spool or length of raceway", what.spool, {});
  Json& list = list_of(record, "raceway");
  double taken_m = 0;
  for (const Json& one : list)
    if (is_of(one, "stock", stock)) taken_m += one.at("stock").value("cut", 0.0);
  auto wasted = wasted_m(what, stock, taken_m);
  if (!wasted) return wasted.error();
  if (*wasted < 1e-3) return Done{};
  // What is told to be left has the saw's cut behind it.
  const double kerf_m =
      cuts.cell(row, "takes_m").get<double>() - cuts.cell(row, "length_m").get<double>();
  stock["cut"] = *wasted + (what.left_m ? 0 : std::max(0.0, kerf_m));
  const PlanList pieces(plan, "raceway_pieces");
  const Json* own = pieces.row(piece);
  if (own == nullptr) return unknown_in_plan("spool or length of raceway", what.spool, {});
  list.push_back({{"name", "cut " + std::to_string(list.size() + 1) + " from " + what.spool},
                  {"raceway", pieces.cell(*own, "raceway")},
                  {"stock", std::move(stock)}});
  return Done{};
}

}  // namespace

Result<Json> measured_entry(const std::string& name, const Recording& what) {
  Json entry{{"run", name}};
  if (what.mark_start_m && what.mark_end_m) {
    entry["mark_start"] = *what.mark_start_m;
    entry["mark_end"] = *what.mark_end_m;
  } else if (what.measured_m) {
    entry["measured"] = *what.measured_m;
  }
  if (length_of(entry) <= 0)
    return Error{"record.length", "It needs the length that was measured.", name,
                 "Give --measured LENGTH, or --marks START END."};
  return entry;
}

Status add_spare_cut(const Json& plan, const Recording& what, Json& record) {
  const PlanList cuts(plan, "raceway_cuts");
  for (const char* where : {"", " (from the shelf)"})
    if (const Json* row = cuts.row(what.spool + where))
      return add_raceway_cut(plan, cuts, *row, what, record);
  auto spool = spool_entry(plan, what.spool);
  if (!spool) return spool.error();
  Json& runs = list_of(record, "runs");
  double taken_m = 0;
  for (const Json& run : runs)
    if (is_of(run, "spool", *spool)) taken_m += length_of(run);
  const std::string name = "cut " + std::to_string(runs.size() + 1) + " from " + what.spool;
  Json entry;
  if (what.left_m) {
    const auto wasted = wasted_m(what, *spool, taken_m);
    if (!wasted) return wasted.error();
    if (*wasted < 1e-3) return Done{};
    entry = {{"run", name}, {"measured", *wasted}};
  } else {
    auto measured = measured_entry(name, what);
    if (!measured) return measured.error();
    entry = std::move(*measured);
  }
  entry["spool"] = std::move(*spool);
  runs.push_back(std::move(entry));
  return Done{};
}

Status forget_spare_cut(const std::string& spool, Json& record, std::vector<std::string>& told) {
  const std::string from = " from " + spool;
  for (const auto& [list, key] : {std::pair{"runs", "run"}, std::pair{"raceway", "name"}}) {
    Json& entries = list_of(record, list);
    for (std::size_t i = entries.size(); i-- > 0;) {
      const std::string name = entries[i].value(key, "");
      if (!name.starts_with("cut ") || !name.ends_with(from)) continue;
      told.push_back(name);
      entries.erase(i);
      return Done{};
    }
  }
  return Error{"record.unknown", "The record has no spare cut from \"" + spool + "\".", spool,
               "A cut for a run is forgotten with the run: --forget --run S4."};
}

}  // namespace roomloom
