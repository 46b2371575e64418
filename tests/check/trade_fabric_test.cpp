#include <gtest/gtest.h>

#include <sstream>

#include "check/check.h"
#include "check/trade_rooms.h"
#include "trade/rules.h"

/// Jackets, fire, framing, listening and living: a plan that passes and one that fails, each.
namespace roomloom::testing {
namespace {

bool tells(const Findings& findings, const std::string& id) { return !found(findings, id).empty(); }

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
  EXPECT_NE(all[0].remedy.find("nothing like cat6 screened"), std::string::npos) << all[0].remedy;
}

TEST(TradeOfFabric, HolesInRatedPartsAreSealedByATestedSystem) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "fire-seal"));
  trade.rule("Ceiling")["fire_rated"] = true;
  EXPECT_TRUE(tells(judged(trade), "fire-seal"));
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

TradeRoom stud_room() {
  TradeRoom trade;
  trade.rule("Wall back") = Json::parse(R"({ "match": "Wall back", "is": "wall", "build": "stud",
      "fishable": false, "studs": { "pitch": "400 mm", "depth": "89 mm" } })");
  return trade;
}

/// The back wall's studs end at the ceiling, under the plenum: its runs come down through the head
/// plate. Sketched walls reach to the slab, so the model's text is cut down.
TradeRoom head_plate_room(const char* depth) {
  TradeRoom trade = stud_room();
  trade.rule("Wall back")["fishable"] = true;
  trade.rule("Wall back")["studs"]["depth"] = depth;
  trade.edit_model = [](const std::string& obj) {
    std::istringstream lines(obj);
    std::string text, object;
    for (std::string line; std::getline(lines, line);) {
      if (line.starts_with("o ")) object = line.substr(2);
      if (object == "Wall back" && line.starts_with("v ") && line.ends_with(" 2.9"))
        line.replace(line.size() - 3, 3, "2.515");
      text += line + "\n";
    }
    return text;
  };
  trade.job["model"]["file"] = "room.obj";
  for (Json& run : trade.job["runs"]) run["via"] = {"plenum", "bay * of Wall back"};
  return trade;
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

// Planning itself cuts no larger hole than R602.6 allows; the user may find a shallower stud when
// the wall is open.
TEST(TradeOfFabric, AHeadPlateTakesAHoleOfItsShare) {
  const TradeRoom trade = head_plate_room("89 mm");
  EXPECT_FALSE(tells(judged_later(trade, trade.job), "stud-hole"));
  TradeRoom found_later = trade;
  found_later.rule("Wall back")["studs"]["depth"] = "45 mm";
  const Findings findings = judged_later(trade, found_later.job);
  const auto all = found(findings, "stud-hole");
  ASSERT_FALSE(all.empty()) << all_of(findings);
  EXPECT_NE(all[0].text.find("18.0 mm"), std::string::npos) << "40 % of 45 mm: " << all[0].text;
  found_later.rule("Wall back")["studs"]["depth"] = "120 mm";
  EXPECT_FALSE(tells(judged_later(trade, found_later.job), "stud-hole"));
}

// The judge itself compares what was told on writing with what is told afresh.
TEST(TradeOfFabric, AFishableStudWallIsJudgedAfreshAsItWasWhenWritten) {
  TradeRoom trade = stud_room();
  trade.rule("Wall back")["fishable"] = true;
  judged(trade);
}

/// A ready hole in the ceiling beside the front wall that run A takes.
TradeRoom ready_hole_room(const char* inside) {
  TradeRoom trade;
  trade.room["holes"] =
      Json::array({{{"name", "Ready"}, {"at", {1.3, 4.94}}, {"diameter", inside}}});
  trade.rule("Ready") = {{"match", "Ready"}, {"is", "hole"}, {"inside", inside}};
  trade.run(0)["via"] = "Ready";
  return trade;
}

TEST(TradeOfFabric, AJoistsHoleIsAThirdOfItsDepth) {
  TradeRoom trade = ready_hole_room("50 mm");
  Json& member = trade.rule("Ready")["member"];
  member = {{"kind", "joist"}, {"depth", "240 mm"}};
  EXPECT_FALSE(tells(judged(trade), "member-hole"));
  member["depth"] = "120 mm";
  const auto all = found(judged(trade), "member-hole");
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].text.find("40.0 mm and 51.0 mm are the limits"), std::string::npos);
  member = {{"kind", "stud"}, {"depth", "140 mm"}};  // IRC R602.6: 55.9 mm through a bearing 2x6
  EXPECT_FALSE(tells(judged(trade), "member-hole"));
  member = {{"kind", "stud"}, {"depth", "89 mm"}};
  EXPECT_TRUE(tells(judged(trade), "member-hole"));
  member = {{"kind", "engineered"}, {"depth", "300 mm"}};
  EXPECT_TRUE(tells(judged(trade), "member-hole"));
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

TEST(TradeOfFabric, AHoleKeepsFromTheEdgeOfItsTileAndIsSmallForIt) {
  TradeRoom trade;
  trade.job["ends"].push_back({{"id", "later"}, {"xyz", {2.3, 1.5, 2.5}}, {"mount", "on sheet"}});
  trade.run(0)["to"] = "later";  // its hole lies in the middle of the room
  Findings findings = judged(trade);
  EXPECT_FALSE(tells(findings, "tile-edge"));
  EXPECT_FALSE(tells(findings, "tile-hole"));
  Json later = trade.job;  // the tees turn out to be broad
  later["prefer"]["tee_margin"] = "290 mm";
  EXPECT_TRUE(tells(judged_later(trade, later), "tile-edge"));
  TradeRoom thick;  // three hoses as thick as an arm ask for more than the tile has
  thick.job["cables"] =
      Json::parse(R"([{"id": "speaker 2x1.5", "diameter": "100 mm", "bend_radius": "100 mm"}])");
  thick.job["prefer"]["largest_hole"] = "300 mm";
  findings = judged(thick);
  EXPECT_TRUE(tells(findings, "tile-hole")) << all_of(findings);
}

/// The run to the right comes down a bay of the rear wall, `from_left` along it.
TradeRoom bay_room(double from_left) {
  TradeRoom trade = stud_room();
  trade.room["outlets"][1]["from_left"] = 3.4;
  trade.rule("Wall back").erase("fishable");
  trade.rule("Outlet *")["clearance"] = 0;  // the planner's own distance, switched off
  trade.job["prefer"]["power_separation"] = 0;
  trade.job["ends"][1]["from_left"] = from_left;
  trade.job["runs"] = Json::array({trade.run(1)});
  trade.run(0)["via"] = {"plenum", "bay * of Wall back"};
  return trade;
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

TEST(TradeOfLiving, NothingLiesWhereASeatReclines) {
  TradeRoom trade;
  trade.room["seats"] = Json::parse(R"([{ "name": "Seat", "at": [2.0, 3.6], "width": 0.7,
                                          "depth": 0.9, "height": 1 }])");
  trade.rule("Seat")["is"] = "seat";
  EXPECT_FALSE(tells(judged(trade), "pinch-point"));
  Json later = trade.job;  // of a seat that is known to recline the plan would keep clear
  for (Json& part : later["parts"])
    if (part["match"] == "Seat") part["recline"] = "960 mm";
  EXPECT_TRUE(tells(judged_later(trade, later), "pinch-point"))
      << "it reaches to the rack's loose cables";
}

TEST(TradeOfLiving, LabelsDifferToTheEye) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "label-unique"));
  trade.run(0)["id"] = "S1";
  trade.run(1)["id"] = "s-01";
  EXPECT_TRUE(tells(judged(trade), "label-unique"));
}

TEST(TradeOfLiving, PoweredGearFindsAnOutlet) {
  TradeRoom trade;
  EXPECT_FALSE(tells(judged(trade), "outlet-reach")) << "the rack stands beside one";
  trade.run(0) = {{"id", "A"}, {"from", "amp.line"}, {"to", "left"}, {"cable", "line coax"}};
  EXPECT_TRUE(tells(judged(trade), "outlet-reach")) << "an active loudspeaker, 2.6 m away";
  trade.job["prefer"]["mains_lead"] = "5 m";
  EXPECT_FALSE(tells(judged(trade), "outlet-reach"));
  trade.job["prefer"].erase("mains_lead");
  for (Json& end : trade.job["ends"])
    if (end["id"] == "left") end["powered"] = false;
  EXPECT_FALSE(tells(judged(trade), "outlet-reach"));
}

/// Five loudspeakers about a listener, each at a point of its own.
TradeRoom listening_room() {
  TradeRoom trade;
  trade.job["layout"] = Json::parse(
      R"({ "system": "0+5+0", "listener": { "marker": "Listener" }, "facing": "Wall front" })");
  trade.job["ends"] = Json::parse(R"([
    { "id": "l", "label": "M+030" }, { "id": "r", "label": "M-030" },
    { "id": "ls", "label": "M+110" }, { "id": "rs", "label": "M-110" } ])");
  trade.job["runs"] = Json::array();
  int port = 1;
  for (const char* end : {"l", "r", "ls", "rs"})
    trade.job["runs"].push_back({{"id", std::string("R") + end},
                                 {"from", "amp.S" + std::to_string(port++)},
                                 {"to", end},
                                 {"cable", "speaker 2x1.5"},
                                 {"impedance", 8}});
  return trade;
}

/// One end placed by hand instead of by its label; its name still tells the label.
void put(TradeRoom& trade, std::size_t index, const char* label, const char* wall, double from_left,
         double up) {
  trade.job["ends"][index] = {{"id", label}, {"at", wall}, {"from_left", from_left}, {"up", up}};
  trade.run(index)["to"] = label;
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
