#include "takeoff/standing.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/steps.h"
#include "takeoff/cells.h"
#include "takeoff/set_cover.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

constexpr double kFoot_m = 0.3;  // half of a step ladder's stand: common practice, no source
constexpr double kGrid_m = 0.6;  // of spots where there are no tiles
constexpr double kBesideGrid_m = 0.3;

double level_distance(const Vec3& a, const Vec3& b) { return std::hypot(a.x - b.x, a.y - b.y); }

bool stands_in_gear(const Vec3& at, const GearBox& gear) {
  const Vec3 local = gear.frame.to_local(at);
  return local.x > -kFoot_m && local.x < gear.size.x + kFoot_m && local.y > -kFoot_m &&
         local.y < gear.size.y + kFoot_m;
}

bool in_box(const Vec3& at, const Box3& box) {
  return at.x > box.low.x - kFoot_m && at.x < box.high.x + kFoot_m && at.y > box.low.y - kFoot_m &&
         at.y < box.high.y + kFoot_m;
}

bool on_floor(const Vec3& at, const Room& room) {
  for (const Sheet& sheet : room.sheets) {
    if (sheet.role != SheetRole::floor) continue;
    const Vec2 p = sheet.frame.to_plane(at);
    if (!contains(sheet.region, p) || border_distance(sheet.region, p) < kFoot_m - 1e-6) continue;
    const bool kept = std::any_of(
        sheet.keep_outs.begin(), sheet.keep_outs.end(), [&](const SheetKeepOut& keep_out) {
          const Polygon shape{keep_out.ring, {}};
          return contains(shape, p) || border_distance(shape, p) < kFoot_m;
        });
    if (!kept) return true;
  }
  return false;
}

bool is_free(const Vec3& at, const Room& room, const Ends& ends) {
  if (!on_floor(at, room)) return false;
  for (const GearBox& gear : ends.gear)
    if (stands_in_gear(at, gear)) return false;
  return std::none_of(room.swept.begin(), room.swept.end(), [&](const Swept& one) {
    return one.kind != MovingKind::walkway && in_box(at, box_of(one.space));
  });
}

void add_tile_spots(std::vector<Spot>& spots, const Room& room, const Ends& ends) {
  for (std::size_t g = 0; g < room.grids.size(); ++g) {
    const TileGrid& grid = room.grids[g];
    const Frame& frame = element(room.sheets, grid.sheet).frame;
    for (const Tile& tile : grid.tiles) {
      if (!tile.cuttable || tile.ring.size() < 3) continue;
      Vec3 at = frame.to_world(centroid(tile.ring));
      at.z = room.floor_z_m;
      spots.push_back({at, tile.name, static_cast<int>(g), is_free(at, room, ends)});
    }
  }
}

/// Spots beside the tiles, for what hangs under a ceiling or high on a wall.
void add_grid_spots(std::vector<Spot>& spots, const Room& room, const Ends& ends) {
  const Vec3 size = room.box.size();
  if (room.box.empty()) return;
  for (const double y : steps_below(kGrid_m / 2, size.y, kGrid_m)) {
    for (const double x : steps_below(kGrid_m / 2, size.x, kGrid_m)) {
      const Vec3 at{room.box.low.x + x, room.box.low.y + y, room.floor_z_m};
      const bool near = std::any_of(spots.begin(), spots.end(), [&](const Spot& spot) {
        return level_distance(spot.floor, at) < kBesideGrid_m;
      });
      if (!near && is_free(at, room, ends)) spots.push_back({at, "", -1, true});
    }
  }
}

bool reaches(const Spot& spot, const HighPoint& point, double reach_m) {
  if (point.over_ceiling && spot.tile.empty()) return false;
  const double x = spot.floor.x - point.at.x, y = spot.floor.y - point.at.y;
  return x * x + y * y <= (reach_m + 1e-9) * (reach_m + 1e-9);
}

int nearest_spot(const HighPoint& point, const std::vector<Spot>& spots) {
  int best = -1;
  for (std::size_t s = 0; s < spots.size(); ++s) {
    if (point.over_ceiling && spots[s].tile.empty()) continue;
    if (best < 0 || level_distance(spots[s].floor, point.at) <
                        level_distance(element(spots, best).floor, point.at) - 1e-9)
      best = static_cast<int>(s);
  }
  return best < 0 && !spots.empty() ? 0 : best;
}

}  // namespace

std::vector<Spot> standing_spots(const Room& room, const Ends& ends) {
  std::vector<Spot> spots;
  add_tile_spots(spots, room, ends);
  add_grid_spots(spots, room, ends);
  return spots;
}

std::vector<int> spots_for(const HighPoint& point, const std::vector<Spot>& spots, double reach_m) {
  std::vector<int> free, any;
  for (std::size_t s = 0; s < spots.size(); ++s) {
    if (!reaches(spots[s], point, reach_m)) continue;
    any.push_back(static_cast<int>(s));
    if (spots[s].free) free.push_back(static_cast<int>(s));
  }
  if (any.empty() && !spots.empty()) any.push_back(nearest_spot(point, spots));
  return free.empty() ? any : free;
}

Standing choose_standing(const std::vector<HighPoint>& points,
                         const std::vector<std::vector<int>>& reached_from,
                         const std::vector<Spot>& spots) {
  Standing standing;
  standing.spot_of.assign(points.size(), -1);
  std::map<int, std::vector<int>> points_of;  // by spot
  for (std::size_t p = 0; p < points.size(); ++p)
    for (const int s : reached_from[p]) points_of[s].push_back(static_cast<int>(p));
  if (points_of.empty()) return standing;
  std::vector<std::vector<int>> sets;
  std::vector<int> spot_of_set;
  for (auto& [spot, reached] : points_of) {
    spot_of_set.push_back(spot);
    sets.push_back(std::move(reached));
  }
  const SetCover cover = fewest_sets(static_cast<int>(points.size()), sets);
  standing.proven = cover.proven;
  for (const int set : cover.chosen) {
    const int s = element(spot_of_set, set);
    standing.spots.push_back(s);
    for (const int p : element(sets, set)) {
      int& spot = standing.spot_of[static_cast<std::size_t>(p)];
      const Vec3& at = element(points, p).at;
      if (spot < 0 || level_distance(element(spots, s).floor, at) <
                          level_distance(element(spots, spot).floor, at) - 1e-9)
        spot = s;
    }
  }
  return standing;
}

std::string spot_words(const Spot& spot, const Room& room, DisplayUnits units) {
  const Vec3 at = spot.floor + Vec3{0, 0, 0.5};
  std::vector<std::string> words;
  for (const Vec3& direction : {Vec3{1, 0, 0}, Vec3{0, 1, 0}}) {
    const auto wall = nearest_wall(room, at, direction);
    if (wall)
      words.push_back(format_length(wall->metres, units, 2) + " from " +
                      element(room.sheets, wall->sheet).name);
  }
  return listed(words, ", ");
}

}  // namespace roomloom
