#include "place/surfaces.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <set>
#include <tuple>

#include "base/glob.h"
#include "geometry/framed_box.h"

namespace roomloom::place {
namespace {

constexpr double kLevel = 0.985;    ///< of n.z: ten degrees, as the room's frames take it
constexpr double kEdge_m = 0.05;    ///< half of a small loudspeaker; common practice, no source
constexpr double kTee_m = 0.07;     ///< a hole for some cables and its margin to the tee, likewise
constexpr double kBehind_m = 0.15;  ///< a box let into a wall lies this far behind its face at most

bool blocks_rays(Role role) {
  switch (role) {
    case Role::wall:
    case Role::floor:
    case Role::ceiling:
    case Role::suspended_ceiling:
    case Role::deck:
    case Role::door:
    case Role::window:
    case Role::vent:
    case Role::luminaire:
    case Role::obstacle:
    case Role::furniture:
    case Role::cupboard:
      return true;
    default:
      return false;  // a loudspeaker may sit behind a curtain; the listener sits on a seat
  }
}

bool takes_loudspeakers(SheetRole role) {
  return role != SheetRole::furniture && role != SheetRole::curtain && role != SheetRole::cupboard;
}

Role role_of(const Room& room, std::size_t part) {
  return part < room.roles.size() ? room.roles[part].role : Role::automatic;
}

/// Whether a face that looks along `n` is the side of a part that its name stands for: a ceiling is
/// looked up at, a floor stood on, a wall stood before. The air above tiles that end within the
/// room is the room's, and their upper side is as large as what one sees of them.
bool faces_as_meant(Role role, const Vec3& n) {
  constexpr double kLooksUp = 0.1;  // of n.z: slopes of a roof look down too
  switch (role) {
    case Role::ceiling:
    case Role::suspended_ceiling:
    case Role::deck:
      return n.z < -kLooksUp;
    case Role::floor:
      return n.z > kLooksUp;
    case Role::wall:
      return std::abs(n.z) < kLevel;
    default:
      return true;
  }
}

std::vector<std::array<std::uint32_t, 3>> blocking_triangles(const Scene& scene, const Room& room,
                                                             std::vector<int>& part_of) {
  std::vector<std::array<std::uint32_t, 3>> triangles;
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    const Part& part = scene.parts[i];
    if (part.kind != PartKind::mesh || !blocks_rays(role_of(room, i))) continue;
    for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
      triangles.push_back(scene.triangles[part.first_triangle + t]);
      part_of.push_back(static_cast<int>(i));
    }
  }
  return triangles;
}

double distance_to(const Sheet& sheet, const Vec3& p) {
  const double height = sheet.frame.height(p);
  const Vec2 at = sheet.frame.to_plane(p);
  if (contains(sheet.region, at)) return std::abs(height);
  return std::hypot(height, border_distance(sheet.region, at));
}

// By its name, its path, a pattern, or one field of a converter's "class|label|number".
bool answers_to(const Part& part, const std::string& name) {
  if (same_name(part.name, name) || same_name(part.path, name)) return true;
  if (name.find_first_of("*?") != std::string::npos)
    return matches_pattern(name, part.name) || matches_pattern(name, part.path);
  for (std::size_t from = 0; from <= part.name.size();) {
    const auto bar = std::min(part.name.find('|', from), part.name.size());
    if (bar > from && (bar - from) < part.name.size() &&
        same_name(part.name.substr(from, bar - from), name))
      return true;
    from = bar + 1;
  }
  return false;
}

bool in_ring(const Ring& ring, const Vec2& at, double margin_m) {
  if (contains(ring, at)) return true;
  if (margin_m <= 0) return false;
  for (std::size_t i = 0; i < ring.size(); ++i)
    if (segment_distance(at, ring[i], ring[(i + 1) % ring.size()]) < margin_m) return true;
  return false;
}

}  // namespace

Surfaces::Surfaces(const Scene& scene, const Room& room, bool with_rays)
    : scene_(scene),
      room_(room),
      triangles_(with_rays ? blocking_triangles(scene, room, part_of_)
                           : std::vector<std::array<std::uint32_t, 3>>{}),
      tree_(scene.points, triangles_) {}

std::string Surfaces::in_the_way(const Vec3& from, const Vec3& direction, double reach_m,
                                 const Sheet& target) const {
  constexpr double kTrim_m = 0.03;  // skirtings and laths lie on the face itself
  if (triangles_.empty()) return "";
  const double cosine = std::max(0.1, std::abs(dot(direction, target.frame.n)));
  const double limit = reach_m - (kTrim_m + target.residual_m) / cosine;
  if (limit <= 0) return "";
  const auto hit = tree_.first_hit(from, direction, 1e-6, limit);
  if (!hit) return "";
  const int part = part_of_[hit->triangle];
  if (std::find(target.parts.begin(), target.parts.end(), part) != target.parts.end()) return "";
  const std::string& name = scene_.parts[static_cast<std::size_t>(part)].name;
  return name.empty() ? "a part without a name" : name;
}

Landing Surfaces::land(const Vec3& from, const Vec3& direction) const {
  Landing best;
  for (std::size_t i = 0; i < room_.sheets.size(); ++i) {
    const Sheet& sheet = room_.sheets[i];
    const double toward = -dot(direction, sheet.frame.n);
    if (toward < 1e-6 || !takes_loudspeakers(sheet.role)) continue;
    const double t = sheet.frame.height(from) / toward;
    if (t <= 1e-6 || (best.sheet >= 0 && t >= best.distance_m - 1e-9)) continue;
    const Vec3 position = from + t * direction;
    const Vec2 at = sheet.frame.to_plane(position);
    if (!contains(sheet.region.outline, at) && border_distance(sheet.region, at) > 1e-6) continue;
    best = {static_cast<int>(i), position, t, "", false};
  }
  if (best.sheet < 0) return {-1, {}, 0, first_part(from, direction), false};
  const Sheet& target = sheet(best.sheet);
  if (target.role == SheetRole::open_side) best.blocked_by = target.name + " (an open side)";
  if (best.blocked_by.empty())
    best.blocked_by = obstruction(best.sheet, target.frame.to_plane(best.position), kEdge_m, true);
  for (const Swept& swept : room_.swept)
    if (best.blocked_by.empty() && contains(swept.space, best.position))
      best.blocked_by = "the space " + swept.name;
  if (best.blocked_by.empty())
    best.blocked_by = in_the_way(from, direction, best.distance_m, target);
  const Vec2 at = target.frame.to_plane(best.position);
  best.at_edge = best.blocked_by.empty() && border_distance(target.region, at) < kEdge_m;
  best.over_tee = best.blocked_by.empty() && near_tee(best.sheet, at);
  return best;
}

bool Surfaces::near_tee(int sheet, const Vec2& at) const {
  for (const TileGrid& grid : room_.grids)
    for (const Tile& tile : grid.tiles)
      if (grid.sheet == sheet && in_ring(tile.ring, at, kTee_m) &&
          (!contains(tile.ring, at) || border_distance({tile.ring, {}}, at) < kTee_m))
        return true;
  return false;
}

/// Past the sheets: a door that reaches the floor is a notch of its wall, not a hole.
std::string Surfaces::first_part(const Vec3& from, const Vec3& direction) const {
  const auto hit = triangles_.empty() ? std::nullopt : tree_.first_hit(from, direction, 1e-6);
  if (!hit) return "nothing: the room is open there";
  const auto part = static_cast<std::size_t>(part_of_[hit->triangle]);
  return scene_.parts[part].name.empty() ? "a part without a name" : scene_.parts[part].name;
}

std::optional<int> Surfaces::sheet_named(const std::string& name) const {
  int best = -1;
  std::tuple<bool, bool, double> best_rank;
  for (std::size_t i = 0; i < room_.sheets.size(); ++i) {
    const Sheet& s = room_.sheets[i];
    if (same_name(s.name, name)) return static_cast<int>(i);
    for (const int part : s.parts) {
      if (part < 0 || part >= static_cast<int>(scene_.parts.size())) continue;
      const auto at = static_cast<std::size_t>(part);
      if (!answers_to(scene_.parts[at], name)) continue;
      const std::tuple rank{s.front_air == room_.main_air,
                            faces_as_meant(role_of(room_, at), s.frame.n), area(s.region)};
      if (best < 0 || rank > best_rank) best = static_cast<int>(i), best_rank = rank;
    }
  }
  if (best < 0) return std::nullopt;
  return best;
}

std::optional<Vec3> Surfaces::marker(const std::string& name) const {
  for (const Part& part : scene_.parts)
    if (part.kind == PartKind::marker && part.point_count > 0 &&
        (same_name(part.name, name) || same_name(part.path, name)))
      return scene_.points[part.first_point];
  return std::nullopt;
}

std::optional<Role> Surfaces::role_of_part(const std::string& name) const {
  for (std::size_t i = 0; i < scene_.parts.size(); ++i)
    if (answers_to(scene_.parts[i], name)) return role_of(room_, i);
  return std::nullopt;
}

std::vector<std::string> Surfaces::surface_names() const {
  std::set<std::string> names;
  for (const Sheet& s : room_.sheets) {
    names.insert(s.name);
    for (const int part : s.parts)
      if (part >= 0 && part < static_cast<int>(scene_.parts.size()))
        names.insert(scene_.parts[static_cast<std::size_t>(part)].name);
  }
  names.erase("");
  return {names.begin(), names.end()};
}

std::vector<std::string> Surfaces::marker_names() const {
  std::set<std::string> names;
  for (const Part& part : scene_.parts)
    if (part.kind == PartKind::marker && !part.name.empty()) names.insert(part.name);
  return {names.begin(), names.end()};
}

NearSheet Surfaces::nearest(const Vec3& p) const {
  NearSheet best;
  double best_rank = 0;
  for (std::size_t i = 0; i < room_.sheets.size(); ++i) {
    const Sheet& s = room_.sheets[i];
    if (s.role == SheetRole::open_side || s.frame.height(p) < -kBehind_m) continue;
    const double away = distance_to(s, p);
    // A face of the main air, and one seen from its front, win what is all but a tie.
    const double rank =
        away + (s.front_air == room_.main_air ? 0 : 1e-3) + (s.frame.height(p) < -1e-3 ? 2e-3 : 0);
    if (best.sheet < 0 || rank < best_rank - 1e-9)
      best = {static_cast<int>(i), away}, best_rank = rank;
  }
  return best;
}

int Surfaces::nearest_wall(const Vec3& p, const std::optional<Vec3>& toward) const {
  constexpr double kFacing = 0.85;  // cosine of 32 degrees: ceilings need not be square to walls
  int best = -1;
  double best_away = 0;
  for (std::size_t i = 0; i < room_.sheets.size(); ++i) {
    const Sheet& s = room_.sheets[i];
    if (s.role != SheetRole::wall || std::abs(s.frame.n.z) > 0.5) continue;
    if (toward && -dot(s.frame.n, *toward) < kFacing) continue;
    const double away = s.frame.height(p);
    const auto [left, right] = edges_at(s, s.frame.to_plane(p).y);
    const double u = s.frame.to_plane(p).x;
    if (away < 0 || u < left || u > right) continue;
    if (best < 0 || away < best_away - 1e-9) best = static_cast<int>(i), best_away = away;
  }
  return best;
}

int Surfaces::floor_under(const Vec3& p) const {
  int best = -1;
  double best_height = 0;
  for (std::size_t i = 0; i < room_.sheets.size(); ++i) {
    const Sheet& s = room_.sheets[i];
    if (s.role != SheetRole::floor) continue;
    const double height = s.frame.height(p);
    if (height < -0.05 || !contains(s.region.outline, s.frame.to_plane(p))) continue;
    if (best < 0 || height < best_height) best = static_cast<int>(i), best_height = height;
  }
  return best;
}

int Surfaces::ceiling_over(const Vec3& p) const {
  int best = -1;
  double best_height = 0;
  for (std::size_t i = 0; i < room_.sheets.size(); ++i) {
    const Sheet& s = room_.sheets[i];
    if (s.role != SheetRole::ceiling && s.role != SheetRole::suspended_ceiling) continue;
    const double height = s.frame.height(p);
    if (s.frame.n.z > -0.99 || height < -0.001 || !contains(s.region, s.frame.to_plane(p)))
      continue;
    if (best < 0 || height < best_height) best = static_cast<int>(i), best_height = height;
  }
  return best;
}

int Surfaces::zone_at(const Vec3& p) const {
  constexpr double kSlack_m = 0.01;
  for (std::size_t i = 0; i < room_.zones.size(); ++i) {
    const Zone& zone = room_.zones[i];
    if (in_framed_box(zone.frame, zone.size, p, kSlack_m)) return static_cast<int>(i);
  }
  return -1;
}

bool Surfaces::inside_room(const Vec3& p) const {
  constexpr double kSlack_m = 0.01;
  if (!room_.box.empty() && !room_.box.grown(kSlack_m).contains(p)) return false;
  const bool has_floor = std::any_of(room_.sheets.begin(), room_.sheets.end(), [&](const Sheet& s) {
    return s.role == SheetRole::floor && s.front_air == room_.main_air;
  });
  return !has_floor || floor_under(p) >= 0;
}

std::string Surfaces::obstruction(int index, const Vec2& at, double margin_m,
                                  bool any_keep_out) const {
  const Sheet& s = sheet(index);
  for (const SheetKeepOut& keep_out : s.keep_outs) {
    if (!any_keep_out && !takes_no_end(keep_out.what) && keep_out.part >= 0) continue;
    const double margin = margin_m > 0 ? std::max(margin_m, keep_out.clearance_m) : 0;
    if (!in_ring(keep_out.ring, at, margin)) continue;
    return keep_out.name.empty() ? "an opening" : keep_out.name;
  }
  for (const Ring& hole : s.region.holes)
    if (in_ring(hole, at, margin_m)) return "an opening in " + s.name;
  return "";
}

bool takes_no_end(Role role) {
  return role == Role::door || role == Role::window || role == Role::vent || role == Role::hole ||
         role == Role::luminaire;
}

std::pair<double, double> edges_at(const Sheet& sheet, double v) {
  const Ring& ring = sheet.region.outline;
  double low = 1e30, high = -1e30, all_low = 1e30, all_high = -1e30;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2& a = ring[i];
    const Vec2& b = ring[(i + 1) % ring.size()];
    all_low = std::min(all_low, a.x);
    all_high = std::max(all_high, a.x);
    if (std::min(a.y, b.y) > v + 1e-9 || std::max(a.y, b.y) < v - 1e-9) continue;
    const bool level = std::abs(a.y - b.y) < 1e-9;
    const double x = level ? a.x : a.x + (v - a.y) / (b.y - a.y) * (b.x - a.x);
    low = std::min({low, x, level ? b.x : x});
    high = std::max({high, x, level ? b.x : x});
  }
  return low <= high ? std::make_pair(low, high) : std::make_pair(all_low, all_high);
}

Box3 box_of(const Scene& scene, const Part& part) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i) box.add(scene.points[part.first_point + i]);
  return box;
}

// Up to ten degrees: only the frames of these lie along the plan, steeper ones have their v up.
bool is_level(const Sheet& sheet) { return std::abs(sheet.frame.n.z) > kLevel; }

double way_ahead(const Sheet& sheet) { return sheet.frame.n.z < 0 ? -1 : 1; }

bool same_name(const std::string& a, const std::string& b) {
  return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), [](char x, char y) {
           return std::tolower(static_cast<unsigned char>(x)) ==
                  std::tolower(static_cast<unsigned char>(y));
         });
}

}  // namespace roomloom::place
