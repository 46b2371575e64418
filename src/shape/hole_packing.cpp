#include "shape/hole_packing.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "geometry/bundle.h"

namespace roomloom {
namespace {

constexpr double kWorthPacking = 1.1;  // so much wider than the bundle may lanes be
constexpr int kTurns = 12;             // of the bundle, to be tried

// Where the cables go, seen along the hole from its axis.
struct Placing {
  std::vector<Vec2> places;  // one a passage
  double moved = 0;          // sum of squares
};

Vec2 turned(const Vec2& p, double angle) {
  return {p.x * std::cos(angle) - p.y * std::sin(angle),
          p.x * std::sin(angle) + p.y * std::cos(angle)};
}

double squared(const Vec2& v) { return v.x * v.x + v.y * v.y; }

// Gives each cable a slot of its size: the nearest pairs first, then swaps that save way.
Placing assign(const std::vector<Disc>& cables, const std::vector<Disc>& slots) {
  std::vector<std::size_t> slot_of(cables.size());
  std::vector<bool> taken(slots.size(), false);
  const auto way = [&](std::size_t cable, std::size_t slot) {
    return squared(slots[slot].centre - cables[cable].centre);
  };
  const auto fits = [&](std::size_t cable, std::size_t slot) {
    return std::fabs(cables[cable].radius_m - slots[slot].radius_m) < 1e-9;
  };
  for (std::size_t i = 0; i < cables.size(); ++i) {
    std::size_t best = slots.size();
    for (std::size_t s = 0; s < slots.size(); ++s)
      if (!taken[s] && fits(i, s) && (best == slots.size() || way(i, s) < way(i, best) - 1e-12))
        best = s;
    slot_of[i] = best;
    taken[best] = true;
  }
  for (bool better = true; better;) {
    better = false;
    for (std::size_t i = 0; i < cables.size(); ++i) {
      for (std::size_t j = i + 1; j < cables.size(); ++j) {
        const double saved =
            way(i, slot_of[i]) + way(j, slot_of[j]) - way(i, slot_of[j]) - way(j, slot_of[i]);
        if (!fits(i, slot_of[j]) || !fits(j, slot_of[i]) || saved < 1e-12) continue;
        std::swap(slot_of[i], slot_of[j]);
        better = true;
      }
    }
  }
  Placing placing;
  for (std::size_t i = 0; i < cables.size(); ++i) {
    placing.places.push_back(slots[slot_of[i]].centre);
    placing.moved += way(i, slot_of[i]);
  }
  return placing;
}

Placing least_moved(const std::vector<Disc>& cables, const std::vector<Disc>& bundle,
                    const Vec2& middle) {
  Placing best;
  for (int turn = 0; turn < kTurns; ++turn) {
    std::vector<Disc> slots = bundle;
    for (Disc& slot : slots) slot.centre = turned(slot.centre - middle, 2 * kPi * turn / kTurns);
    Placing placing = assign(cables, slots);
    if (best.places.empty() || placing.moved < best.moved - 1e-12) best = std::move(placing);
  }
  return best;
}

void pack(const HolePassages& hole, const Frame& frame, const std::vector<LanePath>& paths,
          Lanes& lanes) {
  const Vec2 axis = frame.to_plane(hole.from);
  std::vector<Disc> cables;
  std::vector<double> diameters;
  for (const Passage& passage : hole.passages) {
    const LanePath& path = paths[passage.path];
    if (passage.edge == 0 || passage.edge + 1 == path.path.edges.size()) return;
    const Vec3& at = lanes.lanes[passage.path].points[passage.edge];
    cables.push_back({frame.to_plane(at) - axis, path.diameter_m / 2});
    diameters.push_back(path.diameter_m);
  }
  const std::vector<Disc> bundle = packed_bundle(diameters);
  const Disc round = enclosing_circle(bundle);
  if (enclosing_circle(cables).radius_m <= kWorthPacking * round.radius_m) return;
  const Placing placing = least_moved(cables, bundle, round.centre);
  for (std::size_t i = 0; i < cables.size(); ++i) {
    const Passage& passage = hole.passages[i];
    const Vec3 aside = placing.places[i].x * frame.u + placing.places[i].y * frame.v;
    for (const std::size_t point : {passage.edge, passage.edge + 1})
      lanes.lanes[passage.path].points[point] = paths[passage.path].path.points[point] + aside;
  }
}

}  // namespace

std::vector<HolePassages> find_holes(const std::vector<LanePath>& paths, const Tracks& tracks,
                                     const Room& room) {
  std::vector<HolePassages> holes;
  for (std::size_t p = 0; p < paths.size(); ++p) {
    const TrackPath& path = paths[p].path;
    for (std::size_t i = 0; i < path.edges.size(); ++i) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(path.edges[i].edge)];
      if (edge.kind != EdgeKind::crossing || edge.crossing < 0) continue;
      const Frame& frame = room.crossings[static_cast<std::size_t>(edge.crossing)].frame;
      Vec3 from = path.points[i];
      Vec3 to = path.points[i + 1];
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

void pack_holes(const std::vector<LanePath>& paths, Lanes& lanes, const Tracks& tracks,
                const Room& room) {
  for (const HolePassages& hole : find_holes(paths, tracks, room))
    if (hole.passages.size() > 1)
      pack(hole, room.crossings[static_cast<std::size_t>(hole.crossing)].frame, paths, lanes);
}

}  // namespace roomloom
