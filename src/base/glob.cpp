#include "base/glob.h"

namespace roomloom {

std::string lower_case(std::string_view text) {
  std::string lower(text);
  for (std::size_t i = 0; i < lower.size(); ++i) {
    const auto c = static_cast<unsigned char>(lower[i]);
    const bool plain = c >= 'A' && c <= 'Z';
    // UTF-8 spells U+00C0 to U+00DE as C3 80 to C3 9E; U+00D7 is the multiplication sign.
    const bool accented = i > 0 && static_cast<unsigned char>(text[i - 1]) == 0xC3 && c >= 0x80 &&
                          c <= 0x9E && c != 0x97;
    if (plain || accented) lower[i] = static_cast<char>(c + 32);
  }
  return lower;
}

bool matches_pattern(std::string_view pattern, std::string_view text) {
  const std::string p = lower_case(pattern);
  const std::string t = lower_case(text);
  std::size_t i = 0;
  std::size_t j = 0;
  std::size_t star = std::string::npos;  // the last '*' passed, and what it has swallowed up to
  std::size_t retry = 0;
  while (j < t.size()) {
    if (i < p.size() && p[i] == '*') {
      star = i++;
      retry = j;
    } else if (i < p.size() && (p[i] == '?' || p[i] == t[j])) {
      ++i;
      ++j;
    } else if (star != std::string::npos) {
      i = star + 1;
      j = ++retry;
    } else {
      return false;
    }
  }
  while (i < p.size() && p[i] == '*') ++i;
  return i == p.size();
}

}  // namespace roomloom
