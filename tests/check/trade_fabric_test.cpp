#include <gtest/gtest.h>

#include <cstdio>
#include <sstream>

#include "check/check.h"
#include "check/trade_table.h"
#include "trade/rules.h"

/// Jackets, fire, framing, listening and living: a plan that passes and one that fails, each.
namespace roomloom::testing {
namespace {

TEST(TradeOfFabric, EveryRuleIsExplainedWithItsLimitAndSource) {
  for (const trade::Rule& one : trade::rules()) {
    EXPECT_NE(explain(one.id).find("Limit: "), std::string::npos) << one.id;
    EXPECT_NE(explain(one.id).find("Source: "), std::string::npos) << one.id;
  }
  EXPECT_NE(explain("loudspeaker-loss").find("Formula: loop = 2 x length"), std::string::npos);
}

TEST(TradeOfFabric, TheJobIsAskedWhetherTheVoidMovesAir) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "void-air"));
  trade.rule("Ceiling").erase("handles_air");
  const auto all = found(judged(trade), "void-air");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].remedy.find("\"handles_air\": false"), std::string::npos) << all[0].remedy;
}

TEST(TradeOfFabric, AVoidThatMovesAirAsksForPlenumJackets) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker 2x16awg";
  trade.run(1)["cable"] = "speaker 2x16awg";
  EXPECT_FALSE(tells(judged(trade), "jacket")) << "CL2 in an ordinary void";
  trade.rule("Ceiling")["handles_air"] = true;
  auto all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
  trade.run(0)["cable"] = "speaker 2x16awg plenum";
  trade.run(1)["cable"] = "speaker 2x16awg plenum";
  trade.run(2)["cable"] = "cat6 plenum";
  EXPECT_FALSE(tells(judged(trade), "jacket"));
}

TEST(TradeOfFabric, CableWithoutAKnownMarkIsToldOnce) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "jacket")) << "a Euroclass";
  trade.job["cables"] = Json::parse(R"([{"id": "speaker 2x1.5", "jacket": ["Fca"]}])");
  const auto all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note);
  EXPECT_NE(all[0].text.find("speaker 2x1.5"), std::string::npos);
}

// Handbook for Sound Engineers ch. 14: X types only below a quarter of an inch.
TEST(TradeOfFabric, AThickJacketOfALimitedTypeIsToldInAVoid) {
  TradeRoom trade;
  trade.job["cables"] =
      Json::parse(R"([{"id": "speaker 2x1.5", "jacket": ["CL2X"], "diameter": "5.8 mm"}])");
  EXPECT_FALSE(tells(judged(trade), "jacket"));
  trade.job["cables"][0]["diameter"] = "7.3 mm";
  const auto all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should);
  EXPECT_EQ(all[0].figure, "CL2X");
}

// A remedy names what the catalogue has, and says so where it has nothing.
// Of the same row of sizes there are thicker ones with a mark that serves.
TEST(TradeOfFabric, AnotherJacketIsLookedForInTheCablesOwnRow) {
  TradeRoom trade;
  trade.job["cables"] = Json::parse(
      R"([{"id": "speaker 2x1.5", "jacket": ["CL2X"], "diameter": "7.3 mm", "bend_radius": "20 mm"}])");
  const auto all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].remedy.find("\"speaker 2x2.5\", \"speaker 2x4\" or \"speaker 2x6\""),
            std::string::npos)
      << all[0].remedy;
}

TEST(TradeOfFabric, TheRemedyOfAJacketNamesOnlyTypesThatThereAre) {
  TradeRoom trade;
  trade.rule("Ceiling")["handles_air"] = true;
  trade.run(0)["cable"] = "speaker 4x14awg";
  trade.run(1)["cable"] = "speaker 4x14awg";
  trade.run(2)["cable"] = "cat6 plenum";
  auto all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].remedy.find("\"speaker 4x14awg plenum\""), std::string::npos) << all[0].remedy;
  trade.run(0)["cable"] = trade.run(1)["cable"] = "speaker 4x14awg plenum";
  trade.run(2)["cable"] = "cat6 screened";
  all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].remedy.find("take \"cat6 screened plenum\". "), std::string::npos)
      << all[0].remedy;
  trade.job["cables"] = Json::parse(R"([{"id": "cat6 screened", "conductors": 9}])");
  all = found(judged(trade), "jacket");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].remedy.find("nothing like cat6 screened"), std::string::npos) << all[0].remedy;
}

TEST(TradeOfFabric, OldCeilingsAreTestedBeforeTheyAreCut) {
  TradeRoom trade;
  trade.job["building_year"] = 1995;
  EXPECT_FALSE(tells(judged(trade), "old-material"));
  trade.job["building_year"] = 1979;
  auto all = found(judged(trade), "old-material");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].text.find("lead"), std::string::npos);
  trade.job["building_year"] = 1965;
  EXPECT_NE(found(judged(trade), "old-material").at(0).text.find("lead"), std::string::npos);
}

// IRC R602.6: a bearing plate takes a hole of 40 % of its depth, with 5/8 in left at each edge;
// nails reach 1 1/4 in (R602.8 and practice as trade/building.h says).
TEST(TradeOfFabric, AHoleThroughAHeadPlateNearItsEdgeIsGuardedFromNails) {
  const Findings deep = judged(head_plate_room("140 mm"));
  EXPECT_FALSE(tells(deep, "run-rules")) << all_of(deep);
  EXPECT_FALSE(tells(deep, "nail-plate")) << all_of(deep);
  EXPECT_FALSE(tells(deep, "stud-hole")) << all_of(deep);
  EXPECT_TRUE(tells(deep, "fire-seal")) << "it is a hole through a plate: " << all_of(deep);
  const Findings shallow = judged(head_plate_room("70 mm"));
  EXPECT_TRUE(tells(shallow, "nail-plate")) << all_of(shallow);
  EXPECT_FALSE(tells(shallow, "stud-hole")) << "28 mm are allowed: " << all_of(shallow);
}

// The judge itself compares what was told on writing with what is told afresh.
TEST(TradeOfFabric, AFishableStudWallIsJudgedAfreshAsItWasWhenWritten) {
  TradeRoom trade = stud_room();
  trade.rule("Wall back")["fishable"] = true;
  judged(trade);
}

// Common practice, no source: a third of the tile.
TEST(TradeOfFabric, AHoleThatIsCutIsJudgedAsWideAsItIs) {
  EXPECT_FALSE(tells(judged(cut_hole_room(2.1, 0.05)), "tile-hole"));
  const auto all = found(judged(cut_hole_room(2.1, 0.25)), "tile-hole");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].figure.rfind("250", 0), 0U) << all[0].figure;
}

TEST(TradeOfFabric, AJoistsHoleIsAThirdOfItsDepth) {
  TradeRoom trade = ready_hole_room("50 mm");
  Json& member = trade.rule("Ready")["member"];
  member = {{"kind", "joist"}, {"depth", "240 mm"}};
  EXPECT_FALSE(tells(judged(trade), "member-hole"));
  member["depth"] = "120 mm";
  const auto all = found(judged(trade), "member-hole");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].text.find("takes a hole of 40.0 mm and keeps 51.0 mm at the edge"),
            std::string::npos)
      << all[0].text;
  member = {{"kind", "stud"}, {"depth", "140 mm"}};  // IRC R602.6: 55.9 mm through a bearing 2x6
  EXPECT_FALSE(tells(judged(trade), "member-hole"));
  member = {{"kind", "stud"}, {"depth", "89 mm"}};
  EXPECT_TRUE(tells(judged(trade), "member-hole"));
  member = {{"kind", "engineered"}, {"depth", "300 mm"}};
  EXPECT_TRUE(tells(judged(trade), "member-hole"));
}

// IRC R602.6 as trade/building.h names it: a bearing 2x6 takes a notch of a quarter of its depth,
// 35 mm.
TEST(TradeOfFabric, AHoleThatIsOpenAtTheEdgeOfItsMemberIsToldAsANotch) {
  TradeRoom trade = ready_hole_room("50 mm");
  Json& member = trade.rule("Ready")["member"];
  member = {{"kind", "joist"}, {"depth", "240 mm"}, {"edge", "20 mm"}};
  auto all = found(judged(trade), "member-hole");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
  EXPECT_NE(all[0].text.find("a notch of 45.0 mm"), std::string::npos) << all[0].text;
  EXPECT_EQ(all[0].text.find('-'), std::string::npos) << "no length below nothing";
  EXPECT_NE(all[0].remedy.find("\"avoid\": \"Ready\""), std::string::npos) << all[0].remedy;
  member = {{"kind", "stud"}, {"depth", "140 mm"}, {"edge", "10 mm"}};
  EXPECT_FALSE(tells(judged(trade), "member-hole")) << "35 mm deep";
  member["edge"] = "12 mm";
  all = found(judged(trade), "member-hole");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].limit, "35.0 mm");
  trade.rule("Ready")["bearing"] = false;
  EXPECT_FALSE(tells(judged(trade), "member-hole")) << "40 % of what bears nothing";
}

// NEC 300.4(D): 1 1/4 in from the edge; a ready hole of 50 mm in a 2x6, in its middle and nearer to
// its edge.
TEST(TradeOfFabric, AReadyHoleThroughAStudIsGuardedFromNailsToo) {
  TradeRoom trade = ready_hole_room("50 mm");
  Json& member = trade.rule("Ready")["member"];
  member = {{"kind", "stud"}, {"depth", "140 mm"}};
  EXPECT_FALSE(tells(judged(trade), "nail-plate")) << "45 mm are left";
  member["edge"] = "50 mm";
  const auto all = found(judged(trade), "nail-plate");
  ASSERT_EQ(all.size(), 1U) << "25 mm are left";
  EXPECT_EQ(all[0].subject, "Ready");
  EXPECT_EQ(all[0].figure, "25.0 mm");
}

TEST(TradeOfFabric, AReadyHoleIsWideEnoughForAMouldedHead) {
  for (const auto& [inside, passes] : {std::pair{"40 mm", true}, std::pair{"20 mm", false}}) {
    TradeRoom trade = ready_hole_room(inside);
    trade.run(0) = {{"id", "A"},
                    {"from", "amp.out1"},
                    {"to", "left"},
                    {"cable", "hdmi optical 48G"},
                    {"via", "Ready"}};
    const Findings findings = judged(trade);
    EXPECT_EQ(tells(findings, "head-passes"), !passes) << all_of(findings);
  }
}

TEST(TradeOfFabric, MainsIsPresumedAboveAnOutlet) {
  Findings findings = judged(bay_room(3.4));
  EXPECT_TRUE(tells(findings, "hidden-wiring")) << all_of(findings);
  EXPECT_TRUE(tells(findings, "fire-seal")) << "what is cut through the wall is sealed";
  findings = judged(bay_room(1.8));
  EXPECT_FALSE(tells(findings, "hidden-wiring")) << all_of(findings);
  TradeRoom level = bay_room(1.8);  // an outlet as high as the hole that the run comes out of
  level.room["outlets"][1]["up"] = level.job["ends"][1]["up"];
  const auto beside = found(judged(level), "hidden-wiring");
  ASSERT_EQ(beside.size(), 1U);
  EXPECT_EQ(beside[0].level, Level::note);
  EXPECT_NE(beside[0].text.find("At the height of an outlet"), std::string::npos);
  EXPECT_EQ(beside[0].limit.rfind("75", 0), 0U) << beside[0].limit;
}

constexpr double kCosine = 0.8, kSine = 0.6;

/// The sketched model turned about the vertical by some 37 degrees.
std::string turned(const std::string& obj) {
  std::istringstream lines(obj);
  std::ostringstream text;
  text.precision(12);
  for (std::string line; std::getline(lines, line);) {
    double x = 0, y = 0, z = 0;
    if (std::sscanf(line.c_str(), "v %lf %lf %lf", &x, &y, &z) == 3)
      text << "v " << kCosine * x - kSine * y << ' ' << kSine * x + kCosine * y << ' ' << z << '\n';
    else
      text << line << '\n';
  }
  return text.str();
}

TradeRoom turned_room(TradeRoom trade) {
  trade.edit_model = turned;
  trade.job["model"] = {{"file", "room.obj"}, {"unit", "m"}};
  trade.room.erase("suspended_ceiling");
  std::erase_if(trade.job["parts"].get_ref<Json::array_t&>(),
                [](const Json& part) { return part["match"] == "Ceiling"; });
  for (Json& run : trade.job["runs"]) run.erase("via");
  for (Json& end : trade.job["ends"])
    if (end.contains("xyz")) {
      const double x = end["xyz"][0], y = end["xyz"][1], z = end["xyz"][2];
      end["xyz"] = {kCosine * x - kSine * y, kSine * x + kCosine * y, z};
    }
  return trade;
}

// A model need not stand along x and y.
TEST(TradeOfLiving, WhatMovesAndWhatLiesOnTheFloorIsJudgedInATurnedRoomToo) {
  for (const bool fails : {false, true}) {
    Findings findings = judged(turned_room(coil_behind_seat(fails)));
    EXPECT_EQ(found(findings, "pinch-point").size(), fails ? 1U : 0U) << all_of(findings);
    findings = judged(turned_room(over_floor(fails ? 1.5 : 0.5)));
    EXPECT_EQ(tells(findings, "floor-crossing"), fails) << all_of(findings);
  }
}

// The seat's back, 0.53 m off the wall, comes as near to the coil, 0.1 m off it, as half a
// millimetre inside and two.
TEST(TradeOfLiving, WhatOnlyTouchesASweepIsNotCaught) {
  TradeRoom trade = coil_behind_seat(true);
  for (const bool fails : {false, true}) {
    trade.rule("Seat")["recline"] = fails ? "432 mm" : "430.5 mm";
    const Findings findings = judged(trade);
    EXPECT_EQ(tells(findings, "pinch-point"), fails) << all_of(findings);
  }
}

// The door of the left wall opens to 0.9 m into the room, as far as its hinge 0.1 m off the front.
TEST(TradeOfLiving, GearDoesNotStandWhereADoorOpens) {
  TradeRoom trade;
  trade.room["doors"] = Json::parse(R"([{ "name": "Door", "wall": "Wall left", "from_left": 4.0,
      "width": 0.9, "height": 2, "swing": "90 deg", "hinge": "right", "opens": "in" }])");
  trade.rule("Door") = {{"match", "Door"}, {"is", "door"}, {"swing", "90 deg"}, {"hinge", "right"}};
  Findings findings = judged(trade);
  EXPECT_FALSE(tells(findings, "pinch-point")) << all_of(findings);
  trade.job["gear"][0]["from_left"] = 0.5;
  findings = judged(trade);
  const auto all = found(findings, "pinch-point");
  ASSERT_EQ(all.size(), 1U) << all_of(findings);
  EXPECT_NE(all[0].text.find("rack stands where Door moves"), std::string::npos) << all[0].text;
  ASSERT_TRUE(all[0].where);
  EXPECT_LT(all[0].where->x, 0.9);
  trade.rule("Door")["swing"] = "0 deg";
  EXPECT_FALSE(tells(judged(trade), "pinch-point")) << "it opens outward";
}

TEST(TradeOfLiving, ARoomWithoutOutletsIsToldThatItsGearWillNeedOne) {
  TradeRoom trade;
  trade.room.erase("outlets");
  trade.job["parts"].erase(1);
  const auto all = found(judged(trade), "outlet-reach");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note);
  EXPECT_EQ(all[0].figure, "0 outlets");
  EXPECT_NE(all[0].text.find("rack will need one"), std::string::npos) << all[0].text;
}

TEST(TradeOfLiving, PoweredGearFindsAnOutlet) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "outlet-reach")) << "the rack stands beside one";
  trade.run(0) = {{"id", "A"}, {"from", "amp.line"}, {"to", "left"}, {"cable", "line coax"}};
  const auto active = found(judged(trade), "outlet-reach");
  ASSERT_EQ(active.size(), 1U) << "an active loudspeaker, 2.6 m away";
  EXPECT_NE(active[0].text.find("That left needs one is taken for granted"), std::string::npos)
      << active[0].text;
  trade.job["prefer"]["mains_lead"] = "5 m";
  EXPECT_FALSE(tells(judged(trade), "outlet-reach"));
  trade.job["prefer"].erase("mains_lead");
  for (Json& end : trade.job["ends"])
    if (end["id"] == "left") end["powered"] = false;
  EXPECT_FALSE(tells(judged(trade), "outlet-reach"));
  trade.room["seats"] = Json::parse(R"([{ "name": "Seat", "at": [2.0, 2.0], "width": 0.7,
                                          "depth": 0.9, "height": 1 }])");
  trade.rule("Seat") = {{"match", "Seat"}, {"is", "seat"}, {"powered", true}};
  const auto seat = found(judged(trade), "outlet-reach");
  ASSERT_EQ(seat.size(), 1U) << "its motor";
  EXPECT_EQ(seat[0].subject, "Seat");
}

// BS.2051 system B by the EBU renderer's layouts: M+110 from 100 to 120 degrees.
TEST(TradeOfListening, LabelsKeepToTheirRanges) {
  TradeRoom trade = listening_room();
  const Findings findings = judged(trade);
  for (const char* id :
       {"loudspeaker-angle", "loudspeaker-height", "loudspeaker-symmetry", "listener-wall"})
    EXPECT_FALSE(tells(findings, id)) << id << "\n" << all_of(findings);
  put(trade, 2, "M+110", "Wall left", 4.5, 1.2);  // beside the front wall
  const auto all = found(judged(trade), "loudspeaker-angle");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].subject, "M+110");
  EXPECT_NE(all[0].text.find("100.0 to +120.0"), std::string::npos) << all[0].text;
  // At (0, 4.5), the listener at (2, 2.2): azimuth 41 degrees, 3.05 m away, 59 degrees too few.
  EXPECT_NE(all[0].remedy.find("some 3.14 m farther left: move it"), std::string::npos)
      << all[0].remedy;
  put(trade, 2, "M+110", "Wall left", 1.5, 2.2);  // 1 m up over 2.12 m: 25 degrees of at most 15
  const auto high = found(judged(trade), "loudspeaker-angle");
  ASSERT_EQ(high.size(), 1U);
  EXPECT_NE(high[0].remedy.find("some 0.43 m lower: move it"), std::string::npos) << high[0].remedy;
}

TEST(TradeOfListening, HeightsDistancesSymmetryAndTheWallBehindAreTold) {
  TradeRoom aside = listening_room();
  aside.room["markers"][0]["at"] = {1.0, 2.2};
  Findings findings = judged(aside);
  EXPECT_TRUE(tells(findings, "loudspeaker-symmetry"));
  EXPECT_TRUE(tells(findings, "loudspeaker-distance"));
  TradeRoom back = listening_room();
  back.room["markers"][0]["at"] = {2, 0.3};
  EXPECT_TRUE(tells(judged(back), "listener-wall"));
  TradeRoom low = listening_room();
  low.room["markers"][0]["up"] = 0.7;
  EXPECT_TRUE(tells(judged(low), "loudspeaker-height"));
  // The floor counts, not a table over it.
  TradeRoom table = listening_room();
  table.room["furniture"] = Json::parse(
      R"([{"name": "Table", "at": [2, 2.2], "width": 1, "depth": 0.6, "height": 0.6}])");
  EXPECT_FALSE(tells(judged(table), "loudspeaker-height"));
  TradeRoom uneven = listening_room();
  put(uneven, 0, "M+030", "Wall front", 0.6, 1.8);
  findings = judged(uneven);
  const auto heights = found(findings, "loudspeaker-height");
  ASSERT_EQ(heights.size(), 1U) << all_of(findings);
  EXPECT_NE(heights[0].text.find("0.60 m"), std::string::npos) << heights[0].text;
}

TEST(TradeOfListening, DistancesThatAgreeAreNotToldAbout) {
  TradeRoom trade = listening_room();
  trade.job["layout"]["distance"] = "1.6 m";
  trade.job["floor"]["cross"] = "anywhere";
  for (Json& end : trade.job["ends"]) end["mount"] = "on floor";
  EXPECT_FALSE(tells(judged(trade), "loudspeaker-distance"));
}

}  // namespace
}  // namespace roomloom::testing
