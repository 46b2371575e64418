#include <algorithm>
#include <cmath>

#include "room/airs.h"
#include "room/region.h"

// Cells tell bodies of air apart but measure them badly: a room of 2.5 m is 2.45 or 2.55 m high in
// them. Once the sheets are known, the room is measured by these.

namespace roomloom {
namespace {

constexpr double kClosed = 0.02;    ///< share of the area by which the sheets may fail to close
constexpr double kBelieved = 0.15;  ///< share of the cells' volume that the sheets' may differ by

bool bounds(const Sheet& sheet, int air) {
  if (sheet.front_air != air) return false;
  switch (sheet.role) {
    case SheetRole::furniture:
    case SheetRole::cupboard:
    case SheetRole::curtain:
      return false;
    default:
      return true;
  }
}

/// A door that reaches the floor is a notch in its wall's outline: walls are taken whole.
double closed_area(const Sheet& sheet) {
  const bool upright = std::abs(sheet.frame.n.z) < 0.5;
  return std::abs(signed_area(upright ? convex_hull(sheet.region.outline) : sheet.region.outline));
}

/// By the divergence theorem over the sheets' outlines: openings count as closed.
void measure_by_sheets(Room& room, int index) {
  Air& air = room.airs[static_cast<std::size_t>(index)];
  Vec3 open{};
  double total = 0, volume = 0;
  Box3 box;
  for (const Sheet& sheet : room.sheets) {
    if (!bounds(sheet, index)) continue;
    const double size = closed_area(sheet);
    open = open + size * sheet.frame.n;
    total += size;
    volume -= size * dot(sheet.frame.origin, sheet.frame.n) / 3;
    for (const Vec2& corner : sheet.region.outline) box.add(sheet.frame.to_world(corner));
  }
  if (total <= 0 || norm(open) > kClosed * total) return;
  if (std::abs(volume - air.volume_m3) > kBelieved * air.volume_m3) return;
  air.volume_m3 = volume;
  air.box = box;
}

void measure_by_voids(Room& room, int index) {
  double volume = 0;
  Box3 box;
  for (const Void& space : room.voids) {
    if (space.air != index || space.kind == VoidKind::bay) continue;
    volume += area(space.plan) * space.height_m;
    for (const Vec2& corner : space.plan.outline)
      for (const double height : {0.0, space.height_m})
        box.add(space.frame.to_world(Vec3{corner.x, corner.y, height}));
  }
  if (volume <= 0) return;
  Air& air = room.airs[static_cast<std::size_t>(index)];
  air.volume_m3 = volume;
  air.box = box;
}

}  // namespace

void measure_airs(Room& room) {
  for (std::size_t i = 0; i < room.airs.size(); ++i) {
    const auto index = static_cast<int>(i);
    if (room.airs[i].kind == AirKind::plenum)
      measure_by_voids(room, index);
    else if (room.airs[i].kind != AirKind::outdoors)
      measure_by_sheets(room, index);
  }
}

}  // namespace roomloom
