#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "cutting/cutting.h"
#include "cutting/instance_files.h"
#include "exhaustive.h"

namespace roomloom::cutting_tests {
namespace {

struct Row {
  int length;
  int demand;
};

CutJob job_of(double capacity, const std::vector<Row>& rows) {
  CutJob job;
  job.stock = {{"bar", capacity, 1, false, {}}};
  for (const Row& row : rows)
    for (int copy = 0; copy < row.demand; ++copy)
      job.pieces.push_back(
          {std::to_string(row.length) + "/" + std::to_string(copy), double(row.length)});
  return job;
}

/// Rounds within which every published instance of a room's size is proven: a second of work or
/// less, as cut_bench --within tells by the clock.
constexpr long kEffortOfARoom = 2000;

void expect_bars(const CutJob& job, int bars) {
  const Result<CutPlan> plan = plan_cuts(job);
  ASSERT_TRUE(plan) << to_text(plan.error());
  EXPECT_EQ(fault_of(*plan, job), "");
  EXPECT_TRUE(plan->proven);
  EXPECT_EQ(static_cast<int>(plan->bars.size()), bars);
  EXPECT_EQ(plan->cost_bound, bars);
  EXPECT_LE(plan->effort_spent, kEffortOfARoom);
}

// Wikipedia, "Cutting stock problem": rolls of 5600, optimum 73.
TEST(CuttingInstances, PaperRollsOf5600Take73) {
  expect_bars(job_of(5600, {{1380, 22},
                            {1520, 25},
                            {1560, 12},
                            {1710, 14},
                            {1820, 18},
                            {1880, 18},
                            {1930, 20},
                            {2000, 10},
                            {2050, 12},
                            {2100, 14},
                            {2140, 16},
                            {2150, 18},
                            {2200, 20}}),
              73);
}

// Chvatal, "Linear Programming" (1983), chapter 13; data as in GAMS' model library, cutstock.
TEST(CuttingInstances, RollsOf100Take453) {
  expect_bars(job_of(100, {{45, 97}, {36, 610}, {31, 395}, {14, 211}}), 453);
}

// Worked by hand: first-fit decreasing takes one more.
TEST(CuttingInstances, KnownFailuresOfFirstFitDecreasingAreSolved) {
  expect_bars(job_of(3000, {{1200, 2}, {900, 4}}), 2);
  expect_bars(job_of(10, {{4, 3}, {3, 6}}), 3);
}

/// Longest first, each into the first bar with room.
int first_fit_decreasing(const CutJob& job) {
  std::vector<double> lengths, left;
  for (const CutPiece& piece : job.pieces) lengths.push_back(piece.length_m);
  std::sort(lengths.rbegin(), lengths.rend());
  for (const double length : lengths) {
    const auto bar =
        std::find_if(left.begin(), left.end(), [&](double room) { return room >= length; });
    if (bar == left.end())
      left.push_back(job.stock[0].length_m - length);
    else
      *bar -= length;
  }
  return static_cast<int>(left.size());
}

// The family on which first-fit decreasing takes 11 bars for each 9 (Johnson, Demers, Ullman, Garey
// and Graham 1974, "Worst-case performance bounds for simple one-dimensional packing algorithms";
// from memory, and counted here): 6 of 1/2 + e, 6 of 1/4 + 2e, 6 of 1/4 + e and 12 of 1/4 - 2e.
TEST(CuttingInstances, TheWorstFamilyOfFirstFitDecreasingIsSolved) {
  for (const int times : {1, 2, 3}) {
    const CutJob job =
        job_of(1000, {{510, 6 * times}, {270, 6 * times}, {260, 6 * times}, {230, 12 * times}});
    EXPECT_EQ(first_fit_decreasing(job), 11 * times);
    expect_bars(job, 9 * times);
  }
}

// Worked by hand: first-fit decreasing fails by one on each of these.
TEST(CuttingInstances, FirstFitDecreasingTakesOneMoreOnItsKnownFailures) {
  for (const auto& [job, best] : {std::pair{job_of(3000, {{1200, 2}, {900, 4}}), 2},
                                  std::pair{job_of(10, {{4, 3}, {3, 6}}), 3}})
    EXPECT_EQ(first_fit_decreasing(job), best + 1);
}

// Two bars would do by the linear relaxation (259/132), yet three are needed: two pieces of 44 and
// three of 33 and six of 12 cannot be shared out. The instance is from memory (Rietz, Scheithauer
// and Terno on the gap of the cutting stock problem); the three are checked by trying all ways.
TEST(CuttingInstances, OptimumAboveTheRoundedRelaxationIsProven) {
  const CutJob job = job_of(132, {{44, 2}, {33, 3}, {12, 6}});
  const auto best = best_by_trying_all(job);
  ASSERT_TRUE(best);
  EXPECT_EQ(best->bars, 3);
  expect_bars(job, 3);
}

// Beasley's OR-Library, binpack1 and binpack3 (Falkenauer's uniform class), with proven optima.
TEST(CuttingInstances, BinPackingOfOrLibraryIsProven) {
  const std::filesystem::path folder =
      std::filesystem::path(ROOMLOOM_SHARED_DATA) / "reference" / "bin_packing";
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << "no reference data beside the project";
  std::map<std::string, int> optima;
  std::ifstream table(folder / "OPTIMA.csv");
  for (std::string line; std::getline(table, line);) {
    std::vector<std::string> cells;
    std::istringstream row(line);
    for (std::string cell; std::getline(row, cell, ',');) cells.push_back(cell);
    if (cells.size() == 6 && cells[0] != "file") optima[cells[1]] = std::stoi(cells[5]);
  }
  int solved = 0;
  for (const char* file : {"binpack1.txt", "binpack3.txt"}) {
    const auto instances = cutting::read_instances(folder / file);
    ASSERT_TRUE(instances) << to_text(instances.error());
    for (const cutting::Instance& instance : *instances) {
      SCOPED_TRACE(instance.name);
      CutJob job;
      job.improve_leftover = false;
      job.stock = {{"bar", instance.capacity, 1, false, {}}};
      for (const double length : instance.lengths)
        job.pieces.push_back({std::to_string(job.pieces.size()), length});
      job.effort = kEffortOfARoom;
      expect_bars(job, optima.at(instance.name));
      ++solved;
    }
  }
  EXPECT_EQ(solved, 40);
}

/// A generator that every library has alike.
struct Draw {
  unsigned state;
  int between(int low, int high) {
    state = state * 1664525u + 1013904223u;
    return low + static_cast<int>((state >> 8) % static_cast<unsigned>(high - low + 1));
  }
};

// Made here by the published rules of four classes (rules from memory; no optima are published for
// these draws, so proof is what is asked for): Schwerin and Waescher 1997, 100 pieces of 150 to 200
// in bars of 1000; Scholl, Klein and Juergens 1997, their second class at an average of a fifth and
// a seventh of the bar; the kind of Schoenfield's 28 hard ones, 160 pieces of 1 to 800 in 1000.
TEST(CuttingInstances, DrawsFromPublishedClassesAreProven) {
  struct Class {
    int pieces, low, high, bar;
  };
  for (const Class& kind :
       {Class{100, 150, 200, 1000}, Class{120, 150, 200, 1000}, Class{100, 160, 240, 1000},
        Class{100, 71, 214, 1000}, Class{160, 1, 800, 1000}}) {
    for (const unsigned seed : {1u, 2u}) {
      SCOPED_TRACE(std::to_string(kind.pieces) + " of " + std::to_string(kind.low) + " to " +
                   std::to_string(kind.high));
      Draw draw{seed};
      double sum = 0;
      CutJob job = job_of(kind.bar, {});
      for (int i = 0; i < kind.pieces; ++i) {
        job.pieces.push_back({std::to_string(i), double(draw.between(kind.low, kind.high))});
        sum += job.pieces.back().length_m;
      }
      job.improve_leftover = false;
      const Result<CutPlan> plan = plan_cuts(job);
      ASSERT_TRUE(plan) << to_text(plan.error());
      EXPECT_EQ(fault_of(*plan, job), "");
      EXPECT_TRUE(plan->proven);
      EXPECT_GE(plan->cost_bound, std::ceil(sum / kind.bar));
      EXPECT_LE(plan->effort_spent, kEffortOfARoom);
    }
  }
}

// Bars of several sizes, each for as much money as it is long: Monaci 2002 (rules from memory),
// three or five sizes and pieces of 1, 20 or 50 to 100. What is paid is never less than what is
// cut.
TEST(CuttingInstances, DrawsOfVariableSizesAreProven) {
  Draw draw{5};
  for (const std::vector<double>& sizes :
       {std::vector<double>{100, 120, 150}, std::vector<double>{60, 80, 100, 120, 150}}) {
    for (const int low : {1, 20, 50}) {
      SCOPED_TRACE(std::to_string(sizes.size()) + " sizes, pieces from " + std::to_string(low));
      CutJob job;
      job.improve_leftover = false;
      for (const double size : sizes)
        job.stock.push_back({std::to_string(job.stock.size()), size, size, false, {}});
      double sum = 0;
      for (int i = 0; i < 25; ++i) {
        job.pieces.push_back({std::to_string(i), double(draw.between(low, 100))});
        sum += job.pieces.back().length_m;
      }
      const Result<CutPlan> plan = plan_cuts(job);
      ASSERT_TRUE(plan) << to_text(plan.error());
      EXPECT_EQ(fault_of(*plan, job), "");
      EXPECT_TRUE(plan->proven);
      EXPECT_GE(plan->cost, sum);
      EXPECT_LE(plan->effort_spent, kEffortOfARoom);
    }
  }
}

// Bars of 1000 cut into three without any waste, made here: the hardest kind for rounding, since
// one bar more is too many (the triplet class of Falkenauer 1996).
TEST(CuttingInstances, TripletsWithoutWasteAreFound) {
  Draw draw{1};
  CutJob job;
  job.stock = {{"bar", 1000, 1, false, {}}};
  for (int bar = 0; bar < 40; ++bar) {
    const int first = draw.between(380, 490);
    const int second = draw.between(250, (1000 - first) / 2);
    for (const int length : {first, second, 1000 - first - second})
      job.pieces.push_back({std::to_string(job.pieces.size()), double(length)});
  }
  expect_bars(job, 40);
}

}  // namespace
}  // namespace roomloom::cutting_tests
