#include <algorithm>
#include <map>

#include "base/nearest.h"
#include "sketch/workshop.h"

namespace roomloom {
namespace {

struct Style {
  const char* kind;
  const char* group;
  const char* layer;
  const char* is;  ///< role, as a job spells it
  Colour colour;
};

constexpr Style kStyles[] = {
    {"wall", "Walls", "Walls", "wall", {0.72F, 0.70F, 0.66F, 1}},
    {"floor", "Floor and ceilings", "Floor", "floor", {0.36F, 0.25F, 0.16F, 1}},
    {"deck", "Floor and ceilings", "Slab", "deck", {0.55F, 0.55F, 0.55F, 1}},
    {"ceiling", "Floor and ceilings", "Ceiling", "ceiling", {0.85F, 0.85F, 0.83F, 1}},
    {"suspended ceiling",
     "Floor and ceilings",
     "Ceiling",
     "suspended ceiling",
     {0.90F, 0.90F, 0.88F, 1}},
    {"door", "Openings", "Openings", "door", {0.30F, 0.16F, 0.08F, 1}},
    {"window", "Openings", "Openings", "window", {0.55F, 0.75F, 0.85F, 0.4F}},
    {"vent", "Services", "Services", "vent", {0.40F, 0.42F, 0.45F, 1}},
    {"luminaire", "Services", "Services", "luminaire", {1.00F, 0.92F, 0.60F, 1}},
    {"duct", "Services", "Services", "obstacle", {0.50F, 0.55F, 0.60F, 1}},
    {"joist", "Structure", "Structure", "obstacle", {0.45F, 0.30F, 0.15F, 1}},
    {"mains", "Services", "Services", "power", {0.80F, 0.10F, 0.05F, 1}},
    {"conduit", "Services", "Services", "conduit", {0.25F, 0.25F, 0.28F, 1}},
    {"hole", "Openings", "Openings", "hole", {0.05F, 0.05F, 0.05F, 1}},
    {"outlet", "Services", "Services", "outlet", {0.95F, 0.95F, 0.95F, 1}},
    {"furniture", "Furniture", "Furniture", "furniture", {0.45F, 0.28F, 0.14F, 1}},
    {"cupboard", "Furniture", "Furniture", "cupboard", {0.55F, 0.38F, 0.22F, 1}},
    {"seat", "Furniture", "Furniture", "seat", {0.20F, 0.22F, 0.35F, 1}},
    {"obstacle", "Furniture", "Furniture", "obstacle", {0.50F, 0.50F, 0.45F, 1}},
    {"curtain", "Furniture", "Furniture", "curtain", {0.35F, 0.05F, 0.08F, 1}},
    {"walkway", "Furniture", "Furniture", "walkway", {0.60F, 0.58F, 0.50F, 1}},
    {"marker", "Markers", "Markers", "marker", {0.00F, 0.60F, 0.60F, 1}},
};

const Style& style_of(const std::string& kind) {
  for (const Style& style : kStyles)
    if (kind == style.kind) return style;
  return kStyles[0];
}

std::vector<std::string> wall_names(const FloorPlan& plan) {
  std::vector<std::string> names;
  for (const PlanWall& wall : plan.walls) names.push_back(wall.name);
  return names;
}

/// z = knee + tan(pitch) * (distance from the wall's inside face).
CeilingPlane slope_plane(const SlopeSketch& slope, const PlanWall& wall) {
  const Vec2 gradient = std::tan(slope.pitch_rad) * wall.inward;
  return {slope.name, gradient, slope.knee_m - dot(gradient, wall.left)};
}

void add_planes(Workshop& shop) {
  shop.planes.push_back({shop.sketch.deck_name, {0, 0}, shop.sketch.height_m});
  for (const SlopeSketch& slope : shop.sketch.slopes)
    if (const PlanWall* wall = shop.wall(slope.wall, slope.name))
      shop.planes.push_back(slope_plane(slope, *wall));
}

void refuse_equal_names(Workshop& shop) {
  std::map<std::string, int> uses;
  for (const SolidPart& part : shop.solids.parts) ++uses[part.name];
  for (const auto& [name, count] : uses)
    if (count > 1)
      shop.complain(name, std::to_string(count) + " things have this name.",
                    "Give each its own: jobs and lists name things by it.");
}

/// A group of one is none: some programs show the group instead of its part.
void dissolve_groups_of_one(Workshop& shop) {
  std::map<std::string, int> members;
  for (const SolidPart& part : shop.solids.parts) ++members[part.group];
  for (SolidPart& part : shop.solids.parts)
    if (members[part.group] == 1) part.group.clear();
}

/// A fault of ours rather than of the user; told, never written.
void refuse_leaky_parts(Workshop& shop) {
  for (const SolidPart& part : shop.solids.parts) {
    if (part.kind != PartKind::mesh) continue;
    if (unmatched_edges(part.faces) == 0 && volume(part.faces) > 0) continue;
    shop.complain(part.name, "Its faces do not close to a solid.",
                  "Check its sizes, and whether it is cut by something in the same place.");
  }
}

/// With the file and the place in it, where the sketch was read from one.
Error located(Error problem, const RoomSketch& sketch) {
  if (sketch.file.empty()) return problem;
  const auto found = sketch.pointers.find(problem.where);
  if (found != sketch.pointers.end()) problem.where = found->second + " (" + problem.where + ")";
  problem.where = sketch.file + ": " + problem.where;
  return problem;
}

Error joined(const std::vector<Error>& problems, const RoomSketch& sketch) {
  if (problems.size() == 1) return located(problems.front(), sketch);
  Error all{problems.front().code, std::to_string(problems.size()) + " things do not fit",
            sketch.file.empty() ? sketch.name : sketch.file, ""};
  for (const Error& problem : problems) all.what += "\n  " + to_text(located(problem, sketch));
  return all;
}

}  // namespace

std::string metres(double value) { return format_length(value, DisplayUnits::metric); }

const PlanWall* Workshop::wall(const std::string& name, const std::string& thing) {
  const PlanWall* found = plan.wall(name);
  if (found == nullptr)
    complain(thing, "There is no wall \"" + name + "\".", suggestion(name, wall_names(plan)));
  return found;
}

std::optional<double> Workshop::left_edge(const PlanWall& wall, const std::string& thing,
                                          std::optional<double> from_left_m,
                                          std::optional<double> from_right_m, double width_m) {
  if (from_left_m.has_value() == from_right_m.has_value()) {
    complain(thing, "Its place along \"" + wall.name + "\" is measured not once.",
             "Give either from_left or from_right.");
    return std::nullopt;
  }
  const double left = from_left_m ? *from_left_m : wall.length_m() - *from_right_m - width_m;
  if (left >= -1e-6 && left + width_m <= wall.length_m() + 1e-6) return left;
  complain(thing,
           "It reaches from " + metres(left) + " to " + metres(left + width_m) + " along \"" +
               wall.name + "\", which is " + metres(wall.length_m()) + " long.",
           "Check its width and the edge it is measured from.");
  return std::nullopt;
}

SolidPart& Workshop::add(const std::string& name, const std::string& kind, Faces faces) {
  const Style& style = style_of(kind);
  SolidPart part;
  part.name = name;
  part.group = style.group;
  part.layer = style.layer;
  part.colour = style.colour;
  part.extras["is"] = style.is;
  make_conforming(faces);
  part.faces = std::move(faces);
  solids.parts.push_back(std::move(part));
  return solids.parts.back();
}

Faces extruded(const std::vector<Vec3>& front, const Vec3& shift) {
  std::vector<Vec3> back;
  for (const Vec3& p : front) back.push_back(p + shift);
  Faces faces{{front, {}}, {{back.rbegin(), back.rend()}, {}}};
  for (std::size_t i = 0; i < front.size(); ++i) {
    const std::size_t next = (i + 1) % front.size();
    faces.push_back({{front[next], front[i], back[i], back[next]}, {}});
  }
  return faces;
}

Result<Solids> build_sketch(const RoomSketch& sketch) {
  Result<FloorPlan> plan = floor_plan(sketch);
  if (!plan) return located(plan.error(), sketch);
  Workshop shop{sketch, *plan, {}, {}, {}};
  shop.solids.name = sketch.name;
  shop.solids.notes = plan->notes;
  add_planes(shop);
  add_floor_and_slab(shop);
  add_walls(shop);
  add_suspended_ceiling(shop);
  add_joists(shop);
  add_lines(shop);
  add_boxes(shop);
  add_markers(shop);
  dissolve_groups_of_one(shop);
  refuse_equal_names(shop);
  if (shop.problems.empty()) refuse_leaky_parts(shop);
  if (!shop.problems.empty()) return joined(shop.problems, sketch);
  return shop.solids;
}

RoomSketch rectangular_room(const std::string& name, double width_m, double depth_m,
                            double height_m, double wall_thickness_m) {
  RoomSketch sketch;
  sketch.name = name;
  sketch.width_m = width_m;
  sketch.depth_m = depth_m;
  sketch.height_m = height_m;
  for (const char* wall : {"Wall front", "Wall right", "Wall back", "Wall left"}) {
    sketch.walls.push_back({});
    sketch.walls.back().name = wall;
    sketch.walls.back().thickness_m = wall_thickness_m;
  }
  return sketch;
}

OpeningSketch door(const std::string& name, const std::string& wall, double from_left_m,
                   double width_m, double height_m) {
  OpeningSketch opening;
  opening.name = name;
  opening.wall = wall;
  opening.from_left_m = from_left_m;
  opening.width_m = width_m;
  opening.height_m = height_m;
  opening.swing_rad = kPi / 2;
  return opening;
}

OpeningSketch window(const std::string& name, const std::string& wall, double from_left_m,
                     double up_m, double width_m, double height_m) {
  OpeningSketch opening = door(name, wall, from_left_m, width_m, height_m);
  opening.kind = OpeningKind::window;
  opening.up_m = up_m;
  opening.panel_m = 0.02;
  opening.swing_rad = 0;
  return opening;
}

}  // namespace roomloom
