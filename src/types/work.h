#pragma once

#include <array>
#include <string>
#include <vector>

namespace roomloom {

/// Minutes that a task takes, and the range in which they lie.
struct WorkTask {
  std::string name;
  double minutes = 0, least = 0, most = 0;
};

struct StandardTask {
  const char* name;
  double minutes, least, most;
  const char* per;  ///< what is counted
};

/// Minutes of work by task. INVENTED: nobody was timed. A job, or records of what was built,
/// overrule them.
inline constexpr std::array<StandardTask, 21> kStandardTasks = {{
    {"move the ladder", 4, 2, 8, "move"},
    {"lift a tile", 2, 1, 4, "tile"},
    {"put a tile back", 2, 1, 5, "tile"},
    {"cut a hole", 12, 6, 25, "hole"},
    {"fix a support", 3, 1.5, 6, "support"},
    {"pass a cable on", 2, 1, 4, "cable and place"},
    {"pull a metre of cable", 0.3, 0.15, 0.8, "metre"},
    {"tie a bundle", 1, 0.5, 2, "tie"},
    {"lead a lying cable on", 10, 5, 25, "cable"},
    {"coil and hang a cable", 3, 1.5, 6, "cable"},
    {"cut raceway", 2, 1, 4, "piece"},
    {"fix a metre of raceway", 6, 3, 12, "metre"},
    {"open raceway", 0.5, 0.25, 1, "piece"},
    {"close a metre of raceway", 1, 0.5, 2, "metre"},
    {"fit a raceway fitting", 3, 1.5, 6, "fitting"},
    {"lay a metre of ramp", 8, 4, 15, "metre"},
    {"mount a box", 10, 5, 20, "box"},
    {"fit a connector", 6, 3, 12, "connector"},
    {"label an end", 1, 0.5, 2, "end"},
    {"test a run", 3, 1.5, 8, "run"},
    {"lay a cord", 3, 1.5, 6, "cord"},
}};

/// How the corners of raceway are made.
enum class RacewayCorners {
  covered,  ///< mitred, with a fitting over the cut
  mitre,    ///< mitred, nothing over it
  butt      ///< one piece runs through, the other stops at it
};

/// Lengths of raceway at hand.
struct RacewayStock {
  std::string raceway;
  double length_m = 0;
  int count = 1;
};

/// What an item costs, in the job's currency.
struct ItemPrice {
  std::string item;
  double price = 0;
};

/// How the work is done and paid for. Defaults without a source are common practice.
struct WorkSpec {
  double kerf_m = 0.003;  ///< lost in a cut through raceway
  RacewayCorners corners = RacewayCorners::covered;
  double raceway_fixing_spacing_m = 0.4;
  double tie_spacing_m = 1.2;         ///< not above 4 ft: installation practice for bundles
  double reach_m = 0.75;              ///< sideways from a ladder
  double reach_up_m = 2.0;            ///< of a person on the floor
  double day_minutes = 360;           ///< of work in a day
  double money_per_hour = 45;         ///< asked of the customer; INVENTED. 0: work is not priced
  bool money_per_hour_given = false;  ///< by the job or the house
  double markup = 0;                  ///< share put on materials in a quote
  std::vector<WorkTask> minutes;      ///< overrule kStandardTasks, by name
  std::vector<ItemPrice> prices;      ///< overrule the built-in, invented ones
  std::vector<RacewayStock> raceway;  ///< on the shelf
};

}  // namespace roomloom
