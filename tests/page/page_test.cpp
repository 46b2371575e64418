#include "page/page.h"

#include <gtest/gtest.h>

#include "page/parts.h"
#include "page/rooms.h"
#include "page/text.h"

namespace roomloom::testing {
namespace {

std::size_t count(const std::string& text, const std::string& word) {
  std::size_t found = 0;
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1))
    ++found;
  return found;
}

/// A request of which only what a test names is filled.
struct Empty {
  Job job;
  Scene scene;
  Room room;
  Ends ends;
  Plan plan;
  CableShapes shapes;
  Takeoff takeoff;
  Annotation annotation;
  Findings findings;
  PageRequest request() const {
    return {job,     scene,      room,     ends, plan, shapes,
            takeoff, annotation, findings, {},   {},   "roomloom test"};
  }
};

}  // namespace

TEST(PageText, NamesAreEscapedForHtmlAndForJson) {
  EXPECT_EQ(page::html("<b>&\"'"), "&lt;b&gt;&amp;&quot;&#39;");
  EXPECT_EQ(page::json("a\"\\</script>"), "\"a\\\"\\\\\\u003c/script>\"");
}

TEST(PageText, WhatCannotBeSeenIsLeftOutAndLongNamesAreCut) {
  EXPECT_EQ(page::html("a\xE2\x80\xAE"
                       "b\x01\n c"),
            "ab c");
  EXPECT_EQ(page::html("\xFF"), "\xEF\xBF\xBD");
  EXPECT_EQ(page::html(std::string(10000, 'W'), 5), "WWWWW…");
}

TEST(PageText, Base64IsAsItsStandardHasIt) {
  // RFC 4648, section 10.
  const std::pair<const char*, const char*> cases[] = {{"", ""},
                                                       {"f", "Zg=="},
                                                       {"fo", "Zm8="},
                                                       {"foo", "Zm9v"},
                                                       {"foob", "Zm9vYg=="},
                                                       {"fooba", "Zm9vYmE="},
                                                       {"foobar", "Zm9vYmFy"}};
  for (const auto& [plain, coded] : cases) EXPECT_EQ(page::base64(plain), coded);
}

TEST(PageText, LinesAreDifferencesInTenthsOfAMillimetre) {
  EXPECT_EQ(page::json_line({{1, 0, 0.5}, {1.25, -0.1, 0.5}}), "[10000,0,5000,2500,-1000,0]");
}

TEST(Page, TheSameRequestGivesTheSameBytes) { EXPECT_TRUE(page_of_floor(20) == page_of_floor(20)); }

TEST(Page, FloorOfAThousandRunsStaysUnderFifteenMegabytes) {
  const std::string page = page_of_floor(1000);
  RecordProperty("bytes", static_cast<int>(page.size()));
  EXPECT_GT(page.size(), 500000U);
  EXPECT_LT(page.size(), 15U << 20U);
}

TEST(Page, NamesNothingOutsideItself) {
  const std::string page = page_of_floor(5);
  const std::string body = page.substr(0, page.rfind("<script>"));
  for (const char* word : {" src=\"", "@import", "<link", "url(http"})
    EXPECT_EQ(body.find(word), std::string::npos) << word;
  EXPECT_NE(page.find("default-src 'none'"), std::string::npos);
}

TEST(Page, LicenceOfTheLibraryIsInIt) {
  const std::string page = page_of_floor(1);
  EXPECT_NE(page.find("three.js authors"), std::string::npos);
  EXPECT_NE(page.find("Arjun Barrett"), std::string::npos);
  EXPECT_NE(page.find("The above copyright notice"), std::string::npos);
}

TEST(Page, EveryListHasItsRowsItsUnitsAndButtonsForRuns) {
  Empty made;
  made.ends.runs.push_back({"S1", 0, 0, 0, Service::loudspeaker, false, -1});
  Table table{"cuts", "Cut list", "Invented.", {}, {}};
  table.columns = {{"runs", "Runs", ColumnKind::text},
                   {"cut", "Cut", ColumnKind::length},
                   {"hole", "Hole", ColumnKind::size},
                   {"done", "Done", ColumnKind::tick}};
  table.rows = {{std::string("S1, X9"), 4.9, 0.025, {}}};
  made.takeoff.tables = {table};
  std::string lists = page::lists_html(made.request());
  EXPECT_NE(lists.find("data-run=\"0\">S1</button>, X9</td>"), std::string::npos) << lists;
  EXPECT_NE(lists.find(">4.90 m</td>"), std::string::npos);
  EXPECT_NE(lists.find(">25 mm</td>"), std::string::npos);
  EXPECT_NE(lists.find("☐"), std::string::npos);
  made.job.units = DisplayUnits::feet_and_inches;
  lists = page::lists_html(made.request());
  EXPECT_NE(lists.find(">16 ft 0 15/16 in</td>"), std::string::npos) << lists;
}

TEST(Page, ListsToCutAndDrillByAreToTheMillimetre) {
  Empty made;
  const std::vector<Column> columns = {{"length_m", "Length", ColumnKind::length}};
  for (const char* id : {"holes", "hole_schedule", "raceway_pieces", "raceway_cuts"})
    made.takeoff.tables.push_back({id, id, "", columns, {{1.2967}}});
  made.takeoff.tables.push_back({"lengths", "Cut list", "", columns, {{1.2967}}});
  const std::string lists = page::lists_html(made.request());
  std::size_t fine = 0;
  for (std::size_t at = lists.find(">1297 mm</td>"); at != std::string::npos;
       at = lists.find(">1297 mm</td>", at + 1))
    ++fine;
  EXPECT_EQ(fine, 4U) << lists;
  EXPECT_NE(lists.find(">1.30 m</td>"), std::string::npos);
}

TEST(Page, NoHeadingRepeatsTheOneAboveIt) {
  Empty made;
  const std::vector<Column> columns = {{"plan", "Plan", ColumnKind::text}};
  made.takeoff.tables = {
      {"presets", "Plans side by side", "Money.", columns, {{std::string("least seen")}}},
      {"sensitivity", "What would change the plan", "Nothing.", columns, {}}};
  const std::string plans = page::plans_html(made.request());
  EXPECT_EQ(plans.find("Plans side by side</h"), plans.rfind("Plans side by side</h")) << plans;
  EXPECT_NE(plans.find("<h3>What would change the plan</h3>"), std::string::npos);
}

TEST(Page, PlansStandSideBySideAndNotAmongTheLists) {
  Empty made;
  Table table{"presets", "Every preset", "", {{"plan", "Plan", ColumnKind::text}}, {}};
  EXPECT_EQ(page::plans_html(made.request()), "");
  table.rows = {{std::string("least seen")}};
  made.takeoff.tables = {table};
  EXPECT_NE(page::plans_html(made.request()).find("least seen"), std::string::npos);
  EXPECT_EQ(page::lists_html(made.request()), "");
}

TEST(Page, AnswerSaysWhatTheShelfLacks) {
  Empty made;
  made.job.spools.push_back({"cat6", 10, "grey", 0, 1, true});
  CableTotal total;
  total.cable = "cat6";
  total.runs = 2;
  total.cut_m = 30;
  made.takeoff.cut_m = 30;
  made.takeoff.totals = {total};
  EXPECT_NE(page::answer_html(made.request()).find("Not enough"), std::string::npos);
  EXPECT_EQ(page::answer_html(made.request()).find("#list-shopping"), std::string::npos);
  made.takeoff.totals[0].shelf_m = 10;
  made.takeoff.tables = {
      {"shopping", "Shopping", "", {{"item", "Item", ColumnKind::text}}, {{std::string("cat6")}}}};
  made.takeoff.spools.push_back({});
  const std::string answer = page::answer_html(made.request());
  EXPECT_NE(answer.find("20.00 m short"), std::string::npos) << answer;
  EXPECT_NE(answer.find("<a href=\"#list-shopping\">"), std::string::npos) << answer;
  made.takeoff.totals[0].shelf_enough = true;
  EXPECT_NE(page::answer_html(made.request()).find("<b>Enough</b>"), std::string::npos);
}

TEST(Page, FindingsKeepTheirFigureTheirSourceAndTheirPlace) {
  Empty made;
  made.findings.items.push_back({"bend-radius", Level::must, "Run S8 bends to 14.9 mm.", "S8",
                                 Vec3{1, 2, 3}, "Use a fitting.", "A data sheet"});
  const std::string page = page::findings_html(made.request());
  for (const char* word : {"14.9 mm", "Use a fitting.", "A data sheet", "bend-radius",
                           "data-place=\"[10000,20000,30000]\"", "finding must"})
    EXPECT_NE(page.find(word), std::string::npos) << word;
}

TEST(Page, PullOrderFollowsTheListThereIs) {
  Empty made;
  for (const char* id : {"A", "B"}) {
    made.ends.runs.push_back({id, 0, 0, 0, Service::network, false, -1});
    RunRow row;
    row.run = static_cast<int>(made.takeoff.runs.size());
    row.id = id;
    row.routed = true;
    row.cut_m = row.run;
    made.takeoff.runs.push_back(row);
  }
  EXPECT_EQ(page::pull_steps(made.request()).at(0).runs, std::vector<int>{1});  // the longest
  Table table{"pull_order", "Pull order", "", {{"runs", "Runs", ColumnKind::text}}, {}};
  table.rows = {{std::string("A")}, {std::string("A, B")}};
  made.takeoff.tables = {table};
  const auto steps = page::pull_steps(made.request());
  ASSERT_EQ(steps.size(), 2U);
  EXPECT_EQ(steps[1].runs, (std::vector<int>{0, 1}));
}

TEST(Page, MeshesAreThinnedWithoutHolesInWhatIsLeft) {
  Scene scene;
  Part part;
  scene.points = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}, {0.001, 0, 0}};
  scene.triangles = {{0, 1, 2}, {0, 2, 3}, {0, 4, 1}};
  part.triangle_count = 3;
  const page::SentMesh whole = page::sent_mesh(scene, part, 0);
  EXPECT_EQ(whole.corners.size(), 9U);
  const page::SentMesh thin = page::sent_mesh(scene, part, 0.01);
  EXPECT_EQ(thin.corners.size(), 6U);
  EXPECT_EQ(thin.points.size(), 4U);
}

TEST(Page, NothingHiddenBreaksOutOfItsPlace) {
  const std::string page = page_of_hostile_names();
  ASSERT_FALSE(page.empty());
  EXPECT_EQ(count(page, "<script"), 2U);  // the data and the program, ours both
  EXPECT_EQ(page.find("\xE2\x80\xAE"), std::string::npos);
  EXPECT_EQ(page.find("onerror=alert(1)>"), std::string::npos);
  EXPECT_EQ(page.find(std::string(2100, 'W')), std::string::npos);
}

}  // namespace roomloom::testing
