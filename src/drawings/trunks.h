#pragma once

#include <map>
#include <string>
#include <vector>

#include "drawings/drawings.h"

namespace roomloom {

/// Metres that the same runs go together in one place, as one line.
struct Stretch {
  std::vector<Vec3> line;  ///< along the tracks
  PlaceId home;
  std::vector<int> runs;  ///< ascending
  int trunk = -1;         ///< into Trunks::sets; -1 = a run by itself
};

/// What is drawn as one line with a name: "T1" and the runs in it.
struct Trunks {
  std::vector<Stretch> stretches;
  std::vector<std::vector<int>> sets;  ///< distinct sets of two runs or more, the largest first
  /// One a set: "T1", or with other letters before the number where runs, ends or holes have such
  /// names.
  std::vector<std::string> names;
  const std::string& name(int trunk) const { return names[static_cast<std::size_t>(trunk)]; }
};

/// Cuts all routed runs into stretches. Behind gear, where each run leaves for a port of its own,
/// sets get no name, nor do those that go together nowhere for as long as a finger is wide.
Trunks trunks_of(const DrawingRequest& request);

/// Where the cables of a trunk lie in one plane across from-to, as (across, away) from the line:
/// the plane that most of them cross in a straight. Those that do not are left out.
std::map<int, Vec2> lanes_beside(const DrawingRequest& r, const std::vector<int>& runs,
                                 const Vec3& from, const Vec3& to, const Vec3& away);

double line_length(const Stretch& stretch);

}  // namespace roomloom
