#include <algorithm>
#include <cmath>

#include "geometry/crossing.h"
#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

bool is_free(const Context& context, int index, const Vec2& at) {
  return context.surfaces.obstruction(index, at, 0, false).empty();
}

/// How far one gets from `from` toward `to` on the sheet, 0..1, before its border or an opening.
double reach_on(const Context& context, int index, const Vec2& from, const Vec2& to) {
  const Sheet& sheet = context.surfaces.sheet(index);
  double reach = 0;
  for (const auto& [t0, t1] : inside_pieces(sheet.region, from, to))
    if (t0 < 1e-6) reach = std::max(reach, t1);
  constexpr int kSteps = 40;
  const auto at = [&](double t) { return from + t * (to - from); };
  double blocked = -1;
  while (reach > 0 && !is_free(context, index, at(reach))) {
    blocked = reach;
    reach -= 1.0 / kSteps;
  }
  reach = std::max(0.0, reach);
  for (int i = 0; i < 20 && blocked > 0; ++i) {
    const double middle = 0.5 * (reach + blocked);
    (is_free(context, index, at(middle)) ? reach : blocked) = middle;
  }
  return reach;
}

/// The direction of the tracks on a sheet: on walls and slopes level and up, on the others along
/// most of the outline.
Vec2 track_axis(const Sheet& sheet) {
  const Vec3 n = sheet.frame.n;
  if (std::abs(n.z) >= 0.95) return main_direction(sheet.region.outline);
  const Vec3 up = normalized(Vec3{0, 0, 1} - n.z * n);
  const Vec3 along = cross(up, n);
  return {dot(along, sheet.frame.u), dot(along, sheet.frame.v)};
}

// Along tracks a way's length is a sum of coordinates, each with the sign of where it leads. Over a
// circle the greatest value of any such sum lies at a multiple of 45 degrees from the tracks, over
// a rectangle along the tracks at a corner. What lies farthest along the tracks comes first, on all
// sides: where places are so near each other that one track serves two, it is the farther one's.
std::vector<Vec2> offsets(const MayMove& move, const Vec2& axis) {
  const Vec2 across{-axis.y, axis.x};
  const auto turned = [&](double x, double y) { return x * axis + y * across; };
  std::vector<Vec2> list;
  if (move.radius_m > 0) {
    for (const int i : {0, 2, 4, 6, 1, 3, 5, 7})
      list.push_back(
          turned(move.radius_m * std::cos(i * kPi / 4), move.radius_m * std::sin(i * kPi / 4)));
  } else if (move.rectangle_m) {
    const double x = 0.5 * (*move.rectangle_m)[0], y = 0.5 * (*move.rectangle_m)[1];
    list = {turned(x, y), turned(-x, y), turned(-x, -y), turned(x, -y)};
  }
  return list;
}

/// Where `ring` cuts the circle round `centre`, and its corners within: there a sum of coordinates
/// may be greatest too, where the ring takes a piece of the circle.
void add_cuts(const Ring& ring, const Vec2& centre, double radius, std::vector<Vec2>& offsets) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i] - centre, way = ring[(i + 1) % ring.size()] - ring[i];
    if (norm(a) < radius) offsets.push_back(a);
    const double length = dot(way, way), half = dot(a, way);
    const double root = half * half - length * (dot(a, a) - radius * radius);
    if (length < 1e-18 || root <= 0) continue;
    for (const double t : {(-half - std::sqrt(root)) / length, (-half + std::sqrt(root)) / length})
      if (t > 0 && t < 1) offsets.push_back(a + t * way);
  }
}

/// Where `ring` cuts the sides of the rectangle `corners`, told as offsets from `centre`, and its
/// corners within.
void add_cuts(const Ring& ring, const Vec2& centre, const std::vector<Vec2>& corners,
              std::vector<Vec2>& offsets) {
  const Ring rectangle(corners.begin(), corners.end());
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i] - centre, b = ring[(i + 1) % ring.size()] - centre;
    if (contains(rectangle, a)) offsets.push_back(a);
    for (std::size_t k = 0; k < rectangle.size(); ++k) {
      Vec2 met;
      if (crossing_point(a, b, rectangle[k], rectangle[(k + 1) % rectangle.size()], met))
        offsets.push_back(met);
    }
  }
}

std::vector<Vec2> offsets_on(const Sheet& sheet, const MayMove& move, const Vec2& centre) {
  const std::vector<Vec2> whole = offsets(move, track_axis(sheet));
  std::vector<Vec2> list = whole;
  const auto add = [&](const Ring& ring) {
    if (move.radius_m > 0)
      add_cuts(ring, centre, move.radius_m, list);
    else
      add_cuts(ring, centre, whole, list);
  };
  add(sheet.region.outline);
  for (const Ring& hole : sheet.region.holes) add(hole);
  for (const SheetKeepOut& keep_out : sheet.keep_outs)
    if (takes_no_end(keep_out.what)) add(keep_out.ring);
  return list;
}

/// What the sheet, or the space in furniture, takes of what the job allows is told.
void tell_cut(Context& context, const std::string& pointer, const std::string& held_by,
              double wanted_m, double least_m) {
  constexpr double kTold_m = 0.01;
  if (wanted_m - least_m < kTold_m) return;
  context.ends.guesses.push_back(
      {"Where " + pointer + " may move",
       "only within " + held_by + ": to one side " + context.length(least_m) + " instead of " +
           context.length(wanted_m),
       "its edge or an opening ends the way there; cable is reckoned to no other surface",
       "\"may_move\": { \"alternatives\": [ ... ] } with points beyond it"});
}

std::vector<EndPlace> on_its_sheet(Context& context, const MayMove& move, const EndPlace& place,
                                   const std::string& pointer) {
  constexpr double kLeast_m = 0.001, kApart_m = 0.005;
  const Sheet& sheet = context.surfaces.sheet(place.home.index);
  double wanted = 0, got = 0;  // of the way that is cut shortest
  const Vec2 centre = sheet.frame.to_plane(place.position);
  const double height = sheet.frame.height(place.position);
  std::vector<EndPlace> places;
  for (const Vec2& offset : offsets_on(sheet, move, centre)) {
    const double reach = reach_on(context, place.home.index, centre, centre + offset);
    const double lost = (1 - reach) * norm(offset);
    if (lost > wanted - got) wanted = norm(offset), got = wanted - lost;
    if (reach * norm(offset) < kLeast_m) continue;
    EndPlace moved = place;
    moved.position = sheet.frame.to_world(centre + reach * offset, height);
    const bool known = std::any_of(places.begin(), places.end(), [&](const EndPlace& other) {
      return distance(other.position, moved.position) < kApart_m;
    });
    if (!known) places.push_back(moved);
  }
  if (!places.empty()) tell_cut(context, pointer, sheet.name, wanted, got);
  return places;
}

/// In a zone, level: kept within it. Cable lies straight there, so that any direction may be the
/// farthest: corners of the octagon round the circle enclose it.
std::vector<EndPlace> in_its_zone(Context& context, const MayMove& move, const EndPlace& place,
                                  const std::string& pointer) {
  const Zone& zone = context.ends.zones[static_cast<std::size_t>(place.home.index)];
  std::vector<EndPlace> places;
  const double around = move.radius_m > 0 ? 1 / std::cos(kPi / 8) : 1;
  const Vec3 here = zone.frame.to_local(place.position);
  const auto kept = [&](const Vec2& offset) {
    return Vec3{std::clamp(here.x + offset.x, 0.0, zone.size.x),
                std::clamp(here.y + offset.y, 0.0, zone.size.y), here.z};
  };
  double wanted = 0, got = 0;
  for (const Vec2& offset : offsets(move, {1, 0})) {
    const double reach = distance(kept(offset), here);
    if (norm(offset) - reach > wanted - got) wanted = norm(offset), got = reach;
    EndPlace moved = place;
    moved.position = zone.frame.to_world(kept(around * offset));
    if (distance(moved.position, place.position) > 0.001) places.push_back(moved);
  }
  if (!places.empty()) tell_cut(context, pointer, "the space " + zone.name, wanted, got);
  return places;
}

}  // namespace

std::vector<EndPlace> may_move_to(Context& context, const MayMove& move, const EndPlace& place,
                                  const std::string& pointer) {
  if (!move.alternatives.empty()) {
    std::vector<EndPlace> places;
    for (std::size_t i = 0; i < move.alternatives.size(); ++i) {
      const std::string here = pointer + "/may_move/alternatives/" + std::to_string(i);
      const auto* point = std::get_if<AtPoint>(&move.alternatives[i]);  // often without "xyz"
      const auto found =
          point != nullptr
              ? mount_point(context, point->point, Mount::automatic, here, "at a point")
              : find_place(context, move.alternatives[i], "", Mount::automatic, here);
      if (found) places.push_back(found->place);
    }
    return places;
  }
  const bool sheet = place.home.kind == PlaceKind::sheet;
  auto places = sheet ? on_its_sheet(context, move, place, pointer)
                      : in_its_zone(context, move, place, pointer);
  if (places.empty())
    context.problem(pointer + "/may_move", "place.alternative",
                    "There is no room to move this end on its surface.",
                    "Leave it out, or list \"alternatives\" on other surfaces.");
  return places;
}

}  // namespace roomloom::place
