#pragma once

#include <string>
#include <vector>

#include "network/price_polish.h"

namespace roomloom::network {

/// The problem and prices as text, one item a line; the reader is check_bound.cpp, which also
/// states what makes it a proof.
/// @param payments  by demand
/// @param bound     what the prices prove
/// @param besides   what every plan pays beyond the problem
std::string write_certificate(const Model& model, const std::vector<Payment>& payments,
                              double bound, double besides);

}  // namespace roomloom::network
