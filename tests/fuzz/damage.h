#pragma once

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace roomloom::fuzz {

/// One or two digits changed, which goes deep into a reader.
inline std::string digits_changed(std::string bytes, std::mt19937& random) {
  for (std::size_t changes = 1 + random() % 2; changes > 0 && !bytes.empty(); --changes) {
    const std::size_t at = bytes.find_first_of("0123456789", random() % bytes.size());
    if (at != std::string::npos) bytes[at] = static_cast<char>('0' + random() % 10);
  }
  return bytes;
}

/// Half of the time digits only; else one to eight changes: bytes overwritten, stretches removed,
/// repeated or moved, numbers made extreme.
inline std::string mutated(std::string bytes, std::mt19937& random) {
  if (random() % 2 == 0) return digits_changed(std::move(bytes), random);
  const auto below = [&random](std::size_t limit) { return limit == 0 ? 0 : random() % limit; };
  static const std::vector<std::string> kExtremes = {"-1", "0",   "1e308", "4294967295",
                                                     "#1", "nan", "((((("};
  for (std::size_t changes = 1 + below(8); changes > 0 && !bytes.empty(); --changes) {
    const std::size_t at = below(bytes.size());
    const std::size_t length = std::min(1 + below(40), bytes.size() - at);
    switch (random() % 5) {
      case 0:
        bytes[at] = static_cast<char>(random());
        break;
      case 1:
        bytes.erase(at, length);
        break;
      case 2:
        bytes.insert(below(bytes.size()), bytes.substr(at, length));
        break;
      case 3:
        bytes.replace(at, std::min<std::size_t>(length, 3), kExtremes[below(kExtremes.size())]);
        break;
      default:
        // Bytes of a like kind keep the text well-formed and go deeper.
        if (bytes[at] >= '0' && bytes[at] <= '9') bytes[at] = static_cast<char>('0' + below(10));
    }
  }
  return bytes;
}

}  // namespace roomloom::fuzz
