#pragma once

#include <optional>
#include <string>
#include <vector>

namespace roomloom {

/// A run that lies in the room. Lengths in metres.
struct BuiltRun {
  std::string id;
  double measured_m = 0;         ///< between its cut ends, by tape or as difference of jacket marks
  double predicted_m = 0;        ///< cut length in the plan that it was pulled by; 0 = not known
  double drawn_m = 0;            ///< drawn length there
  std::vector<std::string> way;  ///< crossings it passes, so that a new plan leaves it there
  std::string plan, spool;       ///< which plan's spool it was cut from; empty = not told
  std::string cable, colour;     ///< of that spool
  double spool_m = 0;            ///< length of that spool before any cut
  bool from_shelf = false;       ///< it lay on the shelf
  bool in_house = false;         ///< the house file's stock holds what is left of it
};

/// A shorter rest of a spool is waste. Common practice, no source.
inline constexpr double kShortestLeft_m = 0.1;

/// A piece of raceway that is fixed, by where it is.
struct BuiltRaceway {
  std::string raceway, on, corner;
  double start_along_m = 0, start_up_m = 0, end_along_m = 0, end_up_m = 0;
};

/// What a task took.
struct BuiltMinutes {
  std::string task;
  double count = 0, minutes = 0;
};

/// What was recorded while building.
struct AsBuilt {
  std::vector<BuiltRun> runs;
  std::vector<std::string> holes;       ///< names of crossings that are cut
  std::vector<std::string> tiles;       ///< names of tiles that are back in place
  std::vector<std::string> draw_cords;  ///< names of crossings and conduits that hold one
  std::vector<BuiltRaceway> raceway;
  std::vector<BuiltMinutes> minutes;

  bool empty() const {
    return runs.empty() && holes.empty() && tiles.empty() && draw_cords.empty() &&
           raceway.empty() && minutes.empty();
  }
};

}  // namespace roomloom
