#include "shape/path.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kNoLength = 1e-9;
constexpr double kSlantRadii = 2;  ///< of a slant onto a track, in bend radii

void reach_tip(TrackPath& path, const Vec3& tip, bool at_start) {
  Vec3& end = at_start ? path.points.front() : path.points.back();
  const double off = distance(tip, end);
  if (off <= kNoLength) return;
  const Vec3& next = at_start ? path.points[1] : path.points[path.points.size() - 2];
  if (off < 0.5 * distance(end, next)) {
    end = tip;
  } else if (at_start) {
    path.points.insert(path.points.begin(), tip);
    path.edges.insert(path.edges.begin(), path.edges.front());
  } else {
    path.points.push_back(tip);
    path.edges.push_back(path.edges.back());
  }
}

// Is the first edge a stub that no bend fits on, before a longer one that is the run's own?
bool starts_with_stub(const TrackPath& path, const std::vector<bool>& shared, double radius_m,
                      const Tracks& tracks) {
  if (path.edges.size() < 2 || shared[0] || shared[1] || !is_corner(path.points, 1)) return false;
  const auto edge = [&](std::size_t i) -> const TrackEdge& {
    return tracks.edges[static_cast<std::size_t>(path.edges[i].edge)];
  };
  if (edge(0).kind == EdgeKind::crossing || edge(1).kind == EdgeKind::crossing) return false;
  if (edge(0).home != edge(1).home) return false;
  const Vec3 first = path.points[1] - path.points[0];
  const Vec3 second = path.points[2] - path.points[1];
  const double angle = angle_between(first, second);
  constexpr double kLongestStub = 0.05;  // metres
  return angle < 0.6 * kPi &&
         norm(first) < std::min(kLongestStub, radius_m * std::tan(angle / 2)) &&
         norm(second) > 3 * norm(first);
}

void reverse(TrackPath& path, std::vector<bool>& shared) {
  std::reverse(path.points.begin(), path.points.end());
  std::reverse(path.edges.begin(), path.edges.end());
  std::reverse(shared.begin(), shared.end());
}

}  // namespace

void reach_tips(TrackPath& path, const Vec3& from, const Vec3& to) {
  if (path.empty()) return;
  reach_tip(path, from, true);
  reach_tip(path, to, false);
}

void ease_ends(TrackPath& path, std::vector<bool>& shared, double radius_m, const Tracks& tracks) {
  for (int end = 0; end < 2; ++end) {
    if (starts_with_stub(path, shared, radius_m, tracks)) {
      // It comes onto its track aslant, and lies in its lane from there.
      const Vec3 onward = path.points[2] - path.points[1];
      const double slant = std::min(0.5 * norm(onward), kSlantRadii * radius_m);
      path.points[1] += slant * normalized(onward);
      path.edges[0] = path.edges[1];
      shared[0] = shared[1];
    }
    reverse(path, shared);
  }
}

double TrackPath::length_m() const { return polyline_length(points); }

TrackPath track_path(const std::vector<Step>& steps, const Tracks& tracks) {
  TrackPath path;
  for (const Step& step : steps) {
    const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(step.edge)];
    const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    if (distance(a, b) <= kNoLength) continue;
    if (path.points.empty()) path.points.push_back(step.forward ? a : b);
    path.points.push_back(step.forward ? b : a);
    path.edges.push_back({step.edge, step.forward});
  }
  return path;
}

bool is_corner(const std::vector<Vec3>& points, std::size_t i) {
  return angle_between(points[i] - points[i - 1], points[i + 1] - points[i]) > kStraightRad;
}

void pull_straight(TrackPath& path, std::vector<bool>& shared, const Tracks& tracks,
                   const std::function<bool(const Vec3&, const Vec3&)>& is_clear) {
  const auto is_lead_in = [&](std::size_t i) {
    return tracks.edges[static_cast<std::size_t>(path.edges[i].edge)].kind == EdgeKind::lead_in;
  };
  for (std::size_t i = 1; i + 1 < path.points.size();) {
    const bool detour = is_lead_in(i - 1) && is_lead_in(i) && is_corner(path.points, i) &&
                        distance(path.points[i - 1], path.points[i + 1]) > kNoLength &&
                        is_clear(path.points[i - 1], path.points[i + 1]);
    if (!detour) {
      ++i;
      continue;
    }
    // Of the two edges the one stays that does not depend on the direction of travel.
    const std::size_t gone = path.edges[i - 1].edge < path.edges[i].edge ? i : i - 1;
    shared[gone == i ? i - 1 : i] = shared[i - 1] || shared[i];
    path.edges.erase(path.edges.begin() + static_cast<std::ptrdiff_t>(gone));
    shared.erase(shared.begin() + static_cast<std::ptrdiff_t>(gone));
    path.points.erase(path.points.begin() + static_cast<std::ptrdiff_t>(i));
    i = std::max<std::size_t>(1, i - 1);
  }
}

}  // namespace roomloom
