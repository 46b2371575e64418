#include <algorithm>
#include <cmath>

#include "room/sheets.h"

namespace roomloom {
namespace {

// A scan rounds corners and stops short of them.
constexpr double kReach = 0.14, kNoisy = 0.003;

struct Line {
  Vec2 point, along;
  double away(const Vec2& p) const { return cross(along, p - point); }
};

// Where the other sheet's plane cuts this one.
std::optional<Line> cut_of(const Sheet& sheet, const Sheet& other) {
  const Vec3 d = cross(sheet.frame.n, other.frame.n);
  if (norm(d) < 0.3) return std::nullopt;
  const double h = other.frame.height(sheet.frame.origin);
  const Vec3 slope = other.frame.n - dot(other.frame.n, sheet.frame.n) * sheet.frame.n;
  const Vec3 on = sheet.frame.origin - (h / dot(slope, slope)) * slope;
  const Vec3 u = normalized(d);
  return Line{sheet.frame.to_plane(on), {dot(u, sheet.frame.u), dot(u, sheet.frame.v)}};
}

struct Neighbour {
  Line line;
  Box3 box;
};

std::vector<Neighbour> neighbours_of(const Room& room, const Sheet& sheet) {
  std::vector<Neighbour> neighbours;
  for (const Sheet& other : room.sheets) {
    if (&other == &sheet || other.role == SheetRole::open_side || area(other.region) < 0.3)
      continue;
    const auto line = cut_of(sheet, other);
    if (!line) continue;
    Box3 box;
    for (const Vec2& p : other.region.outline) box.add(other.frame.to_world(p));
    neighbours.push_back({*line, box.grown(1.5 * kReach)});
  }
  return neighbours;
}

// Onto the nearest line, or where the two nearest meet.
Vec2 drawn(const Sheet& sheet, const std::vector<Neighbour>& neighbours, const Vec2& p) {
  const Neighbour* first = nullptr;
  const Neighbour* second = nullptr;
  const auto away = [&](const Neighbour* n) { return n ? std::abs(n->line.away(p)) : kReach; };
  for (const Neighbour& n : neighbours) {
    if (away(&n) >= kReach || !n.box.contains(sheet.frame.to_world(p))) continue;
    if (away(&n) < away(first)) {
      second = first;
      first = &n;
    } else if (away(&n) < away(second)) {
      second = &n;
    }
  }
  if (!first) return p;
  const Line& a = first->line;
  const Vec2 on = a.point + dot(p - a.point, a.along) * a.along;
  if (!second) return on;
  const Line& b = second->line;
  const double turn = cross(a.along, b.along);
  if (std::abs(turn) < 0.3) return on;
  return a.point + (cross(b.point - a.point, b.along) / turn) * a.along;
}

}  // namespace

void draw_scans_to_corners(Room& room) {
  std::vector<Polygon> moved(room.sheets.size());
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    moved[i] = sheet.region;
    if (sheet.residual_m < kNoisy) continue;
    const auto neighbours = neighbours_of(room, sheet);
    Ring ring;
    for (const Vec2& p : sheet.region.outline) ring.push_back(drawn(sheet, neighbours, p));
    const auto shapes = polygons(without(united({ring}), {}));
    if (shapes.empty() || area(shapes.front()) < 0.5 * area(sheet.region)) continue;
    moved[i].outline = simplified(shapes.front().outline, 0.005);
    std::erase_if(moved[i].holes, [&](const Ring& hole) {
      return !contains(moved[i].outline, centroid(hole)) || std::abs(signed_area(hole)) < 0.03;
    });
  }
  for (std::size_t i = 0; i < moved.size(); ++i) {
    Sheet& sheet = room.sheets[i];
    if (sheet.residual_m < kNoisy) continue;
    const Box2 box = box_of(moved[i].outline);
    for (Vec2& p : moved[i].outline) p = p - box.low;
    for (Ring& hole : moved[i].holes)
      for (Vec2& p : hole) p = p - box.low;
    sheet.frame.origin = sheet.frame.to_world(box.low);
    sheet.region = std::move(moved[i]);
  }
}

void measure_residuals(const Scene& scene, const std::vector<int>& scans, Room& room) {
  constexpr double kFarthest = 0.06, kShare = 0.9, kFromBorder = 0.1;
  for (Sheet& sheet : room.sheets) {
    if (sheet.role == SheetRole::open_side) continue;
    const Box2 box = box_of(sheet.region.outline);
    std::vector<double> strays;
    for (const int scan : scans) {
      const Part& part = scene.parts[static_cast<std::size_t>(scan)];
      for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
        const auto& t = scene.triangles[part.first_triangle + i];
        const Vec3 &a = scene.points[t[0]], &b = scene.points[t[1]], &c = scene.points[t[2]];
        const Vec3 middle = (a + b + c) / 3.0;
        const double away = std::abs(sheet.frame.height(middle));
        const Vec2 at = sheet.frame.to_plane(middle);
        if (away > kFarthest || at.x < box.low.x + kFromBorder || at.x > box.high.x - kFromBorder ||
            at.y < box.low.y + kFromBorder || at.y > box.high.y - kFromBorder)
          continue;
        if (std::abs(dot(normalized(cross(b - a, c - a)), sheet.frame.n)) > 0.85)
          strays.push_back(away);
      }
    }
    if (strays.size() < 50) continue;
    const auto at =
        strays.begin() + static_cast<std::ptrdiff_t>(kShare * static_cast<double>(strays.size()));
    std::nth_element(strays.begin(), at, strays.end());
    sheet.residual_m = std::max(sheet.residual_m, *at);
  }
}

}  // namespace roomloom
