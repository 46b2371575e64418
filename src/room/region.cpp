#include "room/region.h"

#include <algorithm>
#include <cmath>
#include <polyclipping/clipper.hpp>

namespace roomloom {
namespace {

constexpr double kUnits = 1e6;  // to the metre: whole micrometres

ClipperLib::Path to_path(const Ring& ring) {
  ClipperLib::Path path;
  path.reserve(ring.size());
  for (const Vec2& p : ring)
    path.emplace_back(std::llround(p.x * kUnits), std::llround(p.y * kUnits));
  return path;
}

ClipperLib::Paths to_paths(const Region& region) {
  ClipperLib::Paths paths;
  paths.reserve(region.size());
  for (const Ring& ring : region) paths.push_back(to_path(ring));
  return paths;
}

Region to_region(const ClipperLib::Paths& paths) {
  Region region;
  for (const ClipperLib::Path& path : paths) {
    if (path.size() < 3) continue;
    Ring ring;
    ring.reserve(path.size());
    for (const ClipperLib::IntPoint& p : path)
      ring.push_back({static_cast<double>(p.X) / kUnits, static_cast<double>(p.Y) / kUnits});
    region.push_back(std::move(ring));
  }
  return region;
}

Region combined(const Region& a, const Region& b, ClipperLib::ClipType how) {
  ClipperLib::Clipper clipper;
  clipper.StrictlySimple(true);
  clipper.AddPaths(to_paths(a), ClipperLib::ptSubject, true);
  if (!b.empty()) clipper.AddPaths(to_paths(b), ClipperLib::ptClip, true);
  ClipperLib::Paths out;
  clipper.Execute(how, out, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  return to_region(out);
}

}  // namespace

Region united(const Region& rings) {
  Region same_turn = rings;
  for (Ring& ring : same_turn)
    if (signed_area(ring) < 0) std::reverse(ring.begin(), ring.end());
  return combined(same_turn, {}, ClipperLib::ctUnion);
}

Region united(const Region& a, const Region& b) { return combined(a, b, ClipperLib::ctUnion); }
Region without(const Region& a, const Region& b) {
  return combined(a, b, ClipperLib::ctDifference);
}
Region common(const Region& a, const Region& b) {
  return combined(a, b, ClipperLib::ctIntersection);
}

Region grown(const Region& region, double by_m) {
  ClipperLib::ClipperOffset offset(2.0);
  offset.AddPaths(to_paths(region), ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
  ClipperLib::Paths out;
  offset.Execute(out, by_m * kUnits);
  return to_region(out);
}

Region closed(const Region& region, double by_m) { return grown(grown(region, by_m), -by_m); }
Region opened(const Region& region, double by_m) { return grown(grown(region, -by_m), by_m); }

Region left_of(const Region& region, const Vec2& a, const Vec2& b) {
  const Vec2 along = (1.0 / norm(b - a)) * (b - a);
  const Vec2 left{-along.y, along.x};
  double reach = 0, depth = 0;
  for (const Ring& ring : region) {
    for (const Vec2& p : ring) {
      reach = std::max(reach, std::abs(dot(p - a, along)));
      depth = std::max(depth, dot(p - a, left));
    }
  }
  if (depth <= 0) return {};
  const double r = reach + 1, d = depth + 1;
  return common(
      region, {{a - r * along, a + r * along, a + r * along + d * left, a - r * along + d * left}});
}

std::vector<Polygon> polygons(const Region& region) {
  std::vector<Polygon> result;
  for (const Ring& ring : region)
    if (signed_area(ring) > 0) result.push_back({ring, {}});
  std::stable_sort(result.begin(), result.end(), [](const Polygon& a, const Polygon& b) {
    return signed_area(a.outline) > signed_area(b.outline);
  });
  for (const Ring& ring : region) {
    if (signed_area(ring) >= 0) continue;
    Ring turned(ring.rbegin(), ring.rend());
    const Vec2 inside = interior_point({turned, {}});
    for (auto home = result.rbegin(); home != result.rend(); ++home) {  // smallest that holds it
      if (contains(home->outline, inside) && signed_area(home->outline) > signed_area(turned)) {
        home->holes.push_back(ring);
        break;
      }
    }
  }
  return result;
}

Region region_of(const Polygon& polygon) {
  Region region{polygon.outline};
  region.insert(region.end(), polygon.holes.begin(), polygon.holes.end());
  return region;
}

double area(const Region& region) {
  double sum = 0;
  for (const Ring& ring : region) sum += signed_area(ring);
  return sum;
}

bool contains(const Region& region, const Vec2& p) {
  bool inside = false;
  for (const Ring& ring : region)
    if (contains(ring, p)) inside = !inside;
  return inside;
}

Region simplified(const Region& region, double tolerance_m) {
  Region result;
  for (const Ring& ring : region) {
    Ring simpler = simplified(ring, tolerance_m);
    if (simpler.size() >= 3 && std::abs(signed_area(simpler)) > 1e-6)
      result.push_back(std::move(simpler));
  }
  return result;
}

Ring rectangle_ring(const Vec2& low, const Vec2& high) {
  return {low, {high.x, low.y}, high, {low.x, high.y}};
}

Box2 box_of(std::span<const Vec2> ring) {
  Box2 box;
  for (const Vec2& p : ring) box.add(p);
  return box;
}

Box2 box_of(const Region& region) {
  Box2 box;
  for (const Ring& ring : region)
    for (const Vec2& p : ring) box.add(p);
  return box;
}

}  // namespace roomloom
