#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "check/drawn_runs.h"
#include "geometry/triangles.h"

namespace roomloom::check {

/// Height of the void above a ceiling over which nothing is modelled, metres: common practice, no
/// source.
constexpr double kGuessedVoid = 0.4;

/// Some triangles of the original model, and the part of each.
struct Faces {
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<int> parts;
};

/// Those of parts that are there, or those of parts that are ignored.
Faces faces_of(const Scene& scene, const std::vector<Role>& roles, bool ignored);

Box3 box_of(const Scene& scene, const Part& part);

/// One a part: the job's word, or the model's own; else `ignore` where the plan takes a part for
/// nothing that is there and the model bears it out (see may_be_ignored).
std::vector<Role> believed_roles(const WrittenPlan& plan, const Scene& scene, const Job& job);

/// Whether a part can be something that is not there, by its own name and shape: what a building
/// model calls a space, a site or an opening; a body round whole walls or doors; a rough scan of
/// all that other parts stand for as well. A plan's word alone waives nothing.
bool may_be_ignored(const Scene& scene, std::size_t part);

/// How far the faces near a point of a triangle stray from one plane: 0 on a drawn wall, some
/// millimetres or centimetres on a scanned one. Metres.
double roughness(const Scene& scene, const Faces& faces, const TriangleTree& tree,
                 std::uint32_t triangle, const Vec3& at);

/// A thing that stands in the room, such as furniture: by its role, else by its size.
bool is_furniture(const Scene& scene, const std::vector<Role>& roles, std::size_t part);

}  // namespace roomloom::check
