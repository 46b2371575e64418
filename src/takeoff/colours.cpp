#include "takeoff/colours.h"

#include <algorithm>
#include <array>
#include <limits>

#include "takeoff/cells.h"
#include "types/palette.h"

namespace roomloom {

std::optional<Colour> face_colour(const Sheet& sheet, const Scene* scene) {
  if (sheet.colour || scene == nullptr) return sheet.colour;
  for (const int part : sheet.parts)
    if (const auto& colour = element(scene->parts, part).colour) return colour;
  return std::nullopt;
}

std::string colour_least_seen(const std::vector<std::string>& offered,
                              const std::optional<Colour>& face) {
  if (offered.empty()) return "";
  std::string best = offered.front();
  double least = std::numeric_limits<double>::infinity();
  for (const std::string& name : offered) {
    const auto colour = colour_named(name);
    if (!colour) continue;
    const double shows = colour_difference(*colour, face.value_or(Colour{0, 0, 0}));
    if (shows >= least) continue;
    least = shows;
    best = name;
  }
  return best;
}

bool looks_alike(const std::string& colour, const std::optional<Colour>& face) {
  constexpr double kAlike = 10;
  const auto own = colour_named(colour);
  return own && face && colour_difference(*own, *face) < kAlike;
}

std::string colour_by_service(Service service, const std::vector<std::string>& offered) {
  static constexpr std::array<std::array<const char*, 2>, kServiceCount> kUsual = {
      {{"white", "grey"},    // loudspeaker
       {"purple", "black"},  // line level
       {"blue", "grey"},     // network
       {"black", "grey"},    // picture
       {"black", "white"},   // television
       {"aqua", "orange"},   // fibre
       {"green", "yellow"},  // control
       {"white", "grey"}}};  // mains
  for (const char* usual : kUsual[static_cast<std::size_t>(service)])
    if (std::find(offered.begin(), offered.end(), usual) != offered.end()) return usual;
  return offered.empty() ? "" : offered.front();
}

}  // namespace roomloom
