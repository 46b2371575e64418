#include <set>

#include "drawings/sheets.h"
#include "drawings/words.h"

namespace roomloom {

// ISO 128-2: what a movable part reaches is drawn in a narrow long-dashed double-dotted line.
Pen moving_pen() { return pen_of(LineKind::double_chain, shade(0.45)); }

bool draw_moving(Work& work, bool all) {
  const Pen pen = moving_pen();
  std::set<std::string> named;  // a door of two leaves has its name once
  for (const Swept& one : work.request.room.swept) {
    const bool leaf = one.kind == MovingKind::door || one.kind == MovingKind::cupboard;
    if (!all && !leaf) continue;
    std::vector<Vec2> ring;
    Vec2 middle{0, 0};
    for (const Vec2& p : one.space.plan) {
      ring.push_back(work.view(Vec3{p.x, p.y, one.space.low_z_m}));
      middle = middle + (1.0 / static_cast<double>(one.space.plan.size())) * ring.back();
    }
    const std::string name = plain_text(one.name, 28);
    work.draft.shape(ring, pen, std::nullopt, "Moving " + name);
    // A seat's own name stands there already.
    if (named.insert(name).second && one.kind != MovingKind::seat)
      work.draft.label({name, middle, {1.8, false, false, shade(0.45)}, 0, {}, ""});
  }
  return !named.empty();
}

}  // namespace roomloom
