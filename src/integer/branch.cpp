#include "integer/branch.h"

#include <algorithm>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>
#include <limits>

namespace roomloom {
namespace {

/// @param seconds  by the clock on the wall, where `limits` sets one
BranchAnswer answer_of(const OsiClpSolverInterface& start, double cutoff,
                       const std::vector<std::string>& limits, double seconds) {
  OsiClpSolverInterface solver(start);
  solver.messageHandler()->setLogLevel(0);
  CbcModel model(solver);
  CbcSolverUsefulData data;
  data.noPrinting_ = true;
  CbcMain0(model, data);
  model.setLogLevel(0);
  model.setCutoff(cutoff);
  std::vector<const char*> words{"roomloom", "-log", "0"};
  for (const std::string& limit : limits) words.push_back(limit.c_str());
  words.insert(words.end(), {"-solve", "-quit"});
  CbcMain1(
      static_cast<int>(words.size()), words.data(), model, [](CbcModel*, int) { return 0; }, data);
  BranchAnswer answer;
  if (model.bestSolution() != nullptr && model.getObjValue() < cutoff)
    answer.x.assign(model.bestSolution(), model.bestSolution() + model.getNumCols());
  // CBC 2.10 calls infeasible what it could not prepare in time.
  const bool late = model.getCurrentSeconds() > 0.9 * seconds;
  answer.decided = model.isProvenOptimal() || (model.isProvenInfeasible() && !late);
  answer.bound = !answer.decided    ? std::min(cutoff, model.getBestPossibleObjValue())
                 : answer.x.empty() ? cutoff
                                    : model.getObjValue();
  answer.nodes = model.getNodeCount();
  return answer;
}

}  // namespace

BranchAnswer branch(const OsiClpSolverInterface& start, double cutoff,
                    const std::vector<std::string>& limits) {
  return answer_of(start, cutoff, limits, std::numeric_limits<double>::infinity());
}

BranchAnswer branch_within(const OsiClpSolverInterface& start, double cutoff, double seconds) {
  return answer_of(start, cutoff, {"-timeMode", "elapsed", "-seconds", std::to_string(seconds)},
                   seconds);
}

}  // namespace roomloom
