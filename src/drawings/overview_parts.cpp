#include "drawings/overview_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

namespace roomloom {
namespace {

constexpr double kEdgeOn = 0.02;
constexpr double kThickness = 0.10;
constexpr double kPartBias = 0.006;  // a door's face may lie in the wall's own plane
constexpr std::uint32_t kMostTrianglesWithEdges = 20000;

bool is_shell(const Sheet& sheet) {
  return sheet.role == SheetRole::wall || sheet.role == SheetRole::floor ||
         sheet.role == SheetRole::slope;
}

Rgb lit(const Rgb& base, const Vec3& normal) {
  // Three faces of a box in three tones, whichever way the room is turned.
  const double light = 0.88 + 0.12 * std::max(0.0, normal.z) + 0.07 * normal.x - 0.05 * normal.y;
  return {std::min(1.0, base.r * light), std::min(1.0, base.g * light),
          std::min(1.0, base.b * light)};
}

std::vector<std::vector<Vec3>> rings_of(const Sheet& sheet) {
  std::vector<std::vector<Vec3>> rings;
  const auto add = [&](const Ring& ring) {
    rings.emplace_back();
    for (const Vec2& p : ring) rings.back().push_back(sheet.frame.to_world(p));
  };
  add(sheet.region.outline);
  for (const Ring& hole : sheet.region.holes) add(hole);
  return rings;
}

/// Doors, windows and outlets of walls that are cut away go with them.
std::set<int> parts_of_cut_walls(const Room& room, const Vec3& toward) {
  std::set<int> parts;
  for (const Sheet& sheet : room.sheets) {
    if (dot(sheet.frame.n, toward) > 0 || sheet.role == SheetRole::furniture) continue;
    for (const SheetKeepOut& keep_out : sheet.keep_outs) {
      const bool in_wall = keep_out.what == Role::door || keep_out.what == Role::window ||
                           keep_out.what == Role::outlet || keep_out.what == Role::vent;
      if (in_wall && keep_out.part >= 0) parts.insert(keep_out.part);
    }
  }
  return parts;
}

enum class Look { none, solid, see_through };

Look look_of(const PartRole& role, double low_z, double ceiling_z) {
  switch (role.role) {
    case Role::wall:
    case Role::floor:
    case Role::ceiling:
    case Role::suspended_ceiling:
    case Role::deck:
    case Role::marker:
    case Role::ignore:
    case Role::hole:
      return Look::none;
    case Role::window:
    case Role::curtain:
      return Look::see_through;
    default:
      return low_z > ceiling_z - 0.2 ? Look::see_through : Look::solid;
  }
}

Rgb tone_of(Role role) {
  switch (role) {
    case Role::seat:
      return {0.55, 0.58, 0.62};
    case Role::door:
      return {0.78, 0.70, 0.60};
    case Role::window:
      return {0.70, 0.80, 0.88};
    case Role::curtain:
      return {0.60, 0.62, 0.66};
    case Role::cupboard:
    case Role::furniture:
      return {0.74, 0.68, 0.60};
    default:
      return {0.70, 0.70, 0.70};
  }
}

double lowest_ceiling(const Room& room) {
  double z = room.box.high.z;
  for (const TileGrid& grid : room.grids)
    z = std::min(z, room.sheets[static_cast<std::size_t>(grid.sheet)].frame.origin.z);
  return z;
}

using Key = std::array<long, 3>;
Key key_of(const Vec3& p) {
  return {std::lround(p.x * 2000), std::lround(p.y * 2000), std::lround(p.z * 2000)};
}

std::pair<Key, Key> edge_key(const Vec3& a, const Vec3& b) {
  const Key p = key_of(a);
  const Key q = key_of(b);
  return {std::min(p, q), std::max(p, q)};
}

/// Edges at which a part's surface turns by more than 30 degrees or ends.
void draw_edges(Raster& raster, const Scene& scene, const Part& part, double opacity) {
  struct Side {
    Vec3 a, b, normal;
    bool sharp = true;
  };
  std::map<std::pair<Key, Key>, Side> edges;
  for (std::uint32_t t = part.first_triangle; t < part.first_triangle + part.triangle_count; ++t) {
    const auto& corner = scene.triangles[t];
    const Vec3& p = scene.points[corner[0]];
    const Vec3 normal = normalized(cross(scene.points[corner[1]] - p, scene.points[corner[2]] - p));
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3& a = scene.points[corner[k]];
      const Vec3& b = scene.points[corner[(k + 1) % 3]];
      const auto [found, fresh] = edges.try_emplace(edge_key(a, b), Side{a, b, normal});
      if (!fresh) found->second.sharp = std::abs(dot(found->second.normal, normal)) < 0.866;
    }
  }
  for (const auto& [key, side] : edges) {
    if (side.sharp)
      raster.line(side.a, side.b, 1.1, {0.28, 0.28, 0.28}, opacity, kPartBias + 0.004);
  }
}

void draw_part(Raster& raster, const Scene& scene, const Part& part, const Rgb& tone,
               const Vec3& toward, double opacity) {
  for (std::uint32_t t = part.first_triangle; t < part.first_triangle + part.triangle_count; ++t) {
    const auto& corner = scene.triangles[t];
    const Vec3& a = scene.points[corner[0]];
    const Vec3& b = scene.points[corner[1]];
    const Vec3& c = scene.points[corner[2]];
    Vec3 normal = normalized(cross(b - a, c - a));
    if (dot(normal, toward) <= 0) {
      if (part.closure == Closure::oriented) continue;
      normal = -normal;
    }
    raster.face({{a, b, c}}, lit(tone, normal), opacity, kPartBias);
  }
  if (part.triangle_count <= kMostTrianglesWithEdges)
    draw_edges(raster, scene, part, std::min(1.0, opacity * 1.6));
}

void draw_gear(Raster& raster, const GearBox& gear, const Vec3& toward) {
  const auto corner = [&](int i) {
    return gear.frame.to_world(Vec3{(i & 1) != 0 ? gear.size.x : 0.0,
                                    (i & 2) != 0 ? gear.size.y : 0.0,
                                    (i & 4) != 0 ? gear.size.z : 0.0});
  };
  const Vec3 middle = 0.5 * (corner(0) + corner(7));
  constexpr int kFaces[6][4] = {{0, 2, 6, 4}, {1, 5, 7, 3}, {0, 4, 5, 1},
                                {2, 3, 7, 6}, {0, 1, 3, 2}, {4, 6, 7, 5}};
  for (const auto& face : kFaces) {
    const std::vector<Vec3> ring = {corner(face[0]), corner(face[1]), corner(face[2]),
                                    corner(face[3])};
    Vec3 normal = normalized(cross(ring[1] - ring[0], ring[2] - ring[0]));
    if (dot(normal, 0.25 * (ring[0] + ring[1] + ring[2] + ring[3]) - middle) < 0) normal = -normal;
    if (dot(normal, toward) <= 0) continue;
    raster.face({ring}, lit({0.36, 0.38, 0.42}, normal));
    for (std::size_t i = 0; i < 4; ++i)
      raster.line(ring[i], ring[(i + 1) % 4], 1.2, {0.15, 0.15, 0.15}, 1, 0.01);
  }
}

/// The outline of a wall that is cut away.
void ghost(Raster& raster, const Sheet& sheet) {
  const std::vector<std::vector<Vec3>> rings = rings_of(sheet);
  for (const std::vector<Vec3>& ring : rings) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec3& a = ring[i];
      const Vec3 way = ring[(i + 1) % ring.size()] - a;
      const int dashes = std::max(1, static_cast<int>(norm(way) / 0.12));
      for (int k = 0; k < dashes; ++k) {
        raster.line(a + (static_cast<double>(k) / dashes) * way, a + ((k + 0.5) / dashes) * way,
                    1.2, {0.45, 0.45, 0.48}, 0.8, 0.01);
      }
    }
  }
}

}  // namespace

void draw_shell(Raster& raster, const DrawingRequest& r, const Vec3& toward) {
  for (const Sheet& sheet : r.room.sheets) {
    if (!is_shell(sheet) || dot(sheet.frame.n, toward) <= kEdgeOn) continue;
    const bool floor = sheet.role == SheetRole::floor;
    const Rgb tone = floor ? Rgb{0.93, 0.89, 0.82} : Rgb{0.98, 0.97, 0.95};
    const std::vector<std::vector<Vec3>> rings = rings_of(sheet);
    for (const std::vector<Vec3>& ring : rings) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        const Vec3& a = ring[i];
        const Vec3& b = ring[(i + 1) % ring.size()];
        const Vec3 back = -kThickness * sheet.frame.n;
        raster.face({{a, b, b + back, a + back}}, {0.52, 0.52, 0.53}, 1, -0.004);
      }
    }
    raster.face(rings, lit(tone, sheet.frame.n));
    for (const std::vector<Vec3>& ring : rings) {
      for (std::size_t i = 0; i < ring.size(); ++i)
        raster.line(ring[i], ring[(i + 1) % ring.size()], 1.6, {0.35, 0.35, 0.35}, 1, 0.004);
    }
  }
}

void draw_furnishing(Raster& raster, const DrawingRequest& r, const Vec3& toward,
                     bool see_through) {
  const std::set<int> cut = parts_of_cut_walls(r.room, toward);
  const double ceiling = lowest_ceiling(r.room);
  const Box3 around = r.room.box.grown(0.3);
  for (std::size_t i = 0; i < r.scene.parts.size() && i < r.room.roles.size(); ++i) {
    const Part& part = r.scene.parts[i];
    if (part.kind != PartKind::mesh || cut.count(static_cast<int>(i)) != 0) continue;
    Box3 box;
    for (std::uint32_t k = 0; k < part.point_count; ++k)
      box.add(r.scene.points[part.first_point + k]);
    if (box.empty() || !around.overlaps(box)) continue;
    const Look look = look_of(r.room.roles[i], box.low.z, ceiling);
    if (look != (see_through ? Look::see_through : Look::solid)) continue;
    draw_part(raster, r.scene, part, tone_of(r.room.roles[i].role), toward, see_through ? 0.22 : 1);
  }
  if (see_through) return;
  for (const GearBox& gear : r.ends.gear) draw_gear(raster, gear, toward);
}

void draw_outlines(Raster& raster, const DrawingRequest& r, const Vec3& toward) {
  for (const Sheet& sheet : r.room.sheets) {
    if (is_shell(sheet) && dot(sheet.frame.n, toward) <= kEdgeOn) ghost(raster, sheet);
  }
  for (const TileGrid& grid : r.room.grids) {
    const Frame& frame = r.room.sheets[static_cast<std::size_t>(grid.sheet)].frame;
    std::set<std::pair<Key, Key>> drawn;
    for (const Tile& tile : grid.tiles) {
      for (std::size_t i = 0; i < tile.ring.size(); ++i) {
        const Vec3 a = frame.to_world(tile.ring[i]);
        const Vec3 b = frame.to_world(tile.ring[(i + 1) % tile.ring.size()]);
        if (drawn.insert(edge_key(a, b)).second)
          raster.line(a, b, 1.2, {0.30, 0.34, 0.40}, 0.38, 0.002);
      }
    }
  }
}

}  // namespace roomloom
