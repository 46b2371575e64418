#include "shape/chains.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>

#include "geometry/arc.h"

namespace roomloom {
namespace {

void find_sections(const std::vector<LanePath>& paths, Chains& found) {
  std::map<std::pair<PlaceKey, PlaceKey>, int> by_ends;
  std::vector<std::size_t> order(paths.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return paths[a].rank < paths[b].rank; });
  found.section_of.resize(paths.size());
  for (const std::size_t p : order) {
    const TrackPath& path = paths[p].path;
    for (std::size_t i = 0; i < path.edges.size(); ++i) {
      if (paths[p].loose[i]) {
        found.section_of[p].push_back(-1);
        continue;
      }
      PlaceKey low = place_key(path.points[i]);
      PlaceKey high = place_key(path.points[i + 1]);
      if (high < low) std::swap(low, high);
      const auto [place, added] =
          by_ends.try_emplace({low, high}, static_cast<int>(found.sections.size()));
      if (added) found.sections.push_back({path.points[i], path.points[i + 1], {}});
      found.sections[static_cast<std::size_t>(place->second)].members.push_back({p, i});
      found.section_of[p].push_back(place->second);
    }
  }
}

int root_of(std::vector<int>& parent, int i) {
  while (parent[static_cast<std::size_t>(i)] != i) i = parent[static_cast<std::size_t>(i)];
  return i;
}

std::vector<int> joined_in_line(const std::vector<LanePath>& paths, const Chains& found) {
  std::vector<int> parent(found.sections.size());
  std::iota(parent.begin(), parent.end(), 0);
  for (std::size_t p = 0; p < paths.size(); ++p) {
    const std::vector<Vec3>& points = paths[p].path.points;
    for (std::size_t i = 1; i + 1 < points.size(); ++i) {
      const int a = found.section_of[p][i - 1];
      const int b = found.section_of[p][i];
      if (a < 0 || b < 0 || is_corner(points, i)) continue;
      parent[static_cast<std::size_t>(root_of(parent, a))] = root_of(parent, b);
    }
  }
  for (std::size_t i = 0; i < parent.size(); ++i) parent[i] = root_of(parent, static_cast<int>(i));
  return parent;
}

// A direction square to `along` that moves with the room: the face's own, or the void's.
Vec3 first_axis(const Vec3& along, const TrackEdge& edge, const Room& room, const Vec3& anchor,
                const Vec3& at) {
  std::vector<Vec3> offers;
  const auto offer = [&](const Frame& frame) {
    offers.insert(offers.end(), {frame.n, frame.u, frame.v});
  };
  const auto index = static_cast<std::size_t>(std::max(0, edge.home.index));
  if (edge.crossing >= 0) offer(room.crossings[static_cast<std::size_t>(edge.crossing)].frame);
  if (const Sheet* sheet = sheet_of(edge, room)) offer(sheet->frame);
  if (edge.home.kind == PlaceKind::void_space && edge.home.index >= 0)
    offer(room.voids[index].frame);
  offers.insert(offers.end(), {Vec3{0, 0, 1}, anchor - at, Vec3{1, 0, 0}});
  for (const Vec3& direction : offers) {
    const Vec3 square = direction - dot(direction, along) * along;
    if (norm(square) > 0.5 * norm(direction)) return normalized(square);
  }
  return normalized(cross(along, {0, 1, 0}));
}

Chain make_chain(const std::vector<int>& sections, const std::vector<LanePath>& paths,
                 const Chains& found, const Tracks& tracks, const Room& room, const Vec3& anchor) {
  Chain chain;
  chain.sections = sections;
  const Section& longest = found.sections[static_cast<std::size_t>(
      *std::max_element(sections.begin(), sections.end(), [&](int a, int b) {
        const auto length = [&](int s) {
          const Section& section = found.sections[static_cast<std::size_t>(s)];
          return distance(section.from, section.to);
        };
        return length(a) < length(b) - 1e-9;
      }))];
  chain.along = normalized(longest.to - longest.from);
  const Member& member = longest.members.front();
  const int edge = paths[member.path].path.edges[member.edge].edge;
  chain.axes[0] = first_axis(chain.along, tracks.edges[static_cast<std::size_t>(edge)], room,
                             anchor, longest.from);
  chain.axes[1] = cross(chain.along, chain.axes[0]);
  for (const int s : sections)
    for (const Member& one : found.sections[static_cast<std::size_t>(s)].members)
      chain.paths.push_back(one.path);
  std::sort(chain.paths.begin(), chain.paths.end(),
            [&](std::size_t a, std::size_t b) { return paths[a].rank < paths[b].rank; });
  chain.paths.erase(std::unique(chain.paths.begin(), chain.paths.end()), chain.paths.end());
  return chain;
}

// Fullest first, then longest, then nearest to the anchor.
struct ChainOrder {
  std::size_t most = 0;
  double metres = 0, away_m = 0;
  bool operator<(const ChainOrder& other) const {
    if (most != other.most) return most > other.most;
    const auto steps = [](double x) { return std::llround(x * 1e6); };
    if (steps(metres) != steps(other.metres)) return metres > other.metres;
    return steps(away_m) < steps(other.away_m);
  }
};

ChainOrder order_of(const Chain& chain, const Chains& found, const Vec3& anchor) {
  ChainOrder order;
  Vec3 middle;
  double weight = 0;
  for (const int s : chain.sections) {
    const Section& section = found.sections[static_cast<std::size_t>(s)];
    const double length = distance(section.from, section.to);
    order.most = std::max(order.most, section.members.size());
    order.metres += length * static_cast<double>(section.members.size());
    middle += (length / 2) * (section.from + section.to);
    weight += length;
  }
  order.away_m = distance(middle / weight, anchor);
  return order;
}

}  // namespace

Chains find_chains(const std::vector<LanePath>& paths, const Tracks& tracks, const Room& room,
                   const Vec3& anchor) {
  Chains found;
  find_sections(paths, found);
  const std::vector<int> root = joined_in_line(paths, found);
  std::map<int, std::vector<int>> groups;
  for (std::size_t s = 0; s < root.size(); ++s) groups[root[s]].push_back(static_cast<int>(s));
  std::vector<std::pair<ChainOrder, Chain>> ordered;
  for (const auto& [first, sections] : groups) {
    Chain chain = make_chain(sections, paths, found, tracks, room, anchor);
    const ChainOrder order = order_of(chain, found, anchor);
    ordered.emplace_back(order, std::move(chain));
  }
  std::stable_sort(ordered.begin(), ordered.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  found.chain_of.assign(found.sections.size(), -1);
  for (auto& [order, chain] : ordered) {
    for (const int s : chain.sections)
      found.chain_of[static_cast<std::size_t>(s)] = static_cast<int>(found.chains.size());
    found.chains.push_back(std::move(chain));
  }
  return found;
}

}  // namespace roomloom
