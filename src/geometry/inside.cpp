#include "geometry/inside.h"

namespace roomloom {

bool is_inside(const TriangleTree& body, const Vec3& p, double top_z) {
  return body.hits(p, {p.x + 1e-4, p.y + 2e-4, top_z + 1}).size() % 2 == 1;
}

}  // namespace roomloom
