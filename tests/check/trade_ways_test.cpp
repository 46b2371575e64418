#include <gtest/gtest.h>

#include "check/trade_rooms.h"

/// Pulling, fill and support: a plan that passes and one that fails, each.
namespace roomloom::testing {
namespace {

/// The figure in "turns by 352 degrees"; a cable cuts corners a little in its bore.
double turned(const Finding& finding) {
  const std::string before = "turns by ";
  const auto at = finding.text.find(before);
  return at == std::string::npos ? 0 : std::stod(finding.text.substr(at + before.size()));
}

// NEC: 360 degrees between pull points (forums.bicsi.org Topic1127). What the cable
// wanders in the bore, and its bends at the mouths, are no bends of the pipe.
TEST(TradeOfPulling, AFifthRightAngleInAConduitIsTooMany) {
  EXPECT_FALSE(tells(judged(conduit_room(kStraight, "24 mm", 1, "speaker 2x1.5")), "pull-bends"));
  const Findings four = judged(conduit_room(kFourAngles, "24 mm", 1, "speaker 2x1.5"));
  EXPECT_FALSE(tells(four, "pull-bends")) << all_of(four);
  const auto all =
      found(judged(conduit_room(kFiveAngles, "24 mm", 1, "speaker 2x1.5")), "pull-bends");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
  EXPECT_NEAR(turned(all[0]), 450, 18) << all[0].text;
}

TEST(TradeOfPulling, RunsThatArePulledThroughOnePipeAreToldOnce) {
  TradeRoom trade = conduit_room(kFiveAngles, "24 mm", 3, "cat6");
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "pull_limit_n": 1}])");
  const Findings findings = judged(trade);
  for (const char* id : {"pull-bends", "pull-radius", "pull-tension"}) {
    const auto all = found(findings, id);
    ASSERT_EQ(all.size(), 1U) << id << "\n" << all_of(findings);
    EXPECT_NE(all[0].text.find("Runs R0, R1 and R2"), std::string::npos) << all[0].text;
  }
  // A catalogue's figure is told with the source that the catalogue gives it.
  EXPECT_NE(found(findings, "pull-radius")[0].source.find("8 x under pull"), std::string::npos)
      << found(findings, "pull-radius")[0].source;
}

// Common practice, no source: a cable that is let down a wall and drawn out of its plate is not
// pulled round anything.
TEST(TradeOfPulling, ADropIntoAWallsBayIsNoHardPull) {
  TradeRoom trade = stud_room();
  trade.rule("Wall back").erase("fishable");
  trade.job["runs"] = Json::array({trade.run(2)});
  trade.run(0)["via"] = {"plenum", "bay * of Wall back"};
  const Findings findings = judged(trade);
  EXPECT_FALSE(tells(findings, "run-rules")) << all_of(findings);
  EXPECT_FALSE(tells(findings, "pull-radius")) << all_of(findings);
}

// TIA-569: two right angles and 30 m between pull points for network cable (r/Bicsi 1oqdott).
TEST(TradeOfPulling, AThirdRightAngleIsTooManyForNetworkCable) {
  const Findings two = judged(conduit_room(kTwoAngles, "24 mm", 1, "cat6"));
  EXPECT_FALSE(tells(two, "pull-bends")) << all_of(two);
  const auto all = found(judged(conduit_room(kFourAngles, "24 mm", 1, "cat6")), "pull-bends");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should);
  EXPECT_NEAR(turned(all[0]), 360, 18) << all[0].text;
}

TEST(TradeOfPulling, ThirtyMetresBetweenPullPointsAreEnoughForNetworkCable) {
  for (const auto& [far_mouth, passes] : {std::pair{31.4, true}, std::pair{31.8, false}}) {
    const std::string points =
        "[[0.016, 1.5, 0.4], [0.016, " + std::to_string(far_mouth) + ", 0.4]]";
    TradeRoom trade = conduit_room(points.c_str(), "24 mm", 1, "cat6");
    trade.room["outline"]["depth"] = 34;
    trade.room.erase("suspended_ceiling");
    trade.job["parts"] = Json::array({trade.rule("Pipe"), trade.rule("Outlet *")});
    for (Json& end : trade.job["ends"])
      if (end["id"] == "q0") end["from_left"] = 32.5;
    const auto all = found(judged(trade), "pull-bends");
    EXPECT_EQ(all.empty(), passes);
    for (const Finding& finding : all) {
      EXPECT_EQ(finding.level, Level::should);
      EXPECT_NE(finding.limit.find("30.00 m"), std::string::npos) << finding.limit;
    }
  }
}

// Each bend is measured on the written STEP file's arcs and has a place.
TEST(TradeOfBends, ABendTighterThanTheCableAllowsIsToldWithItsPlaces) {
  TradeRoom trade;
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "bend_radius": "3 mm"}])");
  for (const Finding& finding : found(judged(trade), "bend-radius"))
    EXPECT_NE(finding.subject, "N") << finding.text;
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "bend_radius": "400 mm"}])");
  bool told = false;
  for (const Finding& finding : found(judged(trade), "bend-radius")) {
    if (finding.subject != "N") continue;
    told = true;
    EXPECT_EQ(finding.limit.rfind("400", 0), 0U) << finding.limit;
    EXPECT_EQ(finding.source, "the job's own figure") << "no standard asks for so much";
    ASSERT_TRUE(finding.where);
    EXPECT_GT(finding.where->z, 0);
    EXPECT_NE(finding.text.find(finding.figure + " at "), std::string::npos) << finding.text;
  }
  EXPECT_TRUE(told);
}

// NEC chapter 9, table 1: two cables may take 31 %, and what lies in the pipe counts: 34 %.
TEST(TradeOfFill, WhatLiesInAConduitCountsAndWhatIsNotKnownIsTold) {
  TradeRoom trade = conduit_room(kStraight, "15.5 mm", 1, "cat6");
  EXPECT_FALSE(tells(judged(trade), "conduit-fill")) << "one alone may take 53 %";
  trade.rule("Pipe")["occupied_by"] = Json::array({"cat6"});
  const auto full = found(judged(trade), "conduit-fill");
  ASSERT_EQ(full.size(), 1U);
  EXPECT_EQ(full[0].figure, "34 %");
  EXPECT_EQ(full[0].limit, "31 %");
  trade = conduit_room(kStraight, "24 mm", 1, "cat6");
  trade.rule("Pipe").erase("inside");
  trade.room["conduits"][0].erase("inside_diameter");
  const auto unknown = found(judged(trade), "conduit-fill");
  ASSERT_EQ(unknown.size(), 1U);
  EXPECT_EQ(unknown[0].level, Level::note) << "what is not known is not judged in silence";
}

// Two cat6 and what is asked for beside them, in 24 mm: 452 mm2 at 40 % hold five of 32 mm2.
TEST(TradeOfFill, SpareRoomIsLookedForInConduitsToo) {
  TradeRoom trade = conduit_room(kStraight, "24 mm", 2, "cat6");
  trade.job["spare"] = "3 cat6";
  EXPECT_FALSE(tells(judged(trade), "spare-capacity"));
  trade.job["spare"] = "4 cat6";
  const auto all = found(judged(trade), "spare-capacity");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].text.find("is not left in Pipe"), std::string::npos) << all[0].text;
}

// Two of 14 mm ask for 28, of 16.5 for 33, in a plate that may be cut to 40 % of 89 mm (IRC
// R602.6): neither may take the hole's middle.
TEST(TradeOfFill, ThickCablesPassANarrowHoleSideBySide) {
  TradeRoom plate = head_plate_room("89 mm");
  plate.job["runs"] = Json::array({plate.run(0), plate.run(1)});
  plate.job["ends"][1]["from_left"] = 1.1;
  plate.job["cables"] =
      Json::parse(R"([{"id": "speaker 2x1.5", "diameter": "14 mm", "bend_radius": "30 mm"}])");
  const Findings findings = judged(plate);
  for (const char* quiet : {"hole-fill", "hole-missed", "stud-hole"})
    EXPECT_FALSE(tells(findings, quiet)) << all_of(findings);
  plate.job["cables"][0]["diameter"] = "16.5 mm";
  const auto stud = found(judged(plate), "stud-hole");
  ASSERT_EQ(stud.size(), 1U) << "38 mm are cut for 33";
  EXPECT_EQ(stud[0].figure.rfind("38.0 mm", 0), 0U) << stud[0].figure;
}

// The job's own limit steers the plan; what is published is told all the same.
TEST(TradeOfFill, MoreThanIsPublishedIsNotedWhereTheJobAllowsIt) {
  TradeRoom trade;
  for (int i = 0; i < 3; ++i) trade.run(i).erase("via");
  trade.room.erase("suspended_ceiling");
  trade.job["parts"] = Json::array({trade.rule("Outlet *")});
  EXPECT_TRUE(found(judged(trade), "raceway-fill").empty());
  trade.job["prefer"]["fill_limit"] = 1.0;
  const auto all = found(judged(trade), "raceway-fill");
  ASSERT_FALSE(all.empty());
  EXPECT_EQ(all[0].level, Level::note);
  EXPECT_NE(all[0].text.find("The job allows 100 %"), std::string::npos) << all[0].text;
  EXPECT_EQ(all[0].limit.rfind("40 %", 0), 0U) << all[0].limit;
}

// 48 mm do not lie in 47.5 mm, though 1810 of 1996 mm2 would be less than all of it.
TEST(TradeOfFill, ACableThickerThanTheRacewayIsToldByItsThickness) {
  TradeRoom trade;
  trade.job["runs"] = Json::array({trade.run(0)});
  trade.run(0).erase("via");
  trade.room.erase("suspended_ceiling");
  trade.job["parts"] = Json::array({trade.rule("Outlet *")});
  trade.job["cables"] =
      Json::parse(R"([{"id": "speaker 2x1.5", "diameter": "48 mm", "bend_radius": "50 mm"}])");
  const auto all = found(judged(trade), "raceway-fill");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
  EXPECT_NE(all[0].text.find("a cable of 48"), std::string::npos) << all[0].text;
  EXPECT_EQ(all[0].text.find("100 %"), std::string::npos) << all[0].text;
  EXPECT_EQ(all[0].limit.rfind("47.5 mm", 0), 0U) << all[0].limit;
  EXPECT_NE(all[0].remedy.find("No raceway of the catalogue"), std::string::npos);
}

// What is named is planned for: holes are cut wider and raceway is a size larger. What no hole and
// no raceway can take is told.
TEST(TradeOfFill, RoomIsKeptForWhatTheJobNames) {
  TradeRoom trade;
  trade.job["prefer"]["money_per_visible_metre"] = 2;  // one plan with and without
  EXPECT_FALSE(tells(judged(trade), "spare-capacity")) << "nothing is asked for";
  const auto sizes = [&](const char* spare) {
    const TestFolder folder;
    TradeRoom with = trade;
    if (spare != nullptr) with.job["spare"] = spare;
    sketch_model(with.room.dump(), folder, ".glb");
    const auto planned = plan(with.job.dump(), folder);
    EXPECT_TRUE(planned) << to_text(planned.error());
    std::pair<double, double> all{0, 0};  // of holes, and of raceway per metre
    if (!planned) return all;
    for (const HoleShape& hole : planned->shapes.holes) all.first += hole.diameter_m;
    for (const RacewayShape& piece : planned->shapes.raceways)
      all.second +=
          distance(piece.from, piece.to) *
          planned->job.catalogue.raceways[static_cast<std::size_t>(piece.raceway)].usable_area_m2;
    return all;
  };
  const auto without = sizes(nullptr), with = sizes("16 line balanced");
  EXPECT_GT(with.first, without.first);
  EXPECT_GT(with.second, without.second);
  trade.job["spare"] = "16 line balanced";
  EXPECT_FALSE(tells(judged(trade), "spare-capacity")) << "room for sixteen is planned";
  for (const char* heads :
       {"1 hdmi optical 48G, heads fitted", "2 hdmi optical 48G, heads fitted"}) {
    trade.job["spare"] = heads;
    EXPECT_FALSE(tells(judged(trade), "spare-capacity")) << heads;
  }
  trade.job["spare"] = "200 balanced line, heads fitted";
  const auto all = found(judged(trade), "spare-capacity");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].text.find("200 line balanced, heads fitted"), std::string::npos) << all[0].text;
  EXPECT_NE(all[0].remedy.find("none may be wider than 80.0 mm"), std::string::npos)
      << all[0].remedy;
  EXPECT_TRUE(all[0].where);
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
  EXPECT_NE(all[0].text.find(" on the ceiling tiles"), std::string::npos) << all[0].text;
  Json later = trade.job;
  later["prefer"] = {{"lay_on_tiles", false}};
  all = found(judged_later(trade, later), "tile-clearance");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].level, Level::note);
}

// Who lays cable on the tiles needs no hooks, and the cable does not sag between them; what it
// weighs on a tile is told.
TEST(TradeOfSupport, CableThatLiesOnTilesHasNoHooksAndItsWeightIsJudged) {
  TradeRoom trade;
  trade.job["prefer"] = {{"lay_on_tiles", true}};
  const TestFolder folder;
  sketch_model(trade.room.dump(), folder, ".glb");
  const auto planned = plan(trade.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  EXPECT_TRUE(planned->shapes.supports.empty());
  for (const CableShape& cable : planned->shapes.cables)
    for (const Addend& addend : cable.addends)
      if (addend.name == "sag") {
        EXPECT_EQ(addend.metres, 0);
      }
  const Findings findings = judged(trade);
  for (const char* quiet :
       {"support-spacing", "support-structure", "tile-load", "unsupported", "bend-radius"})
    EXPECT_FALSE(tells(findings, quiet)) << all_of(findings);
  trade.job["cables"] = Json::parse(R"([{"id": "speaker 2x1.5", "mass_kg_per_m": 0.6}])");
  const auto heavy = found(judged(trade), "tile-load");
  ASSERT_EQ(heavy.size(), 1U) << "of several tiles";
  EXPECT_NE(heavy[0].text.find(" ceiling tiles, up to "), std::string::npos) << heavy[0].text;
}

// A scan of a room ends at its tiles. The void above is guessed and told; cable there hangs in it,
// and not in the air.
TEST(TradeOfSupport, OverTilesThatNothingIsModelledAboveCableLiesInAGuessedVoid) {
  TradeRoom trade;
  trade.rule("Slab above")["is"] = "ignore";
  const Findings findings = judged(trade);
  EXPECT_TRUE(found(findings, "unsupported").empty()) << all_of(findings);
  EXPECT_FALSE(found(findings, "support-structure").empty()) << all_of(findings);
}

// Common practice, no source: such voids are some 0.4 m high. Cable that was planned at 0.6 m under
// a slab hangs in the air for all that a model without the slab tells.
TEST(TradeOfSupport, AGuessedVoidIsNoHigherThanVoidsUse) {
  TradeRoom trade;
  trade.room["height"] = 3.6;
  trade.rule("Slab above")["is"] = "deck";
  for (const auto& [clearance, held] : {std::pair{"200 mm", true}, std::pair{"600 mm", false}}) {
    trade.job["prefer"]["tile_clearance"] = clearance;
    TradeRoom later = trade;
    EXPECT_TRUE(found(judged(trade), "unsupported").empty()) << clearance;
    later.rule("Slab above")["is"] = "ignore";
    const Findings findings = judged_later(trade, later.job);
    EXPECT_EQ(found(findings, "unsupported").empty(), held) << clearance << all_of(findings);
  }
}

// Straight above the end lies a duct, so its cable comes down beside it and hangs below the tiles.
// The duct is near to it all the way, but on the other side of them.
TEST(TradeOfSupport, CableThatHangsBelowTheTilesToItsEndIsListedAndNotOneStraightThroughThem) {
  const auto below = [](double along) {
    TradeRoom trade;
    trade.room["ducts"] = Json::parse(R"([{ "name": "Duct", "width": 0.44, "height": 0.2,
        "points": [[1.5, 2.55, 2.68], [2.5, 2.55, 2.68]] }])");
    trade.job["ends"].push_back({{"id", "top"}, {"xyz", {2.1, 2.1 + along, 2.5}}});
    trade.job["ends"].push_back({{"id", "other"}, {"xyz", {2.1, 2.85, 2.5}}});
    trade.job["runs"].push_back(
        {{"id", "T"}, {"from", "amp.S3"}, {"to", "top"}, {"cable", "speaker 2x1.5"}});
    trade.job["runs"].push_back(
        {{"id", "O"}, {"from", "amp.S4"}, {"to", "other"}, {"cable", "speaker 2x1.5"}});
    std::vector<Finding> told = found(judged(trade), "free-zones");
    std::erase_if(told, [](const Finding& one) { return one.subject.empty(); });
    return told;
  };
  EXPECT_TRUE(below(0).empty());
  const std::vector<Finding> told = below(0.45);
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told[0].subject, "T");
  EXPECT_NE(told[0].text.find("T 0.3"), std::string::npos) << told[0].text;
}

// Published packings (Wikipedia, Circle packing in a circle): two need twice the thickness of one,
// four 2.4142 times.
TEST(TradeOfFill, CablesThatAReadyHoleHoldsAreDrawnWithinIt) {
  for (const auto& [runs, diameter] :
       {std::pair{2, "8.5 mm"}, {2, "9 mm"}, {2, "10 mm"}, {4, "8.2 mm"}}) {
    TradeRoom trade = ready_hole_room("20 mm");
    trade.job["cables"] =
        Json::array({{{"id", "speaker 2x1.5"}, {"diameter", diameter}, {"bend_radius", "20 mm"}}});
    trade.job["runs"] = Json::array();
    for (int i = 1; i <= runs; ++i) {
      const std::string n = std::to_string(i);
      trade.job["runs"].push_back({{"id", "A" + n},
                                   {"from", "amp.S" + n},
                                   {"to", i % 2 == 0 ? "left" : "right"},
                                   {"cable", "speaker 2x1.5"},
                                   {"via", "Ready"}});
    }
    const Findings findings = judged(trade);
    EXPECT_FALSE(tells(findings, "hole-missed")) << diameter << all_of(findings);
    EXPECT_FALSE(tells(findings, "hole-fill")) << diameter << all_of(findings);
  }
}

}  // namespace
}  // namespace roomloom::testing
