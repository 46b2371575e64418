#include "base/glob.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

TEST(Pattern, StarsAndQuestionMarksStandForAnything) {
  EXPECT_TRUE(matches_pattern("Wall *", "Wall front"));
  EXPECT_TRUE(matches_pattern("*front", "Walls/Wall front"));
  EXPECT_TRUE(matches_pattern("Tile ??", "Tile B3"));
  EXPECT_TRUE(matches_pattern("*", ""));
  EXPECT_TRUE(matches_pattern("a*b*c", "aXbXbXc"));
  EXPECT_FALSE(matches_pattern("Tile ??", "Tile B12"));
  EXPECT_FALSE(matches_pattern("a*b*c", "aXbX"));
}

TEST(Pattern, MatchesTheWholeName) {
  EXPECT_FALSE(matches_pattern("Wall", "Wall front"));
  EXPECT_FALSE(matches_pattern("", "Wall"));
  EXPECT_TRUE(matches_pattern("", ""));
}

TEST(Pattern, TakesCapitalsAndSmallLettersAlike) {
  EXPECT_TRUE(matches_pattern("WALL *", "wall Front"));
  EXPECT_TRUE(matches_pattern("\xC3\x89tage *", "\xC3\xA9tage 2"));  // É and é
}

TEST(Pattern, ManyStarsDoNotTakeForever) {
  const std::string text(2000, 'a');
  EXPECT_FALSE(matches_pattern("*a*a*a*a*a*a*a*a*b", text));
}

}  // namespace
}  // namespace roomloom
