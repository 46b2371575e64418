#include "shape/lane_path.h"

#include <cmath>

namespace roomloom {

bool lies_loose(const TrackEdge& edge) {
  return edge.medium == Medium::free &&
         (edge.kind == EdgeKind::lead_in || edge.home.kind == PlaceKind::zone);
}

PlaceKey place_key(const Vec3& place) {
  const auto round = [](double x) { return std::llround(x * 1e6); };
  return {round(place.x), round(place.y), round(place.z)};
}

std::set<PlaceKey> fitting_places(const std::vector<LanePath>& paths) {
  std::set<PlaceKey> places;
  for (const LanePath& run : paths) {
    const std::vector<Vec3>& points = run.path.points;
    for (std::size_t i = 0; i < points.size(); ++i)
      if (i == 0 || i + 1 == points.size() || is_corner(points, i))
        places.insert(place_key(points[i]));
  }
  return places;
}

}  // namespace roomloom
