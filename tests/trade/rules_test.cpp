#include "trade/rules.h"

#include <gtest/gtest.h>

#include <set>
#include <string>

#include "trade/cautions.h"

namespace roomloom::trade {
namespace {

TEST(Rules, EachSaysWhatLimitAndSource) {
  std::set<std::string> ids;
  for (const Rule& one : rules()) {
    EXPECT_TRUE(ids.insert(one.id).second) << one.id;
    EXPECT_GT(std::string(one.what).size(), 20U) << one.id;
    EXPECT_FALSE(std::string(one.limit).empty()) << one.id;
    EXPECT_FALSE(std::string(one.source).empty()) << one.id;
    EXPECT_EQ(rule(one.id), &one);
  }
  EXPECT_GE(ids.size(), 38U);
  EXPECT_EQ(rule("no such"), nullptr);
}

TEST(Cautions, CoverWhatMayHurtAndPromiseNothing) {
  std::set<std::string> ids;
  std::string all;
  for (const Caution& one : cautions()) {
    EXPECT_TRUE(ids.insert(one.id).second);
    EXPECT_FALSE(std::string(one.source).empty());
    all += one.text;
  }
  for (const char* id : {"local-code", "mains", "hidden-services", "fire", "old-materials",
                         "ladder", "drilling", "ceiling-grid"})
    EXPECT_EQ(ids.count(id), 1U) << id;
  for (const Rule& one : rules()) all += std::string(one.what) + one.limit;
  all += no_conflict_text();
  for (const char* word : {"approved", "compliant", "certified", "guarantee"})
    EXPECT_EQ(all.find(word), std::string::npos) << word;
}

}  // namespace
}  // namespace roomloom::trade
