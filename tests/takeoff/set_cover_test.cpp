#include "takeoff/set_cover.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace roomloom {
namespace {

using Sets = std::vector<std::vector<int>>;

bool covers(int elements, const Sets& sets, const std::vector<int>& chosen) {
  std::vector<char> covered(static_cast<std::size_t>(elements), 0);
  for (const int s : chosen)
    for (const int e : sets[static_cast<std::size_t>(s)]) covered[static_cast<std::size_t>(e)] = 1;
  return std::find(covered.begin(), covered.end(), 0) == covered.end();
}

/// Points of the affine space over three elements as sets, its lines as elements.
Sets lines_by_points(int dimension, int& lines) {
  int points = 1;
  for (int i = 0; i < dimension; ++i) points *= 3;
  Sets sets(static_cast<std::size_t>(points));
  lines = 0;
  for (int a = 0; a < points; ++a)
    for (int b = a + 1; b < points; ++b) {
      int c = 0;  // the three of a line sum to nought in each coordinate
      for (int i = 0, power = 1; i < dimension; ++i, power *= 3)
        c += (6 - a / power % 3 - b / power % 3) % 3 * power;
      if (c < b) continue;
      for (const int point : {a, b, c}) sets[static_cast<std::size_t>(point)].push_back(lines);
      ++lines;
    }
  return sets;
}

// The most points without three in line are 4 in the plane and 9 in space (R. C. Bose,
// Mathematical theory of the symmetrical factorial design, Sankhya 8, 1947): the others meet every
// line. The covering problem of space is stein27, whose optimum 18 is in MIPLIB.
TEST(FewestSets, ThatMeetAllLinesOfPlaneAndSpaceOverThreeElements) {
  int lines = 0;
  const Sets plane = lines_by_points(2, lines);
  EXPECT_EQ(lines, 12);
  EXPECT_EQ(fewest_sets(lines, plane).chosen.size(), 5U);
  const Sets space = lines_by_points(3, lines);
  EXPECT_EQ(lines, 117);
  const SetCover cover = fewest_sets(lines, space);
  EXPECT_TRUE(covers(lines, space, cover.chosen));
  EXPECT_EQ(cover.chosen.size(), 18U);
}

// Fifty places in a row, each reaching three of its neighbours on either side: a third of many
// would be tried by turns, but what others make needless leaves nothing to try.
TEST(FewestSets, InARowAreFoundWithoutTrying) {
  Sets sets(50);
  for (int s = 0; s < 50; ++s)
    for (int e = std::max(0, s - 3); e <= std::min(49, s + 3); ++e)
      sets[static_cast<std::size_t>(s)].push_back(e);
  const SetCover cover = fewest_sets(50, sets, 10);
  EXPECT_EQ(cover.chosen.size(), 8U);
  EXPECT_TRUE(cover.proven);
}

TEST(FewestSets, SaysWhereItGaveUp) {
  int lines = 0;
  const Sets space = lines_by_points(3, lines);
  const SetCover cover = fewest_sets(lines, space, 50);
  EXPECT_TRUE(covers(lines, space, cover.chosen));
  EXPECT_FALSE(cover.proven);
}

}  // namespace
}  // namespace roomloom
