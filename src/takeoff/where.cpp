#include "takeoff/where.h"

#include <cmath>
#include <cstdio>

#include "takeoff/cells.h"

namespace roomloom {
namespace {

struct Extent {
  Vec2 low, high;
};

Extent extent_of(const Ring& ring) {
  Extent all{{1e30, 1e30}, {-1e30, -1e30}};
  for (const Vec2& p : ring) {
    all.low = {std::min(all.low.x, p.x), std::min(all.low.y, p.y)};
    all.high = {std::max(all.high.x, p.x), std::max(all.high.y, p.y)};
  }
  return all;
}

/// A ceiling that one looks up to: its v runs against the plan's y, and its near edge is the upper.
bool counts_down(const Sheet& sheet) {
  constexpr double kLevel = 0.985;  // within 10 degrees, as jobs measure
  return sheet.frame.n.z < -kLevel;
}

bool is_wall(const Sheet& sheet) { return sheet.role == SheetRole::wall; }

int shown(float linear) {  // IEC 61966-2-1
  const double x = std::clamp(static_cast<double>(linear), 0.0, 1.0);
  const double s = x <= 0.0031308 ? 12.92 * x : 1.055 * std::pow(x, 1 / 2.4) - 0.055;
  return static_cast<int>(std::lround(255 * s));
}

}  // namespace

bool nearer_to_right(const Room& room, int sheet, const Vec3& point) {
  const Sheet& on = element(room.sheets, sheet);
  const Extent all = extent_of(on.region.outline);
  return on.frame.to_plane(point).x > 0.5 * (all.low.x + all.high.x);
}

SheetMeasure measure_on(const Room& room, int sheet, const Vec3& point, bool from_right) {
  const Sheet& on = element(room.sheets, sheet);
  const Extent all = extent_of(on.region.outline);
  const Vec2 at = on.frame.to_plane(point);
  return {from_right, from_right ? all.high.x - at.x : at.x - all.low.x,
          is_wall(on)       ? point.z - room.floor_z_m
          : counts_down(on) ? all.high.y - at.y
                            : at.y - all.low.y};
}

Vec2 point_measured(const Room& room, int sheet, bool from_right, double along_m, double up_m) {
  const Sheet& on = element(room.sheets, sheet);
  const Extent all = extent_of(on.region.outline);
  const bool upright = is_wall(on) && std::fabs(on.frame.v.z) > 0.01;
  return {from_right ? all.high.x - along_m : all.low.x + along_m,
          upright           ? (room.floor_z_m + up_m - on.frame.origin.z) / on.frame.v.z
          : counts_down(on) ? all.high.y - up_m
                            : all.low.y + up_m};
}

namespace {

template <typename Square>
std::optional<WallDistance> nearest_wall_of(const Room& room, const Vec3& point, Square square) {
  std::optional<WallDistance> nearest;
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    if (!is_wall(sheet) || !square(sheet)) continue;
    const double away = sheet.frame.height(point);
    const Extent all = extent_of(sheet.region.outline);
    const double along = sheet.frame.to_plane(point).x;
    if (away < -1e-6 || along < all.low.x - 0.01 || along > all.high.x + 0.01) continue;
    if (!nearest || away < nearest->metres - 1e-9) nearest = {static_cast<int>(i), away};
  }
  return nearest;
}

constexpr double kSquare = 0.985;  // cosine of 10 degrees
constexpr double kFacing = 0.85;   // of 32: tiles need not be square to the walls

}  // namespace

std::optional<WallDistance> nearest_wall(const Room& room, const Vec3& point,
                                         const Vec3& direction) {
  return nearest_wall_of(room, point, [&](const Sheet& sheet) {
    return std::fabs(dot(sheet.frame.n, direction)) >= kSquare;
  });
}

std::string wall_toward(const Room& room, const Vec3& point, const Vec3& direction) {
  const auto wall = nearest_wall_of(
      room, point, [&](const Sheet& sheet) { return -dot(sheet.frame.n, direction) >= kFacing; });
  return wall ? element(room.sheets, wall->sheet).name : "";
}

std::string grid_corner(const Room& room, const TileGrid& grid) {
  const Tile* first = nullptr;
  for (const Tile& tile : grid.tiles)
    if (first == nullptr || tile.id.row + tile.id.column < first->id.row + first->id.column)
      first = &tile;
  if (first == nullptr || first->ring.empty()) return "";
  const Sheet& ceiling = element(room.sheets, grid.sheet);
  const Vec3 middle = ceiling.frame.to_world(centroid(first->ring));
  const auto across = nearest_wall(room, middle, ceiling.frame.v);
  const auto beside = nearest_wall(room, middle, ceiling.frame.u);
  std::vector<std::string> walls;
  for (const auto& wall : {across, beside})
    if (wall) walls.push_back(element(room.sheets, wall->sheet).name);
  return listed(walls, " and ");
}

TileSides tile_sides(const Room& room, const TileGrid& grid, const Vec3& point) {
  const Frame& frame = element(room.sheets, grid.sheet).frame;
  const auto side = [&](const Vec3& direction, const char* otherwise) {
    const std::string wall = wall_toward(room, point, direction);
    return wall.empty() ? otherwise : "toward " + wall;
  };
  return {side(-1 * frame.u, "of lower column numbers"), side(-1 * frame.v, "of earlier letters")};
}

TileOf tile_of(const Crossing& crossing, const Room& room) {
  if (!crossing.tile) return {};
  for (const TileGrid& grid : room.grids)
    for (const Tile& tile : grid.tiles)
      if (tile.id == *crossing.tile &&
          (crossing.from.kind != PlaceKind::sheet || crossing.from.index == grid.sheet))
        return {&grid, &tile};
  return {};
}

std::string sheet_colour(const Sheet& sheet, const Scene* scene) {
  if (scene == nullptr) return "";
  for (const int part : sheet.parts) {
    const auto& colour = element(scene->parts, part).colour;
    if (!colour) continue;
    char text[8];
    std::snprintf(text, sizeof text, "#%02x%02x%02x", static_cast<unsigned>(shown(colour->r)),
                  static_cast<unsigned>(shown(colour->g)), static_cast<unsigned>(shown(colour->b)));
    return text;
  }
  return "";
}

}  // namespace roomloom
