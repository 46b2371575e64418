#pragma once

#include <string>
#include <string_view>

namespace roomloom {

/// Whether `text` is well-formed UTF-8 (RFC 3629: no overlong forms, surrogates or code points past
/// U+10FFFF).
bool is_utf8(std::string_view text);

/// `text` with every ill-formed byte replaced by U+FFFD.
std::string repaired_utf8(std::string_view text);

/// "1,234,567": counts for people.
std::string with_separators(std::size_t count);

}  // namespace roomloom
