#include <algorithm>
#include <cmath>

#include "sketch/workshop.h"

namespace roomloom {
namespace {

/// A thing's own axes: along the wall (or its width), up, and its corner nearest the left, low and
/// away from the wall.
struct Stand {
  Vec3 corner, along, back;
};

Vec3 flat(const Vec2& p, double z = 0) { return {p.x, p.y, z}; }

std::optional<Stand> stand_at_wall(Workshop& shop, const BoxSketch& box) {
  const PlanWall* wall = shop.wall(box.place.wall, box.name);
  if (wall == nullptr) return std::nullopt;
  const auto left =
      shop.left_edge(*wall, box.name, box.place.from_left_m, box.place.from_right_m, box.width_m);
  if (!left) return std::nullopt;
  return Stand{flat(wall->at(*left, box.place.off_wall_m + box.depth_m), box.place.up_m),
               flat(wall->along), flat(Vec2{0, 0} - wall->inward)};
}

std::optional<Stand> stand_free(Workshop& shop, const BoxSketch& box) {
  const Vec2 centre{box.place.at_m[0], box.place.at_m[1]};
  if (!contains(shop.plan.inside, centre)) {
    shop.complain(box.name, "Its middle lies outside the room.",
                  "Measure x from the left, y from the rear of the room.");
    return std::nullopt;
  }
  const Vec2 along{std::cos(box.place.turn_rad), std::sin(box.place.turn_rad)};
  const Vec2 back{-along.y, along.x};
  const Vec2 corner = centre - (box.width_m / 2) * along - (box.depth_m / 2) * back;
  return Stand{flat(corner, box.place.up_m), flat(along), flat(back)};
}

Faces box_faces(const BoxSketch& sketch, const Stand& stand) {
  const Vec3 up{0, 0, 1};
  Faces faces = box(stand.corner, sketch.width_m * stand.along, sketch.depth_m * stand.back,
                    sketch.height_m * up);
  if (sketch.board_m <= 0) return faces;
  const double b = sketch.board_m;
  const Faces cavity = inverted(box(
      stand.corner + b * (stand.along + stand.back + up), (sketch.width_m - 2 * b) * stand.along,
      (sketch.depth_m - 2 * b) * stand.back, (sketch.height_m - 2 * b) * up));
  faces.insert(faces.end(), cavity.begin(), cavity.end());
  return faces;
}

bool has_size(Workshop& shop, const BoxSketch& box) {
  const double least = std::min({box.width_m, box.depth_m, box.height_m});
  if (least > 0.0005 && (box.board_m <= 0 || 2 * box.board_m < least - 0.0005)) return true;
  shop.complain(box.name, "A side is too small, or its boards leave no room inside.",
                "Give width, depth and height, and thinner boards if it is hollow.");
  return false;
}

/// The corners of a line, room frame.
std::vector<Vec3> line_points(const LineSketch& line, const PlanWall* wall) {
  if (wall == nullptr) return line.points;
  std::vector<Vec3> points;
  for (const Vec3& p : line.points) points.push_back(flat(wall->at(p.x, p.z), p.y));
  return points;
}

Ring section_of(const LineSketch& line) {
  if (line.diameter_m > 0) return regular_ring({0, 0}, line.diameter_m);
  return rectangle({-line.width_m / 2, -line.height_m / 2}, {line.width_m / 2, line.height_m / 2});
}

/// A mitre must not eat up a stretch, nor the line turn back on itself.
bool can_sweep(const std::vector<Vec3>& points, double half_size) {
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    double needed = 0.0005;
    for (const std::size_t at : {i, i + 1}) {
      if (at == 0 || at + 1 == points.size()) continue;
      const Vec3 in = normalized(points[at] - points[at - 1]);
      const Vec3 out = normalized(points[at + 1] - points[at]);
      const double angle = std::acos(std::clamp(dot(in, out), -1.0, 1.0));
      if (angle > radians(150)) return false;
      needed += half_size * std::tan(angle / 2);
    }
    if (distance(points[i], points[i + 1]) < needed) return false;
  }
  return true;
}

void add_line(Workshop& shop, const LineSketch& line, const PlanWall* wall) {
  constexpr const char* kKinds[] = {"duct", "mains", "conduit"};
  const std::string kind = kKinds[static_cast<int>(line.kind)];
  const std::vector<Vec3> points = line_points(line, wall);
  if (points.size() < 2) return shop.complain(line.name, "It has fewer than two points.", "");
  const bool round = line.diameter_m > 0;
  const double half = round ? line.diameter_m / 2 : std::hypot(line.width_m / 2, line.height_m / 2);
  if (!line.as_line && (half <= 0 || (!round && (line.width_m <= 0 || line.height_m <= 0))))
    return shop.complain(line.name, "It has no size.", "Give diameter, or width and height.");
  if (!can_sweep(points, line.as_line ? 0 : half))
    return shop.complain(line.name, "A stretch is too short for its bends, or turns back.",
                         "Leave out points that lie close together, or make it thinner.");
  SolidPart& part =
      shop.add(line.name, kind, line.as_line ? Faces{} : swept(points, section_of(line)));
  if (line.as_line) {
    part.kind = PartKind::curve;
    part.points = points;
  }
  if (line.inside_diameter_m > 0) part.extras["inside_diameter"] = metres(line.inside_diameter_m);
  if (line.circuits > 0) part.extras["circuits"] = std::to_string(line.circuits);
}

/// Joists as plan strips, each cut to where the ceiling is flat.
std::vector<std::vector<Ring>> joist_strips(const JoistsSketch& joists, const Ring& inside,
                                            const std::vector<Ring>& flat_parts) {
  Box3 box;
  for (const Vec2& p : inside) box.add(flat(p));
  const double end = joists.along_x ? box.high.y : box.high.x;
  const double half = joists.width_m / 2;
  std::vector<std::vector<Ring>> strips;
  for (int i = 0; joists.count == 0 || i < joists.count; ++i) {
    const double centre = joists.first_m + i * joists.spacing_m;
    if (centre + half > end + 1e-9) break;
    std::vector<Ring>& strip = strips.emplace_back();
    for (const Ring& part : flat_parts) {
      const auto pieces = joists.along_x
                              ? cut(part, {box.low.x, centre - half}, {box.high.x, centre + half})
                              : cut(part, {centre - half, box.low.y}, {centre + half, box.high.y});
      strip.insert(strip.end(), pieces.begin(), pieces.end());
    }
  }
  return strips;
}

}  // namespace

void add_boxes(Workshop& shop) {
  constexpr const char* kKinds[] = {"furniture", "cupboard", "seat",   "obstacle",
                                    "curtain",   "outlet",   "walkway"};
  for (const BoxSketch& box : shop.sketch.boxes) {
    if (!has_size(shop, box)) continue;
    const auto stand = box.place.wall.empty() ? stand_free(shop, box) : stand_at_wall(shop, box);
    if (!stand) continue;
    SolidPart& part =
        shop.add(box.name, kKinds[static_cast<int>(box.kind)], box_faces(box, *stand));
    if (!box.place.wall.empty()) part.extras["at"] = box.place.wall;
    if (box.swing_rad > 0) part.extras["swing"] = format_number(degrees(box.swing_rad), 0) + " deg";
    if (box.leaves > 0) part.extras["leaves"] = std::to_string(box.leaves);
    if (box.hinge_left) part.extras["hinge"] = *box.hinge_left ? "left" : "right";
    if (box.recline_m > 0) part.extras["recline"] = metres(box.recline_m);
    if (box.slide_m > 0) part.extras["slide"] = metres(box.slide_m);
  }
}

void add_lines(Workshop& shop) {
  for (const LineSketch& line : shop.sketch.lines) {
    const PlanWall* wall = line.wall.empty() ? nullptr : shop.wall(line.wall, line.name);
    if (wall != nullptr || line.wall.empty()) add_line(shop, line, wall);
  }
}

void add_joists(Workshop& shop) {
  const std::vector<Ring> flat_parts = lowest_regions(shop.plan.inside, shop.planes).front();
  const double top = shop.sketch.height_m;
  for (const JoistsSketch& joists : shop.sketch.joists) {
    if (joists.spacing_m < joists.width_m || joists.width_m <= 0 || joists.depth_m <= 0) {
      shop.complain(joists.name, "Joists have no size, or no gap between them.",
                    "Give width, depth and a spacing above the width.");
      continue;
    }
    int number = 0;
    for (const auto& strip : joist_strips(joists, shop.plan.inside, flat_parts))
      for (const Ring& ring : strip)
        shop.add(joists.name + " " + std::to_string(++number), "joist",
                 prism({ring, {}}, top - joists.depth_m, top));
    if (number == 0)
      shop.complain(joists.name, "No joist lies in the room, under its flat ceiling.",
                    "Check \"first\", \"spacing\" and the room's height.");
  }
}

void add_markers(Workshop& shop) {
  for (const MarkerSketch& marker : shop.sketch.markers) {
    const SketchPlace& place = marker.place;
    Vec2 at{place.at_m[0], place.at_m[1]};
    if (!place.wall.empty()) {
      const PlanWall* wall = shop.wall(place.wall, marker.name);
      if (wall == nullptr) continue;
      const auto left =
          shop.left_edge(*wall, marker.name, place.from_left_m, place.from_right_m, 0);
      if (!left) continue;
      at = wall->at(*left, place.off_wall_m);
    }
    SolidPart& part = shop.add(marker.name, "marker", {});
    part.kind = PartKind::marker;
    part.points = {flat(at, place.up_m)};
  }
}

}  // namespace roomloom
