#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "geometry/polygon.h"
#include "sketch/sketch.h"
#include "types/scene.h"

namespace roomloom {

/// A wall in plan: left -> right as seen from inside, metres, room frame.
struct PlanWall {
  std::string name;
  Build build = Build::unknown;
  double thickness_m = 0;
  Vec2 left, right;              ///< inside corners
  Vec2 outer_left, outer_right;  ///< outside corners, mitred with the neighbours
  Vec2 along;                    ///< unit, left -> right
  Vec2 inward;                   ///< unit, into the room
  double length_m() const { return norm(right - left); }
  /// A point `from_left` along the inside face, `off` into the room.
  Vec2 at(double from_left_m, double off_m) const {
    return left + from_left_m * along + off_m * inward;
  }
};

/// The room seen from above.
struct FloorPlan {
  std::vector<PlanWall> walls;  ///< clockwise
  Ring inside;                  ///< counter-clockwise
  Ring outside;                 ///< of the walls' outer faces, counter-clockwise
  std::vector<Note> notes;      ///< what was spread to close the outline
  const PlanWall* wall(const std::string& name) const;
};

/// Whether two sides of a ring that are no neighbours meet.
bool crosses_itself(const std::vector<Vec2>& corners);

/// Solves the outline and mitres the walls.
/// @error `sketch.open-outline` · `sketch.impossible` crossing or degenerate outline
Result<FloorPlan> floor_plan(const RoomSketch& sketch);

/// A ceiling plane: z = at_origin + gradient . (x, y).
struct CeilingPlane {
  std::string name;
  Vec2 gradient;
  double at_origin_m = 0;
  double z(const Vec2& p) const { return at_origin_m + dot(gradient, p); }
};

/// The part of a simple ring where normal . p <= offset: none, one or several simple rings.
std::vector<Ring> cut(const Ring& ring, const Vec2& normal, double offset);
/// The part of a ring inside an axis-aligned rectangle.
std::vector<Ring> cut(const Ring& ring, const Vec2& low, const Vec2& high);

/// Where each plane is the lowest: one entry a plane.
std::vector<std::vector<Ring>> lowest_regions(const Ring& ring,
                                              const std::vector<CeilingPlane>& planes);
/// Height of the lowest plane.
double lowest_z(const std::vector<CeilingPlane>& planes, const Vec2& p);

}  // namespace roomloom
