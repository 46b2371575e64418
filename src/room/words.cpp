#include "room/words.h"

#include <algorithm>
#include <array>

#include "room/phrases.h"
#include "room/roles.h"

namespace roomloom {
namespace {

struct BuildWord {
  const char* word;
  Build build;
};
constexpr std::array kBuildWords = std::to_array<BuildWord>({
    {"exterior", Build::outside},   {"external", Build::outside},  {"outside", Build::outside},
    {"aussenwand", Build::outside}, {"außenwand", Build::outside}, {"facade", Build::outside},
    {"façade", Build::outside},     {"brick", Build::masonry},     {"block", Build::masonry},
    {"masonry", Build::masonry},    {"cmu", Build::masonry},       {"mauerwerk", Build::masonry},
    {"ziegel", Build::masonry},     {"brique", Build::masonry},    {"ladrillo", Build::masonry},
    {"tijolo", Build::masonry},     {"concrete", Build::concrete}, {"beton", Build::concrete},
    {"béton", Build::concrete},     {"hormigón", Build::concrete}, {"concreto", Build::concrete},
    {"stud", Build::stud},          {"studs", Build::stud},        {"drywall", Build::stud},
    {"ständerwand", Build::stud},   {"plywood", Build::board},     {"osb", Build::board},
});

bool is_upper(unsigned char c) { return c >= 'A' && c <= 'Z'; }
bool is_lower(unsigned char c) { return (c >= 'a' && c <= 'z') || c >= 0x80; }
bool is_digit(unsigned char c) { return c >= '0' && c <= '9'; }

// ASCII, and the capital letters of Latin-1 in UTF-8 (C3 80 .. C3 9E).
std::string lower_case(std::string_view text) {
  std::string out(text);
  for (std::size_t i = 0; i < out.size(); ++i) {
    auto c = static_cast<unsigned char>(out[i]);
    if (is_upper(c)) out[i] = static_cast<char>(c + 32);
    const bool after_c3 = i > 0 && static_cast<unsigned char>(out[i - 1]) == 0xC3;
    if (after_c3 && c >= 0x80 && c <= 0x9E && c != 0x97) out[i] = static_cast<char>(c + 32);
  }
  return out;
}

}  // namespace

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  const auto flush = [&] {
    if (!word.empty()) words.push_back(lower_case(word));
    word.clear();
  };
  unsigned char before = ' ';
  for (const char letter : text) {
    const auto c = static_cast<unsigned char>(letter);
    const bool letter_or_digit = is_upper(c) || is_lower(c) || is_digit(c);
    const bool hump = is_upper(c) && before >= 'a' && before <= 'z';
    const bool number = is_digit(c) != is_digit(before);
    if (!letter_or_digit || hump || number) flush();
    if (letter_or_digit) word.push_back(letter);
    before = c;
  }
  flush();
  return words;
}

namespace {

bool is_hole_word(const std::string& word) {
  constexpr std::array kHoles = {"hole",    "holes", "loch", "bohrung", "trou",
                                 "agujero", "foro",  "furo", "gat"};
  return std::find(kHoles.begin(), kHoles.end(), word) != kHoles.end();
}

bool is_number(const std::string& word) {
  return std::all_of(word.begin(), word.end(),
                     [](char c) { return is_digit(static_cast<unsigned char>(c)); });
}

/// A hole is what is called one ("Hole tile C4", "Hole in a wall", "Cable hole 2"), not what has
/// one
/// ("Wall with hole") nor what a door, a lamp or a duct fills ("Door hole").
std::optional<WordMatch> hole_in_words(const std::vector<std::string>& words) {
  if (words.empty()) return std::nullopt;
  if (is_hole_word(words.front())) return WordMatch{Role::hole, words.front()};
  std::vector<std::string> rest = words;
  while (rest.size() > 1 && (is_number(rest.back()) || rest.back().size() == 1)) rest.pop_back();
  if (!is_hole_word(rest.back())) return std::nullopt;
  const std::string word = rest.back();
  rest.pop_back();
  for (const char* joint : {"with", "without", "no", "mit", "avec", "con", "com", "met"})
    if (std::find(rest.begin(), rest.end(), joint) != rest.end()) return std::nullopt;
  const auto said = role_in_words(rest);
  const bool plain = !said || is_structure(said->role) || said->role == Role::suspended_ceiling ||
                     said->role == Role::cupboard || said->role == Role::furniture ||
                     said->role == Role::conduit;
  return plain ? std::optional(WordMatch{Role::hole, word}) : std::nullopt;
}

}  // namespace

std::optional<WordMatch> role_in_words(const std::vector<std::string>& words) {
  if (const auto hole = hole_in_words(words)) return hole;
  std::string line = " ";
  for (const std::string& word : words) line += word + " ";
  for (const Phrase& phrase : kPhrases) {
    if (line.find(" " + std::string(phrase.words) + " ") == std::string::npos) continue;
    if (phrase.role == Role::automatic) return std::nullopt;
    return WordMatch{phrase.role, phrase.words};
  }
  return std::nullopt;
}

std::optional<Build> build_in_words(const std::vector<std::string>& words) {
  for (const BuildWord& entry : kBuildWords)
    if (std::find(words.begin(), words.end(), entry.word) != words.end()) return entry.build;
  return std::nullopt;
}

}  // namespace roomloom
