#include <algorithm>
#include <cmath>
#include <set>

#include "geometry/framed_box.h"
#include "tracks/layout.h"

namespace roomloom::tracks {
namespace {

constexpr double kZoneSlack_m = 0.002;
constexpr std::size_t kMostExits = 24;  ///< of a zone, nearest to its middle first
constexpr double kAsNear_m = 1e-4;      ///< of two this alike neither is left out alone

bool in_zone(const Zone& zone, const Vec3& p) {
  return in_framed_box(zone.frame, zone.size, p, kZoneSlack_m);
}

/// The faces within a cupboard lead to nothing but themselves.
bool leads_out(const Layout& layout, const TrackPlane& plane) {
  const int air = sheet_of(layout, sheet_index(plane)).front_air;
  return air < 0 || layout.room.airs.empty() ||
         layout.room.airs[static_cast<std::size_t>(air)].kind != AirKind::cupboard;
}

/// Points of tracks, and mouths of holes, that lie in the zone.
std::vector<int> exits_of(Layout& layout, const Zone& zone) {
  std::set<int> layers;
  for (const TrackPlane& plane : layout.planes)
    if (sheet_index(plane) >= 0 && leads_out(layout, plane)) layers.insert(plane.layer);
  std::vector<int> exits;
  for (const int layer : layers)
    for (const int p : layout.draft.in_layer(layer))
      if (in_zone(zone, layout.draft.points[static_cast<std::size_t>(p)].position))
        exits.push_back(p);
  for (const Anchor& anchor : layout.anchors)
    if (anchor.crossing >= 0 && anchor.home.kind != PlaceKind::void_space &&
        in_zone(zone, anchor.position))
      exits.push_back(anchor.point);
  const Vec3 middle = zone.frame.to_world(0.5 * zone.size);
  const auto away = [&](int p) {
    return distance(layout.draft.points[static_cast<std::size_t>(p)].position, middle);
  };
  std::stable_sort(exits.begin(), exits.end(), [&](int p, int q) { return away(p) < away(q); });
  std::size_t count = std::min(exits.size(), kMostExits);
  while (count > 0 && count < exits.size() &&
         away(exits[count]) < away(exits[kMostExits - 1]) + kAsNear_m)
    ++count;
  exits.resize(count);
  return exits;
}

Stretch free_in_zone(int a, int b, int zone) {
  Stretch way;
  way.kind = EdgeKind::lead_in;
  way.medium = Medium::free;
  way.home = {PlaceKind::zone, zone};
  way.free_direction = true;
  way.a = a;
  way.b = b;
  return way;
}

/// Runs between two components of one rack, or along one cupboard, need no track at all.
void join_neighbours(Layout& layout, const std::vector<const Anchor*>& anchors, int zone) {
  for (std::size_t i = 0; i < anchors.size(); ++i)
    for (std::size_t j = i + 1; j < anchors.size(); ++j) {
      const int a = anchors[i]->end, b = anchors[j]->end;
      const bool wanted =
          std::any_of(layout.ends.runs.begin(), layout.ends.runs.end(), [&](const Run& run) {
            return a >= 0 && b >= 0 &&
                   ((run.from == a && run.to == b) || (run.from == b && run.to == a));
          });
      if (wanted || anchors[i]->end < 0 || anchors[j]->end < 0)
        layout.draft.add(free_in_zone(anchors[i]->point, anchors[j]->point, zone));
    }
}

/// Furniture round the zone that may not hold cables, for all that the job says.
std::string closed_furniture(const Layout& layout, const Zone& zone) {
  const Vec3 middle = zone.frame.to_world(0.5 * zone.size);
  for (const TrackPlane& plane : layout.planes) {
    if (sheet_index(plane) < 0 || std::abs(plane.frame.height(middle)) > norm(zone.size)) continue;
    const Sheet& sheet = sheet_of(layout, sheet_index(plane));
    for (const SheetKeepOut& keep : sheet.keep_outs)
      if (is_hollow(keep.what) && contains(keep.ring, sheet.frame.to_plane(middle)))
        return keep.name;
  }
  return "";
}

/// Grommets and other ready holes of the furniture that the zone is in: where there are some, cable
/// goes in through them and nowhere else.
std::vector<int> grommets_of(Layout& layout, const Zone& zone) {
  std::vector<int> points;
  if (zone.part < 0 || !is_hollow(layout.room.roles[static_cast<std::size_t>(zone.part)].role))
    return points;
  for (std::size_t i = 0; i < layout.scene.parts.size(); ++i) {
    if (layout.room.roles[i].role != Role::hole) continue;
    const Part& part = layout.scene.parts[i];
    Box3 box;
    for (std::uint32_t k = 0; k < part.point_count; ++k)
      box.add(layout.scene.points[part.first_point + k]);
    if (box.empty() || !in_zone(zone, box.centre())) continue;
    const bool of_a_sheet = std::any_of(
        layout.room.crossings.begin(), layout.room.crossings.end(), [&](const Crossing& crossing) {
          return crossing.existing &&
                 box.grown(kZoneSlack_m)
                     .contains(crossing.frame.to_world(interior_point(crossing.region)));
        });
    if (of_a_sheet) continue;
    points.push_back(layout.draft.point(layout.draft.new_layer(), box.centre()));
    layout.draft.points[static_cast<std::size_t>(points.back())].kept = true;
  }
  return points;
}

std::string why_closed(const Layout& layout, const Zone& zone) {
  if (const std::string name = zone.part < 0 ? closed_furniture(layout, zone) : ""; !name.empty())
    return name + may_hold(name);
  return "the space " + zone.name + " (it touches nothing that cables can be fixed to" +
         (layout.job.prefer.over_floor
              ? ")"
              : "; if it stands on the floor, \"floor\": { \"cross\": \"in raceway\" } lets "
                "raceway lie there)");
}

}  // namespace

std::string may_hold(const std::string& part) {
  return " (if cables may lie in it: \"parts\": [{ \"match\": \"" + part +
         "\", \"hides\": true }])";
}

void attach_free_zones(Layout& layout) {
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z) {
    const Zone& zone = layout.ends.zones[z];
    const PlaceId home{PlaceKind::zone, static_cast<int>(z)};
    std::vector<const Anchor*> inside;
    for (const Anchor& anchor : layout.anchors)
      if (anchor.home == home) inside.push_back(&anchor);
    if (inside.empty()) continue;
    join_neighbours(layout, inside, static_cast<int>(z));
    const std::vector<int> exits = exits_of(layout, zone);
    const std::vector<int> grommets = grommets_of(layout, zone);
    for (const int grommet : grommets)
      for (const int exit : exits)
        layout.draft.add(free_in_zone(grommet, exit, static_cast<int>(z)));
    for (Anchor& anchor : layout.anchors) {
      if (anchor.home != home) continue;
      for (const int exit : grommets.empty() ? exits : grommets)
        if (exit != anchor.point)
          layout.draft.add(free_in_zone(anchor.point, exit, static_cast<int>(z)));
      if (exits.empty() && !join_over_floor(layout, anchor) && anchor.blocked_by.empty())
        anchor.blocked_by = why_closed(layout, zone);
    }
  }
}

void add_conduits(Layout& layout) {
  for (std::size_t i = 0; i < layout.room.conduits.size(); ++i) {
    const Conduit& conduit = layout.room.conduits[i];
    if (conduit.line.size() < 2 || conduit.mouths.size() < 2) continue;
    const double bore = kPi * conduit.inside_diameter_m * conduit.inside_diameter_m / 4;
    Stretch way;
    way.medium = Medium::conduit;
    way.home = {PlaceKind::conduit, static_cast<int>(i)};
    way.largest_diameter_m = conduit.inside_diameter_m;
    way.capacity_m2 = layout.job.prefer.fill_limit * bore - conduit.occupied_area_m2;
    if (way.capacity_m2 <= 0) continue;
    const int layer = layout.draft.new_layer();
    int before = -1;
    for (std::size_t k = 0; k < conduit.line.size(); ++k) {
      int here = -1;
      if (k == 0 || k + 1 == conduit.line.size())
        here = add_anchor(layout, conduit.line[k], conduit.mouths[k == 0 ? 0 : 1]).point;
      else
        here = layout.draft.point(layer, conduit.line[k]);
      way.a = before;
      way.b = here;
      if (before >= 0) layout.draft.add(way);
      before = here;
    }
  }
}

}  // namespace roomloom::tracks
