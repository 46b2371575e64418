#include "takeoff/ramps.h"

#include <algorithm>
#include <cmath>

#include "takeoff/built.h"
#include "takeoff/cells.h"

namespace roomloom {
namespace {

/// Runs that lie in the zone, ascending.
std::vector<int> runs_in_zone(int zone, const Plan& plan, const Tracks& tracks) {
  std::vector<int> runs;
  for (const PlannedRun& run : plan.runs) {
    const bool lies = std::any_of(run.steps.begin(), run.steps.end(), [&](const Step& step) {
      return element(tracks.edges, step.edge).home == PlaceId{PlaceKind::zone, zone};
    });
    if (run.routed && lies) runs.push_back(run.run);
  }
  return runs;
}

bool crosses_walkway(const Room& room, const Vec3& from, const Vec3& to) {
  const Vec3 over{0, 0, 0.01};
  return std::any_of(room.swept.begin(), room.swept.end(), [&](const Swept& one) {
    return one.kind == MovingKind::walkway &&
           !inside_pieces(one.space, from + over, to + over).empty();
  });
}

}  // namespace

void list_ramps(Takeoff& takeoff, const Plan& plan, const Tracks& tracks, const Ends& ends,
                const Room& room, const Job& job) {
  for (const FloorWay& way : ends.floor_ways) {
    if (way.ramp_m <= 0) continue;
    const std::vector<int> runs = runs_in_zone(way.along_zone, plan, tracks);
    if (runs.empty()) continue;
    RampRow row;
    row.name = "ramp " + std::to_string(takeoff.ramps.size() + 1);
    row.end = element(ends.ends, way.end).id;
    row.wall = element(room.sheets, way.wall).name;
    row.from = way.wall_foot;
    row.to = way.foot;
    row.length_m = way.ramp_m;
    row.on_walkway = crosses_walkway(room, way.wall_foot, way.foot);
    for (const int run : runs) {
      const double diameter =
          element(job.catalogue.cables, element(ends.runs, run).cable).diameter_m;
      row.inside_m = std::max(row.inside_m, diameter);
      row.inside_width_m += diameter;
      row.runs.push_back(element(ends.runs, run).id);
      const RunRow& listed = element(takeoff.runs, run);
      row.there = row.there || (listed.lies() && built_run(listed, job.as_built) != nullptr);
    }
    takeoff.ramps.push_back(std::move(row));
  }
}

Table ramp_table(const Takeoff& takeoff) {
  Table table{"ramps",
              "Ramps over cable on the floor",
              "Cable on open floor trips people: cover it on its whole length with a low ramp that "
              "is fixed down and told apart from the floor by its colour. On ways that everybody "
              "uses, a rise of more than 6.4 mm is bevelled at 1:2 at the steepest, and above 13 "
              "mm ramped at 1:12 (2010 ADA Standards, 303 and 405.2); your local code comes first. "
              "Lay the cables side by side. Inside: what the ramp must take in.",
              {{"name", "Ramp", ColumnKind::text},
               {"from", "From the foot of", ColumnKind::text},
               {"end", "To", ColumnKind::text},
               {"length", "Length", ColumnKind::length},
               {"inside_height", "Inside height", ColumnKind::size},
               {"inside_width", "Inside width", ColumnKind::size},
               {"walkway", "Walkway", ColumnKind::text},
               {"state", "State", ColumnKind::text},
               {"runs", "Runs", ColumnKind::text}},
              {}};
  for (const RampRow& row : takeoff.ramps)
    table.rows.push_back({row.name, row.wall, row.end, row.length_m, row.inside_m,
                          row.inside_width_m, std::string(row.on_walkway ? "yes" : "no"),
                          std::string(row.there ? "there already" : "to lay"), listed(row.runs)});
  return table;
}

}  // namespace roomloom
