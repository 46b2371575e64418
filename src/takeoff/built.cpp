#include "takeoff/built.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "geometry/arc.h"
#include "takeoff/cells.h"
#include "takeoff/raceway_record.h"
#include "takeoff/where.h"
#include "types/recorded_holes.h"

namespace roomloom {
namespace {

constexpr double kSamePlace_m = 0.012;   // of raceway, across
constexpr double kJoint_m = 0.035;       // and along it, where a fitting covers the joint
constexpr double kOnWay_m = 0.03;        // of a recorded way
constexpr double kSameEnd_m = 0.01;      // an end that was not moved
constexpr double kWorthKeeping_m = 0.5;  // of cable

}  // namespace

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

bool ends_elsewhere(const BuiltRun& run, const Vec3& place) {
  return !run.track.empty() && distance(run.track.front().from, place) > kSameEnd_m &&
         distance(run.track.back().to, place) > kSameEnd_m;
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
      // Raceway beside the track is recorded as pieces of its own.
      if (stretch.raceway == raceway && stretch.place == sheet.name && stretch.beside == 0)
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

Table unused_table(const Takeoff& takeoff, const CableShapes& shapes, const Room& room,
                   const Job& job) {
  Table table{"unused",
              "Recorded as built, but in no part of this plan",
              "It stays in the room: close it, take it out or label it as out of use. What is not "
              "there is to be taken out of the record.",
              {{"what", "What"},
               {"name", "Name"},
               {"where", "Where"},
               {"length_m", "Length", ColumnKind::length},
               {"width_m", "Width", ColumnKind::size}},
              {}};
  for (const BuiltRun& run : job.as_built.runs) {
    const bool planned = std::any_of(
        takeoff.runs.begin(), takeoff.runs.end(),
        [&](const RunRow& row) { return row.id == run.id || row.takes_over == run.id; });
    if (!planned && !run.track.empty())
      table.rows.push_back({"run of " + run.cable, run.id,
                            run.track.front().place + " to " + run.track.back().place,
                            run.measured_m, Cell{}});
  }
  const std::vector<RecordedHole> holes = recorded_holes(job.as_built);
  for (std::size_t i = 0; i < holes.size(); ++i) {
    const bool passed =
        std::any_of(shapes.holes.begin(), shapes.holes.end(),
                    [&](const HoleShape& hole) { return hole.recorded == static_cast<int>(i); });
    if (!passed)
      table.rows.push_back({std::string("hole"), holes[i].name, holes[i].crossing, Cell{},
                            holes[i].diameter_m > 0 ? Cell{holes[i].diameter_m} : Cell{}});
  }
  for (const int index : pieces_unused(takeoff.raceway_pieces, room, job.as_built)) {
    const BuiltRaceway& piece = element(job.as_built.raceway, index);
    const double length =
        std::hypot(piece.end_along_m - piece.start_along_m, piece.end_up_m - piece.start_up_m);
    table.rows.push_back({"raceway " + piece.raceway, piece.name, piece.on, length, Cell{}});
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
