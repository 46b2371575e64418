#pragma once

#include <optional>
#include <string>
#include <vector>

#include "drawings/drawings.h"
#include "drawings/page.h"
#include "drawings/svg_sheet.h"

namespace roomloom::testing {

constexpr double kTolerance_m = 0.0005;

/// A sheet of paper laid over the model: which plane it shows, and where its paper has what. The
/// lower left corner of its outline is laid onto the model's; all else then has to agree.
struct HeldSheet {
  enum Kind { face, space, gear, other } kind = other;
  int index = -1;  ///< into Room::sheets, Room::voids or Ends::gear
  SvgSheet svg;
  std::string title;
  Vec3 u, v;    ///< right and up on paper
  Vec3 corner;  ///< of the room, at `corner_mm`
  Vec2 corner_mm;
  double metres = 0;  ///< of the model in a millimetre of paper

  Vec2 mm(const Vec3& p) const;
  Vec3 on_plane(const Vec2& mm) const;
  /// How far the model's point is from where the paper has it, metres.
  double off(const Vec3& p, const Vec2& drawn_mm) const;
  /// Is every corner of the model's ring a corner of the drawn one?
  bool has_ring(const std::vector<Vec3>& ring, const SvgPath& path) const;
};

/// Nothing for sheets that are not to scale. Fails the test when an outline is missing or
/// elsewhere.
std::optional<HeldSheet> held(const Page& page, const DrawingRequest& request);

std::vector<Vec3> in_room(const Ring& ring, const Frame& frame);

}  // namespace roomloom::testing
