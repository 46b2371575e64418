#include <gtest/gtest.h>

#include "check/csv_table.h"
#include "check/step_text.h"
#include "check/written.h"
#include "pipeline/planning.h"

// What is no finite number compares as neither too large nor too small, so no reader lets it pass.
namespace roomloom::check {
namespace {

TEST(WrittenReaders, RefuseCoordinatesThatAreNoNumbers) {
  const testing::TestFolder folder;
  for (const char* word : {"nan", "inf", "-inf", "1e999"}) {
    testing::write_text(folder / "routed.obj", std::string("v 0 0 ") + word + "\n");
    const auto obj = read_written_obj(folder / "routed.obj", Transform{});
    ASSERT_FALSE(obj) << word;
    EXPECT_EQ(obj.error().code, "check.obj");
    EXPECT_FALSE(number_in(word)) << word;
    EXPECT_TRUE(reals(word).empty()) << word;
  }
}

TEST(WrittenReaders, ALineOfAnObjHasTwoPointsAtLeast) {
  const testing::TestFolder folder;
  testing::write_text(folder / "routed.obj", "v 0 0 0\no a\nl 1\n");
  EXPECT_FALSE(read_written_obj(folder / "routed.obj", Transform{}));
}

TEST(StepText, SplitsABodyWithAnOpenQuoteIntoOnePieceAtLeast) {
  EXPECT_EQ(arguments("'a,b").size(), 1U);
  EXPECT_EQ(arguments("").size(), 1U);
  EXPECT_EQ(arguments("1,(2,3),'4,5'").size(), 3U);
}

}  // namespace
}  // namespace roomloom::check
