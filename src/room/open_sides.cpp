#include "room/open_sides.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/units.h"
#include "room/roles.h"

namespace roomloom {
namespace {

bool level(const Plane& plane) { return std::abs(plane.frame.n.z) > 0.985; }

Region level_region(const Plane& plane, const std::vector<PartRole>& roles, bool floors_only) {
  Region region;
  for (const PlaneMember& member : plane.members) {
    const Role role = roles[static_cast<std::size_t>(member.part)].role;
    if (floors_only ? role != Role::floor : !is_structure(role)) continue;
    const Frame plan{{0, 0, plane.frame.origin.z}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    const Region here = moved(member.region, plane.frame, plan);
    region.insert(region.end(), here.begin(), here.end());
  }
  return region.empty() ? region : united(Region{}, region);
}

struct Floor {
  Polygon outline;
  double z = 0;
};

std::optional<Floor> floor_of(const std::vector<Plane>& planes, const std::vector<PartRole>& roles,
                              const std::optional<Vec3>& seed, bool floors_only) {
  std::optional<Floor> best;
  double score = 0;
  for (const Plane& plane : planes) {
    if (!level(plane)) continue;
    const double z = plane.box.centre().z;
    for (const Polygon& polygon : polygons(closed(level_region(plane, roles, floors_only), 0.02))) {
      if (area(polygon) < 1.5) continue;
      double here = area(polygon);
      if (seed) {
        if (z > seed->z || !contains(polygon.outline, {seed->x, seed->y})) continue;
        here = 1 / (0.01 + seed->z - z);  // the nearest below
      }
      // A slab has an upper and a lower face of one size: the upper one is the floor.
      const bool upper =
          best && std::abs(here - score) < 0.05 * score && z > best->z && z < best->z + 0.6;
      // A ceiling of about the floor's size is a storey above it, and no floor to plan over.
      const bool above = best && !seed && z > best->z + 1.5 && here < 1.4 * score;
      const bool below = best && !seed && z < best->z - 1.5 && here > score / 1.4;
      if ((here > 1.05 * score && !above) || upper || below) {
        best = Floor{polygon, z};
        score = here;
      }
    }
  }
  return best;
}

}  // namespace

std::optional<FloorPrism> floor_prism(const Scene& scene, const std::vector<Plane>& planes,
                                      const std::vector<PartRole>& roles,
                                      const std::optional<Vec3>& seed) {
  auto floor = floor_of(planes, roles, seed, true);
  if (!floor) floor = floor_of(planes, roles, seed, false);
  if (!floor) return std::nullopt;
  FloorPrism prism;
  prism.outline.outline = simplified(floor->outline.outline, 0.02);
  prism.low_z = floor->z;
  prism.high_z = Box3::kInf;
  const Region plan{prism.outline.outline};
  for (const Plane& plane : planes) {
    const double z = plane.box.centre().z;
    if (!level(plane) || z < prism.low_z + 1.8 || z > prism.high_z) continue;
    if (area(common(level_region(plane, roles, false), plan)) > 0.3 * area(plan)) prism.high_z = z;
  }
  if (prism.high_z < Box3::kInf) return prism;
  prism.high_z = prism.low_z;  // no ceiling: as high as the walls
  for (std::size_t i = 0; i < roles.size(); ++i) {
    if (!is_structure(roles[i].role)) continue;
    const Box3 box = box_of(scene, scene.parts[i]);
    if (box.low.z < prism.low_z + 1) prism.high_z = std::max(prism.high_z, box.high.z);
  }
  prism.height_guessed = prism.high_z < prism.low_z + 1.5;
  if (prism.height_guessed) prism.high_z = prism.low_z + 2.5;
  return prism;
}

void block_outside(Voxels& voxels, const FloorPrism& prism) {
  const std::vector<Polygon> wide = polygons(grown({prism.outline.outline}, 0.3 * voxels.cell));
  if (wide.empty()) return;
  for (int y = 0; y < voxels.ny; ++y) {
    for (int x = 0; x < voxels.nx; ++x) {
      const Vec3 at = voxels.centre(x, y, 0);
      const bool in_plan = contains(wide.front().outline, {at.x, at.y});
      for (int z = 0; z < voxels.nz; ++z) {
        const double height = voxels.centre(x, y, z).z;
        const bool in = in_plan && height > prism.low_z - voxels.cell && height < prism.high_z;
        std::uint8_t& cell = voxels.blocked[voxels.index(x, y, z)];
        if (!in && cell == 0) cell = 2;
      }
    }
  }
}

std::vector<VirtualSide> open_sides_of(const Voxels& voxels, int pocket, const FloorPrism& prism) {
  const Ring& ring = prism.outline.outline;
  std::vector<double> open(ring.size() + 1, 0.0);
  const double face = voxels.cell * voxels.cell;
  const auto virtual_at = [&](int x, int y, int z) {
    return voxels.inside(x, y, z) && voxels.blocked[voxels.index(x, y, z)] == 2;
  };
  for (int z = 0; z < voxels.nz; ++z) {
    for (int y = 0; y < voxels.ny; ++y) {
      for (int x = 0; x < voxels.nx; ++x) {
        if (voxels.label[voxels.index(x, y, z)] != pocket) continue;
        if (virtual_at(x, y, z + 1)) open.back() += face;
        const int sides = virtual_at(x + 1, y, z) + virtual_at(x - 1, y, z) +
                          virtual_at(x, y + 1, z) + virtual_at(x, y - 1, z);
        if (sides == 0) continue;
        const Vec3 at = voxels.centre(x, y, z);
        std::size_t nearest = 0;
        double least = Box3::kInf;
        for (std::size_t i = 0; i < ring.size(); ++i) {
          const double away = segment_distance({at.x, at.y}, ring[i], ring[(i + 1) % ring.size()]);
          if (away < least) {
            least = away;
            nearest = i;
          }
        }
        open[nearest] += sides * face;
      }
    }
  }
  std::vector<VirtualSide> result;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    if (open[i] < 0.1) continue;
    const Vec2 &a = ring[i], &b = ring[(i + 1) % ring.size()];
    const Vec2 along = (1 / norm(b - a)) * (b - a);
    VirtualSide side;
    side.frame = {
        {b.x, b.y, prism.low_z}, {-along.x, -along.y, 0}, {0, 0, 1}, {-along.y, along.x, 0}};
    side.region = {rectangle_ring({0, 0}, {norm(b - a), prism.high_z - prism.low_z})};
    side.open_m2 = open[i];
    result.push_back(std::move(side));
  }
  if (open.back() >= 0.1) {
    VirtualSide top;
    top.frame = {{0, 0, prism.high_z}, {1, 0, 0}, {0, -1, 0}, {0, 0, -1}};
    Ring mirrored;
    for (auto p = ring.rbegin(); p != ring.rend(); ++p) mirrored.push_back({p->x, -p->y});
    top.region = {mirrored};
    top.open_m2 = open.back();
    result.push_back(std::move(top));
  }
  return result;
}

std::string describe(const VirtualSide& side, DisplayUnits units) {
  const std::string size = ", " + format_area(side.open_m2, units, 1);
  const auto length = [&](double metres) { return format_length(metres, units, 2); };
  if (std::abs(side.frame.n.z) > 0.9) return "above, at " + length(side.frame.origin.z) + size;
  const Box2 box = box_of(side.region);
  const Vec3 a = side.frame.to_world(Vec2{box.high.x, 0});
  const Vec3 b = side.frame.to_world(Vec2{box.low.x, 0});
  return "from (" + length(a.x) + ", " + length(a.y) + ") to (" + length(b.x) + ", " + length(b.y) +
         ")" + size;
}

}  // namespace roomloom
