#include "report/record.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/nearest.h"
#include "base/version.h"
#include "report/plan_version.h"

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

Error no_plan() {
  return {"record.no-plan", "It is not a plan.json of this program.", "plan.json",
          "Name a folder that route wrote."};
}

bool is_format(const Json& object, const char* name) {
  const auto found = object.find("format");
  return found != object.end() && *found == name;
}

Result<Json> parsed_plan(const std::string& text) {
  Json plan = Json::parse(text, nullptr, false);
  if (!plan.is_object() || !is_format(plan, "roomloom-plan")) return no_plan();
  if (const auto wrong = version_problem(version_of(plan), kPlanVersion, "plan", "plan.json"))
    return *wrong;
  return plan;
}

Result<Json> parsed_record(const std::string& text) {
  if (text.empty()) return Json{{"format", "roomloom-as-built"}, {"version", 1}};
  Json record = Json::parse(text, nullptr, false);
  if (!record.is_object() || !is_format(record, "roomloom-as-built"))
    return Error{"record.format", "The file is no record of what was built.", "as-built",
                 "Choose another file with --into."};
  if (const auto wrong =
          version_problem(version_of(record), 1, "record of what was built", "as-built"))
    return *wrong;
  return record;
}

/// One of the plan's lists; rows are found by the text in their first column.
class List {
 public:
  List(const Json& plan, const std::string& id) {
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

Error unknown(const std::string& kind, const std::string& name,
              const std::vector<std::string>& names) {
  return {"record.unknown", "The plan has no " + kind + " \"" + name + "\".", name,
          suggestion(name, names)};
}

std::vector<std::string> names_in(const Json& list, const char* key) {
  std::vector<std::string> names;
  for (const Json& one : list) names.push_back(one.at(key));
  return names;
}

/// Whether what lies on the shelf is the house's: "stock" for spools, "raceway_stock".
bool is_the_houses(const Json& plan, const char* stock) {
  const Json& job = plan.at("job");
  return job.contains("house") && job.at("house").value(stock, false);
}

/// The spool that a run is cut from; null where the plan does not say.
Json spool_of(const Json& plan, const std::string& run) {
  const List cuts(plan, "spool_cuts"), spools(plan, "spools");
  const Json* cut = cuts.row(run, cuts.column("run"));
  if (cut == nullptr) return nullptr;
  const std::string name = cuts.cell(*cut, "spool");
  const Json* spool = spools.row(name);
  if (spool == nullptr) return nullptr;
  return {{"plan", plan.at("job").at("sha256").get<std::string>().substr(0, 12)},
          {"name", name},
          {"cable", spools.cell(*spool, "cable")},
          {"colour", spools.cell(*spool, "colour")},
          {"length", spools.cell(*spool, "length_m")},
          {"on_shelf", spools.cell(*spool, "from") == "the shelf"},
          {"house", is_the_houses(plan, "stock")}};
}

Result<Json> run_entry(const Json& plan, const Recording& what) {
  const Json& runs = plan.at("runs");
  const auto run = std::find_if(runs.begin(), runs.end(),
                                [&](const Json& one) { return one.at("id") == what.run; });
  if (run == runs.end()) return unknown("run", what.run, names_in(runs, "id"));
  Json entry{{"run", what.run}};
  if (what.mark_start_m && what.mark_end_m) {
    entry["mark_start"] = *what.mark_start_m;
    entry["mark_end"] = *what.mark_end_m;
  } else if (what.measured_m) {
    entry["measured"] = *what.measured_m;
  }
  const double length = what.mark_start_m && what.mark_end_m
                            ? std::abs(*what.mark_end_m - *what.mark_start_m)
                            : what.measured_m.value_or(0);
  if (length <= 0)
    return Error{"record.length", "The run needs the length that was measured.", what.run,
                 "Give --measured LENGTH, or --marks START END."};
  if (run->value("routed", false)) {
    entry["predicted"] = run->at("cut_m");
    entry["drawn"] = run->at("drawn_m");
  }
  Json way = Json::array();
  for (const Json& hole : plan.at("holes"))
    for (const Json& id : hole.at("runs"))
      if (id == what.run) way.push_back(hole.at("crossing"));
  if (!way.empty()) entry["way"] = std::move(way);
  if (run->contains("way")) entry["track"] = run->at("way");
  entry["cable"] = run->at("cable");
  if (run->value("provision", false)) entry["provision"] = true;
  Json open = Json::array();
  for (const char* side : {"from", "to"})
    for (const Json& end : plan.at("ends"))
      if (end.at("id") == run->at(side) && end.value("state", "fitted") != "fitted")
        open.push_back(side);
  if (!open.empty()) entry["open_ends"] = std::move(open);
  if (Json spool = spool_of(plan, what.run); !spool.is_null()) entry["spool"] = std::move(spool);
  return entry;
}

/// The length that a piece of raceway is cut from; null where the plan does not say.
Json stock_of(const Json& plan, const std::string& piece) {
  const List cuts(plan, "raceway_cuts");
  const Json* cut = cuts.row(piece, cuts.column("piece"));
  if (cut == nullptr) return nullptr;
  const std::string name = cuts.cell(*cut, "stock");
  const Json& whole = cuts.cell(*cut, "stock_m");
  if (!whole.is_number() || whole.get<double>() <= 0) return nullptr;
  return {{"plan", plan.at("job").at("sha256").get<std::string>().substr(0, 12)},
          {"name", name},
          {"length", whole},
          {"cut", cuts.cell(*cut, "takes_m")},
          {"on_shelf", name.find("(from the shelf)") != std::string::npos},
          {"house", is_the_houses(plan, "raceway_stock")}};
}

void add_once(Json& list, const Json& value) {
  if (!list.is_array()) list = Json::array();
  if (std::find(list.begin(), list.end(), value) == list.end()) list.push_back(value);
}

/// Holes are recorded with their place, since one tile may hold several.
Json hole_entry(const Json& hole) {
  return {{"crossing", hole.at("crossing")},
          {"at", hole.at("centre")},
          {"diameter_m", hole.at("diameter_m")}};
}

enum class HoleEntry { with_place, name };

Status add_holes(const Json& plan, const std::vector<std::string>& names, HoleEntry as,
                 Json& list) {
  for (const std::string& name : names) {
    const Json& holes = plan.at("holes");
    const auto hole = std::find_if(holes.begin(), holes.end(),
                                   [&](const Json& one) { return one.at("name") == name; });
    if (hole == holes.end()) return unknown("hole", name, names_in(holes, "name"));
    add_once(list, as == HoleEntry::with_place ? hole_entry(*hole) : hole->at("crossing"));
  }
  return Done{};
}

Status add_raceway(const Json& plan, const std::vector<std::string>& names, Json& record) {
  const List pieces(plan, "raceway_pieces");
  for (const std::string& name : names) {
    const Json* row = pieces.row(name);
    if (row == nullptr) return unknown("piece of raceway", name, {});
    Json entry{{"raceway", pieces.cell(*row, "raceway")},
               {"on", pieces.cell(*row, "on")},
               {"corner", pieces.cell(*row, "corner")},
               {"start_along", pieces.cell(*row, "start_along_m")},
               {"start_up", pieces.cell(*row, "start_up_m")},
               {"end_along", pieces.cell(*row, "end_along_m")},
               {"end_up", pieces.cell(*row, "end_up_m")}};
    if (Json stock = stock_of(plan, name); !stock.is_null()) entry["stock"] = std::move(stock);
    add_once(record["raceway"], entry);
  }
  return Done{};
}

Status add_tiles(const Json& plan, const std::vector<std::string>& names, Json& record) {
  const List tiles(plan, "tiles");
  for (const std::string& name : names) {
    if (tiles.row(name) == nullptr) return unknown("tile to lift", name, {});
    add_once(record["tiles"], name);
  }
  return Done{};
}

std::string taken_over_in(const Json& plan, const std::string& run) {
  for (const Json& one : plan.at("runs"))
    if (one.at("id") == run) return one.value("takes_over", "");
  return "";
}

/// A lying cable that a run took over is that run's from now on: on its spool too, with what was
/// cut off it on the way.
void hand_over(const std::string& provision, Json& entry, Json& runs) {
  const auto lying = std::find_if(
      runs.begin(), runs.end(), [&](const Json& run) { return run.value("run", "") == provision; });
  if (lying == runs.end()) return;
  entry.erase("predicted");  // nothing was cut for it
  entry.erase("drawn");
  const auto length = [](const Json& run) {
    return run.contains("measured")
               ? run.at("measured").get<double>()
               : std::abs(run.value("mark_end", 0.0) - run.value("mark_start", 0.0));
  };
  if (lying->contains("spool")) {
    entry["spool"] = lying->at("spool");
    const double off = length(*lying) - length(entry);
    if (off > 1e-6)
      runs.push_back(
          {{"run", provision + " (cut off)"}, {"measured", off}, {"spool", lying->at("spool")}});
  }
  std::erase_if(runs.get_ref<Json::array_t&>(),
                [&](const Json& run) { return run.value("run", "") == provision; });
}

Status add_all(const Json& plan, const Recording& what, Json& record) {
  if (!what.run.empty()) {
    auto entry = run_entry(plan, what);
    if (!entry) return entry.error();
    Json& runs = record["runs"];
    if (!runs.is_array()) runs = Json::array();
    if (const std::string taken = taken_over_in(plan, what.run); !taken.empty())
      hand_over(taken, *entry, runs);
    const auto old = std::find_if(runs.begin(), runs.end(), [&](const Json& run) {
      return run.value("run", "") == what.run;
    });
    if (old == runs.end())
      runs.push_back(std::move(*entry));
    else
      *old = std::move(*entry);
  }
  if (!what.holes.empty())
    if (Status done = add_holes(plan, what.holes, HoleEntry::with_place, record["holes"]); !done)
      return done;
  if (!what.draw_cords.empty())
    if (Status done = add_holes(plan, what.draw_cords, HoleEntry::name, record["draw_cords"]);
        !done)
      return done;
  if (Status done = add_raceway(plan, what.raceway, record); !done) return done;
  if (Status done = add_tiles(plan, what.tiles, record); !done) return done;
  if (what.task.empty()) return Done{};
  const List minutes(plan, "minutes");
  if (minutes.row(what.task) == nullptr) return unknown("task", what.task, {});
  Json& list = record["minutes"];
  if (!list.is_array()) list = Json::array();
  list.push_back({{"task", what.task}, {"count", what.count}, {"minutes", what.minutes}});
  return Done{};
}

}  // namespace

Result<std::string> job_of_plan(const std::string& plan_json) {
  const auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  try {
    return plan->at("job").at("file").get<std::string>();
  } catch (const Json::exception&) {
    return no_plan();
  }
}

Result<std::string> taken_over_by(const std::string& plan_json, const std::string& run) {
  const auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  try {
    return taken_over_in(*plan, run);
  } catch (const Json::exception&) {
    return no_plan();
  }
}

Result<std::string> house_of_plan(const std::string& plan_json) {
  const auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  try {
    if (!is_the_houses(*plan, "stock") && !is_the_houses(*plan, "raceway_stock"))
      return std::string();
    return plan->at("job").at("house").at("file").get<std::string>();
  } catch (const Json::exception&) {
    return no_plan();
  }
}

Result<std::string> recorded(const std::string& plan_json, const std::string& record,
                             const Recording& what) {
  const auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  auto built = parsed_record(record);
  if (!built) return built.error();
  try {
    if (Status done = add_all(*plan, what, *built); !done) return done.error();
  } catch (const Json::exception&) {
    return Error{"record.no-plan", "The plan or the record lacks something that each has.",
                 "plan.json", "Route that job again with this version."};
  }
  return built->dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace roomloom
