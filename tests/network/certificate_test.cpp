#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "network/grid_problems.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

/// Exit status of the separate checker.
int check(const std::string& text) {
  const std::string path = testing::TempDir() + "/roomloom_certificate_test.txt";
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
  EXPECT_EQ(check(tampered(text, "bound", 1, 1)), 1) << "a higher bound";
  EXPECT_EQ(check(tampered(text, "own", 0, 0)), 1) << "a draw taken away";
  EXPECT_EQ(check(tampered(text, "own", 1, 1000)), 1) << "a draw beyond the price";
  EXPECT_EQ(check(tampered(text, "dual", 1, 5)), 1) << "a higher value";
  EXPECT_EQ(check(text.substr(0, text.size() / 2)), 1) << "half a file";
}

INSTANTIATE_TEST_SUITE_P(Rooms, CertificateOf, testing::Range(0, 5));

TEST(Certificate, OfSomethingElseIsRefused) { EXPECT_EQ(check("hello\n"), 1); }

}  // namespace
}  // namespace roomloom::network
