#pragma once

#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "route/costs.h"
#include "route/route.h"

namespace roomloom::route {

struct Solved {
  Ways ways;
  double bound = 0;
  double certified = 0;  ///< what the certificate proves
  bool proven = false;
  std::string model;
  std::vector<std::string> relaxations;
};

/// Plans all runs together, as far as they are sent through anything (RunNeeds::via_nodes) by these
/// edges.
/// @param start  ways to be better than
Solved solve_jointly(const Setting& setting, const Ways& start, const RouteOptions& options);

constexpr int kRounds = 6;  ///< of rip-up and reroute

/// What makes a plan worse, the gravest first: runs without a way or past what they are sent
/// through, lengths, overloads, cost.
using Judgement = std::tuple<long, double, double, double>;
Judgement judge(const Setting& setting, const Ways& ways);

/// From a written plan: its ways, the others added to them, and what may move moved.
std::optional<Ways> starting_ways(const Setting& setting);

}  // namespace roomloom::route
