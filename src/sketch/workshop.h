#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "sketch/plan.h"
#include "sketch/polyhedra.h"
#include "sketch/sketch.h"

namespace roomloom {

/// What the building steps share: the plan, the parts made so far, and every mistake found.
struct Workshop {
  const RoomSketch& sketch;
  FloorPlan plan;
  std::vector<CeilingPlane> planes;  ///< the flat one first, then one a slope
  Solids solids;
  std::vector<Error> problems;

  void complain(const std::string& where, const std::string& what, const std::string& remedy) {
    problems.push_back({"sketch.impossible", what, where, remedy});
  }
  /// The wall of that name, or null after a complaint.
  const PlanWall* wall(const std::string& name, const std::string& thing);
  /// From the wall's left edge to the thing's left edge, or nothing after a complaint.
  std::optional<double> left_edge(const PlanWall& wall, const std::string& thing,
                                  std::optional<double> from_left_m,
                                  std::optional<double> from_right_m, double width_m);
  /// A part with the layer, group and colour of its kind.
  SolidPart& add(const std::string& name, const std::string& kind, Faces faces);
};

std::string metres(double value);

/// A ring seen counter-clockwise from in front, pushed back by `shift`.
Faces extruded(const std::vector<Vec3>& front, const Vec3& shift);

void add_walls(Workshop& shop);
void add_floor_and_slab(Workshop& shop);
void add_suspended_ceiling(Workshop& shop);
void add_boxes(Workshop& shop);
void add_lines(Workshop& shop);
void add_joists(Workshop& shop);
void add_markers(Workshop& shop);

}  // namespace roomloom
