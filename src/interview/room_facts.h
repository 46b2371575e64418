#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "interview/interview.h"

// What the files of composing share; nothing else includes it.
namespace roomloom {

/// Answers, and where in its range each unknown one is taken to lie.
struct Reader {
  const Answers& answers;
  const Assumed& assumed;

  double fraction(const std::string& key) const {
    const auto found = assumed.find(key);
    return found == assumed.end() ? 0.5 : found->second;
  }
  /// The answer, or what is assumed of it between `low` and `high`.
  double length(const std::string& key, double low, double high) const {
    return answers.length(key).value_or(low + fraction(key) * (high - low));
  }
};

constexpr double kTileThickness = 0.015;

/// Everything about the room that both files need.
struct RoomFacts {
  std::vector<Vec2> corners;  ///< of the room file: none below 0
  double height = 0, depth = 0, above = 0;
  bool suspended = false, hollow = false;
};

/// Millimetres are all a tape gives.
inline double rounded(double metres) { return std::round(metres * 1000) / 1000; }

/// How long a wall of the room is: "front", "right", "back" or "left".
double wall_length(const RoomFacts& room, const std::string& wall);

/// The outline that walls, diagonals and angles agree on best. @error `measures.*`
Result<BalancedOutline> outline_of(const Reader& in);

/// Floor to tiles, tiles to what is above, and a third measure from the floor to there.
struct BalancedHeights {
  double ceiling = 0, above = 0;
  double misclosure = 0;  ///< by how much the first two are more than the third
};

BalancedHeights heights_of(const Reader& in, bool suspended);

/// job.json.
std::string job_text(const Reader& in, const RoomFacts& room, const HouseHabits& habits);

}  // namespace roomloom
