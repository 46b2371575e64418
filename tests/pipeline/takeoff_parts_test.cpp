#include <cctype>
#include <map>
#include <regex>
#include <set>

#include "geometry/bundle.h"
#include "geometry/polygon.h"
#include "pipeline/takeoff_of.h"
#include "types/spares.h"

/// Raceway and holes of every take-off, asked of the demo rooms and of rooms made up at random.
namespace roomloom::testing {
namespace {

class PartsOf : public TakeoffOf {
 protected:
  /// Where the tracks of a hole's cables pass it.
  std::vector<Vec3> tracks_through(const HoleShape& hole) const {
    std::vector<Vec3> points;
    for (const int run : hole.runs)
      for (const Step& step : p().plan.runs[static_cast<std::size_t>(run)].steps) {
        const TrackEdge& edge = p().tracks.edges[static_cast<std::size_t>(step.edge)];
        const Vec3& at = p().tracks.nodes[static_cast<std::size_t>(edge.a)].position;
        if (edge.crossing == hole.crossing && distance(at, hole.centre) < 0.2) points.push_back(at);
      }
    return points;
  }
  /// By how many ends and cut-outs a cable passes in or out of the pieces that it lies in.
  int doors_of(int run) const {
    const std::string& id = p().ends.runs[static_cast<std::size_t>(run)].id;
    const auto names = [&](const std::string& list) {
      return (", " + list + ",").find(", " + id + ",") != std::string::npos;
    };
    int doors = 0;
    for (const RacewayPiece& piece : t().raceway_pieces) {
      if (std::count(piece.runs.begin(), piece.runs.end(), run) == 0) continue;
      for (const std::string& words : {piece.start, piece.end}) {
        const auto out = words.find("cut out for ");
        const auto hole = words.find("end piece over a hole");
        if (words.find(", into box ") != std::string::npos ||
            words.find(", into the box ") != std::string::npos)
          ++doors;
        else if (hole != std::string::npos)
          doors += passes(run, words.substr(words.rfind(' ') + 1)) ? 1 : 0;
        else if (out != std::string::npos && names(words.substr(out + 12)))
          ++doors;
      }
      std::string between = piece.ways_out;  // "S1, S2 at M+110, 1.2 m from the start; ..."
      for (std::size_t at = 0; at < between.size();) {
        const std::size_t end = std::min(between.find("; ", at), between.size());
        std::string one = between.substr(at, end - at);
        one = one.substr(0, one.rfind(", "));
        for (const char* word : {" at ", " through hole "})
          if (one.find(word) != std::string::npos) one = one.substr(0, one.find(word));
        doors += names(one) ? 1 : 0;
        at = end + 2;
      }
    }
    return doors;
  }
  bool passes(int run, const std::string& hole) const {
    const std::string& id = p().ends.runs[static_cast<std::size_t>(run)].id;
    return std::any_of(t().holes.begin(), t().holes.end(), [&](const HoleRow& row) {
      return row.name == hole && std::find(row.runs.begin(), row.runs.end(), id) != row.runs.end();
    });
  }
};

TEST_P(PartsOf, CutsEveryPieceOfRacewayOnceAndOverdrawsNoLength) {
  std::map<std::string, double> used;
  std::map<std::string, double> stock_m;
  std::map<std::string, int> pieces;
  for (const RacewayPiece& piece : t().raceway_pieces) {
    ASSERT_FALSE(piece.stock.empty()) << piece.name;
    if (piece.stock.find("(from the shelf)") != std::string::npos) continue;
    used[piece.stock] += piece.length_m + (pieces[piece.stock]++ > 0 ? p().job.work.kerf_m : 0);
    stock_m[piece.stock] =
        p().job.catalogue.raceways[static_cast<std::size_t>(piece.type)].stock_length_m;
  }
  for (const auto& [stock, metres] : used) EXPECT_LE(metres, stock_m[stock] + 1e-5) << stock;
  for (const RacewayRow& row : t().raceways) EXPECT_TRUE(row.proven) << row.raceway;
}

TEST_P(PartsOf, AddsUpTheSizesOfRacewayAsTheirPiecesAreCut) {
  std::map<std::string, std::pair<double, int>> sums;
  for (const RacewayPiece& piece : t().raceway_pieces) {
    sums[piece.raceway].first += piece.length_m;
    ++sums[piece.raceway].second;
  }
  EXPECT_EQ(sums.size(), t().raceways.size());
  for (const RacewayRow& row : t().raceways) {
    EXPECT_NEAR(row.length_m, sums[row.raceway].first, 1e-9) << row.raceway;
    EXPECT_EQ(row.pieces, sums[row.raceway].second) << row.raceway;
  }
}

/// Every end of every piece names what is bought for it, and each thing bought is named: as often
/// as it has ends. src/check holds the written lists to the same.
TEST_P(PartsOf, BuysEveryFittingThatAnEndOfRacewayNamesAndNoOther) {
  std::map<std::string, double> named, counted, bought;
  std::set<std::string> boxes, holes;
  const Table& ends = table_of(p(), "ends");
  for (std::size_t r = 0; r < ends.rows.size(); ++r) boxes.insert(text_in(ends, r, "box"));
  for (const HoleRow& hole : t().holes) holes.insert(hole.name);
  for (const RacewayFitting& fitting : t().raceway_fittings)
    counted[fitting.kind + " " + fitting.raceway] += fitting.count;
  const Table& shopping = table_of(p(), "shopping");
  for (std::size_t r = 0; r < shopping.rows.size(); ++r)
    if (text_in(shopping, r, "section") == "Raceway" && text_in(shopping, r, "unit") == "piece")
      bought[text_in(shopping, r, "item")] += number_in(shopping, r, "count");
  const std::regex one(
      "(square|[0-9]+ deg mitre), (end cap|end piece over a hole|joiner|reducer|tee|cross|"
      "flat elbow|inside corner|outside corner|[0-9]+-way junction) ([0-9]+ x [0-9]+)(.*)");
  const std::map<std::string, double> shared{
      {"end cap", 1}, {"end piece over a hole", 1}, {"tee", 3}, {"cross", 4}};
  for (const RacewayPiece& piece : t().raceway_pieces)
    for (const std::string& words : {piece.start, piece.end}) {
      std::smatch part;
      if (std::regex_match(words, part, one)) {
        const bool at_side = part.str(4).rfind(", into ", 0) == 0;
        const auto kind = shared.find(part.str(2));
        const double sharers = kind != shared.end()           ? kind->second
                               : std::isdigit(part.str(2)[0]) ? std::stod(part.str(2))
                                                              : 2;
        named[part.str(2) + " " + part.str(3)] += 1 / (at_side ? (sharers == 3 ? 1 : 2) : sharers);
        if (part.str(2) == "end piece over a hole") {
          EXPECT_EQ(holes.count(part.str(4).substr(2)), 1U) << words;
        }
        continue;
      }
      ASSERT_NE(words.find(", no fitting"), std::string::npos) << piece.name << ": " << words;
      if (const auto box = words.find("into box "); box != std::string::npos) {
        EXPECT_EQ(boxes.count(words.substr(box + 9, words.find(" of ") - box - 9)), 1U) << words;
      }
    }
  for (const auto& [name, count] : named) {
    EXPECT_NEAR(counted[name], count, 1e-9) << name;
    EXPECT_NEAR(bought[name], count, 1e-9) << name;
  }
  for (const auto& [name, count] : counted) EXPECT_NEAR(named[name], count, 1e-9) << name;
  EXPECT_EQ(bought.size(), named.size());
}

/// A cable comes into raceway somewhere and leaves it somewhere else.
TEST_P(PartsOf, TellsForEveryCableHowItComesIntoRacewayAndOut) {
  for (const RunRow& row : t().runs) {
    const bool lies = std::any_of(
        t().raceway_pieces.begin(), t().raceway_pieces.end(), [&](const RacewayPiece& piece) {
          return std::count(piece.runs.begin(), piece.runs.end(), row.run) != 0;
        });
    if (lies) {
      EXPECT_GE(doors_of(row.run), 2) << row.id;
    }
  }
}

/// Box and raceway cannot both be where they meet.
TEST_P(PartsOf, CutsRacewayAtTheSidesOfEveryBoxInItsLine) {
  std::set<std::string> named;
  for (const OutletBox& box : t().boxes) {
    const Frame& frame = p().room.sheets[static_cast<std::size_t>(box.sheet)].frame;
    const Vec2 centre = frame.to_plane(box.centre);
    const double u = box.half_u_m - 1e-4, v = box.half_v_m - 1e-4;
    const Polygon inside{
        {centre + Vec2{-u, -v}, centre + Vec2{u, -v}, centre + Vec2{u, v}, centre + Vec2{-u, v}},
        {}};
    for (const RacewayPiece& piece : t().raceway_pieces) {
      if (piece.sheet != box.sheet) continue;
      EXPECT_TRUE(
          inside_pieces(inside, frame.to_plane(piece.from), frame.to_plane(piece.to)).empty())
          << piece.name << " runs through box " << box.name;
    }
    for (const int end : box.ends)
      EXPECT_TRUE(contains(
          inside, frame.to_plane(p().ends.ends[static_cast<std::size_t>(end)].place.position)))
          << box.name;
  }
}

/// Where a piece begins and ends, as listed, is as far apart as it is long.
TEST_P(PartsOf, ListsEveryPieceOfRacewayFromWhereItBeginsToWhereItEnds) {
  for (const RacewayPiece& piece : t().raceway_pieces)
    if (piece.length_m > 0.0011) {
      EXPECT_NEAR(distance(piece.from, piece.to), piece.length_m, 1e-9) << piece.name;
    }
}

TEST_P(PartsOf, MakesHolesThatTheirBundlesPass) {
  int asked = 0, excused = 0;
  for (std::size_t i = 0; i < t().holes.size(); ++i) {
    const HoleRow& hole = t().holes[i];
    if (hole.existing) continue;
    const HoleShape& shape = p().shapes.holes[i];
    EXPECT_NEAR(hole.bundle_m, bundle_diameter(diameters_in(shape)), 1e-9) << hole.name;
    EXPECT_GE(hole.diameter_m + 1e-9, hole.bundle_m) << hole.name;
    // Moulded heads pass before what has none, the largest first, each beside the cables before it.
    std::vector<std::pair<double, double>> heads;  // diagonal, cable
    for (const int run : shape.runs) {
      const CableType& cable = cable_of(run);
      if (cable.head_width_m > 0)
        heads.emplace_back(std::hypot(cable.head_width_m, cable.head_height_m), cable.diameter_m);
    }
    std::sort(heads.rbegin(), heads.rend());
    std::vector<double> passed;
    for (const auto& [head, cable] : heads) {
      std::vector<double> now = passed;
      now.push_back(head);
      EXPECT_GE(hole.diameter_m + 1e-9, bundle_diameter(now))
          << hole.name << " for head " << passed.size() + 1;
      passed.push_back(cable);
    }
    // What the job keeps room for passes as well, unless neither where it is cut nor where its
    // track passes a wider hole has its place.
    const double wanted =
        hole_saw_size(spare_hole_m(diameters_in(shape), shape.runs, p().ends, p().job) + 0.003);
    const Crossing& crossing = p().room.crossings[static_cast<std::size_t>(shape.crossing)];
    if (wanted > crossing.largest_diameter_m || p().job.spares.empty()) continue;
    ++asked;
    double to_border = border_distance(crossing.region, crossing.frame.to_plane(shape.centre));
    for (const Vec3& at : tracks_through(shape))
      to_border =
          std::max(to_border, border_distance(crossing.region, crossing.frame.to_plane(at)));
    if (hole.diameter_m >= wanted - 1e-9) continue;
    EXPECT_GT(wanted / 2, to_border) << hole.name << " has room for a wider one";
    ++excused;
  }
  EXPECT_LE(excused, asked / 4) << "most holes have room for what comes later";
}

// Left and near are others' left and near for whoever looks up: the sides of a tile that a hole is
// measured from are named by the walls they are toward.
TEST_P(PartsOf, MeasuresHolesFromSidesOfTilesThatAreTowardTheWallsNamed) {
  const Table& table = *std::find_if(t().tables.begin(), t().tables.end(),
                                     [](const Table& one) { return one.id == "holes"; });
  const auto column = [&](const std::string& id) {
    return static_cast<std::size_t>(std::find_if(table.columns.begin(), table.columns.end(),
                                                 [&](const Column& one) { return one.key == id; }) -
                                    table.columns.begin());
  };
  for (std::size_t i = 0; i < t().holes.size(); ++i) {
    const HoleRow& hole = t().holes[i];
    if (hole.tile.empty()) continue;
    const Tile* tile = nullptr;
    for (const TileGrid& grid : p().room.grids)
      for (const Tile& one : grid.tiles)
        if (one.name == hole.tile) tile = &one;
    ASSERT_NE(tile, nullptr) << hole.tile;
    const Crossing& crossing =
        p().room.crossings[static_cast<std::size_t>(p().shapes.holes[i].crossing)];
    const Frame& ceiling = p().room.sheets[static_cast<std::size_t>(crossing.from.index)].frame;
    for (const auto& [side, metres] :
         {std::pair("side_1", hole.from_edge_u_m), std::pair("side_2", hole.from_edge_v_m)}) {
      const std::string words = std::get<std::string>(table.rows[i][column(side)]);
      ASSERT_EQ(words.rfind("toward ", 0), 0U) << words;
      const Sheet* wall = nullptr;
      for (const Sheet& sheet : p().room.sheets)
        if (sheet.name == words.substr(7)) wall = &sheet;
      ASSERT_NE(wall, nullptr) << words;
      const Vec3 there = hole.centre - metres * wall->frame.n;
      EXPECT_LT(border_distance({tile->ring, {}}, ceiling.to_plane(there)), 1e-6)
          << hole.name << " " << words;
    }
  }
}

// A hole is no use to a grommet that does not fit it: both sheets give one width.
TEST_P(PartsOf, HasHolesCutAsWideAsTheirGrommetsAsk) {
  for (const WorkStep& step : t().steps) {
    if (step.task != "cut a hole") continue;
    ASSERT_EQ(step.things.size(), 1U);
    const auto hole = std::find_if(t().holes.begin(), t().holes.end(),
                                   [&](const HoleRow& row) { return row.name == step.things[0]; });
    ASSERT_NE(hole, t().holes.end()) << step.text;
    EXPECT_GE(hole->diameter_m, hole->bare_m);
    EXPECT_NE(step.text.find(": " + format_size(hole->diameter_m, p().job.units) + " wide"),
              std::string::npos)
        << step.text;
  }
  for (std::size_t i = 0; i < t().holes.size(); ++i) {
    const HoleRow& hole = t().holes[i];
    const HoleShape& shape = p().shapes.holes[i];
    const Crossing& crossing = p().room.crossings[static_cast<std::size_t>(shape.crossing)];
    if (hole.existing) continue;
    if (hole.diameter_m > hole.bare_m + 1e-9) {
      EXPECT_LE(hole.diameter_m, crossing.largest_diameter_m + 1e-6) << hole.name;
    }
    if (shape.grommet < 0) {
      EXPECT_EQ(hole.diameter_m, hole.bare_m) << hole.name;
      continue;
    }
    const GrommetType& grommet =
        p().job.catalogue.grommets[static_cast<std::size_t>(shape.grommet)];
    EXPECT_GE(hole.diameter_m, grommet.hole_m - 1e-9) << hole.name << " in " << crossing.name;
    EXPECT_GE(grommet.passes_m, hole.bundle_m - 1e-9) << hole.name;
  }
}

// "Up" is along the face: on a slope nobody can hold a level to it.
TEST_P(PartsOf, TellsHowHighAboveTheFloorRacewayBeginsAndEnds) {
  const Table& list = table_of(p(), "raceway_pieces");
  for (std::size_t row = 0; row < list.rows.size(); ++row) {
    const double start = number_in(list, row, "start_height_m");
    const double end = number_in(list, row, "end_height_m");
    const double start_up = number_in(list, row, "start_up_m");
    const double end_up = number_in(list, row, "end_up_m");
    const std::string& on = text_in(list, row, "on");
    const auto sheet = std::find_if(p().room.sheets.begin(), p().room.sheets.end(),
                                    [&](const Sheet& one) { return one.name == on; });
    ASSERT_NE(sheet, p().room.sheets.end()) << on;
    EXPECT_NEAR(std::abs(end - start), std::abs((end_up - start_up) * sheet->frame.v.z), 1e-6)
        << text_in(list, row, "piece");
    if (sheet->role == SheetRole::wall && std::abs(sheet->frame.v.z) > 0.999) {
      EXPECT_NEAR(start, start_up, 1e-6) << text_in(list, row, "piece");
    }
    EXPECT_LT(std::max(start, end), 20) << "within the room";
    EXPECT_GT(std::min(start, end), -0.01);
  }
}

INSTANTIATE_TEST_SUITE_P(Room, PartsOf, kDemoRooms, room_test_name);
INSTANTIATE_TEST_SUITE_P(MadeUp, PartsOf, kMadeUpRooms, room_test_name);

}  // namespace
}  // namespace roomloom::testing
