#pragma once

#include <filesystem>
#include <vector>

#include "base/result.h"
#include "report/report.h"

namespace roomloom {

/// Writes one spreadsheet workbook (Office Open XML) with a sheet for each list and a first sheet
/// that tells what each of them is. Numbers are numbers, in the units of the style, and are shown
/// with the decimals that the CSV has; texts are never formulas. The same lists give the same
/// bytes.
/// @error `file.unwritable`
Status write_workbook(const std::vector<Table>& tables, const TableStyle& style,
                      const std::filesystem::path& file);

}  // namespace roomloom
