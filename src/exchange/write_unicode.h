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

}  // namespace roomloom
