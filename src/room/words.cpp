#include "room/words.h"

#include <algorithm>
#include <array>

#include "room/roles.h"

namespace roomloom {
namespace {

struct Phrase {
  const char* words;  // in this order, next to each other
  Role role;
};

// The first phrase found decides, so narrower meanings stand before wider ones: a "ceiling vent" is
// a vent, a "wall cabinet" a cupboard. "slab" alone is left to its place in the model.
constexpr std::array kPhrases = std::to_array<Phrase>({
    {"global mesh", Role::automatic},
    {"wall art", Role::obstacle},
    {"curtain wall", Role::wall},
    {"window wall", Role::window},
    {"door wall", Role::wall},
    {"ifc space", Role::ignore},
    {"ifc site", Role::ignore},
    {"ifc annotation", Role::ignore},
    {"ifc opening element", Role::ignore},
    {"ifc grid", Role::ignore},
    {"site", Role::ignore},
    {"terrain", Role::ignore},
    {"camera", Role::ignore},
    {"spot light", Role::luminaire},
    {"light switch", Role::outlet},
    {"outlet", Role::outlet},
    {"socket", Role::outlet},
    {"power point", Role::outlet},
    {"switch", Role::outlet},
    {"steckdose", Role::outlet},
    {"schalter", Role::outlet},
    {"prise", Role::outlet},
    {"enchufe", Role::outlet},
    {"presa", Role::outlet},
    {"tomada", Role::outlet},
    {"stopcontact", Role::outlet},
    {"mains", Role::power},
    {"power line", Role::power},
    {"power cable", Role::power},
    {"netzleitung", Role::power},
    {"stromleitung", Role::power},
    {"conduit", Role::conduit},
    {"leerrohr", Role::conduit},
    {"cable tray", Role::conduit},
    {"ifc cable carrier segment", Role::conduit},
    {"existing hole", Role::hole},
    {"grommet", Role::hole},
    {"vent", Role::vent},
    {"ventilation grille", Role::vent},
    {"grille", Role::vent},
    {"diffuser", Role::vent},
    {"air terminal", Role::vent},
    {"ifc air terminal", Role::vent},
    {"register", Role::vent},
    {"luftauslass", Role::vent},
    {"luminaire", Role::luminaire},
    {"light fixture", Role::luminaire},
    {"ifc light fixture", Role::luminaire},
    {"downlight", Role::luminaire},
    {"lamp", Role::luminaire},
    {"light", Role::luminaire},
    {"leuchte", Role::luminaire},
    {"lampe", Role::luminaire},
    {"luminaria", Role::luminaire},
    {"lampada", Role::luminaire},
    {"duct", Role::obstacle},
    {"ifc duct segment", Role::obstacle},
    {"ifc flow segment", Role::obstacle},
    {"pipe", Role::obstacle},
    {"joist", Role::obstacle},
    {"beam", Role::obstacle},
    {"ifc beam", Role::obstacle},
    {"ifc member", Role::window},
    {"ifc railing", Role::obstacle},
    {"railing", Role::obstacle},
    {"stair", Role::obstacle},
    {"stairs", Role::obstacle},
    {"ifc stair flight", Role::obstacle},
    {"ifc stair", Role::obstacle},
    {"radiator", Role::obstacle},
    {"exhaust", Role::obstacle},
    {"lüftungskanal", Role::obstacle},
    {"balken", Role::obstacle},
    {"unterzug", Role::obstacle},
    {"treppe", Role::obstacle},
    {"viga", Role::obstacle},
    {"escada", Role::obstacle},
    {"escalera", Role::obstacle},
    {"escalier", Role::obstacle},
    {"poutre", Role::obstacle},
    {"heizkörper", Role::obstacle},
    {"screen", Role::obstacle},
    {"plant", Role::furniture},
    {"curtain", Role::curtain},
    {"drape", Role::curtain},
    {"drapes", Role::curtain},
    {"vorhang", Role::curtain},
    {"rideau", Role::curtain},
    {"cortina", Role::curtain},
    {"tenda", Role::curtain},
    {"gordijn", Role::curtain},
    {"cupboard", Role::cupboard},
    {"cabinet", Role::cupboard},
    {"closet", Role::cupboard},
    {"wardrobe", Role::cupboard},
    {"storage", Role::cupboard},
    {"schrank", Role::cupboard},
    {"armoire", Role::cupboard},
    {"armario", Role::cupboard},
    {"armadio", Role::cupboard},
    {"kast", Role::cupboard},
    {"seat", Role::seat},
    {"seats", Role::seat},
    {"chair", Role::seat},
    {"couch", Role::seat},
    {"sofa", Role::seat},
    {"armchair", Role::seat},
    {"bench", Role::seat},
    {"stuhl", Role::seat},
    {"sessel", Role::seat},
    {"chaise", Role::seat},
    {"silla", Role::seat},
    {"sedia", Role::seat},
    {"cadeira", Role::seat},
    {"stoel", Role::seat},
    {"table", Role::furniture},
    {"desk", Role::furniture},
    {"shelf", Role::furniture},
    {"bed", Role::furniture},
    {"rack", Role::furniture},
    {"furniture", Role::furniture},
    {"ifc furnishing element", Role::furniture},
    {"ifc furniture", Role::furniture},
    {"sink", Role::furniture},
    {"refrigerator", Role::furniture},
    {"cooker", Role::furniture},
    {"oven", Role::furniture},
    {"bath", Role::furniture},
    {"toilet", Role::furniture},
    {"ifc flow terminal", Role::furniture},
    {"ifc sanitary terminal", Role::furniture},
    {"tisch", Role::furniture},
    {"regal", Role::furniture},
    {"bett", Role::furniture},
    {"mesa", Role::furniture},
    {"tavolo", Role::furniture},
    {"tafel", Role::furniture},
    {"meuble", Role::furniture},
    {"door", Role::door},
    {"doors", Role::door},
    {"ifc door", Role::door},
    {"tür", Role::door},
    {"tuer", Role::door},
    {"porte", Role::door},
    {"puerta", Role::door},
    {"porta", Role::door},
    {"portas", Role::door},
    {"deur", Role::door},
    {"window", Role::window},
    {"windows", Role::window},
    {"ifc window", Role::window},
    {"skylight", Role::window},
    {"glazing", Role::window},
    {"ifc plate", Role::window},
    {"fenster", Role::window},
    {"fenêtre", Role::window},
    {"ventana", Role::window},
    {"finestra", Role::window},
    {"janela", Role::window},
    {"raam", Role::window},
    {"suspended ceiling", Role::suspended_ceiling},
    {"drop ceiling", Role::suspended_ceiling},
    {"dropped ceiling", Role::suspended_ceiling},
    {"false ceiling", Role::suspended_ceiling},
    {"grid ceiling", Role::suspended_ceiling},
    {"tile ceiling", Role::suspended_ceiling},
    {"ceiling tile", Role::suspended_ceiling},
    {"ceiling tiles", Role::suspended_ceiling},
    {"abgehängte decke", Role::suspended_ceiling},
    {"rasterdecke", Role::suspended_ceiling},
    {"faux plafond", Role::suspended_ceiling},
    {"falso techo", Role::suspended_ceiling},
    {"controsoffitto", Role::suspended_ceiling},
    {"forro", Role::suspended_ceiling},
    {"slab above", Role::deck},
    {"deck", Role::deck},
    {"roof", Role::deck},
    {"ifc roof", Role::deck},
    {"rohdecke", Role::deck},
    {"dach", Role::deck},
    {"toit", Role::deck},
    {"telhado", Role::deck},
    {"tejado", Role::deck},
    {"tetto", Role::deck},
    {"dak", Role::deck},
    {"laje superior", Role::deck},
    {"cobertura", Role::deck},
    {"slope", Role::ceiling},
    {"ceiling", Role::ceiling},
    {"decke", Role::ceiling},
    {"plafond", Role::ceiling},
    {"techo", Role::ceiling},
    {"teto", Role::ceiling},
    {"soffitto", Role::ceiling},
    {"floor", Role::floor},
    {"footing", Role::floor},
    {"ifc footing", Role::floor},
    {"foundation", Role::floor},
    {"fußboden", Role::floor},
    {"boden", Role::floor},
    {"sol", Role::floor},
    {"suelo", Role::floor},
    {"piso", Role::floor},
    {"pavimento", Role::floor},
    {"vloer", Role::floor},
    {"wall", Role::wall},
    {"walls", Role::wall},
    {"ifc wall", Role::wall},
    {"ifc wall standard case", Role::wall},
    {"ifc column", Role::wall},
    {"column", Role::wall},
    {"pillar", Role::wall},
    {"partition", Role::wall},
    {"wand", Role::wall},
    {"mauer", Role::wall},
    {"stütze", Role::wall},
    {"mur", Role::wall},
    {"cloison", Role::wall},
    {"pared", Role::wall},
    {"muro", Role::wall},
    {"parete", Role::wall},
    {"parede", Role::wall},
    {"muur", Role::wall},
    {"pilar", Role::wall},
    {"tile", Role::suspended_ceiling},
    {"walkway", Role::walkway},
    {"gangway", Role::walkway},
    {"aisle", Role::walkway},
    {"laufweg", Role::walkway},
});

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
