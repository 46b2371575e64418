#include "shape/fixings.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

void add_run(std::vector<int>& runs, int run) {
  const auto at = std::lower_bound(runs.begin(), runs.end(), run);
  if (at == runs.end() || *at != run) runs.insert(at, run);
}

// A straight stretch of track and who uses it.
struct Stretch {
  int edge = -1;
  Vec3 from, to;
  std::vector<int> runs;
  int raceway = -1;
  RacewayPlaces places = kOnTrack;
  int sheet = -1;
  std::vector<int> edges = {};
};

bool in_line(const Vec3& a, const Vec3& b) { return norm(cross(a, b)) <= 1e-6 * norm(a) * norm(b); }

// Joins b to a if they are one straight stretch that meets end to end.
bool join(Stretch& a, const Stretch& b) {
  if (!in_line(a.to - a.from, b.to - b.from)) return false;
  for (const auto& [near, far] : {std::pair{b.from, b.to}, std::pair{b.to, b.from}}) {
    if (distance(a.to, near) < 1e-6 && dot(a.to - a.from, far - near) > 0) return a.to = far, true;
    if (distance(a.from, near) < 1e-6 && dot(a.from - a.to, far - near) > 0)
      return a.from = far, true;
  }
  return false;
}

template <typename MayJoin>
std::vector<Stretch> joined(std::vector<Stretch> stretches, MayJoin may_join) {
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    bool grown = true;
    while (grown) {
      grown = false;
      for (std::size_t j = i + 1; j < stretches.size(); ++j) {
        if (!may_join(stretches[i], stretches[j]) || !join(stretches[i], stretches[j])) continue;
        stretches[i].edges.insert(stretches[i].edges.end(), stretches[j].edges.begin(),
                                  stretches[j].edges.end());
        stretches.erase(stretches.begin() + static_cast<std::ptrdiff_t>(j));
        grown = true;
        break;
      }
    }
  }
  return stretches;
}

std::vector<Stretch> supported_edges(const std::vector<LanePath>& paths, const Tracks& tracks) {
  std::map<int, Stretch> by_edge;
  for (const LanePath& run : paths) {
    for (const int index : run.tracks) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(index)];
      const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
      const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
      if (edge.medium != Medium::support || std::fabs(b.z - a.z) > 0.7 * distance(a, b)) continue;
      Stretch& stretch = by_edge[index];
      stretch.edge = index;
      stretch.from = a;
      stretch.to = b;
      add_run(stretch.runs, run.run);
    }
  }
  std::vector<Stretch> stretches;
  for (auto& [edge, stretch] : by_edge) stretches.push_back(std::move(stretch));
  return stretches;
}

void add_support(std::vector<SupportShape>& supports, const Vec3& at, const Vec3& direction,
                 const std::vector<int>& runs) {
  constexpr double kSameHook = 0.05;  // metres: at a corner one hook does for both stretches
  const auto same = std::find_if(supports.begin(), supports.end(), [&](const SupportShape& other) {
    return distance(other.at, at) < kSameHook;
  });
  if (same == supports.end()) {
    supports.push_back({at, runs, direction});
    return;
  }
  for (const int run : runs) add_run(same->runs, run);
}

std::vector<int> runs_at(const Vec3& at, const std::vector<Stretch>& edges) {
  std::vector<int> runs;
  for (const Stretch& edge : edges) {
    const double detour =
        distance(edge.from, at) + distance(at, edge.to) - distance(edge.from, edge.to);
    if (detour > 1e-7) continue;
    for (const int run : edge.runs) add_run(runs, run);
  }
  return runs;
}

// Of bars side by side, from the index `first` on, the one that the cable lies in.
RacewayShape& nearest_bar(std::vector<RacewayShape>& bars, std::size_t first, const Vec3& across,
                          const CableShape& cable) {
  const auto away = [&](const RacewayShape& bar) {
    const Vec3 middle = 0.5 * (bar.from + bar.to);
    return std::fabs(dot(nearest_on(cable, middle) - middle, across));
  };
  return *std::min_element(
      bars.begin() + static_cast<std::ptrdiff_t>(first), bars.end(),
      [&](const RacewayShape& a, const RacewayShape& b) { return away(a) < away(b) - 1e-9; });
}

}  // namespace

std::vector<RacewayShape> shape_raceways(const std::map<int, RacewayOnEdge>& raceways,
                                         const std::vector<CableShape>& cables,
                                         const Tracks& tracks, const Room& room) {
  std::vector<Stretch> stretches;
  for (const auto& [index, raceway] : raceways) {
    const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(index)];
    const Vec3 a = tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    const Vec3 b = tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    if (distance(a, b) < 1e-6 || sheet_of(edge, room) == nullptr) continue;
    stretches.push_back(
        {index, a, b, raceway.runs, raceway.index, raceway.places, edge.home.index, {index}});
  }
  stretches = joined(std::move(stretches), [](const Stretch& a, const Stretch& b) {
    return a.runs == b.runs && a.raceway == b.raceway && a.places == b.places && a.sheet == b.sheet;
  });
  std::vector<RacewayShape> shapes;
  for (const Stretch& stretch : stretches) {
    const Sheet& sheet = room.sheets[static_cast<std::size_t>(stretch.sheet)];
    const RacewayOnEdge& raceway = raceways.at(stretch.edge);
    const RacewayType& type = *raceway.type;
    const Vec3& n = sheet.frame.n;
    const Vec3 across = side_by_side(sheet, stretch.from, normalized(stretch.to - stretch.from));
    const auto first = shapes.size();
    const std::vector<int> places = places_in(stretch.places);
    for (const int k : places) {
      const Vec3 aside = (k * type.width_m) * across;
      const auto seated = [&](const Vec3& p) { return p + raceway.seat + aside; };
      shapes.push_back({stretch.edge, seated(stretch.from), seated(stretch.to), n, stretch.raceway,
                        stretch.sheet, places.size() == 1 ? stretch.runs : std::vector<int>{},
                        static_cast<int>(places.size()), stretch.edges, k, aside});
    }
    for (const int run : places.size() == 1 ? std::vector<int>{} : stretch.runs)
      nearest_bar(shapes, first, across, cables[static_cast<std::size_t>(run)]).runs.push_back(run);
  }
  return shapes;
}

std::vector<SupportShape> place_supports(const std::vector<LanePath>& paths, const Tracks& tracks,
                                         const Preferences& prefer) {
  const std::vector<Stretch> edges = supported_edges(paths, tracks);
  std::vector<SupportShape> supports;
  for (const Stretch& line : joined(edges, [](const Stretch&, const Stretch&) { return true; })) {
    const double length = distance(line.from, line.to);
    const double spacing = prefer.support_spacing_m > 0 ? prefer.support_spacing_m : 1.2;
    const int spans = std::max(1, static_cast<int>(std::ceil(length / spacing - 1e-9)));
    for (int i = 0; i <= spans; ++i) {
      const Vec3 at = line.from + (static_cast<double>(i) / spans) * (line.to - line.from);
      add_support(supports, at, normalized(line.to - line.from), runs_at(at, edges));
    }
  }
  return supports;
}

}  // namespace roomloom
