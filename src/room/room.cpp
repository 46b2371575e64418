#include "room/room.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "room/airs.h"
#include "room/ceilings.h"
#include "room/features.h"
#include "room/planes.h"
#include "room/roles.h"
#include "room/sheets.h"

namespace roomloom {
namespace {

std::optional<Error> fault_of(const Scene& scene, const Job& job) {
  const std::string& file = scene.source.path;
  if (scene.parts.empty())
    return Error{"room.no-parts", "The model holds no parts.", file, "Export it with its shapes."};
  for (const Vec3& p : scene.points)
    if (!is_finite(p))
      return Error{"room.bad-scene", "The model holds points that are no numbers.", file, ""};
  for (const auto& t : scene.triangles)
    for (const std::uint32_t p : t)
      if (p >= scene.points.size())
        return Error{"room.bad-scene", "A triangle names a point that is not there.", file, ""};
  for (const Part& part : scene.parts) {
    const std::uint64_t points = std::uint64_t{part.first_point} + part.point_count;
    const std::uint64_t triangles = std::uint64_t{part.first_triangle} + part.triangle_count;
    if (points > scene.points.size() || triangles > scene.triangles.size())
      return Error{"room.bad-scene", "A part's range lies outside the model.", part.path, ""};
  }
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  if (job.model.seed && !box.grown(1).contains(*job.model.seed))
    return Error{"room.bad-seed", "The seed point lies outside the model.", "/model/seed",
                 "Give a point in the room, in metres, Z up."};
  return std::nullopt;
}

std::vector<int> parts_that(const Scene& scene, const std::vector<PartRole>& roles,
                            bool (*wanted)(Role)) {
  std::vector<int> parts;
  for (std::size_t i = 0; i < roles.size(); ++i)
    if (wanted(roles[i].role) && scene.parts[i].kind == PartKind::mesh)
      parts.push_back(static_cast<int>(i));
  return parts;
}

// A raw scan beside labelled walls and floors adds noise, not knowledge.
std::vector<int> set_raw_scans_aside(const Scene& scene, std::vector<PartRole>& roles) {
  std::vector<int> scans;
  const auto labelled = [&](Role role) {
    return std::any_of(roles.begin(), roles.end(),
                       [&](const PartRole& r) { return r.role == role; });
  };
  if (!labelled(Role::wall) || !labelled(Role::floor)) return scans;
  Box3 whole;
  for (std::size_t i = 0; i < roles.size(); ++i)
    if (is_structure(roles[i].role)) whole.add(box_of(scene, scene.parts[i]));
  const auto spans = [&](const Part& part, double share) {
    const Vec3 own = box_of(scene, part).size(), all = whole.size();
    return own.x > share * all.x && own.y > share * all.y && own.z > share * all.z;
  };
  for (std::size_t i = 0; i < roles.size(); ++i) {
    if (roles[i].role != Role::automatic || scene.parts[i].triangle_count < 400) continue;
    // A piece of a scan; what is smaller and as uneven is a sofa, and in the way.
    const bool piece = spans(scene.parts[i], 0.4) && is_noisy(scene, scene.parts[i]);
    if (!spans(scene.parts[i], 0.8) && !piece) continue;
    roles[i].role = Role::ignore;
    roles[i].why = "it is a raw scan, and other parts are labelled as walls and floor";
    scans.push_back(static_cast<int>(i));
  }
  return scans;
}

// Air does not pass either where nobody measured: the holes of scans that were taken for surface
// are closed like windows.
std::vector<Opening> with_bridged_holes(std::vector<Opening> openings,
                                        const std::vector<Plane>& planes) {
  for (std::size_t i = 0; i < planes.size(); ++i)
    for (const Ring& ring : planes[i].bridged)
      openings.push_back({static_cast<int>(i), Region{ring}, false});
  return openings;
}

// What was filled in the scan's planes round the room.
void list_bridged(const std::vector<Plane>& planes, const Job& job, Room& room) {
  constexpr double kSmallestTold_m2 = 0.01;
  const Box3 near = room.box.grown(0.1);
  double sum = 0;
  for (const Plane& plane : planes) {
    for (const Ring& ring : plane.bridged) {
      const Vec3 middle = plane.frame.to_world(interior_point({ring, {}}));
      const double size = std::abs(signed_area(ring));
      if (size < kSmallestTold_m2 || !near.contains(middle)) continue;
      BridgedHole hole{middle, size, {}};
      for (const PlaneMember& member : plane.members) hole.parts.push_back(member.part);
      room.bridged.push_back(std::move(hole));
      sum += size;
    }
  }
  if (room.bridged.empty()) return;
  std::stable_sort(
      room.bridged.begin(), room.bridged.end(),
      [](const BridgedHole& a, const BridgedHole& b) { return a.area_m2 > b.area_m2; });
  room.guesses.push_back(
      {"Holes in the scan",
       std::to_string(room.bridged.size()) + " are taken for surface, together " +
           format_area(sum, job.units),
       "a scan has holes where nothing was measured; they are bridged up to " +
           format_area(kLargestGap_m2, job.units, 1) + ", and gaps up to " +
           format_length(kWidestGap_m, job.units, 2),
       "where one is an opening, add it to the model as a part and say { \"match\": its name, "
       "\"is\": \"hole\" }"});
}

/// Whether a wall beside the main air runs along or across the model's axes, exactly. Where none
/// does, what a sketch says of its tiles is lost: the model was turned since.
bool a_wall_runs_along_the_axes(const std::vector<Plane>& planes, const Box3& near) {
  constexpr double kExactly = 1e-4, kLeast_m2 = 0.5;
  return std::any_of(planes.begin(), planes.end(), [&](const Plane& plane) {
    if (std::abs(plane.frame.n.z) > 0.17 || !plane.box.overlaps(near)) return false;
    const double angle = std::atan2(plane.frame.n.y, plane.frame.n.x);
    return std::abs(std::remainder(angle, kPi / 2)) < kExactly && area(plane.region) >= kLeast_m2;
  });
}

/// Level sheets lie along the tiles, which need not run along a wall where the room is out of
/// square; else along most walls. Tiles that run slantwise to the walls are told.
Vec3 level_direction(const Scene& scene, const std::vector<Plane>& planes, Room& room) {
  constexpr double kAlong = 1e-4, kOutOfSquare = radians(10);  // 1e-4: half a millimetre in 5 m
  constexpr double kBeside_m = 0.12;
  const Box3& near = room.airs[static_cast<std::size_t>(room.main_air)].box;
  const Vec3 walls = main_direction(planes, near);
  const auto tiles = tile_direction(scene, room.roles);
  if (!tiles) return walls;
  if (!tiles->is_drawn && !a_wall_runs_along_the_axes(planes, near.grown(kBeside_m))) return walls;
  const double off = std::remainder(tiles->angle_rad - std::atan2(walls.y, walls.x), kPi / 2);
  if (std::abs(off) < kAlong) return walls;
  if (std::abs(off) < kOutOfSquare)
    return {std::cos(tiles->angle_rad), std::sin(tiles->angle_rad), 0};
  // What a sketch says of its tiles is lost where the model was turned since.
  if (!tiles->is_drawn) return walls;
  room.warnings.push_back(
      "The ceiling's tiles run " + format_number(degrees(std::abs(off)), 0) +
      " degrees askew to the walls. They are taken as if they ran along the walls, so that holes "
      "may meet their tees: look at each hole before you cut it.");
  return walls;
}

}  // namespace

Result<Room> understand_room(const Scene& scene, const Job& job) {
  if (auto fault = fault_of(scene, job)) return *fault;
  Room room;
  room.roles = roles_from_words(scene, job, room.warnings);
  const std::vector<int> scans = set_raw_scans_aside(scene, room.roles);
  add_overhead_tiles(scene, job.units, room.roles, room.guesses);
  add_roles_from_shape(scene, room.roles);
  tell_guessed_roles(scene, room.roles, room.guesses);

  const std::vector<Plane> planes = planes_of(scene, parts_that(scene, room.roles, is_structure));
  const Skin skin = skin_of(scene, parts_that(scene, room.roles, seals));
  if (skin.triangles.empty()) {
    room.warnings.push_back("Nothing in the model could be taken for a wall, floor or ceiling.");
    return room;
  }
  const std::vector<Opening> openings = openings_of(planes, room.roles);
  const AirField field =
      find_airs(scene, job, planes, with_bridged_holes(openings, planes), skin, room);
  if (room.main_air < 0) {
    room.warnings.push_back(
        "No room was found in the model: no closed body of air as large as a room, and none over a "
        "floor. If the model lies on its side, set \"model\": { \"up\": \"y\" } or \"z\".");
    return room;
  }
  const Vec3 ahead = level_direction(scene, planes, room);
  find_sheets(scene, job, planes, openings, skin, field, ahead, room);
  find_seams(job, room);
  if (!scans.empty()) measure_residuals(scene, scans, room);
  list_bridged(planes, job, room);
  find_keep_outs(scene, job, planes, openings, room);
  find_ceilings(scene, job, skin, field, room);
  find_likely_ceilings(scene, job, room);
  find_bays(scene, job, room);
  find_zones(scene, job, room);
  find_ready_ways(scene, job, room);
  find_swept(scene, job, room);
  find_power(scene, job, ahead, room);
  find_hiding(scene, job, room);
  measure_airs(room);
  return room;
}

}  // namespace roomloom
