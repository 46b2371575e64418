#include "pipeline/choose_gauges.h"

#include <algorithm>

namespace roomloom {
namespace {

/// Place of a cable in its row; -1 if it is not in it.
int place_in(const std::vector<const CableType*>& row, const std::string& cable) {
  const auto found =
      std::find_if(row.begin(), row.end(), [&](const CableType* one) { return one->id == cable; });
  return found == row.end() ? -1 : static_cast<int>(found - row.begin());
}

const RunRow* row_of(const Takeoff& takeoff, const std::string& run) {
  for (const RunRow& row : takeoff.runs)
    if (row.id == run) return &row;
  return nullptr;
}

}  // namespace

bool any_open_gauge(const Job& job) {
  return std::any_of(job.runs.begin(), job.runs.end(),
                     [](const RunSpec& run) { return !run.open_cable.empty(); });
}

void guess_gauges(Job& job, const Scene& scene) {
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  // Half of the way round: too short rather than too long, since gauges grow but do not shrink.
  const Vec3 size = box.size();
  const double length = 0.25 * (size.x + size.y + size.z);
  for (RunSpec& run : job.runs) {
    if (run.open_cable.empty() || !run.takes_over.empty()) continue;
    run.cable = choose_cable(job, run, gauge_row(job, run), length).cable;
  }
}

bool grow_gauges(PlannedRoom& planned) {
  bool changed = false;
  for (RunSpec& run : planned.job.runs) {
    const RunRow* row = run.open_cable.empty() ? nullptr : row_of(planned.takeoff, run.id);
    if (row == nullptr || !row->routed) continue;
    const auto cables = gauge_row(planned.job, run);
    const GaugeChosen chosen = choose_cable(planned.job, run, cables, row->cut_m);
    if (chosen.chosen <= place_in(cables, run.cable)) continue;
    run.cable = chosen.cable;
    changed = true;
  }
  return changed;
}

std::vector<GaugeChosen> gauges_of(const PlannedRoom& planned) {
  std::vector<GaugeChosen> all;
  for (const RunSpec& run : planned.job.runs) {
    const RunRow* row = run.open_cable.empty() ? nullptr : row_of(planned.takeoff, run.id);
    if (row == nullptr || !row->routed) continue;
    all.push_back(
        choose_cable(planned.job, run, gauge_row(planned.job, run), row->cut_m, run.cable));
  }
  return all;
}

}  // namespace roomloom
