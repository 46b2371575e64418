#include <gtest/gtest.h>

#include <cmath>

#include "check/drawn_runs.h"

/// What counts as a bend without a radius, on centrelines made by hand.
namespace roomloom::check {
namespace {

/// A quarter of a circle of 30 mm in steps of 5 degrees, with a straight metre before it and what
/// is given after it.
std::vector<Vec3> quarter(const std::vector<Vec3>& after) {
  std::vector<Vec3> line{{-1, 0, 0}};
  for (int i = 0; i <= 18; ++i) {
    const double angle = i * 5 * 3.14159265358979 / 180;
    line.push_back({0.03 * std::sin(angle), 0.03 * (1 - std::cos(angle)), 0});
  }
  for (const Vec3& p : after) line.push_back(line[19] + p);
  return line;
}

DrawnRun run_of(const char* id, const CableType& cable, const std::vector<Vec3>& line) {
  DrawnRun run;
  run.id = id;
  run.cable = &cable;
  run.line = line;
  return run;
}

std::vector<Finding> told_of(const std::vector<DrawnRun>& runs, const Written& written = {},
                             const Job& job = {}, const Scene& scene = {}) {
  Findings findings;
  check_radii(written, runs, scene, job, findings);
  return findings.items;
}

std::size_t kinks(const std::vector<Vec3>& line) {
  const CableType cable;
  return told_of({run_of("R", cable, line)}).size();
}

// Where an arc takes the whole of a last leg, a micrometre of it is left, and single precision
// rounds its direction by as much.
TEST(BendsWithoutARadius, AreNotReadOutOfRounding) {
  EXPECT_EQ(kinks(quarter({{0, 0.1, 0}})), 0U);
  EXPECT_EQ(kinks(quarter({{0.000001, 0.000002, 0}})), 0U);
  EXPECT_EQ(kinks(quarter({{0.000001, 0, 0}, {0, 0.1, 0}})), 0U);
}

TEST(BendsWithoutARadius, AreFoundWhereTheyLieBesideAPointThatIsNearlyTwice) {
  EXPECT_EQ(kinks(quarter({{0.1, 0, 0}})), 1U);
  EXPECT_EQ(kinks(quarter({{0.000001, 0.000002, 0}, {0.1, 0, 0}})), 1U);
}

/// A square corner at a place.
std::vector<Vec3> corner_at(double x, double turn_deg) {
  const double angle = turn_deg * 3.14159265358979 / 180;
  return {{x, -1, 0}, {x, 0, 0}, {x + std::sin(angle), std::cos(angle), 0}};
}

// Sixteen cables that come out of one wall are one thing to mend, not sixteen.
TEST(BendsWithoutARadius, OfOneBundleAreToldOnceWithTheSharpest) {
  CableType cable, other;
  cable.id = "cat6";
  other.id = "speaker";
  std::vector<DrawnRun> runs{run_of("A", cable, corner_at(0, 30)),
                             run_of("B", cable, corner_at(0.1, 50)),
                             run_of("C", cable, corner_at(0.2, 20))};
  const auto all = told_of(runs);
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].subject, "B");
  EXPECT_EQ(all[0].figure, "50 degrees");
  EXPECT_NE(all[0].text.find("Runs A, B and C turn together"), std::string::npos) << all[0].text;
  EXPECT_NEAR(all[0].where->x, 0.1, 1e-12);
  runs.push_back(run_of("D", cable, corner_at(3, 30)));
  runs.push_back(run_of("E", other, corner_at(0, 30)));
  EXPECT_EQ(told_of(runs).size(), 3U) << "elsewhere, and of another kind";
}

TEST(TightBends, OfOneBundleAreToldOnceWithTheTightestAndTheCablesOwnSource) {
  CableType cable;
  cable.id = "cat6";
  cable.bend_radius_m = 0.025;
  cable.source = "diameter: a table; bend_radius: fixed: a standard; pulled: practice; mass: none";
  Written written;
  const auto add = [&](const char* run, double x, double radius) {
    WrittenThing thing;
    thing.name = std::string("Run ") + run + " centreline";
    thing.radii_m = {radius, 0.03};
    thing.arcs_at = {{x, 0, 0}, {5, 0, 0}};
    written.step.things.push_back(thing);
  };
  add("A", 0, 0.012), add("B", 0.1, 0.008), add("C", 1, 0.02);
  const std::vector<Vec3> straight{{0, 0, 0}, {1, 0, 0}};
  const auto all = told_of(
      {run_of("A", cable, straight), run_of("B", cable, straight), run_of("C", cable, straight)},
      written);
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0].figure, "8.0 mm");
  EXPECT_EQ(all[0].limit, "25.0 mm");
  EXPECT_NE(all[0].text.find("Runs A and B bend together"), std::string::npos) << all[0].text;
  EXPECT_EQ(all[0].source, "fixed: a standard");
  EXPECT_EQ(all[1].subject, "C");
}

/// A run that comes up at the origin through a hole of this kind in a tile 20 mm thick and bends to
/// 10 mm at a height over the tile's lower face. `deck`: height of the slab over the tile, 0 = none
/// modelled.
std::vector<Finding> bend_told_at(const char* kind, double up, double deck,
                                  bool lies_on_tiles = true) {
  CableType cable;
  cable.bend_radius_m = 0.15;
  cable.diameter_m = 0.006;
  Written written;
  WrittenThing curve;
  curve.name = "Run A centreline";
  curve.radii_m = {0.01};
  curve.arcs_at = {{0.003, 0, up}};
  written.step.things.push_back(curve);
  ListedHole hole;
  hole.kind = kind;
  hole.normal = {0, 0, 1};
  hole.diameter_m = 0.016;
  hole.thickness_m = 0.02;
  hole.runs = {"A"};
  written.plan.holes.push_back(hole);
  Scene scene;
  const auto add_level = [&](const char* name, double z) {
    Part part;
    part.name = part.path = name;
    part.first_point = static_cast<std::uint32_t>(scene.points.size());
    part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
    part.point_count = 3, part.triangle_count = 1;
    for (const Vec2& p : {Vec2{-3, -3}, Vec2{3, -3}, Vec2{0, 3}})
      scene.points.push_back({p.x, p.y, z});
    scene.triangles.push_back({part.first_point, part.first_point + 1, part.first_point + 2});
    scene.parts.push_back(part);
  };
  add_level("Tile below", 0), add_level("Tile above", 0.02);
  if (deck > 0) add_level("Slab", 0.02 + deck);
  Job job;
  job.prefer.lay_on_tiles = lies_on_tiles;
  return told_of({run_of("A", cable, {{0, 0, -1}, {0, 0, 0}})}, written, job, scene);
}

// Cable that lies on tiles rises out of its hole in an arch: the least void for it holds its bend
// and its thickness. A void of 0.12 m has no room for 150 mm.
TEST(TightBends, OverATilesHoleAreToldUnlessAnArchHasRoomThere) {
  EXPECT_EQ(bend_told_at("tile cut", 0.027, 0.12).size(), 1U);
  EXPECT_EQ(bend_told_at("tile cut", 0.027, 0.155).size(), 1U);
  EXPECT_EQ(bend_told_at("tile cut", 0.027, 0.157).size(), 0U);
  EXPECT_EQ(bend_told_at("tile cut", 0.027, 0).size(), 0U) << "guessed voids are 0.4 m high";
  EXPECT_EQ(bend_told_at("tile cut", 0.027, 0.5, false).size(), 1U) << "no cable lies on tiles";
}

TEST(TightBends, BelowTilesAndAtOtherUprightHolesAreToldThoughCableLiesOnTiles) {
  EXPECT_EQ(bend_told_at("tile cut", -0.027, 0.5).size(), 1U);
  for (const char* kind : {"existing hole", "plate hole", "grommet"})
    EXPECT_EQ(bend_told_at(kind, 0.027, 0.5).size(), 1U) << kind;
}

TEST(SourcesOfFigures, AreFoundByTheFiguresName) {
  CableType cable;
  cable.source =
      "diameter: a table, 6 mm; bend_radius: fixed: a sheet; pulled: 8 x, practice; ask "
      "the maker: he knows; put_ups: sheets; head: from memory";
  EXPECT_EQ(figure_source(cable, "diameter"), "a table, 6 mm");
  EXPECT_EQ(figure_source(cable, "pulled"), "8 x, practice; ask the maker: he knows");
  EXPECT_EQ(figure_source(cable, "head"), "from memory");
  EXPECT_EQ(figure_source(cable, "mass"), cable.source);
  cable.source = "bend_radius: 10 x pulled, 5 x fixed; head: none";
  EXPECT_EQ(figure_source(cable, "pulled"), "10 x pulled, 5 x fixed");
  cable.source = "a drawing";
  EXPECT_EQ(figure_source(cable, "pulled"), "a drawing");
}

}  // namespace
}  // namespace roomloom::check
