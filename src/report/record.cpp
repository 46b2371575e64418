#include "report/record.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/units.h"
#include "base/version.h"
#include "report/plan_version.h"
#include "report/record_check.h"
#include "report/record_cuts.h"
#include "report/record_forget.h"
#include "report/record_room.h"
#include "report/record_stock.h"

namespace roomloom {
namespace {

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

Result<Json> run_entry(const Json& plan, const Recording& what) {
  const Json& runs = plan.at("runs");
  const auto run = std::find_if(runs.begin(), runs.end(),
                                [&](const Json& one) { return one.at("id") == what.run; });
  if (run == runs.end()) return unknown_in_plan("run", what.run, names_in(runs, "id"));
  auto measured = measured_entry(what.run, measured_or_lead(plan, what));
  if (!measured) return measured.error();
  if (Status plausible = plausible_length(plan, what, length_of(*measured)); !plausible)
    return plausible.error();
  Json entry = std::move(*measured);
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
  if (run->value("provision", false)) {
    entry["provision"] = true;
    for (const Json& other : runs)
      if (!other.value("provision", false)) entry["planned_beside"].push_back(other.at("id"));
  }
  Json open = Json::array();
  for (const char* side : {"from", "to"})
    for (const Json& end : plan.at("ends"))
      if (end.at("id") == run->at(side) && end.value("state", "fitted") != "fitted")
        open.push_back(side);
  if (!open.empty()) entry["open_ends"] = std::move(open);
  if (const std::string label = label_of(plan, what.run); !label.empty()) entry["label"] = label;
  const std::string spool = what.spool.empty() ? spool_of(plan, what.run) : what.spool;
  if (spool.empty()) return entry;
  auto from = spool_entry(plan, spool);
  if (!from) return from.error();
  if (from->at("cable") != run->at("cable"))
    return Error{"record.spool",
                 "Spool " + spool + " holds " + from->at("cable").get<std::string>() + ", not " +
                     run->at("cable").get<std::string>() + ".",
                 what.run, "Name a spool of that cable, as in spools.csv."};
  entry["spool"] = std::move(*from);
  return entry;
}

/// Rooms that are alike have plans that are alike: whose plan it is, the record says.
void tell_whose(const Json& record, Json& plan) {
  if (const std::string id = record.value("id", ""); !id.empty()) plan["job"]["record"] = id;
}

/// A cord is in a hole, named as the plan names it, or in a conduit, named as the model names it.
Status add_draw_cords(const Json& plan, const std::vector<std::string>& names, Json& record) {
  const Json conduits = plan.value("conduits", Json::array());
  for (const std::string& name : names) {
    const Json* hole = hole_named(plan, name);
    if (hole == nullptr && std::find(conduits.begin(), conduits.end(), name) == conduits.end()) {
      std::vector<std::string> known = names_in(plan.at("holes"), "name");
      for (const Json& conduit : conduits) known.push_back(conduit);
      return unknown_in_plan("hole or conduit", name, known);
    }
    add_once(record["draw_cords"], hole != nullptr ? hole->at("crossing") : Json(name));
  }
  return Done{};
}

Status add_tiles(const Json& plan, const std::vector<std::string>& names, Json& record) {
  const PlanList tiles(plan, "tiles");
  for (const std::string& name : names) {
    if (tiles.row(name) == nullptr) return unknown_in_plan("tile to lift", name, {});
    add_once(record["tiles"], name);
  }
  return Done{};
}

std::string taken_over_in(const Json& plan, const std::string& run) {
  for (const Json& one : plan.at("runs"))
    if (one.at("id") == run) return one.value("takes_over", "");
  return "";
}

bool lay_already(const Json& plan, const std::string& run) {
  for (const Json& one : plan.at("runs"))
    if (one.at("id") == run) return one.value("held", false);
  return false;
}

/// What was predicted before the run was pulled, and the spool that it was cut from: a plan of a
/// run that lies tells neither.
void keep_its_past(const Json& old, Json& entry) {
  for (const char* key : {"predicted", "drawn", "spool", "took_over", "planned_beside", "label"}) {
    if (key == std::string("spool") && entry.contains(key)) continue;  // told anew
    entry.erase(key);
    if (old.contains(key)) entry[key] = old.at(key);
  }
}

/// Entries of the cable that was taken over, as they were: given back if the run is forgotten.
void keep_what_was(const std::string& provision, const Json& lying, const Json& runs, Json& entry) {
  if (lying.contains("was")) {
    entry["was"] = lying.at("was");
    return;
  }
  for (const Json& run : runs)
    if (run.value("run", "") == provision || run.value("run", "") == provision + " (cut off)")
      entry["was"].push_back(run);
}

/// A lying cable that a run took over is that run's from now on: on its spool too, with what was
/// cut off it on the way. Recorded once more, the run has it already.
void hand_over(const std::string& provision, Json& entry, Json& runs) {
  const std::string cut_off = provision + " (cut off)";
  const auto named = [&](const std::string& id) {
    for (const Json& run : runs)
      if (run.value("run", "") == id) return run;
    return Json();
  };
  Json lying = named(provision);
  double whole = 0;
  if (lying.is_null()) {
    lying = named(entry.at("run").get<std::string>());
    if (lying.is_null()) return;
    if (const Json before = named(cut_off); !before.is_null()) whole += length_of(before);
  }
  whole += length_of(lying);
  entry["took_over"] = provision;
  keep_what_was(provision, lying, runs, entry);
  entry.erase("predicted");  // nothing was cut for it
  entry.erase("drawn");
  std::erase_if(runs.get_ref<Json::array_t&>(), [&](const Json& run) {
    const std::string id = run.value("run", "");
    return id == provision || id == cut_off;
  });
  if (!lying.contains("spool")) return;
  entry["spool"] = lying.at("spool");
  const double off = whole - length_of(entry);
  if (off > 1e-6)
    runs.push_back({{"run", cut_off}, {"measured", off}, {"spool", lying.at("spool")}});
}

Status add_run(const Json& plan, const Recording& what, Json& record) {
  auto entry = run_entry(plan, what);
  if (!entry) return entry.error();
  Json& runs = record["runs"];
  if (!runs.is_array()) runs = Json::array();
  if (const std::string taken = taken_over_in(plan, what.run); !taken.empty())
    hand_over(taken, *entry, runs);
  const auto old = std::find_if(runs.begin(), runs.end(),
                                [&](const Json& run) { return run.value("run", "") == what.run; });
  if (old == runs.end()) {
    runs.push_back(std::move(*entry));
  } else {
    if (lay_already(plan, what.run)) keep_its_past(*old, *entry);
    *old = std::move(*entry);
  }
  return spool_holds(record, what);
}

Status add_task(const Json& plan, const Recording& what, Json& record) {
  if (what.task.empty()) return Done{};
  if (PlanList(plan, "minutes").row(what.task) == nullptr)
    return unknown_in_plan("task", what.task, {});
  if (!(what.count > 0) || !(what.minutes > 0))
    return Error{"record.task", "It needs how many were done and what they took together.",
                 what.task, "Give --count 3 --minutes 50."};
  Json& list = record["minutes"];
  if (!list.is_array()) list = Json::array();
  list.push_back({{"task", what.task}, {"count", what.count}, {"minutes", what.minutes}});
  return Done{};
}

/// A cut by itself, or what is missing on a spool once a run was cut from it.
Status add_cut_for_none(const Json& plan, const Recording& what, Json& record) {
  Recording cut = what;
  if (what.left_m && !what.run.empty()) {
    cut.measured_m = cut.mark_start_m = cut.mark_end_m = std::nullopt;
    if (cut.spool.empty()) cut.spool = spool_of(plan, what.run);
  } else if (!what.run.empty()) {
    return Done{};
  }
  if (!cut.left_m) return cut.spool.empty() ? Done{} : add_spare_cut(plan, cut, record);
  if (!cut.spool.empty() && !cut.measured_m && !cut.mark_start_m)
    return add_spare_cut(plan, cut, record);
  return Error{"record.length",
               cut.spool.empty() ? "It is not told of which spool so much is left."
                                 : "Either what was cut is told, or what is left.",
               "--left", "Give --spool A2 --left LENGTH."};
}

Status add_all(const Json& plan, const Recording& what, Json& record) {
  // What is told of holes and raceway comes before what follows from a run that lies in them.
  if (Status done = add_holes(plan, what, record); !done) return done;
  if (Status done = add_raceway(plan, what.raceway, record); !done) return done;
  if (!what.run.empty()) {
    if (Status lies = passes_as_planned(plan, what, record); !lies) return lies;
    if (Status done = add_run(plan, what, record); !done) return done;
    add_beside(plan, what.run, record);
  }
  if (Status done = add_cut_for_none(plan, what, record); !done) return done;
  if (Status done = add_draw_cords(plan, what.draw_cords, record); !done) return done;
  if (Status done = add_tiles(plan, what.tiles, record); !done) return done;
  keep_names(plan, record);
  return add_task(plan, what, record);
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

Result<std::vector<std::string>> narrow_holes(const std::string& plan_json, const Recording& what) {
  const auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  std::vector<std::string> narrow;
  try {
    for (const auto& [name, wide] : what.hole_m) {
      const Json* hole = hole_named(*plan, name);
      const double planned = hole == nullptr ? 0 : hole->at("diameter_m").get<double>();
      if (wide < planned - 1e-6)
        narrow.push_back(name + " is " + format_number(1000 * wide, 1) + " mm wide, planned " +
                         format_number(1000 * planned, 1) + " mm");
    }
  } catch (const Json::exception&) {
    return no_plan();
  }
  return narrow;
}

Result<std::vector<std::string>> told_beside(const std::string& plan_json,
                                             const std::string& record, const Recording& what) {
  const auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  auto built = parsed_record(record);
  if (!built) return built.error();
  try {
    if (Status done = add_holes(*plan, what, *built); !done) return done.error();
    if (Status done = add_raceway(*plan, what.raceway, *built); !done) return done.error();
    return what.run.empty() ? std::vector<std::string>() : add_beside(*plan, what.run, *built);
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

Result<Forgotten> forgotten(const std::string& plan_json, const std::string& record,
                            const Recording& what) {
  auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  auto built = parsed_record(record);
  if (!built) return built.error();
  Forgotten result;
  try {
    tell_whose(*built, *plan);
    if (Status done = forget_in(*plan, what, *built, result.told); !done) return done.error();
  } catch (const Json::exception&) {
    return no_plan();
  }
  result.record = built->dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
  return result;
}

std::vector<std::string> told_again(const std::string& before, const std::string& after,
                                    const Recording& what) {
  const auto old = parsed_record(before), now = parsed_record(after);
  return old && now ? said_again(*old, *now, what) : std::vector<std::string>();
}

Result<std::string> recorded(const std::string& plan_json, const std::string& record,
                             const Recording& what) {
  auto plan = parsed_plan(plan_json);
  if (!plan) return plan.error();
  auto built = parsed_record(record);
  if (!built) return built.error();
  if (record.empty() && !what.record_id.empty()) (*built)["id"] = what.record_id;
  try {
    tell_whose(*built, *plan);
    if (Status done = add_all(*plan, what, *built); !done) return done.error();
  } catch (const Json::exception&) {
    return Error{"record.no-plan", "The plan or the record lacks something that each has.",
                 "plan.json", "Route that job again with this version."};
  }
  return built->dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace roomloom
