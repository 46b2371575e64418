#pragma once

#include <string>
#include <vector>

#include "exchange/write.h"
#include "exchange/write_frame.h"
#include "exchange/write_part21.h"

namespace roomloom {

enum class StepShapeKind { solids, curves, surface };

/// The representation items of one part: what a styled item or a layer points at. The functions
/// below take the room frame and write file coordinates.
struct StepShape {
  StepShapeKind kind = StepShapeKind::solids;
  std::vector<Ref> items;
};

/// Swept solids with cylinders and tori that share their edges, one for each chain of the tube.
StepShape step_tube(Part21Text& text, const FileFrame& frame, const Tube& tube,
                    const std::string& name);
/// A composite curve of lines and arcs for each stretch that hangs together.
StepShape step_centreline(Part21Text& text, const FileFrame& frame, const Tube& tube,
                          const std::string& name);
StepShape step_bar(Part21Text& text, const FileFrame& frame, const Bar& bar,
                   const std::string& name);
StepShape step_ring(Part21Text& text, const FileFrame& frame, const RingShape& ring,
                    const std::string& name);
/// The strokes of the text as polylines, in one set of curves.
StepShape step_tag(Part21Text& text, const FileFrame& frame, const Tag& tag,
                   const std::string& name);
/// A plane bounded by straight edges. No items if the outline has no area.
StepShape step_face(Part21Text& text, const FileFrame& frame, const SheetPlane& face);

}  // namespace roomloom
