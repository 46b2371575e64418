#include "takeoff/built.h"

#include <algorithm>
#include <cmath>

#include "takeoff/cells.h"
#include "takeoff/minutes.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

constexpr double kSamePlace_m = 0.01;
constexpr double kNearby_m = 1.5;  // a provision's end as near as this can be led on
constexpr int kFewest = 5;         // runs from which a suggestion is made
constexpr double kWorthKeeping_m = 0.5;

double share_of(const BuiltRun& run) {
  const double drawn = run.drawn_m > 0 ? run.drawn_m : run.predicted_m;
  return drawn > 0 ? (run.measured_m - run.predicted_m) / drawn : 0;
}

std::string percent(double share) { return format_number(100 * share, 1) + " %"; }

std::string advice(const LengthComparison& all, double now) {
  if (all.runs == 0) return "";
  std::string text = "Over " + std::to_string(all.runs) + (all.runs == 1 ? " run" : " runs") +
                     ", measured is " + percent(all.bias) +
                     " of drawn beyond predicted on average, spread " + percent(all.spread) + ". ";
  if (all.runs < kFewest)
    return text + "Too few to change the slack settings by; " + std::to_string(kFewest) +
           " are wanted.";
  if (std::fabs(all.contingency - now) < 0.005)
    return text + "The contingency of " + percent(now) + " is right.";
  return text + "Set \"contingency\" under \"prefer\" to " + percent(all.contingency) +
         " instead of " + percent(now) + ": enough for 49 runs in 50, if others are alike.";
}

}  // namespace

LengthComparison compare_lengths(const AsBuilt& built, double contingency_now) {
  LengthComparison all;
  for (const BuiltRun& run : built.runs) {
    if (run.predicted_m <= 0) continue;
    ++all.runs;
    all.bias += share_of(run);
  }
  if (all.runs == 0) return all;
  all.bias /= all.runs;
  for (const BuiltRun& run : built.runs)
    if (run.predicted_m > 0) all.spread += std::pow(share_of(run) - all.bias, 2);
  all.spread = all.runs > 1 ? std::sqrt(all.spread / (all.runs - 1)) : 0;
  // 2.05 standard deviations of the normal distribution leave 1 in 50 above.
  all.contingency = std::max(0.0, contingency_now + all.bias + 2.05 * all.spread);
  return all;
}

bool is_cut(const HoleRow& hole, const AsBuilt& built) {
  constexpr double kSameHole_m = 0.05;  // its middle may move a little when more runs pass it
  return std::any_of(built.holes.begin(), built.holes.end(), [&](const BuiltHole& cut) {
    return cut.crossing == hole.crossing &&
           (cut.diameter_m <= 0 || distance(cut.at, hole.centre) < kSameHole_m);
  });
}

bool is_fixed(const RacewayPiece& piece, const Room& room, const AsBuilt& built) {
  return std::any_of(built.raceway.begin(), built.raceway.end(), [&](const BuiltRaceway& fixed) {
    if (fixed.raceway != piece.raceway || fixed.on != element(room.sheets, piece.sheet).name)
      return false;
    const bool right = fixed.corner == "right corner";
    const SheetMeasure a = measure_on(room, piece.sheet, piece.from, right);
    const SheetMeasure b = measure_on(room, piece.sheet, piece.to, right);
    return std::fabs(a.along_m - fixed.start_along_m) < kSamePlace_m &&
           std::fabs(a.up_m - fixed.start_up_m) < kSamePlace_m &&
           std::fabs(b.along_m - fixed.end_along_m) < kSamePlace_m &&
           std::fabs(b.up_m - fixed.end_up_m) < kSamePlace_m;
  });
}

Table built_table(const Job& job) {
  Table table{"as_built",
              "As built: predicted against measured",
              advice(compare_lengths(job.as_built, job.prefer.contingency), job.prefer.contingency),
              {{"run", "Run"},
               {"predicted_m", "Predicted", ColumnKind::length},
               {"measured_m", "Measured", ColumnKind::length},
               {"difference_m", "Difference", ColumnKind::length},
               {"share_percent", "Of drawn, %", ColumnKind::number}},
              {}};
  for (const BuiltRun& run : job.as_built.runs) {
    const bool known = run.predicted_m > 0;
    table.rows.push_back({run.id, known ? Cell{run.predicted_m} : Cell{}, run.measured_m,
                          known ? Cell{run.measured_m - run.predicted_m} : Cell{},
                          known ? Cell{100 * share_of(run)} : Cell{}});
  }
  return table;
}

Table minutes_built_table(const Job& job) {
  Table table{"minutes_built",
              "Minutes as recorded",
              "Where a task was recorded often enough, put the recorded minutes into the job.",
              {{"task", "Task"},
               {"count", "Recorded", ColumnKind::number},
               {"counted_with", "Counted with", ColumnKind::minutes},
               {"recorded", "Recorded for each", ColumnKind::minutes},
               {"advice", "What to do"}},
              {}};
  for (const StandardTask& standard : kStandardTasks) {
    double count = 0, minutes = 0;
    for (const BuiltMinutes& one : job.as_built.minutes) {
      if (one.task != standard.name) continue;
      count += one.count;
      minutes += one.minutes;
    }
    if (count <= 0) continue;
    const WorkTask task = task_of(standard.name, job.work);
    const double each = minutes / count;
    const bool within = each >= task.least && each <= task.most;
    table.rows.push_back({task.name, count, task.minutes, each,
                          std::string(count < kFewest ? "too few to change by"
                                      : within        ? "within the range; set the recorded minutes"
                                               : "out of the range; set the minutes and it")});
  }
  return table;
}

Table use_first_table(const Takeoff& takeoff, const Ends& ends, const Job& job) {
  Table table{
      "use_first",
      "Use first what is there",
      "Provisions that lie already, holes that are cut and draw cords, for the runs that are "
      "still to be pulled.",
      {{"run", "Run"}, {"use", "Use"}, {"how", "How"}},
      {}};
  for (const RunRow& row : takeoff.runs) {
    if (row.installed) continue;
    const Run& run = element(ends.runs, row.run);
    const Vec3& to = element(ends.ends, run.to).place.position;
    for (const RunRow& lying : takeoff.runs) {
      const Run& other = element(ends.runs, lying.run);
      if (!lying.installed || !lying.provision || other.cable != run.cable) continue;
      const double away = distance(element(ends.ends, other.to).place.position, to);
      if (away > kNearby_m) continue;
      table.rows.push_back({row.id, "provision " + lying.id,
                            "ends " + format_length(away, job.units, 2) + " from " + row.to});
    }
    for (const HoleRow& hole : takeoff.holes) {
      if (std::find(hole.runs.begin(), hole.runs.end(), row.id) == hole.runs.end()) continue;
      if (is_cut(hole, job.as_built) || hole.existing)
        table.rows.push_back(
            {row.id, "hole " + hole.name, std::string("is there in ") + hole.crossing});
      for (const std::string& cord : job.as_built.draw_cords)
        if (cord == hole.crossing)
          table.rows.push_back({row.id, "draw cord", "in " + cord + "; pull a new cord with it"});
    }
  }
  return table;
}

Table stock_left_table(const Takeoff& takeoff, const Job& job) {
  Table table{"stock_left",
              "What will lie on the shelf",
              "When all is cut; rests under " + format_length(kWorthKeeping_m, job.units, 2) +
                  " are waste. The file stock-left.json holds it as a job's \"stock\".",
              {{"cable", "Cable"},
               {"colour", "Colour"},
               {"left_m", "Length", ColumnKind::length},
               {"count", "Count", ColumnKind::count},
               {"from", "From"}},
              {}};
  for (const Spool& spool : takeoff.spools)
    if (!spool.lead && spool.left_m >= kWorthKeeping_m)
      table.rows.push_back(
          {spool.cable, spool.colour, spool.left_m, number_cell(1), "spool " + spool.name});
  for (const SpoolSpec& shelf : job.spools) {
    if (!shelf.on_shelf) continue;
    int left = shelf.count;
    for (const Spool& spool : takeoff.spools)
      if (spool.on_shelf && spool.cable == shelf.cable && spool.length_m == shelf.length_m &&
          (shelf.colour.empty() || shelf.colour == spool.colour) && left > 0)
        --left;
    if (left > 0)
      table.rows.push_back(
          {shelf.cable, shelf.colour, shelf.length_m, number_cell(left), std::string("untouched")});
  }
  return table;
}

}  // namespace roomloom
