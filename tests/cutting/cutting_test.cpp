#include "cutting/cutting.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "exhaustive.h"

namespace roomloom::cutting_tests {
namespace {

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  int between(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<unsigned>(high - low + 1));
  }
  std::mt19937& engine() { return engine_; }

 private:
  std::mt19937 engine_;
};

CutJob random_job(unsigned seed, int most_pieces) {
  Dice dice(seed);
  CutJob job;
  const int unit = dice.between(0, 2);  // centimetres, millimetres, micrometres
  const double step = unit == 0 ? 0.01 : unit == 1 ? 0.001 : 1e-6;
  const double scale = unit == 2 ? 1e6 : unit == 1 ? 1e3 : 100;
  const auto length = [&](double low, double high) {
    return step * dice.between(static_cast<int>(low * scale), static_cast<int>(high * scale));
  };
  for (int i = dice.between(1, most_pieces); i > 0; --i)
    job.pieces.push_back({"piece " + std::to_string(i), length(0.2, 2)});
  for (int i = dice.between(1, 3); i > 0; --i) {
    CutStock stock{
        "stock " + std::to_string(i), length(1, 5), 0.5 * dice.between(1, 20), false, {}};
    stock.on_shelf = dice.between(0, 3) == 0;
    if (dice.between(0, 3) == 0) stock.available = dice.between(0, 3);
    job.stock.push_back(stock);
  }
  if (dice.between(0, 1) == 1) job.kerf_m = 0.003;
  if (dice.between(0, 3) == 0) job.minimum_remainder_m = 0.1;
  return job;
}

TEST(Cutting, EqualsTryingAllWaysOnFourHundredSmallJobs) {
  int solved = 0, refused = 0;
  for (unsigned seed = 0; seed < 400; ++seed) {
    SCOPED_TRACE(seed);
    const CutJob job = random_job(seed, 7);
    const auto best = best_by_trying_all(job);
    const Result<CutPlan> plan = plan_cuts(job);
    ASSERT_EQ(plan.has_value(), best.has_value()) << (plan ? "" : to_text(plan.error()));
    if (!best) {
      ++refused;
      continue;
    }
    ++solved;
    EXPECT_EQ(fault_of(*plan, job), "");
    EXPECT_TRUE(plan->proven);
    EXPECT_TRUE(plan->leftover_proven);
    EXPECT_EQ(std::lround(plan->cost * 1e4), best->price);
    EXPECT_EQ(std::lround(plan->cost_bound * 1e4), best->price);
    EXPECT_EQ(static_cast<int>(plan->bars.size()), best->bars);
    EXPECT_EQ(plan->bars_bound, best->bars);
    EXPECT_NEAR(double(largest_remainder_um(*plan)), double(best->largest_remainder_um), 1000);
  }
  EXPECT_GT(solved, 200);
  EXPECT_GT(refused, 20);
}

TEST(Cutting, MoreKindsOfStockNeverCostMore) {
  for (unsigned seed = 1000; seed < 1030; ++seed) {
    SCOPED_TRACE(seed);
    CutJob job = random_job(seed, 25);
    job.improve_leftover = false;
    job.stock = {{"long", 5, 10, false, {}}};
    double cost = 1e300;
    for (const CutStock& more :
         {CutStock{"short", 2.1, 3.9, false, {}}, CutStock{"middle", 3.05, 6.2, false, 2},
          CutStock{"left over", 2.7, 0, true, {}}}) {
      const Result<CutPlan> plan = plan_cuts(job);
      ASSERT_TRUE(plan) << to_text(plan.error());
      EXPECT_TRUE(plan->proven);
      EXPECT_EQ(fault_of(*plan, job), "");
      EXPECT_LE(plan->cost, cost);
      cost = plan->cost;
      job.stock.push_back(more);
    }
  }
}

TEST(Cutting, OrderOfPiecesAndStockNeverChangesTheCost) {
  for (unsigned seed = 2000; seed < 2020; ++seed) {
    SCOPED_TRACE(seed);
    CutJob job = random_job(seed, 20);
    job.stock.push_back({"long enough", 6, 12.5, false, {}});
    const Result<CutPlan> plan = plan_cuts(job);
    ASSERT_TRUE(plan) << to_text(plan.error());
    Dice dice(seed);
    std::shuffle(job.pieces.begin(), job.pieces.end(), dice.engine());
    std::shuffle(job.stock.begin(), job.stock.end(), dice.engine());
    const Result<CutPlan> other = plan_cuts(job);
    ASSERT_TRUE(other) << to_text(other.error());
    EXPECT_EQ(fault_of(*other, job), "");
    EXPECT_TRUE(plan->proven && other->proven);
    EXPECT_EQ(plan->cost, other->cost);
    EXPECT_EQ(plan->bars.size(), other->bars.size());
  }
}

TEST(Cutting, GivesTheSamePlanTwice) {
  const CutJob job = random_job(7, 30);
  CutJob with_stock = job;
  with_stock.stock.push_back({"long enough", 6, 12.5, false, {}});
  const Result<CutPlan> first = plan_cuts(with_stock), second = plan_cuts(with_stock);
  ASSERT_TRUE(first && second);
  ASSERT_EQ(first->bars.size(), second->bars.size());
  for (std::size_t i = 0; i < first->bars.size(); ++i) {
    EXPECT_EQ(first->bars[i].stock, second->bars[i].stock);
    EXPECT_EQ(first->bars[i].pieces, second->bars[i].pieces);
  }
}

TEST(Cutting, LastPieceOfAFullBarNeedsNoCut) {
  CutJob job;
  job.pieces = {{"a", 1}, {"b", 0.997}};
  job.stock = {{"bar", 2, 1, false, {}}};
  job.kerf_m = 0.003;
  const Result<CutPlan> plan = plan_cuts(job);
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->bars.size(), 1u);
  job.kerf_m = 0.004;
  const Result<CutPlan> wider = plan_cuts(job);
  ASSERT_TRUE(wider);
  EXPECT_EQ(wider->bars.size(), 2u);
}

TEST(Cutting, TakesTheShelfBeforeBuying) {
  CutJob job;
  job.pieces = {{"a", 30}, {"b", 25}};
  job.stock = {{"new", 100, 60, false, {}}, {"opened", 31, 60, true, {}}, {"end", 26, 9, true, {}}};
  const Result<CutPlan> plan = plan_cuts(job);
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->cost, 0);
  EXPECT_EQ(plan->bars.size(), 2u);
}

TEST(Cutting, LeavesOneLongRemainderInsteadOfTwoShortOnes) {
  // Two bars of 10 for 6 + 5 + 3: either 4 and 2 are left, or 1 and 5.
  CutJob job;
  job.pieces = {{"a", 6}, {"b", 5}, {"c", 3}};
  job.stock = {{"bar", 10, 1, false, {}}};
  const Result<CutPlan> plan = plan_cuts(job);
  ASSERT_TRUE(plan);
  EXPECT_EQ(largest_remainder_um(*plan), 5000000);
  EXPECT_TRUE(plan->leftover_proven);
}

TEST(Cutting, ProvesARoomOfSpoolsInPutUpsAndOnTheShelf) {
  // Lengths of an invented room; prices invented.
  CutJob job;
  Dice dice(5);
  for (int i = 0; i < 30; ++i)
    job.pieces.push_back({"run " + std::to_string(i), 0.01 * dice.between(300, 3000)});
  job.stock = {{"305 m", 305, 189, false, {}},
               {"152 m", 152, 104.5, false, {}},
               {"30 m", 30, 26.9, false, {}},
               {"opened", 71.4, 0, true, {}},
               {"nearly out", 12.25, 0, true, {}}};
  const Result<CutPlan> plan = plan_cuts(job);
  ASSERT_TRUE(plan) << to_text(plan.error());
  EXPECT_EQ(fault_of(*plan, job), "");
  EXPECT_TRUE(plan->proven);
}

// Spools of two put-ups cut up at random places, so that nothing need be left over: many pieces, of
// which the relaxation would take minutes.
TEST(Cutting, FindsAPlanWithoutWasteForManyPieces) {
  std::mt19937 random(7);
  CutJob job;
  job.stock = {{"small", 100, 55, false, {}}, {"large", 305, 167.75, false, {}}};
  const auto cut_up = [&](int steps) {  // of 5 cm
    while (steps > 0) {
      int piece = 60 + static_cast<int>(random() % 1200);
      if (steps - piece < 60) piece = steps;
      job.pieces.push_back({"R" + std::to_string(job.pieces.size()), 0.05 * piece});
      steps -= piece;
    }
  };
  for (int spool = 0; spool < 40; ++spool) cut_up(2000);
  for (int spool = 0; spool < 6; ++spool) cut_up(6100);
  ASSERT_GT(job.pieces.size(), 150U);
  job.effort = 1;
  const auto plan = plan_cuts(job);
  ASSERT_TRUE(plan) << to_text(plan.error());
  EXPECT_TRUE(plan->proven);
  EXPECT_NEAR(plan->cost, 40 * 55 + 6 * 167.75, 1e-9) << "every metre costs the same";
}

// A perfect fit of triples is among the hardest there are (Delorme, Iori and Martello 2016, AI
// class).
TEST(Cutting, ManyLengthsCountForMoreOfItsEffortSinceTheyTakeLonger) {
  const auto rounds_for = [](int triples) {
    Dice dice(3);
    CutJob job;
    job.stock = {{"bar", 10, 1, false, {}}};
    for (int i = 0; i < triples; ++i) {
      const int a = dice.between(2000, 4000), b = dice.between(2000, 4000);
      for (const int piece : {a, b, 10000 - a - b})
        job.pieces.push_back({"P" + std::to_string(job.pieces.size()), 0.001 * piece});
    }
    job.effort = 60;
    const auto plan = plan_cuts(job);
    EXPECT_TRUE(plan) << to_text(plan.error());
    return plan ? plan->effort_spent : 0;
  };
  EXPECT_LE(rounds_for(20), 61);
  EXPECT_GT(rounds_for(100), 61) << "the last round alone counts as many";
}

TEST(Cutting, SaysWhatCannotBe) {
  CutJob job;
  job.pieces = {{"a", 3}, {"b", 3.5}};
  job.stock = {{"bar", 2, 1, false, {}}};
  EXPECT_EQ(plan_cuts(job).error().code, "cutting.piece_too_long");
  EXPECT_EQ(plan_cuts(job).error().where, "b");  // the longest
  job.stock = {{"bar", 4, 1, false, 1}};
  EXPECT_EQ(plan_cuts(job).error().code, "cutting.stock_short");
  job.stock[0].price = -1;
  EXPECT_EQ(plan_cuts(job).error().code, "cutting.input");
  job.stock = {{"bar", 4, 1, false, {}}};
  job.pieces[1].id = "a";
  EXPECT_EQ(plan_cuts(job).error().code, "cutting.input");
  job.pieces.clear();
  ASSERT_TRUE(plan_cuts(job));
  EXPECT_TRUE(plan_cuts(job)->bars.empty());
}

}  // namespace
}  // namespace roomloom::cutting_tests
