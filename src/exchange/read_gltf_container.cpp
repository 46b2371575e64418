#include "exchange/read_gltf_container.h"

#include <algorithm>

#include "exchange/read_text.h"

namespace roomloom::gltf {
namespace {

constexpr int kDeepestJson = 128;

std::uint32_t word_at(std::string_view bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < 4; ++i)
    value |= std::uint32_t{static_cast<unsigned char>(bytes[at + i])} << (8 * i);
  return value;
}

/// Before parsing: a million brackets would exhaust the stack of whoever walks the tree.
void refuse_deep_json(std::string_view text) {
  int depth = 0;
  bool in_string = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (in_string) {
      if (c == '\\') ++i;
      if (c == '"') in_string = false;
    } else if (c == '"') {
      in_string = true;
    } else if (c == '{' || c == '[') {
      if (++depth > kDeepestJson) throw Fault{"", "the JSON is nested too deeply"};
    } else if (c == '}' || c == ']') {
      --depth;
    }
  }
}

std::string line_and_column(std::string_view text, std::size_t byte) {
  const std::string_view before = text.substr(0, std::min(byte, text.size()));
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const std::size_t start = before.rfind('\n');
  const std::size_t column =
      start == std::string_view::npos ? before.size() : before.size() - start;
  return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

}  // namespace

/// glTF 2.0 section 4.4: a header of 12 bytes, then chunks of length, kind and data.
Container opened(std::string_view bytes) {
  if (!bytes.starts_with("glTF")) {
    if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
    return {bytes, {}};
  }
  if (bytes.size() < 20) throw Fault{"", "the GLB header is cut off"};
  if (word_at(bytes, 4) != 2)
    throw Fault{"", "is GLB version " + std::to_string(word_at(bytes, 4)) + "; 2 can be read",
                "model.unsupported"};
  const std::size_t length = word_at(bytes, 8);
  if (length > bytes.size())
    throw Fault{"", "the GLB claims " + with_separators(length) + " bytes; the file has " +
                        with_separators(bytes.size())};
  bytes = bytes.substr(0, length);
  Container out;
  bool is_first = true;
  for (std::size_t at = 12; at + 8 <= bytes.size(); is_first = false) {
    const std::size_t chunk_length = word_at(bytes, at);
    const std::uint32_t kind = word_at(bytes, at + 4);
    if (chunk_length > bytes.size() - at - 8) throw Fault{"", "a GLB chunk is cut off"};
    const std::string_view data = bytes.substr(at + 8, chunk_length);
    if (is_first && kind != 0x4E4F534A) throw Fault{"", "the GLB's first chunk is not JSON"};
    if (is_first) out.json = data;
    if (kind == 0x004E4942 && out.chunk.empty()) out.chunk = data;
    at += 8 + chunk_length;
  }
  return out;
}

Json parsed(std::string_view text) {
  refuse_deep_json(text);
  try {
    Json root = Json::parse(text.begin(), text.end());
    if (!root.is_object()) throw Fault{"", "the JSON is not an object"};
    return root;
  } catch (const Json::parse_error& error) {
    throw Fault{"", "the JSON is damaged at " + line_and_column(text, error.byte)};
  } catch (const Json::exception&) {
    throw Fault{"", "the JSON holds a number that is too large"};
  }
}

}  // namespace roomloom::gltf
