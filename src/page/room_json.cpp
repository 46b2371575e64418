#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "page/parts.h"
#include "page/text.h"
#include "types/palette.h"

namespace roomloom::page {
namespace {

constexpr std::size_t kMostTriangles = 40000;  // of all furnishing together

std::string hex_of(const Colour& linear) {
  const auto byte = [](float x) {
    const double s = x <= 0.0031308F ? 12.92 * x : 1.055 * std::pow(x, 1 / 2.4) - 0.055;
    return static_cast<unsigned>(std::lround(std::clamp(s, 0.0, 1.0) * 255));
  };
  constexpr const char* kDigits = "0123456789abcdef";
  std::string text = "#";
  for (const float part : {linear.r, linear.g, linear.b}) {
    text += kDigits[byte(part) >> 4U];
    text += kDigits[byte(part) & 15U];
  }
  return text;
}

/// A comma before each entry but the first.
void next(std::string& list) {
  if (list.back() != '[' && list.back() != '{') list += ',';
}

std::string services_json() {
  std::string out = "[";
  for (int i = 0; i < kServiceCount; ++i) {
    const auto service = static_cast<Service>(i);
    next(out);
    out += "{\"name\":" + json(to_string(service)) + ",\"colour\":\"" +
           hex_of(service_colour(service)) + "\",\"dash\":[";
    for (const double length : service_dash(service)) {
      next(out);
      out += format_number(length, 1);
    }
    out += "]}";
  }
  return out + "]";
}

std::string json_ring(const Ring& ring) {
  std::string out = "[";
  for (const Vec2& p : ring) {
    next(out);
    out += std::to_string(tenths(p.x)) + "," + std::to_string(tenths(p.y));
  }
  return out + "]";
}

std::string sheet_json(const Sheet& sheet) {
  std::string out =
      "{\"name\":" + json(sheet.name) + ",\"role\":" + json(to_string(sheet.role)) +
      ",\"o\":" + json_point(sheet.frame.origin) + ",\"u\":" + json_direction(sheet.frame.u) +
      ",\"v\":" + json_direction(sheet.frame.v) + ",\"n\":" + json_direction(sheet.frame.n) +
      ",\"rings\":[" + json_ring(sheet.region.outline);
  for (const Ring& hole : sheet.region.holes) out += "," + json_ring(hole);
  return out + "]}";
}

bool is_shown(const Sheet& sheet) {
  return sheet.role != SheetRole::furniture && sheet.role != SheetRole::open_side &&
         sheet.role != SheetRole::cupboard && sheet.role != SheetRole::curtain;
}

/// Sheets that are shown, and for each sheet of the room its number there.
std::string sheets_json(const Room& room, std::vector<int>& number) {
  std::string out = "[";
  int count = 0;
  for (const Sheet& sheet : room.sheets) {
    number.push_back(is_shown(sheet) ? count : -1);
    if (!is_shown(sheet)) continue;
    ++count;
    next(out);
    out += sheet_json(sheet);
  }
  return out + "]";
}

std::string tiles_json(const Room& room) {
  std::string out = "[";
  for (const TileGrid& grid : room.grids) {
    const Frame& frame = room.sheets[static_cast<std::size_t>(grid.sheet)].frame;
    for (const Tile& tile : grid.tiles) {
      std::vector<Vec3> corners;
      for (const Vec2& p : tile.ring) corners.push_back(frame.to_world(p));
      next(out);
      out += "{\"name\":" + json(tile.name) + ",\"p\":" + json_line(corners) + "}";
    }
  }
  return out + "]";
}

bool is_furnishing(Role role) {
  switch (role) {
    case Role::wall:
    case Role::floor:
    case Role::ceiling:
    case Role::suspended_ceiling:
    case Role::deck:
    case Role::marker:
    case Role::ignore:
    case Role::hole:
      return false;
    default:
      return true;
  }
}

/// The wall that a door, window or outlet sits in: they hide together.
std::map<int, int> walls_of_parts(const Room& room, const std::vector<int>& number) {
  std::map<int, int> walls;
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    if (number[i] < 0) continue;
    for (const SheetKeepOut& keep_out : room.sheets[i].keep_outs) {
      const bool in_it = keep_out.what == Role::door || keep_out.what == Role::window ||
                         keep_out.what == Role::outlet || keep_out.what == Role::vent ||
                         keep_out.what == Role::power;
      if (in_it && keep_out.part >= 0) walls.emplace(keep_out.part, number[i]);
    }
  }
  return walls;
}

Box3 box_of(const Scene& scene, const Part& part) {
  Box3 box;
  for (std::uint32_t k = 0; k < part.point_count; ++k) box.add(scene.points[part.first_point + k]);
  return box;
}

std::vector<std::size_t> furnishing(const PageRequest& r) {
  const Box3 around = r.room.box.grown(0.6);
  std::vector<std::size_t> parts;
  for (std::size_t i = 0; i < r.scene.parts.size() && i < r.room.roles.size(); ++i) {
    const Part& part = r.scene.parts[i];
    if (part.kind != PartKind::mesh || !is_furnishing(r.room.roles[i].role)) continue;
    const Box3 box = box_of(r.scene, part);
    if (!box.empty() && around.overlaps(box)) parts.push_back(i);
  }
  return parts;
}

/// Coarser and coarser until all furnishing together is small enough to send.
std::vector<SentMesh> sent_meshes(const PageRequest& r, const std::vector<std::size_t>& parts) {
  std::vector<SentMesh> meshes;
  for (const double cell : {0.0, 0.005, 0.01, 0.02, 0.04, 0.08, 0.16, 0.32}) {
    meshes.clear();
    std::size_t triangles = 0;
    for (const std::size_t part : parts) {
      meshes.push_back(sent_mesh(r.scene, r.scene.parts[part], cell));
      triangles += meshes.back().corners.size() / 3;
    }
    if (triangles <= kMostTriangles) break;
  }
  return meshes;
}

std::string parts_json(const PageRequest& r, const std::vector<int>& number) {
  const std::vector<std::size_t> parts = furnishing(r);
  const std::vector<SentMesh> meshes = sent_meshes(r, parts);
  const std::map<int, int> walls = walls_of_parts(r.room, number);
  std::string out = "[";
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (meshes[i].corners.empty()) continue;
    const auto wall = walls.find(static_cast<int>(parts[i]));
    next(out);
    out += "{\"name\":" + json(r.scene.parts[parts[i]].name) +
           ",\"role\":" + json(to_string(r.room.roles[parts[i]].role)) +
           ",\"wall\":" + std::to_string(wall == walls.end() ? -1 : wall->second) +
           ",\"p\":" + json_line(meshes[i].points) + ",\"t\":" + json_numbers(meshes[i].corners) +
           "}";
  }
  return out + "]";
}

std::string gear_json(const Ends& ends) {
  std::string out = "[";
  for (const GearBox& gear : ends.gear) {
    next(out);
    out += "{\"name\":" + json(gear.id) + ",\"o\":" + json_point(gear.frame.origin) +
           ",\"u\":" + json_direction(gear.frame.u) + ",\"v\":" + json_direction(gear.frame.v) +
           ",\"n\":" + json_direction(gear.frame.n) + ",\"size\":" + json_point(gear.size) + "}";
  }
  return out + "]";
}

std::string ends_json(const Ends& ends) {
  std::string out = "[";
  for (const End& end : ends.ends) {
    next(out);
    out += "{\"name\":" + json(end.id) + ",\"at\":" + json_point(end.place.position) +
           ",\"gear\":" + json(end.gear) +
           ",\"coiled\":" + (end.state == EndState::fitted ? "false" : "true") + "}";
  }
  return out + "]";
}

/// The centreline; arcs in steps of 15 degrees or less.
std::vector<Vec3> centreline(const CableShape& shape) {
  std::vector<Vec3> line;
  const auto add = [&](const Vec3& p) {
    if (line.empty() || distance(line.back(), p) > 0.0002) line.push_back(p);
  };
  for (const Piece& piece : shape.pieces) {
    if (const auto* straight = std::get_if<Line3>(&piece)) {
      add(straight->from);
      add(straight->to);
      continue;
    }
    const Arc& arc = std::get<Arc>(piece);
    const double step = radians(15);
    // A chord of angle s falls short by about r s^3 / 24.
    const double steps = std::max(1.0, std::ceil(arc.angle_rad / step));
    const double short_by = arc.radius_m * arc.angle_rad * step * step / 24;
    if (steps <= 1 || short_by <= 0) {
      add(arc.from);
      add(arc.to);
      continue;
    }
    for (const Vec3& p : arc_points(arc, short_by)) add(p);
  }
  return line;
}

std::string addends_json(const RunRow& row) {
  std::string out = "[";
  for (const Addend& addend : row.addends) {
    next(out);
    out += "[" + json(addend.name) + "," + std::to_string(tenths(addend.metres)) + "]";
  }
  return out + "]";
}

const char* state_of(const RunRow& row) {
  return row.installed   ? "lies already"
         : row.lies()    ? "to lead on"
         : row.provision ? "provision"
                         : "to pull";
}

std::string shares_json(const RunRow& row, const std::map<std::string, int>& numbers) {
  std::vector<int> shares;
  for (const std::string& other : row.shared_with) {
    const auto found = numbers.find(other);
    if (found != numbers.end()) shares.push_back(found->second);
  }
  return json_numbers(shares);
}

std::string run_json(const PageRequest& r, const RunRow& row,
                     const std::map<std::string, int>& numbers) {
  const Run& run = r.ends.runs[static_cast<std::size_t>(row.run)];
  const CableShape& shape = r.shapes.cables[static_cast<std::size_t>(row.run)];
  const double diameter = r.job.catalogue.cables[static_cast<std::size_t>(run.cable)].diameter_m;
  return "{\"id\":" + json(row.id, 60) + ",\"from\":" + std::to_string(run.from) +
         ",\"to\":" + std::to_string(run.to) + ",\"cable\":" + json(row.cable) +
         ",\"colour\":" + json(row.colour) +
         ",\"service\":" + std::to_string(static_cast<int>(row.service)) + ",\"state\":\"" +
         state_of(row) + "\",\"routed\":" + (row.routed ? "true" : "false") +
         ",\"blocked\":" + json(row.blocked_by) + ",\"d\":" + std::to_string(tenths(diameter)) +
         ",\"drawn\":" + std::to_string(tenths(row.drawn_m)) +
         ",\"cut\":" + std::to_string(tenths(row.cut_m)) +
         ",\"lead\":" + std::to_string(tenths(row.lead_m)) +
         ",\"bends\":" + std::to_string(row.bends) +
         ",\"tight\":" + std::to_string(row.tight_bends) + ",\"addends\":" + addends_json(row) +
         ",\"shares\":" + shares_json(row, numbers) +
         ",\"line\":" + json_line(row.routed ? centreline(shape) : std::vector<Vec3>()) + "}";
}

std::string runs_json(const PageRequest& r) {
  std::map<std::string, int> numbers;
  for (std::size_t i = 0; i < r.ends.runs.size(); ++i)
    numbers.emplace(r.ends.runs[i].id, static_cast<int>(i));
  std::string out = "[";
  for (const RunRow& row : r.takeoff.runs) {
    next(out);
    out += run_json(r, row, numbers);
  }
  return out + "]";
}

std::string bar_json(const AnnotationItem& item, const Bar& bar) {
  return "{\"kind\":\"" + std::string(to_string(item.group)) + "\",\"name\":" + json(item.name) +
         ",\"a\":" + json_point(bar.from) + ",\"b\":" + json_point(bar.to) +
         ",\"w\":" + json_direction(bar.width_axis) + ",\"size\":[" +
         std::to_string(tenths(bar.width_m)) + "," + std::to_string(tenths(bar.depth_m)) + "]}";
}

std::string hole_json(const HoleShape& hole, const HoleRow* row) {
  return "{\"name\":" + json(hole.name) + ",\"at\":" + json_point(hole.centre) +
         ",\"n\":" + json_direction(hole.normal) +
         ",\"d\":" + std::to_string(tenths(hole.diameter_m)) +
         ",\"where\":" + json(row != nullptr ? row->crossing : "") + ",\"existing\":" +
         (row != nullptr && (row->existing || row->cut_already) ? "true" : "false") +
         ",\"runs\":" + json_numbers(hole.runs) + "}";
}

std::string things_json(const PageRequest& r) {
  std::string bars = "[";
  for (const AnnotationItem& item : r.annotation.items) {
    const auto* bar = std::get_if<Bar>(&item.shape);
    if (bar == nullptr || item.group == AnnotationGroup::labels) continue;
    next(bars);
    bars += bar_json(item, *bar);
  }
  std::string holes = "[";
  for (std::size_t i = 0; i < r.shapes.holes.size(); ++i) {
    next(holes);
    holes +=
        hole_json(r.shapes.holes[i], i < r.takeoff.holes.size() ? &r.takeoff.holes[i] : nullptr);
  }
  return "\"bars\":" + bars + "],\"holes\":" + holes + "]";
}

std::string steps_json(const PageRequest& r) {
  std::string out = "[";
  for (const PullStep& step : pull_steps(r)) {
    next(out);
    out += "{\"text\":" + json(step.text, 600) + ",\"runs\":" + json_numbers(step.runs) + "}";
  }
  return out + "]";
}

}  // namespace

std::string room_json(const PageRequest& r) {
  std::vector<int> number;
  const std::string sheets = sheets_json(r.room, number);
  std::string out =
      "{\"units\":\"" + std::string(r.job.units == DisplayUnits::metric ? "metric" : "feet") + "\"";
  out += ",\"low\":" + json_point(r.room.box.low) + ",\"high\":" + json_point(r.room.box.high) +
         ",\"floor\":" + std::to_string(tenths(r.room.floor_z_m));
  if (r.ends.listener) out += ",\"listener\":" + json_point(*r.ends.listener);
  out += ",\"facing\":" + format_number(r.ends.facing_rad, 5);
  out += ",\"services\":" + services_json() + ",\"sheets\":" + sheets;
  out += ",\"tiles\":" + tiles_json(r.room) + ",\"parts\":" + parts_json(r, number);
  out += ",\"gear\":" + gear_json(r.ends) + ",\"ends\":" + ends_json(r.ends);
  out += ",\"runs\":" + runs_json(r) + "," + things_json(r) + ",\"steps\":" + steps_json(r);
  return out + "}";
}

}  // namespace roomloom::page
