#include "shape/hole_passages.h"

#include <algorithm>

namespace roomloom {

std::vector<HolePassages> find_holes(const Lanes& lanes, const Tracks& tracks, const Room& room) {
  std::vector<HolePassages> holes;
  for (std::size_t p = 0; p < lanes.lanes.size(); ++p) {
    const TrackPath& line = lanes.lanes[p].line;
    for (std::size_t i = 0; i < line.edges.size(); ++i) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(line.edges[i].edge)];
      if (edge.kind != EdgeKind::crossing || edge.crossing < 0) continue;
      const Frame& frame = room.crossings[static_cast<std::size_t>(edge.crossing)].frame;
      Vec3 from = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
      Vec3 to = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
      if (frame.height(from) > frame.height(to)) std::swap(from, to);
      const auto same = std::find_if(holes.begin(), holes.end(), [&](const HolePassages& hole) {
        return hole.crossing == edge.crossing && distance(hole.from + hole.to, from + to) < 2e-4;
      });
      if (same != holes.end())
        same->passages.push_back({p, i});
      else
        holes.push_back({edge.crossing, from, to, {{p, i}}});
    }
  }
  return holes;
}

}  // namespace roomloom
