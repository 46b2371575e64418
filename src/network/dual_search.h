#pragma once

#include <cstdint>

#include "network/ascent.h"
#include "network/plan.h"

/// Making a dual solution better, and what a dual solution rules out.
namespace roomloom::network {

/// A small generator of our own, so that plans are the same with every standard library.
struct Random {
  std::uint64_t state = 0x9e3779b97f4a7c15ULL;
  std::uint64_t next();
  int below(int limit);  ///< 0 .. limit - 1
};

void shuffle(std::vector<int>& list, Random& random);

/// Ascents from nothing with up to four ways of taking turns, the most promising first; the best
/// bound first.
std::vector<Dual> first_duals(const Model& model, const Permitted& permitted, int ways = 4,
                              Router* router = nullptr);
/// The best of them.
Dual first_dual(const Model& model, const Permitted& permitted, int ways = 4);

/// Releases some demands and raises them in another order, `rounds` times; never gets worse.
/// Which demands is led by `plan`: an edge it opens should be paid for by those who use it.
/// Stops early when the bound reaches `enough`.
void improve_dual(const Model& model, const Permitted& permitted, const Plan& plan, int rounds,
                  double enough, Router& router, Random& random, Dual& dual);

/// Takes from `permitted`, where each demand has a row of its own, what no plan cheaper than
/// `limit` can use. A router of the model, or of one that costs no more, knows what arcs alone
/// cost, which shortens the search; null = no such.
void fix_arcs(const Model& model, const Dual& dual, double limit, Permitted& permitted,
              Router* router = nullptr);

long long count_permitted(const Permitted& permitted);

}  // namespace roomloom::network
