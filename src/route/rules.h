#pragma once

#include <string>

#include "route/paths.h"

namespace roomloom::route {

/// All names under which an edge can be meant: its place, the parts it lies on, its crossing.
std::vector<std::string> names_of_edge(const Setting& setting, int edge);

/// Whether one of them matches the pattern of a job.
bool edge_named(const Setting& setting, int edge, const std::string& pattern);

/// What is to be said of rules.
struct Told {
  std::vector<std::string> relaxations;  ///< what the bound or the plan leaves out
  std::vector<std::string> notes;        ///< of these, what the user must hear: rules not kept
  /// A rule that is not kept belongs to both.
  void not_kept(const std::string& text) {
    relaxations.push_back(text);
    notes.push_back(text);
  }
};

/// Closes edges by `avoid`, finds what of `via` can be passed. Names that match nothing are told.
void apply_masks(Setting& setting, Told& told);

/// Fills RunNeeds::via; what cannot be passed is told.
void find_vias(Setting& setting, int run, const RunSpec& spec, Told& told);

/// Whether whoever lies on an edge passes what is so named, and does not only turn at it.
bool is_passing(const Setting& setting, int edge, const std::string& pattern);

/// Whether a way passes all of RunNeeds::via in their order.
bool passes_vias(const Setting& setting, int run, const std::vector<Step>& way);

/// Sends a run through the edges of what it is to pass that cost it least beside others:
/// RunNeeds::via_nodes and the rules of the legs between them. False where no way is left to it.
bool send_through(Setting& setting, int run, const Occupation& others);

/// Whether the job leads a run along others, or off them, after all are planned.
bool follows_others(const Setting& setting, int run);

/// All that is occupied but by one run.
Occupation occupation_without(const Setting& setting, const Ways& ways, int run);

/// Closes to a run with a wanted path (RunSpec::way) all but the way that lies nearest to it.
void keep_to_way(Setting& setting, int run, const RunSpec& spec, Told& told);

/// Re-routes runs that say `same_way_as` or `not_with`. Names what the bound leaves out.
void keep_company_rules(const Setting& setting, Ways& ways, Told& told);

/// Why `run` has no way: a closed edge's reason, or what lies between the two ends' tracks.
std::string blocker_of(const Setting& setting, int run);

}  // namespace roomloom::route
