#include "takeoff/raceway.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "cutting/cutting.h"
#include "takeoff/cells.h"
#include "takeoff/colours.h"
#include "takeoff/raceway_record.h"
#include "takeoff/raceway_stubs.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

constexpr double kShortest_m = 0.3;        // of a piece at a joiner: common practice, no source
constexpr double kByEnd_m = 0.02;          // nearer to an end of a piece is at that end
constexpr double kFixingFromEnd_m = 0.05;  // common practice, no source

/// Lengths of the pieces that a stretch is made of: as few as can be, none of them a sliver.
std::vector<double> pieces_of(double length_m, double stock_m) {
  if (stock_m <= 0 || length_m <= stock_m + 1e-9) return {length_m};
  const int count = static_cast<int>(std::ceil(length_m / stock_m - 1e-9));
  std::vector<double> pieces(static_cast<std::size_t>(count), stock_m);
  const double rest = length_m - (count - 1) * stock_m;
  const double last = std::max(rest, std::min(kShortest_m, length_m / count));
  pieces.back() = last;
  pieces[pieces.size() - 2] -= last - rest;
  return pieces;
}

int fixings_of(double length_m, double spacing_m) {
  const double between = std::max(0.0, length_m - 2 * kFixingFromEnd_m);
  return std::max(2, 1 + static_cast<int>(std::ceil(between / spacing_m - 1e-9)));
}

/// Orders stretches for people: sheet by sheet, from the left, from below.
void sort_for_people(std::vector<Straight>& straights, const Room& room) {
  for (Straight& s : straights) {
    const Frame& frame = element(room.sheets, s.sheet).frame;
    const Vec2 a = frame.to_plane(s.from), b = frame.to_plane(s.to);
    if (a.x > b.x + 1e-6 || (a.x > b.x - 1e-6 && a.y > b.y)) turn_round(s);
  }
  std::stable_sort(straights.begin(), straights.end(), [&](const Straight& a, const Straight& b) {
    if (a.sheet != b.sheet) return a.sheet < b.sheet;
    const Frame& frame = element(room.sheets, a.sheet).frame;
    const Vec2 p = frame.to_plane(a.from), q = frame.to_plane(b.from);
    return std::pair(std::llround(1e3 * p.x), std::llround(1e3 * p.y)) <
           std::pair(std::llround(1e3 * q.x), std::llround(1e3 * q.y));
  });
}

/// "S4 at M+110, 1.20 m from the start; N5, 0.30 m from the start": those of a piece that covers
/// the stretch from `from_m` to `to_m`.
std::string ways_out_words(const std::vector<WayOut>& ways, double from_m, double to_m, bool first,
                           bool last, const Ends& ends, const Job& job) {
  std::string text;
  for (std::size_t i = 0; i < ways.size();) {
    const WayOut& way = ways[i];
    std::vector<std::string> ids;
    for (; i < ways.size() && ways[i].end == way.end && ways[i].hole == way.hole &&
           ways[i].along_m - way.along_m <= kSamePoint_m;
         ++i)
      ids.push_back(element(ends.runs, ways[i].run).id);
    if ((way.along_m < from_m && !first) || (way.along_m >= to_m && !last)) continue;
    const double at = std::clamp(way.along_m - from_m, 0.0, to_m - from_m);
    text += (text.empty() ? "" : "; ") + listed(ids, ", ");
    if (way.end >= 0) text += " at " + element(ends.ends, way.end).id;
    if (!way.hole.empty()) text += " through hole " + way.hole;
    text += at < kByEnd_m ? ", at the start"
            : at > to_m - from_m - kByEnd_m
                ? ", at the end"
                : ", " + format_length(at, job.units, 2) + " from the start";
  }
  return text;
}

/// Those that lie in the stretch between two places of it.
std::vector<int> runs_between(const Straight& straight, double from_m, double to_m) {
  std::vector<int> runs;
  for (const RunStay& stay : stays_in(straight))
    if (std::min(stay.to_m, to_m) - std::max(stay.from_m, from_m) > kSamePoint_m &&
        (runs.empty() || runs.back() != stay.run))
      runs.push_back(stay.run);
  return runs.empty() ? straight.runs : runs;
}

/// From the tracks of what it covers to a piece, each once; none where all of it lies on its track.
std::vector<Vec3> asides_between(const Straight& straight, double from_m, double to_m) {
  const Vec3 way = normalized(straight.to - straight.from);
  std::vector<Vec3> all;
  for (const StraightPart& part : straight.parts) {
    const auto [first, last] =
        std::minmax({dot(part.from - straight.from, way), dot(part.to - straight.from, way)});
    const bool known = std::any_of(all.begin(), all.end(), [&](const Vec3& other) {
      return distance(other, part.aside) < kSamePoint_m;
    });
    if (std::min(last, to_m) - std::max(first, from_m) > kSamePoint_m && !known)
      all.push_back(part.aside);
  }
  if (all.size() == 1 && norm(all.front()) < kSamePoint_m) all.clear();
  return all;
}

void add_pieces(Takeoff& takeoff, const Straight& straight, const StraightEnd& start,
                const StraightEnd& end, const std::vector<WayOut>& ways_out, const Ends& ends,
                const Job& job) {
  const RacewayType& type = element(job.catalogue.raceways, straight.raceway);
  const double whole =
      std::max(straight.fixed ? 0.001 : kLeastPiece_m, net_length_m(straight, start, end));
  const Vec3 way = normalized(straight.to - straight.from);
  const Vec3 first_end = straight.from - start.longer_m * way;
  const std::vector<double> lengths = pieces_of(whole, type.stock_length_m);
  double done = 0;
  for (std::size_t i = 0; i < lengths.size(); ++i) {
    const bool first = i == 0, last = i + 1 == lengths.size();
    RacewayPiece piece;
    piece.raceway = type.id;
    piece.type = straight.raceway;
    piece.sheet = straight.sheet;
    piece.from = first_end + done * way;
    const double from_m = done - start.longer_m, to_m = from_m + lengths[i];
    done += lengths[i];
    piece.to = first_end + done * way;
    piece.length_m = lengths[i];
    piece.runs = runs_between(straight, from_m, to_m);
    piece.aside = asides_between(straight, from_m, to_m);
    piece.ways_out = ways_out_words(ways_out, from_m, to_m, first, last, ends, job);
    piece.fixed = straight.fixed;
    const std::string joiner =
        "square, joiner " + type.id + (straight.fixed ? ", there already" : "");
    piece.start = first ? start.words : joiner;
    piece.end = last ? end.words : joiner;
    piece.fittings = (first ? start.fittings : 0) + (last ? end.fittings : straight.fixed ? 0 : 1);
    piece.fixings = fixings_of(piece.length_m, job.work.raceway_fixing_spacing_m);
    takeoff.raceway_pieces.push_back(std::move(piece));
  }
  const int joiners = static_cast<int>(lengths.size()) - 1;
  if (joiners > 0 && !straight.fixed)
    takeoff.raceway_fittings.push_back({type.id, "joiner", joiners, 0});
}

/// The catalogue prices a kind as a share of the size's fitting; a mitred kind, not one with a
/// radius. A kind it does not list costs as much as the size says.
double price_of(const std::string& kind, const RacewayType& type, const Catalogue& catalogue) {
  const bool end = kind.rfind("end ", 0) == 0;
  for (const FittingType& fitting : catalogue.fittings)
    if (fitting.kind == (end ? "end cap" : kind) && fitting.radius_m == 0)
      return fitting.price_share * type.price_fitting;
  return end ? type.price_end : type.price_fitting;
}

void merge_fittings(std::vector<RacewayFitting>& fittings, const Job& job) {
  std::vector<RacewayFitting> merged;
  for (const RacewayFitting& fitting : fittings) {
    const auto same = std::find_if(merged.begin(), merged.end(), [&](const RacewayFitting& other) {
      return other.raceway == fitting.raceway && other.kind == fitting.kind;
    });
    if (same == merged.end())
      merged.push_back(fitting);
    else
      same->count += fitting.count;
  }
  const auto rank = [&](const std::string& id) {
    const auto& all = job.catalogue.raceways;
    return std::find_if(all.begin(), all.end(),
                        [&](const RacewayType& type) { return type.id == id; }) -
           all.begin();
  };
  for (RacewayFitting& fitting : merged) {
    const RacewayType& type =
        job.catalogue.raceways[static_cast<std::size_t>(rank(fitting.raceway))];
    fitting.price = price_of(fitting.kind, type, job.catalogue);
  }
  std::stable_sort(merged.begin(), merged.end(),
                   [&](const RacewayFitting& a, const RacewayFitting& b) {
                     return std::pair(rank(a.raceway), a.kind) < std::pair(rank(b.raceway), b.kind);
                   });
  fittings = std::move(merged);
}

CutJob cut_job(const std::vector<RacewayPiece*>& pieces, const RacewayType& type, const Job& job) {
  CutJob cuts;
  cuts.kerf_m = job.work.kerf_m;
  for (const RacewayPiece* piece : pieces) cuts.pieces.push_back({piece->name, piece->length_m});
  for (std::size_t i = 0; i < job.work.raceway.size(); ++i) {
    const RacewayStock& stock = job.work.raceway[i];
    if (stock.raceway != type.id || stock.length_m <= 0) continue;
    cuts.stock.push_back({"shelf " + std::to_string(i), stock.length_m, 0, true, stock.count});
  }
  if (type.stock_length_m > 0) {
    const double price = type.price_per_m * type.stock_length_m;
    cuts.stock.push_back({"shop", type.stock_length_m, price > 0 ? price : 1, false, {}});
  }
  return cuts;
}

/// Cuts the pieces of one size, and counts the lengths they come from.
void cut_size(RacewayRow& row, std::vector<RacewayPiece*>& pieces, const RacewayType& type,
              const Job& job) {
  row.proven = pieces.empty();
  if (pieces.empty()) return;
  const CutJob cuts = cut_job(pieces, type, job);
  if (cuts.stock.empty()) return;
  const Result<CutPlan> plan = plan_cuts(cuts);
  if (!plan) return;  // pieces are never longer than a stock length; told as "none long enough"
  row.stocks = static_cast<int>(plan->bars.size());
  row.proven = plan->proven;
  for (std::size_t b = 0; b < plan->bars.size(); ++b) {
    const CutBar& bar = plan->bars[b];
    const CutStock& stock = element(cuts.stock, bar.stock);
    if (!stock.on_shelf) ++row.to_buy;
    double left = stock.length_m;
    for (const int index : bar.pieces) {
      RacewayPiece& piece = *element(pieces, index);
      const double before = left;
      left = std::max(0.0,
                      left - piece.length_m - (left - piece.length_m > 1e-9 ? job.work.kerf_m : 0));
      piece.stock_m = stock.length_m;
      piece.stock_taken_m = before - left;
      piece.stock =
          type.id + " no. " + std::to_string(b + 1) + (stock.on_shelf ? " (from the shelf)" : "");
      piece.stock_left_m = left;
    }
  }
}

/// Stock lengths that went into what is fixed already, at least.
int lengths_fixed(const Takeoff& takeoff, const RacewayType& type) {
  double metres = 0;
  for (const RacewayPiece& piece : takeoff.raceway_pieces)
    if (piece.fixed && piece.raceway == type.id) metres += piece.length_m;
  return type.stock_length_m > 0 ? static_cast<int>(std::ceil(metres / type.stock_length_m - 1e-9))
                                 : 0;
}

void cut_all(Takeoff& takeoff, const Job& job) {
  for (std::size_t i = 0; i < job.catalogue.raceways.size(); ++i) {
    const RacewayType& type = job.catalogue.raceways[i];
    RacewayRow row;
    row.raceway = type.id;
    row.width_m = type.width_m;
    row.depth_m = type.depth_m;
    row.stock_length_m = type.stock_length_m;
    for (const RacewayPiece& piece : takeoff.raceway_pieces) {
      if (piece.type != static_cast<int>(i)) continue;
      ++row.pieces;
      row.length_m += piece.length_m;
    }
    if (row.pieces == 0) continue;
    std::vector<RacewayPiece*> pieces;
    for (RacewayPiece& piece : takeoff.raceway_pieces)
      if (piece.type == static_cast<int>(i) && !piece.fixed) pieces.push_back(&piece);
    cut_size(row, pieces, type, job);
    row.stocks += lengths_fixed(takeoff, type);
    takeoff.raceways.push_back(row);
  }
}

}  // namespace

void plan_raceway(Takeoff& takeoff, const CableShapes& shapes,
                  const std::vector<Termination>& terminations, const Ends& ends, const Room& room,
                  const Job& job) {
  std::vector<Straight> straights = straights_of(shapes, takeoff.boxes, room, job);
  sort_for_people(straights, room);
  const Joints joints = join_without_stubs(straights, takeoff, terminations, ends, job);
  takeoff.raceway_fittings = joints.fittings;
  for (std::size_t i = 0; i < straights.size(); ++i)
    add_pieces(takeoff, straights[i], joints.starts[i], joints.ends[i], joints.ways_out[i], ends,
               job);
  name_pieces(takeoff.raceway_pieces, room, job);
  lie_as_recorded(takeoff.raceway_pieces, room, job);
  merge_fittings(takeoff.raceway_fittings, job);
  cut_all(takeoff, job);
}

namespace {

/// As it is sold where that is the face's colour, else painted.
std::string paint_words(const RacewayPiece& piece, const Sheet& sheet, const Scene* scene,
                        const Job& job) {
  const std::optional<Colour> face = face_colour(sheet, scene);
  const std::string sold =
      !job.sight.raceway_colour.empty()
          ? job.sight.raceway_colour
          : colour_least_seen(element(job.catalogue.raceways, piece.type).colours, face);
  if (looks_alike(sold, face)) return sold + ", as sold: no paint";
  const std::string colour = sheet_colour(sheet, scene);
  return (sold.empty() ? "" : sold + ": ") + "paint as " + sheet.name +
         (colour.empty() ? "" : ", " + colour);
}

}  // namespace

Table raceway_piece_table(const Takeoff& takeoff, const Ends& ends, const Room& room,
                          const Scene* scene, const Job& job) {
  Table table{
      "raceway_pieces",
      "Pieces of raceway",
      "Lengths along the longest edge, mitres included, from where it starts to where it ends. "
      "Up: from the floor, on a slope along it from its lower edge; on a floor or "
      "ceiling, from its near edge, with the plan's y ahead. Below 0: past that corner or edge. "
      "Cut out between: cables "
      "that "
      "leave a piece elsewhere than at its ends. Pieces stop at the sides of boxes, which are "
      "taken as "
      "86 mm square for one outlet and 146 mm long for two 100 mm apart; cut to yours; what goes "
      "on passes through the box. Screws not "
      "more than " +
          format_length(job.work.raceway_fixing_spacing_m, job.units, 2) +
          " apart, and no piece shorter than " + format_size(kLeastPiece_m, job.units, 1) +
          " (common practice, no source).",
      {{"piece", "Piece"},
       {"raceway", "Size"},
       {"on", "On"},
       {"state", "State"},
       {"length_m", "Length", ColumnKind::length},
       {"corner", "Measured from the"},
       {"start_along_m", "Start, along", ColumnKind::length},
       {"start_up_m", "Start, up", ColumnKind::length},
       {"end_along_m", "End, along", ColumnKind::length},
       {"end_up_m", "End, up", ColumnKind::length},
       {"start_height_m", "Start, above the floor", ColumnKind::length},
       {"end_height_m", "End, above the floor", ColumnKind::length},
       {"start", "Start is"},
       {"end", "End is"},
       {"ways_out", "Cut out between"},
       {"runs", "Runs"},
       {"fixings", "Screws", ColumnKind::count},
       {"paint", "Colour or paint"},
       {"done", "Done", ColumnKind::tick}},
      {}};
  for (const RacewayPiece& piece : takeoff.raceway_pieces) {
    const Sheet& sheet = element(room.sheets, piece.sheet);
    const bool right = nearer_to_right(room, piece.sheet, 0.5 * (piece.from + piece.to));
    const SheetMeasure a = measure_on(room, piece.sheet, piece.from, right);
    const SheetMeasure b = measure_on(room, piece.sheet, piece.to, right);
    table.rows.push_back({piece.name, piece.raceway, sheet.name,
                          std::string(piece.fixed ? "there already" : "to cut"), piece.length_m,
                          std::string(right ? "right corner" : "left corner"), a.along_m, a.up_m,
                          b.along_m, b.up_m, piece.from.z - room.floor_z_m,
                          piece.to.z - room.floor_z_m, piece.start, piece.end, piece.ways_out,
                          listed(run_ids(piece.runs, ends)), number_cell(piece.fixings),
                          paint_words(piece, sheet, scene, job), tick_cell()});
  }
  return table;
}

Table raceway_cut_table(const Takeoff& takeoff, const Job& job) {
  Table table{"raceway_cuts",
              "Cutting the raceway",
              "From each length in this order; each cut takes " +
                  size_text(job.work.kerf_m, job.units) + " of kerf.",
              {{"stock", "Length"},
               {"piece", "Piece"},
               {"length_m", "Cut to", ColumnKind::length},
               {"start", "Start is"},
               {"end", "End is"},
               {"stock_m", "Whole length", ColumnKind::length},
               {"takes_m", "Taken with kerf", ColumnKind::length},
               {"left_m", "Left of it", ColumnKind::length},
               {"done", "Done", ColumnKind::tick}},
              {}};
  std::vector<const RacewayPiece*> pieces;
  for (const RacewayPiece& piece : takeoff.raceway_pieces)
    if (!piece.fixed) pieces.push_back(&piece);
  std::stable_sort(pieces.begin(), pieces.end(), [](const RacewayPiece* a, const RacewayPiece* b) {
    return std::tuple(a->type, a->stock.size(), a->stock, -a->stock_left_m) <
           std::tuple(b->type, b->stock.size(), b->stock, -b->stock_left_m);
  });
  for (const RacewayPiece* piece : pieces) {
    table.rows.push_back({piece->stock.empty() ? "none is long enough" : piece->stock, piece->name,
                          piece->length_m, piece->start, piece->end, piece->stock_m,
                          piece->stock_taken_m, piece->stock_left_m, tick_cell()});
  }
  return table;
}

Table raceway_fitting_table(const Takeoff& takeoff) {
  Table table{"raceway_fittings",
              "Raceway fittings",
              "Built-in prices are invented.",
              {{"raceway", "Size"},
               {"kind", "Fitting"},
               {"count", "Count", ColumnKind::count},
               {"price", "Price of one", ColumnKind::money}},
              {}};
  for (const RacewayFitting& fitting : takeoff.raceway_fittings)
    table.rows.push_back(
        {fitting.raceway, fitting.kind, number_cell(fitting.count), fitting.price});
  return table;
}

}  // namespace roomloom
