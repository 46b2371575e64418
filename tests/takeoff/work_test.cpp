#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <set>
#include <sstream>

#include "shape/hand_room.h"
#include "shape/shape.h"
#include "takeoff/days.h"
#include "takeoff/holes.h"
#include "takeoff/round.h"
#include "takeoff/set_cover.h"
#include "takeoff/takeoff.h"

namespace roomloom {
namespace {

TEST(FewestSets, AreAsFewAsTryingAllWaysFinds) {
  unsigned state = 7;
  const auto below = [&state](unsigned limit) {
    state = state * 1664525U + 1013904223U;
    return (state >> 8) % limit;
  };
  for (int trial = 0; trial < 60; ++trial) {
    const int elements = 3 + static_cast<int>(below(8));
    std::vector<std::vector<int>> sets(4 + below(7));
    for (auto& set : sets)
      for (int e = 0; e < elements; ++e)
        if (below(3) == 0) set.push_back(e);
    sets.emplace_back();
    for (int e = 0; e < elements; ++e)
      sets[below(static_cast<unsigned>(sets.size() - 1))].push_back(e);
    std::size_t fewest = sets.size();
    for (unsigned mask = 0; mask < (1U << sets.size()); ++mask) {
      std::vector<bool> held(static_cast<std::size_t>(elements), false);
      std::size_t count = 0;
      for (std::size_t s = 0; s < sets.size(); ++s) {
        if ((mask >> s & 1U) == 0) continue;
        ++count;
        for (const int e : sets[s]) held[static_cast<std::size_t>(e)] = true;
      }
      if (std::find(held.begin(), held.end(), false) == held.end())
        fewest = std::min(fewest, count);
    }
    for (auto& set : sets) {
      std::sort(set.begin(), set.end());
      set.erase(std::unique(set.begin(), set.end()), set.end());
    }
    const SetCover cover = fewest_sets(elements, sets);
    EXPECT_TRUE(cover.proven);
    EXPECT_EQ(cover.chosen.size(), fewest) << "trial " << trial;
  }
}

// E. Specht, "The best known packings of equal circles in a circle": ratios of the hole's radius to
// the cable's; the data file beside the project has them to more decimals.
TEST(FurtherCables, FillAHoleAsProvenCirclePackingsSay) {
  const std::filesystem::path file = std::filesystem::path(ROOMLOOM_SHARED_DATA) / "reference" /
                                     "circles" / "equal_circles_in_circle.csv";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no reference data beside the project";
  std::ifstream table(file);
  int tried = 0;
  for (std::string line; std::getline(table, line);) {
    std::istringstream cells(line);
    std::string count, ratio;
    std::getline(cells, count, ',');
    std::getline(cells, ratio, ',');
    char* rest = nullptr;
    const long n = std::strtol(count.c_str(), &rest, 10);
    if (rest == count.c_str() || n < 2 || n > 20) continue;
    const double d = 0.01, hole = std::strtod(ratio.c_str(), nullptr) * d + 0.003;
    const std::vector<double> others(static_cast<std::size_t>(n - 1), d);
    EXPECT_GE(further_cables(others, d, hole + 2e-5), 1) << n << " " << line;
    // Nothing goes below the least circle; 6 and 7, and 18 and 19, share theirs.
    const std::vector<double> all(static_cast<std::size_t>(n), d);
    if (n != 6 && n != 18 && n < 20) {
      EXPECT_EQ(further_cables(all, d, hole + 2e-5), 0) << n << " " << line;
    }
    ++tried;
  }
  EXPECT_EQ(tried, 19);
}

std::vector<int> stops_of(const Round& round) {
  std::vector<int> stops;
  for (const Visit& visit : round.visits) stops.push_back(visit.spot);
  return stops;
}

TEST(Round, VisitsEveryPlaceOnceWhereAllCablesRunOutwards) {
  std::vector<Spot> spots(4);
  for (std::size_t i = 0; i < spots.size(); ++i) spots[i].floor = {static_cast<double>(i), 0, 0};
  const Round round = round_of({0, 1, 2, 3}, {0, 1, 2}, {{2, 0, 1}, {2, 3}, {0, 1, 3}}, spots);
  EXPECT_EQ(stops_of(round), (std::vector<int>{2, 0, 1, 3}));
  EXPECT_EQ(round.visits[0].runs, (std::vector<int>{0, 1}));
  EXPECT_TRUE(round.fewest);
}

TEST(Round, GoesBackOnlyWhereCablesRunBothWays) {
  std::vector<Spot> spots(2);
  const Round round = round_of({0, 1}, {0, 1}, {{0, 1}, {1, 0}}, spots);
  EXPECT_EQ(round.visits.size(), 3U);
  EXPECT_TRUE(round.fewest);
}

bool holds(const std::vector<int>& stops, const std::vector<int>& way) {
  std::size_t at = 0;
  for (const int stop : stops)
    if (at < way.size() && way[at] == stop) ++at;
  return at == way.size();
}

/// Whether any sequence of so many of the places holds every way and every place, and ends at
/// `last` (-1: anywhere).
bool some_round_of(std::size_t length, int places, const std::vector<std::vector<int>>& ways,
                   int last = -1) {
  std::vector<int> stops(length, 0);
  while (true) {
    bool all = last < 0 || stops.back() == last;
    for (const auto& way : ways) all = all && holds(stops, way);
    for (int place = 0; place < places; ++place) all = all && holds(stops, {place});
    if (all) return true;
    std::size_t i = 0;
    while (i < length && ++stops[i] == places) stops[i++] = 0;
    if (i == length) return false;
  }
}

TEST(Round, HasAsFewStopsAsTryingAllRoundsFinds) {
  std::mt19937 random(11);
  for (int trial = 0; trial < 60; ++trial) {
    const int places = 2 + trial % 3;
    std::vector<Spot> spots(static_cast<std::size_t>(places));
    std::vector<int> all(spots.size()), order;
    for (std::size_t i = 0; i < spots.size(); ++i) {
      all[i] = static_cast<int>(i);
      spots[i].floor = {static_cast<double>(random() % 5), static_cast<double>(random() % 5), 0};
    }
    std::vector<std::vector<int>> ways(1 + random() % 4);
    for (std::size_t w = 0; w < ways.size(); ++w) {
      order.push_back(static_cast<int>(w));
      for (std::size_t k = random() % 4; k > 0; --k) {
        const int place = static_cast<int>(random() % static_cast<unsigned>(places));
        if (ways[w].empty() || ways[w].back() != place) ways[w].push_back(place);
      }
    }
    const Round round = round_of(all, order, ways, spots);
    ASSERT_TRUE(round.fewest);
    const std::vector<int> stops = stops_of(round);
    for (const auto& way : ways) EXPECT_TRUE(holds(stops, way)) << trial;
    EXPECT_FALSE(stops.size() > 1 && some_round_of(stops.size() - 1, places, ways)) << trial;
    // Where the ladder is wanted next it ends there if any round of as few stops does.
    const int wanted = static_cast<int>(random() % static_cast<unsigned>(places));
    const Round to = round_of(all, order, ways, spots, {wanted});
    EXPECT_TRUE(to.ends_well);
    ASSERT_EQ(to.visits.size(), stops.size()) << trial;
    EXPECT_EQ(to.visits.back().spot == wanted, some_round_of(stops.size(), places, ways, wanted))
        << trial;
    // Without a search every cable is still handed on in order.
    const std::vector<int> quick = stops_of(round_of(all, order, ways, spots, {}, 0));
    for (const auto& way : ways) EXPECT_TRUE(holds(quick, way)) << trial;
  }
}

/// Minutes of groups that share nothing but `shared` minutes, done once; a move a day and group.
struct InventedWork {
  std::vector<double> minutes;
  std::vector<int> at;  ///< place of each group: a day moves the ladder once to each place
  double shared = 0;

  DayCost cost(GroupSet day, GroupSet done) const {
    DayCost cost{done == 0 ? shared : 0, 0};
    std::set<int> places;
    for (std::size_t g = 0; g < minutes.size(); ++g) {
      if ((day >> g & 1) == 0) continue;
      cost.minutes += minutes[g];
      places.insert(at[g]);
    }
    cost.moves = static_cast<int>(places.size());
    return cost;
  }
};

/// Fewest moves of all ways to put each group into one of the days, in that order.
int fewest_moves_by_trying_all(const InventedWork& work, double day_minutes) {
  const std::size_t n = work.minutes.size();
  std::vector<std::size_t> day_of(n, 0);
  int fewest = 1000;
  while (true) {
    int moves = 0;
    bool fits = true;
    GroupSet done = 0;
    for (std::size_t day = 0; day < n; ++day) {
      GroupSet set = 0;
      for (std::size_t g = 0; g < n; ++g)
        if (day_of[g] == day) set |= GroupSet{1} << g;
      if (set == 0) continue;
      const DayCost cost = work.cost(set, done);
      fits = fits && (cost.minutes <= day_minutes || (set & (set - 1)) == 0);
      moves += cost.moves;
      done |= set;
    }
    if (fits) fewest = std::min(fewest, moves);
    std::size_t i = 0;
    while (i < n && ++day_of[i] == n) day_of[i++] = 0;
    if (i == n) return fewest;
  }
}

TEST(Days, MoveTheLadderAsSeldomAsTryingAllDivisionsFinds) {
  std::mt19937 random(5);
  for (int trial = 0; trial < 40; ++trial) {
    InventedWork work;
    for (std::size_t g = 2 + static_cast<std::size_t>(trial) % 4; g > 0; --g) {
      work.minutes.push_back(60 + static_cast<double>(random() % 240));
      work.at.push_back(static_cast<int>(random() % 3));
    }
    work.shared = static_cast<double>(random() % 90);
    const auto cost = [&](GroupSet day, GroupSet done) { return work.cost(day, done); };
    const int groups = static_cast<int>(work.minutes.size());
    const Division division = divide_into_days(groups, 360, cost);
    ASSERT_TRUE(division.fewest);
    GroupSet done = 0;
    int moves = 0;
    for (const GroupSet day : division.days) {
      EXPECT_EQ(day & done, 0U);
      const DayCost one = cost(day, done);
      EXPECT_TRUE(one.minutes <= 360 + 1e-6 || (day & (day - 1)) == 0);
      moves += one.moves;
      done |= day;
    }
    EXPECT_EQ(done, (GroupSet{1} << groups) - 1);
    EXPECT_EQ(moves, fewest_moves_by_trying_all(work, 360)) << trial;
  }
}

// In the given order two days move the ladder four times; together by place it is twice.
TEST(Days, PutWhatIsReachedFromOnePlaceIntoOneDay) {
  const InventedWork work{{170, 170, 170, 170, 10}, {1, 2, 1, 2, 1}, 0};
  const Division division =
      divide_into_days(5, 350, [&](GroupSet day, GroupSet done) { return work.cost(day, done); });
  ASSERT_TRUE(division.fewest);
  EXPECT_EQ(division.days.size(), 2U);
  int moves = 0;
  for (const GroupSet day : division.days) moves += work.cost(day, 0).moves;
  EXPECT_EQ(moves, 2);
}

// By place, 0 and 2 would be one day and 1 and 3 the other; but 0 waits for 3.
TEST(Days, KeepWhatMustBeDoneBefore) {
  const InventedWork work{{170, 170, 170, 170}, {1, 2, 1, 2}, 0};
  const auto cost = [&](GroupSet day, GroupSet done) { return work.cost(day, done); };
  EXPECT_EQ(divide_into_days(4, 350, cost).days, (std::vector<GroupSet>{5, 10}));
  for (const long most_costs : {3000L, 0L}) {
    const Division division = divide_into_days(4, 350, cost, {8, 0, 0, 0}, most_costs);
    EXPECT_EQ(division.fewest, most_costs > 0);
    GroupSet done = 0;
    for (const GroupSet day : division.days) {
      done |= day;
      EXPECT_TRUE((done & 1) == 0 || (done & 8) != 0) << "before its turn";
    }
    EXPECT_EQ(done, 15U);
  }
}

TEST(Days, ThatWouldTakeTooMuchTryingAreTakenInOrderAndNotSaidToBeFewest) {
  const InventedWork work{{200, 200, 100, 300}, {1, 1, 2, 2}, 0};
  const auto cost = [&](GroupSet day, GroupSet done) { return work.cost(day, done); };
  const Division division = divide_into_days(4, 360, cost, {}, 3);
  EXPECT_FALSE(division.fewest);
  EXPECT_EQ(division.days, (std::vector<GroupSet>{1, 6, 8}));
}

/// Raceway round an outside and an inside corner, and longer than a stock.
TEST(RacewayPieces, AreMitredAtCornersAndJoinedWhereTheyAreLongerThanAStock) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 9, 3);
  hand.run("S1", {{0.008, 0, 1}, {0.008, 7, 1}, {0.008, 7, 2.5}}, 0, Medium::raceway, wall);
  hand.buy_raceway(1);
  const CableShapes shapes = shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  const Takeoff takeoff = take_off(shapes, hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  double metres = 0;
  int mitres = 0, joiners = 0;
  for (const RacewayPiece& piece : takeoff.raceway_pieces) {
    metres += piece.length_m;
    EXPECT_LE(piece.length_m, 3 + 1e-9);
    EXPECT_FALSE(piece.stock.empty());
    for (const std::string& end : {piece.start, piece.end}) {
      mitres += end.rfind("45 deg mitre, flat elbow ", 0) == 0 ? 1 : 0;
      joiners += end.rfind("square, joiner ", 0) == 0 ? 1 : 0;
    }
  }
  EXPECT_EQ(mitres, 2);
  EXPECT_EQ(joiners, 4);  // 7 m from three lengths of 3 m
  // A flat elbow adds half the width to the long edge of both pieces.
  EXPECT_NEAR(metres, 8.5 + 0.04, 1e-9);
}

}  // namespace
}  // namespace roomloom
