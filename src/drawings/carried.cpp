#include "drawings/carried.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

constexpr double kBefore_m = 0.8;   // what lies free this close before a wall is shown on its sheet
constexpr double kWithin_m = 0.4;   // a wall or floor is no thicker than this
constexpr double kOnFace_m = 0.02;  // nearer to the face is neither before nor behind it
constexpr double kBorder_m = 0.1;

bool behind_gear(const Ends& ends, int zone) {
  return std::any_of(ends.gear.begin(), ends.gear.end(),
                     [&](const GearBox& gear) { return gear.zone == zone; });
}

bool over(const Polygon& region, const Vec2& p) {
  return contains(region.outline, p) || border_distance(region, p) <= kBorder_m;
}

/// How far the line keeps from the sheet's plane: the lowest and the highest, when all of it lies
/// over the sheet's outline.
std::optional<std::pair<double, double>> heights_over(const Sheet& sheet,
                                                      const std::vector<Vec3>& line) {
  std::pair<double, double> heights{1e9, -1e9};
  for (const Vec3& p : line) {
    if (!over(sheet.region, sheet.frame.to_plane(p))) return std::nullopt;
    const double height = sheet.frame.height(p);
    heights = {std::min(heights.first, height), std::max(heights.second, height)};
  }
  return heights;
}

/// Would the line be seen, or nearly end on?
bool seen_along(const Frame& frame, const std::vector<Vec3>& line) {
  constexpr double kLeastShare = 0.6;
  double whole = 0;
  double seen = 0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    whole += distance(line[i], line[i + 1]);
    seen += norm(frame.to_plane(line[i + 1]) - frame.to_plane(line[i]));
  }
  return seen >= kLeastShare * whole;
}

/// The nearest face of a role that all of the line lies before, or within, and is seen on.
std::optional<ShownAt> face_of(const Room& room, const std::vector<Vec3>& line, SheetRole role) {
  std::optional<ShownAt> best;
  double least = 1e9;
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    if (sheet.role != role || sheet.front_air != room.main_air) continue;
    const auto heights = heights_over(sheet, line);
    if (!heights || !seen_along(sheet.frame, line) || heights->first < -kWithin_m ||
        heights->second > kBefore_m)
      continue;
    const double far = std::max(heights->second, -heights->first);
    if (far >= least) continue;
    least = far;
    best = ShownAt{{PlaceKind::sheet, static_cast<int>(i)},
                   heights->first < -kOnFace_m ? ShownAt::behind : ShownAt::before};
  }
  return best;
}

/// A plenum or a space below the floor that all of the line lies in.
std::optional<ShownAt> void_of(const Room& room, const std::vector<Vec3>& line) {
  for (std::size_t i = 0; i < room.voids.size(); ++i) {
    const Void& space = room.voids[i];
    if (space.upright_only || space.kind == VoidKind::bay) continue;
    const bool inside = std::all_of(line.begin(), line.end(), [&](const Vec3& p) {
      const Vec3 local = space.frame.to_local(p);
      return local.z > -kOnFace_m && local.z < space.height_m + kOnFace_m &&
             over(space.plan, {local.x, local.y});
    });
    if (inside) return ShownAt{{PlaceKind::void_space, static_cast<int>(i)}, ShownAt::on};
  }
  return std::nullopt;
}

/// From above on the largest floor, and if there is none on the largest face: it must be somewhere.
std::optional<ShownAt> last_resort(const Room& room, const std::vector<Vec3>& line) {
  int best = -1;
  double most = -1;
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    if (sheet.role == SheetRole::open_side) continue;
    const double area =
        std::abs(signed_area(sheet.region.outline)) + (sheet.role == SheetRole::floor ? 1e6 : 0);
    if (area <= most) continue;
    most = area;
    best = static_cast<int>(i);
  }
  if (best < 0) return std::nullopt;
  const Frame& frame = room.sheets[static_cast<std::size_t>(best)].frame;
  const bool behind = std::any_of(line.begin(), line.end(),
                                  [&](const Vec3& p) { return frame.height(p) < -kOnFace_m; });
  return ShownAt{{PlaceKind::sheet, best}, behind ? ShownAt::behind : ShownAt::before};
}

std::optional<ShownAt> without_own_place(const Room& room, const PlaceId& home,
                                         const std::vector<Vec3>& line) {
  if (home.kind == PlaceKind::conduit)
    if (const auto found = void_of(room, line)) return found;
  for (const SheetRole role : {SheetRole::wall, SheetRole::slope})
    if (const auto found = face_of(room, line, role)) return found;
  return last_resort(room, line);
}

/// Calls visit(place, depth, thing) for all stretches, and for all ends but those at gear.
template <typename OfStretch, typename OfEnd>
void visit_shown(const DrawingRequest& r, const Trunks& trunks, OfStretch of_stretch,
                 OfEnd of_end) {
  for (const Stretch& stretch : trunks.stretches)
    if (const auto shown = shown_at(r, stretch.home, stretch.line)) of_stretch(*shown, &stretch);
  for (std::size_t i = 0; i < r.ends.ends.size(); ++i) {
    const End& end = r.ends.ends[i];
    if (!end.gear.empty()) continue;
    if (const auto shown = shown_at(r, end.place.home, {end.place.position}))
      of_end(shown->place, static_cast<int>(i));
  }
}

std::vector<const HoleShape*> holes_at(const DrawingRequest& r, const PlaceId& place) {
  std::vector<const HoleShape*> holes;
  for (const HoleShape& hole : r.shapes.holes) {
    const Crossing& crossing = r.room.crossings[static_cast<std::size_t>(hole.crossing)];
    if (crossing.from == place || crossing.to == place) holes.push_back(&hole);
  }
  return holes;
}

}  // namespace

std::optional<ShownAt> shown_at(const DrawingRequest& r, const PlaceId& home,
                                const std::vector<Vec3>& line) {
  if (home.kind == PlaceKind::sheet) return ShownAt{home, ShownAt::on};
  if (home.kind == PlaceKind::zone && behind_gear(r.ends, home.index)) return std::nullopt;
  if (home.kind == PlaceKind::void_space) {
    const Void& space = r.room.voids[static_cast<std::size_t>(home.index)];
    if (space.wall >= 0) return ShownAt{{PlaceKind::sheet, space.wall}, ShownAt::behind};
    if (!space.upright_only && space.kind != VoidKind::bay) return ShownAt{home, ShownAt::on};
  }
  return without_own_place(r.room, home, line);
}

std::vector<Carried> carried_by(const DrawingRequest& r, const Trunks& trunks) {
  std::vector<Carried> all(r.room.sheets.size());
  const auto of = [&](int sheet) -> Carried& { return all[static_cast<std::size_t>(sheet)]; };
  visit_shown(
      r, trunks,
      [&](const ShownAt& shown, const Stretch* stretch) {
        if (shown.place.kind != PlaceKind::sheet) return;
        Carried& carried = of(shown.place.index);
        (shown.depth == ShownAt::on       ? carried.on
         : shown.depth == ShownAt::behind ? carried.behind
                                          : carried.before)
            .push_back(stretch);
      },
      [&](const PlaceId& place, int end) {
        if (place.kind == PlaceKind::sheet) of(place.index).ends.push_back(end);
      });
  for (const RacewayShape& piece : r.shapes.raceways)
    if (piece.sheet >= 0) of(piece.sheet).raceways.push_back(&piece);
  for (std::size_t i = 0; i < all.size(); ++i)
    all[i].holes = holes_at(r, {PlaceKind::sheet, static_cast<int>(i)});
  return all;
}

Carried carried_in(const DrawingRequest& r, const Trunks& trunks, int space) {
  const PlaceId self{PlaceKind::void_space, space};
  Carried carried;
  visit_shown(
      r, trunks,
      [&](const ShownAt& shown, const Stretch* stretch) {
        if (shown.place == self) carried.on.push_back(stretch);
      },
      [&](const PlaceId& place, int end) {
        if (place == self) carried.ends.push_back(end);
      });
  carried.holes = holes_at(r, self);
  return carried;
}

}  // namespace roomloom
