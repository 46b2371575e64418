#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "interview/interview.h"

// What the files of composing share; nothing else includes it.
namespace roomloom {

/// Answers, and where in its range each unknown one is taken to lie.
struct Reader {
  const Answers& answers;
  const Assumed& assumed;
  std::map<std::string, TakenRange>& taken;  ///< the ranges that were asked for, by key

  double fraction(const std::string& key) const {
    const auto found = assumed.find(key);
    return found == assumed.end() ? 0.5 : found->second;
  }
  /// The answer, or what is assumed of it between `low` and `high`.
  double length(const std::string& key, double low, double high) const {
    if (const auto known = answers.length(key)) return *known;
    taken[key] = {low, high};
    return low + fraction(key) * (high - low);
  }
  /// Whether it is so; where that is not known, whether it is assumed now.
  bool is(const std::string& key, const std::string& value) const {
    if (!answers.unknown(key)) return answers.text(key) == value;
    return fraction(key) > 0.5;
  }
};

constexpr double kTileThickness = 0.015;
// What nobody is asked (common practice, no source); first_answer tells it.
constexpr double kRackWidth = 0.6, kRackDepth = 0.5, kRackHeight = 0.9, kRackOffWall = 0.1;
constexpr double kEarsUp = 1.1, kEyesUp = 1.2, kOutletUp = 0.3, kSubwooferFromCorner = 0.5;
/// Behind the upper half of a screen: at ear height its middle is the centre loudspeaker's place.
constexpr double kScreenUp = 1.4;

/// Everything about the room that both files need.
struct RoomFacts {
  std::vector<Vec2> corners;  ///< of the room file: none below 0
  double height = 0, depth = 0, above = 0;
  bool suspended = false, hollow = false;
};

/// Millimetres are all a tape gives.
inline double rounded(double metres) { return std::round(metres * 1000) / 1000; }

/// The listener's place over the floor; nothing where nobody listens.
std::optional<Vec2> where_one_sits(const Reader& in, const RoomFacts& room);

/// How long a wall of the room is: "front", "right", "back" or "left".
double wall_length(const RoomFacts& room, const std::string& wall);

struct RoomOutline {
  BalancedOutline balanced;
  bool or_not_square = false;  ///< as Composed says
};

/// The outline that walls, diagonals and angles agree on best. @error `measures.*`
Result<RoomOutline> outline_of(const Reader& in);

/// Floor to tiles, tiles to what is above, and a third measure from the floor to there.
struct BalancedHeights {
  double ceiling = 0, above = 0;
  double misclosure = 0;  ///< by how much the first two are more than the third
};

BalancedHeights heights_of(const Reader& in, bool suspended);

/// job.json.
std::string job_text(const Reader& in, const RoomFacts& room, const HouseHabits& habits);

}  // namespace roomloom
