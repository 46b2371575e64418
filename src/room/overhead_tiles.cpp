#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <set>

#include "base/units.h"
#include "geometry/triangles.h"
#include "room/roles.h"

// Suspended ceilings that are modelled tile by tile and whose parts no name tells apart. Sizes and
// limits: common practice, no source.

namespace roomloom {
namespace {

constexpr double kThickest_m = 0.06;  // of tiles and of what bears them
constexpr double kSmallestTile_m = 0.3, kLargestTile_m = 1.25, kAlike_m = 0.005;
constexpr double kOneLevel_m = 0.005;   // tiles' undersides
constexpr double kBearing_m = 0.03;     // tees hang lower than tiles, or higher, by up to this
constexpr double kWidestGap_m = 0.035;  // a tee lies between
constexpr std::size_t kFewestTiles = 4;

/// A thin level part. Its box lies along the set that it is tried for.
struct Plate {
  int part = -1;
  UprightBox upright;
  Box2 box;
  bool is_tile = false;
};

/// Plates side by side on one level.
struct TileSet {
  std::vector<Plate> plates;
  double low_z = 0, high_z = 0;
};

double level_area(const Scene& scene, const Part& part) {
  double down = 0, up = 0;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    const auto& [a, b, c] = scene.triangles[part.first_triangle + i];
    const Vec3 n = cross(scene.points[b] - scene.points[a], scene.points[c] - scene.points[a]);
    if (std::abs(n.z) < 0.999 * norm(n)) continue;
    (n.z > 0 ? up : down) += 0.5 * norm(n);
  }
  return std::max(up, down);
}

std::vector<Plate> plates_in(const Scene& scene, const std::vector<PartRole>& roles) {
  constexpr double kFull = 0.8, kCut = 0.3;  // of the rectangle round it
  std::vector<Plate> plates;
  for (std::size_t i = 0; i < roles.size(); ++i) {
    const Part& part = scene.parts[i];
    if (roles[i].role != Role::automatic || part.kind != PartKind::mesh) continue;
    if (box_of(scene, part).size().z > kThickest_m) continue;
    Plate plate{static_cast<int>(i), upright_box(scene, part), {}, false};
    const UprightBox& box = plate.upright;
    const double level = level_area(scene, part), whole = box.length * box.width;
    if (whole <= 0 || level < kCut * whole || box.width > kLargestTile_m) continue;
    plate.is_tile =
        box.width >= kSmallestTile_m && box.length <= kLargestTile_m && level >= kFull * whole;
    plates.push_back(plate);
  }
  return plates;
}

/// How far a plate's sides are from running along a direction, quarter turns being alike.
double turned_off(const Plate& plate, const Vec2& along) {
  const Vec2& own = plate.upright.along;
  return std::abs(std::remainder(std::atan2(own.y, own.x) - std::atan2(along.y, along.x), kPi / 2));
}

Box2 box_along(const Scene& scene, const Plate& plate, const Vec2& along) {
  const Part& part = scene.parts[static_cast<std::size_t>(plate.part)];
  Box2 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i) {
    const Vec3& p = scene.points[part.first_point + i];
    box.add(Vec2{along.x * p.x + along.y * p.y, along.x * p.y - along.y * p.x});
  }
  return box;
}

/// Whether two plates lie beside each other: no farther apart than a tee is wide, neither on the
/// other, and not by their corners alone.
bool is_beside(const Plate& a, const Plate& b) {
  constexpr double kOn_m = 0.02, kLeastSide = 0.3;  // of the narrower one
  const double gap_x = std::max(a.box.low.x, b.box.low.x) - std::min(a.box.high.x, b.box.high.x);
  const double gap_y = std::max(a.box.low.y, b.box.low.y) - std::min(a.box.high.y, b.box.high.y);
  const double gap = std::max(gap_x, gap_y), common = -std::min(gap_x, gap_y);
  const double narrower = std::min(a.upright.width, b.upright.width);
  return gap <= kWidestGap_m && (gap >= -kOn_m || !a.is_tile || !b.is_tile) &&
         common >= kLeastSide * narrower;
}

/// Sorts plates along x, then follows neighbours. One list of places in `plates` a set.
std::vector<std::vector<std::size_t>> joined(std::vector<Plate>& plates) {
  std::sort(plates.begin(), plates.end(), [](const Plate& a, const Plate& b) {
    return a.box.low.x != b.box.low.x ? a.box.low.x < b.box.low.x : a.part < b.part;
  });
  std::vector<std::size_t> leader(plates.size());
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  const auto leader_of = [&](std::size_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  for (std::size_t i = 0; i < plates.size(); ++i)
    for (std::size_t k = i + 1; k < plates.size(); ++k) {
      if (plates[k].box.low.x > plates[i].box.high.x + kWidestGap_m) break;
      if (is_beside(plates[i], plates[k])) leader[leader_of(k)] = leader_of(i);
    }
  std::vector<std::vector<std::size_t>> sets(plates.size());
  for (std::size_t i = 0; i < plates.size(); ++i) sets[leader_of(i)].push_back(i);
  std::erase_if(sets, [](const auto& set) { return set.size() < kFewestTiles; });
  return sets;
}

bool has_alike_tiles(const std::vector<Plate>& plates) {
  for (const Plate& one : plates) {
    if (!one.is_tile) continue;
    const auto alike = std::count_if(plates.begin(), plates.end(), [&](const Plate& other) {
      return other.is_tile && std::abs(other.upright.length - one.upright.length) < kAlike_m &&
             std::abs(other.upright.width - one.upright.width) < kAlike_m;
    });
    if (static_cast<std::size_t>(alike) >= kFewestTiles) return true;
  }
  return false;
}

/// The sets of one level and direction, given by a tile.
std::vector<TileSet> sets_like(const Scene& scene, const std::vector<Plate>& plates,
                               const Plate& first) {
  constexpr double kAlong = radians(0.5);
  const Vec2 along = first.upright.along;
  const double level = first.upright.low_z;
  std::vector<Plate> near;
  for (Plate plate : plates) {
    const double off = std::abs(plate.upright.low_z - level);
    if (off > (plate.is_tile ? kOneLevel_m : kBearing_m)) continue;
    if (plate.is_tile && turned_off(plate, along) > kAlong) continue;
    plate.box = box_along(scene, plate, along);
    near.push_back(plate);
  }
  std::vector<TileSet> sets;
  for (const auto& places : joined(near)) {
    TileSet set{{}, Box3::kInf, -Box3::kInf};
    for (const std::size_t i : places) {
      set.plates.push_back(near[i]);
      if (!near[i].is_tile) continue;
      set.low_z = std::min(set.low_z, near[i].upright.low_z);
      set.high_z = std::max(set.high_z, near[i].upright.high_z);
    }
    if (has_alike_tiles(set.plates)) sets.push_back(std::move(set));
  }
  return sets;
}

std::vector<TileSet> tile_sets(const Scene& scene, const std::vector<PartRole>& roles) {
  const std::vector<Plate> plates = plates_in(scene, roles);
  std::vector<TileSet> sets;
  std::vector<Plate> done;
  for (const Plate& first : plates) {
    if (!first.is_tile) continue;
    const bool known = std::any_of(done.begin(), done.end(), [&](const Plate& other) {
      return std::abs(other.upright.low_z - first.upright.low_z) < kOneLevel_m &&
             turned_off(other, first.upright.along) < radians(0.5);
    });
    if (known) continue;
    done.push_back(first);
    for (TileSet& set : sets_like(scene, plates, first)) sets.push_back(std::move(set));
  }
  return sets;
}

/// All that is modelled, to look up and down from a set and round it.
struct Around {
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<int> part;  ///< of each
  Box3 box;
  std::optional<TriangleTree> tree;

  Around(const Scene& scene, const std::vector<PartRole>& roles) {
    for (std::size_t i = 0; i < roles.size(); ++i) {
      const Part& part = scene.parts[i];
      if (roles[i].role == Role::ignore || part.kind != PartKind::mesh) continue;
      box.add(box_of(scene, part));
      for (std::uint32_t t = 0; t < part.triangle_count; ++t)
        triangles.push_back(scene.triangles[part.first_triangle + t]);
      this->part.resize(triangles.size(), static_cast<int>(i));
    }
    tree.emplace(scene.points, triangles);
  }
  /// How far it is clear, up to `limit`.
  double clear(const Vec3& from, const Vec3& direction, double limit) const {
    const auto hit = tree->first_hit(from, direction, 0, limit);
    return hit ? hit->t : Box3::kInf;
  }
  /// How far it is clear over a plate, from its upper side.
  double clear_over(const Plate& plate, double limit) const {
    constexpr double kWithin = 1e-3;  // from inside the plate: what lies right on it counts, too
    const Vec2& c = plate.upright.centre;
    const Vec3 from{c.x, c.y, plate.upright.high_z - kWithin};
    for (const RayHit& hit : tree->hits(from, from + Vec3{0, 0, limit}))
      if (part[hit.triangle] != plate.part) return std::max(0.0, hit.t - kWithin);
    return Box3::kInf;
  }
};

double middle_of(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2),
                   values.end());
  return values[values.size() / 2];
}

/// A room's height of air below, and a lower one above, under something.
bool hangs_overhead(const Around& around, const TileSet& set) {
  constexpr double kLowest_m = 1.9, kMostlyClear_m = 1, kDeepest_m = 20;
  constexpr double kShallowest_m = 0.03, kHighestVoid_m = 2, kOff = 1e-3;
  std::vector<double> below, above;
  for (const Plate& plate : set.plates) {
    if (!plate.is_tile) continue;
    const Vec2& c = plate.upright.centre;
    below.push_back(around.clear({c.x, c.y, set.low_z - kOff}, {0, 0, -1}, kDeepest_m));
    above.push_back(around.clear_over(plate, kDeepest_m));
  }
  const double usual = middle_of(below), height = middle_of(above);
  double floor = 0;  // the deepest that is there at all
  for (const double depth : below)
    if (std::isfinite(depth)) floor = std::max(floor, depth);
  return std::isfinite(usual) && usual >= kMostlyClear_m && floor >= kLowest_m &&
         height >= kShallowest_m && height <= std::min(kHighestVoid_m, floor);
}

/// Just under the set, from under it to the walls: whether most of that lies under it, or under
/// what is let into it.
bool covers_its_room(const Around& around, const TileSet& set) {
  constexpr double kUnder_m = 0.05, kStep_m = 0.1, kMostSteps = 400, kLeastShare = 0.75;
  const double z = set.low_z - kUnder_m;
  const Vec3 size = around.box.size();
  const double step = std::max(kStep_m, std::max(size.x, size.y) / kMostSteps);
  const int nx = static_cast<int>(size.x / step) + 1, ny = static_cast<int>(size.y / step) + 1;
  const auto at = [&](int x, int y) {
    return around.box.low + Vec3{(x + 0.5) * step, (y + 0.5) * step, 0};
  };
  std::vector<bool> seen(static_cast<std::size_t>(nx) * static_cast<std::size_t>(ny), false);
  std::vector<std::array<int, 2>> open;
  const auto visit = [&](int x, int y) {
    const std::size_t i =
        static_cast<std::size_t>(y) * static_cast<std::size_t>(nx) + static_cast<std::size_t>(x);
    if (seen[i]) return;
    seen[i] = true;
    open.push_back({x, y});
  };
  for (const Plate& plate : set.plates) {
    if (!plate.is_tile) continue;
    const Vec2 off = plate.upright.centre - Vec2{around.box.low.x, around.box.low.y};
    visit(std::clamp(static_cast<int>(off.x / step), 0, nx - 1),
          std::clamp(static_cast<int>(off.y / step), 0, ny - 1));
  }
  const double reach = set.high_z - z + kBearing_m;
  std::size_t reached = 0, covered = 0;
  while (!open.empty()) {
    const auto [x, y] = open.back();
    open.pop_back();
    Vec3 from = at(x, y);
    from.z = z;
    ++reached;
    covered += std::isfinite(around.clear(from, {0, 0, 1}, reach));
    for (const auto& [dx, dy] : {std::array{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
      const int to_x = x + dx, to_y = y + dy;
      if (to_x < 0 || to_y < 0 || to_x >= nx || to_y >= ny) continue;
      if (std::isfinite(around.clear(from, Vec3{1.0 * dx, 1.0 * dy, 0}, step))) continue;
      visit(to_x, to_y);
    }
  }
  return static_cast<double>(covered) >= kLeastShare * static_cast<double>(reached);
}

void tell_tiles(const Scene& scene, const std::vector<int>& parts, const TileSet& set,
                DisplayUnits units, std::vector<Guess>& guesses) {
  const std::string pattern = pattern_for(scene, parts);
  const bool for_all =
      pattern.ends_with('*') || std::all_of(parts.begin(), parts.end(), [&](int part) {
        return scene.parts[static_cast<std::size_t>(part)].name == pattern;
      });
  guesses.push_back({"Suspended ceiling at " + format_length(set.low_z, units, 3),
                     std::to_string(parts.size()) + " parts like " +
                         display_name(scene, parts.front()) + " are its tiles",
                     "they are thin, level and alike, lie side by side overhead from wall to wall, "
                     "and have air above; no name says what they are",
                     "\"parts\": [{ \"match\": \"" + pattern + "\", \"is\": \"obstacle\" }]" +
                         (for_all ? "" : ", and so for each of them")});
}

}  // namespace

void add_overhead_tiles(const Scene& scene, DisplayUnits units, std::vector<PartRole>& roles,
                        std::vector<Guess>& guesses) {
  const std::vector<TileSet> sets = tile_sets(scene, roles);
  if (sets.empty()) return;
  const Around around(scene, roles);
  for (const TileSet& set : sets) {
    if (!hangs_overhead(around, set) || !covers_its_room(around, set)) continue;
    std::vector<int> parts;
    for (const Plate& plate : set.plates) {
      PartRole& role = roles[static_cast<std::size_t>(plate.part)];
      if (role.role != Role::automatic) continue;
      role.role = Role::suspended_ceiling;
      role.why = "it is one of many thin plates side by side overhead, with air above";
      parts.push_back(plate.part);
    }
    std::sort(parts.begin(), parts.end());
    if (!parts.empty()) tell_tiles(scene, parts, set, units, guesses);
  }
}

}  // namespace roomloom
