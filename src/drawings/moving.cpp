#include <set>

#include "drawings/sheets.h"
#include "drawings/words.h"

namespace roomloom {

void draw_moving(Work& work, bool all) {
  // ISO 128-2: what a movable part reaches is drawn in a narrow long-dashed double-dotted line.
  const Pen pen = pen_of(LineKind::double_chain, shade(0.45));
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
    if (named.insert(name).second)
      work.draft.label({name, middle, {1.8, false, false, shade(0.45)}, 0, {}, ""});
  }
  if (named.empty()) return;
  work.rows.push_back({all ? "where things move and people walk: nothing lies there"
                           : "where doors swing: nothing lies there",
                       false, pen});
}

}  // namespace roomloom
