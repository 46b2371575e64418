#pragma once

#include <string>

namespace roomloom {

/// A text as a cell of RFC 4180; one that a spreadsheet would run as a formula gets a leading
/// apostrophe.
std::string csv_cell(const std::string& text);

}  // namespace roomloom
