#include <algorithm>

#include "base/steps.h"
#include "room/ceilings.h"
#include "room/roles.h"

namespace roomloom {
namespace {

constexpr double kRoundIt = 0.05;  // nearer to its border a wall is round a void, not in it

/// Boxes that cover a region, cut across where one would be much larger.
std::vector<Box2> boxes_over(const Region& region) {
  constexpr double kStrip = 0.15;
  const Box2 whole = box_of(region);
  const Vec2 size = whole.high - whole.low;
  if (area(region) > 0.8 * size.x * size.y) return {whole};
  std::vector<Box2> boxes;
  const bool along_x = size.x >= size.y;
  for (const double from : along_x ? steps_below(whole.low.x, whole.high.x, kStrip)
                                   : steps_below(whole.low.y, whole.high.y, kStrip)) {
    const Box2 strip = along_x ? Box2{{from, whole.low.y}, {from + kStrip, whole.high.y}}
                               : Box2{{whole.low.x, from}, {whole.high.x, from + kStrip}};
    for (const Polygon& piece : polygons(common(region, {rectangle_ring(strip.low, strip.high)})))
      boxes.push_back(box_of(piece.outline));
  }
  return boxes;
}

}  // namespace

std::vector<WallInVoid> walls_within(const Scene& scene, const Room& room, const Void& space,
                                     double from_m, double to_m) {
  constexpr double kEnclosing = 0.5;  // of its area: a body that is all walls of a small room
  std::vector<WallInVoid> walls;
  const Region plan = region_of(space.plan), inner = grown(plan, -kRoundIt);
  Frame over = space.frame;
  over.origin = space.frame.to_world({0, 0, from_m});
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    if (room.roles[i].role != Role::wall || scene.parts[i].kind != PartKind::mesh) continue;
    const Region print = footprint_on(scene, scene.parts[i], over, 0, to_m - from_m);
    const Region within = common(print, inner);
    if (within.empty() || area(within) > kEnclosing * area(inner)) continue;
    // With what of it is at the border: no cable slips through there.
    walls.push_back(
        {static_cast<int>(i), common(common(print, plan), grown(within, kRoundIt + 1e-3))});
  }
  return walls;
}

void add_walls(const Scene& scene, const Job& job, Room& room, Void& space) {
  constexpr double kOff = 0.02;  // the tiles and what lies over the void
  constexpr double kLeast = 0.05, kTouch = 1e-3;
  // The body's own faces under the void and over it are no part of what stands there.
  constexpr double kFace = 0.01;
  if (space.height_m < 3 * kOff) return;
  // Their heights are measured off the border: a body's faces there are walls round the void.
  Box2 inside = box_of(space.plan.outline);
  inside.low = inside.low + Vec2{kRoundIt, kRoundIt};
  inside.high = inside.high - Vec2{kRoundIt, kRoundIt};
  for (const WallInVoid& wall : walls_within(scene, room, space, kOff, space.height_m - kOff)) {
    bool told = false;
    for (const Polygon& polygon : polygons(wall.print)) {
      const Vec2 size = box_of(polygon.outline).high - box_of(polygon.outline).low;
      if (std::max(size.x, size.y) < kLeast) continue;
      for (const Box2& box : boxes_over(region_of(polygon))) {
        const Part& part = scene.parts[static_cast<std::size_t>(wall.part)];
        const Box3 faces =
            box_within(scene, part, space.frame,
                       {{std::max(box.low.x - kTouch, inside.low.x),
                         std::max(box.low.y - kTouch, inside.low.y), kFace},
                        {std::min(box.high.x + kTouch, inside.high.x),
                         std::min(box.high.y + kTouch, inside.high.y), space.height_m - kFace}});
        if (faces.empty()) continue;
        const double low = faces.low.z > kFace + kTouch ? faces.low.z : 0;
        const double high =
            faces.high.z < space.height_m - kFace - kTouch ? faces.high.z : space.height_m;
        space.obstacles.push_back({{{box.low.x, box.low.y, low}, {box.high.x, box.high.y, high}},
                                   job.prefer.obstacle_clearance_m,
                                   wall.part,
                                   display_name(scene, wall.part)});
        told = true;
      }
    }
    if (told)
      room.guesses.push_back({"In " + space.name,
                              "\"" + display_name(scene, wall.part) + "\" stands in it",
                              "its faces are there, and it is a wall",
                              "no cable is led through it: add a ready hole to the model, or name "
                              "what it is"});
  }
}

}  // namespace roomloom
