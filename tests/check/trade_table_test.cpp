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

INSTANTIATE_TEST_SUITE_P(OfTheTable, EveryCheck, ::testing::ValuesIn(table()),
                         [](const auto& row) { return name_of_row(row.param.id); });

TEST(TablesOfChecks, HaveARowForEachThatIsExplained) {
  std::set<std::string> told = checks_of_files();
  for (const Row& row : table()) EXPECT_TRUE(told.insert(row.id).second) << row.id << " twice";
  const std::vector<std::string> ids = explained_ids();
  EXPECT_EQ(told, std::set<std::string>(ids.begin(), ids.end()));
  for (const trade::Rule& rule : trade::rules())
    EXPECT_EQ(checks_of_files().count(rule.id), 0U) << rule.id;
}

}  // namespace

std::string name_of_row(std::string id) {
  std::replace(id.begin(), id.end(), '-', '_');
  return id;
}

}  // namespace roomloom::testing
