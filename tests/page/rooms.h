#pragma once

#include <filesystem>
#include <string>

#include "page/page.h"

namespace roomloom::testing {

/// The page of models/<room>, planned quickly; empty when it cannot be planned (told on stderr).
/// @param overview  where overview.png of that plan is left as well; empty = nowhere
/// @param compare   beside the plans of the other presets and of other prices
std::string page_of_demo(const std::string& room, const std::filesystem::path& overview,
                         bool compare = false);

/// Alder Hall with names that mean mischief: markup, quotes, formulas, marks of direction, broken
/// UTF-8, 10,000 characters.
std::string page_of_hostile_names();

/// A floor of 60 x 40 m with `runs` runs in shared ways between a gear room and desks; built by
/// hand, without the planner.
std::string page_of_floor(int runs);

}  // namespace roomloom::testing
