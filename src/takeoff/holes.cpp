#include "takeoff/holes.h"

#include <algorithm>
#include <cmath>

#include "geometry/bundle.h"
#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/where.h"
#include "types/spares.h"

namespace roomloom {
namespace {

constexpr double kHoleClearance_m = 0.003;  // between bundle and hole, as the shapes have it
constexpr int kMostFurther = 99;

struct Passing {
  std::vector<double> diameters_m;
  const CableType* thickest = nullptr;
  const CableType* widest_head = nullptr;
};

Passing passing(const HoleShape& hole, const Ends& ends, const Job& job) {
  Passing all;
  for (const int run : hole.runs) {
    const CableType& cable = element(job.catalogue.cables, element(ends.runs, run).cable);
    all.diameters_m.push_back(cable.diameter_m);
    if (all.thickest == nullptr || cable.diameter_m > all.thickest->diameter_m)
      all.thickest = &cable;
    if (head_diagonal_m(cable) > 0 &&
        (all.widest_head == nullptr || head_diagonal_m(cable) > head_diagonal_m(*all.widest_head)))
      all.widest_head = &cable;
  }
  return all;
}

/// "2 x line balanced", each kind once.
std::string counted(const std::vector<const CableType*>& cables) {
  std::string text;
  for (std::size_t i = 0; i < cables.size();) {
    std::size_t count = 0;
    const CableType* cable = cables[i];
    for (; i < cables.size() && cables[i] == cable; ++i) ++count;
    text += (text.empty() ? "" : ", ") + std::to_string(count) + " " + cable->id;
  }
  return text;
}

/// By name what the job keeps room for, as far as it is there, then what else passes.
/// The most of up to `limit` for which `fits` holds, sought by halves: a bundle of hundreds takes
/// its time.
template <typename Fits>
int most_that_fit(int limit, const Fits& fits) {
  int most = 0;
  for (int step = limit; step > 0; step = step > 1 ? (step + 1) / 2 : 0)
    while (most + step <= limit && fits(most + step)) most += step;
  return most;
}

bool fits_hole(const std::vector<double>& diameters, double hole_m) {
  double squares = 0;
  for (const double diameter : diameters) squares += diameter * diameter;
  if (squares > hole_m * hole_m) return false;  // not even by area: laying many takes time
  return bundle_diameter(diameters) + kHoleClearance_m <= hole_m + 1e-9;
}

std::string later_words(const Passing& all, const std::vector<const CableType*>& kept,
                        double hole_m) {
  if (all.thickest == nullptr) return "";
  std::vector<double> diameters;
  std::vector<const CableType*> fitting;
  const auto with = [&](int count) {
    std::vector<double> more = all.diameters_m;
    for (int i = 0; i < count; ++i) more.push_back(kept[static_cast<std::size_t>(i)]->diameter_m);
    return more;
  };
  const int count = most_that_fit(static_cast<int>(kept.size()),
                                  [&](int some) { return fits_hole(with(some), hole_m); });
  diameters = with(count);
  fitting.assign(kept.begin(), kept.begin() + count);
  const std::string reserved = fitting.empty() ? "" : counted(fitting) + " (room kept as asked)";
  const int more = further_cables(diameters, all.thickest->diameter_m, hole_m);
  if (more == 0) return reserved.empty() ? "none" : reserved;
  return reserved + (reserved.empty() ? "" : ", then ") + std::to_string(more) + " more of " +
         all.thickest->id;
}

/// A hole through which as much passes as through this one with what lines it.
double open_m(const HoleRow& row, const HoleShape& shape, const Job& job) {
  if (shape.grommet < 0) return row.diameter_m;
  const double passes = element(job.catalogue.grommets, shape.grommet).passes_m;
  return std::min(row.diameter_m, passes + kHoleClearance_m);
}

/// What the hole's size comes from.
std::string size_words(const HoleRow& row, const Passing& all, double with_spare_m) {
  if (row.existing) return "exists";
  if (row.cut_already && row.built_m > 0) return "as recorded";
  if (row.diameter_m > row.bare_m + 1e-6) return "its grommet";
  const double head = all.widest_head == nullptr ? 0 : head_diagonal_m(*all.widest_head);
  if (with_spare_m > std::max(row.bundle_m + kHoleClearance_m, head) + 1e-6)
    return "bundle with room for later";
  if (all.widest_head != nullptr &&
      head_diagonal_m(*all.widest_head) > row.bundle_m + kHoleClearance_m)
    return "head of " + all.widest_head->id;
  return "bundle";
}

std::string seal_words(const Crossing& crossing) {
  switch (crossing.kind) {
    case CrossingKind::tile_cut:
      return "In a fire-rated ceiling: a tested seal.";
    case CrossingKind::wall_plate:
    case CrossingKind::plate_hole:
      return "Seal round the cables; where the wall is fire-rated, a tested seal, not just caulk.";
    case CrossingKind::existing_hole:
    case CrossingKind::grommet:
    case CrossingKind::conduit_mouth:
      break;
  }
  return "";
}

/// Two walls to measure from, square to each other: in the plane of the crossing.
struct FromWalls {
  std::optional<WallDistance> first, second;
};

FromWalls from_walls(const Room& room, const Crossing& crossing, const Vec3& centre) {
  const Vec3 inside = centre - 0.02 * crossing.frame.n;  // on the side one measures from
  if (std::fabs(crossing.frame.n.z) < 0.5)
    return {nearest_wall(room, inside, crossing.frame.u), std::nullopt};
  return {nearest_wall(room, inside, crossing.frame.u),
          nearest_wall(room, inside, crossing.frame.v)};
}

Cell wall_name(const Room& room, const std::optional<WallDistance>& wall) {
  return wall ? Cell{element(room.sheets, wall->sheet).name} : Cell{std::string()};
}
Cell wall_distance(const std::optional<WallDistance>& wall) {
  return wall ? Cell{wall->metres} : Cell{};
}

std::vector<Column> hole_columns() {
  return {{"hole", "Hole"},
          {"kind", "Kind"},
          {"in", "In"},
          {"state", "State"},
          {"row", "Tile row"},
          {"column", "Tile column", ColumnKind::count},
          {"corner", "Counted from the corner of"},
          {"side_1", "First side of the tile"},
          {"from_side_1_m", "From the first side", ColumnKind::length},
          {"side_2", "Second side of the tile"},
          {"from_side_2_m", "From the second side", ColumnKind::length},
          {"wall_1", "First wall"},
          {"from_wall_1_m", "From the first wall", ColumnKind::length},
          {"wall_2", "Second wall"},
          {"from_wall_2_m", "From the second wall", ColumnKind::length},
          {"height_m", "Height above the floor", ColumnKind::length},
          {"diameter_m", "Diameter", ColumnKind::size},
          {"bundle_m", "Bundle", ColumnKind::size},
          {"set_by", "Diameter set by"},
          {"grommet", "Grommet"},
          {"runs", "Who passes"},
          {"later", "What may be added later"},
          {"seal", "Seal"},
          {"done", "Done", ColumnKind::tick}};
}

}  // namespace

int further_cables(const std::vector<double>& diameters_m, double further_m, double hole_m) {
  if (further_m <= 0) return 0;
  return most_that_fit(kMostFurther, [&](int more) {
    std::vector<double> all = diameters_m;
    all.insert(all.end(), static_cast<std::size_t>(more), further_m);
    return fits_hole(all, hole_m);
  });
}

std::string hole_state(const HoleRow& row, DisplayUnits units) {
  return row.existing              ? "exists"
         : row.to_widen()          ? "to widen: cut " + size_text(row.built_m, units)
         : row.cut_already         ? "cut already"
         : row.larger_than_allowed ? "larger than allowed here"
                                   : "to cut";
}

Table hole_table(const Takeoff& takeoff, const CableShapes& shapes, const Ends& ends,
                 const Room& room, const Job& job) {
  Table table{
      "hole_schedule",
      "Hole schedule",
      "Mark from the tile's sides and check against the walls before you cut. Tile rows are "
      "letters, columns numbers. What may be added later: the cables that the "
      "job keeps room for, by name, and how many of the thickest kind still pass beside all those.",
      hole_columns(),
      {}};
  for (std::size_t i = 0; i < takeoff.holes.size(); ++i) {
    const HoleRow& row = takeoff.holes[i];
    const HoleShape& shape = shapes.holes[i];
    const Crossing& crossing = element(room.crossings, shape.crossing);
    const TileOf in = tile_of(crossing, room);
    const Passing all = passing(shape, ends, job);
    const TileSides sides =
        in.tile == nullptr ? TileSides{} : tile_sides(room, *in.grid, row.centre);
    const FromWalls walls = from_walls(room, crossing, row.centre);
    std::string lining = shape.grommet < 0 ? "" : element(job.catalogue.grommets, shape.grommet).id;
    if (!lining.empty() && !row.cut_already && row.diameter_m > row.bare_m + 1e-6)
      lining += " (" + size_text(row.bare_m, job.units) + " without)";
    if (!row.no_grommet.empty())
      lining = "none fits: line its edge otherwise (planned " + row.no_grommet + ")";
    std::string letters;
    if (in.tile != nullptr)
      letters = in.tile->name.substr(0, in.tile->name.find_first_of("0123456789"));
    table.rows.push_back(
        {row.name,
         row.kind,
         row.crossing,
         hole_state(row, job.units),
         letters,
         in.tile == nullptr ? Cell{} : number_cell(in.tile->id.column + 1),
         in.grid == nullptr ? std::string() : grid_corner(room, *in.grid),
         sides.first,
         in.tile == nullptr ? Cell{} : Cell{row.from_edge_u_m},
         sides.second,
         in.tile == nullptr ? Cell{} : Cell{row.from_edge_v_m},
         wall_name(room, walls.first),
         wall_distance(walls.first),
         wall_name(room, walls.second),
         wall_distance(walls.second),
         row.centre.z - room.floor_z_m,
         row.diameter_m,
         row.bundle_m,
         size_words(row, all, spare_hole_m(all.diameters_m, shape.runs, ends, job)),
         lining,
         listed(row.runs, ", "),
         later_words(all, spare_cables(shape.runs, ends, job), open_m(row, shape, job)),
         seal_words(crossing),
         tick_cell()});
  }
  return table;
}

}  // namespace roomloom
