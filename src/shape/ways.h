#pragma once

#include <map>
#include <vector>

#include "shape/lanes.h"
#include "types/cable_shapes.h"

namespace roomloom {

/// What every step of the stage works with.
struct Inputs {
  const Plan& plan;
  const Tracks& tracks;
  const Ends& ends;
  const Room& room;
  const Job& job;
  LyingPlaces lying;
  std::map<int, RacewayOnEdge> raceways;
  std::map<int, int> users;  ///< of an edge: how many runs take it

  const TrackEdge& edge(int index) const { return tracks.edges[static_cast<std::size_t>(index)]; }
  const CableType& cable(int run) const {
    const int index = ends.runs[static_cast<std::size_t>(run)].cable;
    return job.catalogue.cables[static_cast<std::size_t>(index)];
  }
  /// Where an end's cable has its tip.
  const Vec3& tip(int end) const { return ends.ends[static_cast<std::size_t>(end)].place.position; }
};

/// How many runs take each edge.
std::map<int, int> count_users(const Plan& plan);

/// One way over the tracks from tip to tip, with stubs too short to bend in taken out.
LanePath way_of(const Inputs& in, int run, const std::vector<Step>& steps, const Vec3& from,
                const Vec3& to);

/// The planned ways of all runs, with one segment for each stretch on which nothing changes and
/// with what limits their lanes.
std::vector<LanePath> planned_ways(const Inputs& in);

}  // namespace roomloom
