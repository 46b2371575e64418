#include <gtest/gtest.h>

#include "check/trade_check.h"
#include "check/trade_rooms.h"

/// Separation from mains and luminaires: a plan that passes and one that fails, each.
namespace roomloom::testing {
namespace {

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

// Elboken 2017 p528, after EN 50174-2: 20 mm beside up to three circuits, 200 mm beside thirty; the
// run lies 0.1 m off.
TEST(TradeOfSeparation, TheNumberOfCircuitsSetsTheDistance) {
  TradeRoom trade = mains_room(0.52);
  trade.run(0)["cable"] = "cat6";
  trade.run(0)["slack"] = "10 m";
  trade.room["mains"][0]["circuits"] = 3;
  EXPECT_FALSE(tells(judged(trade), "power-separation"));
  trade.room["mains"][0]["circuits"] = 30;
  const auto all = found(judged(trade), "power-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].limit.rfind("200", 0), 0U) << all[0].limit;
  trade.rule("Mains")["circuits"] = 3;  // the job knows better than the model
  EXPECT_FALSE(tells(judged(trade), "power-separation"));
}

// The same table; a model from elsewhere does not say how many circuits there are.
TEST(TradeOfSeparation, TheJobSaysTheNumberOfCircuitsOfAnyModel) {
  TradeRoom trade = mains_room(0.52);
  trade.job["model"]["file"] = "room.step";
  trade.run(0)["cable"] = "cat6";
  trade.run(0)["slack"] = "10 m";
  const auto limit_for = [&](int circuits) {
    trade.rule("Mains")["circuits"] = circuits;
    const auto all = found(judged(trade), "power-separation");
    return all.empty() ? std::string() : all[0].limit;
  };
  EXPECT_EQ(limit_for(6), "") << "40 mm suffice";
  EXPECT_EQ(limit_for(30), "200.0 mm");
  EXPECT_EQ(limit_for(75), "500.0 mm");
}

// A model from elsewhere says nothing of its parts, and a job need not: what the program takes them
// for by their names is what the checks go by.
TEST(TradeOfSeparation, WhatThePlanTookPartsForIsCheckedToo) {
  for (const char* file : {"room.glb", "room.obj", "room.step"}) {
    TradeRoom trade = mains_room(0.52);
    trade.run(0)["cable"] = "cat6";
    trade.job["parts"] = Json::parse(R"([ { "match": "Mains", "clearance": 0 },
      { "match": "Ceiling", "is": "suspended ceiling", "tile": [0.6, 0.6], "tile_origin": [0, 0] } ])");
    trade.job["model"] = {{"file", file}};
    if (std::string(file) == "room.obj") trade.job["model"]["unit"] = "m";
    trade.job["runs"].push_back(
        {{"id", "N"}, {"from", "amp.net"}, {"to", "data"}, {"cable", "cat6"}, {"via", "plenum"}});
    const Findings findings = judged(trade);
    EXPECT_TRUE(tells(findings, "power-separation")) << file << all_of(findings);
    EXPECT_TRUE(tells(findings, "void-air")) << file << all_of(findings);
    EXPECT_FALSE(tells(findings, "outlet-reach")) << file << all_of(findings);
  }
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

// NEC 725.136(I), 50 mm, as discussed at inspectionnews.net t-11460.
TEST(TradeOfSeparation, LoudspeakerCableKeepsFiftyMillimetresFromMains) {
  EXPECT_FALSE(tells(judged(mains_room(0.52)), "power-separation")) << "0.1 m";
  const auto all = found(judged(mains_room(0.435)), "power-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should) << all[0].text;
  EXPECT_EQ(all[0].limit.rfind("50", 0), 0U) << all[0].limit;
  EXPECT_NE(all[0].text.find("alongside Mains"), std::string::npos) << all[0].text;
}

// Common practice, no source: a crossing nearer than 60 degrees to parallel is told.
TEST(TradeOfSeparation, ASlantingCrossingOfMainsIsTold) {
  TradeRoom trade = mains_room(0.4);
  trade.run(0)["cable"] = "cat6";
  const auto crossed_by = [&](const char* points) {
    trade.room["mains"][0]["points"] = Json::parse(points);
    return found(judged(trade), "power-separation");
  };
  for (const Finding& finding : crossed_by("[[2.5, 0.1], [2.5, 2.4]]"))
    ADD_FAILURE() << "square: " << finding.text;
  const auto all = crossed_by("[[2.0, 0.02], [3.0, 1.45]]");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note);
  EXPECT_NE(all[0].text.find(" crosses Mains at "), std::string::npos) << all[0].text;
  EXPECT_NE(all[0].limit.find("60 degrees"), std::string::npos) << all[0].limit;
}

// The run passes the stub of a cable, 0.3 m long.
TEST(TradeOfSeparation, AShortWayBesideMainsIsNoCrossing) {
  TradeRoom trade = mains_room(0.43);
  trade.room["mains"][0]["points"] = {{2.0, 0.43}, {2.3, 0.43}};
  const auto all = found(judged(trade), "power-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note);
  EXPECT_NE(all[0].text.find("Run R lies alongside Mains for up to 0.4"), std::string::npos)
      << all[0].text;
  EXPECT_EQ(all[0].limit, "50.0 mm");
}

// NEC 725.136(I), as above, knows no angle: 50 mm. The standard of 2000 waives the last 15 m.
TEST(TradeOfSeparation, AnEndThatStaysBesideMainsIsTold) {
  const auto told_of = [](double up, bool coiled) {
    TradeRoom trade = mains_room(up);  // the run comes to its end at 0.4 m from below
    trade.job["runs"] =
        Json::array({{{"id", "L"}, {"from", "amp.line"}, {"to", "p"}, {"cable", "line coax"}}});
    for (Json& end : trade.job["ends"])
      if (end["id"] == "p") end["state"] = coiled ? "coiled" : "fitted";
    return found(judged(trade), "power-separation");
  };
  for (const Finding& finding : told_of(0.5, false)) ADD_FAILURE() << finding.text;
  const auto near = told_of(0.44, false);
  ASSERT_EQ(near.size(), 1U);
  EXPECT_EQ(near[0].level, Level::note);
  EXPECT_NE(near[0].text.find("Run L ends within "), std::string::npos) << near[0].text;
  EXPECT_EQ(near[0].limit, "50.0 mm");
  ASSERT_TRUE(near[0].where);
  EXPECT_NEAR(near[0].where->z, 0.4, 0.01);
  const auto coil = told_of(0.5, true);
  ASSERT_EQ(coil.size(), 1U) << "it reaches to the mains";
  EXPECT_EQ(coil[0].figure, "0.0 mm");
}

/// What is told of a loudspeaker run of 3 m along x whose mains have these corners.
std::vector<Finding> told_beside(const std::vector<Vec3>& corners) {
  CableType cable;
  cable.service = Service::loudspeaker;
  cable.diameter_m = 0.006;
  check::ListedRun listed;
  listed.from = "p", listed.to = "q";
  check::DrawnRun drawn;
  drawn.id = "R", drawn.cable = &cable, drawn.listed = &listed;
  drawn.line = {{0, 0, 0}, {3, 0, 0}};
  check::TradeCase run;
  run.drawn = &drawn;
  for (int i = 0; i < 60; ++i) {
    check::TradeSample sample;
    sample.at = {0.05 * i + 0.025, 0, 0}, sample.along = {1, 0, 0}, sample.step_m = 0.05;
    run.samples.push_back(sample);
  }
  Scene scene;
  Part part;
  part.name = "Mains", part.kind = PartKind::curve;
  part.point_count = static_cast<std::uint32_t>(corners.size());
  scene.points = corners;
  check::TradePart power;
  power.part = &part, power.role = Role::power;
  for (const Vec3& p : corners) power.box.add(p);
  const check::Written written;
  const check::TradePlan plan;
  const Job job;
  const TriangleTree tree(scene.points, scene.triangles);
  Findings findings;
  check::check_power({written, plan, scene, job, {run}, {power}, {}, tree}, findings);
  return findings.items;
}

// NEC 725.136(I), as above. The mains slant across the run at 1 m and come square to its end at
// 3 m; or they lie along it up to its end, which is then told of once.
TEST(TradeOfSeparation, AnEndBesideMainsIsToldThoughTheRunCrossesThemElsewhereToo) {
  const auto both =
      told_beside({{0.5, -0.35, 0}, {1.5, 0.35, 0}, {1.5, 1, 0}, {3, 1, 0}, {3, 0.03, 0}});
  ASSERT_EQ(both.size(), 2U);
  EXPECT_NE(both[0].text.find(" crosses Mains at "), std::string::npos) << both[0].text;
  EXPECT_NE(both[1].text.find("Run R ends within 27.0 mm"), std::string::npos) << both[1].text;
  ASSERT_TRUE(both[1].where);
  EXPECT_NEAR(both[1].where->x, 3, 1e-9);
  const auto along = told_beside({{2, 0.03, 0}, {3, 0.03, 0}});
  ASSERT_EQ(along.size(), 1U);
  EXPECT_NE(along[0].text.find("lies alongside Mains"), std::string::npos) << along[0].text;
}

TEST(TradeOfSeparation, NetworkKeepsAwayFromFluorescentTubes) {
  TradeRoom trade;
  trade.job["prefer"]["money_per_visible_metre"] = 2;  // past the luminaires
  EXPECT_FALSE(tells(judged(trade), "luminaire-separation"));
  trade.room["luminaires"] = Json::array();
  for (const char* tile : {"C2", "C4", "E2", "E4", "G2", "G4"})
    trade.room["luminaires"].push_back(
        {{"name", std::string("Luminaire ") + tile}, {"tile", tile}, {"height", "90 mm"}});
  trade.rule("Luminaire *")["is"] = "luminaire";
  auto all = found(judged(trade), "luminaire-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::note) << "nobody says whether they hold tubes";
  trade.rule("Luminaire *")["fluorescent"] = true;
  all = found(judged(trade), "luminaire-separation");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should);
  trade.rule("Luminaire *")["fluorescent"] = false;
  EXPECT_FALSE(tells(judged(trade), "luminaire-separation"));
}

/// A room with mains at 0.52 m, 0.1 m off a run along the wall, judged by a job that says nothing
/// of a clearance.
TradeRoom unwished() {
  TradeRoom later = mains_room(0.52);
  later.rule("Mains").erase("clearance");
  return later;
}

TEST(TradeOfSeparation, TheWishIsThePartsOwnElseTheJobsElseTheUsual) {
  const TradeRoom trade = mains_room(0.52);
  TradeRoom later = unwished();
  const auto wished = [&] {
    const auto all = found(judged_later(trade, later.job), "power-wish");
    return all.empty() ? std::string() : all[0].limit;
  };
  EXPECT_EQ(wished(), "300.0 mm");
  later.job["prefer"]["power_separation"] = "250 mm";
  EXPECT_EQ(wished(), "250.0 mm");
  later.job["prefer"]["power_separation"] = "120 mm";
  EXPECT_EQ(wished(), "") << "0.1 m, and the lanes beside it";
  later.rule("Mains")["clearance"] = "200 mm";
  EXPECT_EQ(wished(), "200.0 mm");
}

// For 0.3 m the mains come nearer than the 100 mm of fifteen circuits (Elboken 2017 p528): too
// short a way for power-separation.
TEST(TradeOfSeparation, AShortWayThatIsNearerSilencesNoWish) {
  TradeRoom trade = mains_room(0.62);
  trade.run(0)["cable"] = "cat6";
  trade.room["mains"][0]["points"] =
      Json::parse("[[0.5, 0.62], [3.2, 0.62], [3.2, 0.49], [3.5, 0.49], [3.5, 0.62], [4.5, 0.62]]");
  TradeRoom later = trade;
  later.rule("Mains")["clearance"] = "300 mm";
  later.rule("Mains")["circuits"] = 15;  // 100 mm are asked for
  const Findings findings = judged_later(trade, later.job);
  EXPECT_TRUE(found(findings, "power-separation").empty()) << all_of(findings);
  EXPECT_EQ(found(findings, "power-wish").size(), 1U) << all_of(findings);
}

}  // namespace
}  // namespace roomloom::testing
