#include "page/text.h"

#include <zlib.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdint>

#include "base/utf8.h"

namespace roomloom::page {
namespace {

/// Replaces single characters by texts.
template <typename Replace>
std::string replaced(const std::string& text, Replace replace) {
  std::string out;
  out.reserve(text.size() + text.size() / 8);
  for (const char c : text) {
    if (const char* other = replace(c)) {
      out += other;
    } else {
      out += c;
    }
  }
  return out;
}

}  // namespace

std::string plain(std::string_view name, std::size_t limit) { return plain_text(name, limit); }

std::string html(std::string_view name, std::size_t limit) {
  return replaced(plain(name, limit), [](char c) -> const char* {
    switch (c) {
      case '&':
        return "&amp;";
      case '<':
        return "&lt;";
      case '>':
        return "&gt;";
      case '"':
        return "&quot;";
      case '\'':
        return "&#39;";
      default:
        return nullptr;
    }
  });
}

std::string json(std::string_view name, std::size_t limit) {
  return '"' +
         replaced(plain(name, limit),
                  [](char c) -> const char* {
                    switch (c) {
                      case '"':
                        return "\\\"";
                      case '\\':
                        return "\\\\";
                      case '<':
                        return "\\u003c";
                      default:
                        return nullptr;
                    }
                  }) +
         '"';
}

std::string base64(std::string_view bytes) {
  constexpr const char* kDigits =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t word = 0;
    for (std::size_t k = 0; k < 3; ++k)
      word = word << 8U | (k < count ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      out += k <= count ? kDigits[word >> (18 - 6 * k) & 63U] : '=';
  }
  return out;
}

std::string from_hex(std::string_view hex) {
  const auto digit = [](char c) { return c <= '9' ? c - '0' : c - 'a' + 10; };
  std::string bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    bytes += static_cast<char>(digit(hex[i]) * 16 + digit(hex[i + 1]));
  return bytes;
}

std::string deflated(std::string_view bytes) {
  uLongf size = compressBound(static_cast<uLong>(bytes.size()));
  std::string packed(size, '\0');
  if (compress2(reinterpret_cast<Bytef*>(packed.data()), &size,  // NOLINT
                reinterpret_cast<const Bytef*>(bytes.data()),    // NOLINT
                static_cast<uLong>(bytes.size()), 6) != Z_OK) {
    return {};
  }
  packed.resize(size);
  return packed;
}

long tenths(double metres) { return std::lround(metres * 10000); }

std::string json_point(const Vec3& p) {
  return "[" + std::to_string(tenths(p.x)) + "," + std::to_string(tenths(p.y)) + "," +
         std::to_string(tenths(p.z)) + "]";
}

std::string json_direction(const Vec3& d) {
  const auto part = [](double x) { return std::to_string(std::lround(x * 1e6)); };
  return "[" + part(d.x) + "," + part(d.y) + "," + part(d.z) + "]";
}

std::string json_line(const std::vector<Vec3>& points) {
  std::string out = "[";
  long last[3] = {0, 0, 0};
  for (const Vec3& p : points) {
    for (int axis = 0; axis < 3; ++axis) {
      const long here = tenths(p[axis]);
      if (out.size() > 1) out += ',';
      out += std::to_string(here - last[axis]);
      last[axis] = here;
    }
  }
  return out + "]";
}

std::string json_numbers(const std::vector<int>& numbers) {
  std::string out = "[";
  for (const int number : numbers) out += (out.size() > 1 ? "," : "") + std::to_string(number);
  return out + "]";
}

std::string slug(std::string_view name) {
  std::string out;
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80 && std::isalnum(byte) != 0) {
      out += static_cast<char>(std::tolower(byte));
    } else if (!out.empty() && out.back() != '-') {
      out += '-';
    }
    if (out.size() >= 40) break;
  }
  while (!out.empty() && out.back() == '-') out.pop_back();
  return out;
}

}  // namespace roomloom::page
