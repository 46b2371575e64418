#include "shape/lane_lattice.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <tuple>

namespace roomloom {
namespace {

constexpr std::size_t kCoordinates = 11;  // along an axis
constexpr std::size_t kFreePlaces = 8;    // of a straight stretch
constexpr double kSame = 1e-5;            // metres: coordinates that are one
constexpr double kFurthest = 8;           // diameters off the track

// Coordinates to try along one axis; the first offered are kept.
class Coordinates {
 public:
  void offer(double value) {
    const bool known = std::any_of(values_.begin(), values_.end(),
                                   [&](double v) { return std::fabs(v - value) < kSame; });
    if (!known && values_.size() < kCoordinates) values_.push_back(value);
  }
  std::vector<double> ascending() const {
    std::vector<double> sorted = values_;
    std::sort(sorted.begin(), sorted.end());
    return sorted;
  }

 private:
  std::vector<double> values_;
};

bool lies_along(const Vec3& direction, const Vec3& axis) {
  return std::fabs(dot(direction, axis)) > 1 - 1e-6;
}

// A cable beside a straight stretch, in its section: no centre may lie nearer than `need_m`.
struct Beside {
  std::array<double, 2> at;
  double need_m = 0;
};

// A straight stretch seen along itself.
struct Section {
  std::array<std::size_t, 2> axes{};
  std::array<Vec3, 2> directions;  // of those axes
  std::vector<const LaneLimits*> limits;
  std::array<double, 2> low{}, high{}, rest{};
  std::vector<Beside> beside;
  std::vector<std::array<double, 2>> places;  // free ones, nearest to the resting place first
};

void narrow(Section& section, const LaneLimits& limits, const std::vector<Vec3>& axes) {
  for (const LaneLimits::Interval& limit : limits.intervals) {
    for (std::size_t side = 0; side < 2; ++side) {
      const double same = dot(limit.axis, axes[section.axes[side]]);
      if (std::fabs(same) < 1 - 1e-9) continue;
      section.low[side] = std::max(section.low[side], same > 0 ? limit.low : -limit.high);
      section.high[side] = std::min(section.high[side], same > 0 ? limit.high : -limit.low);
    }
  }
}

// The section of the stretch from point `from` to `to`; none if it runs aslant to the axes.
std::optional<Section> section_of(const LaneTask& task, const std::vector<Vec3>& axes,
                                  std::size_t from, std::size_t to) {
  const std::vector<Vec3>& points = task.run.path.points;
  const Vec3 way = normalized(points[to] - points[from]);
  const auto along = std::find_if(axes.begin(), axes.end(),
                                  [&](const Vec3& axis) { return lies_along(way, axis); });
  if (along == axes.end()) return std::nullopt;
  const auto skipped = static_cast<std::size_t>(along - axes.begin());
  Section section;
  section.axes = {skipped == 0 ? std::size_t{1} : 0, skipped == 2 ? std::size_t{1} : 2};
  section.directions = {axes[section.axes[0]], axes[section.axes[1]]};
  const double furthest = kFurthest * task.run.diameter_m;
  section.low = {-furthest, -furthest};
  section.high = {furthest, furthest};
  double longest = -1;
  for (std::size_t i = from; i < to; ++i) {
    narrow(section, task.limits[i], axes);
    section.limits.push_back(&task.limits[i]);
    const double length = distance(points[i], points[i + 1]);
    if (length <= longest) continue;
    longest = length;
    for (std::size_t side = 0; side < 2; ++side)
      section.rest[side] = dot(task.rests[i], axes[section.axes[side]]);
  }
  for (std::size_t leg = 0; leg < task.run.legs.size(); ++leg) {
    const LanePath::Leg& part = task.run.legs[leg];
    if (part.from < from || part.to > to || part.loose) continue;
    for (const NearLeg& other : task.near[leg]) {
      if (!lies_along(normalized(other.to - other.from), way)) continue;
      const Vec3 off = other.from - points[from];
      section.beside.push_back(
          {{dot(off, axes[section.axes[0]]), dot(off, axes[section.axes[1]])}, other.need_m});
    }
  }
  return section;
}

// Along an axis, the corners of what two limits that lie aslant to it leave free.
void offer_corners(const Section& section, std::size_t side,
                   const std::function<void(double)>& offer) {
  for (const LaneLimits* limits : section.limits) {
    if (limits->intervals.size() != 2) continue;
    const LaneLimits::Interval& a = limits->intervals[0];
    const LaneLimits::Interval& b = limits->intervals[1];
    for (const double x : {a.low, a.high})
      for (const double y : {b.low, b.high})
        if (std::isfinite(x) && std::isfinite(y))
          offer(dot(x * a.axis + y * b.axis, section.directions[side]));
  }
}

std::vector<double> places_along(const Section& section, std::size_t side) {
  std::vector<double> places;
  const auto offer = [&](double value) {
    if (value < section.low[side] - 1e-9 || value > section.high[side] + 1e-9) return;
    const bool known = std::any_of(places.begin(), places.end(),
                                   [&](double v) { return std::fabs(v - value) < kSame; });
    if (!known) places.push_back(value);
  };
  offer(section.rest[side]);
  offer(0);
  offer(section.low[side]);
  offer(section.high[side]);
  offer_corners(section, side, offer);
  for (const Beside& other : section.beside) {
    for (const double apart : {-other.need_m - 1.5e-6, 0.0, other.need_m + 1.5e-6})
      offer(other.at[side] + apart);
  }
  return places;
}

bool is_free(const Section& section, double x, double y) {
  const Vec3 offset = x * section.directions[0] + y * section.directions[1];
  return std::all_of(section.beside.begin(), section.beside.end(),
                     [&](const Beside& other) {
                       return std::hypot(other.at[0] - x, other.at[1] - y) >= other.need_m;
                     }) &&
         std::all_of(section.limits.begin(), section.limits.end(),
                     [&](const LaneLimits* limits) { return limits->broken_by(offset) < 1e-6; });
}

// The free places nearest to the resting place that are `apart_m` from each other.
void find_places(Section& section, double apart_m) {
  const std::vector<double> first = places_along(section, 0);
  const std::vector<double> second = places_along(section, 1);
  struct Place {
    double off;
    std::size_t i, j;
    bool operator<(const Place& other) const {  // the nearest is on top of the heap
      if (std::fabs(off - other.off) > 1e-9) return off > other.off;
      return std::tie(i, j) > std::tie(other.i, other.j);
    }
  };
  std::vector<Place> heap;
  for (std::size_t i = 0; i < first.size(); ++i)
    for (std::size_t j = 0; j < second.size(); ++j)
      heap.push_back({std::hypot(first[i] - section.rest[0], second[j] - section.rest[1]), i, j});
  std::make_heap(heap.begin(), heap.end());
  while (!heap.empty() && section.places.size() < kFreePlaces) {
    std::pop_heap(heap.begin(), heap.end());
    const double x = first[heap.back().i];
    const double y = second[heap.back().j];
    heap.pop_back();
    const bool known = std::any_of(
        section.places.begin(), section.places.end(),
        [&](const auto& place) { return std::hypot(place[0] - x, place[1] - y) < apart_m; });
    if (!known && is_free(section, x, y)) section.places.push_back({x, y});
  }
}

}  // namespace

std::vector<Vec3> lattice_axes(const std::vector<LanePath>& paths, const Tracks& tracks,
                               const Room& room) {
  std::vector<Vec3> axes;
  const auto offer = [&](Vec3 direction) {
    if (axes.size() == 3) return;
    for (const Vec3& axis : axes) direction = direction - dot(direction, axis) * axis;
    if (norm(direction) > 0.3) axes.push_back(normalized(direction));
  };
  const auto node = [&](int i) { return tracks.nodes[static_cast<std::size_t>(i)].position; };
  for (const LanePath& run : paths) {
    std::vector<int> edges = run.tracks;
    std::sort(edges.begin(), edges.end());  // so that a run's direction does not matter
    for (const int index : edges) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(index)];
      if (edge.kind != EdgeKind::lead_in) offer(normalized(node(edge.b) - node(edge.a)));
      if (const Sheet* sheet = sheet_of(edge, room)) offer(sheet->frame.n);
    }
  }
  for (const Vec3& direction : {Vec3{0, 0, 1}, Vec3{1, 0, 0}, Vec3{0, 1, 0}}) offer(direction);
  return axes;
}

std::vector<std::size_t> straight_ends(const LanePath& run) {
  std::vector<std::size_t> ends;
  const auto steps = [&](std::size_t edge) {
    return !run.steps_aside.empty() && run.steps_aside[edge];
  };
  for (std::size_t i = run.span.from; i <= run.span.to; ++i)
    if (i == run.span.from || i == run.span.to || is_corner(run.path.points, i) ||
        steps(i - 1) != steps(i))
      ends.push_back(i);
  return ends;
}

OffsetLattice offset_lattice(const LaneTask& task, const std::vector<Vec3>& axes, int reach) {
  std::vector<Section> sections;
  const std::vector<std::size_t> ends = straight_ends(task.run);
  for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
    if (!task.run.steps_aside.empty() && task.run.steps_aside[ends[k]]) continue;
    auto section = section_of(task, axes, ends[k], ends[k + 1]);
    if (!section) continue;
    find_places(*section, 0.45 * task.run.diameter_m);
    sections.push_back(std::move(*section));
  }
  // So that it does not matter which end is called the first.
  if (task.run.path.edges.front().edge > task.run.path.edges.back().edge)
    std::reverse(sections.begin(), sections.end());
  std::array<Coordinates, 3> coordinates;
  for (Coordinates& along : coordinates) along.offer(0);
  for (std::size_t rank = 0; rank < kFreePlaces; ++rank)
    for (const Section& section : sections)
      for (std::size_t side = 0; side < 2 && rank < section.places.size(); ++side)
        coordinates[section.axes[side]].offer(section.places[rank][side]);
  OffsetLattice lattice;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    for (int k = 1; k <= reach; ++k)
      for (const int sign : {-1, 1}) coordinates[axis].offer(sign * k * task.run.diameter_m / 2);
    lattice.axes[axis] = axes[axis];
    lattice.coordinates_m[axis] = coordinates[axis].ascending();
  }
  return lattice;
}

std::vector<Vec3> lattice_offsets(const OffsetLattice& lattice) {
  std::vector<Vec3> offsets;
  for (const double i : lattice.coordinates_m[0])
    for (const double j : lattice.coordinates_m[1])
      for (const double k : lattice.coordinates_m[2])
        offsets.push_back(i * lattice.axes[0] + j * lattice.axes[1] + k * lattice.axes[2]);
  std::stable_sort(offsets.begin(), offsets.end(),
                   [](const Vec3& a, const Vec3& b) { return norm(a) < norm(b) - 1e-9; });
  return offsets;
}

}  // namespace roomloom
