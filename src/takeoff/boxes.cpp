#include "takeoff/boxes.h"

#include <algorithm>
#include <cmath>

#include "geometry/polygon.h"
#include "geometry/rectangle.h"
#include "takeoff/cells.h"

namespace roomloom {
namespace {

constexpr double kPlace_m = 0.086, kTwoPlaces_m = 0.146;
constexpr double kBeyondEnd_m = 0.023;  // as a box of two places has beyond ends 100 mm apart

double half_of(double spread_m) {
  if (spread_m < 1e-3) return kPlace_m / 2;
  return std::max(kTwoPlaces_m / 2, spread_m / 2 + kBeyondEnd_m);
}

void give_size(OutletBox& box, const Ends& ends, const Room& room) {
  const Frame& frame = element(room.sheets, box.sheet).frame;
  Box2 hull;
  for (const int end : box.ends) hull.add(frame.to_plane(element(ends.ends, end).place.position));
  box.centre = frame.to_world(0.5 * (hull.low + hull.high));
  box.half_u_m = half_of(hull.high.x - hull.low.x);
  box.half_v_m = half_of(hull.high.y - hull.low.y);
}

}  // namespace

std::vector<OutletBox> boxes_of(const std::vector<Termination>& terminations, const Ends& ends,
                                const Room& room) {
  std::vector<OutletBox> boxes;
  for (const bool there : {false, true})
    for (const Termination& one : terminations) {
      const EndPlace& place = element(ends.ends, one.end).place;
      if ((there ? !one.box_there : one.box.empty()) || place.home.kind != PlaceKind::sheet)
        continue;
      const auto same = std::find_if(boxes.begin(), boxes.end(), [&](const OutletBox& box) {
        if (box.there != there || !there) return box.name == one.box && box.there == there;
        const EndPlace& first = element(ends.ends, box.ends.front()).place;
        return first.home == place.home && distance(first.position, place.position) <= kSameBox_m;
      });
      if (same != boxes.end())
        same->ends.push_back(one.end);
      else
        boxes.push_back({one.box, place.home.index, {}, 0, 0, {one.end}, there});
    }
  for (OutletBox& box : boxes) give_size(box, ends, room);
  return boxes;
}

Ring outline_of(const OutletBox& box, const Frame& frame) {
  const Vec2 c = frame.to_plane(box.centre);
  const double u = box.half_u_m, v = box.half_v_m;
  return {{c.x - u, c.y - v}, {c.x + u, c.y - v}, {c.x + u, c.y + v}, {c.x - u, c.y + v}};
}

std::string box_words(const OutletBox& box, const Ends& ends) {
  std::vector<std::string> ids;
  for (const int end : box.ends) ids.push_back(element(ends.ends, end).id);
  const std::string of = listed(ids, " and ");
  return box.there ? "the box of " + of + " that is there" : "box " + box.name + " of " + of;
}

}  // namespace roomloom
