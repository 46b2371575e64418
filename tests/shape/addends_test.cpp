#include "shape/addends.h"

#include <gtest/gtest.h>

#include "shape/hand_room.h"
#include "shape/lanes.h"
#include "shape/sag.h"
#include "shape/shape.h"

namespace roomloom {
namespace {

double addend(const CableShape& shape, const std::string& name) {
  for (const Addend& addend : shape.addends)
    if (addend.name == name) return addend.metres;
  ADD_FAILURE() << "no addend " << name;
  return 0;
}

CableShapes shaped(const testing::HandRoom& hand) {
  return shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

double sum_of(const CableShape& shape) {
  double sum = shape.drawn_m;
  for (const Addend& addend : shape.addends) sum += addend.metres;
  return sum;
}

testing::HandRoom straight_run() {
  testing::HandRoom hand;
  hand.run("S1", {{0, 0, 3}, {6, 0, 3}}, 0, Medium::support);
  return hand;
}

}  // namespace

TEST(Addends, StandInTheirOrderAndSumToTheCut) {
  testing::HandRoom hand = straight_run();
  hand.job.prefer.contingency = 0.02;
  hand.job.prefer.cutting_step_m = 0.05;
  hand.ends.ends[0].slack_m = 0.5;
  const CableShape shape = shaped(hand).cables[0];
  ASSERT_EQ(shape.addends.size(), kAddendNames.size());
  for (std::size_t i = 0; i < kAddendNames.size(); ++i)
    EXPECT_EQ(shape.addends[i].name, kAddendNames[i]);
  EXPECT_NEAR(sum_of(shape), shape.cut_m, 1e-12);
  EXPECT_NEAR(addend(shape, "contingency"), 0.02 * shape.drawn_m, 1e-12);
  const double steps = shape.cut_m / 0.05;
  EXPECT_NEAR(steps, std::round(steps), 1e-9);
  EXPECT_LT(addend(shape, "rounding"), 0.05);
}

TEST(Addends, ALengthThatIsAWholeNumberOfStepsIsNotRoundedUp) {
  testing::HandRoom hand;
  hand.run("S1", {{0, 0, 0}, {3, 0, 0}});
  hand.job.prefer.cutting_step_m = 0.1;
  const CableShape shape = shaped(hand).cables[0];
  EXPECT_NEAR(addend(shape, "rounding"), 0, 1e-9);
  EXPECT_NEAR(shape.cut_m, 3, 1e-9);
}

TEST(Addends, SagIsTheCatenarysExtraOnEveryLevelMetreOfSupports) {
  testing::HandRoom hand = straight_run();
  hand.job.prefer.sag = 0.05 / 1.2;  // 50 mm on 1.2 m: 5.54 mm a span, five spans
  EXPECT_NEAR(addend(shaped(hand).cables[0], "sag"), 5 * 0.00554, 5e-5);
  hand.job.prefer.support_spacing_m = 0.6;  // the same share of a shorter span: the same extra
  EXPECT_NEAR(addend(shaped(hand).cables[0], "sag"), 5 * 0.00554, 5e-5);
}

TEST(Addends, SlackCoilTerminationAndPullOutAreEachNamed) {
  testing::HandRoom hand = straight_run();
  Preferences& prefer = hand.job.prefer;
  prefer.sag = 0;
  prefer.termination_m = 0.05;
  prefer.coil_m = 1;
  End& from = hand.ends.ends[0];
  End& to = hand.ends.ends[1];
  from.slack_m = 0.4;
  from.pull_out_m = 0.6;
  to.slack_m = 0.3;
  to.state = EndState::coiled;
  const CableShape shape = shaped(hand).cables[0];
  EXPECT_NEAR(addend(shape, "loop at from"), 0.4, 1e-12);
  EXPECT_NEAR(addend(shape, "loop at to"), 1.3, 1e-12);
  EXPECT_NEAR(addend(shape, "termination"), 0.05, 1e-12);  // the coiled end is not fitted yet
  EXPECT_NEAR(addend(shape, "pull-out"), 0.6, 1e-12);
  EXPECT_NEAR(shape.cut_m, 6 + 0.4 + 1.3 + 0.05 + 0.6, 1e-12);
}

TEST(Addends, MoreSlackNeverShortensTheCut) {
  double before = 0;
  for (int i = 0; i < 40; ++i) {
    testing::HandRoom hand = straight_run();
    hand.job.prefer.cutting_step_m = 0.05;
    hand.ends.ends[0].slack_m = 0.013 * i;
    const double cut = shaped(hand).cables[0].cut_m;
    EXPECT_GE(cut, before - 1e-12);
    before = cut;
  }
}

TEST(Addends, AnEndThatMayMoveReachesTheFurthestOfItsPlaces) {
  testing::HandRoom hand = straight_run();
  hand.job.prefer.sag = 0;
  End& to = hand.ends.ends[1];
  for (const Vec3& place : {Vec3{5, 0, 3}, Vec3{6, 0.5, 3}, Vec3{7.5, 0, 3}}) {
    hand.edge({6, 0, 3}, place, Medium::support);
    to.may_move_to.push_back({place, {}, {}});
    const int alternative = static_cast<int>(to.may_move_to.size()) - 1;
    hand.tracks.terminals.push_back({1, alternative, hand.node(place), ""});
    PlannedRun& run = hand.plan.runs[0];
    run.alternative_terminals.push_back(static_cast<int>(hand.tracks.terminals.size()) - 1);
    run.alternative_steps.push_back(hand.steps({{0, 0, 3}, {6, 0, 3}, place}));
  }
  // The place nearer to the start does not make the run shorter than it is now.
  hand.plan.runs[0].alternative_steps[0] = {};
  const CableShape shape = shaped(hand).cables[0];
  EXPECT_NEAR(addend(shape, "movable end"), 1.5, 1e-9);
  EXPECT_NEAR(shape.drawn_m, 6, 1e-12);
}

// Round a ring, the end is reached from the left in 4 m; half a metre further left that is 3.5 m,
// half a metre further right another way is shorter, with 4.2 m. By hand: between the present place
// and the right one the two ways are equally long 0.35 m off, 4.35 m from the start.
TEST(Addends, AnEndThatMayMoveAnywhereBetweenItsPlacesReachesTheRidgeBetweenTwoWays) {
  for (const bool within : {false, true}) {
    testing::HandRoom hand;
    hand.job.prefer.sag = 0;
    hand.job.catalogue.cables[0].bend_radius_m = 0;
    hand.run("S1", {{-1, -1, 3}, {-2, -1, 3}, {-2, 0, 3}, {-0.5, 0, 3}, {0, 0, 3}}, 0,
             Medium::support);
    End& to = hand.ends.ends[1];
    to.moves_within = within;
    const auto may_move = [&](const Vec3& place, const std::vector<Vec3>& way) {
      for (std::size_t i = 1; i < way.size(); ++i)
        if (hand.steps({way[i - 1], way[i]}).empty())
          hand.edge(way[i - 1], way[i], Medium::support);
      to.may_move_to.push_back({place, {}, {}});
      const int index = static_cast<int>(to.may_move_to.size()) - 1;
      hand.tracks.terminals.push_back({1, index, hand.node(place), ""});
      PlannedRun& run = hand.plan.runs[0];
      run.alternative_terminals.push_back(static_cast<int>(hand.tracks.terminals.size()) - 1);
      run.alternative_steps.push_back(hand.steps(way));
    };
    may_move({-0.5, 0, 3}, {{-1, -1, 3}, {-2, -1, 3}, {-2, 0, 3}, {-0.5, 0, 3}});
    may_move({0.5, 0, 3}, {{-1, -1, 3}, {1.35, -1, 3}, {1.35, 0, 3}, {0.5, 0, 3}});
    const CableShape shape = shaped(hand).cables[0];
    EXPECT_NEAR(shape.drawn_m, 4, 1e-9);
    EXPECT_NEAR(addend(shape, "movable end"), within ? 0.35 : 0.2, 1e-9);
  }
}

TEST(Addends, AnInstalledRunKeepsItsMeasuredLength) {
  testing::HandRoom hand = straight_run();
  hand.job.runs[0].installed = true;
  hand.job.runs[0].measured_m = 5.7;
  const CableShape shape = shaped(hand).cables[0];
  EXPECT_NEAR(shape.cut_m, 5.7, 1e-12);
  EXPECT_NEAR(addend(shape, "measured"), -0.3, 1e-12);
  EXPECT_EQ(addend(shape, "sag"), 0);
}

TEST(Addends, AnUnheldUprightStretchMaySlantAcrossItsBay) {
  testing::HandRoom hand;
  const PlaceId bay = hand.plenum(0.355, 0.089, 0, 2.5);
  hand.run("S1", {{0.1, 0.04, 0.3}, {0.1, 0.04, 2.3}}, 0, Medium::bay, bay);
  EXPECT_NEAR(addend(shaped(hand).cables[0], "drop"), std::hypot(2, 0.089) - 2, 1e-12);
}

TEST(StepOver, OfOneDiameterInAFittingOfFourIsAboutAThirdOfIt) {
  // Two curves of two arcs each turning 2 atan(1/4): 8 d (t / sin t - 1) = 0.3293 d, by hand.
  EXPECT_NEAR(step_over_extra(0.006, 0.024), 0.3293 * 0.006, 1e-6);
  EXPECT_EQ(step_over_extra(0, 0.024), 0);
}

}  // namespace roomloom
