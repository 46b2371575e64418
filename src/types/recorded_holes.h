#pragma once

#include <string>
#include <vector>

#include "types/as_built.h"

namespace roomloom {

/// A hole that the record tells of, by an entry of its own or by runs that lie in it. Metres, room
/// frame.
struct RecordedHole {
  std::string crossing;
  std::string name;        ///< in the plan that it was cut by; may be empty
  Vec3 at;                 ///< its middle on the face that it is entered from; else as below
  Vec3 passed_at;          ///< where ways pass it, within its depth; else its middle
  double diameter_m = 0;   ///< 0 = not told
  bool is_placed = false;  ///< `at` is its own middle
  bool is_located = true;  ///< false: only its crossing is told
  int entry = -1;          ///< into AsBuilt::holes; -1 = only runs tell of it
};

/// Each hole of the record once: entries in their order, then those that only runs tell of. Runs
/// that pass one crossing at circles that overlap pass one hole, and so does a run that passes
/// where an entry says, or whose circle overlaps the entry's.
std::vector<RecordedHole> recorded_holes(const AsBuilt& built);

/// A hole of a plan, as far as it must be known to be found in the record.
struct HoleToFind {
  std::string crossing;
  Vec3 centre;            ///< of the circle to cut
  Vec3 passed_at;         ///< where the tracks pass it, on the same face as the centre
  Vec3 normal;            ///< along the passage
  double diameter_m = 0;  ///< to cut
};

/// For each planned hole the recorded one that it is, -1 if nobody cut it. Each recorded hole is
/// one planned hole at most, the nearest pair first; it must be passed at the same place, or the
/// two circles must overlap.
std::vector<int> match_holes(const std::vector<HoleToFind>& planned,
                             const std::vector<RecordedHole>& recorded);

/// What is to be done to a recorded hole so that it is the planned one.
enum class HoleWork {
  none,   ///< it is wide enough
  widen,  ///< the new circle holds it
  other   ///< no saw makes the one from the other: the planned hole is another
};
HoleWork work_on(const RecordedHole& recorded, const HoleToFind& planned);

}  // namespace roomloom
