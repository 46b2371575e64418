#include "types/given_names.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

using Names = std::vector<std::string>;

TEST(GivenNames, AreNumberedFromOneWhereNothingWasNamed) {
  EXPECT_EQ(with_new_names("H", {"", "", ""}, {}), (Names{"H1", "H2", "H3"}));
}

TEST(GivenNames, StayAndNewThingsGetNumbersThatNothingEverHad) {
  EXPECT_EQ(with_new_names("H", {"", "H2", ""}, {"H2", "H7", "hatch", "H99999999999"}),
            (Names{"H8", "H2", "H9"}));
}

TEST(GivenNames, AreGivenToOneThingOnly) {
  EXPECT_EQ(with_new_names("R", {"R3", "R3"}, {"R3"}), (Names{"R3", "R4"}));
}

}  // namespace
}  // namespace roomloom
