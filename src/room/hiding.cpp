#include "room/features.h"

namespace roomloom {
namespace {

Hiding hiding_of(const Job& job, const PartRole& role, const Part& part) {
  if (part.kind != PartKind::mesh) return Hiding::no;
  const PartRule* rule = rule_of(job, role);
  if (rule && rule->see_through) return *rule->see_through ? Hiding::no : Hiding::always;
  switch (role.role) {
    case Role::ignore:
    case Role::marker:
    case Role::window:
    case Role::hole:
    case Role::power:
    case Role::walkway:
      return Hiding::no;
    case Role::curtain:
      return Hiding::curtain;
    default:
      return Hiding::always;
  }
}

}  // namespace

void find_hiding(const Scene& scene, const Job& job, Room& room) {
  room.hiding.clear();
  for (std::size_t i = 0; i < scene.parts.size(); ++i)
    room.hiding.push_back(hiding_of(job, room.roles[i], scene.parts[i]));
}

}  // namespace roomloom
