#include "report/compare.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

std::string plan(const std::string& ends, const std::string& runs, const std::string& holes) {
  return R"({"format": "roomloom-plan", "version": 1, "ends": [)" + ends + R"(], "runs": [)" +
         runs + R"(], "holes": [)" + holes +
         R"(], "raceways": [{"size": "25 x 16", "metres": 3.5}, {"size": "25 x 16", "metres": 1}],
            "totals": [{"cable": "cat6", "cut_m": 12.5}]})";
}

const std::string kEnd = R"({"id": "desk", "at": [1, 2, 0.4], "state": "fitted"})";
const std::string kRun =
    R"({"id": "N1", "routed": true, "cut_m": 12.5, "cable": "cat6", "from": "rack", "to": "desk"})";
const std::string kHole = R"({"crossing": "tile C4", "diameter_m": 0.025, "runs": ["N1"]})";

TEST(Compare, TheSamePlanHasNoChanges) {
  const std::string one = plan(kEnd, kRun, kHole);
  const auto text = compare_text(one, one, DisplayUnits::metric);
  ASSERT_TRUE(text);
  EXPECT_EQ(*text, "Nothing changed.\n");
}

TEST(Compare, AMovedEndALongerRunAndANewHoleAreToldWithOldAndNew) {
  const auto text = compare_text(
      plan(kEnd, kRun, ""),
      plan(R"({"id": "desk", "at": [1, 3, 0.4], "state": "coiled"})",
           R"({"id": "N1", "routed": true, "cut_m": 13.5, "cable": "cat6", "from": "rack",
               "to": "desk"})",
           kHole),
      DisplayUnits::metric);
  ASSERT_TRUE(text);
  EXPECT_NE(text->find("~ desk: at (1.000, 2.000, 0.400), fitted -> at (1.000, 3.000, 0.400), "
                       "coiled"),
            std::string::npos)
      << *text;
  EXPECT_NE(text->find("~ N1: 12.500 m, cat6 from rack to desk -> 13.500 m"), std::string::npos)
      << *text;
  EXPECT_NE(text->find("+ tile C4: 0.025 m, 1 runs"), std::string::npos) << *text;
  EXPECT_EQ(text->find("Raceway"), std::string::npos) << *text;
}

TEST(Compare, ARemovedRunIsTold) {
  const auto text = compare_text(plan(kEnd, kRun, ""), plan(kEnd, "", ""), DisplayUnits::metric);
  ASSERT_TRUE(text);
  EXPECT_NE(text->find("- N1: was 12.500 m"), std::string::npos) << *text;
}

TEST(Compare, WhatIsNoPlanIsRefusedInWords) {
  for (const char* text : {"", "[]", "{}", R"({"format": "roomloom-plan"})",
                           R"({"format": "roomloom-plan", "version": 1})"}) {
    const auto compared = compare_text(text, text, DisplayUnits::metric);
    ASSERT_FALSE(compared) << text;
    EXPECT_FALSE(compared.error().remedy.empty());
  }
}

TEST(Compare, WhatASectionComesToIsToldInWordsAndTheTableHoldsTheSame) {
  const std::string before = plan(kEnd, kRun, kHole),
                    after = plan(kEnd,
                                 R"({"id": "N1", "routed": true, "cut_m": 14, "cable": "cat6",
                                     "from": "rack", "to": "desk"},
                                    {"id": "N2", "routed": true, "cut_m": 3, "cable": "cat6",
                                     "from": "rack", "to": "desk"})",
                                 "");
  const auto text = compare_text(before, after, DisplayUnits::metric);
  ASSERT_TRUE(text);
  EXPECT_NE(text->find("Runs, cut length: 1 added, 1 changed; 4.500 m more"), std::string::npos)
      << *text;
  EXPECT_NE(text->find("Holes, diameter: 1 removed\n"), std::string::npos) << *text;
  const auto table = compare_csv(before, after);
  ASSERT_TRUE(table);
  EXPECT_NE(table->find("runs,N1,changed,12.5000,14.0000,1.5000,"), std::string::npos) << *table;
  EXPECT_NE(table->find("runs,N2,added,,3.0000,3.0000,,"), std::string::npos) << *table;
}

TEST(Compare, WhatIsBoughtIsCompared) {
  const auto with_shopping = [](const std::string& rows) {
    std::string text = plan(kEnd, kRun, kHole);
    text.replace(text.rfind('}'), 1,
                 R"(, "currency": "EUR", "tables": [{"id": "shopping",
        "columns": [{"key": "item"}, {"key": "count"}, {"key": "unit"}, {"key": "total"}], "rows": [)" +
                     rows + "]}]}");
    return text;
  };
  const auto text = compare_text(
      with_shopping(R"(["hook", 4, "pieces", 6.0], ["grommet", 1, "", 2])"),
      with_shopping(R"(["hook", 6, "pieces", 9.0], ["grommet", 1, "", 2])"), DisplayUnits::metric);
  ASSERT_TRUE(text) << to_text(text.error());
  EXPECT_NE(text->find("~ hook: 4 pieces, 6.00 EUR -> 6 pieces, 9.00 EUR"), std::string::npos)
      << *text;
  EXPECT_EQ(text->find("grommet"), std::string::npos) << *text;
}

TEST(Compare, AnOlderPlanOpensAndANewerOneSaysWhatToDo) {
  const std::string now = plan(kEnd, kRun, kHole);
  std::string older = now, newer = now;
  older.replace(older.find("\"version\": 1,"), 13, "");
  newer.replace(newer.find("\"version\": 1,"), 13, "\"version\": 2,");
  EXPECT_TRUE(compare_text(older, now, DisplayUnits::metric));
  const auto compared = compare_text(now, newer, DisplayUnits::metric);
  ASSERT_FALSE(compared);
  EXPECT_EQ(compared.error().code, "version.newer");
  EXPECT_EQ(compared.error().where, "new plan");
  EXPECT_NE(compared.error().remedy.find("newer roomloom"), std::string::npos);
}

}  // namespace
}  // namespace roomloom
