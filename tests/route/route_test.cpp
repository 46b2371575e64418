#include "route/route.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cstdio>
#include <fstream>
#include <set>

#include "geometry/arc.h"
#include "route/costs.h"
#include "route/planned_case.h"

namespace roomloom {
namespace {

using namespace roomloom::testing;

/// The way's nodes join end to end, from the run's one terminal to the other.
void expect_joined(const Planned& p, const PlannedRun& run) {
  const roomloom::Run& told = p.c.ends.runs[static_cast<std::size_t>(run.run)];
  int here = terminal_of(p.tracks, told.from).node;
  for (const Step& step : run.steps) {
    const TrackEdge& edge = p.tracks.edges[static_cast<std::size_t>(step.edge)];
    ASSERT_EQ(step.forward ? edge.a : edge.b, here);
    here = step.forward ? edge.b : edge.a;
  }
  EXPECT_EQ(here, terminal_of(p.tracks, told.to).node);
}

TEST(Route, EveryWayJoinsItsTwoEnds) {
  const Planned p = plan_case(stand_case(8));
  for (const PlannedRun& run : p.plan.runs) {
    EXPECT_TRUE(run.routed) << run.blocked_by;
    expect_joined(p, run);
  }
}

TEST(Route, TermsSumToTheObjectiveExactly) {
  const Planned p = plan_case(stand_case(8));
  double sum = 0;
  for (const Term& term : p.plan.terms) sum += term.cost;
  EXPECT_EQ(sum, p.plan.objective);
  EXPECT_GT(p.plan.objective, 0);
}

// The objective afresh from the plan's own lists: cable and pulling by the metre, bends, charges
// once each, raceway by its size.
TEST(Route, TheObjectiveIsWhatThePlansListsCost) {
  const Planned p = plan_case(stand_case(8));
  const Preferences& prefer = p.c.job.prefer;
  double sum = 0;
  for (const PlannedRun& run : p.plan.runs) {
    const roomloom::Run& told = p.c.ends.runs[static_cast<std::size_t>(run.run)];
    const CableType& cable = p.c.job.catalogue.cables[static_cast<std::size_t>(told.cable)];
    for (const Step& step : run.steps) {
      const TrackEdge& edge = p.tracks.edges[static_cast<std::size_t>(step.edge)];
      sum += edge.length_m * (cable.price_per_m * prefer.cable_weight +
                              prefer.minutes_per_run_m * prefer.money_per_minute) +
             edge.per_run_cost;
    }
  }
  for (const PlannedCharge& charge : p.plan.charges)
    sum += p.tracks.charges[static_cast<std::size_t>(charge.charge)].price;
  for (const PlannedRaceway& raceway : p.plan.raceways)
    sum += raceway.count * p.tracks.options[static_cast<std::size_t>(raceway.option)].price;
  EXPECT_NEAR(sum, p.plan.objective, 1e-9 * sum);
}

TEST(Route, TheBoundIsNoHigherThanThePlanNorThePlanThanSeparateWays) {
  for (const int count : {1, 3, 8}) {
    const Planned p = plan_case(stand_case(count));
    EXPECT_LE(p.plan.bound, p.plan.objective * (1 + 1e-9)) << count;
    EXPECT_GT(p.plan.bound, 0.5 * p.plan.objective) << count;
    EXPECT_LE(p.plan.objective, p.plan.separate_objective * (1 + 1e-9)) << count;
  }
}

/// What the separate checker proves for a certificate; below 0 when it refuses it.
double proved_by_checker(const std::string& certificate) {
  const std::string path =
      ::testing::TempDir() + "/roomloom_route_bound_" + std::to_string(getpid()) + ".txt";
  std::ofstream(path) << certificate;
  const std::string command = std::string(ROOMLOOM_BIN_DIR) + "/check_bound " + path;
  std::FILE* output = popen(command.c_str(), "r");
  double bound = -1;
  if (output == nullptr || std::fscanf(output, "proved: no plan costs less than %lf", &bound) != 1)
    bound = -1;
  if (output != nullptr) pclose(output);
  return bound;
}

TEST(Route, TheProofOnRequestHoldsForTheSeparateChecker) {
  const Case c = stand_case(8);
  const Tracks tracks = build_tracks(c.scene, c.room, c.ends, c.job);
  std::string certificate;
  RouteOptions options;
  options.certificate = &certificate;
  const Plan plan = route_runs(tracks, c.ends, c.room, c.job, options);
  const double proved = proved_by_checker(certificate);
  EXPECT_GT(plan.bound, 0.88 * plan.objective);  // larger raceway for bends is in the plan alone
  EXPECT_GE(proved, 0.999 * plan.bound) << "the checker proves what the plan states";
  EXPECT_LE(proved, plan.objective * (1 + 1e-6));
}

/// Cost of an edge for the one run of a problem, everything paid by it alone.
double alone(const Planned& p, const TrackEdge& edge) {
  const CableType& cable = p.c.job.catalogue.cables[0];
  const Preferences& prefer = p.c.job.prefer;
  double cost = edge.length_m * (cable.price_per_m * prefer.cable_weight +
                                 prefer.minutes_per_run_m * prefer.money_per_minute) +
                edge.per_run_cost;
  for (const int charge : edge.charges)
    cost += p.tracks.charges[static_cast<std::size_t>(charge)].price;
  double size = edge.options.empty() ? 0 : 1e30;
  const double area = kPi * cable.diameter_m * cable.diameter_m / 4;
  for (const int option : edge.options)
    if (p.tracks.options[static_cast<std::size_t>(option)].capacity_m2 >= area)
      size = std::min(size, p.tracks.options[static_cast<std::size_t>(option)].price);
  return cost + size;
}

// One run alone: its optimum against Boost.Graph's Dijkstra on the same graph. (A ladder's charge
// is shared by two holes of one tile only, which a single run has no use for.)
TEST(Route, OneRunIsAsCheapAsBoostGraphFindsIt) {
  for (int i = 0; i < 8; ++i) {
    Case c = stand_case(8);
    c.ends.runs = {c.ends.runs[static_cast<std::size_t>(i)]};
    c.ends.runs[0].cable = 0;
    c.ends.runs[0].service = Service::loudspeaker;
    c.job.catalogue.cables[0].bend_radius_m = 0.02;  // so that it can turn in every size
    const Planned p = plan_case(c);
    using Graph =
        boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                              boost::property<boost::edge_weight_t, double>>;
    Graph graph(p.tracks.nodes.size());
    std::set<int> others;
    for (const Terminal& terminal : p.tracks.terminals)
      if (terminal.end != c.ends.runs[0].from && terminal.end != c.ends.runs[0].to)
        others.insert(terminal.node);
    for (const TrackEdge& edge : p.tracks.edges)
      if (!others.contains(edge.a) && !others.contains(edge.b))
        boost::add_edge(static_cast<std::size_t>(edge.a), static_cast<std::size_t>(edge.b),
                        alone(p, edge), graph);
    std::vector<double> away(p.tracks.nodes.size());
    boost::dijkstra_shortest_paths(
        graph, static_cast<std::size_t>(terminal_of(p.tracks, c.ends.runs[0].from).node),
        boost::distance_map(boost::make_iterator_property_map(
            away.begin(), boost::get(boost::vertex_index, graph))));
    const double best =
        away[static_cast<std::size_t>(terminal_of(p.tracks, c.ends.runs[0].to).node)];
    EXPECT_NEAR(p.plan.objective, best, 1e-6) << "run " << i;
  }
}

TEST(Route, RunsSideBySideShareTheirHoleAndRaceway) {
  const Planned p = plan_case(stand_case(8));
  std::size_t most = 0;
  for (const PlannedRaceway& raceway : p.plan.raceways) {
    most = std::max(most, raceway.runs.size());
    const EdgeOption& option = p.tracks.options[static_cast<std::size_t>(raceway.option)];
    EXPECT_LE(raceway.load_m2, option.capacity_m2 * raceway.count * (1 + 1e-9));
  }
  EXPECT_GE(most, 2U);
  for (const Trunk& trunk : p.plan.trunks) EXPECT_GE(trunk.runs.size(), 2U);
  EXPECT_FALSE(p.plan.trunks.empty());
}

TEST(Route, TheSameInputGivesTheSamePlan) {
  const Planned a = plan_case(stand_case(8)), b = plan_case(stand_case(8));
  ASSERT_EQ(a.plan.runs.size(), b.plan.runs.size());
  for (std::size_t i = 0; i < a.plan.runs.size(); ++i)
    EXPECT_EQ(a.plan.runs[i].steps, b.plan.runs[i].steps);
}

TEST(Route, AnUnreachableRunNamesWhatBlocksItAndTheOthersAreStillPlanned) {
  Case c = stand_case(4);
  c.room.sheets[1].fixable = false;  // Wall 2, with the ends of runs 0 and 1
  c.room.crossings.clear();
  const Planned p = plan_case(c);
  EXPECT_FALSE(p.plan.runs[0].routed);
  EXPECT_NE(p.plan.runs[0].blocked_by.find("Wall 2"), std::string::npos)
      << p.plan.runs[0].blocked_by;
  EXPECT_TRUE(p.plan.runs[3].routed) << p.plan.runs[3].blocked_by;
}

TEST(Route, RunsKeepOffMainsButMayCrossThem) {
  Case c = stand_case(8);
  // Along the skirting of the front wall and up its middle.
  c.room.power.push_back({{0, 0, 0.3}, {4.2, 0, 0.3}, 0.01, 0.3, -1, "Mains front"});
  const Planned p = plan_case(c);
  for (const PlannedRun& run : p.plan.runs) {
    const std::uint32_t service =
        service_bit(p.c.ends.runs[static_cast<std::size_t>(run.run)].service);
    for (const Step& step : run.steps)
      EXPECT_EQ(p.tracks.edges[static_cast<std::size_t>(step.edge)].closed_to & service, 0U);
  }
}

TEST(Route, ARunThatOnlyMainsBlockNamesThem) {
  Case c = stand_case(1);
  for (int i = 0; i < 12; ++i)  // the whole of the right wall's way is beside mains
    c.room.power.push_back({{4.2, 0.0, 0.2 * i}, {4.2, 5.4, 0.2 * i}, 0.01, 0.3, -1, "Mains grid"});
  for (int i = 0; i < 27; ++i)
    c.room.power.push_back({{4.2, 0.2 * i, 0}, {4.2, 0.2 * i, 2.5}, 0.01, 0.3, -1, "Mains grid"});
  const Planned p = plan_case(c);
  EXPECT_FALSE(p.plan.runs[0].routed);
  EXPECT_NE(p.plan.runs[0].blocked_by.find("Mains grid"), std::string::npos);
}

// R_max = 3.41 h - 2.91 d at 90 degrees, by hand from the mitre's geometry: a cable of 6.35 mm that
// wants 25.4 mm turns in 13.5 mm clear (which allows 27.6 mm), one of 8 mm that wants 32 mm does
// not.
TEST(Route, TheClearSizeForABendIsTheMitresGeometry) {
  EXPECT_NEAR(route::least_clear_m(3.4142 * 0.0135 - 2.9142 * 0.00635, 0.00635, kPi / 2), 0.0135,
              1e-6);
  EXPECT_LT(route::least_clear_m(0.0254, 0.00635, kPi / 2), 0.0135);
  EXPECT_GT(route::least_clear_m(0.032, 0.008, kPi / 2), 0.0135);
  EXPECT_NEAR(route::least_clear_m(0.1, 0.008, 0), 0.008, 1e-9) << "straight: its own diameter";
}

/// Two runs over the corner of two walls; the only way is the raceway.
Case corner_case(double bend_radius_m) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  c.job.catalogue.cables[0].bend_radius_m = bend_radius_m;
  add_run(c, "r", add_end(c, prism, "a", "Wall 1", {3.0, 0, 1.0}),
          add_end(c, prism, "b", "Wall 2", {4.2, 1.2, 1.0}));
  return c;
}

std::set<std::string> sizes_of(const Planned& p) {
  std::set<std::string> sizes;
  for (const PlannedRaceway& raceway : p.plan.raceways) {
    const int type = p.tracks.options[static_cast<std::size_t>(raceway.option)].raceway;
    sizes.insert(p.c.job.catalogue.raceways[static_cast<std::size_t>(type)].id);
  }
  return sizes;
}

// 7 mm cable: 14 mm clear (the test's 16 mm raceways) allows 27.4 mm, 23 mm (40 x 25) 58 mm.
TEST(Route, ARacewayTooShallowForABendIsNotBoughtWhereALargerOneExists) {
  EXPECT_EQ(sizes_of(plan_case(corner_case(0.025))), std::set<std::string>{"16 x 16"});
  const Planned p = plan_case(corner_case(0.035));
  EXPECT_EQ(sizes_of(p), std::set<std::string>{"40 x 25"}) << "the whole of both legs";
  EXPECT_GE(p.plan.objective, p.plan.bound);
  EXPECT_EQ(sizes_of(plan_case(corner_case(0.5))), std::set<std::string>{"50 x 50"})
      << "none is large enough: what comes nearest, and the bend is told by the shape";
}

bool passes(const Planned& p, const PlannedRun& run, const PlaceId& place) {
  return std::any_of(run.steps.begin(), run.steps.end(), [&](const Step& step) {
    return p.tracks.edges[static_cast<std::size_t>(step.edge)].home == place;
  });
}

TEST(Route, AvoidKeepsARunOffWhatItNames) {
  Case c = stand_case(4);
  const PlaceId plenum{PlaceKind::void_space, 0};
  const Planned before = plan_case(c);
  c.job.runs[2].avoid = {passes(before, before.plan.runs[2], plenum) ? "Void above*" : "Wall 2"};
  const Planned after = plan_case(c);
  EXPECT_TRUE(after.plan.runs[2].routed);
  const PlaceId avoided = c.job.runs[2].avoid[0] == "Wall 2"
                              ? PlaceId{PlaceKind::sheet, sheet_named(c.room, "Wall 2")}
                              : plenum;
  EXPECT_FALSE(passes(after, after.plan.runs[2], avoided));
  EXPECT_GE(after.plan.objective, before.plan.bound * (1 - 1e-9));
}

TEST(Route, ViaLeadsARunThroughWhatItNames) {
  Case c = stand_case(4);
  const Planned before = plan_case(c);
  const auto crosses = [](const Planned& p, int crossing) {
    return std::any_of(
        p.plan.runs[0].steps.begin(), p.plan.runs[0].steps.end(), [&](const Step& step) {
          return p.tracks.edges[static_cast<std::size_t>(step.edge)].crossing == crossing;
        });
  };
  int other = -1;  // a hole that the run would not use by itself
  for (const TrackEdge& edge : before.tracks.edges)
    if (edge.crossing >= 0 && !crosses(before, edge.crossing)) other = edge.crossing;
  ASSERT_GE(other, 0);
  c.job.runs[0].via = {c.room.crossings[static_cast<std::size_t>(other)].name};
  const Planned p = plan_case(c);
  ASSERT_TRUE(p.plan.runs[0].routed) << p.plan.runs[0].blocked_by;
  expect_joined(p, p.plan.runs[0]);
  EXPECT_FALSE(p.plan.relaxations.empty());
  EXPECT_TRUE(
      std::any_of(p.plan.runs[0].steps.begin(), p.plan.runs[0].steps.end(), [&](const Step& step) {
        const TrackEdge& edge = p.tracks.edges[static_cast<std::size_t>(step.edge)];
        const Vec3 at = p.tracks.nodes[static_cast<std::size_t>(edge.a)].position;
        return edge.crossing == other || at.z > 2.4;
      }));
}

TEST(Route, NotWithKeepsTwoRunsApart) {
  Case c = stand_case(4);
  c.job.runs[1].not_with = {"r0"};
  const Planned p = plan_case(c);
  std::set<int> first;
  for (const Step& step : p.plan.runs[0].steps) first.insert(step.edge);
  for (const Step& step : p.plan.runs[1].steps) {
    const TrackEdge& edge = p.tracks.edges[static_cast<std::size_t>(step.edge)];
    if (edge.medium == Medium::raceway || edge.kind == EdgeKind::crossing) {
      EXPECT_FALSE(first.contains(step.edge));
    }
  }
  EXPECT_FALSE(p.plan.relaxations.empty()) << "what the bound leaves out is said";
}

TEST(Route, PlacesAnEndMayMoveToAreRoutedToo) {
  Case c = stand_case(4);
  End& end = c.ends.ends[static_cast<std::size_t>(c.ends.runs[1].to)];
  EndPlace other = end.place;
  other.position.y += 0.5;
  end.may_move_to.push_back(other);
  const Planned p = plan_case(c);
  ASSERT_EQ(p.plan.runs[1].alternative_steps.size(), 1U);
  ASSERT_EQ(p.plan.runs[1].alternative_terminals.size(), 1U);
  const std::vector<Step>& way = p.plan.runs[1].alternative_steps[0];
  ASSERT_FALSE(way.empty());
  const TrackEdge& last = p.tracks.edges[static_cast<std::size_t>(way.back().edge)];
  const int reached = way.back().forward ? last.b : last.a;
  EXPECT_EQ(
      reached,
      p.tracks.terminals[static_cast<std::size_t>(p.plan.runs[1].alternative_terminals[0])].node);
}

TEST(Route, ACableTooThickForItsHolesIsToldSo) {
  Case c = stand_case(1);
  c.job.catalogue.cables[0].diameter_m = 0.12;
  c.ends.runs[0].cable = 0;
  for (RacewayType& raceway : c.job.catalogue.raceways) raceway.inner_width_m = 1;
  const Planned p = plan_case(c);
  for (const PlannedRun& run : p.plan.runs)
    for (const Step& step : run.steps)
      EXPECT_NE(p.tracks.edges[static_cast<std::size_t>(step.edge)].kind, EdgeKind::crossing);
}

}  // namespace
}  // namespace roomloom
