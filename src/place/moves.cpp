#include <algorithm>
#include <cmath>

#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

/// How far one gets from `from` toward `to` on the sheet, 0..1, before its border or an opening.
double reach_on(const Context& context, int index, const Vec2& from, const Vec2& to) {
  const Sheet& sheet = context.surfaces.sheet(index);
  double reach = 0;
  for (const auto& [t0, t1] : inside_pieces(sheet.region, from, to))
    if (t0 < 1e-6) reach = std::max(reach, t1);
  constexpr int kSteps = 40;
  while (reach > 0) {
    const Vec2 at = from + reach * (to - from);
    if (context.surfaces.obstruction(index, at, 0, false).empty()) break;
    reach -= 1.0 / kSteps;
  }
  return std::max(0.0, reach);
}

std::vector<Vec2> offsets(const MayMove& move) {
  std::vector<Vec2> list;
  if (move.radius_m > 0) {
    for (int i = 0; i < 8; ++i)
      list.push_back(
          {move.radius_m * std::cos(i * kPi / 4), move.radius_m * std::sin(i * kPi / 4)});
  } else if (move.rectangle_m) {
    const double x = 0.5 * (*move.rectangle_m)[0], y = 0.5 * (*move.rectangle_m)[1];
    list = {{x, y}, {-x, y}, {-x, -y}, {x, -y}};
  }
  return list;
}

std::vector<EndPlace> on_its_sheet(const Context& context, const MayMove& move,
                                   const EndPlace& place) {
  constexpr double kLeast_m = 0.001;
  const Sheet& sheet = context.surfaces.sheet(place.home.index);
  const Vec2 centre = sheet.frame.to_plane(place.position);
  const double height = sheet.frame.height(place.position);
  std::vector<EndPlace> places;
  for (const Vec2& offset : offsets(move)) {
    const double reach = reach_on(context, place.home.index, centre, centre + offset);
    if (reach * norm(offset) < kLeast_m) continue;
    EndPlace moved = place;
    moved.position = sheet.frame.to_world(centre + reach * offset, height);
    places.push_back(moved);
  }
  return places;
}

/// In a zone, level: kept within it.
std::vector<EndPlace> in_its_zone(const Context& context, const MayMove& move,
                                  const EndPlace& place) {
  const Zone& zone = context.ends.zones[static_cast<std::size_t>(place.home.index)];
  std::vector<EndPlace> places;
  for (const Vec2& offset : offsets(move)) {
    Vec3 local = zone.frame.to_local(place.position);
    local.x = std::clamp(local.x + offset.x, 0.0, zone.size.x);
    local.y = std::clamp(local.y + offset.y, 0.0, zone.size.y);
    EndPlace moved = place;
    moved.position = zone.frame.to_world(local);
    if (distance(moved.position, place.position) > 0.001) places.push_back(moved);
  }
  return places;
}

}  // namespace

std::vector<EndPlace> may_move_to(Context& context, const MayMove& move, const EndPlace& place,
                                  const std::string& pointer) {
  if (!move.alternatives.empty()) {
    std::vector<EndPlace> places;
    for (std::size_t i = 0; i < move.alternatives.size(); ++i) {
      const std::string here = pointer + "/may_move/alternatives/" + std::to_string(i);
      const auto found =
          mount_point(context, move.alternatives[i], Mount::automatic, here, "alternative");
      if (found) places.push_back(found->place);
    }
    return places;
  }
  const bool sheet = place.home.kind == PlaceKind::sheet;
  auto places = sheet ? on_its_sheet(context, move, place) : in_its_zone(context, move, place);
  if (places.empty())
    context.problem(pointer + "/may_move", "place.alternative",
                    "There is no room to move this end on its surface.", "");
  return places;
}

}  // namespace roomloom::place
