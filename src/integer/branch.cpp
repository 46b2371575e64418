#include "integer/branch.h"

#include <algorithm>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>

namespace roomloom {

BranchAnswer branch(const OsiClpSolverInterface& start, double cutoff,
                    const std::vector<std::string>& limits) {
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
  answer.decided = model.isProvenInfeasible() || model.isProvenOptimal();
  answer.bound = !answer.decided    ? std::min(cutoff, model.getBestPossibleObjValue())
                 : answer.x.empty() ? cutoff
                                    : model.getObjValue();
  answer.nodes = model.getNodeCount();
  return answer;
}

BranchAnswer branch_within(const OsiClpSolverInterface& start, double cutoff, double seconds) {
  return branch(start, cutoff, {"-timeMode", "elapsed", "-seconds", std::to_string(seconds)});
}

}  // namespace roomloom
