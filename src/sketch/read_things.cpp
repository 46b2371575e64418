#include "sketch/read_things.h"

#include <cmath>
#include <tuple>

namespace roomloom {
namespace {

// ---- openings and what is let into ceilings ---------------------------------------------------

void read_along(Entry& entry, std::optional<double>& from_left, std::optional<double>& from_right) {
  entry.length("from_left", from_left, -1000);
  entry.length("from_right", from_right, -1000);
  if (entry.has("from_left") == entry.has("from_right"))
    entry.complain("give either \"from_left\" or \"from_right\", as seen from inside the room.");
}

void read_door_leaf(Entry& entry, OpeningSketch& opening) {
  opening.swing_rad = kPi / 2;
  entry.angle("swing", opening.swing_rad, 0, kPi);
  int hinge = 0, opens = 0;
  entry.word("hinge", hinge, {"left", "right"});
  entry.word("opens", opens, {"in", "out"});
  opening.hinge_left = hinge == 0;
  opening.opens_in = opens == 0;
}

void read_opening_size(Entry& entry, OpeningSketch& opening) {
  if (opening.kind == OpeningKind::hole && entry.has("diameter")) {
    entry.length("diameter", opening.diameter_m, 0.002);
    opening.width_m = opening.height_m = opening.diameter_m;
  } else {
    entry.require("width");
    entry.require("height");
    entry.length("width", opening.width_m, 0.005);
    entry.length("height", opening.height_m, 0.005);
  }
  if (opening.kind != OpeningKind::hole && opening.kind != OpeningKind::passage)
    entry.length("thickness", opening.panel_m, 0.001);
}

OpeningSketch read_opening(Entry& entry, OpeningKind kind) {
  OpeningSketch opening;
  opening.kind = kind;
  opening.panel_m = kind == OpeningKind::door ? 0.04 : 0.02;
  read_name(entry, opening.name);
  entry.require("wall");
  entry.text("wall", opening.wall);
  read_along(entry, opening.from_left_m, opening.from_right_m);
  if (kind != OpeningKind::door && kind != OpeningKind::passage) entry.require("up");
  entry.length("up", opening.up_m, 0);
  read_opening_size(entry, opening);
  if (kind == OpeningKind::door) read_door_leaf(entry, opening);
  entry.finish();
  return opening;
}

void read_openings(Entry& root, const char* key, OpeningKind kind, RoomSketch& sketch) {
  for (Entry& entry : root.entries(key)) sketch.openings.push_back(read_opening(entry, kind));
}

CeilingThingSketch read_ceiling_thing(Entry& entry, CeilingThingKind kind) {
  CeilingThingSketch thing;
  thing.kind = kind;
  read_name(entry, thing.name);
  entry.text("tile", thing.tile);
  entry.lengths("at", thing.at_m.data(), 2);
  if (entry.has("tile") == entry.has("at"))
    entry.complain("give either \"tile\" (such as \"B3\") or \"at\" (x, y of its middle).");
  if (kind == CeilingThingKind::hole) {
    entry.require("diameter");
    entry.length("diameter", thing.diameter_m, 0.002);
  } else {
    entry.lengths("size", thing.size_m.data(), 2);
    if (entry.has("size") && !(thing.size_m[0] >= 0.005 && thing.size_m[1] >= 0.005))
      entry.complain("size", "expected two lengths of at least 5 mm.");
    entry.length("height", thing.height_m, 0.001);
    entry.length("up", thing.up_m, 0);
  }
  entry.finish();
  return thing;
}

/// Vents and holes lie in a wall if they name one, else in the ceiling.
void read_vents_and_holes(Entry& root, RoomSketch& sketch) {
  const std::tuple<const char*, OpeningKind, CeilingThingKind> kinds[] = {
      {"vents", OpeningKind::vent, CeilingThingKind::vent},
      {"holes", OpeningKind::hole, CeilingThingKind::hole}};
  for (const auto& [key, in_wall, in_ceiling] : kinds) {
    for (Entry& entry : root.entries(key)) {
      if (entry.has("wall"))
        sketch.openings.push_back(read_opening(entry, in_wall));
      else
        sketch.ceiling_things.push_back(read_ceiling_thing(entry, in_ceiling));
    }
  }
}

// ---- things -----------------------------------------------------------------------------------

SketchPlace read_place(Entry& entry, bool may_be_free) {
  SketchPlace place;
  entry.text("wall", place.wall);
  if (!may_be_free) entry.require("wall");
  if (may_be_free && entry.has("wall") == entry.has("at"))
    entry.complain("give either \"wall\" or \"at\" (x, y of its middle).");
  if (entry.has("wall")) {
    read_along(entry, place.from_left_m, place.from_right_m);
    entry.length("off_wall", place.off_wall_m, -10);
  } else if (may_be_free) {
    entry.lengths("at", place.at_m.data(), 2);
    entry.angle("turn", place.turn_rad, -2 * kPi, 2 * kPi);
  }
  entry.length("up", place.up_m, 0);
  return place;
}

void read_cupboard_doors(Entry& entry, BoxSketch& box) {
  if (entry.has("doors")) entry.count("doors", box.leaves);
  if (entry.has("doors")) box.swing_rad = kPi / 2;
  entry.angle("swing", box.swing_rad, 0, kPi);
  if (!entry.has("hinge")) return;
  int hinge = 0;
  entry.word("hinge", hinge, {"left", "right"});
  box.hinge_left = hinge == 0;
}

BoxSketch read_box(Entry& entry, BoxKind kind) {
  BoxSketch box;
  box.kind = kind;
  if (kind == BoxKind::outlet) {
    box.width_m = box.height_m = 0.086;
    box.depth_m = 0.01;
  } else {
    for (const char* key : {"width", "height"}) entry.require(key);
  }
  if (kind == BoxKind::curtain)
    box.depth_m = 0.02;
  else if (kind != BoxKind::outlet)
    entry.require("depth");
  read_name(entry, box.name);
  box.place = read_place(entry, kind != BoxKind::outlet && kind != BoxKind::curtain);
  entry.length("width", box.width_m);
  entry.length("depth", box.depth_m);
  entry.length("height", box.height_m);
  entry.length("boards", box.board_m);
  if (kind == BoxKind::cupboard) read_cupboard_doors(entry, box);
  if (kind == BoxKind::seat) {
    entry.length("recline", box.recline_m, 0);
    entry.length("slide", box.slide_m, 0);
  }
  entry.finish();
  return box;
}

/// A thin plate on the floor for each stretch of the line; at a corner both reach round it.
void add_walkway(const std::string& name, const std::vector<Vec2>& points, double width_m,
                 RoomSketch& sketch) {
  constexpr double kPlate_m = 0.002;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Vec2 way = points[i + 1] - points[i];
    const double length = norm(way);
    if (length < 1e-6) continue;
    const Vec2 along = (1 / length) * way;
    const Vec2 from = points[i] - (i > 0 ? width_m / 2 : 0.0) * along;
    const Vec2 to = points[i + 1] + (i + 2 < points.size() ? width_m / 2 : 0.0) * along;
    BoxSketch plate;
    plate.kind = BoxKind::walkway;
    plate.name = points.size() > 2 ? name + " " + std::to_string(i + 1) : name;
    plate.place.at_m = {0.5 * (from.x + to.x), 0.5 * (from.y + to.y)};
    plate.place.turn_rad = std::atan2(along.y, along.x);
    plate.width_m = norm(to - from);
    plate.depth_m = width_m;
    plate.height_m = kPlate_m;
    sketch.boxes.push_back(std::move(plate));
  }
}

void read_walkways(Entry& root, RoomSketch& sketch) {
  for (Entry& entry : root.entries("walkways")) {
    std::string name;
    read_name(entry, name);
    entry.require("points");
    std::vector<Vec2> points;
    for (const auto& p : entry.length_lists("points", 2)) points.push_back({p[0], p[1]});
    double width_m = 0.9;
    entry.length("width", width_m, 0.1);
    entry.finish();
    add_walkway(name, points, width_m, sketch);
  }
}

void read_boxes(Entry& root, RoomSketch& sketch) {
  const std::pair<const char*, BoxKind> kinds[] = {
      {"furniture", BoxKind::furniture}, {"cupboards", BoxKind::cupboard},
      {"seats", BoxKind::seat},          {"obstacles", BoxKind::obstacle},
      {"curtains", BoxKind::curtain},    {"outlets", BoxKind::outlet}};
  for (const auto& [key, kind] : kinds)
    for (Entry& entry : root.entries(key)) sketch.boxes.push_back(read_box(entry, kind));
}

LineSketch read_line(Entry& entry, LineUse kind) {
  LineSketch line;
  line.kind = kind;
  read_name(entry, line.name);
  entry.text("wall", line.wall);
  entry.require("points");
  // On a wall a point is [from_left, up]; off_wall is the same for all.
  double off_wall = 0;
  if (entry.has("wall")) entry.length("off_wall", off_wall, -10);
  for (const auto& p : entry.length_lists("points", line.wall.empty() ? 3 : 2))
    line.points.push_back(line.wall.empty() ? Vec3{p[0], p[1], p[2]} : Vec3{p[0], p[1], off_wall});
  entry.length("diameter", line.diameter_m, 0.001);
  entry.length("width", line.width_m, 0.001);
  entry.length("height", line.height_m, 0.001);
  const bool round = entry.has("diameter"), square = entry.has("width") && entry.has("height");
  int as = 0;
  entry.word("as", as, {"solid", "line"});
  line.as_line = as == 1;
  if (!line.as_line && round == square)
    entry.complain("give either \"diameter\", or \"width\" and \"height\".");
  if (kind == LineUse::conduit) entry.length("inside_diameter", line.inside_diameter_m, 0.001);
  if (kind == LineUse::mains) entry.count("circuits", line.circuits);
  entry.finish();
  return line;
}

void read_lines(Entry& root, RoomSketch& sketch) {
  const std::pair<const char*, LineUse> kinds[] = {
      {"ducts", LineUse::duct}, {"mains", LineUse::mains}, {"conduits", LineUse::conduit}};
  for (const auto& [key, kind] : kinds)
    for (Entry& entry : root.entries(key)) sketch.lines.push_back(read_line(entry, kind));
}

void read_joists(Entry& root, RoomSketch& sketch) {
  for (Entry& entry : root.entries("joists")) {
    JoistsSketch joists;
    entry.text("name", joists.name);
    int along = 0;
    entry.word("along", along, {"x", "y"});
    joists.along_x = along == 0;
    for (const char* key : {"first", "spacing", "width", "depth"}) entry.require(key);
    entry.length("first", joists.first_m);
    entry.length("spacing", joists.spacing_m, 0.02);
    entry.length("width", joists.width_m);
    entry.length("depth", joists.depth_m);
    entry.count("count", joists.count);
    entry.finish();
    sketch.joists.push_back(joists);
  }
}

void read_markers(Entry& root, RoomSketch& sketch) {
  for (Entry& entry : root.entries("markers")) {
    MarkerSketch marker;
    read_name(entry, marker.name);
    marker.place = read_place(entry, true);
    entry.finish();
    sketch.markers.push_back(marker);
  }
}

}  // namespace

void read_name(Entry& entry, std::string& out) {
  entry.require("name");
  entry.text("name", out);
}

void read_things(Entry& root, RoomSketch& sketch) {
  read_openings(root, "doors", OpeningKind::door, sketch);
  read_openings(root, "windows", OpeningKind::window, sketch);
  read_openings(root, "passages", OpeningKind::passage, sketch);
  read_vents_and_holes(root, sketch);
  for (Entry& entry : root.entries("luminaires"))
    sketch.ceiling_things.push_back(read_ceiling_thing(entry, CeilingThingKind::luminaire));
  read_lines(root, sketch);
  read_joists(root, sketch);
  read_boxes(root, sketch);
  read_walkways(root, sketch);
  read_markers(root, sketch);
}

}  // namespace roomloom
