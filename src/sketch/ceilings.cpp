#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "sketch/under_slopes.h"
#include "sketch/workshop.h"

namespace roomloom {
namespace {

constexpr double kMostTiles = 20000;

/// The solid over a plan ring between a plane and the same plane raised.
Faces raised(const Ring& ring, const CeilingPlane& plane, double by) {
  std::vector<Vec3> low;
  for (const Vec2& p : ring) low.push_back({p.x, p.y, plane.z(p)});
  std::vector<Vec3> high;
  for (const Vec3& p : low) high.push_back(p + Vec3{0, 0, by});
  Faces faces{{{low.rbegin(), low.rend()}, {}}, {high, {}}};
  for (std::size_t i = 0; i < low.size(); ++i) {
    const std::size_t next = (i + 1) % low.size();
    faces.push_back({{low[i], low[next], high[next], high[i]}, {}});
  }
  return faces;
}

std::string numbered(const std::string& name, std::size_t index) {
  return index == 0 ? name : name + " (" + std::to_string(index + 1) + ")";
}

/// What is let into the suspended ceiling.
struct Footprint {
  const CeilingThingSketch* sketch = nullptr;
  Ring ring;
};

struct Cell {
  int row = 0, column = 0;
  std::string name;  ///< "B3"
  Vec2 low, high;
  std::vector<Ring> pieces;  ///< inside the room's outline
};

/// A, B, ... Z, AA, AB, ...
std::string row_letters(int row) {
  std::string text;
  for (int n = row + 1; n > 0; n = (n - 1) / 26)
    text.insert(text.begin(), static_cast<char>('A' + (n - 1) % 26));
  return text;
}

Box3 plan_box(const Ring& ring) {
  Box3 box;
  for (const Vec2& p : ring) box.add(Vec3{p.x, p.y, 0});
  return box;
}

/// @param first_row, first_column  where counting begins
void name_cells(std::vector<Cell>& cells, int first_row, int first_column) {
  for (Cell& cell : cells)
    cell.name = row_letters(cell.row - first_row) + std::to_string(cell.column - first_column + 1);
}

/// @param planes  of the room: what a slope leaves of a tile may be too small to be one. Tiles that
///                are parts of their own are counted from the first that there is, as whoever reads
///                the model counts them.
std::vector<Cell> grid_cells(const SuspendedCeilingSketch& ceiling, const std::vector<Ring>& rings,
                             const std::vector<CeilingPlane>& planes) {
  const auto is_shaving = [&](const Ring& piece) {
    return signed_area(piece) < kLeastPiece_m2 &&
           std::any_of(piece.begin(), piece.end(), [&](const Vec2& p) {
             return lowest_z(planes, p) < ceiling.height_m + ceiling.thickness_m;
           });
  };
  Box3 box;
  for (const Ring& ring : rings)
    for (const Vec2& p : ring) box.add(Vec3{p.x, p.y, 0});
  const double px = ceiling.tile_m[0], py = ceiling.tile_m[1];
  const double gx = ceiling.grid_from_m[0], gy = ceiling.grid_from_m[1];
  const double x0 = gx + px * std::floor((box.low.x - gx) / px + 1e-6);
  const double y0 = gy + py * std::floor((box.low.y - gy) / py + 1e-6);
  std::vector<Cell> cells;
  for (int row = 0; y0 + row * py < box.high.y - 1e-6; ++row) {
    for (int column = 0; x0 + column * px < box.high.x - 1e-6; ++column) {
      const Vec2 low{x0 + column * px, y0 + row * py};
      const Vec2 high = low + Vec2{px, py};
      std::vector<Ring> pieces;
      for (const Ring& ring : rings) {
        const auto kept = cut(ring, low, high);
        pieces.insert(pieces.end(), kept.begin(), kept.end());
      }
      std::erase_if(pieces, is_shaving);
      if (!pieces.empty()) cells.push_back({row, column, "", low, high, pieces});
    }
  }
  int first_row = 0, first_column = 0;
  if (ceiling.tile_by_tile && !cells.empty()) {
    first_row = cells.front().row;
    first_column = std::min_element(cells.begin(), cells.end(), [](const Cell& a, const Cell& b) {
                     return a.column < b.column;
                   })->column;
  }
  name_cells(cells, first_row, first_column);
  return cells;
}

double total_area(const std::vector<Ring>& rings) {
  double sum = 0;
  for (const Ring& ring : rings) sum += signed_area(ring);
  return sum;
}

/// The ceiling of tiles, and what is let into it.
class TileCeiling {
 public:
  TileCeiling(Workshop& shop, const SuspendedCeilingSketch& ceiling, std::vector<Ring> rings)
      : shop_(shop),
        ceiling_(ceiling),
        rings_(std::move(rings)),
        cells_(grid_cells(ceiling, rings_, shop.planes)) {}

  void make() {
    for (const CeilingThingSketch& thing : shop_.sketch.ceiling_things)
      if (!thing.up_m) place(thing);
    if (ceiling_.tile_by_tile)
      make_tiles();
    else
      make_sheet();
    for (const Footprint& footprint : footprints_) make_thing(footprint);
  }

 private:
  void place(const CeilingThingSketch& thing) {
    Vec2 centre{thing.at_m[0], thing.at_m[1]};
    if (!thing.tile.empty()) {
      const auto cell = std::find_if(cells_.begin(), cells_.end(),
                                     [&](const Cell& c) { return c.name == thing.tile; });
      if (cell == cells_.end()) {
        std::vector<std::string> names;
        for (const Cell& c : cells_) names.push_back(c.name);
        shop_.complain(thing.name, "There is no tile \"" + thing.tile + "\".",
                       suggestion(thing.tile, names));
        return;
      }
      centre = 0.5 * (cell->low + cell->high);
    }
    const bool whole = thing.size_m[0] == 0;
    const Vec2 size = whole ? Vec2{ceiling_.tile_m[0], ceiling_.tile_m[1]}
                            : Vec2{thing.size_m[0], thing.size_m[1]};
    Footprint footprint{&thing, rectangle(centre - 0.5 * size, centre + 0.5 * size)};
    if (thing.diameter_m > 0) footprint.ring = regular_ring(centre, thing.diameter_m);
    if (!fits(footprint)) return;
    if (!ceiling_.tile_by_tile && touches_another(footprint)) leave_web(footprint);
    footprints_.push_back(footprint);
  }

  bool touches_another(const Footprint& footprint) const {
    const Box3 box = plan_box(footprint.ring).grown(1e-6);
    return std::any_of(footprints_.begin(), footprints_.end(),
                       [&](const Footprint& other) { return box.overlaps(plan_box(other.ring)); });
  }

  /// Between neighbours in a sheet stands the web of the grid's tee: without it two holes would
  /// share an edge, and the sheet would be no solid.
  static void leave_web(Footprint& footprint) {
    constexpr double kWeb_m = 0.001;
    const Vec3 middle = plan_box(footprint.ring).centre();
    for (Vec2& p : footprint.ring)
      p = p - Vec2{std::copysign(kWeb_m, p.x - middle.x), std::copysign(kWeb_m, p.y - middle.y)};
  }

  bool fits(const Footprint& footprint) {
    const std::vector<Ring> whole = under_slopes(rings_, shop_.planes, top_m());
    const auto lies_in = [&](const Ring& ring) {
      return std::all_of(footprint.ring.begin(), footprint.ring.end(), [&](const Vec2& p) {
        return contains(ring, p) && border_distance({ring, {}}, p) > 0.001;
      });
    };
    if (std::none_of(whole.begin(), whole.end(), lies_in)) {
      shop_.complain(footprint.sketch->name, "It reaches beyond the ceiling.",
                     "Choose a whole tile, or move it inwards; where no ceiling is, \"up\" hangs "
                     "it.");
      return false;
    }
    const Box3 box = plan_box(footprint.ring);
    for (const Footprint& other : footprints_) {
      const Box3 theirs = plan_box(other.ring);
      if (!box.grown(-1e-6).overlaps(theirs)) continue;
      shop_.complain(footprint.sketch->name, "It overlaps \"" + other.sketch->name + "\".",
                     "Move one of them to another tile.");
      return false;
    }
    return true;
  }

  void make_sheet() {
    for (std::size_t i = 0; i < rings_.size(); ++i)
      make_piece(numbered(ceiling_.name, i), rings_[i]);
  }

  void make_piece(const std::string& name, const Ring& ring) {
    Polygon plan{ring, {}};
    for (const Footprint& footprint : footprints_)
      if (contains(ring, footprint.ring.front()))
        plan.holes.push_back({footprint.ring.rbegin(), footprint.ring.rend()});
    SolidPart& part = shop_.add(name, "suspended ceiling", slab(plan));
    // Tenths of a millimetre: a 2 ft tile measures 609.6 mm.
    const auto exact = [](double value) { return format_length(value, DisplayUnits::metric, 4); };
    part.extras["tile"] = exact(ceiling_.tile_m[0]) + " x " + exact(ceiling_.tile_m[1]);
    part.extras["grid_from"] =
        exact(ceiling_.grid_from_m[0]) + ", " + exact(ceiling_.grid_from_m[1]);
  }

  void make_tiles() {
    for (const Cell& cell : cells_)
      for (std::size_t i = 0; i < cell.pieces.size(); ++i)
        make_tile(numbered("Tile " + cell.name, i), cell.pieces[i]);
  }

  /// A thing takes whole tiles away, or leaves a hole in one.
  void make_tile(const std::string& name, const Ring& ring) {
    Polygon plan{ring, {}};
    const double whole = signed_area(ring);
    for (const Footprint& footprint : footprints_) {
      const Box3 box = plan_box(footprint.ring);
      const double covered =
          total_area(cut(ring, {box.low.x, box.low.y}, {box.high.x, box.high.y}));
      if (covered < 1e-9) continue;
      if (covered > whole - 1e-9) return;
      const bool inside = std::all_of(footprint.ring.begin(), footprint.ring.end(), [&](Vec2 p) {
        return contains(ring, p) && border_distance({ring, {}}, p) > 0.001;
      });
      if (inside)
        plan.holes.push_back({footprint.ring.rbegin(), footprint.ring.rend()});
      else
        shop_.complain(footprint.sketch->name, "It covers a part of \"" + name + "\".",
                       "Let it cover whole tiles, or lie within one.");
    }
    shop_.add(name, "suspended ceiling", slab(plan));
  }

  Faces slab(const Polygon& plan) const {
    return slab_under(plan, ceiling_.height_m, top_m(), shop_.planes);
  }

  double top_m() const { return ceiling_.height_m + ceiling_.thickness_m; }

  void make_thing(const Footprint& footprint) {
    constexpr const char* kKinds[] = {"luminaire", "vent", "hole"};
    const CeilingThingSketch& thing = *footprint.sketch;
    const bool hole = thing.kind == CeilingThingKind::hole;
    const double height = hole ? ceiling_.thickness_m : thing.height_m;
    SolidPart& part =
        shop_.add(thing.name, kKinds[static_cast<int>(thing.kind)],
                  prism({footprint.ring, {}}, ceiling_.height_m, ceiling_.height_m + height));
    part.extras["in"] = ceiling_.name;
    if (hole && thing.diameter_m > 0) part.extras["inside_diameter"] = metres(thing.diameter_m);
  }

  Workshop& shop_;
  const SuspendedCeilingSketch& ceiling_;
  std::vector<Ring> rings_;  ///< the lower face
  std::vector<Cell> cells_;
  std::vector<Footprint> footprints_;
};

bool below_the_slab(Workshop& shop, const SuspendedCeilingSketch& ceiling) {
  if (ceiling.height_m <= 0 || ceiling.thickness_m <= 0 || ceiling.tile_m[0] < 0.05 ||
      ceiling.tile_m[1] < 0.05) {
    shop.complain(ceiling.name, "Its height, thickness or tile size is too small.",
                  "Tiles are 50 mm at least; usual are 600 mm by 600 mm.");
    return false;
  }
  const Vec3 size = plan_box(shop.plan.inside).size();
  if (size.x / ceiling.tile_m[0] * (size.y / ceiling.tile_m[1]) > kMostTiles) {
    shop.complain(ceiling.name, "It would have more than 20,000 tiles.",
                  "Check the units of the tile size and of the room.");
    return false;
  }
  if (shop.sketch.height_m <= ceiling.height_m + ceiling.thickness_m) {
    shop.complain(ceiling.name,
                  "Its upper face, " + metres(ceiling.height_m + ceiling.thickness_m) +
                      " over the floor, is not below the slab, " + metres(shop.sketch.height_m) +
                      " over it.",
                  "Check its \"height\" and the \"height\" of the room.");
    return false;
  }
  return true;
}

/// Whether a ring lies within another, borders included; told by its corners and those of the other
/// that lie within it.
bool lies_within(const Ring& inner, const Ring& outer) {
  constexpr double kOn_m = 0.001;
  const auto outside = [&](const Vec2& p) {
    return !contains(outer, p) && border_distance({outer, {}}, p) > kOn_m;
  };
  for (std::size_t i = 0; i < inner.size(); ++i) {
    const Vec2 a = inner[i], b = inner[(i + 1) % inner.size()];
    constexpr int kSteps = 50;
    for (int k = 0; k < kSteps; ++k)
      if (outside(a + (static_cast<double>(k) / kSteps) * (b - a))) return false;
  }
  return true;
}

/// The part of the room that the ceiling is over; none after a complaint.
std::vector<Ring> ring_over(Workshop& shop, const SuspendedCeilingSketch& ceiling) {
  const Ring& inside = shop.plan.inside;
  if (ceiling.over_m.empty()) return {inside};
  std::vector<Ring> rings;
  if (ceiling.over_m.size() == 2) {
    const Vec2 a = ceiling.over_m[0], b = ceiling.over_m[1];
    rings = cut(inside, {std::min(a.x, b.x), std::min(a.y, b.y)},
                {std::max(a.x, b.x), std::max(a.y, b.y)});
    std::erase_if(rings, [](const Ring& ring) { return signed_area(ring) < kLeastPiece_m2; });
    if (rings.empty())
      shop.complain(ceiling.name, "Nothing of the room lies under it.",
                    "\"over\" is two opposite corners, x to the right and y to the front of the "
                    "room's rear left.");
    return rings;
  }
  Ring ring = ceiling.over_m;
  if (signed_area(ring) < 0) std::reverse(ring.begin(), ring.end());
  if (signed_area(ring) < kLeastPiece_m2 || crosses_itself(ring)) {
    shop.complain(ceiling.name, "Its outline crosses itself or has no area.",
                  "List the corners of \"over\" in turn.");
    return {};
  }
  if (!lies_within(ring, inside)) {
    shop.complain(ceiling.name, "Its outline reaches beyond the room's walls.",
                  "Let its corners lie in the room or on its walls.");
    return {};
  }
  return {ring};
}

/// The lower faces of the ceiling: what it is over, as far as the slopes let it.
std::vector<Ring> ceiling_rings(Workshop& shop, const SuspendedCeilingSketch& ceiling) {
  const std::vector<Ring> over = ring_over(shop, ceiling);
  if (over.empty()) return {};
  std::vector<Ring> rings = under_slopes(over, shop.planes, ceiling.height_m);
  if (rings.empty())
    shop.complain(ceiling.name, "All of it would lie above the slopes.",
                  "Check its \"height\" and the knees and pitches of \"slopes\".");
  return rings;
}

/// Where there is no suspended ceiling, or the thing has a height of its own.
void hang(Workshop& shop, const CeilingThingSketch& thing) {
  if (!thing.up_m || thing.size_m[0] <= 0 || thing.size_m[1] <= 0) {
    shop.complain(thing.name, "It has no suspended ceiling to lie in.",
                  "Give \"up\" (floor to its lower side), \"at\" and \"size\".");
    return;
  }
  const Vec2 centre{thing.at_m[0], thing.at_m[1]};
  const Vec2 half{thing.size_m[0] / 2, thing.size_m[1] / 2};
  shop.add(thing.name, thing.kind == CeilingThingKind::vent ? "vent" : "luminaire",
           prism({rectangle(centre - half, centre + half), {}}, *thing.up_m,
                 *thing.up_m + thing.height_m));
}

}  // namespace

void add_floor_and_slab(Workshop& shop) {
  const RoomSketch& sketch = shop.sketch;
  shop.add(sketch.floor_name, "floor",
           prism({shop.plan.outside, {}}, -sketch.floor_thickness_m, 0));
  const auto regions = lowest_regions(shop.plan.outside, shop.planes);
  for (std::size_t k = 0; k < regions.size(); ++k) {
    const CeilingPlane& plane = shop.planes[k];
    const double upright =
        sketch.deck_thickness_m * std::sqrt(1 + dot(plane.gradient, plane.gradient));
    for (std::size_t i = 0; i < regions[k].size(); ++i)
      shop.add(numbered(plane.name, i), sketch.suspended_ceiling ? "deck" : "ceiling",
               raised(regions[k][i], plane, upright));
  }
}

void add_suspended_ceiling(Workshop& shop) {
  const auto& ceiling = shop.sketch.suspended_ceiling;
  if (ceiling && below_the_slab(shop, *ceiling)) {
    const std::vector<Ring> rings = ceiling_rings(shop, *ceiling);
    if (!rings.empty()) TileCeiling(shop, *ceiling, rings).make();
  }
  for (const CeilingThingSketch& thing : shop.sketch.ceiling_things)
    if (!ceiling || thing.up_m) hang(shop, thing);
}

}  // namespace roomloom
