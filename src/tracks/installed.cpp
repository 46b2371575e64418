#include <algorithm>
#include <cmath>
#include <set>

#include "geometry/arc.h"
#include "tracks/layout.h"

// What is in the room already costs nothing more: holes that are cut, raceway that is fixed,
// supports that hang. Holes can still take what fits; raceway that is full gets another beside it.

namespace roomloom::tracks {
namespace {

constexpr double kOn_m = 0.001;
constexpr double kBesidePiece_m = 0.012;   ///< of a recorded piece, across
constexpr double kJointAtPiece_m = 0.035;  ///< and beyond its ends, where a fitting covers it
constexpr double kSameWay = 0.9998;

/// A stretch that is there, and how near an edge must lie to be part of it. One that lies beside
/// its track is told as if it lay on it, with its place.
struct There {
  WayStretch stretch;
  double beside_m = kOn_m, beyond_m = kOn_m;
};

bool covers(const There& there, const Vec3& p) {
  const Vec3 along = there.stretch.to - there.stretch.from;
  const double length = norm(along);
  if (length < 1e-9) return false;
  const double t = dot(p - there.stretch.from, along) / length;
  if (t < -there.beyond_m || t > length + there.beyond_m) return false;
  return norm(p - there.stretch.from - (t / length) * along) <= there.beside_m;
}

bool covers(const There& there, const Vec3& a, const Vec3& b) {
  const Vec3 along = normalized(there.stretch.to - there.stretch.from);
  return std::abs(dot(along, normalized(b - a))) > kSameWay && covers(there, a) && covers(there, b);
}

std::string place_name(const Layout& layout, const PlaceId& home) {
  if (home.kind == PlaceKind::sheet) return sheet_of(layout, home.index).name;
  if (home.kind == PlaceKind::void_space)
    return layout.room.voids[static_cast<std::size_t>(home.index)].name;
  return {};
}

int raceway_type(const Catalogue& catalogue, const std::string& id) {
  for (std::size_t i = 0; i < catalogue.raceways.size(); ++i)
    if (catalogue.raceways[i].id == id) return static_cast<int>(i);
  return -1;
}

/// The one size that is there; another of it beside it costs what it would cost anywhere.
void fix_raceway(Tracks& tracks, int type, std::uint32_t places, TrackEdge& edge) {
  for (const int option : edge.options) {
    EdgeOption& one = tracks.options[static_cast<std::size_t>(option)];
    if (one.raceway != type) continue;
    for (const int charge : edge.charges)
      one.price += tracks.charges[static_cast<std::size_t>(charge)].price;
    one.installed = places;
    edge.options = {option};
    return;
  }
}

/// Drops all charges of an edge but the walk to it.
void pay(const Tracks& tracks, TrackEdge& edge) {
  std::erase_if(edge.charges, [&](int charge) {
    return tracks.charges[static_cast<std::size_t>(charge)].kind != ChargeKind::ladder;
  });
}

std::vector<There> what_is_there(const Layout& layout) {
  std::vector<There> all;
  for (const WrittenWay& way : layout.job.written)
    if (way.held || way.led_on)
      for (const WayStretch& stretch : way.stretches)
        if (stretch.kind == "sheet" || stretch.kind == "void") all.push_back({stretch});
  for (const WayStretch& piece : fixed_raceway(layout))
    all.push_back({piece, kBesidePiece_m, kJointAtPiece_m});
  return all;
}

/// Corners of what is there: each pair of directions that meet in a fitting.
struct Corner {
  Vec3 at, in, out;
};

std::vector<Corner> corners_there(const Layout& layout) {
  std::vector<Corner> corners;
  for (const WrittenWay& way : layout.job.written)
    for (std::size_t i = 1; (way.held || way.led_on) && i < way.stretches.size(); ++i) {
      const WayStretch &before = way.stretches[i - 1], &after = way.stretches[i];
      corners.push_back(
          {after.from, normalized(before.to - before.from), normalized(after.to - after.from)});
    }
  return corners;
}

bool is_corner(const Corner& corner, const TrackNode& a, const TrackNode& b) {
  const auto along = [](const Vec3& axis, const Vec3& direction) {
    return axis == Vec3{} || std::abs(dot(axis, direction)) > kSameWay;
  };
  return distance(corner.at, a.position) < kOn_m &&
         ((along(a.axis, corner.in) && along(b.axis, corner.out)) ||
          (along(b.axis, corner.in) && along(a.axis, corner.out)));
}

/// The inverse of how the record measures: along from a corner, and up.
Vec3 point_on(const Layout& layout, const Sheet& sheet, bool from_right, double along_m,
              double up_m) {
  const auto [low, high] = extent(sheet.region.outline);
  const double x = from_right ? high.x - along_m : low.x + along_m;
  const bool upright = sheet.role == SheetRole::wall && std::abs(sheet.frame.v.z) > 0.01;
  const double y = upright ? (layout.room.floor_z_m + up_m - sheet.frame.origin.z) / sheet.frame.v.z
                           : low.y + up_m;
  return sheet.frame.to_world(Vec2{x, y});
}

int widths_in(double aside_m, const Catalogue& catalogue, const std::string& raceway) {
  const int type = raceway_type(catalogue, raceway);
  if (type < 0) return 0;
  const double width = catalogue.raceways[static_cast<std::size_t>(type)].width_m;
  return width > 0 ? static_cast<int>(std::lround(aside_m / width)) : 0;
}

/// Raceway is cut at the sides of a box: it is there as far as the outlets in it, which lie in its
/// line.
void reach_into_boxes(const Layout& layout, int sheet, const Frame& track, WayStretch& piece) {
  constexpr double kMostOfBox_m = 0.2;
  const Vec3 along = normalized(piece.to - piece.from);
  const double length = distance(piece.from, piece.to);
  double first = 0, last = length;
  for (const End& end : layout.ends.ends) {
    if (end.place.home != PlaceId{PlaceKind::sheet, sheet}) continue;
    const Vec3 p = track.to_world(track.to_plane(end.place.position)) - piece.from;
    const double t = dot(p, along);
    if (norm(p - t * along) > kBesidePiece_m || t < -kMostOfBox_m || t > length + kMostOfBox_m)
      continue;
    first = std::min(first, t);
    last = std::max(last, t);
  }
  piece.to = piece.from + last * along;
  piece.from = piece.from + first * along;
}

}  // namespace

std::vector<WayStretch> fixed_raceway(const Layout& layout) {
  std::vector<WayStretch> pieces;
  for (const BuiltRaceway& built : layout.job.as_built.raceway)
    for (std::size_t i = 0; i < layout.room.sheets.size(); ++i) {
      const Sheet& sheet = layout.room.sheets[i];
      const auto plane = layout.plane_of_sheet.find(static_cast<int>(i));
      if (sheet.name != built.on || plane == layout.plane_of_sheet.end()) continue;
      const bool right = built.corner == "right corner";
      const Frame& frame = layout.planes[static_cast<std::size_t>(plane->second)].frame;
      const auto on_track = [&](double along_m, double up_m) {
        return frame.to_world(frame.to_plane(point_on(layout, sheet, right, along_m, up_m)));
      };
      WayStretch piece;
      piece.from = on_track(built.start_along_m, built.start_up_m);
      piece.to = on_track(built.end_along_m, built.end_up_m);
      piece.kind = "sheet";
      piece.place = sheet.name;
      piece.medium = to_string(Medium::raceway);
      piece.raceway = built.raceway;
      for (const Vec3& aside : built.aside.empty() ? std::vector{Vec3{}} : built.aside) {
        WayStretch on_its_track = piece;
        on_its_track.from = piece.from - aside;
        on_its_track.to = piece.to - aside;
        on_its_track.beside = widths_in(norm(aside), layout.job.catalogue, built.raceway);
        if (distance(piece.from, piece.to) > kOn_m)
          reach_into_boxes(layout, static_cast<int>(i), frame, on_its_track);
        pieces.push_back(on_its_track);
      }
    }
  return pieces;
}

void pay_for_what_is_there(const Layout& layout, Tracks& tracks) {
  const std::vector<There> all = what_is_there(layout);
  if (all.empty()) return;
  const std::vector<Corner> corners = corners_there(layout);
  for (TrackEdge& edge : tracks.edges) {
    const TrackNode& a = tracks.nodes[static_cast<std::size_t>(edge.a)];
    const TrackNode& b = tracks.nodes[static_cast<std::size_t>(edge.b)];
    if (edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold) {
      if (std::any_of(corners.begin(), corners.end(),
                      [&](const Corner& corner) { return is_corner(corner, a, b); }))
        pay(tracks, edge);
      continue;
    }
    if (edge.crossing >= 0 || edge.length_m <= 0) continue;
    const std::string place = place_name(layout, edge.home);
    bool any = false;
    int type = -1;
    std::uint32_t places = 0;
    for (const There& there : all) {
      if (there.stretch.place != place || !covers(there, a.position, b.position)) continue;
      any = true;
      const int own = raceway_type(layout.job.catalogue, there.stretch.raceway);
      if (type < 0) type = own;
      if (own >= 0 && own == type) places |= place_bit(there.stretch.beside);
    }
    if (!any) continue;
    if (!edge.options.empty() && type >= 0) fix_raceway(tracks, type, places, edge);
    pay(tracks, edge);
  }
}

}  // namespace roomloom::tracks
