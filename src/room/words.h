#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "types/job.h"

namespace roomloom {

/// The lower-case words of a name: split at everything that is no letter or digit, between a small
/// and a capital letter, and between letters and digits. Accented Latin letters are kept.
std::vector<std::string> words_of(std::string_view text);

struct WordMatch {
  Role role = Role::automatic;
  std::string words;  ///< "ceiling tile"
};
/// What a name says a part is. English, German, French, Spanish, Italian, Portuguese and Dutch
/// words as they are common in drawings, IFC class names, and labels of room scans.
std::optional<WordMatch> role_in_words(const std::vector<std::string>& words);
/// What a name says a wall is made of.
std::optional<Build> build_in_words(const std::vector<std::string>& words);

}  // namespace roomloom
