#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <nlohmann/json.hpp>
#include <numeric>
#include <random>
#include <set>

#include "pipeline/planning.h"
#include "shape/shape.h"
#include "trade/cautions.h"

namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;
using Names = std::set<std::string>;

const fs::path kModels = fs::path(ROOMLOOM_SOURCE_DIR) / "models";

Names unrouted(const PlannedRoom& planned) {
  Names runs;
  for (std::size_t i = 0; i < planned.ends.runs.size(); ++i) {
    if (!planned.shapes.cables[i].routed) runs.insert(planned.ends.runs[i].id);
  }
  return runs;
}

// "L1 unsupported": what must be mended, by run and check.
Names must_be_mended(const Findings& findings) {
  Names all;
  for (const Finding& finding : findings.items) {
    if (finding.level == Level::must) all.insert(finding.subject + " " + finding.id);
  }
  return all;
}

std::string listed(const Names& names) {
  std::string text;
  for (const std::string& name : names) text += name + "; ";
  return text;
}

/// Each finding's check and subject, in order of reporting.
std::vector<std::string> told(const Findings& findings) {
  std::vector<std::string> all;
  for (const Finding& finding : findings.items) all.push_back(finding.id + " " + finding.subject);
  return all;
}

/// What was written is judged afresh as it was when it was written.
void expect_told_again(const fs::path& folder, const Findings& written) {
  const auto afresh = check_folder(folder, test_options());
  ASSERT_TRUE(afresh) << to_text(afresh.error());
  EXPECT_EQ(told(written), told(*afresh));
}

/// Words with one blank between them.
std::string one_line(const std::string& text) {
  std::string line;
  for (const char c : text)
    if (const char one = c == '\n' ? ' ' : c; one != ' ' || !line.ends_with(' ')) line += one;
  return line;
}

/// What people read of a result: its texts, without the page's own program.
std::string read_by_people(const fs::path& folder) {
  const Names kinds = {".txt", ".csv", ".html", ".json", ".svg"};
  std::string all;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (!kinds.contains(entry.path().extension().string())) continue;
    std::string text = read_text(entry.path());
    for (std::size_t at = 0; (at = text.find("<script", at)) != std::string::npos;)
      text.erase(at, text.find("</script>", at) - at);
    all += text;
  }
  return all;
}

/// No word in any of it promises that a plan is allowed, let alone safe; what may hurt is told in
/// the summary and on the page.
void expect_cautious(const fs::path& folder) {
  std::string all = read_by_people(folder);
  std::transform(all.begin(), all.end(), all.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  ASSERT_GT(all.size(), 100000U);
  for (const char* word :
       {"approved", "approval", "compliant", "complies", "certified", "guarantee"})
    if (const std::size_t at = all.find(word); at != std::string::npos)
      ADD_FAILURE() << word << ": " << all.substr(at < 60 ? 0 : at - 60, 120);
  const std::string summary = one_line(read_text(folder / "summary.txt"));
  const std::string page = one_line(read_text(folder / "report.html"));
  for (const trade::Caution& caution : trade::cautions()) {
    const std::string begin = std::string(caution.text).substr(0, 40);
    EXPECT_NE(summary.find(begin), std::string::npos) << caution.id;
    EXPECT_NE(page.find(begin), std::string::npos) << caution.id;
  }
}

/// Plans and writes a demo room of at least so many runs.
/// @param told_of  what should be bettered and is not, by check: what the room is an example of
void expect_sound(const std::string& room, std::size_t runs, const Names& told_of = {}) {
  const TestFolder folder;
  PlanOptions options = test_options();
  options.effort = PlanEffort::normal;  // as scripts/demo plans it
  const auto planned = plan_job(kModels / room / "job.json", options);
  ASSERT_TRUE(planned) << to_text(planned.error());
  EXPECT_GE(planned->ends.runs.size(), runs);
  EXPECT_EQ(listed(unrouted(*planned)), "");
  const auto findings = write_plan(*planned, folder.path());
  ASSERT_TRUE(findings) << to_text(findings.error());
  EXPECT_EQ(listed(must_be_mended(*findings)), "");
  for (const Finding& finding : findings->items)
    EXPECT_TRUE(finding.level != Level::should || told_of.contains(finding.id)) << finding.text;
  expect_told_again(folder.path(), *findings);
  expect_cautious(folder.path());
}

/// The plan with its runs in another order.
PlannedRoom shuffled(PlannedRoom p, unsigned seed) {
  std::vector<std::size_t> order(p.ends.runs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::shuffle(order.begin(), order.end(), std::mt19937(seed));
  std::vector<int> place(order.size());
  const Ends ends = p.ends;
  const Plan plan = p.plan;
  for (std::size_t i = 0; i < order.size(); ++i) {
    place[order[i]] = static_cast<int>(i);
    p.ends.runs[i] = ends.runs[order[i]];
    p.plan.runs[i] = plan.runs[order[i]];
    p.plan.runs[i].run = static_cast<int>(i);
  }
  const auto renamed = [&](std::vector<int>& runs) {
    for (int& run : runs) run = place[static_cast<std::size_t>(run)];
    std::sort(runs.begin(), runs.end());
  };
  for (PlannedRaceway& raceway : p.plan.raceways) renamed(raceway.runs);
  for (PlannedCharge& charge : p.plan.charges) renamed(charge.runs);
  for (Trunk& trunk : p.plan.trunks) renamed(trunk.runs);
  return p;
}

TEST(DemoRoom, LanesDoNotDependOnTheOrderOfTheRuns) {
  for (const char* room : {"alder-hall", "attic-studio", "classroom"}) {
    const auto planned = plan_job(kModels / room / "job.json", test_options());
    ASSERT_TRUE(planned) << to_text(planned.error());
    for (const unsigned seed : {1U, 2U, 3U}) {
      const PlannedRoom other = shuffled(*planned, seed);
      const CableShapes shapes =
          shape_cables(other.plan, other.tracks, other.ends, other.room, other.job);
      for (std::size_t i = 0; i < shapes.cables.size(); ++i) {
        const std::string& run = other.ends.runs[i].id;
        EXPECT_NEAR(shapes.cables[i].drawn_m, drawn_m(*planned, run), 1e-6) << room << " " << run;
        EXPECT_NEAR(shapes.cables[i].cut_m, cut_m(*planned, run), 1e-6) << room << " " << run;
      }
    }
  }
}

TEST(DemoRoom, AlderHallHasEveryRunRoutedAndNothingThatMustBeMended) {
  expect_sound("alder-hall", 31);
}

TEST(DemoRoom, TheClassroomHasEveryRunRoutedAndNothingThatMustBeMended) {
  expect_sound("classroom", 39, {"floor-crossing"});
}

TEST(DemoRoom, TheAtticHasEveryRunRoutedAndNothingThatMustBeMended) {
  expect_sound("attic-studio", 12);
}

TEST(DemoRoom, AlderHallIsTheSameFromStepObjAndGlb) {
  const TestFolder folder;
  auto job = nlohmann::json::parse(read_text(kModels / "alder-hall" / "job.json"));
  std::map<std::string, double> lengths;
  for (const std::string ending : {".step", ".obj", ".glb"}) {
    sketch_model(read_text(kModels / "alder-hall" / "room.json"), folder, ending);
    job["model"]["file"] = "room" + ending;
    const auto planned = plan(job.dump(), folder);
    ASSERT_TRUE(planned) << to_text(planned.error());
    ASSERT_EQ(unrouted(*planned), Names{}) << ending;
    for (const roomloom::Run& run : planned->ends.runs) {
      const double length = drawn_m(*planned, run.id);
      const auto first = lengths.emplace(run.id, length).first;
      EXPECT_NEAR(length, first->second, 0.002) << run.id << " from " << ending;
    }
  }
}

}  // namespace
}  // namespace roomloom::testing
