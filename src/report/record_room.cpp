#include "report/record_room.h"

#include <algorithm>

#include "base/units.h"
#include "report/record_check.h"
#include "types/recorded_holes.h"

namespace roomloom {
namespace {

Vec3 point_in(const Json& p) { return {p.at(0), p.at(1), p.at(2)}; }

Json hole_entry(const Json& hole, double diameter_m) {
  Json entry{{"name", hole.at("name")},
             {"crossing", hole.at("crossing")},
             {"at", hole.at("centre")},
             {"diameter_m", diameter_m}};
  if (hole.contains("passed_at")) entry["passed_at"] = hole.at("passed_at");
  return entry;
}

/// Entries with a place; those by name alone have diameter 0.
AsBuilt entries_in(const Json& holes) {
  AsBuilt built;
  for (const Json& one : holes) {
    BuiltHole& hole = built.holes.emplace_back();
    if (one.is_string()) hole.crossing = one;
    if (!one.is_object()) continue;
    hole.crossing = one.value("crossing", "");
    if (!one.contains("at") || !one.contains("diameter_m")) continue;
    hole.at = point_in(one.at("at"));
    hole.diameter_m = one.at("diameter_m");
    if (one.contains("passed_at")) hole.passed_at = point_in(one.at("passed_at"));
  }
  return built;
}

std::vector<HoleToFind> planned_holes(const Json& plan) {
  std::vector<HoleToFind> all;
  for (const Json& hole : plan.at("holes")) {
    const Vec3 centre = point_in(hole.at("centre"));
    all.push_back({hole.at("crossing"), centre,
                   hole.contains("passed_at") ? point_in(hole.at("passed_at")) : centre,
                   point_in(hole.at("normal")), hole.at("diameter_m")});
  }
  return all;
}

/// The record's entry of each planned hole; -1 if it has none.
std::vector<int> entries_of_holes(const Json& plan, const Json& holes) {
  const std::vector<RecordedHole> recorded = recorded_holes(entries_in(holes));
  std::vector<int> match = match_holes(planned_holes(plan), recorded);
  for (int& one : match)
    if (one >= 0) one = recorded[static_cast<std::size_t>(one)].entry;
  return match;
}

Json& holes_of(Json& record) {
  Json& holes = record["holes"];
  if (!holes.is_array()) holes = Json::array();
  return holes;
}

void record_hole(const Json& plan, const Json& hole, double diameter_m, Json& holes) {
  const std::vector<int> match = entries_of_holes(plan, holes);
  const Json& all = plan.at("holes");
  const int own = match[static_cast<std::size_t>(&hole - &all.at(0))];
  Json entry = hole_entry(hole, diameter_m);
  if (own < 0) return holes.push_back(std::move(entry));
  Json& old = holes.at(static_cast<std::size_t>(own));
  if (hole.value("cut_already", false) && old.is_object() && old.contains("at"))
    entry["at"] = old.at("at");
  old = std::move(entry);
}

/// The hole as it was cut: in that tile, so far from its sides.
Result<Json> entry_at(const Json& plan, const Json& hole, double wide_m, const CutAt& at,
                      bool anyway) {
  std::vector<std::string> known;
  for (const Json& tile : plan.value("tiles", Json::array())) {
    known.push_back(tile.at("name"));
    if (tile.at("name") != at.tile && tile.at("crossing") != at.tile) continue;
    const Vec3 side_1 = point_in(tile.at("side_1")), side_2 = point_in(tile.at("side_2"));
    for (const auto& [from_m, side] :
         {std::pair{at.from_side_1_m, side_1}, std::pair{at.from_side_2_m, side_2}})
      if (!anyway && (from_m < 0.5 * wide_m - 1e-6 || from_m > norm(side) - 0.5 * wide_m + 1e-6))
        return Error{"record.implausible",
                     "A hole of " + format_number(1000 * wide_m, 0) + " mm, " +
                         format_number(1000 * from_m, 0) + " mm from a side, is not within tile " +
                         at.tile + ", which is " + format_number(1000 * norm(side), 0) +
                         " mm wide there.",
                     at.tile,
                     "Measure from the sides that the hole schedule names, the first one first. "
                     "If it is right all the same, record it with --anyway."};
    const Vec3 middle = point_in(tile.at("corner")) + at.from_side_1_m * normalized(side_1) +
                        at.from_side_2_m * normalized(side_2);
    return Json{{"name", hole.at("name")},
                {"crossing", tile.at("crossing")},
                {"at", {middle.x, middle.y, middle.z}},
                {"diameter_m", wide_m}};
  }
  return unknown_in_plan("tile that may be cut", at.tile, known);
}

/// Instead of what is recorded by that name, or at that place.
Status record_hole_at(const Json& plan, const Json& hole, double wide_m, const Recording& what,
                      Json& holes) {
  auto entry = entry_at(plan, hole, wide_m, *what.hole_at, what.anyway);
  if (!entry) return entry.error();
  std::erase_if(holes.get_ref<Json::array_t&>(), [&](const Json& old) {
    return old.is_object() && old.value("name", "") == hole.at("name");
  });
  holes.push_back(std::move(*entry));
  return Done{};
}

/// Whether the record has a hole of that name elsewhere than where the plan has it.
bool is_cut_elsewhere(const Json& hole, const Json& plan, const Json& holes) {
  const std::vector<int> match = entries_of_holes(plan, holes);
  const int own = match[static_cast<std::size_t>(&hole - &plan.at("holes").at(0))];
  return own < 0 && std::any_of(holes.begin(), holes.end(), [&](const Json& one) {
           return one.is_object() && one.contains("at") && one.value("name", "") == hole.at("name");
         });
}

Json raceway_entry(const PlanList& pieces, const Json& row) {
  return {{"name", pieces.cell(row, "piece")},
          {"raceway", pieces.cell(row, "raceway")},
          {"on", pieces.cell(row, "on")},
          {"corner", pieces.cell(row, "corner")},
          {"start_along", pieces.cell(row, "start_along_m")},
          {"start_up", pieces.cell(row, "start_up_m")},
          {"end_along", pieces.cell(row, "end_along_m")},
          {"end_up", pieces.cell(row, "end_up_m")},
          {"start_is", pieces.cell(row, "start")},
          {"end_is", pieces.cell(row, "end")}};
}

/// Whether two entries tell of the same piece at the same place.
bool same_piece(const Json& a, const Json& b) {
  for (const char* key :
       {"raceway", "on", "corner", "start_along", "start_up", "end_along", "end_up"})
    if (!a.contains(key) || !b.contains(key) || a.at(key) != b.at(key)) return false;
  return true;
}

/// @return whether it was not there yet
bool record_piece(const Json& plan, const std::string& name, Json& record) {
  const PlanList pieces(plan, "raceway_pieces");
  const Json* row = pieces.row(name);
  if (row == nullptr) return false;
  Json entry = raceway_entry(pieces, *row);
  for (const Json& piece : plan.value("pieces", Json::array()))
    if (piece.at("name") == name && piece.contains("aside")) entry["aside"] = piece.at("aside");
  if (Json stock = stock_of(plan, name); !stock.is_null()) entry["stock"] = std::move(stock);
  Json& list = record["raceway"];
  if (!list.is_array()) list = Json::array();
  // One that was there before the plan was made has its entry, with the length it was cut from.
  const bool there = pieces.cell(*row, "state") == "there already";
  for (const Json& old : list)
    if (same_piece(old, entry) || (there && old.value("name", "") == name)) return false;
  list.push_back(std::move(entry));
  return true;
}

/// Names of a list by which no entry of the new list goes, after that list.
void keep_older(const Json& older, Json& list) {
  for (const Json& old : older) {
    const std::string name = old.value("name", "");
    const bool given = std::any_of(list.begin(), list.end(),
                                   [&](const Json& one) { return one.at("name") == name; });
    if (!given && !name.empty()) list.push_back(old);
  }
}

}  // namespace

void add_once(Json& list, const Json& value) {
  if (!list.is_array()) list = Json::array();
  if (std::find(list.begin(), list.end(), value) == list.end()) list.push_back(value);
}

std::vector<std::string> names_in(const Json& list, const char* key) {
  std::vector<std::string> names;
  for (const Json& one : list) names.push_back(one.at(key));
  return names;
}

const Json* hole_named(const Json& plan, const std::string& name) {
  for (const Json& hole : plan.at("holes"))
    if (hole.at("name") == name) return &hole;
  return nullptr;
}

Status add_holes(const Json& plan, const Recording& what, Json& record) {
  if (what.hole_at && what.holes.size() != 1)
    return Error{"record.unknown", "It is not told which hole was cut there.", what.hole_at->tile,
                 "Name the one hole: --hole H1 --at TILE FROM-FIRST-SIDE FROM-SECOND-SIDE."};
  for (const std::string& name : what.holes) {
    const Json* hole = hole_named(plan, name);
    if (hole == nullptr) return unknown_in_plan("hole", name, names_in(plan.at("holes"), "name"));
    const double planned = hole->at("diameter_m");
    const auto told = what.hole_m.find(name);
    const double wide = told == what.hole_m.end() ? planned : told->second;
    if (Status plausible = plausible_width(name, wide, planned, what.anyway); !plausible)
      return plausible;
    if (what.hole_at) {
      if (Status done = record_hole_at(plan, *hole, wide, what, holes_of(record)); !done)
        return done;
      continue;
    }
    record_hole(plan, *hole, wide, holes_of(record));
  }
  return Done{};
}

Status passes_as_planned(const Json& plan, const Recording& what, const Json& record) {
  const Json recorded = record.value("holes", Json::array());
  for (const Json& hole : plan.at("holes")) {
    const Json& runs = hole.at("runs");
    if (what.anyway || std::find(runs.begin(), runs.end(), what.run) == runs.end() ||
        !is_cut_elsewhere(hole, plan, recorded))
      continue;
    const std::string name = hole.at("name");
    return Error{"record.implausible",
                 what.run + " passes hole " + name +
                     " by this plan, and that was cut elsewhere than this plan has it.",
                 what.run,
                 "Route again, so that the plan has it where it is, and record the run by that. If "
                 "the run lies as this plan has it, record it with --anyway."};
  }
  return Done{};
}

Status add_raceway(const Json& plan, const std::vector<std::string>& names, Json& record) {
  const PlanList pieces(plan, "raceway_pieces");
  for (const std::string& name : names) {
    if (pieces.row(name) == nullptr) return unknown_in_plan("piece of raceway", name, {});
    // Seen for itself, it is there whatever lies in it.
    if (!record_piece(plan, name, record))
      for (Json& old : record["raceway"])
        if (old.value("name", "") == name) old.erase("with");
  }
  return Done{};
}

std::vector<std::string> add_beside(const Json& plan, const std::string& run, Json& record) {
  std::vector<std::string> added;
  const auto is_of = [&](const Json& thing) {
    const Json& runs = thing.at("runs");
    return std::find(runs.begin(), runs.end(), run) != runs.end();
  };
  const std::vector<int> match = entries_of_holes(plan, holes_of(record));
  for (std::size_t i = 0; i < match.size(); ++i) {
    const Json& hole = plan.at("holes").at(i);
    if (match[i] >= 0 || !is_of(hole) || hole.value("existing", false) ||
        hole.value("cut_already", false))
      continue;
    holes_of(record).push_back(hole_entry(hole, hole.at("diameter_m")));
    holes_of(record).back()["with"] = run;
    added.push_back("hole " + hole.at("name").get<std::string>());
  }
  for (const Json& piece : plan.value("pieces", Json::array()))
    if (is_of(piece) && !piece.value("fixed", false) &&
        record_piece(plan, piece.at("name"), record)) {
      record["raceway"].back()["with"] = run;
      added.push_back("raceway " + piece.at("name").get<std::string>());
    }
  return added;
}

void keep_names(const Json& plan, Json& record) {
  const Json before = record.value("names", Json::object());
  Json holes = Json::array(), raceway = Json::array();
  for (const Json& hole : plan.at("holes"))
    holes.push_back(hole_entry(hole, hole.at("diameter_m")));
  const PlanList pieces(plan, "raceway_pieces");
  for (const Json& piece : plan.value("pieces", Json::array()))
    if (const Json* row = pieces.row(piece.at("name")))
      raceway.push_back(raceway_entry(pieces, *row));
  keep_older(before.value("holes", Json::array()), holes);
  // One that was cut elsewhere keeps its name there: what is still planned here is another.
  const Json built = record.value("holes", Json::array());
  for (const Json& hole : plan.at("holes"))
    if (is_cut_elsewhere(hole, plan, built))
      std::erase_if(holes.get_ref<Json::array_t&>(),
                    [&](const Json& one) { return one.at("name") == hole.at("name"); });
  keep_older(before.value("raceway", Json::array()), raceway);
  record["names"] = {{"holes", std::move(holes)}, {"raceway", std::move(raceway)}};
}

std::string label_of(const Json& plan, const std::string& run) {
  const PlanList labels(plan, "labels");
  const Json* row = labels.row(run, labels.column("run"));
  if (row == nullptr) return "";
  const std::string label = labels.cell(*row, "label");
  return label.size() < 2 ? "" : label.substr(0, label.size() - 2);
}

}  // namespace roomloom
