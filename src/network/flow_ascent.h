#pragma once

#include <vector>

#include "network/flow_cuts.h"

namespace roomloom::network {

/// Cuts to begin with, all by opening: dual ascent (Wong, Mathematical Programming 28, 1984) from
/// every node that takes, backwards, and from every one that gives, forwards. The arcs into the
/// nodes from which one that takes is reached for nothing, where these together take more than they
/// give, are charged until one of them is paid for; likewise those out.
std::vector<FlowCut> ascent_cuts(const PooledFlow& flow);

}  // namespace roomloom::network
