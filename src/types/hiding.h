#pragma once

#include <memory>
#include <vector>

#include "geometry/sight.h"
#include "types/ends.h"
#include "types/scene.h"

namespace roomloom {

/// What stands between eyes and cables: the model's parts and the gear of the job; and curtains,
/// which are drawn at times.
struct Screens {
  std::unique_ptr<const Sight> fixed, curtains;

  /// The pieces of a -> b that are hidden from the eye.
  Spans hidden(const Vec3& eye, const Vec3& a, const Vec3& b, bool curtains_closed) const;
  /// Hidden from each of them.
  Spans hidden(const std::vector<Vec3>& eyes, const Vec3& a, const Vec3& b,
               bool curtains_closed) const;
  bool sees(const std::vector<Vec3>& eyes, const Vec3& p, bool curtains_closed) const;
};
Screens screens_of(const Scene& scene, const Room& room, const Ends& ends);

}  // namespace roomloom
