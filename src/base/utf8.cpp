#include "base/utf8.h"

namespace roomloom {
namespace {

constexpr std::uint32_t kReplacement = 0xFFFD;

struct Decoded {
  std::uint32_t code = kReplacement;
  std::size_t bytes = 1;
};

Decoded decode(std::string_view text) {
  const auto lead = static_cast<unsigned char>(text[0]);
  if (lead < 0x80) return {lead, 1};
  const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < bytes) return {};
  std::uint32_t code = lead & (0xFFU >> (bytes + 1));
  for (std::size_t i = 1; i < bytes; ++i) {
    const auto next = static_cast<unsigned char>(text[i]);
    if ((next & 0xC0U) != 0x80U) return {};
    code = (code << 6U) | (next & 0x3FU);
  }
  const bool overlong = (bytes == 3 && code < 0x800) || (bytes == 4 && code < 0x10000);
  const bool surrogate = code >= 0xD800 && code < 0xE000;
  if (overlong || surrogate || code > 0x10FFFF) return {};
  return {code, bytes};
}

bool is_white(std::uint32_t code) {
  return code == ' ' || code == '\t' || code == '\n' || code == '\r' || code == 0x2028 ||
         code == 0x2029;
}

/// Controls, marks of direction, byte order mark, non-characters and private use: nothing to see.
bool is_unseen(std::uint32_t code) {
  return code < 0x20 || (code >= 0x7F && code < 0xA0) || (code >= 0x200B && code <= 0x200F) ||
         (code >= 0x202A && code <= 0x202E) || (code >= 0x2060 && code <= 0x206F) ||
         code == 0x061C || code == 0xFEFF || (code & 0xFFFEU) == 0xFFFE ||
         (code >= 0xE000 && code < 0xF900) || code >= 0xE0000;
}

}  // namespace

std::vector<std::uint32_t> code_points(std::string_view utf8) {
  std::vector<std::uint32_t> codes;
  codes.reserve(utf8.size());
  while (!utf8.empty()) {
    const Decoded next = decode(utf8);
    codes.push_back(next.code);
    utf8.remove_prefix(next.bytes);
  }
  return codes;
}

void append_utf8(std::string& text, std::uint32_t code) {
  const auto put = [&](std::uint32_t byte) { text += static_cast<char>(byte); };
  if (code < 0x80) return put(code);
  if (code < 0x800) {
    put(0xC0U | (code >> 6U));
  } else if (code < 0x10000) {
    put(0xE0U | (code >> 12U));
    put(0x80U | ((code >> 6U) & 0x3FU));
  } else {
    put(0xF0U | (code >> 18U));
    put(0x80U | ((code >> 12U) & 0x3FU));
    put(0x80U | ((code >> 6U) & 0x3FU));
  }
  put(0x80U | (code & 0x3FU));
}

std::string plain_text(std::string_view name, std::size_t limit) {
  std::string plain;
  std::size_t characters = 0;
  bool space = false;
  while (!name.empty()) {
    const Decoded next = decode(name);
    const std::string_view piece = name.substr(0, next.bytes);
    const bool broken = next.code == 0xFFFD;
    name.remove_prefix(next.bytes);
    if (is_white(next.code)) {
      space = !plain.empty();
      continue;
    }
    if (is_unseen(next.code)) continue;
    if (characters + (space ? 2 : 1) > limit) return plain + "…";
    if (space) plain += ' ';
    characters += space ? 2 : 1;
    space = false;
    plain += broken ? std::string_view("\xEF\xBF\xBD") : piece;
  }
  return plain;
}

}  // namespace roomloom
