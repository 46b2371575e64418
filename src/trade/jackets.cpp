#include "trade/jackets.h"

#include <algorithm>
#include <array>

namespace roomloom::trade {

std::optional<JacketMark> jacket_mark(std::string_view mark) {
  struct Stem {
    std::string_view text;
    JacketFamily family;
  };
  constexpr std::array<Stem, 5> kStems = {{{"CL2", JacketFamily::class_2},
                                           {"CL3", JacketFamily::class_3},
                                           {"CM", JacketFamily::communications},
                                           {"OFN", JacketFamily::fibre},
                                           {"OFC", JacketFamily::fibre}}};
  for (const Stem& stem : kStems) {
    if (mark.substr(0, stem.text.size()) != stem.text) continue;
    const std::string_view rest = mark.substr(stem.text.size());
    if (rest.empty() || rest == "G") return JacketMark{stem.family, JacketRank::general};
    if (rest == "P") return JacketMark{stem.family, JacketRank::plenum};
    if (rest == "R") return JacketMark{stem.family, JacketRank::riser};
    if (rest == "X") return JacketMark{stem.family, JacketRank::limited};
  }
  return std::nullopt;
}

bool is_euroclass(std::string_view mark) {
  constexpr std::array<std::string_view, 6> kClasses = {"Aca", "B1ca", "B2ca", "Cca", "Dca", "Eca"};
  return std::find(kClasses.begin(), kClasses.end(), mark) != kClasses.end();
}

bool jacket_suffices(const JacketMark& mark, JacketSpace space, double diameter_m) {
  switch (space) {
    case JacketSpace::air_void:
      return mark.rank >= JacketRank::plenum;
    case JacketSpace::ordinary_void:
      return mark.rank >= JacketRank::general || diameter_m < kLimitedDiameter_m;
    case JacketSpace::open_room:
      break;
  }
  return true;
}

}  // namespace roomloom::trade
