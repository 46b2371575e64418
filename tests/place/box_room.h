#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom::testing_rooms {

/// A bare box: x to the right, y to the front, the origin at the inside rear left corner of the
/// floor. Sheets: Wall front, right, back, left, Floor, Ceiling; parts of the same names without
/// triangles.
struct BoxRoom {
  Scene scene;
  Room room;
  double width_m, depth_m, height_m;
};

inline Ring rectangle(double x0, double y0, double x1, double y1) {
  return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

inline void add_sheet(BoxRoom& box, const std::string& name, SheetRole role, Role part_role,
                      const Vec3& origin, const Vec3& u, const Vec3& v, double width,
                      double height) {
  Part part;
  part.name = part.path = name;
  box.scene.parts.push_back(part);
  box.room.roles.push_back({part_role, Build::unknown, -1, "test"});
  Sheet sheet;
  sheet.name = name;
  sheet.parts = {static_cast<int>(box.scene.parts.size()) - 1};
  sheet.frame = {origin, u, v, cross(u, v)};
  sheet.region.outline = rectangle(0, 0, width, height);
  sheet.role = role;
  sheet.front_air = 0;
  box.room.sheets.push_back(sheet);
}

inline BoxRoom box_room(double width, double depth, double height) {
  BoxRoom box;
  box.width_m = width;
  box.depth_m = depth;
  box.height_m = height;
  const Vec3 up{0, 0, 1};
  const auto wall = [&](const std::string& name, const Vec3& origin, const Vec3& u, double length) {
    add_sheet(box, name, SheetRole::wall, Role::wall, origin, u, up, length, height);
  };
  wall("Wall front", {0, depth, 0}, {1, 0, 0}, width);
  wall("Wall right", {width, depth, 0}, {0, -1, 0}, depth);
  wall("Wall back", {width, 0, 0}, {-1, 0, 0}, width);
  wall("Wall left", {0, 0, 0}, {0, 1, 0}, depth);
  add_sheet(box, "Floor", SheetRole::floor, Role::floor, {0, 0, 0}, {1, 0, 0}, {0, 1, 0}, width,
            depth);
  add_sheet(box, "Ceiling", SheetRole::ceiling, Role::ceiling, {0, depth, height}, {1, 0, 0},
            {0, -1, 0}, width, depth);
  box.room.airs.push_back({});
  box.room.main_air = 0;
  box.room.box.add(Vec3{0, 0, 0});
  box.room.box.add(Vec3{width, depth, height});
  return box;
}

inline Sheet& sheet_of(BoxRoom& box, const std::string& name) {
  for (Sheet& sheet : box.room.sheets)
    if (sheet.name == name) return sheet;
  return box.room.sheets.front();
}

/// An opening as a hole of the wall and a keep-out that carries its name.
inline void add_opening(BoxRoom& box, const std::string& wall, const std::string& name, Role role,
                        double from_left, double up, double width, double height) {
  Sheet& sheet = sheet_of(box, wall);
  const Ring ring = rectangle(from_left, up, from_left + width, up + height);
  sheet.region.holes.push_back({ring[0], ring[3], ring[2], ring[1]});
  Part part;
  part.name = part.path = name;
  box.scene.parts.push_back(part);
  box.room.roles.push_back({role, Build::unknown, -1, "test"});
  SheetKeepOut keep_out;
  keep_out.ring = ring;
  keep_out.what = role;
  keep_out.part = static_cast<int>(box.scene.parts.size()) - 1;
  keep_out.name = name;
  sheet.keep_outs.push_back(keep_out);
}

inline void add_solid(BoxRoom& box, const std::string& name, Role role, const Vec3& low,
                      const Vec3& high) {
  Part part;
  part.name = part.path = name;
  part.closure = Closure::oriented;
  part.first_point = static_cast<std::uint32_t>(box.scene.points.size());
  part.point_count = 8;
  part.first_triangle = static_cast<std::uint32_t>(box.scene.triangles.size());
  part.triangle_count = 12;
  for (int i = 0; i < 8; ++i)
    box.scene.points.push_back({(i & 1) != 0 ? high.x : low.x, (i & 2) != 0 ? high.y : low.y,
                                (i & 4) != 0 ? high.z : low.z});
  const std::uint32_t f = part.first_point;
  constexpr std::uint32_t kFaces[12][3] = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6},
                                           {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7},
                                           {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  for (const auto& t : kFaces) box.scene.triangles.push_back({f + t[0], f + t[1], f + t[2]});
  box.scene.parts.push_back(part);
  box.room.roles.push_back({role, Build::unknown, -1, "test"});
}

inline void add_marker(BoxRoom& box, const std::string& name, const Vec3& p) {
  Part part;
  part.name = part.path = name;
  part.kind = PartKind::marker;
  part.first_point = static_cast<std::uint32_t>(box.scene.points.size());
  part.point_count = 1;
  box.scene.points.push_back(p);
  box.scene.parts.push_back(part);
  box.room.roles.push_back({Role::marker, Build::unknown, -1, "test"});
}

/// A mirror at x = width / 2; frames stay right-handed, each sheet's u again runs left to right.
inline BoxRoom mirrored(const BoxRoom& box) {
  BoxRoom out = box;
  const auto flip = [&](const Vec3& p) { return Vec3{box.width_m - p.x, p.y, p.z}; };
  const auto turn = [](const Vec3& d) { return Vec3{-d.x, d.y, d.z}; };
  for (Vec3& p : out.scene.points) p = flip(p);
  for (auto& t : out.scene.triangles) std::swap(t[1], t[2]);
  const auto flip_ring = [](Ring& ring, double width) {
    for (Vec2& p : ring) p.x = width - p.x;
    std::reverse(ring.begin(), ring.end());
  };
  for (Sheet& sheet : out.room.sheets) {
    const double width = sheet.region.outline[1].x;
    // The mirrored u points the other way: start again from the other end.
    const Vec3 far_end = flip(sheet.frame.to_world(Vec2{width, 0}));
    const Vec3 u = -turn(sheet.frame.u), v = turn(sheet.frame.v);
    sheet.frame = {far_end, u, v, cross(u, v)};
    flip_ring(sheet.region.outline, width);
    for (Ring& hole : sheet.region.holes) flip_ring(hole, width);
    for (SheetKeepOut& keep_out : sheet.keep_outs) flip_ring(keep_out.ring, width);
  }
  return out;
}

/// Turned about the vertical through the origin, then moved.
inline BoxRoom moved(const BoxRoom& box, double turn_rad, const Vec3& by) {
  BoxRoom out = box;
  const double c = std::cos(turn_rad), s = std::sin(turn_rad);
  const auto turn = [&](const Vec3& d) { return Vec3{c * d.x - s * d.y, s * d.x + c * d.y, d.z}; };
  for (Vec3& p : out.scene.points) p = turn(p) + by;
  for (Sheet& sheet : out.room.sheets)
    sheet.frame = {turn(sheet.frame.origin) + by, turn(sheet.frame.u), turn(sheet.frame.v),
                   turn(sheet.frame.n)};
  out.room.box = {};
  for (int i = 0; i < 8; ++i)
    out.room.box.add(turn({(i & 1) != 0 ? box.width_m : 0, (i & 2) != 0 ? box.depth_m : 0,
                           (i & 4) != 0 ? box.height_m : 0}) +
                     by);
  out.room.floor_z_m = by.z;
  return out;
}

}  // namespace roomloom::testing_rooms
