#include "check/trade_table.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "check/check.h"
#include "trade/rules.h"

namespace roomloom::testing {
namespace {

std::vector<Row> table() {
  std::vector<Row> all = rows_of_ways();
  for (const Row& row : rows_of_rooms()) all.push_back(row);
  return all;
}

class EveryCheck : public ::testing::TestWithParam<Row> {};

std::vector<Finding> found_in(const Row& row, bool fails) {
  const TradeRoom trade = row.room(fails);
  const Findings findings =
      row.later == nullptr ? judged(trade) : judged_later(trade, row.later(trade, fails));
  EXPECT_TRUE(fails == !found(findings, row.id).empty()) << all_of(findings);
  return found(findings, row.id);
}

TEST_P(EveryCheck, HasAPlanThatPassesItAndOneThatFailsIt) {
  const Row& row = GetParam();
  found_in(row, false);
  for (const Finding& finding : found_in(row, true)) {
    EXPECT_FALSE(finding.text.empty());
    EXPECT_FALSE(finding.source.empty());
    if (trade::rule(row.id) == nullptr) continue;
    EXPECT_FALSE(finding.remedy.empty()) << finding.text;
    EXPECT_FALSE(finding.figure.empty()) << finding.text;
    EXPECT_FALSE(finding.limit.empty()) << finding.text;
    EXPECT_TRUE(finding.where) << finding.text;
  }
}

INSTANTIATE_TEST_SUITE_P(OfTheTable, EveryCheck, ::testing::ValuesIn(table()), [](const auto& row) {
  std::string name = row.param.id;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

/// What these judge is the program's own work: whether the files agree with each other, with the
/// room and with the job. No job makes it fail; the corruptions in tests/check do.
std::set<std::string> checks_of_files() {
  return {"zone-too-large", "cuts-surface",  "ignored-part",  "unsupported",   "runs-meet",
          "end-misplaced",  "end-loose",     "hole-ring",     "hole-missed",   "tube-thickness",
          "length-differs", "cut-sum",       "place-differs", "run-missing",   "run-unknown",
          "list-differs",   "thing-differs", "plan-differs",  "model-changed", "job-changed",
          "house-changed",  "file-changed"};
}

TEST(TableOfChecks, HasARowForEachThatAJobCanFail) {
  std::set<std::string> told = checks_of_files();
  for (const Row& row : table()) EXPECT_TRUE(told.insert(row.id).second) << row.id << " twice";
  const std::vector<std::string> ids = explained_ids();
  EXPECT_EQ(told, std::set<std::string>(ids.begin(), ids.end()));
  for (const trade::Rule& rule : trade::rules())
    EXPECT_EQ(checks_of_files().count(rule.id), 0U) << rule.id;
}

}  // namespace
}  // namespace roomloom::testing
