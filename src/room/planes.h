#pragma once

#include <vector>

#include "room/region.h"
#include "types/scene.h"

namespace roomloom {

/// What a part contributes to a plane.
struct PlaneMember {
  int part = -1;
  Region region;  ///< in the plane's frame
  double residual_m = 0;
};

/// All faces of some parts that lie in one plane, whichever way they look.
struct Plane {
  Frame frame;
  std::vector<PlaneMember> members;
  Region region;  ///< of all members
  Box3 box;
  double residual_m = 0;  ///< how far its triangles stray from it
  Region bridged;         ///< holes of noisy meshes that were filled, one ring each
  bool fitted = false;    ///< to a noisy mesh; n looks as most of its triangles do
};

/// Gaps of a scan up to this wide, and holes up to this large, are places that nobody measured.
constexpr double kWidestGap_m = 0.2;
constexpr double kLargestGap_m2 = 0.5;

/// Collects the planes of the given parts. Faces within a millimetre or two of one plane are put
/// together, across parts. Parts with a noisy mesh (scans) get planes fitted to them.
/// @return largest first; planes below 0.02 square metres are left out.
std::vector<Plane> planes_of(const Scene& scene, const std::vector<int>& parts);

/// True if the part's mesh is noisy: many triangles, hardly any of them in common planes.
bool is_noisy(const Scene& scene, const Part& part);

/// A frame in the plane through `origin` with normal `n` as sheets have it: upright planes with v
/// up and u to the right as seen against n; level planes with u nearest to `ahead`.
Frame sheet_frame(const Vec3& origin, const Vec3& n, const Vec3& ahead = {1, 0, 0});
/// The region in another frame of the same plane.
Region moved(const Region& region, const Frame& from, const Frame& to);

}  // namespace roomloom
