#pragma once

#include <set>
#include <vector>

#include "drawings/layout.h"
#include "drawings/trunks.h"

namespace roomloom {

/// Something nearer to the viewer than what it hides.
struct Cover {
  PaperBox box;       ///< on paper
  double height = 0;  ///< of its far side, along the view's n; what lies below is hidden
};

/// What one sheet shows of the runs.
struct ShownStretches {
  std::vector<const Stretch*> seen, hidden;  ///< hidden ones in dashes, after ISO 128-2
  std::vector<Cover> covers;                 ///< hide parts of what is seen
  std::set<int> named_at_ends;  ///< runs whose end on this sheet says their id: stubs need no other
  std::set<int> told_by_holes =
      {};  ///< by the row of a hole beside them; the shortest stubs need no other
};

/// Draws each stretch as a line with its name, and puts trunks and services that occur into the
/// column. A trunk is wide, in its service's colour, or near black where it carries several; a run
/// by itself has its service's colour and dash.
void draw_stretches(Work& work, const Trunks& trunks, const ShownStretches& shown);

/// The line cut where covers begin and end: its parts in order, every other one hidden.
struct LinePart {
  std::vector<Vec3> line;
  bool hidden = false;
};
std::vector<LinePart> parts_of(const std::vector<Vec3>& line, const View& view,
                               const std::vector<Cover>& covers);

}  // namespace roomloom
