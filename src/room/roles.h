#pragma once

#include <vector>

#include "room/region.h"
#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// An upright box that fits a part tightly in plan.
struct UprightBox {
  Vec2 centre;
  Vec2 along{1, 0};  ///< unit, of the longer side
  double length = 0, width = 0;
  double low_z = 0, high_z = 0;
  double height() const { return high_z - low_z; }
};
UprightBox upright_box(const Scene& scene, const Part& part);
Box3 box_of(const Scene& scene, const Part& part);

/// Roles by the job's rules, then by extras, layers and names in words. What stays unknown is
/// Role::automatic. Rules without a part are told in `warnings`.
std::vector<PartRole> roles_from_words(const Scene& scene, const Job& job,
                                       std::vector<std::string>& warnings);
/// Makes parts that are still automatic a suspended ceiling where they are many thin, level plates
/// side by side, at least 1.9 m over a floor that they mostly cover, with lower air above. Tells
/// each such set.
void add_overhead_tiles(const Scene& scene, DisplayUnits units, std::vector<PartRole>& roles,
                        std::vector<Guess>& guesses);
/// Gives every part that is still automatic a role by its shape and place.
void add_roles_from_shape(const Scene& scene, std::vector<PartRole>& roles);
/// One guess for each group of parts that got the same role for the same reason.
void tell_guessed_roles(const Scene& scene, const std::vector<PartRole>& roles,
                        std::vector<Guess>& guesses);

/// Walls, floors, ceilings, decks: what bounds a room.
bool is_structure(Role role);
/// Structure, and what fills its openings.
bool seals(Role role);
const PartRule* rule_of(const Job& job, const PartRole& role);
/// The beginning of a name, before its numbers: "Cube" of "Cube.001", "IfcDoor" of "IfcDoor|...".
std::string name_stem(const std::string& name);
/// "Wall front", or "part 12" where the file gives no name.
std::string display_name(const Scene& scene, int part);
/// A pattern for the job that matches these parts and no others; where there is none, the name of
/// the first.
std::string pattern_for(const Scene& scene, const std::vector<int>& parts);

}  // namespace roomloom
