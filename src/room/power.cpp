#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "room/ceilings.h"
#include "room/features.h"
#include "room/roles.h"
#include "trade/separation.h"

namespace roomloom {
namespace {

Vec3 axis_vector(int axis) {
  return {axis == 0 ? 1.0 : 0.0, axis == 1 ? 1.0 : 0.0, axis == 2 ? 1.0 : 0.0};
}

void add_power_box(const Frame& frame, const Box3& box, int longest, PowerLine line, Room& room) {
  const Vec3 half = 0.5 * box.size();
  const Vec3 along = half[longest] * axis_vector(longest);
  line.from = frame.to_world(box.centre() - along);
  line.to = frame.to_world(box.centre() + along);
  line.half_size_m = std::max(half[(longest + 1) % 3], half[(longest + 2) % 3]);
  room.power.push_back(std::move(line));
}

/// The job's own word for the part; else its wish for all mains, or more where the standard asks
/// more beside so many circuits (of unscreened cable: the tracks do not know whose they will be).
double separation_m(const Job& job, const PartRule* rule, const Part& part) {
  if (rule && rule->clearance_m) return *rule->clearance_m;
  int circuits = rule ? rule->circuits : 0;
  if (const auto said = part.extras.find("circuits"); circuits == 0 && said != part.extras.end())
    circuits = std::atoi(said->second.c_str());
  const bool screened = rule && rule->screened;
  return std::max(job.prefer.power_separation_m,
                  circuits > 0 ? trade::en_50174_2_m(false, screened, circuits) : 0);
}

void add_power(const Scene& scene, const Job& job, int part, const Vec3& ahead, Room& room) {
  const auto at = static_cast<std::size_t>(part);
  const PartRule* rule = rule_of(job, room.roles[at]);
  PowerLine line;
  line.separation_m = separation_m(job, rule, scene.parts[at]);
  line.part = part;
  line.name = display_name(scene, part);
  if (scene.parts[at].kind == PartKind::curve) {
    for (std::uint32_t i = 0; i + 1 < scene.parts[at].point_count; ++i) {
      line.from = scene.points[scene.parts[at].first_point + i];
      line.to = scene.points[scene.parts[at].first_point + i + 1];
      room.power.push_back(line);
    }
    return;
  }
  const UprightBox box = upright_box(scene, scene.parts[at]);
  const bool slanted = box.length > 4 * box.width;
  const Vec3 u = slanted ? Vec3{box.along.x, box.along.y, 0} : ahead;
  const Frame frame{{box.centre.x, box.centre.y, 0}, u, cross(Vec3{0, 0, 1}, u), {0, 0, 1}};
  if (room.roles[at].role == Role::outlet) {  // its cable comes from above or below
    Box3 whole;
    for (const Box3& piece : boxes_in(scene, scene.parts[at], frame)) whole.add(piece);
    if (!whole.empty()) add_power_box(frame, whole, 2, line, room);
    return;
  }
  for (const Box3& piece : boxes_in(scene, scene.parts[at], frame)) {
    const Vec3 size = piece.size();
    const int longest = size.x >= size.y && size.x >= size.z ? 0 : size.y >= size.z ? 1 : 2;
    add_power_box(frame, piece, longest, line, room);
  }
}

}  // namespace

void find_power(const Scene& scene, const Job& job, const Vec3& ahead, Room& room) {
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    const Role role = room.roles[i].role;
    if (role != Role::power && role != Role::outlet) continue;
    if (scene.parts[i].kind == PartKind::marker || scene.parts[i].point_count == 0) continue;
    add_power(scene, job, static_cast<int>(i), ahead, room);
  }
}

}  // namespace roomloom
