#pragma once

#include <filesystem>
#include <vector>

#include "pipeline/roomloom.h"
#include "types/drawn_sheet.h"

namespace roomloom {

/// report.html of a plan that has been judged, with the sheets that were drawn (none is fine).
/// @error `page.*` · `file.unwritable`
Status write_page(const PlannedRoom& planned, const Findings& findings,
                  std::vector<DrawnSheet> sheets, const std::filesystem::path& folder);

}  // namespace roomloom
