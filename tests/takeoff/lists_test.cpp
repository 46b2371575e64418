#include "takeoff/lists.h"

#include <gtest/gtest.h>

#include <charconv>

#include "report/report.h"
#include "takeoff/ladder.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

// A reader of its own for RFC 4180, with CRLF only.
std::vector<std::vector<std::string>> rows_of(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row{""};
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
      row.back() += c;
      ++i;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (!quoted && c == ',') {
      row.emplace_back();
    } else if (!quoted && c == '\r') {
      EXPECT_EQ(text[i + 1], '\n');
      ++i;
      rows.push_back(row);
      row = {""};
    } else {
      EXPECT_TRUE(quoted || c != '\n') << "a bare line feed";
      row.back() += c;
    }
  }
  EXPECT_EQ(row, std::vector<std::string>{""}) << "the last row ends with CRLF";
  return rows;
}

double number(const std::string& cell) {
  double value = 0;
  const auto done = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  EXPECT_TRUE(done.ec == std::errc{} && done.ptr == cell.data() + cell.size()) << cell;
  return value;
}

Takeoff one_run() {
  Takeoff takeoff;
  RunRow row;
  row.id = "S1";
  row.from = "amp.1";
  row.to = "M+030";
  row.cable = "speaker 2x2.5";
  row.routed = true;
  row.drawn_m = 3.123456;
  row.track_m = 3.2;
  row.cut_m = row.drawn_m;
  for (const char* name : kAddendNames) {
    row.addends.push_back({name, 0.1});
    row.cut_m += 0.1;
  }
  row.shared_with = {"S2", "S3"};
  takeoff.runs = {row};
  return takeoff;
}

TEST(LadderSheet, ProvesNothingWhereNothingIsToBeDone) {
  EXPECT_EQ(ladder_table(Takeoff{}, Job{}).note,
            "Nothing is to be done: all that the job asks for lies already.");
}

}  // namespace

TEST(LengthsCsv, HasAColumnForEachAddendBetweenDrawnAndCutAndSumsUp) {
  for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
    const auto rows = rows_of(table_csv(length_table(one_run()), {units, "EUR"}));
    ASSERT_EQ(rows.size(), 2U);
    ASSERT_EQ(rows[0].size(), rows[1].size());
    const std::string unit = units == DisplayUnits::metric ? " (m)" : " (ft)";
    const auto column = [&](const std::string& name) {
      return static_cast<std::size_t>(std::find(rows[0].begin(), rows[0].end(), name) -
                                      rows[0].begin());
    };
    const std::size_t drawn = column("Drawn" + unit);
    const std::size_t cut = column("Cut" + unit);
    ASSERT_LT(cut, rows[0].size());
    EXPECT_EQ(cut - drawn - 1, kAddendNames.size());
    const double metres = units == DisplayUnits::metric ? 1 : 0.3048;
    EXPECT_NEAR(number(rows[1][drawn]) * metres, 3.123456, 5e-6);
    double sum = 0;
    for (std::size_t i = drawn; i < cut; ++i) sum += number(rows[1][i]);
    EXPECT_NEAR(sum * metres, number(rows[1][cut]) * metres, 1e-4);
  }
}

TEST(LengthsCsv, DisarmsFormulasButLeavesNumbersAlone) {
  Takeoff takeoff = one_run();
  RunRow& row = takeoff.runs[0];
  row.id = "=1+1";
  row.from = "+A1";
  row.to = "-B2";
  row.cable = "@SUM(A1)";
  row.colour = "\tred";
  row.addends.back().metres = -0.25;  // measured shorter than drawn
  const auto rows = rows_of(table_csv(length_table(takeoff), {DisplayUnits::metric, "EUR"}));
  for (std::size_t i = 0; i < 5; ++i) EXPECT_EQ(rows[1][i].front(), '\'') << rows[1][i];
  EXPECT_NE(std::find(rows[1].begin(), rows[1].end(), "-0.25000"), rows[1].end());
}

TEST(LengthsCsv, QuotesWhatHoldsCommasQuotesAndLineEnds) {
  Takeoff takeoff = one_run();
  takeoff.runs[0].id = "a \"b\", c\r\nd";
  const auto rows = rows_of(table_csv(length_table(takeoff), {DisplayUnits::metric, "EUR"}));
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[1][0], "a \"b\", c\r\nd");
}

TEST(LengthsCsv, SaysWhyARunHasNoWay) {
  Takeoff takeoff = one_run();
  takeoff.runs[0].routed = false;
  takeoff.runs[0].blocked_by = "Duct 1";
  const auto rows = rows_of(table_csv(length_table(takeoff), {DisplayUnits::metric, "EUR"}));
  EXPECT_NE(std::find(rows[1].begin(), rows[1].end(), "no way: Duct 1"), rows[1].end());
}

/// "Left" and "near" turn round with who looks up: a 4 x 3 m room, its ceiling's own u along x or
/// against it.
TEST(HolesCsv, NamesTheSidesOfATileByTheWallsTheyAreToward) {
  const auto wall = [](const char* name, const Vec3& origin, const Vec3& u, double length) {
    Sheet sheet;
    sheet.name = name;
    sheet.frame = {origin, u, {0, 0, 1}, cross(u, {0, 0, 1})};
    sheet.region.outline = {{0, 0}, {length, 0}, {length, 2.4}, {0, 2.4}};
    return sheet;
  };
  Room room;  // each wall's n into the room
  room.sheets = {wall("west", {0, 0, 0}, {0, 1, 0}, 3), wall("north", {0, 3, 0}, {1, 0, 0}, 4),
                 wall("east", {4, 3, 0}, {0, -1, 0}, 3), wall("south", {4, 0, 0}, {-1, 0, 0}, 4)};
  Sheet ceiling;
  ceiling.role = SheetRole::suspended_ceiling;
  ceiling.frame = {{0, 3, 2.4}, {1, 0, 0}, {0, -1, 0}, {0, 0, -1}};
  room.sheets.push_back(ceiling);
  TileGrid grid;
  grid.sheet = 4;
  const Vec3 hole{3.9, 0.2, 2.4};  // nearer to the walls that the sides are not toward
  EXPECT_EQ(tile_sides(room, grid, hole).first, "toward west");
  EXPECT_EQ(tile_sides(room, grid, hole).second, "toward north");
  room.sheets[4].frame = {{4, 0, 2.4}, {-1, 0, 0}, {0, 1, 0}, {0, 0, -1}};
  EXPECT_EQ(tile_sides(room, grid, hole).first, "toward east");
  EXPECT_EQ(tile_sides(room, grid, hole).second, "toward south");
  room.sheets.resize(5);
  room.sheets.erase(room.sheets.begin(), room.sheets.begin() + 4);
  grid.sheet = 0;
  EXPECT_EQ(tile_sides(room, grid, hole).first, "of lower column numbers") << "no wall there";
}

TEST(HolesCsv, GivesPlaceInTheTileAndTellsWhatExists) {
  Takeoff takeoff;
  HoleRow hole;
  hole.name = "H1";
  hole.tile = "C4";
  hole.from_edge_u_m = 0.3;
  hole.from_edge_v_m = 0.1;
  hole.diameter_m = 0.032;
  hole.runs = {"S1", "S2"};
  takeoff.holes = {hole};
  hole.name = "H2";
  hole.existing = true;
  hole.tile = "";
  takeoff.holes.push_back(hole);
  Room room;
  room.crossings.emplace_back();
  CableShapes shapes;
  shapes.holes.resize(2);
  for (HoleShape& shape : shapes.holes) shape.crossing = 0;
  const auto list = [&](DisplayUnits units) {
    return rows_of(table_csv(hole_list(takeoff, shapes, room, units), {units, "EUR"}));
  };
  const auto rows = list(DisplayUnits::metric);
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_EQ(rows[0].size(), rows[1].size());
  EXPECT_EQ(rows[0].size(), rows[2].size());
  EXPECT_EQ(rows[1][5], "0.30000");
  EXPECT_EQ(rows[1][7], "0.10000");
  EXPECT_EQ(rows[1][8], "32.0");
  EXPECT_EQ(rows[1][11], "to cut");
  EXPECT_EQ(rows[2][11], "exists");
  const auto feet = list(DisplayUnits::feet_and_inches);
  EXPECT_NEAR(number(feet[1][8]), 32 / 25.4, 1e-3);
}

TEST(RacewayCsv, HasOneRowASize) {
  Takeoff takeoff;
  takeoff.raceways.push_back({"25 x 16", 0.025, 0.016, 7.5, 3, 3, 3, 3, true});
  const auto rows = rows_of(table_csv(raceway_list(takeoff), {DisplayUnits::metric, "EUR"}));
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[0].size(), rows[1].size());
  EXPECT_EQ(rows[1][3], "7.50000");
}

}  // namespace roomloom
