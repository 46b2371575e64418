#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/vec.h"

namespace roomloom::page {

/// A name as it may be shown: valid UTF-8, white space as single blanks, without control characters
/// and marks that turn the direction of what follows; longer than `limit` characters it ends in an
/// ellipsis.
std::string plain(std::string_view name, std::size_t limit = 200);

/// plain(), with what HTML gives a meaning to written as references; fit for text and for
/// attributes in double quotes.
std::string html(std::string_view name, std::size_t limit = 200);

/// plain(), as a JSON string with its quotes (RFC 8259), '<' escaped too.
std::string json(std::string_view name, std::size_t limit = 200);

/// RFC 4648, section 4.
std::string base64(std::string_view bytes);
/// Bytes of a hexadecimal text.
std::string from_hex(std::string_view hex);
/// zlib's format (RFC 1950), which browsers call "deflate"; empty on failure.
std::string deflated(std::string_view bytes);

/// Whole tenths of a millimetre: what the page's geometry is told in.
long tenths(double metres);
/// "[12,-3,5]" of a point in tenths of a millimetre.
std::string json_point(const Vec3& p);
/// Directions as thousandths of a thousandth.
std::string json_direction(const Vec3& d);
/// Points as differences to the one before, in tenths of a millimetre, in one flat list.
std::string json_line(const std::vector<Vec3>& points);
std::string json_numbers(const std::vector<int>& numbers);

/// A name as an id in HTML: letters, digits and hyphens of ASCII.
std::string slug(std::string_view name);

}  // namespace roomloom::page
