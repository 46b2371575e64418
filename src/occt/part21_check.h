#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>

#include "base/result.h"

namespace roomloom {

/// What the text of a STEP file declares, before any library interprets it.
struct Part21Facts {
  std::string schema;  ///< first name in FILE_SCHEMA, e.g. "AUTOMOTIVE_DESIGN"
  std::map<std::string, std::uint32_t> entities;  ///< how many instances of each keyword
  std::uint32_t last_id = 0;                      ///< largest instance number

  /// Sum over the given keywords; those that do not occur count 0.
  std::uint32_t count(std::initializer_list<std::string_view> keywords) const;
};

/// Reads a STEP file's text (ISO 10303-21) as far as can be told without its schema: sections
/// present and ended, instances well formed and unique, every `#n` resolves and leads into no
/// circle, lists nested at most 64 deep, numbers finite and integers within 32 bits.
///
/// Much cheaper than reading, and it keeps from the reading library most of what it would crash on.
/// @error `model.syntax` naming the line; `model.unsupported` for references into other files.
/// @cost  linear in the text but for a sort of the instance numbers.
Result<Part21Facts> check_part21(std::string_view text, const std::string& file);

}  // namespace roomloom
