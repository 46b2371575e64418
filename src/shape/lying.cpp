#include "shape/lying.h"

#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kOn_m = 0.001;

const WrittenWay* lying_way(const std::string& run, const Job& job) {
  for (const WrittenWay& way : job.written)
    if (way.run == run && (way.held || way.led_on)) return &way;
  return nullptr;
}

/// The stretch of a way that an edge of a sheet's tracks is part of.
const WayStretch* stretch_on(const WrittenWay& way, const TrackEdge& edge, const Tracks& tracks,
                             const Room& room) {
  if (edge.home.kind != PlaceKind::sheet || edge.home.index < 0 || edge.length_m <= 0)
    return nullptr;
  const std::string& sheet = room.sheets[static_cast<std::size_t>(edge.home.index)].name;
  const Vec3& a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
  const Vec3& b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
  for (const WayStretch& stretch : way.stretches)
    if (!stretch.raceway.empty() && stretch.place == sheet &&
        point_segment_distance(a, stretch.from, stretch.to) < kOn_m &&
        point_segment_distance(b, stretch.from, stretch.to) < kOn_m)
      return &stretch;
  return nullptr;
}

}  // namespace

LyingPlaces find_lying_places(const Plan& plan, const Tracks& tracks, const Ends& ends,
                              const Room& room, const Job& job) {
  LyingPlaces places;
  for (const PlannedRun& planned : plan.runs) {
    const WrittenWay* way = lying_way(ends.runs[static_cast<std::size_t>(planned.run)].id, job);
    if (way == nullptr) continue;
    for (const Step& step : planned.steps) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(step.edge)];
      if (const WayStretch* stretch = stretch_on(*way, edge, tracks, room))
        places[{planned.run, step.edge}] = stretch->beside;
    }
  }
  return places;
}

}  // namespace roomloom
