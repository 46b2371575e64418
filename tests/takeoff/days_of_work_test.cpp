#include <gtest/gtest.h>

#include <map>
#include <set>
#include <string>

#include "shape/hand_room.h"
#include "shape/shape.h"
#include "takeoff/takeoff.h"

namespace roomloom {
namespace {

/// Runs in raceway along a wall, some at hand height and some above reach, every other one with two
/// corners and the rest with none: as fittings they ask for unlike amounts of work.
Takeoff runs_in_raceway(double day_minutes) {
  testing::HandRoom hand;
  hand.job.work.day_minutes = day_minutes;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 30, 3);
  hand.sheet("Floor", {0, 0, 0}, {1, 0, 0}, {0, 1, 0}, 3, 30);
  hand.room.sheets.back().role = SheetRole::floor;
  hand.room.box.add(Vec3{0, 0, 0});
  hand.room.box.add(Vec3{3, 30, 3});
  for (int i = 0; i < 10; ++i) {
    const double y = 1.0 + 2.5 * i, z = i < 5 ? 1.0 : 2.4;
    std::vector<Vec3> way{{0.008, y, z}, {0.008, y + 1.2, z}};
    if (i % 2 == 0) {
      way.push_back({0.008, y + 1.2, z + 0.3});
      way.push_back({0.008, y + 1.8, z + 0.3});
    }
    hand.run("S" + std::to_string(i), way, 0, Medium::raceway, wall);
  }
  hand.buy_raceway(0);
  const CableShapes shapes = shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  return take_off(shapes, hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

std::string note_of(const Takeoff& takeoff, const std::string& list) {
  for (const Table& table : takeoff.tables)
    if (table.id == list) return table.note;
  return "";
}

/// The work of one cable alone may be longer, and then the ladder sheet tells it.
TEST(DaysOfWork, AreNeverLongerThanAllowedWithMoreThanOneCableAndHoldEveryFittingOnce) {
  int divided = 0, too_long = 0;
  for (double allowed = 31; allowed <= 130; allowed += 4.5) {
    const Takeoff takeoff = runs_in_raceway(allowed);
    std::map<int, double> minutes;
    std::map<int, std::set<std::string>> runs;
    double fitted = 0;
    for (const WorkStep& step : takeoff.steps) {
      minutes[step.day] += step.minutes;
      if (step.task == "label an end") runs[step.day].insert(step.runs.begin(), step.runs.end());
      if (step.task == "fit a raceway fitting") fitted += step.count;
    }
    bool over = false;
    for (const auto& [day, sum] : minutes) {
      const bool longer = sum > allowed + 1e-6;
      EXPECT_FALSE(longer && runs[day].size() > 1) << sum << " of " << allowed;
      over = over || longer;
      divided += day > 1 ? 1 : 0;
    }
    too_long += over ? 1 : 0;
    EXPECT_EQ(note_of(takeoff, "ladder").find("Longer than the") != std::string::npos, over);
    double fittings = 0;
    for (const RacewayFitting& fitting : takeoff.raceway_fittings) fittings += fitting.count;
    EXPECT_GT(fittings, 0);
    EXPECT_NEAR(fitted, fittings, 1e-9);
  }
  EXPECT_GT(divided, 0);
  EXPECT_GT(too_long, 0);
}

/// Holes, supports and raceway for a cable that is too much for one day come the day before.
TEST(DaysOfWork, OfOneCableThatAreTooLongAreDividedWhereADayBeforeCanPrepareThem) {
  int prepared = 0;
  for (double allowed = 31; allowed <= 130; allowed += 4.5) {
    const Takeoff takeoff = runs_in_raceway(allowed);
    std::map<int, double> minutes;
    std::map<int, std::set<std::string>> tasks;
    double fixed = 0, metres = 0;
    for (const WorkStep& step : takeoff.steps) {
      minutes[step.day] += step.minutes;
      tasks[step.day].insert(step.task);
      if (step.task == "fix a metre of raceway") fixed += step.count;
    }
    for (const RacewayPiece& piece : takeoff.raceway_pieces) metres += piece.length_m;
    EXPECT_NEAR(fixed, metres, 1e-9) << "each piece is fixed once";
    for (const auto& [day, done] : tasks) {
      if (done.count("label an end") != 0) continue;
      ++prepared;
      EXPECT_LE(minutes[day], allowed + 1e-6);
      EXPECT_EQ(done.count("fix a metre of raceway"), 1U);
      EXPECT_EQ(done.count("pull a metre of cable"), 0U);
      EXPECT_EQ(done.count("fit a raceway fitting"), 0U)
          << "they cover what is still to be laid in";
      EXPECT_EQ(tasks[day + 1].count("fix a metre of raceway"), 0U);
      EXPECT_EQ(tasks[day + 1].count("pull a metre of cable"), 1U);
      EXPECT_FALSE(takeoff.fewest_moves);
    }
  }
  EXPECT_GT(prepared, 0);
}

/// A riser up to a hole above one's reach, in which a run ends half way and another goes on through
/// the hole.
Takeoff riser_to_a_hole(double day_minutes) {
  testing::HandRoom hand;
  hand.job.work.day_minutes = day_minutes;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 3, 3);
  hand.sheet("Floor", {0, 0, 0}, {1, 0, 0}, {0, 1, 0}, 3, 3);
  hand.room.sheets.back().role = SheetRole::floor;
  hand.room.box.add(Vec3{0, 0, 0});
  hand.room.box.add(Vec3{3, 3, 3});
  const Vec3 bottom{0.008, 1, 1}, middle{0.008, 1, 1.5}, top{0.008, 1, 2.4};
  hand.edge(bottom, middle, Medium::raceway, wall);
  hand.edge(middle, top, Medium::raceway, wall);
  hand.tile_hole(top, 0.015, {1, 1});
  hand.run("S1", {bottom, middle});
  hand.run("S2", {bottom, middle, top, top + Vec3{0, 0, 0.015}, top + Vec3{0, 0, 0.5}});
  hand.buy_raceway(0);
  const CableShapes shapes = shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  return take_off(shapes, hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

TEST(DaysOfWork, LeaveTheFittingsOffRacewayUntilTheHoleUnderItsEndIsCut) {
  int waited = 0;
  for (double allowed = 20; allowed <= 120; allowed += 5) {
    const Takeoff takeoff = riser_to_a_hole(allowed);
    ASSERT_EQ(takeoff.holes.size(), 1U);
    std::set<std::string> over, cut, open, fitted;
    for (const RacewayPiece& piece : takeoff.raceway_pieces)
      if (piece.start.ends_with(": H1") || piece.end.ends_with(": H1")) over.insert(piece.name);
    ASSERT_EQ(over.size(), 1U);
    int closed_on = 0, fitted_on = 0, cut_on = 0, day = 0;
    double fittings = 0;
    for (const WorkStep& step : takeoff.steps) {
      EXPECT_TRUE(step.day == day || open.empty()) << "after day " << day;
      day = step.day;
      for (const std::string& thing : step.things) {
        if (step.task == "cut a hole") cut_on = day;
        EXPECT_TRUE(step.task != "open raceway" || open.insert(thing).second) << thing;
        EXPECT_TRUE(step.task != "close a metre of raceway" || open.erase(thing) == 1U) << thing;
        if (step.task == "close a metre of raceway" && over.count(thing) != 0 && closed_on == 0)
          closed_on = day;
        if (step.task != "fit a raceway fitting") continue;
        EXPECT_TRUE(fitted.insert(thing).second) << thing << " is fitted twice";
        if (over.count(thing) == 0) continue;
        EXPECT_NE(cut_on, 0) << thing << " covers H1 before it is cut, in " << allowed;
        fitted_on = day;
      }
      if (step.task == "fit a raceway fitting") fittings += step.count;
    }
    EXPECT_NE(fitted_on, 0) << "in " << allowed;
    waited += closed_on < cut_on && fitted_on == cut_on ? 1 : 0;
    double bought = 0;
    for (const RacewayFitting& fitting : takeoff.raceway_fittings) bought += fitting.count;
    EXPECT_NEAR(fittings, bought, 1e-9);
  }
  EXPECT_GT(waited, 0);
}

}  // namespace
}  // namespace roomloom
