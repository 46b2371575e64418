#include <gtest/gtest.h>

#include "check/check.h"
#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

TEST(Explain, KnowsEveryFindingAndNothingElse) {
  for (const char* id :
       {"bend-radius",    "bend-kink",   "cuts-surface",  "unsupported",   "runs-meet",
        "end-misplaced",  "end-loose",   "hole-ring",     "hole-missed",   "tube-thickness",
        "length-differs", "cut-sum",     "place-differs", "thing-differs", "plan-differs",
        "run-missing",    "run-unknown", "list-differs",  "model-changed", "job-changed"}) {
    EXPECT_FALSE(explain(id).empty()) << id;
  }
  EXPECT_TRUE(explain("nothing").empty());
}

}  // namespace
}  // namespace roomloom::testing
