#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "planned_case.h"

namespace roomloom::testing {
namespace {

std::set<std::string> holes_of(const Case& c, const Planned& p, std::size_t run) {
  std::set<std::string> names;
  for (const Step& step : p.plan.runs[run].steps) {
    const int crossing = p.tracks.edges[static_cast<std::size_t>(step.edge)].crossing;
    if (crossing >= 0) names.insert(c.room.crossings[static_cast<std::size_t>(crossing)].name);
  }
  return names;
}

/// All holes that runs of this room can be sent through.
std::set<std::string> all_holes(const Case& c, const Planned& p) {
  std::set<std::string> names;
  for (const TrackEdge& edge : p.tracks.edges)
    if (edge.crossing >= 0)
      names.insert(c.room.crossings[static_cast<std::size_t>(edge.crossing)].name);
  return names;
}

void ask_all(Case& c, const std::vector<std::string>& via) {
  for (RunSpec& run : c.job.runs) run.via = via;
}

TEST(Via, ThatThePlanKeepsWithoutBeingToldCostsNothingAndProvesAsMuch) {
  Case c = stand_case(6);
  const Planned free = plan_case(c, RouteEffort::normal);
  for (std::size_t run = 0; run < c.job.runs.size(); ++run) {
    const Step& step = free.plan.runs[run].steps[free.plan.runs[run].steps.size() / 2];
    const PlaceId home = free.tracks.edges[static_cast<std::size_t>(step.edge)].home;
    ASSERT_EQ(home.kind, PlaceKind::sheet);
    c.job.runs[run].via = {c.room.sheets[static_cast<std::size_t>(home.index)].name};
  }
  const Planned told = plan_case(c, RouteEffort::normal);
  EXPECT_NEAR(told.plan.objective, free.plan.objective, 1e-9);
  EXPECT_NEAR(told.plan.bound, free.plan.bound, 1e-9);
  EXPECT_EQ(told.plan.relaxations, free.plan.relaxations);
}

// A pattern that any of several holes serves leaves the choice to the plan: it may not come out
// dearer than with one of them named. Each run by itself would take the hole nearest to it.
TEST(Via, OfAnyHoleIsNoDearerThanOfTheBestOne) {
  Case c = stand_case(6);
  ask_all(c, {"tile *"});
  const Planned any = plan_case(c, RouteEffort::normal);
  for (std::size_t run = 0; run < c.job.runs.size(); ++run)
    EXPECT_FALSE(holes_of(c, any, run).empty()) << run;
  double least = 1e300;
  int tried = 0;
  for (const std::string& hole : all_holes(c, any)) {
    if (hole.rfind("tile ", 0) != 0 || ++tried > 4) continue;
    ask_all(c, {hole});
    const Planned one = plan_case(c, RouteEffort::normal);
    if (one.plan.notes.empty()) least = std::min(least, one.plan.objective);
  }
  ASSERT_GE(tried, 4);
  EXPECT_LE(any.plan.objective, least * 1.005);
}

TEST(Via, IsNoPartOfTheBound) {
  Case c = stand_case(4);
  const Planned free = plan_case(c, RouteEffort::normal);
  int sent = 0;
  for (const std::string& hole : all_holes(c, free)) {
    if (holes_of(c, free, 0).contains(hole) || ++sent > 6) continue;
    c.job.runs[0].via = {hole};
    const Planned told = plan_case(c, RouteEffort::normal);
    if (!told.plan.notes.empty()) continue;
    EXPECT_TRUE(holes_of(c, told, 0).contains(hole));
    EXPECT_NEAR(told.plan.bound, free.plan.bound, 1e-9) << hole;
    EXPECT_FALSE(told.plan.proven);
    ASSERT_FALSE(told.plan.relaxations.empty());
    EXPECT_NE(told.plan.relaxations.back().find("\"via\""), std::string::npos);
  }
  EXPECT_GT(sent, 0);
}

TEST(Via, ThatIsFullOrTooNarrowIsRefusedWithThatAsItsReason) {
  for (const bool full : {true, false}) {
    Case c = stand_case(4);
    Conduit conduit;
    conduit.name = "Old pipe";
    conduit.inside_diameter_m = full ? 0.025 : 0.003;
    conduit.occupied_area_m2 = full ? 0.5 * kPi * 0.0125 * 0.0125 : 0;
    c.room.conduits.push_back(conduit);
    c.job.runs[0].via = {"Old pipe"};
    const Planned told = plan_case(c, RouteEffort::quick);
    ASSERT_EQ(told.plan.notes.size(), 1U);
    const std::string& note = told.plan.notes[0];
    EXPECT_NE(note.find(full ? "fills 50 % of it" : "0.003 m wide inside"), std::string::npos)
        << note;
  }
}

}  // namespace
}  // namespace roomloom::testing
