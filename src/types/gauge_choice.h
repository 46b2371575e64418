#pragma once

#include <string>
#include <vector>

#include "trade/loudspeaker_cable.h"
#include "types/job.h"
#include "types/table.h"

namespace roomloom {

/// What one cable of the row would do for a run.
struct GaugeOption {
  std::string cable;
  trade::CableLoss loss;
  bool satisfies = false;
};

/// Why a run that left its gauge open got its cable.
struct GaugeChosen {
  std::string run, cable;
  double length_m = 0;  ///< cut
  double impedance_ohm = 0;
  bool impedance_assumed = false;
  bool satisfied = false;            ///< false: not even the largest of the row keeps the limits
  int chosen = -1;                   ///< into options
  std::vector<GaugeOption> options;  ///< the row, from the smallest up
  std::string why;                   ///< with what one size down and one size up would give
};

/// Impedance taken where a run states none. Common practice, no source.
constexpr double kUsualImpedance_ohm = 8;

/// The cables that an open gauge is chosen from, by cross-section: those of the run's series; else
/// those with plenum marks where the job says that a void moves air; else "awg" where the job is in
/// feet and "mm2" where it is metric, with the job's own cables of no series.
std::vector<const CableType*> gauge_row(const Job& job, const RunSpec& run);

/// What the run asks of its cable at a length.
trade::LoudspeakerNeed loudspeaker_need(const Job& job, const RunSpec& run, double length_m);

/// The choice for a length.
/// @param row   as gauge_row gives it, not empty
/// @param used  the cable that the plan holds, if it is to be kept and judged instead
GaugeChosen choose_cable(const Job& job, const RunSpec& run,
                         const std::vector<const CableType*>& row, double length_m,
                         const std::string& used = "");

/// "gauges": one row a run that left its gauge open.
Table gauge_table(const std::vector<GaugeChosen>& gauges);

}  // namespace roomloom
