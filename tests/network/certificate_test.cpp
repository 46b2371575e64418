#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

/// Exit status of the separate checker.
int check(const std::string& text) {
  const std::string path =
      testing::TempDir() + "/roomloom_certificate_" + std::to_string(getpid()) + ".txt";
  std::ofstream(path) << text;
  const std::string command =
      std::string(ROOMLOOM_BIN_DIR) + "/check_bound " + path + " >/dev/null";
  const int status = std::system(command.c_str());
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/// The text with the last number of the first line that begins with `word` changed.
std::string tampered(const std::string& text, const std::string& word, double factor, double more) {
  std::istringstream in(text);
  std::ostringstream out;
  std::string line;
  bool done = false;
  while (std::getline(in, line)) {
    if (!done && line.rfind(word + " ", 0) == 0) {
      const std::size_t last = line.rfind(' ');
      std::ostringstream number;
      number.precision(17);
      number << std::stod(line.substr(last + 1)) * factor + more;
      line = line.substr(0, last + 1) + number.str();
      done = true;
    }
    out << line << '\n';
  }
  EXPECT_TRUE(done) << "no line " << word;
  return out.str();
}

/// The text without its lines that begin with `word`.
std::string without(const std::string& text, const std::string& word) {
  std::istringstream in(text);
  std::ostringstream out;
  std::string line;
  while (std::getline(in, line))
    if (line.rfind(word + " ", 0) != 0) out << line << '\n';
  return out.str();
}

class CertificateOf : public testing::TestWithParam<int> {};

TEST_P(CertificateOf, APlanIsAcceptedAndItsTamperedFormsAreRefused) {
  GridSpec spec;
  spec.seed = 500 + static_cast<std::uint64_t>(GetParam());
  spec.wide = 5;
  spec.runs = 8;
  spec.sources = 1 + GetParam() % 2;
  spec.classes = 2;
  spec.masks = GetParam() == 3;
  spec.shared_charges = 8;
  const Problem problem = grid_problem(spec);
  const Result<Solution> solution = solve_certified(problem, {});
  ASSERT_TRUE(solution);
  EXPECT_GT(solution->certified_bound, 0.8 * solution->objective);
  EXPECT_LE(solution->certified_bound, solution->bound * (1 + 1e-6));
  const std::string& text = solution->certificate;
  EXPECT_EQ(check(text), 0);
  EXPECT_EQ(check(tampered(text, "bound", 1, 0.02 * solution->objective)), 1) << "a higher bound";
  EXPECT_EQ(check(without(text, "pay")), 1) << "payments taken away";
  EXPECT_EQ(check(tampered(text, "pay", 1, 1000)), 1) << "a payment beyond the price";
  EXPECT_EQ(check(text.substr(0, text.size() / 2)), 1) << "half a file";
}

INSTANTIATE_TEST_SUITE_P(Rooms, CertificateOf, testing::Range(0, 5));

// The outside answer: COIN-OR CBC 2.10.8 on the whole integer programme.
TEST(Certificate, OfSizesSurchargesAndOutwardPlansProvesNearlyTheOptimum) {
  GridSpec spec;
  spec.seed = 77;
  spec.wide = 3;
  spec.runs = 6;
  spec.classes = 2;
  Problem problem = grid_problem(spec);
  for (std::size_t k = 0; k < problem.commodities.size(); ++k) {
    problem.commodities[k].load = 1 + 0.4 * static_cast<double>(k % 3);
    problem.commodities[k].surcharges = {{static_cast<int>(k), 2.5}};
  }
  for (std::size_t e = 0; e < problem.edges.size(); e += 2)
    problem.edges[e].steps = {{2, 3}, {4, 5}, {100, 9}};
  for (const bool outward : {false, true}) {
    problem.outward = outward;
    const Result<Solution> solution = solve_certified(problem, {}, nullptr, 12.5);
    ASSERT_TRUE(solution);
    EXPECT_EQ(check(solution->certificate), 0) << "outward " << outward;
    if (!outward) {
      EXPECT_LE(solution->certified_bound, milp_optimum(problem) * (1 + 1e-7) + 12.5);
    }
    EXPECT_GE(solution->certified_bound, 0.9 * solution->objective + 12.5) << "outward " << outward;
  }
}

TEST(Certificate, OfSomethingElseIsRefused) { EXPECT_EQ(check("hello\n"), 1); }

}  // namespace
}  // namespace roomloom::network
