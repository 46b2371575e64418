#pragma once

#include <functional>
#include <vector>

#include "types/plan.h"

namespace roomloom {

/// One edge of a run's way that has length, in the direction of travel.
struct PathEdge {
  int edge = -1;  ///< into Tracks::edges
  bool forward = true;
};

/// A run's way over the tracks: points.size() == edges.size() + 1, or both empty.
struct TrackPath {
  std::vector<PathEdge> edges;
  std::vector<Vec3> points;
  double length_m() const;
  bool empty() const { return edges.empty(); }
};

/// Edges of no length (turns between the axis copies of a node) are left out. A detour that goes
/// straight back over the edge it came by is left in: it is for the checks to tell.
TrackPath track_path(const std::vector<Step>& steps, const Tracks& tracks);

/// The path from and to the very tips of the cable, where they are not the path's own ends: a point
/// that lies closer to the tip than half of its edge is long moves there, else a short piece of the
/// same edge is put before.
void reach_tips(TrackPath& path, const Vec3& from, const Vec3& to);

/// Takes out a lead-in at either end that is too short to bend in (less than `radius_m` needs) and
/// runs into a longer stretch of its own in the same place: the cable then leaves its end aslant.
/// `shared` is one flag an edge, and is kept in step.
void ease_ends(TrackPath& path, std::vector<bool>& shared, double radius_m, const Tracks& tracks);

/// Straight from one side to the other wherever the path takes a detour over the mouth of a hole or
/// over another run's end, that is, over a point between two lead-ins: such points are taken out
/// where `is_clear` finds nothing between the points before and after. `shared` is kept in step.
void pull_straight(TrackPath& path, std::vector<bool>& shared, const Tracks& tracks,
                   const std::function<bool(const Vec3&, const Vec3&)>& is_clear);

/// Directions that differ by less than this are one straight line: a model's last written digit, a
/// nanometre or a few, turns a stretch as short as a tile is thick by more than 1e-7.
constexpr double kStraightRad = 2e-5;

/// Is there a corner at point `i` of the path (0 < i < points.size() - 1)?
bool is_corner(const std::vector<Vec3>& points, std::size_t i);

}  // namespace roomloom
