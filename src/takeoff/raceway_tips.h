#pragma once

#include <utility>
#include <vector>

#include "takeoff/raceway_joints.h"
#include "types/catalogue.h"

namespace roomloom {

/// An end of a straight.
struct Tip {
  int straight = -1;
  bool at_start = false;
};
using TipPair = std::pair<Tip, Tip>;

/// Tips of one joint that come to it from one side: several where raceways lie side by side.
struct Arm {
  int sheet = -1;
  Vec3 inward;
  std::vector<Tip> tips;
};

/// Which ends of straights meet, and how they lie to each other. Metres.
class RacewayTips {
 public:
  RacewayTips(const std::vector<Straight>& straights, const Catalogue& catalogue);

  const Straight& straight(const Tip& tip) const;
  Vec3 point(const Tip& tip) const;
  Vec3 inward(const Tip& tip) const;  ///< from the tip into the stretch
  const RacewayType& type(const Tip& tip) const;
  /// The box that it runs into, into Takeoff::boxes; -1: none.
  int box(const Tip& tip) const;
  const std::vector<RunStay>& stays(int straight) const;
  /// Those that lie in the stretch as far as this end, ascending.
  std::vector<int> runs_at(const Tip& tip) const;
  /// Half of what a stretch takes up across a joint.
  double half(const Tip& tip, bool one_sheet) const;
  static bool in_line(const Vec3& a, const Vec3& b);

  /// Whether a stretch runs along the edge in which its sheet meets the other's.
  bool along_edge(const Tip& tip, const Tip& other) const;

  /// Tips by joint: all that meet, and those side by side with any of them. Each tip is in one, but
  /// for those in boxes, which are in none.
  std::vector<std::vector<Tip>> groups() const;
  std::vector<Arm> arms_of(const std::vector<Tip>& group) const;

  /// Another stretch that the tip stops at the side of, on its own sheet or round a corner; -1.
  int passed_by(const Tip& tip) const;
  /// How far beyond a's tip its centreline comes nearest to b's.
  double to_crossing(const Tip& a, const Tip& b) const;

  /// Which goes on in which. None where both lie on one side, or beside each other: those are
  /// neighbours, not one line.
  std::vector<TipPair> pairs_in_line(const Arm& a, const Arm& b) const;
  /// Which turns into which: the outer meets the outer. Of more on one side than on the other those
  /// turn that the other comes to first.
  std::vector<TipPair> pairs_in_corner(const Arm& a, const Arm& b) const;

  /// On the arm that is one raceway alone, if there is one: the tracks turn there.
  Vec3 middle_of(const std::vector<Arm>& arms) const;
  /// The arms, by index, that go through a joint with these leads: the widest two in line, else the
  /// largest alone.
  std::vector<std::size_t> through_arms(const std::vector<Arm>& arms,
                                        const std::vector<Tip>& leads) const;

 private:
  double reach(const Tip& a, const Tip& b) const;
  bool side_by_side(const Tip& a, const Tip& b) const;
  double aside(const Tip& a, const Tip& b) const;

  const std::vector<Straight>& straights_;
  const Catalogue& catalogue_;
  std::vector<std::vector<RunStay>> stays_;
};

}  // namespace roomloom
