#pragma once

#include <string>
#include <string_view>

namespace roomloom {

/// The text with A-Z and the accented capitals of Latin-1 (as UTF-8) in lower case.
std::string lower_case(std::string_view text);

/// Whether a whole name matches a pattern: '*' stands for any characters or none, '?' for one
/// byte. Case makes no difference (see lower_case).
bool matches_pattern(std::string_view pattern, std::string_view text);

}  // namespace roomloom
