#include "shape/untangle.h"

#include <gtest/gtest.h>

#include "shape/lane_line.h"

namespace roomloom {
namespace {

/// Two cables along one track; at its end the first turns aside and the second goes straight on.
struct Fork {
  std::vector<LanePath> paths;
  Chains chains;
  Tracks tracks;

  Fork() {
    for (const Vec3& end : {Vec3{3, 1, 0}, Vec3{6, 0, 0}}) {
      LanePath way;
      way.diameter_m = 0.007;
      way.bend_radius_m = 0.03;
      way.path.points = {{0, 0, 0}, {3, 0, 0}, end};
      const int own = static_cast<int>(paths.size()) + 1;
      way.path.edges = {{0, true}, {own, true}};
      way.tracks = {0, own};
      way.shared = {true, false};
      way.rigid = way.loose = {false, false};
      way.room_m2 = {Box3::kInf, Box3::kInf};
      way.limits.resize(2);
      way.lies_in = {-1, -1};
      paths.push_back(way);
    }
    TrackEdge edge;
    edge.medium = Medium::raceway;
    tracks.edges.assign(3, edge);
    chains.section_of = {{0, 1}, {0, 2}};
    chains.chain_of = {0, 1, 0};
  }

  Meeting worst(const LaneOffsets& offsets) const {
    std::vector<DrawnWay> ways;
    for (std::size_t i = 0; i < 2; ++i)
      ways.push_back(drawn_way(paths[i], lane_line(paths[i], offsets[i]), tracks));
    return find_conflict(ways[0], ways[1]).worst;
  }
};

/// The first lies 20 mm below the second and has to go on 30 mm above it.
const LaneOffsets kCrossed = {{{0, 0, -0.02}, {0, 0, 0.03}}, {{0, 0, 0}, {0, 0, 0}}};

TEST(Untangle, ACableThatStepsAcrossAnotherBeforeItLeavesChangesPlacesWithIt) {
  const Fork fork;
  LaneOffsets offsets = kCrossed;
  ASSERT_EQ(fork.worst(offsets), Meeting::straight);
  EXPECT_TRUE(untangle(fork.paths, fork.chains, fork.tracks, {{0, 1}}, offsets));
  EXPECT_NE(fork.worst(offsets), Meeting::straight);
  EXPECT_EQ(offsets[0][0], (Vec3{0, 0, 0}));
  EXPECT_EQ(offsets[1][0], (Vec3{0, 0, -0.02}));
  EXPECT_EQ(offsets[0][1], kCrossed[0][1]) << "nobody shares it";
}

TEST(Untangle, NoCableTakesThePlaceOfAThinnerOneOrOfOneThatLies) {
  for (const bool lies : {false, true}) {
    Fork fork;
    if (lies)
      fork.paths[1].lies_in = {0, 0};
    else
      fork.paths[1].diameter_m = 0.006;
    LaneOffsets offsets = kCrossed;
    EXPECT_FALSE(untangle(fork.paths, fork.chains, fork.tracks, {{0, 1}}, offsets));
    EXPECT_EQ(offsets, kCrossed);
  }
}

}  // namespace
}  // namespace roomloom
