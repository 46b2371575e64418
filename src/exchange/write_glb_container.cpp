#include "exchange/write_glb_container.h"

#include <cstdint>
#include <cstring>

namespace roomloom {
namespace {

constexpr std::uint32_t kMagic = 0x46546C67;  // "glTF"
constexpr std::uint32_t kJsonChunk = 0x4E4F534A;
constexpr std::uint32_t kBinaryChunk = 0x004E4942;

std::uint32_t word_at(std::string_view bytes, std::size_t at) {
  std::uint32_t word = 0;
  std::memcpy(&word, bytes.data() + at, sizeof word);
  return word;
}

void append_word(std::string& bytes, std::size_t value) {
  for (unsigned shift = 0; shift < 32; shift += 8)
    bytes += static_cast<char>((value >> shift) & 0xFFU);
}

void pad(std::string& bytes, char with) {
  while (bytes.size() % 4 != 0) bytes += with;
}

}  // namespace

Result<GlbContainer> glb_opened(std::string_view bytes, const std::filesystem::path& file) {
  GlbContainer container;
  if (bytes.size() < 12 || word_at(bytes, 0) != kMagic) {
    container.json = bytes;
    if (bytes.starts_with("\xEF\xBB\xBF")) container.json.remove_prefix(3);
    return container;
  }
  for (std::size_t at = 12; at + 8 <= bytes.size();) {
    const std::size_t length = word_at(bytes, at);
    const std::uint32_t type = word_at(bytes, at + 4);
    if (length > bytes.size() - at - 8)
      return Error{"write.original-syntax", "Its last chunk is cut off.", file.string(),
                   "Export the model again."};
    const std::string_view chunk = bytes.substr(at + 8, length);
    if (type == kJsonChunk) container.json = chunk;
    if (type == kBinaryChunk && !container.has_binary) {
      container.binary = chunk;
      container.has_binary = true;
    }
    at += 8 + length;
  }
  return container;
}

std::string glb_bytes(std::string json, std::string binary) {
  pad(json, ' ');
  pad(binary, '\0');
  const std::size_t binary_chunk = binary.empty() ? 0 : 8 + binary.size();
  std::string bytes;
  append_word(bytes, kMagic);
  append_word(bytes, 2);
  append_word(bytes, 12 + 8 + json.size() + binary_chunk);
  append_word(bytes, json.size());
  append_word(bytes, kJsonChunk);
  bytes += json;
  if (binary.empty()) return bytes;
  append_word(bytes, binary.size());
  append_word(bytes, kBinaryChunk);
  return bytes + binary;
}

std::string base64(std::string_view bytes) {
  constexpr const char* kDigits =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t word = 0;
    const std::size_t taken = std::min<std::size_t>(3, bytes.size() - i);
    for (std::size_t k = 0; k < 3; ++k)
      word = (word << 8U) | (k < taken ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      text += k > taken ? '=' : kDigits[(word >> (18 - 6 * k)) & 0x3FU];
  }
  return text;
}

std::optional<std::string> from_base64(std::string_view text) {
  std::string bytes;
  std::uint32_t word = 0;
  int bits = 0;
  for (const char c : text) {
    std::uint32_t digit = 0;
    if (c >= 'A' && c <= 'Z')
      digit = static_cast<std::uint32_t>(c - 'A');
    else if (c >= 'a' && c <= 'z')
      digit = static_cast<std::uint32_t>(c - 'a') + 26;
    else if (c >= '0' && c <= '9')
      digit = static_cast<std::uint32_t>(c - '0') + 52;
    else if (c == '+' || c == '/')
      digit = c == '+' ? 62 : 63;
    else if (c == '=')
      break;
    else
      return std::nullopt;
    word = (word << 6U) | digit;
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes += static_cast<char>((word >> static_cast<unsigned>(bits)) & 0xFFU);
  }
  return bytes;
}

}  // namespace roomloom
