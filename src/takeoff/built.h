#pragma once

#include "types/plan.h"
#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// How predicted and measured lengths compare, as a share of what was drawn.
struct LengthComparison {
  int runs = 0;
  double bias = 0;         ///< mean of (measured - predicted) / drawn
  double spread = 0;       ///< standard deviation of it; 0 for fewer than two runs
  double contingency = 0;  ///< that would have been enough for 49 runs in 50, if all are alike
  /// What every run differs by whatever its length, in metres; 0 where the runs do not show it. The
  /// contingency is then what is wanted beside it.
  double each_m = 0;
  double allow_m = 0;  ///< then wanted for each run: that, and what 49 runs in 50 scatter by
  /// Ids of runs that were left out: such a length can hardly be, by itself or beside the others.
  std::vector<std::string> odd;
};
LengthComparison compare_lengths(const AsBuilt& built, double contingency_now);

/// The record of a run's cable, which it may have from another; null where there is none.
const BuiltRun* built_run(const RunRow& row, const AsBuilt& built);
/// Whether the end of a recorded run that is nearer to a place was left coiled or without a
/// connector, or is so far off that it must be led on and fitted anew.
bool left_open(const BuiltRun& run, const Vec3& place);

/// Whether neither end of a recorded run's way is at a place: the run's end there was moved since.
bool ends_elsewhere(const BuiltRun& run, const Vec3& place);

/// Whether the recorded way of a run, or of any, passes a point: what it hangs on is there already.
bool on_recorded_way(const Vec3& at, const BuiltRun& run);
bool on_recorded_way(const Vec3& at, const AsBuilt& built);
/// Whether raceway from `a` to `b` is recorded as fixed, as pieces or by the runs that lie in it.
bool is_fixed(const std::string& raceway, int sheet, const Vec3& a, const Vec3& b, const Room& room,
              const AsBuilt& built);

/// Predicted against measured, run by run, with what it says about the slack settings.
Table built_table(const Job& job);
/// For each run that does not lie as it should, what is there already and serves it: a lying cable
/// that it takes over, a cut hole, fixed raceway, a draw cord in a hole or a conduit.
Table use_first_table(const Takeoff& takeoff, const Plan& plan, const Tracks& tracks,
                      const Room& room, const Job& job);
/// What is recorded as built and in no part of this plan: runs that the job asks for no more, holes
/// that nothing passes, raceway that nothing lies in. No rows where there is none.
Table unused_table(const Takeoff& takeoff, const CableShapes& shapes, const Room& room,
                   const Job& job);
/// What will lie on the shelf when all is cut: for the stock of the next job.
Table stock_left_table(const Takeoff& takeoff, const Job& job);
/// The same of raceway.
Table raceway_left_table(const Takeoff& takeoff, const Job& job);

}  // namespace roomloom
