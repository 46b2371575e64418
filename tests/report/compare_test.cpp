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

}  // namespace
}  // namespace roomloom
