#include "report/compare.h"

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

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
  if (!is_entry(plan, "version", 1)) {
    return Error{"compare.version", "The plan is of another version of this program.", which,
                 "Route that job again with this version."};
  }
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
        {"cable", "Cable to buy", changes(cable_of(*before), cable_of(*after))}};
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
    text += std::string(section.heading) + "\n";
    for (const Change& change : section.changes) text += line(change, units) + "\n";
  }
  return text.empty() ? "Nothing changed.\n" : text;
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
