#pragma once

#include <vector>

#include "takeoff/terminations.h"
#include "types/takeoff.h"

namespace roomloom {

/// One line of the shopping list.
struct Purchase {
  std::string section;  ///< "Cable", "Raceway", "Holes and supports", "Ends", "Small parts"
  std::string item;
  double count = 0;
  std::string unit;      ///< "spool of 100 m", "length of 3 m", "piece"
  double price = 0;      ///< of one, in the job's currency
  bool invented = true;  ///< false: the job or the house gives it
  double total() const { return count * price; }
};

/// Everything that must be bought; what lies on the shelf is left out. A price of the job overrules
/// the catalogue's and the built-in ones, which are invented.
std::vector<Purchase> purchases_of(const Takeoff& takeoff,
                                   const std::vector<Termination>& terminations,
                                   const CableShapes& shapes, const Ends& ends, const Job& job);

/// What all of it costs, each line rounded to a hundredth.
double cost_to_buy(const std::vector<Purchase>& purchases);

/// The list for the shop, with what it costs together, and how many minutes the work takes.
Table shopping_table(const std::vector<Purchase>& purchases, const Takeoff& takeoff,
                     const Job& job);

/// What a customer is asked to pay: materials with the markup, and work at the rate per hour. Holds
/// none of the crew's minutes and no prices of single parts.
Table quote_table(const std::vector<Purchase>& purchases, const Takeoff& takeoff, const Job& job);

}  // namespace roomloom
