#pragma once

#include <array>
#include <vector>

#include "shape/lane_path.h"
#include "types/ends.h"

namespace roomloom {

/// An edge of a path.
struct Member {
  std::size_t path = 0, edge = 0;
};

/// A straight stretch of track with all that lie along it from end to end.
struct Section {
  Vec3 from, to;
  std::vector<Member> members;  ///< by the rank of their runs
};

/// Sections that follow each other in one line and that some run takes one after the other: a run
/// keeps its lane along a chain wherever it can.
struct Chain {
  std::vector<int> sections;
  Vec3 along;                ///< unit; its sense means nothing
  std::array<Vec3, 2> axes;  ///< unit, square to it and to each other; their senses mean nothing
  std::vector<std::size_t> paths;  ///< that use it, by rank
};

/// The sections of all paths, and where each edge of a path lies.
struct Chains {
  std::vector<Section> sections;
  std::vector<Chain> chains;  ///< in the order in which they are to be filled: the fullest first
  std::vector<std::vector<int>> section_of;  ///< by path and edge; -1 where the cable lies loose
  std::vector<int> chain_of;                 ///< by section

  int section_at(std::size_t path, std::size_t edge) const { return section_of[path][edge]; }
  int chain_at(std::size_t path, std::size_t edge) const {
    const int section = section_of[path][edge];
    return section < 0 ? -1 : chain_of[static_cast<std::size_t>(section)];
  }
};

/// `anchor` is a point that moves with the room and lies on none of its planes of symmetry; what
/// else is equal is ordered by the distance to it, so that neither the order of the runs nor the
/// way the room is turned or mirrored matters.
Chains find_chains(const std::vector<LanePath>& paths, const Tracks& tracks, const Room& room,
                   const Vec3& anchor);

}  // namespace roomloom
