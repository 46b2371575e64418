#pragma once

#include <string>

#include "route/paths.h"

namespace roomloom::route {

/// '*' any text, '?' one character; letters of either case are the same.
bool name_matches(const std::string& pattern, const std::string& name);

/// All names under which an edge can be meant: its place, the parts it lies on, its crossing.
std::vector<std::string> names_of_edge(const Setting& setting, int edge);

/// Closes edges by `avoid`, finds the nodes of `via`. Names that match nothing are told.
void apply_masks(Setting& setting, std::vector<std::string>& told);

/// Closes to a run with a wanted path (RunSpec::way) all but the way that lies nearest to it.
void keep_to_way(Setting& setting, int run, const RunSpec& spec, std::vector<std::string>& told);

/// Re-routes runs that say `same_way_as` or `not_with`. Names what the bound leaves out.
void keep_company_rules(const Setting& setting, Ways& ways, std::vector<std::string>& told);

/// Why `run` has no way: a closed edge's reason, or what lies between the two ends' tracks.
std::string blocker_of(const Setting& setting, int run);

}  // namespace roomloom::route
