#pragma once

#include <map>
#include <string>
#include <vector>

#include "drawings/trunks.h"

namespace roomloom {

/// One cut square through what lies together.
struct CrossSection {
  std::string name, place;  ///< "T2", "Wall front"
  std::vector<int> runs;
  /// Runs that lie by themselves in as large a raceway, each with as thick a cable; drawn once.
  std::vector<int> alike;
  Vec3 from, to, away;  ///< the straight that is cut in its middle; `away` is up on paper
  int raceway = -1;     ///< into the catalogue; -1 = none
  int conduit = -1;     ///< into Room::conduits; -1 = none
  int trunk = -1;       ///< into Trunks::sets: whose section this is, or part of; -1 = of none
  bool part = false;    ///< of the trunk's runs the rest lies beside it in other raceway
};

/// Each size of raceway with each set of runs in it, each conduit with all that lies in it, each
/// trunk through a void, and whatever trunk has no section yet; each at its longest straight, in
/// the order of trunks, single runs last.
std::vector<CrossSection> sections_of(const DrawingRequest& request, const Trunks& trunks);

/// Where each run lies in the section, metres from the line: across and along `away`. Runs without
/// a straight there are left out.
std::map<int, Vec2> lanes_of(const DrawingRequest& request, const CrossSection& section);

/// "13 cables, 489 mm² together" and, where there is a limit, how far they fill it.
std::vector<std::string> fill_lines(const DrawingRequest& request, const CrossSection& section);

}  // namespace roomloom
