#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace roomloom {

/// Where a hole was cut in a tile: from the sides that the hole schedule names first and second.
struct CutAt {
  std::string tile;  ///< "E1"
  double from_side_1_m = 0, from_side_2_m = 0;
};

/// What is to be recorded as built, by the names of a plan. Lengths in metres.
struct Recording {
  std::string run;
  /// The plan's spool that the run was cut from, if not as planned; without a run: of a cut that is
  /// for none, and then it may be a length of raceway: "18 x 9 no. 1".
  std::string spool;
  std::optional<double> measured_m;                ///< of the run or cut, between its ends
  std::optional<double> mark_start_m, mark_end_m;  ///< or the jacket's marks at both ends
  std::optional<double> left_m;                    ///< or what is left of the spool or length
  std::vector<std::string> holes, raceway, tiles;  ///< "H1", "R3", "J4"
  std::map<std::string, double> hole_m;            ///< of holes cut otherwise than planned: width
  std::optional<CutAt> hole_at;                    ///< of the one hole, cut elsewhere than planned
  bool anyway = false;                             ///< though a length is implausible
  std::string record_id;                           ///< of a record that is begun now
  std::vector<std::string> draw_cords;             ///< holes that hold one, by "H8", and conduits
  std::string task;                                ///< of the list of minutes
  double count = 0, minutes = 0;                   ///< what the task took
};

/// Adds to a record of what was built, which route takes up where the job names it under
/// "as_built". A run keeps what the plan predicted, its way and the spool it was cut from;
/// recording it again replaces what was there, but for that where it lay already in the plan; so
/// does a hole, which is as wide as planned unless told otherwise. With a run goes what it cannot
/// do without: holes that it passes and pieces of raceway that it lies in, unless they are recorded
/// already. Names that the plan gave are kept, so that later plans give the same. A run
/// that took over a lying cable takes that cable's place in the record, which names the provision:
/// jobs that still ask for it are read without it.
/// @param plan_json  the plan that was built by
/// @param record     the record so far; empty for none. A new one keeps Recording::record_id, so
/// that
///                   what two rooms of the same job cut from one house is told apart.
/// @return  the new record
/// @error `record.no-plan` · `record.unknown` the plan has no such thing · `record.length` a run
///        or cut without a length · `record.implausible` a length that can hardly be, told in
///        words, or a run through a hole that was cut elsewhere than the plan has it; not if
///        `anyway` · `record.spool` the spool holds another cable · `record.task` ·
///        `record.format` the record is none
Result<std::string> recorded(const std::string& plan_json, const std::string& record,
                             const Recording& what);

/// What is left of a record and what was taken out of it, in words: "run S4", "hole H2".
struct Forgotten {
  std::string record;
  std::vector<std::string> told;
};

/// The record without what is named; with a run go holes and raceway that were recorded only
/// because it lies in them and that no other recorded run of the plan does. A run that took over a
/// provision's cable gives it back. Lengths and widths are not looked at; a spool without a run
/// means the last cut from it that was for none.
/// @error `record.no-plan` · `record.format` · `record.unknown` the record has no such thing ·
///        `record.nothing` nothing is named, or more than a name
Result<Forgotten> forgotten(const std::string& plan_json, const std::string& record,
                            const Recording& what);

/// Of what is recorded now: what was recorded of it before with another length or width, "run S4
/// was 12.30 m (40.4 ft), is now 12.50 m (41.0 ft)", or as it is now.
/// @param before, after  the record; what is none tells nothing
std::vector<std::string> told_again(const std::string& before, const std::string& after,
                                    const Recording& what);

/// Holes that are told to be narrower than planned: "H4 is 29 mm wide, planned 32 mm".
/// @error `record.no-plan`
Result<std::vector<std::string>> narrow_holes(const std::string& plan_json, const Recording& what);

/// What is recorded with a run though it is not named: "hole H4", "raceway R5".
/// @param record  before this is added
/// @error `record.no-plan` · `record.format` · `record.unknown` · `record.implausible`
Result<std::vector<std::string>> told_beside(const std::string& plan_json,
                                             const std::string& record, const Recording& what);

/// The recorded run whose lying cable a run of the plan takes over; empty if it has its own.
/// @error `record.no-plan`
Result<std::string> taken_over_by(const std::string& plan_json, const std::string& run);

/// The house file whose stock the plan's spools are from, relative to the folder of the plan; empty
/// if the job brings its own. @error `record.no-plan`
Result<std::string> house_of_plan(const std::string& plan_json);

/// The plan's job file, relative to the folder of the plan. @error `record.no-plan`
Result<std::string> job_of_plan(const std::string& plan_json);

}  // namespace roomloom
