#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "base/files.h"
#include "cli/call.h"
#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4, "depth": 5 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] } })";

constexpr const char* kJob = R"({ "version": 1, "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 0.3,
              "off_wall": 0.15, "ports": ["1..2"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1, "up": 0.4 } ],
  "runs": [ { "id": "N1", "from": "rack.1", "to": "desk", "cable": "network" } ],
  "variants": [
    { "name": "rack right", "change": { "gear": [ { "id": "rack", "from_left": 3 } ] } },
    { "name": "second desk", "change": {
        "ends": [ { "id": "desk 2", "at": "Wall left", "from_left": 2, "up": 0.4 } ],
        "runs": [ { "id": "N2", "from": "rack.2", "to": "desk 2", "cable": "network" } ] } },
    { "name": "no such place", "change": {
        "ends": [ { "id": "desk", "at": "Wall back", "from_left": 40, "up": 0.4 } ] } } ] })";

constexpr const char* kHouse = R"({ "version": 1, "currency": "GBP",
  "favourites": { "network": "cat6" },
  // the shelf
  "stock": { "spools": [ { "cable": "cat6", "length": 100, "count": 2 } ] } })";

class VariantsAndHouse : public ::testing::Test {
 protected:
  void SetUp() override {
    write_text(folder_ / "room.json", kRoom);
    write_text(folder_ / "job.json", kJob);
    write_text(folder_ / "house.json", kHouse);
    at_ = folder_.path().string();
    ASSERT_EQ(call("sketch " + at_ + "/room.json -o " + at_ + "/room.glb").status, 0);
  }
  Outcome route(const std::string& result, const std::string& more) const {
    return call("route " + at_ + "/job.json -o " + at_ + "/" + result +
                " --effort quick --no-drawings --house " + at_ + "/house.json " + more);
  }
  std::string file(const std::string& name) const {
    const auto text = read_file(folder_ / name);
    return text ? *text : std::string();
  }
  TestFolder folder_;
  std::string at_;
};

TEST_F(VariantsAndHouse, EachVariantIsPlannedAndATableComparesThemInAllItsForms) {
  const Outcome outcome = route("plan", "");
  ASSERT_LE(outcome.status, 1) << outcome.text;
  const std::string table = file("plan/variants.csv");
  for (const char* row : {"\r\nas written,1,", "\r\nrack right,1,", "\r\nsecond desk,2,",
                          "\r\nno such place,,", "cannot be planned"})
    EXPECT_NE(table.find(row), std::string::npos) << row << table;
  EXPECT_NE(table.find("the plan in this result"), std::string::npos) << table;
  EXPECT_NE(outcome.text.find("Variants side by side"), std::string::npos) << outcome.text;
  EXPECT_NE(file("plan/summary.txt").find("second desk"), std::string::npos);
  EXPECT_NE(file("plan/report.html").find("second desk"), std::string::npos);
  EXPECT_EQ(call("check " + at_ + "/plan").status, outcome.status);
}

TEST_F(VariantsAndHouse, TheUnionOfSeveralIsWiredAndChecked) {
  const Outcome outcome =
      route("both", "--variant \"rack right\" --variant \"second desk\" --no-variants");
  ASSERT_LE(outcome.status, 1) << outcome.text;
  EXPECT_NE(outcome.text.find("Planned as: rack right + second desk"), std::string::npos)
      << outcome.text;
  EXPECT_EQ(file("both/variants.csv"), "");
  const auto plan = nlohmann::json::parse(file("both/plan.json"));
  std::vector<std::string> runs;
  for (const auto& run : plan.at("runs")) {
    runs.push_back(run.at("id"));
    EXPECT_TRUE(run.at("routed").get<bool>()) << runs.back();
  }
  EXPECT_EQ(runs, (std::vector<std::string>{"N1", "N1 (second desk)", "N2"}));
  const Outcome check = call("check " + at_ + "/both");
  EXPECT_EQ(check.status, outcome.status) << check.text;
  EXPECT_EQ(check.text.find("plan-differs"), std::string::npos) << check.text;
}

TEST_F(VariantsAndHouse, AVariantThatTheJobDoesNotHaveIsRefusedWithItsNames) {
  const Outcome outcome = route("plan", "--variant \"rack rihgt\"");
  EXPECT_EQ(outcome.status, 2);
  EXPECT_NE(outcome.text.find("Did you mean \"rack right\"?"), std::string::npos) << outcome.text;
}

TEST_F(VariantsAndHouse, ARecordReturnsWhatIsLeftOfASpoolToTheHouse) {
  ASSERT_LE(route("plan", "--no-variants").status, 1);
  const Outcome record = call("record " + at_ + "/plan --run N1 --measured \"9.5 m\"");
  ASSERT_EQ(record.status, 0) << record.text;
  EXPECT_NE(record.text.find("house.json"), std::string::npos) << record.text;
  const std::string house = file("house.json");
  EXPECT_NE(house.find("\"90.500 m\""), std::string::npos) << house;
  EXPECT_NE(house.find("// the shelf"), std::string::npos) << house;

  // The next plan of the same job takes the house's stock as it is now, and no more from it.
  std::string job = file("job.json");
  job.replace(job.find("\"version\": 1"), 12, "\"version\": 1, \"as_built\": \"as-built.json\"");
  write_text(folder_ / "job.json", job);
  const Outcome again = route("again", "--variant \"second desk\" --no-variants");
  ASSERT_LE(again.status, 1) << again.text;
  const std::string left = file("again/stock-left.json");
  EXPECT_NE(left.find("90.5"), std::string::npos) << left;
  EXPECT_EQ(left.find("81"), std::string::npos) << "the run that lies is not cut again" << left;
  const auto plan = nlohmann::json::parse(file("again/plan.json"));
  EXPECT_EQ(plan.at("runs").at(0).at("id"), "N1");
  EXPECT_DOUBLE_EQ(plan.at("runs").at(0).at("cut_m").get<double>(), 9.5);
}

TEST_F(VariantsAndHouse, ARecordTellsWhichSpoolItTookWhereTheHouseWasCorrectedSince) {
  ASSERT_LE(route("plan", "--no-variants").status, 1);
  std::string house = kHouse;
  house.replace(house.find("100, \"count\": 2"), 15, "95");
  write_text(folder_ / "house.json", house);
  const Outcome record = call("record " + at_ + "/plan --run N1 --measured \"9.5 m\"");
  ASSERT_EQ(record.status, 0) << record.text;
  EXPECT_NE(record.text.find("It is taken to be the one of 95.00 m there."), std::string::npos)
      << record.text;
  const std::string after = file("house.json");
  EXPECT_NE(after.find("\"length\": \"85.500 m\""), std::string::npos) << after;
  EXPECT_EQ(after.find("90.5"), std::string::npos) << after;
}

TEST_F(VariantsAndHouse, CheckTellsThatTheHouseFileHasChanged) {
  ASSERT_LE(route("plan", "--no-variants").status, 1);
  std::string house = kHouse;
  house.replace(house.find("GBP"), 3, "CHF");
  write_text(folder_ / "house.json", house);
  EXPECT_NE(call("check " + at_ + "/plan").text.find("[house-changed]"), std::string::npos);
}

TEST_F(VariantsAndHouse, TwoPlansAreComparedInWordsAndInATable) {
  ASSERT_LE(route("plan", "--no-variants").status, 1);
  ASSERT_LE(route("more", "--variant \"second desk\" --no-variants").status, 1);
  const Outcome compared =
      call("compare " + at_ + "/plan " + at_ + "/more --table " + at_ + "/changes.csv");
  ASSERT_EQ(compared.status, 0) << compared.text;
  for (const char* words : {"Ends: ", "Runs, cut length: 1 added", "Shopping: "})
    EXPECT_NE(compared.text.find(words), std::string::npos) << words << compared.text;
  EXPECT_NE(file("changes.csv").find("runs,N2,added,"), std::string::npos);
}

}  // namespace
}  // namespace roomloom::testing
