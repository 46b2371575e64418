#pragma once

#include <vector>

#include "route/costs.h"

/// Where tracks meet, and how ways go on there: for the copies of layers.h.
namespace roomloom::route {

/// A straight line of raceway on one face.
struct Line {
  Vec3 direction, normal;
  bool straight = true;  ///< its stretches are exactly of one direction and one face's
};

/// The least that a run asks of `line` where it turns from there to `next`, whichever way it goes
/// along either.
ClearNeed least_need_between(const RunNeeds& run, const Line& line, const Line& next);

/// A way from one track to another at one point.
struct Hop {
  int from = -1, to = -1;  ///< nodes
  std::vector<Step> steps;
  std::vector<int> charges;  ///< ascending
  double cost = 0;           ///< each run's
  double turn_rad = 0;
  bool one_way = true;  ///< else it is told once for both ways
};

/// Nodes are those of the tracks; and where raceway and something else leave a point in line, one
/// more for the latter.
class Junctions {
 public:
  explicit Junctions(const Setting& setting);

  int node_count() const { return static_cast<int>(copied_.size()); }
  /// The node of the tracks that a node is, or was split from.
  int room_node(int node) const;
  /// Only raceway leaves it, straight: what is asked of it on one side is asked on the other. Nodes
  /// at which ways of runs start, end or are to pass are not.
  bool is_copied(int node) const { return copied_[static_cast<std::size_t>(node)] != 0; }
  /// Ways arrive at one copy of it and depart from another: nobody hops twice at one point.
  bool is_parted(int node) const { return parted_[static_cast<std::size_t>(node)] != 0; }
  /// The node at which a stretch ends that ends at a node of the tracks.
  int end_of_stretch(int edge, int node) const;
  const Line& line_of(int node) const;
  /// All that are worth taking, from each node of a point to each other, both ways.
  const std::vector<Hop>& hops() const { return hops_; }

 private:
  struct Turn {
    int to = -1;
    int edge = -1;  ///< of the tracks; -1: straight on to what a node was split for
    bool forward = true;
  };
  void find_lines();
  void split_nodes();
  void find_points();
  void find_kinds_of_node();
  void find_hops(int from);
  Hop led_on(const Hop& hop, const Turn& turn) const;

  const Setting& setting_;
  std::vector<int> line_at_;  ///< by node of the tracks, -1: none
  std::vector<Line> lines_;
  std::vector<int> split_;  ///< by node of the tracks: the node made for what is not raceway, or -1
  std::vector<int> room_node_;  ///< of those made
  std::vector<std::vector<Turn>> turns_;
  std::vector<std::vector<int>> points_;  ///< nodes that lie at one point
  std::vector<char> copied_, parted_, plain_;
  std::vector<Hop> hops_;
};

}  // namespace roomloom::route
