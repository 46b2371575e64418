#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace roomloom {

/// The code points of UTF-8 text. Bytes that are no UTF-8 become U+FFFD, one each.
std::vector<std::uint32_t> code_points(std::string_view utf8);

/// Appends one code point as UTF-8.
void append_utf8(std::string& text, std::uint32_t code);

/// A name as it may be shown: valid UTF-8 on one line, without control characters and without marks
/// that turn the direction of what follows; longer than `limit` characters it ends in an ellipsis.
std::string plain_text(std::string_view name, std::size_t limit = 40);

}  // namespace roomloom
