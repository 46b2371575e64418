#include "base/nearest.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

TEST(Suggestion, IsTheNearestWordElseThoseThatHoldItElseAny) {
  const std::vector<std::string> cables = {"speaker 2x1.5", "speaker 2x2.5", "hdmi passive 48G",
                                           "hdmi optical 48G", "cat6"};
  EXPECT_EQ(suggestion("cat 6", cables), "Did you mean \"cat6\"?");
  EXPECT_EQ(suggestion("HDMI", cables), "There is \"hdmi passive 48G\" or \"hdmi optical 48G\".");
  EXPECT_NE(suggestion("fibre", cables).find("\"speaker 2x1.5\", "), std::string::npos);
  EXPECT_EQ(suggestion("fibre", {}), "");
}

}  // namespace
}  // namespace roomloom
