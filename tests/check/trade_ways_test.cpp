#include <gtest/gtest.h>

#include "check/trade_rooms.h"

/// Pulling, fill, support and separation: a plan that passes and one that fails, each.
namespace roomloom::testing {
namespace {

bool tells(const Findings& findings, const std::string& id) { return !found(findings, id).empty(); }

/// Runs along the left wall that must go through a ready conduit.
TradeRoom conduit_room(const char* points, const char* inside, int runs, const char* cable) {
  TradeRoom trade;
  trade.room["conduits"] = Json::array({{{"name", "Pipe"},
                                         {"points", Json::parse(points)},
                                         {"diameter", 0.03},
                                         {"inside_diameter", inside}}});
  trade.rule("Pipe")["is"] = "conduit";
  trade.rule("Pipe")["inside"] = inside;
  trade.job["runs"] = Json::array();
  for (int i = 0; i < runs; ++i) {
    const std::string n = std::to_string(i);
    trade.job["ends"].push_back(
        {{"id", "p" + n}, {"at", "Wall left"}, {"from_left", 1 - 0.06 * i}, {"up", 0.4}});
    trade.job["ends"].push_back(
        {{"id", "q" + n}, {"at", "Wall left"}, {"from_left", 4 + 0.06 * i}, {"up", 0.4}});
    trade.job["runs"].push_back(
        {{"id", "R" + n}, {"from", "p" + n}, {"to", "q" + n}, {"cable", cable}, {"via", "Pipe"}});
  }
  return trade;
}

constexpr const char* kStraight = "[[0.016, 1.5, 0.4], [0.016, 3.5, 0.4]]";
constexpr const char* kCrooked =
    "[[0.016, 1.5, 0.4], [0.016, 1.5, 1.4], [0.016, 2.0, 1.4], [0.016, 2.0, 0.4], "
    "[0.016, 2.5, 0.4], [0.016, 2.5, 1.4], [0.016, 3.0, 1.4], [0.016, 3.0, 0.4], "
    "[0.016, 3.5, 0.4]]";

TEST(TradeOfPulling, AFifthRightAngleInAConduitIsTooMany) {
  EXPECT_FALSE(tells(judged(conduit_room(kStraight, "24 mm", 1, "cat6")), "pull-bends"));
  const auto all = found(judged(conduit_room(kCrooked, "24 mm", 1, "cat6")), "pull-bends");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
}

TEST(TradeOfPulling, ABendThatIsPulledRoundWantsTheLargerRadius) {
  TradeRoom trade = conduit_room(kCrooked, "24 mm", 1, "cat6");
  EXPECT_TRUE(tells(judged(trade), "pull-radius"));
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "pull_bend_radius": "5 mm"}])");
  EXPECT_FALSE(tells(judged(trade), "pull-radius"));
}

TEST(TradeOfPulling, ManyBendsAndAHeavyCablePullHard) {
  TradeRoom trade = conduit_room(kCrooked, "24 mm", 1, "cat6");
  trade.job["prefer"]["pull_friction"] = 0.1;
  EXPECT_FALSE(tells(judged(trade), "pull-tension"));
  trade.job["prefer"]["pull_friction"] = 0.6;
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "pull_limit_n": 20}])");
  EXPECT_TRUE(tells(judged(trade), "pull-tension"));
}

// NEC chapter 9, table 1: two cables may take 31 %, and what lies in the pipe counts.
TEST(TradeOfFill, AConduitTakesItsShareAndNoMore) {
  TradeRoom trade = conduit_room(kStraight, "24 mm", 2, "cat6");
  EXPECT_FALSE(tells(judged(trade), "conduit-fill"));
  Json later = trade.job;
  for (Json& part : later["parts"])
    if (part["match"] == "Pipe") part["inside"] = "14 mm";
  EXPECT_TRUE(tells(judged_later(trade, later), "conduit-fill"));
  later = trade.job;
  for (Json& part : later["parts"])
    if (part["match"] == "Pipe")
      part["occupied_by"] = Json::array({"cat6a", "cat6a", "cat6a", "cat6a"});
  EXPECT_TRUE(tells(judged_later(trade, later), "conduit-fill"));
}

TEST(TradeOfFill, ThreeEqualCablesMayJam) {
  EXPECT_FALSE(tells(judged(conduit_room(kStraight, "24 mm", 3, "cat6")), "conduit-jam"));
  EXPECT_TRUE(tells(judged(conduit_room(kStraight, "19.5 mm", 3, "cat6")), "conduit-jam"));
}

TEST(TradeOfFill, ARacewayIsFilledToItsLimit) {
  TradeRoom trade;
  for (Json& run : trade.job["runs"]) run.erase("via");
  trade.job["prefer"]["fill_limit"] = 0.2;
  TradeRoom same = trade;
  EXPECT_TRUE(tells(judged_later(trade,
                                 [&] {
                                   Json later = same.job;
                                   later["prefer"]["fill_limit"] = 0.01;
                                   return later;
                                 }()),
                    "raceway-fill"));
  TradeRoom one;
  one.job["runs"] = Json::array({one.run(0)});
  one.job["runs"][0].erase("via");
  EXPECT_FALSE(tells(judged(one), "raceway-fill"));
}

TEST(TradeOfFill, AHoleHoldsItsCables) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "hole-fill"));
  Json later = trade.job;
  later["cables"] = Json::parse(R"([{"id": "speaker 2x1.5", "diameter": "60 mm"}])");
  const auto all = found(judged_later(trade, later), "hole-fill");
  ASSERT_FALSE(all.empty());
  EXPECT_EQ(all[0].level, Level::must);
}

TEST(TradeOfFill, TheHeadOfACablePassesTheHole) {
  TradeRoom trade;
  trade.run(0) = {{"id", "A"},
                  {"from", "amp.out1"},
                  {"to", "left"},
                  {"cable", "hdmi optical 48G"},
                  {"via", "plenum"}};
  EXPECT_FALSE(tells(judged(trade), "head-passes")) << "holes are cut for heads";
  Json later = trade.job;
  later["cables"] = Json::parse(R"([{"id": "hdmi optical 48G", "head": ["90 mm", "40 mm"]}])");
  const auto all = found(judged_later(trade, later), "head-passes");
  ASSERT_FALSE(all.empty());
  EXPECT_EQ(all[0].level, Level::must);
}

TEST(TradeOfFill, RoomIsKeptForWhatTheJobNames) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "spare-capacity")) << "nothing is asked for";
  trade.job["spare"] = "12 balanced line, heads fitted";
  const auto all = found(judged(trade), "spare-capacity");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].text.find("12 line balanced, heads fitted"), std::string::npos) << all[0].text;
  EXPECT_TRUE(all[0].where);
}

TEST(TradeOfSupport, HooksStandNearEnough) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "support-spacing"));
  trade.job["prefer"]["support_spacing"] = "10 m";
  EXPECT_TRUE(tells(judged(trade), "support-spacing"));
}

TEST(TradeOfSupport, HooksAreFixedToTheStructure) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "support-structure"));
  Json later = trade.job;
  later["parts"].insert(later["parts"].begin(), Json{{"match", "Slab*"}, {"is", "ignore"}});
  EXPECT_TRUE(tells(judged_later(trade, later), "support-structure"));
}

TEST(TradeOfSupport, CableKeepsClearOfTheTilesUnlessTheUserChoosesOtherwise) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "tile-clearance"));
  trade.job["prefer"]["tile_clearance"] = "40 mm";
  auto all = found(judged(trade), "tile-clearance");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should);
  trade.job["prefer"] = {{"lay_on_tiles", true}};
  all = found(judged(trade), "tile-clearance");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note) << "the user's own choice, with its caution";
  EXPECT_NE(all[0].text.find("lay_on_tiles"), std::string::npos);
  Json later = trade.job;
  later["prefer"] = {{"lay_on_tiles", false}};
  all = found(judged_later(trade, later), "tile-clearance");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].level, Level::note);
}

TEST(TradeOfSupport, ABundleHasTwentyFourCablesAtMost) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "bundle-size"));
  trade.job["gear"][0]["holds"][0]["ports"].push_back("n1..n26");
  trade.job["runs"] = Json::array();
  for (int i = 1; i <= 26; ++i) {
    const std::string n = std::to_string(i);
    trade.job["ends"].push_back(
        {{"id", "d" + n}, {"at", "Wall back"}, {"from_left", 1.9 + 0.008 * i}, {"up", 0.5}});
    trade.job["runs"].push_back({{"id", "X" + n},
                                 {"from", "amp.n" + n},
                                 {"to", "d" + n},
                                 {"cable", "fibre cord"},
                                 {"via", "plenum"}});
  }
  EXPECT_TRUE(tells(judged(trade), "bundle-size"));
}

TEST(TradeOfSupport, CoilsOnATileAreLight) {
  TradeRoom trade;
  trade.job["ends"].push_back({{"id", "later"}, {"xyz", {2.3, 1.5, 2.5}}, {"mount", "on sheet"}});
  trade.run(0)["to"] = "later";
  trade.run(0)["provision"] = true;
  EXPECT_FALSE(tells(judged(trade), "tile-load"));
  trade.job["prefer"]["coil"] = "30 m";
  EXPECT_TRUE(tells(judged(trade), "tile-load"));
}

TradeRoom mains_room(double up) {
  TradeRoom trade;
  trade.room["mains"] = Json::array({{{"name", "Mains"},
                                      {"wall", "Wall left"},
                                      {"off_wall", 0.01},
                                      {"diameter", 0.012},
                                      {"points", {{0.5, up}, {4.5, up}}}}});
  trade.rule("Mains")["is"] = "power";
  trade.rule("Mains")["clearance"] = 0;  // the planner's own separation, switched off
  trade.job["ends"].push_back({{"id", "p"}, {"at", "Wall left"}, {"from_left", 1}, {"up", 0.4}});
  trade.job["ends"].push_back({{"id", "q"}, {"at", "Wall left"}, {"from_left", 4}, {"up", 0.4}});
  trade.job["runs"] =
      Json::array({{{"id", "R"}, {"from", "p"}, {"to", "q"}, {"cable", "speaker 2x1.5"}}});
  return trade;
}

TEST(TradeOfSeparation, ARunKeepsAwayFromMainsItRunsAlongside) {
  TradeRoom far = mains_room(1.2);
  far.run(0)["cable"] = "cat6";
  EXPECT_FALSE(tells(judged(far), "power-separation"));
  TradeRoom trade = mains_room(0.52);
  trade.run(0)["cable"] = "cat6";
  trade.run(0)["slack"] = "10 m";  // beyond the last 15 m of a link
  const auto all = found(judged(trade), "power-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].level, Level::note);
  EXPECT_NE(all[0].text.find("alongside Mains"), std::string::npos) << all[0].text;
  trade.rule("Mains")["screened"] = true;
  EXPECT_FALSE(tells(judged(trade), "power-separation")) << "30 mm suffice";
}

// EN 50174-2 waives the last 15 m of a link: in a room it is a note.
TEST(TradeOfSeparation, ShortNetworkRunsAreToldMildly) {
  TradeRoom trade = mains_room(0.52);
  trade.run(0)["cable"] = "cat6";
  const auto all = found(judged(trade), "power-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note) << all[0].text;
  trade.run(0)["slack"] = "10 m";
  EXPECT_EQ(found(judged(trade), "power-separation").at(0).level, Level::should);
  trade.run(0)["cable"] = "cat6 screened";
  EXPECT_FALSE(tells(judged(trade), "power-separation")) << "50 mm suffice with a screen";
}

// The wall that the network run comes down is called a luminaire afterwards.
TEST(TradeOfSeparation, NetworkKeepsAwayFromFluorescentTubes) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "luminaire-separation"));
  TradeRoom later;
  later.rule("Wall back")["is"] = "luminaire";
  auto all = found(judged_later(trade, later.job), "luminaire-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note) << "nobody says whether it holds tubes";
  later.rule("Wall back")["fluorescent"] = true;
  all = found(judged_later(trade, later.job), "luminaire-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should);
  later.rule("Wall back")["fluorescent"] = false;
  EXPECT_FALSE(tells(judged_later(trade, later.job), "luminaire-separation"));
}

}  // namespace
}  // namespace roomloom::testing
