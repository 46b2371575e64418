#pragma once

#include <filesystem>

#include "pipeline/roomloom.h"

namespace roomloom {

/// Writes what one takes to the shop and up the ladder: every list as CSV, ladder.html,
/// stock-left.json, and with the drawings labels.pdf, quote.pdf (for the customer) and ladder.pdf.
/// @error `file.unwritable` · `drawings.failed`
Status write_takeoff(const PlannedRoom& planned, const std::filesystem::path& folder,
                     const WriteOptions& options);

/// Writes what was found in the written set as checks.csv, and roomloom.xlsx with a sheet for each
/// CSV.
/// @error `file.unwritable`
Status write_book(const PlannedRoom& planned, const Findings& findings,
                  const std::filesystem::path& folder);

}  // namespace roomloom
