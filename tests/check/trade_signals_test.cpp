#include <gtest/gtest.h>

#include <algorithm>

#include "check/trade_rooms.h"

/// Each check of the trade on a plan that passes it and one that fails it, through the pipeline.
namespace roomloom::testing {
namespace {

TEST(TradeOfSignals, ASoundRoomHasNothingThatMustOrShouldBeMended) {
  const Findings findings = judged(TradeRoom());
  for (const Finding& finding : findings.items)
    EXPECT_EQ(finding.level, Level::note) << finding.id << " " << finding.text;
  EXPECT_GT(findings.quiet, 30) << "quiet checks are counted, not listed";
}

// 2 x 0.75 mm2 at 26 ohm/km (IEC 60228 class 5): some 9 m into 4 ohm is more than a tenth.
// What is told of a run stands apart in checks.csv, and notes alone are no conflict.
TEST(TradeOfSignals, TheListOfChecksHoldsFigureAndLimitAndTheSummarySaysWhereThereIsNoConflict) {
  TradeRoom trade;
  const auto written = [&](const char* file) {
    const TestFolder folder;
    sketch_model(trade.room.dump(), folder, ".glb");
    const auto planned = plan(trade.job.dump(), folder);
    EXPECT_TRUE(planned) << to_text(planned.error());
    WriteOptions options;
    options.drawings = options.report = false;
    EXPECT_TRUE(write_plan(*planned, folder / "out", options));
    return read_text(folder / "out" / file);
  };
  EXPECT_NE(written("summary.txt").find("No conflict found with"), std::string::npos);
  trade.run(0)["cable"] = "speaker 2x0.75";
  trade.run(0)["impedance"] = 4;
  EXPECT_EQ(written("summary.txt").find("No conflict found with"), std::string::npos);
  const std::string checks = written("checks.csv");
  EXPECT_EQ(
      checks.rfind("Level,Check,Subject,Finding,Figure,Limit,Remedy,Source,X (m),Y (m),Z (m)", 0),
      0U);
  EXPECT_NE(checks.find("should,loudspeaker-loss,A,"), std::string::npos) << checks;
  EXPECT_NE(checks.find(",5.0 %,"), std::string::npos) << checks;
}

TEST(TradeOfSignals, ThinCableIntoALowImpedanceLosesTooMuch) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker 2x0.75";
  trade.run(0)["impedance"] = 4;
  const auto all = found(judged(trade), "loudspeaker-loss");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].subject, "A");
  EXPECT_EQ(all[0].level, Level::should);
  EXPECT_NE(all[0].text.find("the limit is 5.0 %"), std::string::npos) << all[0].text;
  EXPECT_NE(all[0].remedy.find("speaker 2x2.5"), std::string::npos) << all[0].remedy;
  // 5 % of 4 ohm over 2 x 26 mohm a metre.
  EXPECT_NE(all[0].remedy.find("Of speaker 2x0.75 3.85 m would do."), std::string::npos)
      << all[0].remedy;
  EXPECT_TRUE(all[0].where);
  trade.run(0)["loss"] = "25 %";
  EXPECT_TRUE(found(judged(trade), "loudspeaker-loss").empty()) << "the user's own limit";
}

// Seventeen runs of one thin cable are one matter.
TEST(TradeOfSignals, RunsOfOneCableIntoOneImpedanceAreToldOnceWithTheWorst) {
  TradeRoom trade;
  trade.job["cables"] = Json::parse(R"([{"id": "line coax", "greatest_length": "5 m"}])");
  for (const std::size_t i : {0, 1}) {
    trade.run(i)["cable"] = "speaker 2x0.75";
    trade.run(i)["impedance"] = 4;
  }
  for (const char* id : {"L", "M"})
    trade.job["runs"].push_back(
        {{"id", id}, {"from", "amp.line"}, {"to", "data"}, {"cable", "line coax"}});
  trade.job["gear"][0]["holds"][0]["ports"].push_back("line2");
  trade.job["runs"].back()["from"] = "amp.line2";
  const Findings findings = judged(trade);
  auto all = found(findings, "loudspeaker-loss");
  ASSERT_EQ(all.size(), 1U) << all_of(findings);
  EXPECT_NE(all[0].text.find("Runs A and B lose up to "), std::string::npos) << all[0].text;
  all = found(findings, "cable-length");
  ASSERT_EQ(all.size(), 1U) << all_of(findings);
  EXPECT_NE(all[0].text.find("Runs L and M are up to "), std::string::npos) << all[0].text;
  trade.run(1)["impedance"] = 6;
  EXPECT_EQ(found(judged(trade), "loudspeaker-loss").size(), 2U) << "another load";
}

TEST(TradeOfSignals, HeatAndDampingCountInTheLoss) {
  TradeRoom trade;
  trade.job["prefer"]["money_per_visible_metre"] = 2;  // short ways, over the open wall
  trade.run(0)["damping"] = 25;
  EXPECT_TRUE(found(judged(trade), "loudspeaker-loss").empty());
  trade.run(0)["amplifier_damping"] = 30;
  EXPECT_EQ(found(judged(trade), "loudspeaker-loss").size(), 1U);
  TradeRoom warm;
  warm.job["prefer"]["money_per_visible_metre"] = 2;  // run B stays short
  warm.run(0)["cable"] = "speaker 2x0.75";
  {
    const TestFolder folder;
    sketch_model(warm.room.dump(), folder, ".glb");
    const auto planned = plan(warm.job.dump(), folder);
    ASSERT_TRUE(planned) << to_text(planned.error());
    warm.run(0)["loss"] = 1.05 * 2 * 0.026 * cut_m(*planned, "A") / 8;  // of 26 ohm/km
  }
  const bool cold_passes = found(judged(warm), "loudspeaker-loss").empty();
  warm.job["prefer"]["temperature"] = 80;
  EXPECT_EQ(found(judged(warm), "loudspeaker-loss").size(), 1U);
  EXPECT_TRUE(cold_passes) << "a run of this length passes at 20 degrees";
}

TEST(TradeOfSignals, AnOpenGaugeIsChosenAndExplained) {
  TradeRoom trade;
  trade.job["prefer"]["money_per_visible_metre"] = 2;  // short ways, over the open wall
  trade.run(0)["cable"] = "speaker";
  trade.run(1)["cable"] = "speaker";
  trade.run(1)["impedance"] = 4;
  trade.run(1)["loss"] = "3 %";
  const TestFolder folder;
  sketch_model(trade.room.dump(), folder, ".glb");
  const auto planned = plan(trade.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_EQ(planned->takeoff.gauges.size(), 2U);
  for (const GaugeChosen& one : planned->takeoff.gauges) {
    EXPECT_TRUE(one.satisfied);
    EXPECT_NEAR(one.length_m, cut_m(*planned, one.run), 1e-9) << "of the final plan";
    ASSERT_GT(one.chosen, 0);
    EXPECT_FALSE(one.options[static_cast<std::size_t>(one.chosen - 1)].satisfies) << one.why;
    EXPECT_NE(one.why.find("One size down"), std::string::npos) << one.why;
    EXPECT_NE(one.why.find("One size up"), std::string::npos) << one.why;
    EXPECT_EQ(one.cable.rfind("speaker 2x", 0), 0U);
    EXPECT_EQ(one.cable.find("awg"), std::string::npos) << "a metric job";
  }
  EXPECT_NE(planned->takeoff.gauges[0].cable, planned->takeoff.gauges[1].cable);
  ASSERT_TRUE(std::any_of(planned->takeoff.tables.begin(), planned->takeoff.tables.end(),
                          [](const Table& t) { return t.id == "gauges" && t.rows.size() == 2; }));
  const Findings findings = judged(trade);
  EXPECT_TRUE(found(findings, "gauge-choice").empty());
  EXPECT_TRUE(found(findings, "plan-differs").empty());
}

GaugeChosen chosen_for(const TradeRoom& trade) {
  const TestFolder folder;
  sketch_model(trade.room.dump(), folder, ".glb");
  const auto planned = plan(trade.job.dump(), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  return planned ? planned->takeoff.gauges.at(0) : GaugeChosen();
}

/// Fills the row of an open gauge up to the one chosen: all of them fail.
void expect_smallest(const GaugeChosen& one) {
  EXPECT_TRUE(one.satisfied) << one.why;
  for (int i = 0; i < one.chosen; ++i)
    EXPECT_FALSE(one.options[static_cast<std::size_t>(i)].satisfies) << one.why;
}

// The first plan's thick cables, or its lengths, ask for more than the last plan needs: what is
// left is the smallest all the same, and the check agrees.
TEST(TradeOfSignals, AnOpenGaugeShrinksToTheSmallestThatServes) {
  TradeRoom trade;
  for (std::size_t i = 0; i < 3; ++i) {
    trade.run(i)["cable"] = "speaker";
    trade.run(i)["impedance"] = 4;
  }
  trade.run(2)["from"] = "amp.S3";
  const TestFolder folder;
  sketch_model(trade.room.dump(), folder, ".glb");
  const auto planned = plan(trade.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_EQ(planned->takeoff.gauges.size(), 3U);
  for (const GaugeChosen& one : planned->takeoff.gauges) expect_smallest(one);
  EXPECT_TRUE(found(judged(trade), "gauge-choice").empty());
}

// 20 log10(1 + share) dB: 5 % are 0.42 dB, 1 dB are 12.2 %. Of 2 x 1.5 mm2 at 13.3 ohm/km (IEC
// 60228 class 5) 12 m into 4 ohm are 8 %: 0.67 dB.
TEST(TradeOfSignals, ALimitInDecibelsStandsInPlaceOfTheShare) {
  TradeRoom trade;
  trade.run(0)["impedance"] = 4;
  trade.run(0)["slack"] = "2 m";
  ASSERT_EQ(found(judged(trade), "loudspeaker-loss").size(), 1U) << "more than 5 %";
  trade.run(0)["loss_db"] = 1.0;
  EXPECT_TRUE(found(judged(trade), "loudspeaker-loss").empty());
  trade.run(0)["cable"] = "speaker 2x0.75";
  const auto all = found(judged(trade), "loudspeaker-loss");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].limit, "1.00 dB");
  EXPECT_EQ(all[0].text.find("5.0 %"), std::string::npos) << all[0].text;
  trade.run(0)["cable"] = "speaker";
  const GaugeChosen loose = chosen_for(trade);
  expect_smallest(loose);
  EXPECT_GT(loose.options[static_cast<std::size_t>(loose.chosen)].loss.share, 0.05) << loose.why;
  EXPECT_LE(loose.options[static_cast<std::size_t>(loose.chosen)].loss.loss_db, 1.0);
  trade.run(0)["loss"] = "5 %";
  EXPECT_GT(chosen_for(trade).chosen, loose.chosen) << "both are kept where both are said";
}

// manualslib.es/manual/7911 p21 advises 50: with an ideal amplifier a loop of 2 %.
TEST(TradeOfSignals, DampingLeadsTheChoiceWhereItAsksForMore) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker";
  const GaugeChosen by_share = chosen_for(trade);
  trade.run(0)["damping"] = 50;
  const GaugeChosen by_damping = chosen_for(trade);
  expect_smallest(by_damping);
  EXPECT_GT(by_damping.chosen, by_share.chosen);
  EXPECT_GE(by_damping.options[static_cast<std::size_t>(by_damping.chosen)].loss.damping, 50);
  EXPECT_NE(by_damping.why.find("damping 50 at least"), std::string::npos) << by_damping.why;
}

TEST(TradeOfSignals, AGaugeOpenInFeetIsAmericanAndAnAirVoidAsksForPlenum) {
  TradeRoom trade;
  trade.job["units"] = "feet and inches";
  trade.run(0)["cable"] = "speaker";
  trade.run(1)["cable"] = "speaker";
  trade.run(1)["series"] = "mm2";
  const auto cable = [&](std::size_t index) {
    const TestFolder folder;
    sketch_model(trade.room.dump(), folder, ".glb");
    const auto planned = plan(trade.job.dump(), folder);
    EXPECT_TRUE(planned) << to_text(planned.error());
    return planned ? planned->takeoff.gauges.at(index).cable : std::string();
  };
  EXPECT_NE(cable(0).find("awg"), std::string::npos);
  EXPECT_EQ(cable(1).find("awg"), std::string::npos);
  trade.rule("Ceiling")["handles_air"] = true;
  EXPECT_NE(cable(0).find("plenum"), std::string::npos);
  trade.run(0)["conductors"] = 4;
  EXPECT_NE(cable(0).find("plenum"), std::string::npos) << "quads as well";
}

// The user asks for less loss after the plan was made; and a cable that nobody may choose.
TEST(TradeOfSignals, AChosenGaugeThatDoesNotServeIsFound) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker";
  trade.run(0)["impedance"] = 4;
  EXPECT_TRUE(found(judged(trade), "gauge-choice").empty());
  Json later = trade.job;
  later["runs"][0]["loss"] = "3 %";
  auto all = found(judged_later(trade, later), "gauge-choice");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
  EXPECT_NE(all[0].text.find("is the smallest that serves"), std::string::npos) << all[0].text;
  all =
      found(judged_tampered(trade, [](Json& plan) { plan["runs"][0]["cable"] = "speaker 2x0.75"; }),
            "gauge-choice");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
}

// The cable that lies in the wall is the one that was pulled, whatever the job asks for later.
TEST(TradeOfSignals, ALyingCableOfOpenGaugeIsNotChosenAnew) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker";
  trade.run(0)["impedance"] = 4;
  const std::string pulled = chosen_for(trade).cable;
  trade = with_lying_run(trade, "A");
  trade.run(0)["loss"] = "3 %";
  const auto all = found(judged(trade), "gauge-choice");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::should);
  EXPECT_EQ(all[0].figure, pulled);
  EXPECT_NE(all[0].text.find("lies already"), std::string::npos) << all[0].text;
}

TEST(TradeOfSignals, ATypeOfCableServesToItsLength) {
  TradeRoom trade;
  trade.run(0) = {{"id", "A"}, {"from", "amp.line"}, {"to", "left"}, {"cable", "line balanced"}};
  EXPECT_TRUE(found(judged(trade), "cable-length").empty());
  trade.run(0)["cable"] = "line coax";
  trade.job["cables"] = Json::parse(R"([{"id": "line coax", "greatest_length": "5 m"}])");
  ASSERT_EQ(found(judged(trade), "cable-length").size(), 1U);
  trade = {};
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "greatest_length": "5 m"}])");
  const auto network = found(judged(trade), "cable-length");
  ASSERT_EQ(network.size(), 1U) << "a network cable of a shorter reach than its link's";
  EXPECT_NE(network[0].text.find("Run N "), std::string::npos) << network[0].text;
}

// One hopeless cable is no reason to plan nothing: the user's choice stays, its run is planned with
// the others, and the shelf or the shop serves it if it can.
TEST(TradeOfSignals, ARunThatNoPieceIsLongEnoughForIsPlannedAndTold) {
  TradeRoom trade;
  trade.job["runs"].push_back(
      {{"id", "V"}, {"from", "amp.line"}, {"to", "left"}, {"cable", "hdmi passive 48G"}});
  const TestFolder folder;
  sketch_model(trade.room.dump(), folder, ".glb");
  const auto planned = plan(trade.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (const PlannedRun& run : planned->plan.runs) EXPECT_TRUE(run.routed);
  ASSERT_TRUE(write_plan(*planned, folder / "out", {.drawings = false, .report = false}));
  const std::string summary = read_text(folder / "out" / "summary.txt");
  const std::size_t first = summary.find("it is planned all the same");
  ASSERT_NE(first, std::string::npos) << summary;
  EXPECT_EQ(summary.find("it is planned all the same", first + 1), std::string::npos) << summary;
  const auto told = found(judged(trade), "piece-length");
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told[0].level, Level::must);
  EXPECT_EQ(told[0].subject, "V");
  EXPECT_EQ(told[0].remedy.find("spool"), std::string::npos) << "a longer one would not serve";
  trade.job["stock"]["spools"] =
      Json::array({{{"cable", "hdmi passive 48G"}, {"length", "30 m"}, {"on_shelf", true}}});
  EXPECT_TRUE(found(judged(trade), "piece-length").empty());
  // What is sold by the job stands for what the catalogue sells.
  trade.job["stock"]["spools"] =
      Json::array({{{"cable", "cat6"}, {"length", "4 m"}, {"on_shelf", false}}});
  const Findings sold = judged(trade);
  EXPECT_EQ(found(sold, "piece-length").size(), 2U) << all_of(sold);
}

TEST(TradeOfSignals, ALinkAndItsCordsKeepToAHundredMetres) {
  TradeRoom trade;
  trade.run(2)["cords"] = "10 m";
  EXPECT_TRUE(found(judged(trade), "network-link").empty());
  trade.run(2)["cords"] = "95 m";
  const auto all = found(judged(trade), "network-link");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].level, Level::must);
  trade.run(2)["cords"] = "0 m";
  trade.run(2)["slack"] = "45 m";
  EXPECT_EQ(found(judged(trade), "network-link").size(), 1U) << "over 90 m of link";
}

Json picture_run(const char* cable, const char* mode) {
  return {{"id", "A"},      {"from", "amp.out1"}, {"to", "left"},
          {"cable", cable}, {"picture", mode},    {"via", "plenum"}};
}

TEST(TradeOfSignals, APictureCableCarriesTheRateOverItsLength) {
  TradeRoom trade;
  trade.job["cables"] = Json::parse(R"([{"id": "hdmi passive 18G", "put_ups": ["30 m"]},
                                        {"id": "hdmi passive 1080p", "put_ups": ["30 m"]}])");
  trade.run(0) = picture_run("hdmi passive 1080p", "1080p");
  EXPECT_TRUE(found(judged(trade), "picture-rate").empty());
  trade.run(0) = picture_run("hdmi passive 1080p", "4k60");
  ASSERT_EQ(found(judged(trade), "picture-rate").size(), 1U);
  EXPECT_EQ(found(judged(trade), "picture-rate")[0].level, Level::must) << "not the rate";
  trade.run(0) = picture_run("hdmi passive 18G", "4k60");
  ASSERT_EQ(found(judged(trade), "picture-rate").size(), 1U);
  EXPECT_EQ(found(judged(trade), "picture-rate")[0].level, Level::should) << "not so far";
  EXPECT_TRUE(found(judged(trade), "cable-length").empty()) << "one matter is told once";
  trade.run(0).erase("picture");
  const auto far = found(judged(trade), "cable-length");
  ASSERT_EQ(far.size(), 1U) << "nobody says what it must carry";
  EXPECT_EQ(far[0].source, "practice: 18 Gb/s to about 5 m");
  trade.run(0) = picture_run("hdmi optical 48G", "8k60");
  EXPECT_TRUE(found(judged(trade), "picture-rate").empty());
}

// Practice (CH-2540RX manual p59): 1080p to 15 m. The type serves to 5 m: who heeded the picture
// alone would shorten the run to 14 m in vain.
TEST(TradeOfSignals, AShorterReachOfTheTypeIsToldThoughThePictureIsBeyondItsOwnToo) {
  TradeRoom trade;
  trade.job["cables"] = Json::parse(R"([{"id": "hdmi passive 18G", "put_ups": ["30 m"]}])");
  trade.run(0) = picture_run("hdmi passive 18G", "1080p");
  trade.run(0)["slack"] = "10 m";
  const Findings findings = judged(trade);
  ASSERT_EQ(found(findings, "picture-rate").size(), 1U) << "the run is longer than 15 m";
  const auto all = found(findings, "cable-length");
  ASSERT_EQ(all.size(), 1U) << all_of(findings);
  EXPECT_EQ(all[0].limit, "5.00 m");
}

// Pulled the wrong way round an optical cable is dead, so the lists say which end goes where.
TEST(TradeOfSignals, TheListsSayWhichEndOfADirectionalCableGoesToTheSource) {
  TradeRoom trade;
  trade.run(0) = picture_run("hdmi optical 48G", "8k60");
  trade.run(0)["from"] = "amp.S7";
  for (const bool turned : {false, true}) {
    if (turned) trade.run(0)["signal_from"] = "to";
    const TestFolder folder;
    sketch_model(trade.room.dump(), folder, ".glb");
    const auto planned = plan(trade.job.dump(), folder);
    ASSERT_TRUE(planned) << to_text(planned.error());
    WriteOptions options;
    options.drawings = options.report = false;
    ASSERT_TRUE(write_plan(*planned, folder / "out", options));
    const std::string order = read_text(folder / "out" / "pull_order.csv");
    EXPECT_NE(order.find(turned ? "sending end to left" : "sending end to amp.S7"),
              std::string::npos)
        << order;
    const std::string labels = read_text(folder / "out" / "labels.csv");
    EXPECT_NE(labels.find(turned ? "A,left,amp.S7,hdmi optical 48G,picture,sending end"
                                 : "A,amp.S7,left,hdmi optical 48G,picture,sending end"),
              std::string::npos)
        << labels;
    EXPECT_EQ(labels.find("sending end"), labels.rfind("sending end")) << "one end sends";
  }
}

TEST(TradeOfSignals, ADirectionalCableRunsFromItsSource) {
  TradeRoom trade;
  trade.run(0) = picture_run("hdmi active 18G", "4k60");
  EXPECT_TRUE(found(judged(trade), "signal-direction").empty());
  trade.run(0)["from"] = "amp.in1";
  ASSERT_EQ(found(judged(trade), "signal-direction").size(), 1U);
  trade.run(0)["signal_from"] = "to";
  EXPECT_TRUE(found(judged(trade), "signal-direction").empty());
}

}  // namespace
}  // namespace roomloom::testing
