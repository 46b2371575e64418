#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "cli/call.h"
#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4, "depth": 5 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] } })";
constexpr const char* kJob = R"({ "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.7,
              "off_wall": 0.15, "ports": ["1..2"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1, "up": 0.4 } ],
  "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "cat6" } ] })";

TEST(CommandLine, HelpShowsExamplesAndExitStatus) {
  const Outcome help = call("--help");
  EXPECT_EQ(help.status, 0);
  for (const char* word : {"sketch", "survey", "route", "check", "explain", "Examples", "Exit"}) {
    EXPECT_NE(help.text.find(word), std::string::npos) << word;
  }
}

TEST(CommandLine, VersionIsOneLine) {
  const Outcome version = call("--version");
  EXPECT_EQ(version.status, 0);
  EXPECT_EQ(version.text.rfind("roomloom ", 0), 0U);
}

TEST(CommandLine, BadUsageIsTwo) {
  EXPECT_EQ(call("").status, 2);
  EXPECT_EQ(call("fly").status, 2);
  EXPECT_EQ(call("route").status, 2);
  EXPECT_EQ(call("route job.json --units furlongs").status, 2);
}

TEST(CommandLine, AMissingJobIsToldWithItsName) {
  const Outcome outcome = call("route /nowhere/job.json");
  EXPECT_EQ(outcome.status, 2);
  EXPECT_NE(outcome.text.find("/nowhere/job.json"), std::string::npos) << outcome.text;
}

TEST(CommandLine, AnErrorIsJsonWhenAskedFor) {
  const Outcome outcome = call("route /nowhere/job.json --json", false);
  EXPECT_EQ(outcome.status, 2);
  const auto json = nlohmann::json::parse(outcome.text, nullptr, false);
  ASSERT_TRUE(json.is_object()) << outcome.text;
  EXPECT_FALSE(json["error"]["what"].get<std::string>().empty());
}

TEST(CommandLine, FromSketchToCheckedResult) {
  const TestFolder folder;
  write_text(folder / "room.json", kRoom);
  write_text(folder / "job.json", kJob);
  const std::string at = folder.path().string();
  const Outcome sketched = call("sketch " + at + "/room.json -o " + at + "/room.glb");
  ASSERT_EQ(sketched.status, 0) << sketched.text;
  const Outcome surveyed = call("survey " + at + "/room.glb --start " + at + "/first.json");
  ASSERT_EQ(surveyed.status, 0) << surveyed.text;
  EXPECT_NE(surveyed.text.find("Wall front"), std::string::npos) << surveyed.text;
  const std::string schema = "roomloom-job.schema.json";
  EXPECT_NE(read_text(folder / "first.json").find("\"$schema\": \"" + schema + "\""),
            std::string::npos);
  EXPECT_EQ(read_text(folder / schema),
            read_text(std::string(ROOMLOOM_SOURCE_DIR) + "/src/job/" + schema))
      << "what the job names for editors lies beside it";
  const Outcome again = call("survey " + at + "/room.glb --start " + at + "/first.json");
  EXPECT_EQ(again.status, 2) << "an existing job must not be overwritten";
  const Outcome routed = call("route " + at + "/job.json -o " + at + "/out");
  ASSERT_EQ(routed.status, 0) << routed.text;
  EXPECT_NE(routed.text.find("N1"), std::string::npos);
  EXPECT_EQ(routed.text.find("\r"), std::string::npos) << "progress only on a terminal";
  const Outcome checked = call("check " + at + "/out");
  EXPECT_EQ(checked.status, 0) << checked.text;
  const Outcome json = call("check " + at + "/out --json", false);
  EXPECT_TRUE(nlohmann::json::parse(json.text, nullptr, false).is_object()) << json.text;
  EXPECT_EQ(call("check " + at + "/out --quiet").text, "");
}

TEST(CommandLine, FeetAndInchesAreForPrintingOnly) {
  const TestFolder folder;
  write_text(folder / "room.json", kRoom);
  write_text(folder / "job.json", kJob);
  const std::string at = folder.path().string();
  ASSERT_EQ(call("sketch " + at + "/room.json -o " + at + "/room.glb").status, 0);
  const Outcome routed = call("route " + at + "/job.json -o " + at + "/out --units feet");
  ASSERT_EQ(routed.status, 0) << routed.text;
  EXPECT_NE(routed.text.find(" ft "), std::string::npos) << routed.text;
  EXPECT_EQ(call("check " + at + "/out").status, 0) << "check must read a list in feet";
}

/// Most decimals of a number in a text.
std::size_t most_decimals(const std::string& text) {
  std::size_t most = 0;
  for (std::size_t i = 1; i < text.size(); ++i) {
    if (text[i] != '.' || std::isdigit(static_cast<unsigned char>(text[i - 1])) == 0) continue;
    std::size_t count = 0;
    while (i + 1 + count < text.size() &&
           std::isdigit(static_cast<unsigned char>(text[i + 1 + count])) != 0)
      ++count;
    most = std::max(most, count);
  }
  return most;
}

TEST(CommandLine, ComparesPresetsInFiguresThatAPersonReads) {
  const TestFolder folder;
  sketch_model(kRoom, folder, ".glb");
  write_text(folder / "job.json", kJob);
  const std::string at = folder.path().string();
  for (const char* units : {"feet", "metric"}) {
    const Outcome route =
        call("route " + at + "/job.json -o " + at +
             "/out --effort quick --no-drawings --no-report --compare --units " + units);
    EXPECT_EQ(route.status, 0) << route.text;
    const std::size_t start = route.text.find("Plans side by side");
    ASSERT_NE(start, std::string::npos) << route.text;
    const std::string table = route.text.substr(start, route.text.find("Gap:", start) - start);
    EXPECT_NE(table.find("least seen"), std::string::npos) << table;
    EXPECT_LE(most_decimals(table), 2U) << table;
    EXPECT_GE(most_decimals(table), 1U) << table;
  }
}

TEST(CommandLine, StartsFromAPlanAndSaysWhatMoved) {
  const TestFolder folder;
  sketch_model(kRoom, folder, ".glb");
  write_text(folder / "job.json", kJob);
  const std::string at = folder.path().string(), job = at + "/job.json";
  const std::string quick = " --effort quick --no-drawings --no-report";
  ASSERT_EQ(call("route " + job + " -o " + at + "/old" + quick).status, 0);
  const Outcome again = call("route " + job + " --from " + at + "/old -o " + at + "/new" + quick);
  EXPECT_EQ(again.status, 0) << again.text;
  EXPECT_NE(again.text.find("No run moved."), std::string::npos) << again.text;
  const Outcome alone = call("route " + job + " --moving-costs 1" + quick);
  EXPECT_EQ(alone.status, 2) << alone.text;
  EXPECT_NE(alone.text.find("--from"), std::string::npos) << alone.text;
  const Outcome nowhere = call("route " + job + " --from " + at + "/nowhere" + quick);
  EXPECT_EQ(nowhere.status, 2) << nowhere.text;
  EXPECT_NE(nowhere.text.find("nowhere"), std::string::npos) << nowhere.text;
}

// As many processors as there are, or one: the same bytes.
TEST(CommandLine, TheNumberOfProcessorsChangesNothing) {
  if (std::system("taskset -c 0 true 2>/dev/null") != 0)
    GTEST_SKIP() << "taskset (util-linux) is not here";
  const TestFolder folder;
  sketch_model(kRoom, folder, ".glb");
  write_text(folder / "job.json", kJob);
  const std::string at = folder.path().string();
  const std::string route = "/roomloom route " + at + "/job.json --quiet --no-drawings --no-report";
  const std::string bin = ROOMLOOM_BIN_DIR;
  ASSERT_EQ(std::system((bin + route + " -o " + at + "/all").c_str()), 0);
  ASSERT_EQ(std::system(("taskset -c 0 " + bin + route + " -o " + at + "/one").c_str()), 0);
  EXPECT_EQ(read_text(folder / "all/plan.json"), read_text(folder / "one/plan.json"));
}

TEST(CommandLine, OffersItsCablesAndLayoutsToProgramsAsLists) {
  const auto cables = nlohmann::json::parse(call("explain cables --json", false).text);
  ASSERT_GT(cables["cables"].size(), 10u);
  EXPECT_EQ(cables["cables"][0]["service"], "loudspeaker");
  EXPECT_GT(cables["cables"][0]["diameter_m"].get<double>(), 0.001);
  ASSERT_GT(cables["raceways"].size(), 3u);
  const auto layouts = nlohmann::json::parse(call("explain layouts --json", false).text);
  ASSERT_EQ(layouts["layouts"].size(), 10u);
  EXPECT_EQ(layouts["layouts"][0]["name"], "0+2+0");
  EXPECT_EQ(layouts["layouts"][0]["labels"][0]["label"], "M+030");
}

TEST(CommandLine, TellsItsStagesToProgramsThatAsk) {
  const TestFolder folder;
  write_text(folder / "room.json", kRoom);
  write_text(folder / "job.json", kJob);
  const std::string at = folder.path().string();
  ASSERT_EQ(call("sketch " + at + "/room.json -o " + at + "/room.glb").status, 0);
  const Outcome routed =
      call("route " + at + "/job.json -o " + at + "/out --json --progress --no-drawings");
  std::size_t last = 0;
  for (const char* stage : {"reading the model", "routing", "taking off", "writing the models",
                            "writing the lists", "checking what was written", "writing the page"}) {
    const std::size_t at_stage = routed.text.find(std::string("stage: ") + stage + "\n");
    ASSERT_NE(at_stage, std::string::npos) << stage << ": " << routed.text;
    EXPECT_GE(at_stage, last) << stage;
    last = at_stage;
  }
}

TEST(CommandLine, ExplainsEveryFindingItPrints) {
  EXPECT_EQ(call("explain bend-radius").status, 0);
  const Outcome unknown = call("explain bend-radios");
  EXPECT_EQ(unknown.status, 2);
  EXPECT_NE(unknown.text.find("Did you mean \"bend-radius\""), std::string::npos) << unknown.text;
  EXPECT_NE(call("explain cat6").text.find("Where its figures are from:\n  diameter: "),
            std::string::npos);
}

TEST(CommandLine, ListsAllThatCanBeExplained) {
  const Outcome listed = call("explain");
  EXPECT_EQ(listed.status, 0);
  for (const char* word : {"\n  bend-radius ", "\n  void-air ", "\n  file-changed ", "layouts"})
    EXPECT_NE(listed.text.find(word), std::string::npos) << word << listed.text;
  const auto all = nlohmann::json::parse(call("explain --json", false).text);
  EXPECT_GT(all["findings"].size(), 60u);
  for (const auto& one : all["findings"])
    EXPECT_NE(one["text"].get<std::string>().find("Limit: "), std::string::npos) << one;
}

/// The kinds of message that the source text of what a user calls can tell: "job" of "job.cable".
std::set<std::string> kinds_in_the_source() {
  const std::regex coded("(?:Error\\{|problem\\(|fail\\(\\{)\\s*\"([a-z]+)\\.[a-z-]+\"");
  std::set<std::string> kinds;
  for (const auto& entry :
       std::filesystem::recursive_directory_iterator(ROOMLOOM_SOURCE_DIR "/src")) {
    const std::string folder = entry.path().parent_path().filename().string();
    if (entry.path().extension() != ".cpp" || folder == "network" || folder == "cutting" ||
        folder == "shape")  // their errors never reach a user
      continue;
    const std::string text = read_text(entry.path());
    for (std::sregex_iterator it(text.begin(), text.end(), coded), end; it != end; ++it)
      kinds.insert((*it)[1].str());
  }
  return kinds;
}

TEST(CommandLine, ExplainsEveryKindOfMessage) {
  const auto all = nlohmann::json::parse(call("explain --json", false).text);
  std::set<std::string> explained;
  for (const auto& one : all["messages"]) explained.insert(one["id"].get<std::string>());
  const auto kinds = kinds_in_the_source();
  EXPECT_GT(kinds.size(), 20U);
  for (const std::string& kind : kinds) EXPECT_TRUE(explained.contains(kind)) << kind;
  const Outcome one = call("explain job.reference");
  EXPECT_EQ(one.status, 0);
  EXPECT_NE(one.text.find("job file"), std::string::npos) << one.text;
}

}  // namespace
}  // namespace roomloom::testing
