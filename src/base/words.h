#pragma once

#include <string>

namespace roomloom {

/// With a large first letter: "at the floor" -> "At the floor".
inline std::string capitalised(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

}  // namespace roomloom
