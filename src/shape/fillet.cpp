#include "shape/fillet.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "shape/path.h"

namespace roomloom {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kNothing = 1e-9;  // metres: no piece is shorter than this
constexpr double kSliver = 1e-5;   // metres: too short a line to have a direction of its own
constexpr double kReversal = kPi - 1.75e-2;  // a turn back by more than this cannot be rounded

struct Corner {
  std::size_t vertex = 0;
  double angle = 0;
  double half_tangent = 0;  // tan(angle / 2)
  double wanted = 0;        // tangent length, metres
  double tangent = 0;       // what it gets
};

// The straight stretch before corner i (leg i) and after it (leg i + 1).
struct Leg {
  double length = 0;
  double room_at_start = 0, room_at_end = 0;  // up to the next rigid segment
};

std::vector<Corner> find_corners(const std::vector<Vec3>& points, const std::vector<double>& caps_m,
                                 double required_m) {
  std::vector<Corner> corners;
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    if (!is_corner(points, i)) continue;
    Corner corner{i, angle_between(points[i] - points[i - 1], points[i + 1] - points[i]), 0, 0, 0};
    corner.half_tangent = std::tan(corner.angle / 2);
    if (corner.angle < kReversal)
      corner.wanted = std::max(0.0, std::min(required_m, caps_m[i])) * corner.half_tangent;
    corners.push_back(corner);
  }
  return corners;
}

Leg measure_leg(const std::vector<Vec3>& points, const std::vector<bool>& rigid, std::size_t first,
                std::size_t last) {
  Leg leg;
  bool met_rigid = false;
  for (std::size_t i = first; i < last; ++i) {
    const double length = distance(points[i], points[i + 1]);
    leg.length += length;
    if (rigid[i]) {
      met_rigid = true;
      leg.room_at_end = 0;
    } else {
      if (!met_rigid) leg.room_at_start += length;
      leg.room_at_end += length;
    }
  }
  return leg;
}

std::vector<Leg> measure_legs(const std::vector<Vec3>& points, const std::vector<bool>& rigid,
                              const std::vector<Corner>& corners) {
  std::vector<Leg> legs;
  std::size_t first = 0;
  for (const Corner& corner : corners) {
    legs.push_back(measure_leg(points, rigid, first, corner.vertex));
    first = corner.vertex;
  }
  legs.push_back(measure_leg(points, rigid, first, points.size() - 1));
  return legs;
}

// The least share of the required radius at which one of the growing corners has all it may, or a
// leg is used up.
double next_stop(const std::vector<Corner>& corners, const std::vector<Leg>& legs,
                 const std::vector<bool>& growing, double required_m) {
  double share = 1;
  const auto full = [&](std::size_t i) { return required_m * corners[i].half_tangent; };
  for (std::size_t i = 0; i < corners.size(); ++i)
    if (growing[i]) share = std::min(share, corners[i].wanted / full(i));
  for (std::size_t i = 0; i < legs.size(); ++i) {
    double fixed = 0;
    double grows = 0;
    for (const std::size_t c : {i, i + 1}) {  // corner i - 1 starts leg i, corner i ends it
      if (c == 0 || c > corners.size()) continue;
      (growing[c - 1] ? grows : fixed) += growing[c - 1] ? full(c - 1) : corners[c - 1].tangent;
    }
    if (grows > 0) share = std::min(share, std::max(0.0, legs[i].length - fixed) / grows);
  }
  return share;
}

bool is_full(const Leg& leg, double before, double after) {
  return before + after >= leg.length * (1 - 1e-12);
}

// Raises every radius in step until a corner has all it may or a leg is used up, holds those, and
// goes on with the rest.
void share_legs(std::vector<Corner>& corners, const std::vector<Leg>& legs, double required_m) {
  std::vector<bool> growing;
  for (const Corner& corner : corners) growing.push_back(corner.wanted > 0);
  for (std::size_t round = 0; round <= corners.size(); ++round) {
    const double share = next_stop(corners, legs, growing, required_m);
    for (std::size_t i = 0; i < corners.size(); ++i)
      if (growing[i]) corners[i].tangent = share * required_m * corners[i].half_tangent;
    if (share >= 1) return;
    for (std::size_t i = 0; i < corners.size(); ++i) {
      const double before = i > 0 ? corners[i - 1].tangent : 0;
      const double after = i + 1 < corners.size() ? corners[i + 1].tangent : 0;
      if (corners[i].tangent >= corners[i].wanted * (1 - 1e-12) ||
          is_full(legs[i], before, corners[i].tangent) ||
          is_full(legs[i + 1], corners[i].tangent, after))
        growing[i] = false;
    }
  }
}

// Where almost nothing is left of a leg between two arcs, the wider of them takes it, if its other
// leg has as much to spare: a line of a thousandth of a millimetre would break the tube.
void take_slivers(std::vector<Corner>& corners, const std::vector<Leg>& legs) {
  const auto left = [&](std::size_t leg) {
    return legs[leg].length - (leg > 0 ? corners[leg - 1].tangent : 0) -
           (leg < corners.size() ? corners[leg].tangent : 0);
  };
  for (std::size_t leg = 1; leg + 1 < legs.size(); ++leg) {
    const double sliver = left(leg);
    if (sliver <= kNothing || sliver >= kSliver) continue;
    const bool first = corners[leg - 1].tangent > corners[leg].tangent;
    Corner& wider = first ? corners[leg - 1] : corners[leg];
    if (wider.tangent > kNothing && left(first ? leg - 1 : leg + 1) > 2 * kSliver)
      wider.tangent += sliver;
  }
}

// What the corner's place would allow, its neighbours being as they are.
double available_radius(const std::vector<Corner>& corners, const std::vector<Leg>& legs,
                        std::size_t i, double cap_m) {
  if (corners[i].angle >= kReversal) return 0;
  const double before = i > 0 ? corners[i - 1].tangent : 0;
  const double after = i + 1 < corners.size() ? corners[i + 1].tangent : 0;
  const double tangent = std::min({legs[i].length - before, legs[i].room_at_end,
                                   legs[i + 1].length - after, legs[i + 1].room_at_start});
  return std::max(0.0, std::min(cap_m, tangent / corners[i].half_tangent));
}

Arc make_arc(const Vec3& corner, const Vec3& in, const Vec3& out, double tangent, double angle,
             double radius) {
  Arc arc;
  arc.from = corner - tangent * in;
  arc.to = corner + tangent * out;
  arc.axis = normalized(cross(in, out));
  arc.centre = arc.from + radius * cross(arc.axis, in);
  arc.radius_m = radius;
  arc.angle_rad = angle;
  return arc;
}

// Puts pieces one after the other so that they meet exactly. What is shorter than kNothing is left
// out, and the next piece then starts where the last one ended.
class Chain {
 public:
  Chain(FilletedPath& path, const Vec3& start) : path_(path), at_(start) {}

  void line_to(const Vec3& end, std::size_t segment) {
    if (distance(at_, end) <= kNothing) return;
    add(Line3{at_, end}, end, segment);
  }
  void arc(Arc piece, std::size_t segment) {
    piece.from = at_;
    const Vec3 end = piece.to;
    add(piece, end, segment);
  }
  const Vec3& at() const { return at_; }

 private:
  void add(const Piece& piece, const Vec3& end, std::size_t segment) {
    path_.pieces.push_back(piece);
    path_.segments.push_back(segment);
    at_ = end;
  }
  FilletedPath& path_;
  Vec3 at_;
};

// Lines along the segments first..last - 1 of a straight stretch, up to `end` on it.
void add_lines(Chain& chain, const std::vector<Vec3>& points, std::size_t first, std::size_t last,
               const Vec3& end) {
  const double done = distance(points[first], chain.at());
  const double whole = distance(points[first], end);
  for (std::size_t i = first; i + 1 < last; ++i) {
    const double stop = distance(points[first], points[i + 1]);
    if (stop >= whole - kNothing) return chain.line_to(end, i);
    if (stop > done + kNothing) chain.line_to(points[i + 1], i);
  }
  chain.line_to(end, last - 1);
}

Bend make_bend(const Corner& corner, const Vec3& at, double required_m, double available_m) {
  Bend bend;
  bend.at = at;
  bend.angle_rad = corner.angle;
  bend.required_m = required_m;
  bend.available_m = available_m;
  bend.used_m =
      corner.tangent > kNothing ? std::min(corner.tangent / corner.half_tangent, required_m) : 0;
  return bend;
}

// The line up to the corner, then its arc, if there is room for one.
void round_corner(Chain& chain, const std::vector<Vec3>& points, std::size_t first,
                  const Corner& corner) {
  const std::size_t v = corner.vertex;
  if (corner.tangent <= kNothing) return add_lines(chain, points, first, v, points[v]);
  const Vec3 in = normalized(points[v] - points[v - 1]);
  const Vec3 out = normalized(points[v + 1] - points[v]);
  const Arc arc = make_arc(points[v], in, out, corner.tangent, corner.angle,
                           corner.tangent / corner.half_tangent);
  add_lines(chain, points, first, v, arc.from);
  chain.arc(arc, v - 1);
}

}  // namespace

double largest_raceway_radius(double clear_m, double cable_m, double angle_rad) {
  if (cable_m > clear_m) return 0;
  const double k = 1 / std::cos(angle_rad / 2);
  if (k - 1 < 1e-12) return kInfinite;
  return std::max(0.0, (clear_m * k - cable_m * (1 + k) / 2) / (k - 1));
}

double largest_radius_round_solid(double stand_off_m, double cable_m, double angle_rad) {
  const double k = 1 / std::cos(angle_rad / 2);
  if (k - 1 < 1e-12) return kInfinite;
  return std::max(0.0, (stand_off_m * k - cable_m / 2) / (k - 1));
}

FilletedPath fillet_path(const std::vector<Vec3>& points, const std::vector<bool>& rigid,
                         const std::vector<double>& caps_m, double required_m) {
  FilletedPath path;
  if (points.size() < 2) return path;
  std::vector<Corner> corners = find_corners(points, caps_m, required_m);
  const std::vector<Leg> legs = measure_legs(points, rigid, corners);
  for (std::size_t i = 0; i < corners.size(); ++i)
    corners[i].wanted =
        std::min({corners[i].wanted, legs[i].room_at_end, legs[i + 1].room_at_start});
  share_legs(corners, legs, required_m);
  take_slivers(corners, legs);

  Chain chain(path, points.front());
  std::size_t first = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const std::size_t vertex = corners[i].vertex;
    round_corner(chain, points, first, corners[i]);
    path.bends.push_back(make_bend(corners[i], points[vertex], required_m,
                                   available_radius(corners, legs, i, caps_m[vertex])));
    path.vertices.push_back(vertex);
    first = vertex;
  }
  add_lines(chain, points, first, points.size() - 1, points.back());
  if (!path.pieces.empty())
    std::visit([&](auto& piece) { piece.to = points.back(); }, path.pieces.back());
  return path;
}

}  // namespace roomloom
