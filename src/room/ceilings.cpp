#include "room/ceilings.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "base/steps.h"
#include "base/units.h"
#include "room/roles.h"
#include "room/room.h"

namespace roomloom {
namespace {

constexpr double kGuessedHeight = 0.4, kSampleStep = 0.25, kHighestVoid = 4.0;
constexpr double kThickestLayer = 0.2;

Ring mirrored(const Ring& ring) {
  Ring result;
  for (auto p = ring.rbegin(); p != ring.rend(); ++p) result.push_back({p->x, -p->y});
  return result;
}

bool solid_above(const AirField& field, const Room& room, const Vec3& point) {
  const auto [x, y, z] = field.voxels.cell_of(point);
  for (int up = 0; up < 3; ++up) {
    if (!field.voxels.inside(x, y, z + up)) return false;
    const std::int32_t pocket = field.voxels.label[field.voxels.index(x, y, z + up)];
    if (pocket < 0) continue;
    const int air = field.air[static_cast<std::size_t>(pocket)];
    if (air >= 0 && room.airs[static_cast<std::size_t>(air)].kind != AirKind::cupboard)
      return false;
  }
  return true;
}

// Holes of the sheet are kept where a column passes through, not where a luminaire sits.
Polygon plan_over(const Sheet& sheet, double top, const AirField& field, const Room& room) {
  Polygon plan{mirrored(sheet.region.outline), {}};
  for (const Ring& hole : sheet.region.holes) {
    Vec3 middle = sheet.frame.to_world(interior_point({{hole.rbegin(), hole.rend()}, {}}));
    middle.z = top + 0.06;
    if (std::abs(signed_area(hole)) > 0.01 && solid_above(field, room, middle))
      plan.holes.push_back(mirrored(hole));
  }
  return plan;
}

struct Heights {
  double least = Box3::kInf, most = 0;
  std::vector<double> under_bodies;  ///< that are walls, too: one a sample
  double under_decks = Box3::kInf;
  double least_level = Box3::kInf;  ///< under what lies level
  std::set<int> slopes;             ///< parts above that do not
  int body = -1;                    ///< a part above that is walls, too
  int hits = 0, samples = 0;
};

/// Slopes that come down to the tiles, or nearly so, leave a void between them, not one under the
/// lowest place.
bool come_down(const Heights& heights) {
  constexpr double kNearlyDown = 0.15;
  return !heights.slopes.empty() && heights.least < kNearlyDown;
}

bool is_level(const Scene& scene, const Skin& skin, std::uint32_t triangle) {
  const auto& [a, b, c] = skin.triangles[triangle];
  const Vec3 from = scene.points[a];
  const Vec3 n = cross(scene.points[b] - from, scene.points[c] - from);
  return std::abs(n.z) > 0.999 * norm(n);
}

/// The upper side of a solid, such as of a layer that the void lies on.
bool is_top(const Scene& scene, const Skin& skin, std::uint32_t triangle) {
  const auto& [a, b, c] = skin.triangles[triangle];
  const Vec3 from = scene.points[a];
  const auto part = static_cast<std::size_t>(skin.part[triangle]);
  return scene.parts[part].closure == Closure::oriented &&
         cross(scene.points[b] - from, scene.points[c] - from).z > 0;
}

/// How thick the layer of a larger body is whose underside is a sheet; empty where most of the
/// sheet is the underside of no solid, or of a thick one.
std::optional<double> layer_thickness(const Scene& scene, const Skin& skin, const Sheet& sheet) {
  constexpr double kOff = 0.001;
  const Box2 box = box_of(sheet.region.outline);
  std::vector<double> found;
  std::size_t samples = 0;
  for (const double v : steps_below(box.low.y + kOff, box.high.y, kSampleStep))
    for (const double u : steps_below(box.low.x + kOff, box.high.x, kSampleStep)) {
      if (!contains(sheet.region, {u, v})) continue;
      ++samples;
      const Vec3 from = sheet.frame.to_world(Vec2{u, v}, -kOff);
      const auto hit = skin.tree->first_hit(from, {0, 0, 1}, 0, kThickestLayer);
      if (hit && is_top(scene, skin, hit->triangle)) found.push_back(hit->t + kOff);
    }
  if (samples == 0 || found.size() * 2 < samples) return std::nullopt;
  std::sort(found.begin(), found.end());
  return found[found.size() / 2];
}

/// A body that is walls and slab may be ducts as well, which hang in the void rather than end it:
/// what lies over most of it does. Ducts are then in its way as walls are.
double height_under_bodies(std::vector<double> heights) {
  constexpr std::size_t kLowerShare = 4;  // one quarter of the samples
  std::sort(heights.begin(), heights.end());
  return heights[heights.size() / kLowerShare];
}

/// Whatever ends the void: a deck, or where there is none the underside of a body that is walls and
/// slab in one.
enum class Above { deck, any_structure };

bool is_above(Role role, Above above) {
  return role == Role::deck || role == Role::floor || role == Role::ceiling ||
         (above == Above::any_structure && role == Role::wall);
}

/// @param walls  that stand on the tiles, or through them
Heights heights_over(const Scene& scene, const Skin& skin, const std::vector<PartRole>& roles,
                     const Void& space, const std::vector<WallInVoid>& walls, Above above) {
  constexpr double kOnTheTiles = 0.02;
  Heights heights;
  const Box2 box = box_of(space.plan.outline);
  for (const double y : steps_below(box.low.y + 0.03, box.high.y, kSampleStep)) {
    for (const double x : steps_below(box.low.x + 0.03, box.high.x, kSampleStep)) {
      if (!contains(space.plan, {x, y}) || border_distance(space.plan, {x, y}) < 0.02) continue;
      if (std::any_of(walls.begin(), walls.end(), [&](const WallInVoid& wall) {
            return contains(wall.print, {x, y});
          }))
        continue;
      ++heights.samples;
      const Vec3 from = space.frame.to_world(Vec2{x, y}, 0.003);
      for (const RayHit& hit : skin.tree->hits(from, from + Vec3{0, 0, kHighestVoid})) {
        const int part = skin.part[hit.triangle];
        const Role role = roles[static_cast<std::size_t>(part)].role;
        if (!is_above(role, above)) continue;
        const double height = hit.t;
        if (role == Role::wall && height < kOnTheTiles) continue;
        if (role == Role::wall && height < kThickestLayer && is_top(scene, skin, hit.triangle))
          continue;
        if (role == Role::wall) {
          heights.body = part;
          heights.under_bodies.push_back(height + 0.003);
        } else {
          heights.under_decks = std::min(heights.under_decks, height + 0.003);
        }
        if (role == Role::wall || is_level(scene, skin, hit.triangle))
          heights.least_level = std::min(heights.least_level, height + 0.003);
        else
          heights.slopes.insert(part);
        heights.least = std::min(heights.least, height + 0.003);
        heights.most = std::max(heights.most, height + 0.003);
        ++heights.hits;
        break;
      }
    }
  }
  return heights;
}

/// @return  the slopes between which the void lies
std::set<int> set_height(const Scene& scene, const Job& job, const Skin& skin, Room& room,
                         Void& space) {
  const std::vector<WallInVoid> walls = walls_within(scene, room, space, 0.02, 0.05);
  Heights heights = heights_over(scene, skin, room.roles, space, walls, Above::deck);
  if (heights.hits * 2 >= heights.samples && come_down(heights)) {
    space.height_m = std::min(heights.least_level, heights.most);
    return heights.slopes;
  }
  const auto found = [&] {
    return heights.samples > 0 && heights.hits * 2 >= heights.samples && heights.least >= 0.02;
  };
  if (!found()) {
    heights = heights_over(scene, skin, room.roles, space, walls, Above::any_structure);
    if (!heights.under_bodies.empty())
      heights.least = std::min(heights.under_decks, height_under_bodies(heights.under_bodies));
    if (found() && heights.body >= 0)
      room.guesses.push_back({"Height of " + space.name, format_length(heights.least, job.units, 3),
                              "there is no deck of its own; \"" +
                                  display_name(scene, heights.body) +
                                  "\" is what lies over the suspended ceiling",
                              "add a deck to the model"});
  }
  if (!found()) {
    space.height_m = kGuessedHeight;
    room.guesses.push_back({"Height of " + space.name, format_length(kGuessedHeight, job.units, 2),
                            "no deck was found over most of the suspended ceiling",
                            "add the deck to the model, or name it: \"parts\": [{ \"match\": "
                            "\"...\", \"is\": \"deck\" }]"});
    return {};
  }
  space.height_m = heights.least;
  if (heights.most > heights.least + 0.02)
    room.guesses.push_back(
        {"Height of " + space.name,
         format_length(heights.least, job.units, 2) +
             (heights.body >= 0 ? ", under most of it" : ", its lowest place"),
         "the deck over it rises to " + format_length(heights.most, job.units, 2),
         "no setting; cables are planned under the lowest place"});
  return {};
}

/// A slope is in the way of all that lies higher than it: boxes from it to the void's top.
void add_slopes(const Scene& scene, const std::set<int>& slopes, Void& space) {
  constexpr double kUnderSlope = 0.03;
  for (const int part : slopes)
    for (Box3 box : boxes_in(scene, scene.parts[static_cast<std::size_t>(part)], space.frame)) {
      if (box.low.z > space.height_m - 0.005) continue;
      box.low.z = std::max(box.low.z, 0.0);
      box.high.z = space.height_m;
      space.obstacles.push_back({box, kUnderSlope, part, display_name(scene, part)});
    }
}

void add_obstacles(const Scene& scene, const Job& job, Room& room, Void& space) {
  const Region plan = region_of(space.plan);
  const Box2 bounds = box_of(plan);
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    const Role role = room.roles[i].role;
    if (role != Role::obstacle && role != Role::luminaire && role != Role::vent &&
        role != Role::conduit)
      continue;
    if (scene.parts[i].kind != PartKind::mesh) continue;
    const PartRule* rule = rule_of(job, room.roles[i]);
    for (Box3 box : boxes_in(scene, scene.parts[i], space.frame)) {
      if (box.high.z < 0.005 || box.low.z > space.height_m - 0.005) continue;
      if (box.high.x < bounds.low.x || box.low.x > bounds.high.x || box.high.y < bounds.low.y ||
          box.low.y > bounds.high.y)
        continue;
      box.low.z = std::max(box.low.z, 0.0);
      box.high.z = std::min(box.high.z, space.height_m);
      VoidObstacle obstacle;
      obstacle.box = box;
      obstacle.part = static_cast<int>(i);
      obstacle.name = display_name(scene, obstacle.part);
      obstacle.clearance_m =
          rule && rule->clearance_m ? *rule->clearance_m : job.prefer.obstacle_clearance_m;
      space.obstacles.push_back(std::move(obstacle));
    }
  }
}

// The lowest level keeps clear of the tiles; others pass over what stands in its way. Who lays
// cable on the tiles has no hooks, and the cable's middle just above them.
void set_levels(const Job& job, Room& room, Void& space) {
  constexpr double kHalfBundle = 0.02, kUnderDeck = 0.03, kHalfCable = 0.01;
  constexpr double kApart = 0.0399;  // less than 40 mm by more than rounding
  constexpr std::size_t kMostLevels = 5;
  double lowest = job.prefer.tile_clearance_m;
  space.supported = !job.prefer.lay_on_tiles;
  if (!space.supported) lowest = std::max(lowest, kHalfCable);
  if (lowest > space.height_m - kUnderDeck) {
    lowest = 0.5 * space.height_m;
    room.warnings.push_back("\"" + space.name + "\" is only " +
                            format_length(space.height_m, job.units, 3) +
                            " high: cables lie closer to the tiles than the clearance asked for.");
  }
  std::vector<double> over;
  for (const VoidObstacle& obstacle : space.obstacles) {
    const double margin = obstacle.clearance_m + kHalfBundle;
    if (obstacle.box.low.z - margin > lowest || obstacle.box.high.z + margin < lowest) continue;
    const double level = obstacle.box.high.z + margin;
    if (level < space.height_m - kUnderDeck) over.push_back(level);
  }
  std::sort(over.begin(), over.end());
  space.support_levels_m = {lowest};
  for (std::size_t i = 0; i < over.size(); ++i) {
    const bool last_of_group = i + 1 == over.size() || over[i + 1] > over[i] + kApart;
    if (last_of_group && over[i] > lowest + 0.01 && space.support_levels_m.size() < kMostLevels)
      space.support_levels_m.push_back(over[i]);
  }
}

void ask_about_air(const Scene& scene, const Job& job, const Sheet& sheet, Room& room,
                   Void& space) {
  const auto part = static_cast<std::size_t>(first_tile(scene, sheet));
  const PartRule* rule = rule_of(job, room.roles[part]);
  if (rule) space.handles_air = rule->handles_air;
  if (space.handles_air != HandlesAir::unknown) return;
  room.guesses.push_back({"Does " + space.name + " move air for heating or cooling?", "unknown",
                          "a model does not show it; only such a void needs plenum-rated cable",
                          "\"parts\": [{ \"match\": \"" + scene.parts[part].name +
                              "\", \"handles_air\": true }], or false"});
}

int plenum_air(const Room& room, const Void& space) {
  const Vec3 middle = space.frame.to_world(interior_point(space.plan), 0.5 * space.height_m);
  for (std::size_t i = 0; i < room.airs.size(); ++i)
    if (room.airs[i].kind == AirKind::plenum && room.airs[i].box.grown(0.1).contains(middle))
      return static_cast<int>(i);
  return -1;
}

Frame upward(const Sheet& sheet, double z) {
  Frame frame;
  frame.origin = {sheet.frame.origin.x, sheet.frame.origin.y, z};
  frame.n = {0, 0, 1};
  frame.u = sheet.frame.u;
  frame.v = cross(frame.n, frame.u);
  return frame;
}

// Low things over a tile: no hole right under them.
void keep_clear_of(const Void& space, Crossing& crossing) {
  const Box2 tile = box_of(crossing.region.outline);
  for (const VoidObstacle& obstacle : space.obstacles) {
    if (obstacle.box.low.z > 0.08) continue;
    const Box2 box{{obstacle.box.low.x, obstacle.box.low.y},
                   {obstacle.box.high.x, obstacle.box.high.y}};
    if (!box.grown(obstacle.clearance_m).overlaps(tile)) continue;
    crossing.keep_outs.push_back({rectangle_ring(box.low, box.high), obstacle.clearance_m,
                                  Role::obstacle, obstacle.part, obstacle.name});
  }
}

void add_tile_crossings(const Job& job, const TileGrid& grid, int space_index, Room& room) {
  const Sheet& sheet = room.sheets[static_cast<std::size_t>(grid.sheet)];
  const Void& space = room.voids[static_cast<std::size_t>(space_index)];
  for (const Tile& tile : grid.tiles) {
    if (!tile.cuttable) continue;
    Crossing crossing;
    crossing.name = "tile " + tile.name;
    crossing.kind = CrossingKind::tile_cut;
    crossing.from = {PlaceKind::sheet, grid.sheet};
    crossing.to = {PlaceKind::void_space, space_index};
    crossing.frame = upward(sheet, sheet.frame.origin.z);
    const auto shapes = polygons(grown({mirrored(tile.ring)}, -job.prefer.tee_margin_m));
    if (shapes.empty()) continue;
    crossing.region = shapes.front();
    crossing.thickness_m = grid.thickness_m;
    crossing.tile = tile.id;
    crossing.largest_diameter_m = job.prefer.largest_hole_m;
    keep_clear_of(space, crossing);
    room.crossings.push_back(std::move(crossing));
  }
}

}  // namespace

void find_ceilings(const Scene& scene, const Job& job, const Skin& skin, const AirField& field,
                   Room& room) {
  for (int index = 0; index < static_cast<int>(room.sheets.size()); ++index) {
    if (room.sheets[static_cast<std::size_t>(index)].role != SheetRole::suspended_ceiling) continue;
    TileGrid grid = tile_grid(scene, job, index, room);
    const Sheet& sheet = room.sheets[static_cast<std::size_t>(index)];
    if (is_stated(scene.parts[static_cast<std::size_t>(first_tile(scene, sheet))]))
      grid.thickness_m = layer_thickness(scene, skin, sheet).value_or(grid.thickness_m);
    Void space;
    const int number = static_cast<int>(room.grids.size()) + 1;
    space.name = number == 1 ? "plenum" : "plenum " + std::to_string(number);
    space.kind = VoidKind::plenum;
    const double top = sheet.frame.origin.z + grid.thickness_m;
    space.frame = upward(sheet, top);
    space.plan = plan_over(sheet, top, field, room);
    space.below = index;
    const std::set<int> slopes = set_height(scene, job, skin, room, space);
    add_slopes(scene, slopes, space);
    add_walls(scene, job, room, space);
    add_obstacles(scene, job, room, space);
    set_levels(job, room, space);
    ask_about_air(scene, job, sheet, room, space);
    space.air = plenum_air(room, space);
    if (sheet.back_air < 0) room.sheets[static_cast<std::size_t>(index)].back_air = space.air;
    room.voids.push_back(std::move(space));
    add_tile_crossings(job, grid, static_cast<int>(room.voids.size()) - 1, room);
    room.grids.push_back(std::move(grid));
  }
}

}  // namespace roomloom
