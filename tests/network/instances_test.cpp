#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>

#include "network/instance_files.h"

namespace roomloom::network {
namespace {

struct Known {
  const char* file;
  double optimum;
};

void PrintTo(const Known& known, std::ostream* out) { *out << known.file; }

std::string reference(const std::string& file) {
  return std::string(ROOMLOOM_SHARED_DATA) + "/reference/" + file;
}

void expect_optimum(const Known& known, double bound_share = 1) {
  const std::string path = reference(known.file);
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "no published instances at " << path;
  const Result<Instance> instance = read_instance(path);
  ASSERT_TRUE(instance) << to_text(instance.error());
  Effort effort;
  effort.level = EffortLevel::prove;
  double objective = 0, bound = 0;
  if (const auto* paths = std::get_if<Problem>(&instance->problem)) {
    const Result<Solution> solution = solve(*paths, effort);
    ASSERT_TRUE(solution);
    EXPECT_TRUE(defects(*paths, *solution).empty());
    objective = solution->objective;
    bound = solution->bound;
  } else {
    const Result<FlowSolution> solution =
        solve_flow(std::get<FlowProblem>(instance->problem), effort);
    ASSERT_TRUE(solution);
    objective = solution->objective;
    bound = solution->bound;
  }
  EXPECT_NEAR(objective, known.optimum, 1e-6 * known.optimum);
  EXPECT_LE(bound, known.optimum * (1 + 1e-6));
  EXPECT_GE(bound, known.optimum * bound_share * (1 - 1e-6));
}

class SteinerInstance : public testing::TestWithParam<Known> {};

// Optima: SteinLib and PACE 2018, as listed with the instances.
TEST_P(SteinerInstance, IsProvedOptimal) { expect_optimum(GetParam()); }
INSTANTIATE_TEST_SUITE_P(Pace2018, SteinerInstance,
                         testing::Values(Known{"steiner/T1_instance001.gr", 503},
                                         Known{"steiner/T1_instance010.gr", 2338},
                                         Known{"steiner/T1_instance047.gr", 145},
                                         Known{"steiner/T1_instance069.gr", 3271},
                                         Known{"steiner/T1_instance130.gr", 1901446},
                                         Known{"steiner/T2_instance003.gr", 41350},
                                         Known{"steiner/T2_instance073.gr", 2146},
                                         Known{"steiner/T2_instance069.gr", 86268}));

class FixedChargeInstance : public testing::TestWithParam<Known> {};

// Optima: Ortega and Wolsey, Networks 41 (2003), as listed with the instances.
TEST_P(FixedChargeInstance, IsProvedOptimal) { expect_optimum(GetParam()); }
INSTANTIATE_TEST_SUITE_P(OrtegaWolsey, FixedChargeInstance,
                         testing::Values(Known{"network_design/beasleyC3.fcn", 754},
                                         Known{"network_design/l61x114.fcn", 60085},
                                         Known{"network_design/p50x864.fcn", 19007},
                                         Known{"network_design/g55x188c.fcn", 35464},
                                         Known{"network_design/k20x380d.fcn", 20979}));

class RoomInstance : public testing::TestWithParam<Known> {};

// Optima: proved by a general solver at zero gap, as listed with the instances.
TEST_P(RoomInstance, IsProvedOptimal) { expect_optimum(GetParam()); }
INSTANTIATE_TEST_SUITE_P(Generated, RoomInstance,
                         testing::Values(Known{"room_graphs/room_8x7x6_k12_f6_s1.fcn", 255.73},
                                         Known{"room_graphs/room_14x12x8_k24_f6_s1.fcn", 449.032},
                                         Known{"room_graphs/room_14x12x8_k24_f6_s3.fcn", 394.61}));

class CapacitatedInstance : public testing::TestWithParam<Known> {};

// Optima: proved by a general solver, as listed with the instances.
TEST_P(CapacitatedInstance, IsFoundWithAGoodBound) { expect_optimum(GetParam(), 0.97); }
INSTANTIATE_TEST_SUITE_P(Crainic, CapacitatedInstance,
                         testing::Values(Known{"capacitated_design/r01.1.dow", 74079},
                                         Known{"capacitated_design/r02.1.dow", 232239},
                                         Known{"capacitated_design/r04.1.dow", 31730}));

class ManySourceInstance : public testing::TestWithParam<Known> {};

// Optima: Ortega and Wolsey, Networks 41 (2003), as listed with the instances.
TEST_P(ManySourceInstance, IsProvedOptimal) { expect_optimum(GetParam()); }
INSTANTIATE_TEST_SUITE_P(OrtegaWolsey, ManySourceInstance,
                         testing::Values(Known{"network_design/k10x90.fcn", 568},
                                         Known{"network_design/k14x182.fcn", 8491},
                                         Known{"network_design/k16x240b.fcn", 11393},
                                         Known{"network_design/k20x380.fcn", 1941},
                                         Known{"network_design/r20x200.fcn", 14783},
                                         Known{"network_design/sp50x100.fcn", 50968},
                                         Known{"network_design/sp90x180.fcn", 68862}));

class HardInstance : public testing::TestWithParam<Known> {};

// Stopped long before it is proved, it must not call proved what is not.
TEST_P(HardInstance, NeverClaimsABoundAboveTheOptimum) {
  const std::string path = reference(GetParam().file);
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "no published instances at " << path;
  const Result<Instance> instance = read_instance(path);
  ASSERT_TRUE(instance) << to_text(instance.error());
  for (const double seconds : {0.01, 0.1, 0.5}) {
    Effort effort;
    effort.time_limit_s = seconds;
    const Result<FlowSolution> solution =
        solve_flow(std::get<FlowProblem>(instance->problem), effort);
    ASSERT_TRUE(solution) << to_text(solution.error()) << " within " << seconds << " s";
    EXPECT_LE(solution->bound, GetParam().optimum * (1 + 1e-6)) << "within " << seconds << " s";
    EXPECT_GE(solution->objective, GetParam().optimum * (1 - 1e-6)) << "within " << seconds << " s";
  }
}
INSTANTIATE_TEST_SUITE_P(OrtegaWolsey, HardInstance,
                         testing::Values(Known{"network_design/g40x132.fcn", 26629},
                                         Known{"network_design/r50x360.fcn", 1653},
                                         Known{"network_design/p100x588.fcn", 8975},
                                         Known{"capacitated_design/c35.dow", 371475}));

std::string written(const std::string& text) {
  const std::string path =
      testing::TempDir() + "/roomloom_instance_" + std::to_string(getpid()) + ".txt";
  std::ofstream(path) << text;
  return path;
}

TEST(InstanceFile, NamesTheLineThatIsWrong) {
  const auto result = read_instance(written("nodes 2\narcs 1\na 1 5 3 4\nd 1 -1\nd 2 1\n"));
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "instance.format");
  EXPECT_NE(result.error().where.find("line 3"), std::string::npos);
}

TEST(InstanceFile, OfAnUnknownFormatIsRefused) {
  const auto result = read_instance(written("hello world\n"));
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "instance.format");
}

TEST(InstanceFile, ThatIsMissingIsRefused) {
  const auto result = read_instance("/nowhere/at/all.gr");
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "instance.unreadable");
}

// By hand: two sources of 3 and 2 units, a sink of 4; opening both ways costs 5 + 1 + 3 * 1 + 1
// * 2.
TEST(InstanceFile, WithSeveralSourcesLetsThemShareASink) {
  const auto result =
      read_instance(written("nodes 3\narcs 2\na 1 3 5 1\na 2 3 1 2\nd 1 -3\nd 2 -2\nd 3 4\n"));
  ASSERT_TRUE(result);
  const auto solution = solve_flow(std::get<FlowProblem>(result->problem), {});
  ASSERT_TRUE(solution);
  EXPECT_NEAR(solution->objective, 5 + 1 + 3 + 2, 1e-6);
}

}  // namespace
}  // namespace roomloom::network
