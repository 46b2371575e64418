#include <algorithm>
#include <map>
#include <set>

#include "takeoff/cells.h"
#include "takeoff/ladder.h"

namespace roomloom {
namespace {

/// Days that take longer than the job allows: the pulling of one cable is never divided.
std::string long_days(const Takeoff& takeoff, const Job& job) {
  std::map<int, double> minutes;
  for (const WorkStep& step : takeoff.steps) minutes[step.day] += step.minutes;
  std::vector<std::string> days;
  for (const auto& [day, sum] : minutes)
    if (sum > job.work.day_minutes + 1e-6)
      days.push_back("day " + std::to_string(day) + " takes " + format_number(sum, 0));
  if (days.empty()) return "";
  return "Longer than the " + format_number(job.work.day_minutes, 0) +
         " minutes that the job allows: " + listed(days, ", ") +
         "; what can be prepared on a day before is, and the pulling of one cable is never "
         "divided, so give that day more time or a second pair of hands. ";
}

}  // namespace

Table ladder_table(const Takeoff& takeoff, const Job& job) {
  double minutes = 0, least = 0, most = 0;
  int days = 0;
  for (const WorkStep& step : takeoff.steps) {
    minutes += step.minutes;
    least += step.least;
    most += step.most;
    days = std::max(days, step.day);
  }
  const std::string note =
      takeoff.steps.empty()
          ? "Nothing is to be done: all that the job asks for lies already."
          : std::to_string(days) + (days == 1 ? " day, " : " days, ") +
                format_number(minutes / 60, 1) + " hours in all (" + format_number(least / 60, 1) +
                " to " + format_number(most / 60, 1) +
                "; the minutes are invented unless the job gives its own or they were recorded), "
                "the ladder "
                "moved " +
                std::to_string(takeoff.ladder_moves) + " times; " +
                (takeoff.fewest_places ? "proven: no day could do with fewer places to stand. "
                                       : "the places to stand are few, not proven fewest. ") +
                (takeoff.fewest_moves
                     ? "Proven: no other days with the same bundles, and no other rounds of "
                       "those places, move the ladder less. "
                     : "") +
                long_days(takeoff, job) +
                "Each day closes what it opened. Three points of contact, not the top step; test "
                "old tiles "
                "and "
                "coatings before you cut; look for pipes and wires before you drill.";
  Table table{"ladder",
              "Ladder sheet",
              note,
              {{"step", "Step", ColumnKind::count},
               {"day", "Day", ColumnKind::count},
               {"place", "Where"},
               {"task", "Task"},
               {"what", "What to do"},
               {"runs", "Cables, in order"},
               {"things", "Holes, tiles, pieces"},
               {"minutes", "Minutes", ColumnKind::minutes},
               {"least", "At best", ColumnKind::minutes},
               {"most", "At worst", ColumnKind::minutes},
               {"done", "Done", ColumnKind::tick}},
              {}};
  for (std::size_t i = 0; i < takeoff.steps.size(); ++i) {
    const WorkStep& step = takeoff.steps[i];
    table.rows.push_back({number_cell(i + 1), number_cell(step.day), step.place, step.task,
                          step.text, listed(step.runs, ", "), listed(step.things, ", "),
                          step.minutes, step.least, step.most, tick_cell()});
  }
  return table;
}

Table ladder_place_table(const Takeoff& takeoff) {
  Table table{"ladder_places",
              "Where to stand",
              "Spots of free floor from which everything high is within reach.",
              {{"place", "Place"},
               {"where", "Where"},
               {"tile", "Tile above"},
               {"free", "Free floor"},
               {"x_m", "X", ColumnKind::length},
               {"y_m", "Y", ColumnKind::length}},
              {}};
  for (const LadderPlace& place : takeoff.ladder_places)
    table.rows.push_back({place.name, place.where, place.tile,
                          std::string(place.free ? "yes" : "no: move what stands there"),
                          place.floor.x, place.floor.y});
  return table;
}

Table tile_table(const Takeoff& takeoff, const Room& room) {
  Table table{"tiles",
              "Tiles",
              "Tiles that are cut, then those that are only lifted.",
              {{"tile", "Tile"},
               {"what", "What"},
               {"holes", "Holes"},
               {"places", "Lifted from"},
               {"done", "Done", ColumnKind::tick}},
              {}};
  std::map<std::string, std::vector<std::string>> holes;
  for (const HoleRow& hole : takeoff.holes)
    if (!hole.tile.empty() && !hole.existing) holes[hole.tile].push_back(hole.name);
  std::map<std::string, std::set<std::string>> places;
  for (const WorkStep& step : takeoff.steps)
    if (step.task == "lift a tile")
      for (const std::string& tile : step.things) places[tile].insert(step.place);
  for (const bool cut : {true, false}) {
    for (const TileGrid& grid : room.grids) {
      for (const Tile& tile : grid.tiles) {
        const bool has_hole = holes.find(tile.name) != holes.end();
        if (has_hole != cut || (!cut && places.find(tile.name) == places.end())) continue;
        const std::set<std::string>& at = places[tile.name];
        table.rows.push_back({tile.name, std::string(cut ? "cut" : "lift only"),
                              cut ? listed(holes[tile.name], ", ") : "",
                              listed(std::vector<std::string>(at.begin(), at.end()), ", "),
                              tick_cell()});
      }
    }
  }
  return table;
}

namespace {

/// When and from where a cable is pulled.
struct Pulled {
  std::size_t step = 0, rank = 0;  ///< the step that comes to it first, and its turn there
  int day = 0;
  std::vector<std::string> stands;  ///< where it is handed on
};

std::map<std::string, Pulled> pulled_when(const Takeoff& takeoff) {
  std::map<std::string, Pulled> when;
  for (std::size_t i = 0; i < takeoff.steps.size(); ++i) {
    const WorkStep& step = takeoff.steps[i];
    const bool passes = step.task == "pass a cable on";
    if (!passes && step.task != "pull a metre of cable" && step.task != "lay a cord") continue;
    for (std::size_t rank = 0; rank < step.runs.size(); ++rank) {
      Pulled& one =
          when.try_emplace(step.runs[rank], Pulled{i + 1, rank, step.day, {}}).first->second;
      if (passes) one.stands.push_back(step.place);
    }
  }
  return when;
}

std::vector<int> in_order_of_work(const Takeoff& takeoff, const Ends& ends, const Job& job,
                                  const std::map<std::string, Pulled>& when) {
  std::vector<int> order;
  for (const int run : pull_order(takeoff, ends, job))
    if (!element(takeoff.runs, run).lies()) order.push_back(run);
  const auto key = [&](int run) {
    const Pulled& one = when.at(element(takeoff.runs, run).id);
    return std::pair(one.step, one.rank);
  };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return key(a) < key(b); });
  return order;
}

}  // namespace

Table pull_table(const Takeoff& takeoff, const Ends& ends, const Job& job) {
  Table table{"pull_order",
              "Pull order",
              "In the order in which the ladder sheet comes to the cables. At one place of one day "
              "moulded heads go first, since a hole is widest when it is empty; then by length "
              "times thickness. Other connectors are fitted after the pull. An active or optical "
              "cable serves one way only: its sending end goes where the list says.",
              {{"order", "Order", ColumnKind::count},
               {"day", "Day", ColumnKind::count},
               {"step", "Step of the ladder sheet", ColumnKind::count},
               {"stands", "Handed on at"},
               {"run", "Run"},
               {"from", "From"},
               {"to", "To"},
               {"cable", "Cable"},
               {"cut_m", "Length", ColumnKind::length},
               {"through", "Through holes"},
               {"head", "Head goes through"},
               {"sending_end", "Sending end"},
               {"done", "Done", ColumnKind::tick}},
              {}};
  const std::map<std::string, Pulled> when = pulled_when(takeoff);
  int number = 0;
  for (const int run : in_order_of_work(takeoff, ends, job, when)) {
    const RunRow& row = element(takeoff.runs, run);
    std::vector<std::string> through;
    for (const HoleRow& hole : takeoff.holes)
      if (std::find(hole.runs.begin(), hole.runs.end(), row.id) != hole.runs.end())
        through.push_back(hole.name);
    const CableType& cable = element(job.catalogue.cables, element(ends.runs, run).cable);
    const bool to_sends = element(job.runs, element(ends.runs, run).spec).signal_from_to;
    const Pulled& pulled = when.at(row.id);
    table.rows.push_back(
        {number_cell(++number), number_cell(pulled.day), number_cell(pulled.step),
         listed(pulled.stands, ", "), row.id, row.from, row.to, row.cable,
         row.lead_m > 0 ? row.lead_m : row.cut_m, listed(through, ", "),
         std::string(cable.head_width_m > 0 && !through.empty() ? "yes" : ""),
         cable.directional ? "sending end to " + (to_sends ? row.to : row.from) : std::string(),
         tick_cell()});
  }
  return table;
}

namespace {

/// Runs with the same cable and the same holes that one day pulls go together, each from a box of
/// its own.
std::vector<std::vector<int>> pulled_together(const Takeoff& takeoff, const Ends& ends,
                                              const Job& job) {
  const std::map<std::string, Pulled> when = pulled_when(takeoff);
  std::set<std::string> too_long;  // no box holds as much
  for (const CableTotal& total : takeoff.totals)
    too_long.insert(total.too_long.begin(), total.too_long.end());
  std::vector<std::pair<std::string, std::vector<int>>> bundles;
  for (const int run : pull_order(takeoff, ends, job)) {
    const RunRow& row = element(takeoff.runs, run);
    const CableType& cable = element(job.catalogue.cables, element(ends.runs, run).cable);
    if (cable.head_width_m > 0 || row.lies()) continue;  // ready-made, or there: no box
    if (too_long.contains(row.id)) continue;
    std::string key = row.cable + "|" + std::to_string(when.at(row.id).day);
    const std::string alone = key;
    for (const HoleRow& hole : takeoff.holes)
      if (std::find(hole.runs.begin(), hole.runs.end(), row.id) != hole.runs.end())
        key += "|" + hole.name;
    if (key == alone) key += "|" + row.id;
    const auto same = std::find_if(bundles.begin(), bundles.end(),
                                   [&](const auto& bundle) { return bundle.first == key; });
    if (same == bundles.end())
      bundles.push_back({key, {run}});
    else
      same->second.push_back(run);
  }
  std::vector<std::vector<int>> runs;
  for (auto& [key, bundle] : bundles) runs.push_back(std::move(bundle));
  return runs;
}

/// The spool that a run is cut from.
std::string spool_of(const Takeoff& takeoff, const std::string& run) {
  for (const Spool& spool : takeoff.spools)
    for (const SpoolCut& cut : spool.cuts)
      if (cut.id == run) return spool.name;
  return "";
}

/// How often a bundle is pulled for when each spool gives one cable at a time.
std::size_t goes_of(const Takeoff& takeoff, const std::vector<int>& bundle) {
  std::map<std::string, std::size_t> from;
  std::size_t most = 0;
  for (const int run : bundle)
    most = std::max(most, ++from[spool_of(takeoff, element(takeoff.runs, run).id)]);
  return most;
}

}  // namespace

Table box_table(const Takeoff& takeoff, const Ends& ends, const Job& job) {
  Table table{
      "boxes_open",
      "Pulling from the box",
      "For those who pull first and cut after: each cable of a bundle comes from a box of its own, "
      "so that the bundle is pulled in one go. From the spools that this plan cuts from it takes "
      "more goes, since each gives one cable at a time. Read the jacket's length mark where the "
      "cable leaves the "
      "box, before the pull and after: the difference is the measured length, to be recorded as "
      "built.",
      {{"bundle", "Bundle", ColumnKind::count},
       {"cable", "Cable"},
       {"boxes", "Boxes open at once", ColumnKind::count},
       {"goes", "Goes with the plan's spools", ColumnKind::count},
       {"box", "Box", ColumnKind::count},
       {"run", "Run"},
       {"spool", "Spool of the plan"},
       {"cut_m", "Pull off", ColumnKind::length},
       {"mark_start", "Mark at the start", ColumnKind::tick},
       {"mark_end", "Mark at the end", ColumnKind::tick},
       {"measured", "Difference", ColumnKind::tick}},
      {}};
  std::size_t number = 0;
  for (const std::vector<int>& bundle : pulled_together(takeoff, ends, job)) {
    ++number;
    const std::string& cable = element(takeoff.runs, bundle.front()).cable;
    const std::size_t goes = goes_of(takeoff, bundle);
    for (std::size_t i = 0; i < bundle.size(); ++i) {
      const RunRow& row = element(takeoff.runs, bundle[i]);
      table.rows.push_back({number_cell(number), cable, number_cell(bundle.size()),
                            number_cell(goes), number_cell(i + 1), row.id,
                            spool_of(takeoff, row.id), row.cut_m, tick_cell(), tick_cell(),
                            tick_cell()});
    }
  }
  return table;
}

}  // namespace roomloom
