#pragma once

#include <functional>
#include <string>
#include <vector>

#include "types/ends.h"
#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom::testing {

/// A room made by hand: a prism over a convex outline, with a tiled ceiling and a void above it.
/// Everything is told in plan coordinates and put into the world by `place`.
struct PrismRoom {
  std::vector<Vec2> outline;  ///< counter-clockwise
  double height_m = 2.5;
  double plenum_m = 0.4;  ///< 0 = a plain ceiling that can be fixed to
  double tile_m = 0.6;
  double turn_rad = 0;    ///< about the vertical
  bool mirrored = false;  ///< x becomes -x, before the turn
  Vec3 moved;

  Vec3 place(const Vec3& p) const;
  Vec3 place_direction(const Vec3& d) const { return place(d) - place({}); }
};

/// The nouns of one planning problem.
struct Case {
  Scene scene;
  Room room;
  Ends ends;
  Job job;
};

/// Walls "Wall 1".. along the outline's edges in its order (mirrored rooms keep the names), floor,
/// ceiling, seams, the void above and a crossing a tile.
Case make_case(const PrismRoom& prism);
PrismRoom box_prism(double width_m, double depth_m);

/// Sheet index by name, -1 if there is none.
int sheet_named(const Room& room, const std::string& name);

/// Adds an end on the named sheet at a plan position (x, y, z). Returns its index.
int add_end(Case& c, const PrismRoom& prism, const std::string& id, const std::string& sheet,
            const Vec3& at);
/// Adds a run between two ends with catalogue cable 0 unless told otherwise.
int add_run(Case& c, const std::string& id, int from, int to, int cable = 0);
/// Adds a box of gear's free zone, `size` from the corner `at`, along plan axes; returns the zone.
int add_zone(Case& c, const PrismRoom& prism, const std::string& name, const Vec3& at,
             const Vec3& size);
/// An end lying in a zone.
int add_port(Case& c, const PrismRoom& prism, const std::string& id, int zone, const Vec3& at);
/// Declares the way over the floor to an end, with its zones, from the foot of the named wall.
void add_floor_way(Case& c, int end, const std::string& wall);
/// Keeps a rectangle of the named wall clear; corners in plan coordinates.
void add_keep_out(Case& c, const PrismRoom& prism, const std::string& sheet, const Vec3& low,
                  const Vec3& high, double clearance_m, const std::string& name);
void add_duct(Case& c, const PrismRoom& prism, const Vec3& low, const Vec3& high,
              const std::string& name);

}  // namespace roomloom::testing
