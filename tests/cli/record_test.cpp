#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "base/files.h"
#include "cli/call.h"
#include "pipeline/planning.h"

/// Built, recorded by the program, and planned again with gear that came later.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4.1, "depth": 5.3 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6], "as": "tiles" },
  "conduits": [ { "name": "Conduit left", "wall": "Wall left", "off_wall": "20 mm",
                  "diameter": "32 mm", "inside_diameter": "27 mm",
                  "points": [["0.8 m", "0.4 m"], ["4.3 m", "0.4 m"]] } ] })";

class Recorded : public ::testing::Test {
 protected:
  void SetUp() override {
    at_ = folder_.path().string();
    write_text(folder_ / "room.json", kRoom);
    ASSERT_EQ(call("sketch " + at_ + "/room.json -o " + at_ + "/room.glb").status, 0);
    job_ = Json::parse(R"({ "version": 1, "model": { "file": "room.glb" },
      "parts": [ { "match": "Wall *", "is": "wall", "build": "masonry" },
                 { "match": "Conduit *", "is": "conduit", "inside": "27 mm" } ],
      "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.5,
                  "off_wall": 0.15, "ports": ["1..6"] } ],
      "ends": [ { "id": "beam", "at": "Wall back", "from_left": 2.0, "up": 2.2 } ],
      "runs": [ { "id": "N1", "from": "rack.1", "to": "beam", "cable": "cat6",
                  "via": "plenum" } ] })");
  }

  void route(const std::string& into) const {
    write_text(folder_ / "job.json", job_.dump());
    const Outcome outcome = call("route " + at_ + "/job.json -o " + at_ + "/" + into +
                                 " --effort quick --no-drawings --house none");
    EXPECT_EQ(outcome.status, 0) << outcome.text;
    EXPECT_EQ(call("check " + at_ + "/" + into).status, 0);
  }
  Json plan_in(const std::string& result) const {
    return Json::parse(read_text(folder_ / result / "plan.json"));
  }
  Outcome record(const std::string& result, const std::string& what) const {
    return call("record " + at_ + "/" + result + " " + what);
  }

  TestFolder folder_;
  std::string at_;
  Json job_;
};

TEST_F(Recorded, HolesRacewayAndDrawCordsAreUsedByGearThatComesLaterBeforeAnythingIsCut) {
  route("before");
  const Json before = plan_in("before");
  ASSERT_FALSE(before["holes"].empty());
  std::string lies = "--run N1 --measured 12.5";
  for (const Json& hole : before["holes"]) {
    const std::string name = hole["name"];
    lies += " --hole " + name + " --draw-cord " + name;
  }
  for (const Json& table : before["tables"])
    if (table["id"] == "raceway_pieces")
      for (const Json& row : table["rows"]) lies += " --raceway " + row[0].get<std::string>();
  const Outcome recorded = record("before", lies + " --draw-cord \"Conduit left\"");
  ASSERT_EQ(recorded.status, 0) << recorded.text;
  const Outcome unknown = record("before", "--draw-cord \"Conduit lefft\"");
  EXPECT_EQ(unknown.status, 2);
  EXPECT_NE(unknown.text.find("Conduit left"), std::string::npos) << unknown.text;

  job_["as_built"] = "as-built.json";
  job_["cables"] = Json::parse(R"([ { "id": "thin", "like": "cat6", "diameter": "3 mm" } ])");
  job_["ends"].push_back({{"id", "beam 2"}, {"at", "Wall back"}, {"from_left", 2.2}, {"up", 2.2}});
  job_["ends"].push_back({{"id", "floor"}, {"at", "Wall left"}, {"from_left", 4.5}, {"up", 0.4}});
  job_["ends"].push_back({{"id", "desk"}, {"at", "Wall left"}, {"from_left", 0.6}, {"up", 0.4}});
  job_["runs"].push_back(
      {{"id", "N2"}, {"from", "rack.2"}, {"to", "beam 2"}, {"cable", "thin"}, {"via", "plenum"}});
  job_["runs"].push_back({{"id", "N3"}, {"from", "desk"}, {"to", "floor"}, {"cable", "thin"}});
  route("after");
  const std::string first = read_text(folder_ / "after" / "use_first.csv");
  for (const char* row :
       {"N2,hole H", "N2,draw cord,", "N2,raceway R", "N3,draw cord,in Conduit left"})
    EXPECT_NE(first.find(row), std::string::npos) << row << "\n" << first;
  const std::string ladder = read_text(folder_ / "after" / "ladder.csv");
  EXPECT_EQ(ladder.find("Mark and cut"), std::string::npos) << ladder;
}

TEST_F(Recorded, AHoleIsAsWideAsItWasCutInEveryListAndANarrowOneIsToldAndWidened) {
  route("before");
  const Json first = plan_in("before")["holes"][0];
  const std::string name = first["name"];
  const Outcome wide = record("before", "--hole " + name + "=47mm");
  ASSERT_EQ(wide.status, 0) << wide.text;
  EXPECT_EQ(wide.text.find("widened"), std::string::npos) << wide.text;
  job_["as_built"] = "as-built.json";
  route("wide");
  EXPECT_DOUBLE_EQ(plan_in("wide")["holes"][0]["diameter_m"].get<double>(), 0.047);
  for (const char* list : {"holes.csv", "hole_schedule.csv"}) {
    const std::string text = read_text(folder_ / "wide" / list);
    EXPECT_NE(text.find("cut already"), std::string::npos) << text;
    EXPECT_NE(text.find(",47.0,"), std::string::npos) << text;
  }
  // Recorded again, of another width: cat6 of 6 mm does not pass 5 mm.
  const Outcome narrow = record("wide", "--hole " + name + "=5mm");
  EXPECT_NE(narrow.text.find("5.0 mm wide, planned 47.0 mm"), std::string::npos) << narrow.text;
  EXPECT_EQ(Json::parse(read_text(folder_ / "as-built.json"))["holes"].size(), 1U);
  EXPECT_EQ(record("before", "--hole " + name + "=wide").status, 2);
  EXPECT_EQ(record("before", "--hole " + name + "=0mm").status, 2);
}

TEST_F(Recorded, NothingIsAUsageErrorThatSaysWhatCanBe) {
  route("before");
  for (const char* nothing : {"", "--measured 12.5"}) {
    const Outcome refused = record("before", nothing);
    EXPECT_EQ(refused.status, 2) << nothing;
    for (const char* can : {"--run", "--hole", "--raceway", "--tile", "--draw-cord", "--task"})
      EXPECT_NE(refused.text.find(can), std::string::npos) << refused.text;
  }
  EXPECT_FALSE(std::filesystem::exists(folder_ / "as-built.json"));
}

TEST_F(Recorded, AWidthByItselfIsMillimetresAndWhatCanHardlyBeIsRefused) {
  route("before");
  const std::string name = plan_in("before")["holes"][0]["name"];
  const Outcome bare = record("before", "--hole " + name + "=29");
  EXPECT_EQ(bare.status, 0) << bare.text;
  EXPECT_NE(bare.text.find("29.0 mm"), std::string::npos) << bare.text;
  for (const char* odd : {"=2.9m", "=0.029", "=29m"}) {
    const Outcome refused = record("before", "--hole " + name + odd);
    EXPECT_EQ(refused.status, 2) << odd;
    EXPECT_NE(refused.text.find("--anyway"), std::string::npos) << refused.text;
  }
  EXPECT_EQ(record("before", "--run N1 --measured 160m").status, 2);
  EXPECT_EQ(record("before", "--run N1 --measured 0.1m --anyway").status, 0);
  EXPECT_EQ(Json::parse(read_text(folder_ / "as-built.json"))["holes"][0]["diameter_m"], 0.029);
}

TEST_F(Recorded, APlanOlderThanTheRecordIsToldSoAndNothingElseOfIt) {
  route("before");
  ASSERT_EQ(record("before", "--run N1 --measured 12.5").status, 0);
  job_["as_built"] = "as-built.json";
  route("after");
  const std::string name = plan_in("after")["holes"][0]["name"];
  ASSERT_EQ(record("after", "--hole " + name + "=60mm").status, 0);
  for (const char* result : {"before", "after"}) {
    const Outcome old = call("check " + at_ + "/" + result);
    EXPECT_EQ(old.status, 1) << old.text;
    EXPECT_NE(old.text.find("Route again. [as-built-changed]"), std::string::npos) << old.text;
    EXPECT_EQ(old.text.find("must:"), old.text.rfind("must:")) << old.text;
  }
}

TEST_F(Recorded, WhatWasRecordedByMistakeIsForgottenAndPlannedAsIfItNeverWas) {
  route("before");
  ASSERT_EQ(record("before", "--run N1 --measured 12.5").status, 0);
  const Outcome again = record("before", "--run N1 --measured 12.7");
  EXPECT_NE(again.text.find("run N1 was 12.50 m (41.0 ft), is now 12.70 m"), std::string::npos)
      << again.text;
  const Outcome unknown = record("before", "--forget --run N2");
  EXPECT_EQ(unknown.status, 2);
  EXPECT_NE(unknown.text.find("no run \"N2\""), std::string::npos) << unknown.text;
  const Outcome gone = record("before", "--forget --run N1");
  ASSERT_EQ(gone.status, 0) << gone.text;
  EXPECT_NE(gone.text.find("run N1, hole H"), std::string::npos) << gone.text;
  job_["as_built"] = "as-built.json";
  route("after");
  EXPECT_EQ(plan_in("after")["runs"][0]["held"], false);
  EXPECT_EQ(plan_in("after")["holes"][0]["cut_already"], false);
}

TEST_F(Recorded, HolesTilesDrawCordsAndMinutesAreForgottenByTheNamesTheyWereRecordedBy) {
  route("before");
  const Json plan = plan_in("before");
  const std::string hole = plan["holes"][0]["name"];
  const std::string crossing = plan["holes"][0]["crossing"];
  const std::string tile = crossing.substr(crossing.rfind(' ') + 1);
  const std::string named =
      "--hole " + hole + " --tile " + tile + " --draw-cord " + hole + " --task 'cut a hole'";
  const Outcome first = record("before", named + " --count 3 --minutes 50");
  ASSERT_EQ(first.status, 0) << first.text;
  const auto lists = [&] {
    std::map<std::string, std::size_t> counts;
    const Json built = Json::parse(read_text(folder_ / "as-built.json"));
    for (const char* list : {"holes", "tiles", "draw_cords", "minutes"})
      counts[list] = built.contains(list) ? built[list].size() : 0;
    return counts;
  };
  for (const auto& [list, count] : lists()) EXPECT_EQ(count, 1U) << list;
  const Outcome gone = record("before", "--forget " + named);
  EXPECT_EQ(gone.status, 0) << gone.text;
  for (const auto& [list, count] : lists()) EXPECT_EQ(count, 0U) << list;
  for (const std::string& again :
       {"--hole " + hole, "--tile " + tile, "--draw-cord " + hole, std::string("--task lift")}) {
    const Outcome none = record("before", "--forget " + again);
    EXPECT_EQ(none.status, 2) << again;
    const std::string name = again.substr(again.rfind(' ') + 1);
    EXPECT_NE(none.text.find('"' + name + '"'), std::string::npos) << none.text;
  }
}

TEST_F(Recorded, ForgettingListensToNothingButNames) {
  route("before");
  ASSERT_EQ(record("before", "--run N1 --measured 12.5").status, 0);
  const std::string built = read_text(folder_ / "as-built.json");
  for (const char* more : {"--measured 12.5", "--marks 1 13.5", "--anyway", "--count 2",
                           "--minutes 10", "--spool A1", "--hole H1=29mm"}) {
    const Outcome refused = record("before", std::string("--forget --run N1 ") + more);
    EXPECT_EQ(refused.status, 2) << more << refused.text;
    EXPECT_EQ(read_text(folder_ / "as-built.json"), built) << more;
  }
}

TEST_F(Recorded, TheHouseFileMayBeNamed) {
  route("before");
  const Outcome outcome = record("before", "--house none --run N1 --measured 12.5");
  EXPECT_EQ(outcome.status, 0) << outcome.text;
}

}  // namespace
}  // namespace roomloom::testing
