#include "exchange/read_references.h"

#include <algorithm>
#include <array>
#include <charconv>

#include "base/files.h"

namespace roomloom {
namespace {

std::string percent_decoded(std::string_view uri) {
  std::string decoded;
  for (std::size_t i = 0; i < uri.size(); ++i) {
    unsigned value = 0;
    const bool escaped = uri[i] == '%' && i + 2 < uri.size() &&
                         std::from_chars(uri.data() + i + 1, uri.data() + i + 3, value, 16).ptr ==
                             uri.data() + i + 3;
    decoded.push_back(escaped ? static_cast<char>(value) : uri[i]);
    if (escaped) i += 2;
  }
  return decoded;
}

/// "http:", "file:", also "C:" of another system's absolute paths.
bool has_scheme(std::string_view reference) {
  const std::size_t colon = reference.find(':');
  return colon != std::string_view::npos && reference.find('/') > colon;
}

bool is_beneath(const std::filesystem::path& file, const std::filesystem::path& folder) {
  const auto [at, rest] = std::mismatch(folder.begin(), folder.end(), file.begin(), file.end());
  return at == folder.end() && rest != file.end();
}

std::string quoted(std::string_view reference) {
  return "'" + std::string(reference.substr(0, 200)) + "'";
}

}  // namespace

Result<std::string> read_reference(const ReferenceFolder& place, std::string_view reference,
                                   bool percent_encoded) {
  const Error outside{
      "model.outside-reference",
      "Refers to " + quoted(reference) + ", which is not beneath the model's folder.",
      place.folder.string(),
      "Put that file beside the model and refer to it by its name, or allow outside "
      "references."};
  if (has_scheme(reference)) return outside;
  std::string name = percent_encoded ? percent_decoded(reference) : std::string(reference);
  std::replace(name.begin(), name.end(), '\\', '/');
  const Error missing{"model.missing-reference",
                      "Refers to " + quoted(reference) + ", which cannot be read.",
                      place.folder.string(), "Put that file beside the model."};
  if (name.empty() || name.find('\0') != std::string::npos) return missing;

  const std::filesystem::path given = std::filesystem::u8path(name);
  std::error_code failed;
  const std::filesystem::path folder = std::filesystem::weakly_canonical(place.folder, failed);
  const std::filesystem::path wanted = (folder / given).lexically_normal();
  if (!place.allow_outside && !is_beneath(wanted, folder)) return outside;
  const std::filesystem::path real = std::filesystem::weakly_canonical(wanted, failed);
  if (failed) return missing;
  if (!place.allow_outside && !is_beneath(real, folder)) return outside;
  Result<std::string> content = read_file(real);
  if (!content) return missing;
  return content;
}

Result<std::string> read_data_uri(std::string_view uri) {
  const Error damaged{"model.syntax", "A data URI is not valid base64.", "",
                      "Export the model again."};
  const std::size_t comma = uri.find(',');
  if (comma == std::string_view::npos || !uri.substr(0, comma).ends_with(";base64")) return damaged;
  std::string_view encoded = uri.substr(comma + 1);
  while (encoded.ends_with('=')) encoded.remove_suffix(1);
  constexpr std::string_view kDigits =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::array<int, 256> value{};
  value.fill(-1);
  for (std::size_t i = 0; i < kDigits.size(); ++i)
    value[static_cast<unsigned char>(kDigits[i])] = static_cast<int>(i);

  std::string bytes;
  bytes.reserve(encoded.size() / 4 * 3 + 3);
  unsigned collected = 0;
  int bits = 0;
  for (const char c : encoded) {
    const int digit = value[static_cast<unsigned char>(c)];
    if (digit < 0) return damaged;
    collected = (collected << 6 | static_cast<unsigned>(digit)) & 0xFFFFFFU;
    bits += 6;
    if (bits >= 8) bytes.push_back(static_cast<char>(collected >> (bits -= 8) & 0xFFU));
  }
  return bytes;
}

}  // namespace roomloom
