#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "base/result.h"
#include "types/drawn_sheet.h"
#include "types/paper.h"
#include "types/planned.h"

namespace roomloom {

/// What to draw, and where.
struct DrawingRequest : Planned {
  std::filesystem::path folder;  ///< must exist
  Paper paper = Paper::a3;
  std::string program;  ///< "roomloom 0.1.0", for the title block and the PDF's "producer"
};

struct Drawings {
  std::vector<std::string> files;  ///< names, relative to the folder, in the order written
  std::vector<DrawnSheet> sheets;  ///< in drawing order
};

/// Writes what one works from and looks at: `drawings.pdf` with all sheets, each sheet as SVG
/// (`sheet-1-void-plan.svg`, its unit the millimetre on paper) and PNG, and `overview.png`.
///
/// Sheets, each only if there is something to draw: a plan at the height of each void over a
/// ceiling; each suspended ceiling seen from below; each wall, floor or slope that carries
/// anything, seen square from inside; the cross-section of each bundle; the back of each gear.
/// To scale at the largest usual one that fits; kinds of line after ISO 128-2, dimensions after
/// ISO 129-1, title block with fields of ISO 7200. No text lies on another.
///
/// The same plan gives the same bytes, with the same versions of Cairo, Pango and zlib and the
/// same font.
/// @error `file.unwritable` · `drawings.failed` when Cairo reports a fault
Result<Drawings> write_drawings(const DrawingRequest& request);

}  // namespace roomloom
