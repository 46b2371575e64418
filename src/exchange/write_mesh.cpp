#include "exchange/write_mesh.h"

#include <algorithm>
#include <cmath>

#include "exchange/write_font.h"
#include "exchange/write_tube.h"
#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr std::uint32_t kTubeSides = 12;
constexpr std::uint32_t kRingSides = 32;
constexpr double kChordError_m = 0.0002;
/// Shared among the arcs of a run; below the promised 0.05 mm to leave room for 32-bit numbers.
constexpr double kLengthError_m = 0.00002;

std::uint32_t add_point(DrawnItem& item, const Vec3& point, const Vec3& normal) {
  item.points.push_back(point);
  item.normals.push_back(normal);
  return static_cast<std::uint32_t>(item.points.size() - 1);
}

/// A flat convex face, counter-clockwise seen along -normal.
void add_face(DrawnItem& item, const std::vector<Vec3>& corners, const Vec3& normal) {
  const auto first = static_cast<std::uint32_t>(item.points.size());
  for (const Vec3& corner : corners) add_point(item, corner, normal);
  for (std::uint32_t i = 2; i < corners.size(); ++i)
    item.triangles.push_back({first, first + i - 1, first + i});
}

double side_angle(std::uint32_t side, std::uint32_t sides) { return 2 * kPi * side / sides; }

void add_cap(DrawnItem& item, const TubeRing& ring, double radius, bool at_end) {
  std::vector<Vec3> corners;
  for (std::uint32_t i = 0; i < kTubeSides; ++i) {
    const double angle = side_angle(at_end ? i : kTubeSides - i, kTubeSides);
    corners.push_back(ring.centre + radius * ring.at(angle));
  }
  add_face(item, corners, at_end ? ring.along : -ring.along);
}

/// The rings along one piece after its first: one for a line, several for an arc.
std::vector<TubeRing> piece_rings(const Piece& piece, const TubeRing& from, const TubeRing& to,
                                  double radius) {
  const auto* arc = std::get_if<Arc>(&piece);
  if (arc == nullptr) return {to};
  // The outside of the bend is the widest arc: its chords decide.
  const double widest = arc->radius_m + radius;
  const double step = 2 * std::acos(std::max(0.5, 1 - kChordError_m / widest));
  const int count = std::max(1, static_cast<int>(std::ceil(arc->angle_rad / step)));
  std::vector<TubeRing> rings;
  for (int i = 1; i < count; ++i) {
    const double angle = arc->angle_rad * i / count;
    rings.push_back({arc->centre + turned(arc->from - arc->centre, arc->axis, angle),
                     turned(from.along, arc->axis, angle), turned(from.across, arc->axis, angle)});
  }
  rings.push_back(to);
  return rings;
}

std::uint32_t add_ring(DrawnItem& item, const TubeRing& ring, double radius) {
  const auto first = static_cast<std::uint32_t>(item.points.size());
  for (std::uint32_t i = 0; i < kTubeSides; ++i) {
    const Vec3 outward = ring.at(side_angle(i, kTubeSides));
    add_point(item, ring.centre + radius * outward, outward);
  }
  return first;
}

void add_chain(DrawnItem& item, const TubeChain& chain, double radius) {
  add_cap(item, chain.rings.front(), radius, false);
  std::uint32_t last = add_ring(item, chain.rings.front(), radius);
  for (std::size_t i = 0; i < chain.pieces.size(); ++i) {
    for (const TubeRing& ring :
         piece_rings(chain.pieces[i], chain.rings[i], chain.rings[i + 1], radius)) {
      const std::uint32_t next = add_ring(item, ring, radius);
      for (std::uint32_t a = 0; a < kTubeSides; ++a) {
        const std::uint32_t b = (a + 1) % kTubeSides;
        item.triangles.push_back({last + a, last + b, next + b});
        item.triangles.push_back({last + a, next + b, next + a});
      }
      last = next;
    }
  }
  add_cap(item, chain.rings.back(), radius, true);
}

std::vector<Vec3> centreline(const std::vector<Piece>& pieces) {
  const auto arcs = std::count_if(pieces.begin(), pieces.end(), [](const Piece& piece) {
    return std::holds_alternative<Arc>(piece);
  });
  const double error = kLengthError_m / static_cast<double>(std::max<std::ptrdiff_t>(1, arcs));
  std::vector<Vec3> points;
  for (const Piece& piece : pieces) {
    std::vector<Vec3> next;
    if (const auto* arc = std::get_if<Arc>(&piece))
      next = arc_points(*arc, error);
    else
      next = {piece_from(piece), piece_to(piece)};
    const bool joined = !points.empty() && distance(points.back(), next.front()) < 1e-9;
    points.insert(points.end(), next.begin() + (joined ? 1 : 0), next.end());
  }
  return points;
}

DrawnItem draw(const Tube& tube) {
  DrawnItem item;
  for (const TubeChain& chain : tube_chains(tube).chains)
    add_chain(item, chain, tube.diameter_m / 2);
  item.centreline = centreline(tidied(tube.pieces));
  return item;
}

DrawnItem draw(const Bar& bar) {
  DrawnItem item;
  const Vec3 along = normalized(bar.to - bar.from);
  const Vec3 w = 0.5 * bar.width_m * bar.width_axis;
  const Vec3 d = 0.5 * bar.depth_m * cross(along, bar.width_axis);
  const std::array<Vec3, 4> round = {w + d, d - w, -w - d, w - d};
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec3& a = round[i];
    const Vec3& b = round[(i + 1) % 4];
    add_face(item, {bar.from + a, bar.from + b, bar.to + b, bar.to + a}, normalized(a + b));
  }
  add_face(item,
           {bar.from + round[3], bar.from + round[2], bar.from + round[1], bar.from + round[0]},
           -along);
  add_face(item, {bar.to + round[0], bar.to + round[1], bar.to + round[2], bar.to + round[3]},
           along);
  return item;
}

/// A band between two circles of 32 corners, counter-clockwise seen from its outer side. a and b:
/// radius and height along the normal.
void add_band(DrawnItem& item, const RingShape& ring, const Vec2& a, const Vec2& b, double facing) {
  const TubeRing frame{ring.centre, ring.normal, square_to(ring.normal)};
  const auto first = static_cast<std::uint32_t>(item.points.size());
  for (std::uint32_t i = 0; i < kRingSides; ++i) {
    const Vec3 out = frame.at(side_angle(i, kRingSides));
    const Vec3 normal = a.y == b.y ? facing * ring.normal : facing * out;
    add_point(item, ring.centre + a.x * out + a.y * ring.normal, normal);
    add_point(item, ring.centre + b.x * out + b.y * ring.normal, normal);
  }
  for (std::uint32_t i = 0; i < kRingSides; ++i) {
    const std::uint32_t here = first + 2 * i;
    const std::uint32_t next = first + 2 * ((i + 1) % kRingSides);
    item.triangles.push_back({here, next, next + 1});
    item.triangles.push_back({here, next + 1, here + 1});
  }
}

DrawnItem draw(const RingShape& ring) {
  DrawnItem item;
  const double inner = ring.inner_m / 2;
  const double outer = ring.outer_m / 2;
  const double half = ring.thickness_m / 2;
  add_band(item, ring, {outer, -half}, {outer, half}, 1);
  add_band(item, ring, {outer, half}, {inner, half}, 1);
  add_band(item, ring, {inner, half}, {inner, -half}, -1);
  add_band(item, ring, {inner, -half}, {outer, -half}, -1);
  return item;
}

DrawnItem draw(const Tag& tag) {
  DrawnItem item;
  item.flat = true;
  const Vec3 normal = cross(tag.right, tag.up);
  const double half = kStrokeWidth / 2;
  const auto place = [&](const Vec2& p) {
    return tag.origin + tag.height_m * (p.x * tag.right + p.y * tag.up);
  };
  for (const auto& stroke : text_strokes(tag.text)) {
    for (std::size_t i = 1; i < stroke.size(); ++i) {
      const Vec2 run = stroke[i] - stroke[i - 1];
      const Vec2 along = (half / norm(run)) * run;
      const Vec2 side{-along.y, along.x};
      const Vec2 a = stroke[i - 1] - along;
      const Vec2 b = stroke[i] + along;
      add_face(item, {place(a - side), place(b - side), place(b + side), place(a + side)}, normal);
    }
  }
  return item;
}

}  // namespace

DrawnItem drawn(const AnnotationShape& shape) {
  return std::visit([](const auto& s) { return draw(s); }, shape);
}

}  // namespace roomloom
