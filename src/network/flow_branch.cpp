#include "network/flow_branch.h"

#include <algorithm>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>
#include <string>

namespace roomloom::network {

double branch(OsiClpSolverInterface& start, double cutoff, double seconds, std::vector<double>& x) {
  OsiClpSolverInterface solver(start);
  solver.messageHandler()->setLogLevel(0);
  CbcModel model(solver);
  CbcSolverUsefulData data;
  data.noPrinting_ = true;
  CbcMain0(model, data);
  model.setLogLevel(0);
  model.setCutoff(cutoff);
  const std::string limit = std::to_string(seconds);
  const char* arguments[] = {"roomloom", "-log",        "0",      "-timeMode", "elapsed",
                             "-seconds", limit.c_str(), "-solve", "-quit"};
  CbcMain1(
      9, arguments, model, [](CbcModel*, int) { return 0; }, data);
  if (model.bestSolution() != nullptr)
    x.assign(model.bestSolution(), model.bestSolution() + model.getNumCols());
  if (model.isProvenInfeasible() || model.isProvenOptimal())
    return x.empty() ? cutoff : model.getObjValue();
  return std::min(cutoff, model.getBestPossibleObjValue());
}

}  // namespace roomloom::network
