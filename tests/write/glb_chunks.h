#pragma once

#include <cstdint>
#include <cstring>
#include <nlohmann/json.hpp>
#include <string>

namespace roomloom::sample {

/// A GLB taken apart as the specification says (glTF 2.0, section 4.4), for tests.
struct GlbChunks {
  std::string json_text;
  std::string binary;
  nlohmann::json json;
};

inline GlbChunks glb_chunks(const std::string& bytes) {
  GlbChunks chunks;
  for (std::size_t at = 12; at + 8 <= bytes.size();) {
    std::uint32_t length = 0;
    std::memcpy(&length, bytes.data() + at, 4);
    const std::string content = bytes.substr(at + 8, length);
    if (bytes.compare(at + 4, 4, "JSON") == 0) chunks.json_text = content;
    if (bytes.compare(at + 4, 3, "BIN") == 0) chunks.binary = content;
    at += 8 + length;
  }
  chunks.json = nlohmann::json::parse(chunks.json_text, nullptr, false);
  return chunks;
}

}  // namespace roomloom::sample
