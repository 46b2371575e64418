#include <algorithm>
#include <iterator>

#include "geometry/polygon.h"
#include "takeoff/boxes.h"
#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/raceway_record.h"

namespace roomloom {
namespace {

bool join(Straight& a, const Straight& b) {
  if (a.raceway != b.raceway || a.sheet != b.sheet || a.fixed != b.fixed) return false;
  constexpr double kInLine = 1e-3;  // sine of an angle that still counts as straight
  if (norm(cross(normalized(a.to - a.from), normalized(b.to - b.from))) >= kInLine) return false;
  for (const bool turned : {false, true}) {
    const Vec3 near = turned ? b.to : b.from, far = turned ? b.from : b.to;
    const int box = turned ? b.from_box : b.to_box;
    if (distance(a.to, near) < 1e-6 && dot(a.to - a.from, far - near) > 0)
      return a.to = far, a.to_box = box, true;
    if (distance(a.from, near) < 1e-6 && dot(a.from - a.to, far - near) > 0)
      return a.from = far, a.from_box = box, true;
  }
  return false;
}

/// What is left of a stretch beside the boxes that it runs through.
std::vector<Straight> cut_at_boxes(const Straight& whole, const std::vector<OutletBox>& boxes,
                                   const Room& room) {
  std::vector<Straight> left{whole};
  const Frame& frame = element(room.sheets, whole.sheet).frame;
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    if (boxes[i].sheet != whole.sheet) continue;
    const Polygon within{outline_of(boxes[i], frame), {}};
    std::vector<Straight> cut;
    for (const Straight& one : left) {
      const auto inside = inside_pieces(within, frame.to_plane(one.from), frame.to_plane(one.to));
      const double length = distance(one.from, one.to);
      if (inside.empty() || (inside.back().second - inside.front().first) * length < 1e-3) {
        cut.push_back(one);
        continue;
      }
      constexpr double kSliver_m = 0.005;  // nothing is cut as short
      Straight before = one, after = one;
      before.to = one.from + inside.front().first * (one.to - one.from);
      after.from = one.from + inside.back().second * (one.to - one.from);
      before.to_box = after.from_box = static_cast<int>(i);
      for (const Straight& part : {before, after})
        if (distance(part.from, part.to) > kSliver_m) cut.push_back(part);
    }
    left = std::move(cut);
  }
  return left;
}

}  // namespace

std::vector<Straight> straights_of(const CableShapes& shapes, const std::vector<OutletBox>& boxes,
                                   const Room& room, const Job& job) {
  std::vector<Straight> straights;
  for (const RacewayShape& shape : shapes.raceways) {
    if (distance(shape.from, shape.to) <= 1e-6) continue;
    Straight whole;
    whole.raceway = shape.raceway;
    whole.sheet = shape.sheet;
    whole.from = shape.from;
    whole.to = shape.to;
    whole.normal = shape.normal;
    whole.runs = shape.runs;
    for (Straight& one : cut_at_boxes(whole, boxes, room)) {
      one.fixed = is_fixed(element(job.catalogue.raceways, one.raceway).id, one.sheet, one.from,
                           one.to, room, job.as_built);
      one.parts = {{one.from, one.to, one.runs, shape.aside}};
      straights.push_back(std::move(one));
    }
  }
  for (std::size_t i = 0; i < straights.size(); ++i) {
    for (bool grown = true; grown;) {
      grown = false;
      for (std::size_t j = i + 1; j < straights.size() && !grown; ++j) {
        if (!join(straights[i], straights[j])) continue;
        std::vector<int> both;
        std::set_union(straights[i].runs.begin(), straights[i].runs.end(),
                       straights[j].runs.begin(), straights[j].runs.end(),
                       std::back_inserter(both));
        straights[i].runs = std::move(both);
        straights[i].parts.insert(straights[i].parts.end(), straights[j].parts.begin(),
                                  straights[j].parts.end());
        straights.erase(straights.begin() + static_cast<std::ptrdiff_t>(j));
        grown = true;
      }
    }
  }
  tell_recorded_ends(straights, room, job);
  return straights;
}

void turn_round(Straight& straight) {
  std::swap(straight.from, straight.to);
  std::swap(straight.from_box, straight.to_box);
  std::swap(straight.start_is, straight.end_is);
}

std::vector<RunStay> stays_in(const Straight& straight) {
  const Vec3 way = normalized(straight.to - straight.from);
  const double length = distance(straight.from, straight.to);
  std::vector<RunStay> stays;
  if (straight.parts.empty())
    for (const int run : straight.runs) stays.push_back({run, 0, length});
  for (const StraightPart& part : straight.parts) {
    double from = dot(part.from - straight.from, way), to = dot(part.to - straight.from, way);
    if (from > to) std::swap(from, to);
    for (const int run : part.runs) stays.push_back({run, from, to});
  }
  std::sort(stays.begin(), stays.end(), [](const RunStay& a, const RunStay& b) {
    return a.run != b.run ? a.run < b.run : a.from_m < b.from_m;
  });
  std::vector<RunStay> joined;
  for (const RunStay& stay : stays) {
    if (!joined.empty() && joined.back().run == stay.run &&
        stay.from_m <= joined.back().to_m + kSamePoint_m)
      joined.back().to_m = std::max(joined.back().to_m, stay.to_m);
    else
      joined.push_back(stay);
  }
  return joined;
}

}  // namespace roomloom
