#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "room/room.h"
#include "sketch/sketch.h"

namespace roomloom::testing_rooms {

inline Scene scene_from(const RoomSketch& sketch) {
  const Result<Solids> solids = build_sketch(sketch);
  if (!solids) {
    ADD_FAILURE() << to_text(solids.error());
    return {};
  }
  return scene_of(*solids);
}

inline Room room_from(const Scene& scene, const Job& job = {}) {
  Result<Room> room = understand_room(scene, job);
  if (!room) {
    ADD_FAILURE() << to_text(room.error());
    return {};
  }
  return *room;
}

inline const Sheet* sheet_named(const Room& room, const std::string& name) {
  for (const Sheet& sheet : room.sheets)
    if (sheet.name == name) return &sheet;
  return nullptr;
}

inline int index_of(const Room& room, const std::string& name) {
  for (std::size_t i = 0; i < room.sheets.size(); ++i)
    if (room.sheets[i].name == name) return static_cast<int>(i);
  return -1;
}

inline const Seam* seam_between(const Room& room, const std::string& a, const std::string& b) {
  const int ia = index_of(room, a), ib = index_of(room, b);
  for (const Seam& seam : room.seams)
    if ((seam.a == ia && seam.b == ib) || (seam.a == ib && seam.b == ia)) return &seam;
  return nullptr;
}

inline PartRule rule(const std::string& match, Role role) {
  PartRule rule;
  rule.match = match;
  rule.role = role;
  rule.pointer = "/parts/0";
  return rule;
}

/// The scene turned about z, then moved.
inline Scene turned(Scene scene, double angle_rad, const Vec3& by = {}) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  for (Vec3& p : scene.points) p = Vec3{c * p.x - s * p.y, s * p.x + c * p.y, p.z} + by;
  return scene;
}

}  // namespace roomloom::testing_rooms
