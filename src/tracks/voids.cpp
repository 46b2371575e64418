#include <algorithm>
#include <cmath>

#include "tracks/layout.h"

namespace roomloom::tracks {
namespace {

bool is_open_void(const Void& v) { return v.kind != VoidKind::bay && !v.upright_only; }

/// The frame that the ceiling below gives a void, in which its tiles and the boxes in its way lie
/// square, is kept in rooms that are a little out of square, too: their walls' mean is no better
/// way to go than any wall's, and tracks along it drift off the tiles.
Frame void_frame(const Void& v) {
  constexpr double kOutOfSquare = radians(10);
  Frame frame = v.frame;
  const Vec2 along = main_direction(v.plan.outline);
  if (std::abs(std::remainder(std::atan2(along.y, along.x), kPi / 2)) < kOutOfSquare) return frame;
  frame.u = normalized(along.x * v.frame.u + along.y * v.frame.v);
  frame.v = cross(frame.n, frame.u);
  return frame;
}

Ring moved(const Ring& ring, const Frame& from, const Frame& to) {
  Ring result;
  for (const Vec2& p : ring) result.push_back(to.to_plane(from.to_world(p)));
  return result;
}

double obstacle_clearance(const Layout& layout, const VoidObstacle& obstacle) {
  return std::max(obstacle.clearance_m, layout.job.prefer.obstacle_clearance_m);
}

void add_obstacles(const Layout& layout, const Void& v, double level, TrackPlane& plane) {
  constexpr double kTouch_m = 0.0002;  // a level just at the clearance keeps it
  for (const VoidObstacle& obstacle : v.obstacles) {
    const double clearance = obstacle_clearance(layout, obstacle);
    const double reach = clearance - kTouch_m;
    if (level <= obstacle.box.low.z - reach || level >= obstacle.box.high.z + reach) continue;
    const Vec3 low = obstacle.box.low, high = obstacle.box.high;
    PlaneKeepOut added;
    added.ring = moved({{low.x, low.y}, {high.x, low.y}, {high.x, high.y}, {low.x, high.y}},
                       v.frame, plane.frame);
    added.inset_m = clearance;
    added.bare_m = clearance;
    added.name = obstacle.name;
    plane.keep_outs.push_back(added);
  }
}

TrackPlane level_plane(const Layout& layout, int index, double level, int layer) {
  const Void& v = layout.room.voids[static_cast<std::size_t>(index)];
  TrackPlane plane;
  plane.home = {PlaceKind::void_space, index};
  plane.layer = layer;
  plane.frame = void_frame(v);
  plane.region.outline = simplified(moved(v.plan.outline, v.frame, plane.frame), 0.005);
  for (const Ring& hole : v.plan.holes)
    plane.region.holes.push_back(moved(hole, v.frame, plane.frame));
  plane.frame.origin = plane.frame.origin + level * plane.frame.n;
  plane.visible = 0;
  plane.medium = v.supported ? Medium::support : Medium::bare;
  const double inset = layout.job.prefer.obstacle_clearance_m;
  const auto add_ring = [&](const Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i)
      plane.borders.push_back({ring[i], ring[(i + 1) % ring.size()], inset, -1});
  };
  add_ring(plane.region.outline);
  for (const Ring& hole : plane.region.holes) add_ring(hole);
  add_obstacles(layout, v, level, plane);
  return plane;
}

}  // namespace

void add_void_planes(Layout& layout) {
  for (std::size_t i = 0; i < layout.room.voids.size(); ++i) {
    const Void& v = layout.room.voids[i];
    const int index = static_cast<int>(i), layer = layout.draft.new_layer();
    layout.layer_of_void[index] = layer;
    if (!is_open_void(v)) continue;
    std::vector<double> levels = v.support_levels_m;
    if (levels.empty())
      levels.push_back(std::min(layout.job.prefer.tile_clearance_m, v.height_m / 2));
    for (const double level : levels) {
      layout.planes_of_void[index].push_back(static_cast<int>(layout.planes.size()));
      layout.planes.push_back(level_plane(layout, index, level, layer));
    }
  }
}

// Straight supported ways between the uprights of one level, where the job asks for them.
void add_direct_paths(Layout& layout) {
  if (layout.job.prefer.void_paths != VoidPaths::direct) return;
  for (const auto& [index, planes] : layout.planes_of_void) {
    for (const int p : planes) {
      const TrackPlane& plane = layout.planes[static_cast<std::size_t>(p)];
      std::vector<Vec2> feet;
      for (const Anchor& anchor : layout.anchors)
        if (anchor.home == plane.home) feet.push_back(plane.frame.to_plane(anchor.position));
      for (std::size_t i = 0; i < feet.size(); ++i)
        for (std::size_t j = i + 1; j < feet.size(); ++j) {
          const auto pieces = allowed_pieces(plane, feet[i], feet[j], Strictness::track);
          if (pieces.size() != 1 || pieces[0].first > 1e-6 || pieces[0].second < 1 - 1e-6) continue;
          Stretch way;
          way.medium = plane.medium;
          way.home = plane.home;
          way.a = layout.draft.point(plane.layer, plane.frame.to_world(feet[i]));
          way.b = layout.draft.point(plane.layer, plane.frame.to_world(feet[j]));
          layout.draft.add(way);
        }
    }
  }
}

}  // namespace roomloom::tracks
