#include "shape/addends.h"

#include <cmath>

#include "shape/sag.h"

namespace roomloom {
namespace {

const TrackEdge& edge_of(const PathEdge& step, const Tracks& tracks) {
  return tracks.edges[static_cast<std::size_t>(step.edge)];
}

// Smallest level size of a ring's bounding box in its own u, v.
double narrow_side(const Ring& ring) {
  Vec2 low{1e9, 1e9};
  Vec2 high{-1e9, -1e9};
  for (const Vec2& p : ring) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  return ring.empty() ? 0 : std::min(high.x - low.x, high.y - low.y);
}

// Clear width in which an upright cable may slant; 0 where it is held.
double upright_play(const TrackEdge& edge, const Room& room, const Ends& ends) {
  if (edge.home.index < 0) return 0;
  const auto index = static_cast<std::size_t>(edge.home.index);
  if (edge.medium == Medium::bay && edge.home.kind == PlaceKind::void_space)
    return narrow_side(room.voids[index].plan.outline);
  if (edge.medium == Medium::free && edge.home.kind == PlaceKind::zone)
    return std::min(ends.zones[index].size.x, ends.zones[index].size.y);
  return 0;
}

}  // namespace

double sag_m(const TrackPath& path, const Tracks& tracks, const Preferences& prefer) {
  double level = 0;
  for (std::size_t i = 0; i < path.edges.size(); ++i) {
    if (edge_of(path.edges[i], tracks).medium != Medium::support) continue;
    const Vec3 way = path.points[i + 1] - path.points[i];
    level += std::hypot(way.x, way.y);
  }
  return level * sag_extra_per_metre(prefer.sag);
}

double drop_m(const TrackPath& path, const Tracks& tracks, const Room& room, const Ends& ends) {
  double sum = 0;
  double upright = 0;
  double play = 0;
  PlaceId home;
  const auto close = [&] {
    sum += std::hypot(upright, play) - upright;
    upright = play = 0;
  };
  for (std::size_t i = 0; i < path.edges.size(); ++i) {
    const TrackEdge& edge = edge_of(path.edges[i], tracks);
    const Vec3 way = path.points[i + 1] - path.points[i];
    const double width = upright_play(edge, room, ends);
    const bool hangs = width > 0 && std::fabs(way.z) > 0.9 * norm(way);
    if (!hangs || edge.home != home) close();
    if (!hangs) continue;
    home = edge.home;
    upright += norm(way);
    play = width;
  }
  close();
  return sum;
}

double loop_m(const End& end, const Preferences& prefer) {
  return end.slack_m + (end.state == EndState::coiled ? prefer.coil_m : 0);
}

std::vector<Addend> make_addends(const AddendParts& parts, double drawn_m,
                                 const Preferences& prefer) {
  const double contingency = prefer.contingency * drawn_m;
  const double sum = drawn_m + parts.lane + parts.sag + parts.drop + parts.loop_from +
                     parts.loop_to + parts.termination + parts.pull_out + parts.movable_end +
                     contingency;
  const double step = prefer.cutting_step_m;
  const double rounding = step > 0 ? std::max(0.0, std::ceil(sum / step - 1e-9) * step - sum) : 0;
  const std::array<double, kAddendNames.size()> metres = {parts.lane,
                                                          parts.sag,
                                                          parts.drop,
                                                          parts.loop_from,
                                                          parts.loop_to,
                                                          parts.termination,
                                                          parts.pull_out,
                                                          parts.movable_end,
                                                          contingency,
                                                          rounding,
                                                          0};
  std::vector<Addend> addends;
  for (std::size_t i = 0; i < metres.size(); ++i) addends.push_back({kAddendNames[i], metres[i]});
  return addends;
}

std::vector<Addend> measured_addends(double drawn_m, double measured_m) {
  std::vector<Addend> addends;
  for (const char* name : kAddendNames) addends.push_back({name, 0});
  addends.back().metres = measured_m - drawn_m;
  return addends;
}

}  // namespace roomloom
