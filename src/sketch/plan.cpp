#include "sketch/plan.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace roomloom {
namespace {

Vec2 right_of(const Vec2& direction) { return {direction.y, -direction.x}; }
Vec2 unit(const Vec2& v) { return (1 / norm(v)) * v; }

std::string metres(double value) { return format_length(value, DisplayUnits::metric); }

Error impossible(const std::string& what, const std::string& where, const std::string& remedy) {
  return {"sketch.impossible", what, where, remedy};
}

/// Directions of walls given by their inside angles; the first wall runs to the right (+x).
std::vector<Vec2> directions(const std::vector<WallSketch>& walls) {
  std::vector<Vec2> result;
  double heading = 0;
  for (const WallSketch& wall : walls) {
    result.push_back({std::cos(heading), std::sin(heading)});
    heading -= kPi - wall.corner_rad;  // an inside corner turns us to the right
  }
  return result;
}

/// Each wall's end is moved by its share of the gap, as surveyors close a traverse (the compass
/// rule: in proportion to the length walked).
std::vector<Vec2> closed_traverse(const std::vector<Vec2>& steps, const Vec2& gap) {
  double total = 0;
  for (const Vec2& step : steps) total += norm(step);
  std::vector<Vec2> corners;
  Vec2 at{0, 0};
  double walked = 0;
  for (const Vec2& step : steps) {
    corners.push_back(at - (walked / total) * gap);
    at = at + step;
    walked += norm(step);
  }
  return corners;
}

Error open_outline(const Vec2& gap, const RoomSketch& sketch) {
  return {"sketch.open-outline",
          "The walls do not close: the last one ends " + metres(std::abs(gap.x)) +
              (gap.x >= 0 ? " right of and " : " left of and ") + metres(std::abs(gap.y)) +
              (gap.y >= 0 ? " in front of" : " behind") + " where the first begins (" +
              metres(norm(gap)) + " in all; up to " + metres(sketch.close_within_m) +
              " is spread over the walls).",
          "/outline/walls",
          "Measure again, check the corners' inside angles, or leave out the last wall's length."};
}

/// How far the wall that closes the outline turns from where the angles before it point, in
/// radians, to the right positive.
double closing_turn(const Vec2& closing, const Vec2& heading) {
  return std::atan2(-cross(heading, closing), dot(heading, closing));
}

/// The wall whose length is left out goes where the outline closes, whatever the angles say of it.
std::optional<Error> judge_closing(const Vec2& closing, const Vec2& heading,
                                   const RoomSketch& sketch, std::vector<Note>& notes) {
  constexpr double kTold = radians(0.25), kMost = radians(30);
  const std::size_t count = sketch.walls.size();
  if (count < 3 || norm(closing) < 1e-9) return std::nullopt;
  const WallSketch &last = sketch.walls[count - 1], &before = sketch.walls[count - 2];
  const double turn = closing_turn(closing, heading);
  if (std::abs(turn) < kTold) return std::nullopt;
  const auto angle = [](double rad) { return format_number(degrees(rad), 1) + " deg"; };
  const std::string where = "/outline/walls/" + std::to_string(count - 2);
  if (std::abs(turn) > kMost)
    return Error{"sketch.open-outline",
                 "By the walls' angles \"" + last.name + "\" would have to turn by " +
                     angle(std::abs(turn)) + " to close the outline.",
                 where,
                 "Check each \"corner\", the inside angle at the wall's right end: 270 deg where a "
                 "corner juts into the room, 225 deg at the ends of a bay at 45 deg."};
  notes.push_back({"sketch.closing-wall",
                   "\"" + last.name + "\" closes the outline: it is " + metres(norm(closing)) +
                       " long and makes " + angle(before.corner_rad - turn) + " with \"" +
                       before.name + "\" where " + angle(before.corner_rad) +
                       " is written. Measure again if that is not so.",
                   where});
  return std::nullopt;
}

Result<std::vector<Vec2>> corners_of_walls(const RoomSketch& sketch, std::vector<Note>& notes) {
  const std::vector<Vec2> headings = directions(sketch.walls);
  std::vector<Vec2> steps;
  Vec2 end{0, 0};
  for (std::size_t i = 0; i < sketch.walls.size(); ++i) {
    steps.push_back(sketch.walls[i].length_m * headings[i]);
    end = end + steps.back();
  }
  if (sketch.walls.back().length_m == 0) {
    steps.back() = Vec2{0, 0} - end;
    if (auto fault = judge_closing(steps.back(), headings.back(), sketch, notes)) return *fault;
    return closed_traverse(steps, {0, 0});
  }
  if (norm(end) > sketch.close_within_m) return open_outline(end, sketch);
  if (norm(end) > 1e-6)
    notes.push_back({"sketch.spread-gap",
                     "The walls' lengths and angles leave a gap of " + metres(norm(end)) +
                         ", which is spread over the walls.",
                     "/outline/walls"});
  return closed_traverse(steps, end);
}

Result<std::vector<Vec2>> corners_of(const RoomSketch& sketch, std::vector<Note>& notes) {
  if (sketch.outline == OutlineKind::points) return sketch.points_m;
  if (sketch.outline == OutlineKind::walls) return corners_of_walls(sketch, notes);
  const double w = sketch.width_m, d = sketch.depth_m;
  return std::vector<Vec2>{{0, d}, {w, d}, {w, 0}, {0, 0}};
}

constexpr double kOnLine_m = 1e-9;

/// Of a line from a to b: 1 where p lies left of it, -1 right, 0 on it.
int side_of(const Vec2& a, const Vec2& b, const Vec2& p) {
  const double off = cross(unit(b - a), p - a);
  return off > kOnLine_m ? 1 : off < -kOnLine_m ? -1 : 0;
}

/// @param p  a point on the line through a and b
bool lies_between(const Vec2& a, const Vec2& b, const Vec2& p) {
  return dot(p - a, p - b) <= kOnLine_m * norm(b - a);
}

/// Whether two walls cross or touch. Those at both sides of a bay or an alcove lie in one line and
/// do not.
bool walls_meet(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  if (norm(b - a) < kOnLine_m || norm(d - c) < kOnLine_m) return false;
  const int of_c = side_of(a, b, c), of_d = side_of(a, b, d);
  const int of_a = side_of(c, d, a), of_b = side_of(c, d, b);
  if (of_c * of_d < 0 && of_a * of_b < 0) return true;
  return (of_c == 0 && lies_between(a, b, c)) || (of_d == 0 && lies_between(a, b, d)) ||
         (of_a == 0 && lies_between(c, d, a)) || (of_b == 0 && lies_between(c, d, b));
}

std::optional<Error> fault_of(const std::vector<Vec2>& corners, const RoomSketch& sketch) {
  const std::size_t n = corners.size();
  if (n < 3 || sketch.walls.size() != n)
    return impossible("The outline has " + std::to_string(n) + " corners and " +
                          std::to_string(sketch.walls.size()) + " walls.",
                      "/outline", "Give three or more corners, and one wall for each.");
  for (std::size_t i = 0; i < n; ++i)
    if (norm(corners[(i + 1) % n] - corners[i]) < 0.01)
      return impossible("The wall has less than 10 mm of length.", sketch.walls[i].name,
                        "Give its true length, or leave it out.");
  if (crosses_itself(corners))
    return impossible("The outline crosses itself.", "/outline",
                      "List the walls in the order seen while turning to the right.");
  if (signed_area(corners) > 0)
    return impossible("The outline runs to the left.", "/outline",
                      "List the corners clockwise as seen from above: front, right, back, left.");
  return std::nullopt;
}

void move_to_origin(std::vector<Vec2>& corners) {
  Vec2 low{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  for (const Vec2& p : corners) low = {std::min(low.x, p.x), std::min(low.y, p.y)};
  for (Vec2& p : corners) p = p - low;
}

/// Where the outer faces of two walls meet beyond their common inside corner. Nearly straight on
/// they never meet: then each ends square at the corner.
std::pair<Vec2, Vec2> outer_corner(const PlanWall& before, const PlanWall& after) {
  const Vec2 a = before.right - before.thickness_m * before.inward;
  const Vec2 b = after.left - after.thickness_m * after.inward;
  const double sine = cross(before.along, after.along);
  if (std::abs(sine) < 0.02) return {a, b};
  const Vec2 meet = a + (cross(b - a, after.along) / sine) * before.along;
  return {meet, meet};
}

void mitre(std::vector<PlanWall>& walls) {
  for (std::size_t i = 0; i < walls.size(); ++i) {
    PlanWall& after = walls[(i + 1) % walls.size()];
    std::tie(walls[i].outer_right, after.outer_left) = outer_corner(walls[i], after);
  }
}

/// Walls run clockwise, rings the other way round.
void add_rings(FloorPlan& plan) {
  for (std::size_t i = 0; i < plan.walls.size(); ++i) {
    const PlanWall& wall = plan.walls[i];
    const PlanWall& after = plan.walls[(i + 1) % plan.walls.size()];
    plan.inside.push_back(wall.left);
    plan.outside.push_back(wall.outer_left);
    if (norm(wall.outer_right - after.outer_left) > 1e-9) plan.outside.push_back(wall.outer_right);
  }
  std::reverse(plan.inside.begin(), plan.inside.end());
  std::reverse(plan.outside.begin(), plan.outside.end());
}

PlanWall plan_wall(const WallSketch& wall, const Vec2& left, const Vec2& right) {
  PlanWall result;
  result.name = wall.name;
  result.build = wall.build;
  result.thickness_m = wall.thickness_m;
  result.left = left;
  result.right = right;
  result.along = unit(right - left);
  result.inward = right_of(result.along);
  return result;
}

}  // namespace

bool crosses_itself(const std::vector<Vec2>& corners) {
  const std::size_t n = corners.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i + 2; j < n; ++j) {
      if (i == 0 && j == n - 1) continue;
      if (walls_meet(corners[i], corners[i + 1], corners[j], corners[(j + 1) % n])) return true;
    }
  }
  return false;
}

const PlanWall* FloorPlan::wall(const std::string& name) const {
  const auto found = std::find_if(walls.begin(), walls.end(),
                                  [&](const PlanWall& wall) { return wall.name == name; });
  return found == walls.end() ? nullptr : &*found;
}

Result<FloorPlan> floor_plan(const RoomSketch& sketch) {
  FloorPlan plan;
  Result<std::vector<Vec2>> corners = corners_of(sketch, plan.notes);
  if (!corners) return corners.error();
  if (const auto fault = fault_of(*corners, sketch)) return *fault;
  move_to_origin(*corners);
  const std::size_t n = corners->size();
  for (std::size_t i = 0; i < n; ++i)
    plan.walls.push_back(plan_wall(sketch.walls[i], (*corners)[i], (*corners)[(i + 1) % n]));
  mitre(plan.walls);
  add_rings(plan);
  return plan;
}

double lowest_z(const std::vector<CeilingPlane>& planes, const Vec2& p) {
  double lowest = std::numeric_limits<double>::infinity();
  for (const CeilingPlane& plane : planes) lowest = std::min(lowest, plane.z(p));
  return lowest;
}

std::vector<std::vector<Ring>> lowest_regions(const Ring& ring,
                                              const std::vector<CeilingPlane>& planes) {
  std::vector<std::vector<Ring>> regions;
  for (std::size_t k = 0; k < planes.size(); ++k) {
    std::vector<Ring> pieces{ring};
    for (std::size_t other = 0; other < planes.size(); ++other) {
      if (other == k) continue;
      std::vector<Ring> left;
      for (const Ring& piece : pieces) {
        const auto kept = cut(piece, planes[k].gradient - planes[other].gradient,
                              planes[other].at_origin_m - planes[k].at_origin_m);
        left.insert(left.end(), kept.begin(), kept.end());
      }
      pieces = std::move(left);
    }
    regions.push_back(std::move(pieces));
  }
  return regions;
}

}  // namespace roomloom
