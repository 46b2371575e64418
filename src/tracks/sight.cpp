#include "tracks/layout.h"
#include "types/hiding.h"
#include "types/palette.h"

// What shows counts by how much of it eyes can see, and how it stands out from what it lies on.

namespace roomloom::tracks {
namespace {

/// Tells for segment after segment what share of it some eye sees. The eye that saw the last one
/// in full is asked first: neighbours are mostly seen by the same.
class Watcher {
 public:
  explicit Watcher(const Layout& layout)
      : screens_(screens_of(layout.scene, layout.room, layout.ends)) {
    for (const EyePoint& eye : layout.ends.eyes)
      eyes_.insert(eyes_.end(), eye.at.begin(), eye.at.end());
  }

  bool curtains() const { return !screens_.curtains->empty(); }

  double share_seen(const Vec3& a, const Vec3& b, bool curtains_closed) {
    Spans hidden{{0, 1}};
    for (std::size_t k = 0; k < eyes_.size(); ++k) {
      const std::size_t i = (k + first_) % eyes_.size();
      hidden = common(hidden, screens_.hidden(eyes_[i], a, b, curtains_closed));
      if (!hidden.empty()) continue;
      first_ = i;
      return 1;
    }
    return 1 - total(hidden);
  }

 private:
  Screens screens_;
  std::vector<Vec3> eyes_;
  std::size_t first_ = 0;
};

/// By the colours of what lies there, the one that stands out most.
class Contrasts {
 public:
  explicit Contrasts(const Layout& layout) : layout_(layout) {
    raceway_ = colour_named(layout.job.sight.raceway_colour);
    for (const Run& run : layout.ends.runs) cables_.push_back(colour_of(run));
  }

  double weight(const Stretch& stretch) const {
    if (stretch.home.kind != PlaceKind::sheet) return 1;
    const auto& face = sheet_of(layout_, stretch.home.index).colour;
    const double blending = layout_.job.sight.blending_weight;
    if (!face) return 1;
    if (stretch.medium == Medium::raceway) return contrast_weight(raceway_, face, blending);
    double most = blending;
    for (const auto& cable : cables_) most = std::max(most, contrast_weight(cable, face, blending));
    return most;
  }

 private:
  std::optional<Colour> colour_of(const Run& run) const {
    if (run.spec >= 0) {
      const RunSpec& spec = layout_.job.runs[static_cast<std::size_t>(run.spec)];
      if (!spec.colour.empty()) return colour_named(spec.colour);
    }
    if (run.cable < 0) return std::nullopt;
    const auto& offered = layout_.job.catalogue.cables[static_cast<std::size_t>(run.cable)].colours;
    return offered.size() == 1 ? colour_named(offered.front()) : std::nullopt;
  }

  const Layout& layout_;
  std::optional<Colour> raceway_;
  std::vector<std::optional<Colour>> cables_;
};

}  // namespace

void weigh_by_sight(Layout& layout) {
  if (layout.ends.eyes.empty()) return;
  const SightSpec& sight = layout.job.sight;
  Watcher watcher(layout);
  const Contrasts contrasts(layout);
  const auto weight = [&](double seen) { return seen + sight.hidden_weight * (1 - seen); };
  for (Stretch& stretch : layout.draft.stretches) {
    if (!stretch.alive || stretch.visible_weight <= 0 || stretch.kind == EdgeKind::crossing)
      continue;
    const Vec3& a = layout.draft.points[static_cast<std::size_t>(stretch.a)].position;
    const Vec3& b = layout.draft.points[static_cast<std::size_t>(stretch.b)].position;
    const double open = watcher.share_seen(a, b, false);
    const double closed = watcher.curtains() && open > 0 ? watcher.share_seen(a, b, true) : open;
    stretch.visible_weight *=
        contrasts.weight(stretch) *
        (sight.curtains_closed * weight(closed) + (1 - sight.curtains_closed) * weight(open));
  }
}

}  // namespace roomloom::tracks
