#include <cmath>
#include <map>
#include <set>

#include "pipeline/takeoff_of.h"

/// The order of work as a second reader of the ladder sheet follows it, step by step, in the demo
/// rooms and in rooms made up at random.
namespace roomloom::testing {
namespace {

using WorkOrderOf = TakeoffOf;

TEST_P(WorkOrderOf, HandsEveryCableOnOutwardsThroughHolesThatAreCut) {
  std::map<std::string, int> hole_cut;  // when
  std::map<std::string, int> fitted, tested;
  for (std::size_t i = 0; i < t().steps.size(); ++i) {
    const WorkStep& step = t().steps[i];
    const int now = static_cast<int>(i);
    if (step.task == "cut a hole") {
      for (const std::string& hole : step.things) {
        EXPECT_EQ(hole_cut.count(hole), 0U) << hole << " is cut twice";
        hole_cut[hole] = now;
      }
    }
    if (step.task == "pull a metre of cable")
      for (const std::string& run : step.runs) fitted[run] = now;
    if (step.task == "test a run")
      for (const std::string& run : step.runs) tested[run] = now;
  }
  for (const HoleRow& hole : t().holes) {
    if (hole.existing) continue;
    ASSERT_EQ(hole_cut.count(hole.name), 1U) << hole.name;
    for (const std::string& run : hole.runs) {
      if (fitted.count(run) == 0) continue;
      EXPECT_LT(hole_cut[hole.name], fitted[run]) << run;
    }
  }
  for (const RunRow& row : t().runs) {
    EXPECT_EQ(tested.count(row.id), to_pull(row) ? 1U : 0U) << row.id;
  }
}

TEST_P(WorkOrderOf, ClosesEachDayWhatItOpenedAfterTheTests) {
  std::map<int, std::set<std::string>> open;
  std::map<int, bool> closing;
  for (const WorkStep& step : t().steps) {
    if (step.task == "lift a tile") {
      for (const std::string& tile : step.things)
        EXPECT_TRUE(open[step.day].insert(tile).second) << tile;
    }
    if (step.task == "put a tile back") {
      closing[step.day] = true;
      for (const std::string& tile : step.things) EXPECT_EQ(open[step.day].erase(tile), 1U) << tile;
    }
    if (step.task == "test a run") {
      EXPECT_FALSE(closing[step.day]) << "day " << step.day;
    }
  }
  for (const auto& [day, tiles] : open) EXPECT_TRUE(tiles.empty()) << "day " << day;
}

/// A run is cut, pulled, fitted and tested in one day, and each day keeps to its length.
TEST_P(WorkOrderOf, LeavesTheRoomUsableAtTheEndOfEveryDay) {
  std::map<std::string, std::set<int>> days;
  std::map<int, std::set<std::string>> runs_of_day;
  std::map<int, double> minutes;
  for (const WorkStep& step : t().steps) {
    minutes[step.day] += step.minutes;
    for (const std::string& run : step.runs)
      if (step.task != "cut a hole" && step.task != "fix a metre of raceway") {
        days[run].insert(step.day);
        runs_of_day[step.day].insert(run);
      }
  }
  for (const RunRow& row : t().runs) {
    if (to_pull(row)) {
      EXPECT_EQ(days[row.id].size(), 1U) << row.id;
    }
  }
  for (const auto& [day, sum] : minutes)
    if (runs_of_day[day].size() > 1) {
      EXPECT_LE(sum, p().job.work.day_minutes + 1e-6) << "day " << day;
    }
}

TEST_P(WorkOrderOf, CountsEveryMoveOfTheLadder) {
  int moves = 0;
  std::string at;
  int day = 0;
  bool worked = true;
  for (const WorkStep& step : t().steps) {
    if (step.day != day) at.clear();
    day = step.day;
    if (step.task == "move the ladder") {
      EXPECT_NE(step.place, at) << "it stands there already";
      EXPECT_TRUE(worked) << "nothing was done at " << at;
      ++moves;
      at = step.place;
      worked = false;
    } else if (step.place.front() == 'L' || step.task == "pass a cable on" ||
               step.task == "put a tile back" || step.task == "lift a tile" ||
               step.text.find("to the structure above") != std::string::npos) {
      EXPECT_EQ(step.place, at) << step.text;
      worked = true;
    }
  }
  EXPECT_TRUE(worked) << "nothing was done at " << at;
  EXPECT_EQ(moves, t().ladder_moves);
  // The classroom's work falls into more groups than are searched through.
  EXPECT_TRUE(t().fewest_moves || !is_demo() || GetParam() == "classroom");
}

/// The largest moulded heads, then the longest and stiffest: less goes first.
std::pair<double, double> turn_of(const RunRow& row, const CableType& cable) {
  return {-std::hypot(cable.head_width_m, cable.head_height_m), -row.cut_m * cable.diameter_m};
}

/// At one place of one day cables are handed on the longest and stiffest first, and so a day pulls
/// them.
TEST_P(WorkOrderOf, HandsCablesOnAndPullsThemInPullOrderAndEachOutwards) {
  std::map<std::string, std::pair<double, double>> turn;
  for (const RunRow& row : t().runs) turn[row.id] = turn_of(row, cable_of(row.run));
  std::map<std::string, std::vector<const LadderPlace*>> passed;
  std::map<std::string, const LadderPlace*> places;
  for (const LadderPlace& place : t().ladder_places) places[place.name] = &place;
  for (const WorkStep& step : t().steps) {
    if (step.task == "pull a metre of cable") {
      for (std::size_t i = 1; i < step.runs.size(); ++i)
        EXPECT_LE(turn[step.runs[i - 1]], turn[step.runs[i]]) << step.text;
    }
    if (step.task != "pass a cable on") continue;
    for (std::size_t i = 0; i < step.runs.size(); ++i) {
      EXPECT_TRUE(i == 0 || turn[step.runs[i - 1]] <= turn[step.runs[i]]) << step.text;
      passed[step.runs[i]].push_back(places.at(step.place));
    }
  }
  for (std::size_t i = 0; i < t().runs.size(); ++i) {
    const RunRow& row = t().runs[i];
    if (!to_pull(row)) continue;
    // Each hole above one's reach that it passes is reached from a place where it is handed on.
    for (const HoleRow& hole : t().holes) {
      if (std::find(hole.runs.begin(), hole.runs.end(), row.id) == hole.runs.end()) continue;
      if (hole.centre.z < p().room.floor_z_m + p().job.work.reach_up_m) continue;
      EXPECT_FALSE(passed[row.id].empty()) << row.id << " through " << hole.name;
    }
  }
}

/// Over a ceiling nobody reaches farther than an arm from each side.
TEST_P(WorkOrderOf, SaysHowCablesComeToAPlaceThatAHandDoesNotReach) {
  std::map<std::string, const LadderPlace*> places;
  for (const LadderPlace& place : t().ladder_places) places[place.name] = &place;
  std::set<std::pair<int, std::string>> opened;  // day and place
  for (const WorkStep& step : t().steps)
    if (step.task == "lift a tile") opened.insert({step.day, step.place});
  std::map<std::string, const WorkStep*> before;
  for (const WorkStep& step : t().steps) {
    if (step.task != "pass a cable on") continue;
    for (const std::string& run : step.runs) {
      const WorkStep* last = std::exchange(before[run], &step);
      if (last == nullptr || opened.count({step.day, step.place}) == 0 ||
          opened.count({last->day, last->place}) == 0)
        continue;
      const Vec3 way = places.at(step.place)->floor - places.at(last->place)->floor;
      const bool far = std::hypot(way.x, way.y) > 2 * p().job.work.reach_m + 1e-6;
      EXPECT_EQ(last->text.find(" To " + step.place + " it is ") != std::string::npos, far)
          << last->text;
    }
  }
}

/// Who works down the pull order does what the ladder sheet says, cable by cable.
TEST_P(WorkOrderOf, ListsCablesAsTheLadderSheetComesToThem) {
  std::vector<std::string> met;
  std::map<std::string, std::pair<int, std::size_t>> first;  // day and step
  std::map<std::string, std::string> stands;
  for (std::size_t i = 0; i < t().steps.size(); ++i) {
    const WorkStep& step = t().steps[i];
    const bool passes = step.task == "pass a cable on";
    if (!passes && step.task != "pull a metre of cable" && step.task != "lay a cord") continue;
    for (const std::string& run : step.runs) {
      if (first.try_emplace(run, step.day, i + 1).second) met.push_back(run);
      if (passes) stands[run] += (stands[run].empty() ? "" : ", ") + step.place;
    }
  }
  const Table& order = table_of(p(), "pull_order");
  ASSERT_EQ(order.rows.size(), met.size());
  for (std::size_t r = 0; r < met.size(); ++r) {
    EXPECT_EQ(text_in(order, r, "run"), met[r]);
    EXPECT_EQ(number_in(order, r, "day"), first[met[r]].first) << met[r];
    EXPECT_EQ(number_in(order, r, "step"), static_cast<double>(first[met[r]].second)) << met[r];
    EXPECT_EQ(text_in(order, r, "stands"), stands[met[r]]) << met[r];
  }
}

/// An end that is left open takes no connector, so there is no link or polarity to test yet.
TEST_P(WorkOrderOf, TestsWhatHasAnOpenEndAsFarAsThatCanBe) {
  std::set<std::string> open, tested_open;
  const Table& ends = table_of(p(), "ends");
  for (std::size_t r = 0; r < ends.rows.size(); ++r)
    if (text_in(ends, r, "state").rfind("leave ", 0) == 0) open.insert(text_in(ends, r, "run"));
  for (const WorkStep& step : t().steps) {
    if (step.task != "test a run") continue;
    const bool partly = step.text.find("with an end open") != std::string::npos;
    EXPECT_EQ(partly, step.text.find("tested when the end is fitted") != std::string::npos);
    for (const std::string& run : step.runs) {
      EXPECT_EQ(partly, open.count(run) != 0) << step.text;
      if (partly) tested_open.insert(run);
    }
  }
  EXPECT_EQ(tested_open, open);
}

TEST_P(WorkOrderOf, TellsNobodyToCutAReadyMadeLead) {
  std::set<std::string> leads, taken;
  for (const RunRow& row : t().runs)
    if (to_pull(row) && cable_of(row.run).head_width_m > 0) leads.insert(row.id);
  for (const WorkStep& step : t().steps) {
    if (step.task != "label an end") continue;
    const bool cuts = step.text.rfind("Cut by", 0) == 0;
    for (const std::string& run : step.runs) {
      EXPECT_EQ(cuts, leads.count(run) == 0) << step.text;
      if (!cuts) taken.insert(run);
    }
  }
  EXPECT_EQ(taken, leads);
  const Table& cuts = table_of(p(), "spool_cuts");
  for (std::size_t r = 0; r < cuts.rows.size(); ++r)
    EXPECT_EQ(leads.count(text_in(cuts, r, "run")), 0U);
  const Table& list = table_of(p(), "leads");
  EXPECT_EQ(list.rows.size(), leads.size());
  for (std::size_t r = 0; r < list.rows.size(); ++r) {
    EXPECT_EQ(leads.count(text_in(list, r, "run")), 1U);
    EXPECT_GE(number_in(list, r, "over_m"), 0);
    EXPECT_NEAR(number_in(list, r, "least_m") + number_in(list, r, "over_m"),
                number_in(list, r, "length_m"), 1e-6);
  }
  const Table& cords = table_of(p(), "cords");
  for (std::size_t r = 0; r < cords.rows.size(); ++r)
    EXPECT_EQ(number_in(cords, r, "cut_m") > 0, leads.count(text_in(cords, r, "run")) == 0);
}

/// Fixed where it can be reached, bought, and hung before the day ends.
TEST_P(WorkOrderOf, HangsEveryCoilOnASupportOfItsOwnThatIsBought) {
  const Table& ends = table_of(p(), "ends");
  std::set<std::pair<std::string, std::string>> coils, fixed, hung;  // run and end
  std::map<std::string, double> height;
  for (std::size_t r = 0; r < ends.rows.size(); ++r) {
    height[text_in(ends, r, "end")] = number_in(ends, r, "height_m");
    if (text_in(ends, r, "state") == "leave coiled")
      coils.insert({text_in(ends, r, "run"), text_in(ends, r, "end")});
  }
  double supports = 0;
  for (const WorkStep& step : t().steps) {
    if (step.task == "fix a support") supports += step.count;
    if (step.task == "coil and hang a cable") {
      EXPECT_EQ(fixed.count({step.runs.front(), step.things.front()}), 1U) << step.text;
      hung.insert({step.runs.front(), step.things.front()});
    } else if (step.task == "fix a support" && !step.runs.empty()) {
      fixed.insert({step.runs.front(), step.things.front()});
      EXPECT_TRUE(step.place.front() == 'L' ||
                  height[step.things.front()] <= p().job.work.reach_up_m + 1e-6)
          << step.text << " " << step.place;
    }
  }
  EXPECT_EQ(hung, coils);
  const Table& shopping = table_of(p(), "shopping");
  double bought = 0;
  for (std::size_t r = 0; r < shopping.rows.size(); ++r) {
    const std::string item = text_in(shopping, r, "item");
    if (item.rfind("hook ", 0) == 0 || item == "support") bought += number_in(shopping, r, "count");
  }
  EXPECT_EQ(supports, bought);
}

/// A hole is as wide as its heads need when they pass before what has none or a smaller one.
TEST_P(WorkOrderOf, NoDayPullsACableThroughAHoleThatALargerHeadMustPassLater) {
  std::map<std::string, int> day_of;
  for (const WorkStep& step : t().steps)
    if (step.task == "pull a metre of cable")
      for (const std::string& run : step.runs) day_of.try_emplace(run, step.day);
  ASSERT_FALSE(day_of.empty());
  const auto head = [&](int run) {
    return std::hypot(cable_of(run).head_width_m, cable_of(run).head_height_m);
  };
  for (const HoleShape& hole : p().shapes.holes)
    for (const int early : hole.runs)
      for (const int late : hole.runs) {
        const auto a = day_of.find(p().ends.runs[static_cast<std::size_t>(early)].id);
        const auto b = day_of.find(p().ends.runs[static_cast<std::size_t>(late)].id);
        if (a == day_of.end() || b == day_of.end() || head(early) >= head(late) - 1e-6) continue;
        EXPECT_GE(a->second, b->second) << hole.name << ": " << a->first << " before " << b->first;
      }
}

INSTANTIATE_TEST_SUITE_P(Room, WorkOrderOf, kDemoRooms, room_test_name);
INSTANTIATE_TEST_SUITE_P(MadeUp, WorkOrderOf, kMadeUpRooms, room_test_name);

}  // namespace
}  // namespace roomloom::testing
