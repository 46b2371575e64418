#include "report/compare.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "base/version.h"
#include "report/csv.h"
#include "report/plan_version.h"

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kSame = 0.0005;  // metres: below this two figures are the same

/// Something that both plans may hold, with its figure in metres and what else describes it.
struct Thing {
  double metres = 0;
  std::string words;
};
using Things = std::map<std::string, Thing>;

struct Change {
  std::string name, kind;  ///< added, removed, changed
  std::optional<Thing> old_thing, new_thing;
};

std::string cell_text(const Json& cell) {
  if (cell.is_string()) return cell.get<std::string>();
  if (!cell.is_number()) return {};
  const double value = cell.get<double>();
  return format_number(value, value == std::floor(value) ? 0 : 2);
}

Things ends_of(const Json& plan) {
  Things all;
  for (const Json& end : plan.at("ends")) {
    std::string at;
    for (const double x : end.at("at")) at += (at.empty() ? "" : ", ") + format_number(x, 3);
    all[end.at("id")] = {0, "at (" + at + "), " + end.at("state").get<std::string>()};
  }
  return all;
}

Things runs_of(const Json& plan) {
  Things all;
  for (const Json& run : plan.at("runs")) {
    const bool routed = run.at("routed");
    all[run.at("id")] = {routed ? run.at("cut_m").get<double>() : 0,
                         run.at("cable").get<std::string>() + " from " +
                             run.at("from").get<std::string>() + " to " +
                             run.at("to").get<std::string>() + (routed ? "" : ", no way")};
  }
  return all;
}

Things holes_of(const Json& plan) {
  Things all;
  for (const Json& hole : plan.at("holes")) {
    // Hole names are numbers in order; the crossing is what stays the same.
    Thing& thing = all[hole.at("crossing")];
    thing.metres = hole.at("diameter_m");
    thing.words = std::to_string(hole.at("runs").size()) + " runs";
  }
  return all;
}

Things raceway_of(const Json& plan) {
  Things all;
  for (const Json& piece : plan.at("raceways"))
    all[piece.at("size")].metres += piece.at("metres").get<double>();
  return all;
}

Things cable_of(const Json& plan) {
  Things all;
  for (const Json& total : plan.at("totals")) {
    Thing& thing = all[total.at("cable")];
    thing.metres += total.at("cut_m").get<double>();
  }
  return all;
}

/// What is bought, by item and kind; the figure is a length where the list counts in metres.
Things shopping_of(const Json& plan) {
  Things all;
  for (const Json& table : plan.value("tables", Json::array())) {
    if (table.at("id") != "shopping") continue;
    const Json& columns = table.at("columns");
    for (const Json& row : table.at("rows")) {
      std::map<std::string, const Json*> cells;
      for (std::size_t i = 0; i < columns.size(); ++i) cells[columns[i].at("key")] = &row[i];
      const auto told = [&](const char* key) {
        const auto cell = cells.find(key);
        return cell == cells.end() ? std::string() : cell_text(*cell->second);
      };
      std::string name = told("item"), words = told("count");
      if (name.empty()) name = told("section");  // the last row: all together
      if (const std::string unit = told("unit"); !unit.empty()) words += " " + unit;
      if (const auto total = cells.find("total");
          total != cells.end() && total->second->is_number())
        words += (words.empty() ? "" : ", ") + format_number(total->second->get<double>(), 2) +
                 " " + plan.value("currency", std::string());
      all[name] = {0, words};
    }
  }
  return all;
}

std::vector<Change> changes(const Things& before, const Things& after) {
  std::vector<Change> all;
  for (const auto& [name, thing] : before) {
    const auto found = after.find(name);
    if (found == after.end()) {
      all.push_back({name, "removed", thing, std::nullopt});
    } else if (std::abs(found->second.metres - thing.metres) > kSame ||
               found->second.words != thing.words) {
      all.push_back({name, "changed", thing, found->second});
    }
  }
  for (const auto& [name, thing] : after) {
    if (before.count(name) == 0) all.push_back({name, "added", std::nullopt, thing});
  }
  return all;
}

struct Section {
  const char* key;
  const char* heading;
  std::vector<Change> changes;
};

bool is_entry(const Json& object, const char* key, const Json& value) {
  const auto found = object.find(key);
  return found != object.end() && *found == value;
}

Result<Json> parsed(const std::string& text, const char* which) {
  Json plan = Json::parse(text, nullptr, false);
  if (!plan.is_object() || !is_entry(plan, "format", "roomloom-plan")) {
    return Error{"compare.no-plan", "It is not a plan.json of this program.", which,
                 "Name two folders that route wrote."};
  }
  if (const auto wrong = version_problem(version_of(plan), kPlanVersion, "plan", which))
    return *wrong;
  return plan;
}

Result<std::vector<Section>> sections(const std::string& old_text, const std::string& new_text) {
  const auto before = parsed(old_text, "old plan");
  if (!before) return before.error();
  const auto after = parsed(new_text, "new plan");
  if (!after) return after.error();
  try {
    return std::vector<Section>{
        {"ends", "Ends", changes(ends_of(*before), ends_of(*after))},
        {"runs", "Runs, cut length", changes(runs_of(*before), runs_of(*after))},
        {"holes", "Holes, diameter", changes(holes_of(*before), holes_of(*after))},
        {"raceway", "Raceway", changes(raceway_of(*before), raceway_of(*after))},
        {"cable", "Cable to cut", changes(cable_of(*before), cable_of(*after))},
        {"shopping", "Shopping", changes(shopping_of(*before), shopping_of(*after))}};
  } catch (const Json::exception&) {
    return Error{"compare.no-plan", "A plan lacks something that plans have.", "plan.json",
                 "Route both jobs again with this version."};
  }
}

std::string figure(const Thing& thing, DisplayUnits units) {
  const std::string metres = thing.metres > 0 ? format_length(thing.metres, units) : "";
  return metres + (metres.empty() || thing.words.empty() ? "" : ", ") + thing.words;
}

std::string line(const Change& change, DisplayUnits units) {
  if (!change.old_thing) return "  + " + change.name + ": " + figure(*change.new_thing, units);
  if (!change.new_thing) return "  - " + change.name + ": was " + figure(*change.old_thing, units);
  return "  ~ " + change.name + ": " + figure(*change.old_thing, units) + " -> " +
         figure(*change.new_thing, units);
}

/// "2 added, 1 changed; 3.400 m more": what a section comes to.
std::string counted(const Section& section, DisplayUnits units) {
  std::string text;
  for (const char* kind : {"added", "removed", "changed"}) {
    const auto count = std::count_if(section.changes.begin(), section.changes.end(),
                                     [&](const Change& change) { return change.kind == kind; });
    if (count > 0) text += (text.empty() ? "" : ", ") + std::to_string(count) + " " + kind;
  }
  double more = 0;
  for (const Change& change : section.changes)
    more += (change.new_thing ? change.new_thing->metres : 0) -
            (change.old_thing ? change.old_thing->metres : 0);
  const bool sums = std::string_view(section.key) != "holes";  // diameters do not add up
  if (sums && std::abs(more) > kSame)
    text += "; " + format_length(std::abs(more), units) + (more > 0 ? " more" : " less");
  return text;
}

Json thing_json(const std::optional<Thing>& thing) {
  if (!thing) return nullptr;
  return {{"metres", thing->metres}, {"words", thing->words}};
}

}  // namespace

Result<std::string> compare_text(const std::string& old_text, const std::string& new_text,
                                 DisplayUnits units) {
  const auto all = sections(old_text, new_text);
  if (!all) return all.error();
  std::string text;
  for (const Section& section : *all) {
    if (section.changes.empty()) continue;
    text += std::string(section.heading) + ": " + counted(section, units) + "\n";
    for (const Change& change : section.changes) text += line(change, units) + "\n";
  }
  return text.empty() ? "Nothing changed.\n" : text;
}

Result<std::string> compare_csv(const std::string& old_text, const std::string& new_text) {
  const auto all = sections(old_text, new_text);
  if (!all) return all.error();
  std::string text = "list,name,change,old_m,new_m,difference_m,old,new\r\n";
  const auto metres = [](const std::optional<Thing>& thing) {
    return thing && thing->metres > 0 ? format_number(thing->metres, 4) : std::string();
  };
  for (const Section& section : *all) {
    for (const Change& change : section.changes) {
      const double before = change.old_thing ? change.old_thing->metres : 0,
                   after = change.new_thing ? change.new_thing->metres : 0;
      text += std::string(section.key) + "," + csv_cell(change.name) + "," + change.kind + "," +
              metres(change.old_thing) + "," + metres(change.new_thing) + "," +
              (before > 0 || after > 0 ? format_number(after - before, 4) : "") + "," +
              csv_cell(change.old_thing ? change.old_thing->words : "") + "," +
              csv_cell(change.new_thing ? change.new_thing->words : "") + "\r\n";
    }
  }
  return text;
}

Result<std::string> compare_json(const std::string& old_text, const std::string& new_text) {
  const auto all = sections(old_text, new_text);
  if (!all) return all.error();
  Json root = Json::object();
  for (const Section& section : *all) {
    Json list = Json::array();
    for (const Change& change : section.changes) {
      list.push_back({{"name", change.name},
                      {"change", change.kind},
                      {"old", thing_json(change.old_thing)},
                      {"new", thing_json(change.new_thing)}});
    }
    root[section.key] = std::move(list);
  }
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace roomloom
