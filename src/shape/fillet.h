#pragma once

#include <vector>

#include "types/cable_shapes.h"

namespace roomloom {

/// The largest centreline radius at which a cable of diameter `cable_m` can turn by `angle_rad` in
/// a mitred raceway corner of clear depth `clear_m`, lying against the outer sides of both legs and
/// touching the inner corner: (h k - d (1 + k) / 2) / (k - 1), k = 1 / cos(angle / 2).
/// At 90 degrees 3.41 h - 2.91 d. 0 if the cable is thicker than the raceway is deep; infinite for
/// a turn of nothing. Geometry.
double largest_raceway_radius(double clear_m, double cable_m, double angle_rad);

/// The largest radius whose tube of diameter `cable_m` stays off the edge of a solid round which
/// the corner goes, `stand_off_m` being the centreline's distance from both its faces.
double largest_radius_round_solid(double stand_off_m, double cable_m, double angle_rad);

struct FilletedPath {
  std::vector<Piece> pieces;          ///< joined exactly end to end
  std::vector<std::size_t> segments;  ///< one a piece: the segment it lies on (an arc: that before)
  std::vector<Bend> bends;            ///< at, angle, required, available, used; the rest is unset
  std::vector<std::size_t> vertices;  ///< one a bend
};

/// Rounds the corners of a polyline.
///
/// At each corner the radius is the least of `required_m`, `caps_m` (one a point: what the place
/// allows) and what the legs leave room for: a leg is the straight stretch up to the next corner,
/// or up to the next segment that is `rigid` (a hole, in which no cable bends). Where the fillets
/// at both ends of a leg do not fit on it, both shrink to the same radius, unless one of them is
/// held smaller by something else: then the other takes what is left.
FilletedPath fillet_path(const std::vector<Vec3>& points, const std::vector<bool>& rigid,
                         const std::vector<double>& caps_m, double required_m);

}  // namespace roomloom
