#include "pipeline/choose_gauges.h"

#include <algorithm>

#include "base/units.h"

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

/// Cable that lies already is chosen no more, whatever would serve better.
bool is_chosen(const RunSpec& run) {
  const bool lies = run.installed || !run.takes_over.empty();
  return !run.open_cable.empty() && !(lies && run.cable != run.open_cable);
}

}  // namespace

bool any_open_gauge(const Job& job) {
  return std::any_of(job.runs.begin(), job.runs.end(), is_chosen);
}

void guess_gauges(Job& job, const Scene& scene) {
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  // Half of the way round: only a beginning, which the lengths found overrule.
  const Vec3 size = box.size();
  const double length = 0.25 * (size.x + size.y + size.z);
  for (RunSpec& run : job.runs) {
    if (!is_chosen(run)) continue;
    run.cable = choose_cable(job, run, gauge_row(job, run), length).cable;
  }
}

bool settle_gauges(PlannedRoom& planned, GaugeTrials& trials, bool may_shrink) {
  bool changed = false;
  for (RunSpec& run : planned.job.runs) {
    const RunRow* row = is_chosen(run) ? row_of(planned.takeoff, run.id) : nullptr;
    if (row == nullptr || !row->routed) continue;
    const auto cables = gauge_row(planned.job, run);
    const GaugeChosen best = choose_cable(planned.job, run, cables, row->cut_m);
    std::vector<GaugeTried>& tried = trials[run.id];
    const auto failed = [&](int index) {
      return std::any_of(tried.begin(), tried.end(), [&](const GaugeTried& one) {
        return one.cable == cables[static_cast<std::size_t>(index)]->id;
      });
    };
    const int now = place_in(cables, run.cable);
    int next = best.chosen;
    while (failed(next) && next + 1 < static_cast<int>(cables.size())) ++next;
    if (next == now || (next < now && !may_shrink)) continue;
    if (next > now) tried.push_back({run.cable, row->cut_m});
    run.cable = cables[static_cast<std::size_t>(next)]->id;
    changed = true;
  }
  return changed;
}

namespace {

/// A thinner cable that would serve over the way of the one chosen, but that itself was planned
/// with a way too long for it, is told by that way.
void tell_tried(const Job& job, const RunSpec& run, const std::vector<GaugeTried>& tried,
                GaugeChosen& one) {
  for (int i = 0; i < one.chosen; ++i) {
    GaugeOption& option = one.options[static_cast<std::size_t>(i)];
    const auto before = std::find_if(tried.rbegin(), tried.rend(), [&](const GaugeTried& other) {
      return other.cable == option.cable;
    });
    if (!option.satisfies || before == tried.rend()) continue;
    const CableType* cable = job.catalogue.cable(option.cable);
    option.loss = trade::loudspeaker_loss(cable->resistance_ohm_per_m,
                                          loudspeaker_need(job, run, before->length_m));
    option.satisfies = false;
    one.why += " With " + option.cable + " the way would be " +
               format_length(before->length_m, job.units, 2) + ", too long for it (" +
               format_number(100 * option.loss.share, 1) + " %).";
  }
}

}  // namespace

std::vector<GaugeChosen> gauges_of(const PlannedRoom& planned, const GaugeTrials& trials) {
  std::vector<GaugeChosen> all;
  for (const RunSpec& run : planned.job.runs) {
    const RunRow* row = is_chosen(run) ? row_of(planned.takeoff, run.id) : nullptr;
    if (row == nullptr || !row->routed) continue;
    all.push_back(
        choose_cable(planned.job, run, gauge_row(planned.job, run), row->cut_m, run.cable));
    if (const auto tried = trials.find(run.id); tried != trials.end())
      tell_tried(planned.job, run, tried->second, all.back());
  }
  return all;
}

}  // namespace roomloom
