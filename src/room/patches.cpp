#include <algorithm>
#include <cmath>

#include "room/roles.h"
#include "room/sheets.h"

namespace roomloom {
namespace {

constexpr double kMeets = 0.015;  // planes that miss each other by less still part patches
constexpr double kShortest = 0.03;
constexpr long kMostPieces = 1000;  // of one plane; a flat of ten furnished rooms has 800

struct Line {
  Vec2 a, b;
};

double length_inside(const Region& region, const Vec3& from, const Vec3& to, const Frame& frame,
                     std::vector<std::pair<double, double>>& pieces) {
  double sum = 0;
  for (const Polygon& polygon : polygons(region))
    for (const auto& piece : inside_pieces(polygon, frame.to_plane(from), frame.to_plane(to))) {
      pieces.push_back(piece);
      sum += piece.second - piece.first;
    }
  return sum;
}

double overlap(const std::vector<std::pair<double, double>>& a,
               const std::vector<std::pair<double, double>>& b) {
  double sum = 0;
  for (const auto& x : a)
    for (const auto& y : b)
      sum += std::max(0.0, std::min(x.second, y.second) - std::max(x.first, y.first));
  return sum;
}

// Where the plane `other` cuts `plane`, if both reach there.
std::optional<Line> meeting_line(const Plane& plane, const Region& wide, const Plane& other,
                                 double reach) {
  const Vec3 &n = plane.frame.n, &m = other.frame.n;
  const Vec3 along = cross(n, m);
  const double sine = norm(along);
  if (sine < 0.03) return std::nullopt;
  const double a = dot(n, plane.frame.origin), b = dot(m, other.frame.origin);
  const double c = dot(n, m), s2 = 1 - c * c;
  Vec3 point = ((a - b * c) / s2) * n + ((b - a * c) / s2) * m;
  const Vec3 d = along / sine;
  const Vec3 middle = plane.box.centre();
  point = point + dot(middle - point, d) * d;
  const Vec3 from = point - reach * d, to = point + reach * d;
  std::vector<std::pair<double, double>> here, there;
  if (length_inside(wide, from, to, plane.frame, here) <= 0) return std::nullopt;
  length_inside(grown(other.region, kMeets + other.residual_m), from, to, other.frame, there);
  if (overlap(here, there) * 2 * reach < kShortest) return std::nullopt;
  return Line{plane.frame.to_plane(from), plane.frame.to_plane(to)};
}

double away(const Line& line, const Vec2& p) {
  return cross(line.b - line.a, p - line.a) / norm(line.b - line.a);
}

bool same_line(const Line& a, const Line& b, double within) {
  return std::abs(away(a, b.a)) < within && std::abs(away(a, b.b)) < within;
}

std::vector<Line> lines_across(const std::vector<Plane>& planes, std::size_t index,
                               const Region& region, const Box3& near) {
  const Plane& plane = planes[index];
  const double tolerance = kMeets + plane.residual_m;
  const Region wide = grown(region, tolerance);
  const double reach = norm(plane.box.size()) + 1;
  const double merge = 0.001 + plane.residual_m;
  std::vector<Line> lines;
  for (std::size_t j = 0; j < planes.size(); ++j) {
    if (j == index) continue;
    const Box3 other = planes[j].box.grown(tolerance + planes[j].residual_m);
    if (!other.overlaps(near) || !other.overlaps(plane.box)) continue;
    const auto line = meeting_line(plane, wide, planes[j], reach);
    if (!line) continue;
    const bool known = std::any_of(lines.begin(), lines.end(),
                                   [&](const Line& l) { return same_line(l, *line, merge); });
    if (!known) lines.push_back(*line);
  }
  return lines;
}

void split(std::vector<Region>& pieces, const Line& line) {
  std::vector<Region> result;
  for (Region& piece : pieces) {
    double low = 0, high = 0;
    for (const Ring& ring : piece) {
      for (const Vec2& p : ring) {
        low = std::min(low, away(line, p));
        high = std::max(high, away(line, p));
      }
    }
    if (low > -2e-4 || high < 2e-4) {
      result.push_back(std::move(piece));
      continue;
    }
    for (const Region& half : {left_of(piece, line.a, line.b), left_of(piece, line.b, line.a)})
      for (const Polygon& polygon : polygons(half)) result.push_back(region_of(polygon));
  }
  pieces = std::move(result);
}

std::vector<Vec2> samples_in(const Polygon& polygon) {
  const Vec2 middle = interior_point(polygon);
  std::vector<Vec2> samples{middle};
  const std::size_t step = std::max<std::size_t>(1, polygon.outline.size() / 6);
  for (std::size_t i = 0; i < polygon.outline.size(); i += step) {
    const Vec2 between = middle + 0.6 * (polygon.outline[i] - middle);
    if (contains(polygon, between)) samples.push_back(between);
  }
  return samples;
}

// Whether a door, a window or a vent is set right before the face: what is behind it tells nothing
// of the rest of the wall.
bool is_covered(const Skin& skin, const std::vector<PartRole>& roles, const Vec3& eye,
                const Vec3& n) {
  constexpr double kSetBefore = 0.1;
  const auto hit = skin.tree->first_hit(eye, n, 0, kSetBefore);
  if (!hit) return false;
  const Role role = roles[static_cast<std::size_t>(skin.part[hit->triangle])].role;
  return seals(role) && !is_structure(role);
}

bool sees_main(const Region& piece, const Plane& plane, const AirField& field, const Skin& skin,
               const std::vector<PartRole>& roles, const Vec3& n) {
  int main = 0, other = 0;
  const double start = plane.residual_m > 0.002 ? 0.03 + 2 * plane.residual_m : 0.003;
  for (const Polygon& polygon : polygons(piece)) {
    for (const Vec2& sample : samples_in(polygon)) {
      const Vec3 at = plane.frame.to_world(sample);
      const int pocket = pocket_seen(field, skin, at, n, start);
      if (pocket < 0 && is_covered(skin, roles, at + start * n, n)) continue;
      ++(pocket == field.main_pocket ? main : other);
    }
  }
  return main > other;
}

struct Step {
  int x, y, z;
  double length;
};

std::vector<Step> steps_by_distance() {
  std::vector<Step> steps;
  constexpr int kReach = 4;
  for (int z = -kReach; z <= kReach; ++z)
    for (int y = -kReach; y <= kReach; ++y)
      for (int x = -kReach; x <= kReach; ++x)
        steps.push_back({x, y, z, std::sqrt(static_cast<double>(x * x + y * y + z * z))});
  std::stable_sort(steps.begin(), steps.end(),
                   [](const Step& a, const Step& b) { return a.length < b.length; });
  return steps;
}

}  // namespace

int pocket_seen(const AirField& field, const Skin& skin, const Vec3& point, const Vec3& n,
                double start_m) {
  static const std::vector<Step> steps = steps_by_distance();
  const Vec3 eye = point + start_m * n;
  const auto [x, y, z] = field.voxels.cell_of(eye);
  int tries = 0;
  for (const Step& step : steps) {
    const int i = x + step.x, j = y + step.y, k = z + step.z;
    if (!field.voxels.inside(i, j, k)) continue;
    const std::int32_t label = field.voxels.label[field.voxels.index(i, j, k)];
    if (label < 0) continue;
    const Vec3 centre = field.voxels.centre(i, j, k);
    const Vec3 look = centre - eye;
    const double away = norm(look);
    if (dot(look, n) <= 0.2 * away) continue;
    if (!skin.tree->first_hit(eye, look / away, 0, away)) return label;
    if (++tries > 24) break;
  }
  return -1;
}

Region facing_main_air(const std::vector<Plane>& planes, std::size_t index, const AirField& field,
                       const Skin& skin, const std::vector<PartRole>& roles, const Box3& near,
                       bool front, long& pieces_left) {
  const Plane& plane = planes[index];
  Ring corners;
  for (int corner = 0; corner < 8; ++corner) {
    const Vec3 p{corner & 1 ? near.high.x : near.low.x, corner & 2 ? near.high.y : near.low.y,
                 corner & 4 ? near.high.z : near.low.z};
    corners.push_back(plane.frame.to_plane(p));
  }
  const Box2 window = box_of(corners);
  const Region region = common(plane.region, {rectangle_ring(window.low, window.high)});
  std::vector<Region> pieces;
  for (const Polygon& polygon : polygons(region)) pieces.push_back(region_of(polygon));
  for (const Line& line : lines_across(planes, index, region, near)) {
    if (static_cast<long>(pieces.size()) > std::min(kMostPieces, pieces_left)) break;
    split(pieces, line);
  }
  pieces_left -= static_cast<long>(pieces.size());
  Region seen;
  const Vec3 n = front ? plane.frame.n : -plane.frame.n;
  for (const Region& piece : pieces) {
    if (area(piece) < 1e-6 || !sees_main(piece, plane, field, skin, roles, n)) continue;
    seen.insert(seen.end(), piece.begin(), piece.end());
  }
  return seen.empty() ? seen : closed(united(Region{}, seen), 2e-5);
}

}  // namespace roomloom
