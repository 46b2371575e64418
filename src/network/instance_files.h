#pragma once

#include <string>
#include <variant>

#include "network/flow_design.h"

namespace roomloom::network {

/// A published instance: unsplit paths with shared charges, or divisible flow.
struct Instance {
  std::string format;  ///< "steiner", "fixed-charge flow" or "capacitated design"
  std::variant<Problem, FlowProblem> problem;
};

/// Reads a Steiner tree graph (PACE 2018 .gr), an uncapacitated fixed-charge flow (.fcn) or a
/// capacitated multicommodity design (.dow), told apart by content.
///
/// A .fcn with one source becomes paths, one a sink, at its demand times the arc's price; with
/// several sources divisible flow out of one more node.
/// @error `instance.unreadable`, `instance.format` with the line
Result<Instance> read_instance(const std::string& path);

}  // namespace roomloom::network
