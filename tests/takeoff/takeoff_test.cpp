#include "takeoff/takeoff.h"

#include <gtest/gtest.h>

#include "shape/hand_room.h"
#include "shape/shape.h"

namespace roomloom {
namespace {

Takeoff taken_off(const testing::HandRoom& hand) {
  const CableShapes shapes = shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  return take_off(shapes, hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
}

testing::HandRoom three_runs() {
  testing::HandRoom hand;
  hand.run("S1", {{0, 0, 0}, {3, 0, 0}});
  hand.run("N1", {{0, 1, 0}, {4, 1, 0}}, 1);
  hand.run("S2", {{0, 2, 0}, {5, 2, 0}});
  return hand;
}

}  // namespace

TEST(Takeoff, SumsEachCableByTypeAndColour) {
  testing::HandRoom hand = three_runs();
  const Takeoff takeoff = taken_off(hand);
  ASSERT_EQ(takeoff.totals.size(), 2U);
  EXPECT_EQ(takeoff.totals[0].cable, "speaker");
  EXPECT_EQ(takeoff.totals[0].runs, 2);
  EXPECT_NEAR(takeoff.totals[0].cut_m, 8, 1e-9);
  EXPECT_NEAR(takeoff.totals[0].longest_m, 5, 1e-9);
  EXPECT_NEAR(takeoff.cut_m, 12, 1e-9);
  hand.job.runs[2].colour = "white";
  EXPECT_EQ(taken_off(hand).totals.size(), 3U);
}

TEST(Takeoff, DoesNotBuyCableForAnInstalledRun) {
  testing::HandRoom hand = three_runs();
  hand.job.runs[0].installed = true;
  hand.job.runs[0].measured_m = 3.4;
  const Takeoff takeoff = taken_off(hand);
  EXPECT_NEAR(takeoff.totals[1].cut_m, 5, 1e-9);
  EXPECT_NEAR(takeoff.runs[0].cut_m, 3.4, 1e-9);
  EXPECT_TRUE(takeoff.runs[0].installed);
}

TEST(Takeoff, TakesThePutUpThatCostsLeast) {
  testing::HandRoom hand = three_runs();
  hand.job.catalogue.cables[0].put_ups_m = {4, 5, 8, 100};
  hand.job.catalogue.cables[0].price_per_m = 1;
  const Takeoff takeoff = taken_off(hand);
  EXPECT_EQ(takeoff.totals[0].put_up_m, 8);  // 5 + 3 from one spool; 4 m holds no run of 5
  EXPECT_EQ(takeoff.totals[0].spools, 1);
  EXPECT_NEAR(takeoff.totals[0].left_over_m, 0, 1e-9);
  EXPECT_EQ(takeoff.totals[1].spools, 0);  // no put-up known
}

TEST(Takeoff, NamesWhoSharesAWayAndWhatBlocksARun) {
  testing::HandRoom hand = three_runs();
  hand.plan.trunks.push_back({{0}, {0, 2}, 1});
  hand.plan.runs[1].routed = false;
  hand.plan.runs[1].blocked_by = "Duct 1";
  const Takeoff takeoff = taken_off(hand);
  EXPECT_EQ(takeoff.runs[0].shared_with, std::vector<std::string>{"S2"});
  EXPECT_TRUE(takeoff.runs[1].shared_with.empty());
  EXPECT_EQ(takeoff.runs[1].blocked_by, "Duct 1");
  EXPECT_EQ(takeoff.totals.size(), 1U);
}

TEST(Takeoff, EveryRowSumsToItsCut) {
  testing::HandRoom hand = three_runs();
  hand.job.prefer = Preferences{};
  for (const RunRow& row : taken_off(hand).runs) {
    double sum = row.drawn_m;
    for (const Addend& addend : row.addends) sum += addend.metres;
    EXPECT_NEAR(sum, row.cut_m, 1e-12);
  }
}

TEST(Takeoff, CountsRacewayByStocks) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 9, 3);
  hand.run("S1", {{0.008, 0, 1}, {0.008, 7, 1}, {0.008, 7, 2.5}}, 0, Medium::raceway, wall);
  hand.buy_raceway(1);
  const Takeoff takeoff = taken_off(hand);
  ASSERT_EQ(takeoff.raceways.size(), 1U);
  EXPECT_EQ(takeoff.raceways[0].raceway, "40 x 25");
  // 7 and 1.5 m of centreline; the outer edges of both mitred pieces are half a width longer.
  EXPECT_NEAR(takeoff.raceways[0].length_m, 8.54, 1e-9);
  EXPECT_EQ(takeoff.raceways[0].pieces, 4);
  EXPECT_EQ(takeoff.raceways[0].stocks, 3);  // 3 + 3 + (1 + 1.5) from stocks of 3 m
}

}  // namespace roomloom
