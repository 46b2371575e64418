#pragma once

#include <span>
#include <vector>

#include "geometry/polygon.h"
#include "types/solids.h"

namespace roomloom {

using Faces = std::vector<SolidFace>;

/// Plan rings are counter-clockwise seen from above, their holes clockwise. Metres.

/// A ring of plan points at one height.
std::vector<Vec3> lifted(std::span<const Vec2> ring, double z);
/// The upright prism over a plan polygon between two heights.
Faces prism(const Polygon& plan, double low_z, double high_z);
/// A box by one lower corner and three edges, right-handed: cross(u, v) looks along w.
Faces box(const Vec3& corner, const Vec3& u, const Vec3& v, const Vec3& w);
/// The same faces looking the other way: the wall of a cavity.
Faces inverted(Faces faces);
/// A section swept along a polyline with mitred bends. `section` is counter-clockwise in (side,
/// up), where side is level and up is square to side and to the first stretch.
Faces swept(std::span<const Vec3> line, std::span<const Vec2> section);
/// A regular polygon with its corners on the circle, counter-clockwise, a side at the bottom.
Ring regular_ring(const Vec2& centre, double diameter_m, int corners = 16);
Ring rectangle(const Vec2& low, const Vec2& high);

/// Makes corners that should be one truly equal (within a micrometre), and gives each edge the
/// corners of neighbouring faces that lie on it, so that edges match one to one.
void make_conforming(Faces& faces);
/// Edges that are not used exactly once in each direction; 0 for a watertight solid.
int unmatched_edges(const Faces& faces);
/// Enclosed volume by the divergence theorem: positive when faces look outwards.
double volume(const Faces& faces);
double face_area(const SolidFace& face);
/// Unit normal by Newell's method.
Vec3 face_normal(const SolidFace& face);

}  // namespace roomloom
