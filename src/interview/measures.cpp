#include <tuple>

#include "interview/room_facts.h"

namespace roomloom {
namespace {

/// How square a room is without anybody having measured it (from memory, no source).
constexpr double kSquareness = 0.5 * kPi / 180;

/// A wall's length for a first guess: its own, that of the wall opposite, or what is assumed where
/// neither is known.
double wall_guess(const Reader& in, const char* wall, const char* opposite, double high) {
  if (const auto metres = in.answers.length(opposite); metres && !in.answers.length(wall))
    return *metres;
  return in.length(wall, 3, high);
}

/// Angles by a set square or a folding rule. From memory, no source.
constexpr double kAngleSigma = 0.5 * kPi / 180;

std::vector<TapeMeasure> measures_of(const Answers& answers) {
  // Corners: back left, front left, front right, back right.
  struct Named {
    const char* key;
    const char* name;
    int from, to;
  };
  std::vector<TapeMeasure> all;
  for (const Named& n : {Named{"wall_left", "the left wall", 0, 1},
                         {"wall_front", "the front wall", 1, 2},
                         {"wall_right", "the right wall", 2, 3},
                         {"wall_back", "the back wall", 3, 0},
                         {"diagonal_1", "the diagonal from front left to back right", 1, 3},
                         {"diagonal_2", "the diagonal from front right to back left", 2, 0}}) {
    if (const auto metres = answers.length(n.key))
      all.push_back({n.name, n.from, n.to, -1, *metres, 0.005, false});
  }
  const char* corners[] = {"back_left", "front_left", "front_right", "back_right"};
  for (int corner = 0; corner < 4; ++corner) {
    std::string name = corners[corner];
    const auto angle =
        answers.yes("angles") ? answers.angle("angle_" + name) : std::optional<double>();
    name.replace(name.find('_'), 1, " ");
    const int before = (corner + 3) % 4, after = (corner + 1) % 4;
    if (angle)
      all.push_back({"the angle of the " + name + " corner", before, after, corner, *angle,
                     kAngleSigma, false});
    else
      all.push_back({"a square corner", before, after, corner, kPi / 2, kSquareness, true});
  }
  return all;
}

std::string told(double value, const BlamedMeasure& measure, DisplayUnits units, int decimals) {
  return measure.angle ? format_number(degrees(value), 1) + " deg"
                       : format_length(value, units, decimals);
}

std::string blame_text(const BlamedMeasure& m, DisplayUnits units) {
  return "measured " + told(m.measured, m, units, 3) + ", by the others about " +
         told(m.value, m, units, 2);
}

std::string outline_text(const BalancedOutline& outline, bool or_not_square, DisplayUnits units) {
  if (outline.blamed.empty()) return {};
  std::string text = "The measures do not agree. ";
  if (outline.blamed.size() == 1) {
    text += "The likeliest to be wrong is " + outline.blamed[0].name + " (" +
            blame_text(outline.blamed[0], units) + "): measure it again.";
  } else {
    text += "About as likely to be wrong are";
    for (std::size_t i = 0; i < outline.blamed.size(); ++i)
      text += std::string(i == 0                          ? " "
                          : i + 1 < outline.blamed.size() ? ", "
                                                          : " and ") +
              outline.blamed[i].name + " (" + blame_text(outline.blamed[i], units) + ")";
    text += ": measure these again.";
  }
  if (or_not_square)
    text += " Or no measure is wrong and the corners are far from square: both diagonals tell.";
  return text +
         " Until then the room is drawn as a compromise, with no length changed by more than " +
         format_length(outline.misclosure_m, units, 3) + ".";
}

/// Three heights of 5 mm each are off by 9 mm together, and by 3.29 times that once in a thousand.
constexpr double kHeightsAgree = 0.03;

std::string heights_text(double misclosure, DisplayUnits units) {
  if (std::abs(misclosure) <= kHeightsAgree) return {};
  return "The heights do not agree: floor to ceiling, the tile and the room above it are " +
         format_length(std::abs(misclosure), units, 3) + (misclosure > 0 ? " more" : " less") +
         " than from the floor to what is above. Nothing tells which of the three is wrong: "
         "measure them again. Until then each is changed by a third.";
}

}  // namespace

double wall_length(const RoomFacts& room, const std::string& wall) {
  const std::size_t corner = wall == "left" ? 0 : wall == "front" ? 1 : wall == "right" ? 2 : 3;
  return norm(room.corners[(corner + 1) % 4] - room.corners[corner]);
}

Result<RoomOutline> outline_of(const Reader& in) {
  const double width = wall_guess(in, "wall_front", "wall_back", 5);
  const double depth = wall_guess(in, "wall_left", "wall_right", 6);
  const std::vector<Vec2> guess = {{0, 0}, {0, depth}, {width, depth}, {width, 0}};
  auto measures = measures_of(in.answers);
  // A wall that was not measured is as long as is assumed now, unless diagonals say otherwise.
  constexpr double kAnything = 1;
  for (const auto& [key, opposite, from, to, metres] :
       {std::tuple("wall_left", "wall_right", 0, 1, depth),
        std::tuple("wall_front", "wall_back", 1, 2, width)})
    if (!in.answers.length(key) && !in.answers.length(opposite))
      measures.push_back({key, from, to, -1, metres, kAnything, true});
  const auto judged = balance(guess, measures);
  std::erase_if(measures, [](const TapeMeasure& m) { return m.assumed && m.at >= 0; });
  const auto measured = balance(guess, measures);
  if (!measured) {
    if (!judged) return judged.error();
    return RoomOutline{*judged, !judged->blamed.empty()};
  }
  // Measures that check each other and agree shape the room, however far from square that is. Where
  // they do not agree, or nothing checks them, that corners are about square tells which is wrong.
  const bool checked = measures.size() > 2 * guess.size() - 3;
  if (checked && measured->blamed.empty()) return RoomOutline{*measured, false};
  if (!judged || judged->blamed.empty()) return RoomOutline{*measured, false};
  return RoomOutline{*judged, measured->blamed.empty()};
}

/// Three measures and one condition between them: each takes a third of what does not close, since
/// a tape is off by as much in each. Where two are known, they give the third.
BalancedHeights heights_of(const Reader& in, bool suspended) {
  const auto height = in.answers.length("height"), above = in.answers.length("void_depth"),
             whole = in.answers.length("height_above");
  BalancedHeights all;
  if (suspended && whole && above && !height) {
    all.ceiling = *whole - *above - kTileThickness;
    all.above = *above;
    return all;
  }
  all.ceiling = in.length("height", 2.3, 2.7);
  if (!suspended) return all;
  if (whole && !above) {
    all.above = *whole - all.ceiling - kTileThickness;
    return all;
  }
  all.above = in.length("void_depth", 0.15, 0.6);
  if (!whole || !height) return all;
  all.misclosure = all.ceiling + kTileThickness + all.above - *whole;
  all.ceiling -= all.misclosure / 3;
  all.above -= all.misclosure / 3;
  return all;
}

std::string misclosure_text(const Composed& composed, DisplayUnits units) {
  const std::string outline = outline_text(composed.outline, composed.or_not_square, units),
                    heights = heights_text(composed.height_misclosure_m, units);
  return outline + (outline.empty() || heights.empty() ? "" : " ") + heights;
}

}  // namespace roomloom
