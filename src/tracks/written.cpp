#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "tracks/layout.h"
#include "types/recorded_holes.h"

// Ways of a plan that was written before, laid into the graph at their very place: those of runs
// that lie in the room, and those that a plan starts from. Elsewhere tracks follow what the job
// asks for now and may have moved by some centimetres.

namespace roomloom::tracks {
namespace {

constexpr double kSame_m = 0.001;
constexpr double kOnPlane_m = 0.002;
constexpr double kLongestLeadIn_m = 1.0;

bool same(const Vec3& a, const Vec3& b) { return distance(a, b) < kSame_m; }

int sheet_by_name(const Layout& layout, const std::string& name) {
  for (std::size_t i = 0; i < layout.room.sheets.size(); ++i)
    if (layout.room.sheets[i].name == name) return static_cast<int>(i);
  return -1;
}

int void_by_name(const Layout& layout, const std::string& name) {
  for (std::size_t i = 0; i < layout.room.voids.size(); ++i)
    if (layout.room.voids[i].name == name) return static_cast<int>(i);
  return -1;
}

/// The place of a stretch in this room; kind none where the room has none of that name.
PlaceId home_of(const Layout& layout, const WayStretch& stretch) {
  if (stretch.kind == "sheet") {
    const int index = sheet_by_name(layout, stretch.place);
    if (index >= 0) return {PlaceKind::sheet, index};
  } else if (stretch.kind == "void") {
    const int index = void_by_name(layout, stretch.place);
    if (index >= 0) return {PlaceKind::void_space, index};
  } else if (stretch.kind == "zone") {
    for (std::size_t i = 0; i < layout.ends.zones.size(); ++i)
      if (layout.ends.zones[i].name == stretch.place) return {PlaceKind::zone, static_cast<int>(i)};
  }
  return {};
}

bool lies_on(const TrackPlane& plane, const WayStretch& stretch) {
  return std::abs(plane.frame.height(stretch.from)) < kOnPlane_m &&
         std::abs(plane.frame.height(stretch.to)) < kOnPlane_m;
}

/// The plane of tracks that a stretch lies in; -1 for what hangs free, lies in a bay or elsewhere.
int plane_of(const Layout& layout, const WayStretch& stretch, const PlaceId& home) {
  if (stretch.medium == to_string(Medium::free)) return -1;
  if (home.kind == PlaceKind::sheet) {
    const auto found = layout.plane_of_sheet.find(home.index);
    if (found == layout.plane_of_sheet.end()) return -1;
    return lies_on(layout.planes[static_cast<std::size_t>(found->second)], stretch) ? found->second
                                                                                    : -1;
  }
  if (home.kind != PlaceKind::void_space) return -1;
  const auto found = layout.planes_of_void.find(home.index);
  if (found == layout.planes_of_void.end()) return -1;
  for (const int plane : found->second)
    if (lies_on(layout.planes[static_cast<std::size_t>(plane)], stretch)) return plane;
  return -1;
}

/// The seam whose shared line a -> b runs along, or nothing.
const SeamLine* seam_along(const TrackPlane& plane, const Vec2& a, const Vec2& b) {
  for (const SeamLine& seam : plane.seam_lines)
    if (segment_distance(a, seam.a, seam.b) < 0.011 && segment_distance(b, seam.a, seam.b) < 0.011)
      return &seam;
  return nullptr;
}

bool is_drawn(const TrackPlane& plane, const Vec2& a, const Vec2& b) {
  return std::any_of(plane.lines.begin(), plane.lines.end(), [&](const PlaneLine& line) {
    return !line.written && segment_distance(a, line.a, line.b) < kSame_m / 4 &&
           segment_distance(b, line.a, line.b) < kSame_m / 4;
  });
}

/// A written stretch as a line of its plane; what is not in the room yet keeps clear of what is.
void add_line(TrackPlane& plane, const WayStretch& stretch, bool held) {
  const Vec2 a = plane.frame.to_plane(stretch.from), b = plane.frame.to_plane(stretch.to);
  if (norm(b - a) < kSame_m || is_drawn(plane, a, b)) return;
  const SeamLine* seam = seam_along(plane, a, b);
  const double weight = seam == nullptr ? plane.visible : seam->visible_weight;
  if (held) {
    plane.lines.push_back({a, b, weight, false, true});
    return;
  }
  const Strictness strictness =
      norm(b - a) < kLongestLeadIn_m ? Strictness::lead_in : Strictness::track;
  for (const auto& [t0, t1] :
       allowed_pieces(plane, a, b, strictness, seam == nullptr ? -1 : seam->seam))
    plane.lines.push_back({a + t0 * (b - a), a + t1 * (b - a), weight, false, true});
}

const Anchor* anchor_at(const Layout& layout, const Vec3& position) {
  for (const Anchor& anchor : layout.anchors)
    if (same(anchor.position, position)) return &anchor;
  return nullptr;
}

int mouth_point(const Layout& layout, const WayStretch& stretch, const Vec3& position) {
  for (const Anchor& anchor : layout.anchors)
    if (anchor.crossing >= 0 && same(anchor.position, position) &&
        layout.room.crossings[static_cast<std::size_t>(anchor.crossing)].name == stretch.place)
      return anchor.point;
  return -1;
}

/// The point of the draft at which a stretch ends, where the stretch itself says in which layer.
int own_point(Layout& layout, const WayStretch& stretch, const Vec3& position) {
  if (stretch.kind == "crossing") return mouth_point(layout, stretch, position);
  const PlaceId home = home_of(layout, stretch);
  const int plane = plane_of(layout, stretch, home);
  if (plane >= 0)
    return layout.draft.point(layout.planes[static_cast<std::size_t>(plane)].layer, position);
  if (home.kind == PlaceKind::void_space && layout.layer_of_void.contains(home.index))
    return layout.draft.point(layout.layer_of_void.at(home.index), position);
  return -1;
}

/// An upright of a void or of a bay. @return whether there is one, and it is upright
bool add_upright(Layout& layout, const WayStretch& stretch, const PlaceId& home, bool held) {
  const bool bay = !layout.planes_of_void.contains(home.index);
  if (!held && !bay && !upright_is_clear(layout, home.index, stretch.from, stretch.to))
    return false;
  Stretch upright;
  upright.medium = bay ? Medium::bay : Medium::free;
  upright.home = home;
  if (bay && stretch.medium != to_string(Medium::bay)) return false;
  layout.draft.line(layout.layer_of_void.at(home.index), stretch.from, stretch.to, upright);
  const Vec3& up = layout.room.voids[static_cast<std::size_t>(home.index)].frame.n;
  return norm(cross(stretch.to - stretch.from, up)) < kSame_m;
}

/// Where cable lies free: between the points that the stretches on either side end at. Not beside
/// an upright from one to the other, which gives cables lanes of their own.
void add_free(Layout& layout, const std::vector<WayStretch>& way, std::size_t i,
              const PlaceId& home, bool upright) {
  const WayStretch& stretch = way[i];
  if (home.kind == PlaceKind::none || stretch.medium != to_string(Medium::free)) return;
  int a = i > 0 ? own_point(layout, way[i - 1], stretch.from) : -1;
  int b = i + 1 < way.size() ? own_point(layout, way[i + 1], stretch.to) : -1;
  if (a < 0)
    if (const Anchor* anchor = anchor_at(layout, stretch.from)) a = anchor->point;
  if (b < 0)
    if (const Anchor* anchor = anchor_at(layout, stretch.to)) b = anchor->point;
  if (a < 0 || b < 0 || a == b) return;
  if (upright && a == own_point(layout, stretch, stretch.from) &&
      b == own_point(layout, stretch, stretch.to))
    return;
  layout.draft.add(free_way(a, b, home));
}

int crossing_by_name(const Room& room, const std::string& name) {
  for (std::size_t i = 0; i < room.crossings.size(); ++i)
    if (room.crossings[i].name == name) return static_cast<int>(i);
  return -1;
}

}  // namespace

namespace {

/// Every hole that was cut, once, at the place where cables pass it.
void take_recorded_holes(Layout& layout) {
  for (const RecordedHole& recorded : recorded_holes(layout.job.as_built)) {
    const int index = crossing_by_name(layout.room, recorded.crossing);
    if (index < 0 || !recorded.is_located) continue;
    ChosenHole hole = hole_at(layout, index, recorded.passed_at);
    const auto there =
        std::find_if(layout.holes.begin(), layout.holes.end(), [&](const ChosenHole& one) {
          return one.crossing == index && same(one.mouth, hole.mouth);
        });
    const bool existing = layout.room.crossings[static_cast<std::size_t>(index)].existing;
    if (there == layout.holes.end()) {
      hole.cut = recorded.diameter_m > 0;
      if (hole.cut) hole.largest_m = recorded.diameter_m;
      layout.holes.push_back(hole);
    } else if (!existing && recorded.diameter_m > 0) {
      there->largest_m =
          there->cut ? std::max(there->largest_m, recorded.diameter_m) : recorded.diameter_m;
      there->cut = true;
    }
  }
}

/// Where a run passes a crossing by a plan: a hole that lies there, or one that is to be cut unless
/// it would run into one that is.
void take_written_hole(Layout& layout, const WayStretch& stretch, bool lies) {
  const int index = crossing_by_name(layout.room, stretch.place);
  if (index < 0) return;
  ChosenHole hole = hole_at(layout, index, 0.5 * (stretch.from + stretch.to));
  hole.cut = lies && stretch.hole_diameter_m > 0;
  if (hole.cut) hole.largest_m = stretch.hole_diameter_m;
  for (const ChosenHole& there : layout.holes) {
    if (there.crossing != index) continue;
    const double away = distance(there.mouth, hole.mouth);
    const bool meets =
        !lies && there.cut && away < 0.5 * (there.largest_m + stretch.hole_diameter_m);
    if (away < kSame_m || meets) return;
  }
  layout.holes.push_back(hole);
}

}  // namespace

void take_written_holes(Layout& layout) {
  take_recorded_holes(layout);
  for (const bool held : {true, false})
    for (const WrittenWay& way : layout.job.written)
      for (const WayStretch& stretch : way.stretches) {
        if (way.held != held && !(held && way.led_on)) continue;
        if (stretch.kind == "crossing") take_written_hole(layout, stretch, way.held || way.led_on);
        // A bay has one upright: it is where the first run went up.
        const PlaceId home = home_of(layout, stretch);
        if (home.kind == PlaceKind::void_space && stretch.medium == to_string(Medium::bay))
          layout.bay_upright.try_emplace(
              home.index,
              layout.room.voids[static_cast<std::size_t>(home.index)].frame.to_plane(stretch.from));
      }
}

void add_written_lines(Layout& layout) {
  for (const bool held : {true, false})
    for (const WrittenWay& way : layout.job.written)
      for (const WayStretch& stretch : way.stretches) {
        if ((way.held || way.led_on) != held) continue;
        const int plane = plane_of(layout, stretch, home_of(layout, stretch));
        if (plane >= 0) add_line(layout.planes[static_cast<std::size_t>(plane)], stretch, held);
      }
  for (const WayStretch& piece : fixed_raceway(layout)) {
    const int plane = plane_of(layout, piece, home_of(layout, piece));
    if (plane >= 0) add_line(layout.planes[static_cast<std::size_t>(plane)], piece, true);
  }
}

void add_written_ways(Layout& layout) {
  for (const WrittenWay& way : layout.job.written)
    for (std::size_t i = 0; i < way.stretches.size(); ++i) {
      const WayStretch& stretch = way.stretches[i];
      const PlaceId home = home_of(layout, stretch);
      bool upright = false;
      if (plane_of(layout, stretch, home) >= 0) {
        own_point(layout, stretch, stretch.from);
        own_point(layout, stretch, stretch.to);
      } else if (home.kind == PlaceKind::void_space) {
        upright = add_upright(layout, stretch, home, way.held || way.led_on);
      }
      add_free(layout, way.stretches, i, home, upright);
    }
}

}  // namespace roomloom::tracks
