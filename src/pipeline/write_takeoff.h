#pragma once

#include <filesystem>

#include "pipeline/roomloom.h"

namespace roomloom {

/// Writes what one takes to the shop and up the ladder: every list as CSV, roomloom.xlsx with all
/// of them, ladder.html, stock-left.json, and with the drawings labels.pdf, quote.pdf (for the
/// customer) and ladder.pdf.
/// @error `file.unwritable` · `drawings.failed`
Status write_takeoff(const PlannedRoom& planned, const std::filesystem::path& folder,
                     const WriteOptions& options);

}  // namespace roomloom
