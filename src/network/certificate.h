#pragma once

#include <string>

#include "network/ascent.h"

namespace roomloom::network {

/// The problem and a dual solution as text, one item a line; the reader is check_bound.cpp, which
/// also states what makes it a proof.
std::string write_certificate(const Model& model, const Dual& dual, double bound);

}  // namespace roomloom::network
