#include <gtest/gtest.h>

#include "check/trade_rooms.h"

// Gear where other things need the place.

namespace roomloom::testing {
namespace {

/// The one finding about where gear stands, or what was found instead.
std::string told_of_gear(const Findings& findings) {
  const auto all = found(findings, "gear-place");
  if (all.empty()) return "";
  EXPECT_EQ(all.size(), 1U) << all_of(findings);
  EXPECT_EQ(all[0].level, Level::should);
  return all[0].text;
}

/// A door in the left wall, 0.2 m from the front one; the rack stands beside it at the front wall.
TradeRoom beside_a_door(double from_left, const char* swing) {
  TradeRoom trade;
  trade.room["doors"] = Json::parse(R"([ { "name": "Door", "wall": "Wall left", "from_left": 3.9,
    "width": 0.9, "height": 2.05, "hinge": "right" } ])");
  trade.rule("Door") = {{"match", "Door"}, {"is", "door"}, {"swing", swing}};
  trade.job["gear"][0]["from_left"] = from_left;
  return trade;
}

TEST(GearPlace, WhereADoorSwingsIsToldOnceAsThat) {
  const Findings findings = judged(beside_a_door(0.3, "90 deg"));
  EXPECT_EQ(told_of_gear(findings), "");
  const auto moving = found(findings, "pinch-point");
  ASSERT_EQ(moving.size(), 1U) << all_of(findings);
  EXPECT_NE(moving[0].text.find("rack stands where Door moves"), std::string::npos);
}

TEST(GearPlace, BeforeADoorThatOpensOutNamesTheDoor) {
  EXPECT_NE(told_of_gear(judged(beside_a_door(0.3, "0 deg"))).find("\"rack\" stands before Door"),
            std::string::npos);
  EXPECT_EQ(told_of_gear(judged(beside_a_door(0.7, "0 deg"))), "") << "one comes in beside it";
}

TEST(GearPlace, InFurnitureIsToldUnlessTheJobSaysThatItHidesThings) {
  TradeRoom trade;
  trade.room["furniture"] = Json::parse(R"([ { "name": "Sideboard", "wall": "Wall front",
    "from_left": 0.7, "off_wall": 0.06, "width": 1.0, "depth": 0.44, "height": 0.6 } ])");
  EXPECT_EQ(told_of_gear(judged(trade)), "Gear \"rack\" stands in Sideboard.");
  trade.rule("Sideboard") = {{"match", "Sideboard"}, {"is", "furniture"}, {"hides", true}};
  EXPECT_EQ(told_of_gear(judged(trade)), "");
  trade.job["parts"].erase(0);
  trade.room["furniture"][0]["from_left"] = 1.4;  // its side within the rack
  EXPECT_EQ(told_of_gear(judged(trade)), "Gear \"rack\" stands in Sideboard.");
  trade.room["furniture"][0]["from_left"] = 1.5;  // beside it, touching
  EXPECT_EQ(told_of_gear(judged(trade)), "");
  trade.room["furniture"][0].update({{"from_left", 0.7}, {"up", 0.82}, {"height", 0.05}});
  EXPECT_EQ(told_of_gear(judged(trade)), "") << "under a table top";
}

TEST(GearPlace, WherePeopleWalkIsTold) {
  const TradeRoom trade;
  for (const double x : {1.2, 2.6}) {
    Json job = trade.job;
    job["walkways"] =
        Json::array({{{"name", "Way"}, {"points", {{x, 0.2}, {x, 4.9}}}, {"width", 0.9}}});
    const std::string told = told_of_gear(judged_later(trade, job));
    EXPECT_EQ(told.find("\"rack\" stands where people walk") != std::string::npos, x < 2) << told;
  }
}

}  // namespace
}  // namespace roomloom::testing
