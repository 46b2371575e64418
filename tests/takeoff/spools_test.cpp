#include "takeoff/spools.h"

#include <gtest/gtest.h>

#include "shape/hand_room.h"

namespace roomloom {
namespace {

/// Runs of one cable with these cut lengths, and nothing else.
struct Bench {
  testing::HandRoom hand;
  Takeoff takeoff;
  std::vector<JacketWish> wishes;

  explicit Bench(const std::vector<double>& lengths, int cable = 0) {
    for (std::size_t i = 0; i < lengths.size(); ++i) {
      Run run;
      run.id = "S" + std::to_string(i + 1);
      run.cable = cable;
      hand.ends.runs.push_back(run);
      RunRow row;
      row.run = static_cast<int>(i);
      row.id = run.id;
      row.routed = true;
      row.drawn_m = row.cut_m = lengths[i];
      takeoff.runs.push_back(row);
    }
    wishes.resize(lengths.size());
  }
  CableType& cable(int index = 0) {
    return hand.job.catalogue.cables[static_cast<std::size_t>(index)];
  }
  void plan() {
    takeoff.totals.clear();
    takeoff.spools.clear();
    plan_spools(takeoff, wishes, hand.ends, hand.job);
  }
  int bought() const {
    int count = 0;
    for (const Spool& spool : takeoff.spools) count += spool.on_shelf ? 0 : 1;
    return count;
  }
};

// Worked by hand: 4 + 3 + 3 fills a spool of 10 three times; first-fit decreasing takes four.
TEST(Spools, AreFewerThanFirstFitDecreasingWouldTake) {
  Bench bench({4, 4, 4, 3, 3, 3, 3, 3, 3});
  bench.cable().put_ups_m = {10};
  bench.cable().price_per_m = 1;
  bench.plan();
  EXPECT_EQ(bench.takeoff.spools.size(), 3U);
  EXPECT_TRUE(bench.takeoff.totals.at(0).proven);
}

TEST(Spools, OnTheShelfAreUsedBeforeAnyIsBoughtAndAnswerWhetherTheyAreEnough) {
  Bench bench({6, 5, 4});
  bench.cable().put_ups_m = {10};
  bench.cable().price_per_m = 1;
  bench.hand.job.spools = {{"speaker", 9, "", 0, 1, true}};
  bench.plan();
  EXPECT_EQ(bench.bought(), 1);
  EXPECT_FALSE(bench.takeoff.totals.at(0).shelf_enough);
  bench.hand.job.spools.push_back({"speaker", 6, "", 0, 1, true});
  bench.plan();
  EXPECT_EQ(bench.bought(), 0);
  EXPECT_TRUE(bench.takeoff.totals.at(0).shelf_enough);
  EXPECT_EQ(bench.takeoff.totals.at(0).price, 0);
}

TEST(Spools, OfTheJobsOffersReplaceTheCataloguesPutUps) {
  Bench bench({6, 3});
  bench.cable().put_ups_m = {10};
  bench.cable().price_per_m = 1;
  bench.hand.job.spools = {{"speaker", 6, "", 3, 1, false}, {"speaker", 20, "", 30, 1, false}};
  bench.plan();
  EXPECT_EQ(bench.takeoff.spools.size(), 2U);  // two of 6 m for 6 instead of one of 20 m for 30
  EXPECT_NEAR(bench.takeoff.totals.at(0).price, 6, 1e-9);
}

TEST(Spools, ThatWouldBeNearlyOutAreFlagged) {
  Bench bench({5, 4.95});
  bench.hand.job.prefer.contingency = 0.02;
  bench.cable().put_ups_m = {10};
  bench.plan();
  ASSERT_EQ(bench.takeoff.spools.size(), 1U);
  EXPECT_TRUE(bench.takeoff.spools[0].nearly_out);
  bench.cable().put_ups_m = {11};
  bench.plan();
  EXPECT_FALSE(bench.takeoff.spools[0].nearly_out);
}

TEST(Spools, OfReadyMadeLeadsServeOneRunEach) {
  Bench bench({1, 1, 4}, 2);  // "picture" has a moulded head
  bench.cable(2).put_ups_m = {2, 5};
  bench.cable(2).price_per_m = 1;
  bench.hand.job.spools = {{"picture", 5, "", 0, 1, true}};
  bench.plan();
  ASSERT_EQ(bench.takeoff.spools.size(), 3U);
  for (const Spool& spool : bench.takeoff.spools) EXPECT_EQ(spool.cuts.size(), 1U);
  EXPECT_NEAR(bench.takeoff.totals.at(0).price, 4, 1e-9);  // the long run takes the shelf's lead
}

TEST(Spools, KeepColoursThatRunsMustHave) {
  Bench bench({6, 5, 4});
  bench.cable().colours = {"white", "black"};
  bench.cable().put_ups_m = {10};
  bench.cable().price_per_m = 1;
  bench.wishes[0].colour = "black";
  bench.hand.job.spools = {{"speaker", 20, "white", 0, 1, true}};
  bench.plan();
  EXPECT_EQ(bench.takeoff.runs[0].colour, "black");
  EXPECT_EQ(bench.takeoff.runs[1].colour, "white");
  EXPECT_EQ(bench.takeoff.runs[2].colour, "white");
  EXPECT_EQ(bench.bought(), 1);
}

TEST(Spools, SayWhyEachRunHasItsColourAndWhereItComesFrom) {
  Bench bench({6, 9, 8});
  bench.cable().colours = {"white", "black"};
  bench.cable().put_ups_m = {10};
  bench.wishes[0] = {"black", "seen on Wall left: shows least there", true};
  bench.hand.job.spools = {{"speaker", 9, "white", 0, 1, true}};
  bench.plan();
  EXPECT_EQ(bench.takeoff.runs[0].colour_why, "seen on Wall left: shows least there; bought");
  EXPECT_EQ(bench.takeoff.runs[1].colour_why, "hidden: what lies on the shelf");
  EXPECT_EQ(bench.takeoff.runs[2].colour_why, "hidden: bought by service");
}

TEST(Spools, AreNeverMadeUpForARunThatNoneIsLongEnoughFor) {
  Bench bench({12, 3});
  bench.cable().put_ups_m = {10};
  bench.plan();
  std::size_t told = 0;
  for (const CableTotal& total : bench.takeoff.totals) told += total.too_long.size();
  EXPECT_EQ(told, 1U);
  ASSERT_EQ(bench.takeoff.spools.size(), 1U);
  EXPECT_EQ(bench.takeoff.spools[0].cuts[0].id, "S2");
}

TEST(JacketWish, OfAnExposedRunIsTheWallsColourAndOfAHiddenOneNone) {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 9, 3);
  hand.run("S1", {{0.008, 0, 1}, {0.008, 7, 1}}, 0, Medium::bare, wall);
  hand.run("S2", {{0.008, 0, 2}, {0.008, 7, 2}}, 0, Medium::raceway, wall);
  for (TrackEdge& edge : hand.tracks.edges) edge.visible_m = edge.length_m;
  hand.job.catalogue.cables[0].colours = {"white", "black"};
  const auto dark = jacket_wishes(hand.plan, hand.tracks, hand.ends, hand.room, hand.job, nullptr);
  EXPECT_EQ(dark[0].colour, "black");
  EXPECT_EQ(dark[0].why, "seen on Wall, whose colour is not known: the darkest");
  EXPECT_EQ(dark[1].colour, "");
  Scene scene;
  scene.parts.emplace_back();
  scene.parts[0].colour = Colour{0.9F, 0.9F, 0.88F, 1};
  for (Sheet& sheet : hand.room.sheets) sheet.parts = {0};
  const auto pale = jacket_wishes(hand.plan, hand.tracks, hand.ends, hand.room, hand.job, &scene);
  EXPECT_EQ(pale[0].colour, "white");
  EXPECT_EQ(pale[0].why, "seen on Wall: shows least there");
}

}  // namespace
}  // namespace roomloom
