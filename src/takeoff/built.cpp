#include "takeoff/built.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "geometry/arc.h"
#include "takeoff/cells.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

constexpr double kSamePlace_m = 0.012;   // of raceway, across
constexpr double kJoint_m = 0.035;       // and along it, where a fitting covers the joint
constexpr double kOnWay_m = 0.03;        // of a recorded way
constexpr double kSameEnd_m = 0.01;      // an end that was not moved
constexpr int kFewest = 5;               // runs from which a suggestion is made
constexpr double kWorthKeeping_m = 0.5;  // of cable
constexpr double kLeastEach_m = 0.05;    // less is the tape's
// Student's t for 1 in 20 outside at 3 degrees of freedom, those of five runs; from memory.
constexpr double kStudent = 3.18;

double share_of(const BuiltRun& run) {
  const double drawn = run.drawn_m > 0 ? run.drawn_m : run.predicted_m;
  return drawn > 0 ? (run.measured_m - run.predicted_m) / drawn : 0;
}

std::string percent(double share) { return format_number(100 * share, 1) + " %"; }

std::string advice(const LengthComparison& all, const Job& job) {
  const Preferences& now = job.prefer;
  if (all.runs == 0) return "";
  std::string text = "Over " + std::to_string(all.runs) + (all.runs == 1 ? " run" : " runs") +
                     ", measured is " + percent(all.bias) +
                     " of drawn beyond predicted on average, spread " + percent(all.spread) + ". ";
  if (all.runs < kFewest)
    return text + "Too few to change the slack settings by; " + std::to_string(kFewest) +
           " are wanted.";
  if (all.each_m != 0) {
    const double loop = std::max(0.0, now.service_loop_start_m + all.each_m);
    text +=
        format_length(std::fabs(all.each_m), job.units, 2) + (all.each_m > 0 ? " more" : " less") +
        " is the same for short and long runs: set \"service_loop_start\" under \"prefer\" to " +
        format_length(loop, job.units, 2) + " instead of " +
        format_length(now.service_loop_start_m, job.units, 2) + ". ";
  }
  if (std::fabs(all.contingency - now.contingency) < 0.005)
    return text + "The contingency of " + percent(now.contingency) + " is right.";
  return text + "Set \"contingency\" under \"prefer\" to " + percent(all.contingency) +
         " instead of " + percent(now.contingency) +
         ": enough for 49 runs in 50, if others are alike.";
}

/// difference = each + share * drawn by least squares over the runs, if `each` stands out from
/// what the runs scatter about it.
struct Line {
  double each_m = 0, share = 0, spread_m = 0, mean_drawn_m = 0;
  bool stands_out = false;
};

Line fitted_line(const std::vector<const BuiltRun*>& runs) {
  Line line;
  const auto n = static_cast<double>(runs.size());
  if (runs.size() < static_cast<std::size_t>(kFewest)) return line;
  double mean_more = 0, xx = 0, xy = 0, squares = 0;
  const auto more = [](const BuiltRun* run) { return run->measured_m - run->predicted_m; };
  for (const BuiltRun* run : runs) {
    line.mean_drawn_m += run->drawn_m / n;
    mean_more += more(run) / n;
  }
  for (const BuiltRun* run : runs) {
    const double x = run->drawn_m - line.mean_drawn_m;
    xx += x * x;
    xy += x * (more(run) - mean_more);
  }
  if (xx < 1e-9) return line;
  line.share = xy / xx;
  line.each_m = mean_more - line.share * line.mean_drawn_m;
  for (const BuiltRun* run : runs)
    squares += std::pow(more(run) - line.each_m - line.share * run->drawn_m, 2);
  line.spread_m = std::sqrt(squares / (n - 2));
  const double error_m =
      line.spread_m * std::sqrt(1 / n + line.mean_drawn_m * line.mean_drawn_m / xx);
  line.stands_out = std::fabs(line.each_m) > std::max(kLeastEach_m, kStudent * error_m);
  return line;
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
  std::vector<const BuiltRun*> known;
  for (const BuiltRun& run : built.runs)
    if (run.predicted_m > 0 && run.drawn_m > 0) known.push_back(&run);
  const Line line = fitted_line(known);
  if (!line.stands_out) return all;
  all.each_m = line.each_m;
  all.contingency =
      std::max(0.0, contingency_now + line.share + 2.05 * line.spread_m / line.mean_drawn_m);
  return all;
}

const BuiltRun* built_run(const RunRow& row, const AsBuilt& built) {
  const std::string& id = row.takes_over.empty() ? row.id : row.takes_over;
  for (const BuiltRun& run : built.runs)
    if (run.id == id) return &run;
  return nullptr;
}

bool left_open(const BuiltRun& run, const Vec3& place) {
  if (run.track.empty()) return run.open_from && run.open_to;
  const double from = distance(run.track.front().from, place);
  const double to = distance(run.track.back().to, place);
  return std::min(from, to) > kSameEnd_m || (from < to ? run.open_from : run.open_to);
}

bool on_recorded_way(const Vec3& at, const BuiltRun& run) {
  return std::any_of(run.track.begin(), run.track.end(), [&](const WayStretch& stretch) {
    return point_segment_distance(at, stretch.from, stretch.to) < kOnWay_m;
  });
}

bool on_recorded_way(const Vec3& at, const AsBuilt& built) {
  return std::any_of(built.runs.begin(), built.runs.end(),
                     [&](const BuiltRun& run) { return on_recorded_way(at, run); });
}

bool is_cut(const HoleRow& hole, const AsBuilt& built) {
  constexpr double kSameHole_m = 0.05;  // its middle may move a little when more runs pass it
  const bool recorded =
      std::any_of(built.holes.begin(), built.holes.end(), [&](const BuiltHole& cut) {
        return cut.crossing == hole.crossing &&
               (cut.diameter_m <= 0 || distance(cut.at, hole.centre) < kSameHole_m);
      });
  return recorded || std::any_of(built.runs.begin(), built.runs.end(), [&](const BuiltRun& run) {
           return std::any_of(run.track.begin(), run.track.end(), [&](const WayStretch& stretch) {
             return stretch.kind == "crossing" && stretch.place == hole.crossing &&
                    point_segment_distance(hole.centre, stretch.from, stretch.to) < kSameHole_m;
           });
         });
}

namespace {

/// A stretch of raceway that is there, in its sheet's own u, v.
struct Fixed {
  Vec2 a, b;
};

std::vector<Fixed> fixed_on(const std::string& raceway, const Sheet& sheet, const Room& room,
                            const AsBuilt& built) {
  std::vector<Fixed> all;
  for (const BuiltRun& run : built.runs)
    for (const WayStretch& stretch : run.track)
      if (stretch.raceway == raceway && stretch.place == sheet.name)
        all.push_back({sheet.frame.to_plane(stretch.from), sheet.frame.to_plane(stretch.to)});
  const int index = static_cast<int>(&sheet - room.sheets.data());
  for (const BuiltRaceway& piece : built.raceway) {
    if (piece.raceway != raceway || piece.on != sheet.name) continue;
    const bool right = piece.corner == "right corner";
    all.push_back({point_measured(room, index, right, piece.start_along_m, piece.start_up_m),
                   point_measured(room, index, right, piece.end_along_m, piece.end_up_m)});
  }
  return all;
}

bool covers(const Fixed& fixed, const Vec2& p) {
  const Vec2 along = fixed.b - fixed.a;
  const double length = norm(along);
  if (length < 1e-9) return false;
  const double t = dot(p - fixed.a, along) / length;
  const double beside = norm(p - fixed.a - (t / length) * along);
  return t > -kJoint_m && t < length + kJoint_m && beside < kSamePlace_m;
}

}  // namespace

bool is_fixed(const std::string& raceway, int sheet, const Vec3& a, const Vec3& b, const Room& room,
              const AsBuilt& built) {
  constexpr double kStep_m = 0.05;
  const Sheet& on = element(room.sheets, sheet);
  const std::vector<Fixed> fixed = fixed_on(raceway, on, room, built);
  if (fixed.empty()) return false;
  const int steps = std::max(1, static_cast<int>(std::ceil(distance(a, b) / kStep_m)));
  for (int i = 0; i <= steps; ++i) {
    const Vec2 p = on.frame.to_plane(a + (static_cast<double>(i) / steps) * (b - a));
    if (std::none_of(fixed.begin(), fixed.end(), [&](const Fixed& one) { return covers(one, p); }))
      return false;
  }
  return true;
}

namespace {

/// A ready-made lead is as long as it is sold: it says nothing of what was predicted.
bool is_lead(const BuiltRun& run, const Job& job) {
  const CableType* cable = job.catalogue.cable(run.cable);
  return cable != nullptr && cable->head_width_m > 0;
}

}  // namespace

Table built_table(const Job& job) {
  AsBuilt cut = job.as_built;
  std::erase_if(cut.runs, [&](const BuiltRun& run) { return is_lead(run, job); });
  Table table{"as_built",
              "As built: predicted against measured",
              advice(compare_lengths(cut, job.prefer.contingency), job),
              {{"run", "Run"},
               {"predicted_m", "Predicted", ColumnKind::length},
               {"measured_m", "Measured", ColumnKind::length},
               {"difference_m", "Difference", ColumnKind::length},
               {"share_percent", "Of drawn, %", ColumnKind::number}},
              {}};
  for (const BuiltRun& run : job.as_built.runs) {
    const bool known = run.predicted_m > 0 && !is_lead(run, job);
    table.rows.push_back({run.id, known ? Cell{run.predicted_m} : Cell{}, run.measured_m,
                          known ? Cell{run.measured_m - run.predicted_m} : Cell{},
                          known ? Cell{100 * share_of(run)} : Cell{}});
  }
  return table;
}

namespace {

/// How much of a lying cable is over once the run has it.
std::string taken_words(const RunRow& row, const Job& job) {
  return "no cable is bought: lead both ends of it on; " + format_length(row.cut_m, job.units, 2) +
         " lie there, " + format_length(row.drawn_m, job.units, 2) +
         " are wanted. \"own_cable\": true on the run buys it one of its own";
}

/// Conduits with a draw cord that a run lies in, in the order of its way.
std::vector<std::string> corded_conduits(const PlannedRun& run, const Tracks& tracks,
                                         const Room& room, const AsBuilt& built) {
  std::vector<std::string> names;
  for (const Step& step : run.steps) {
    const PlaceId& home = element(tracks.edges, step.edge).home;
    if (home.kind != PlaceKind::conduit) continue;
    const std::string& name = element(room.conduits, home.index).name;
    if (std::count(built.draw_cords.begin(), built.draw_cords.end(), name) != 0 &&
        std::count(names.begin(), names.end(), name) == 0)
      names.push_back(name);
  }
  return names;
}

}  // namespace

Table use_first_table(const Takeoff& takeoff, const Plan& plan, const Tracks& tracks,
                      const Room& room, const Job& job) {
  Table table{
      "use_first",
      "Used first: what is there",
      "Lying cables, holes that are cut and draw cords that this plan uses before it buys, cuts "
      "or pulls anything.",
      {{"run", "Run"}, {"use", "Uses"}, {"how", "How"}},
      {}};
  for (const RunRow& row : takeoff.runs) {
    if (row.installed) continue;
    if (!row.takes_over.empty())
      table.rows.push_back({row.id, "the cable of " + row.takes_over, taken_words(row, job)});
    for (const HoleRow& hole : takeoff.holes) {
      if (std::find(hole.runs.begin(), hole.runs.end(), row.id) == hole.runs.end()) continue;
      if (hole.cut_already || hole.existing)
        table.rows.push_back(
            {row.id, "hole " + hole.name, std::string("is there in ") + hole.crossing});
      for (const std::string& cord : job.as_built.draw_cords)
        if (cord == hole.crossing)
          table.rows.push_back({row.id, "draw cord", "in " + cord + "; pull a new cord with it"});
    }
    for (const std::string& conduit :
         corded_conduits(element(plan.runs, row.run), tracks, room, job.as_built))
      table.rows.push_back({row.id, "draw cord", "in " + conduit + "; pull a new cord with it"});
    for (const RacewayPiece& piece : takeoff.raceway_pieces)
      if (piece.fixed && std::count(piece.runs.begin(), piece.runs.end(), row.run) != 0)
        table.rows.push_back(
            {row.id, "raceway " + piece.name, std::string("has room for it: nothing to fix")});
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

Table raceway_left_table(const Takeoff& takeoff, const Job& job) {
  Table table{"raceway_left",
              "Raceway that will lie on the shelf",
              "When all is cut; rests under " + format_length(kShortestRaceway_m, job.units, 2) +
                  " are waste. In stock-left.json too.",
              {{"raceway", "Size"},
               {"left_m", "Length", ColumnKind::length},
               {"count", "Count", ColumnKind::count},
               {"from", "From"}},
              {}};
  std::map<std::string, const RacewayPiece*> last;  // by length: the cut after which least is left
  for (const RacewayPiece& piece : takeoff.raceway_pieces) {
    if (piece.stock.empty()) continue;
    const RacewayPiece*& least = last[piece.stock];
    if (least == nullptr || piece.stock_left_m < least->stock_left_m) least = &piece;
  }
  const auto begun_whole = [&](const RacewayStock& stock) {
    return static_cast<int>(std::count_if(last.begin(), last.end(), [&](const auto& one) {
      return one.second->raceway == stock.raceway && one.second->stock_m == stock.length_m &&
             one.first.find("(from the shelf)") != std::string::npos;
    }));
  };
  for (const auto& [name, piece] : last)
    if (piece->stock_left_m >= kShortestRaceway_m)
      table.rows.push_back({piece->raceway, piece->stock_left_m, number_cell(1), name});
  for (const RacewayStock& stock : job.work.raceway)
    if (const int left = stock.count - begun_whole(stock); left > 0)
      table.rows.push_back(
          {stock.raceway, stock.length_m, number_cell(left), std::string("untouched")});
  return table;
}

}  // namespace roomloom
