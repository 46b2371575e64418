#include "types/gauge_choice.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "trade/jackets.h"

namespace roomloom {
namespace {

bool marked_for_air(const CableType& cable) {
  return std::any_of(
      cable.jacket_marks.begin(), cable.jacket_marks.end(), [&](const std::string& text) {
        const auto mark = trade::jacket_mark(text);
        return mark &&
               trade::jacket_suffices(*mark, trade::JacketSpace::air_void, cable.diameter_m);
      });
}

bool moves_air(const Job& job) {
  return std::any_of(job.parts.begin(), job.parts.end(),
                     [](const PartRule& rule) { return rule.handles_air == HandlesAir::yes; });
}

std::string percent(double share) { return format_number(100 * share, 1) + " %"; }

std::string figures(const trade::CableLoss& loss) {
  return percent(loss.share) + ", " + format_number(loss.loss_db, 2) + " dB, damping " +
         format_number(std::min(loss.damping, 9999.0), 0);
}

std::string limits(const trade::LoudspeakerNeed& need) {
  std::string text;
  const auto add = [&](const std::string& limit) { text += (text.empty() ? "" : ", ") + limit; };
  if (std::isfinite(need.share_limit)) add(percent(need.share_limit));
  if (need.loss_limit_db) add(format_number(*need.loss_limit_db, 2) + " dB");
  if (need.damping_least) add("damping " + format_number(*need.damping_least, 0) + " at least");
  return text;
}

std::string neighbour(const GaugeChosen& all, int index, const char* which) {
  if (index < 0 || index >= static_cast<int>(all.options.size())) {
    return std::string("There is no size ") + which + " in its row.";
  }
  const GaugeOption& option = all.options[static_cast<std::size_t>(index)];
  return std::string("One size ") + which + ", " + option.cable + ": " + figures(option.loss) +
         (option.satisfies ? "." : ", beyond the limit.");
}

std::string why_text(const Job& job, const GaugeChosen& all, const trade::LoudspeakerNeed& need) {
  const GaugeOption& option = all.options[static_cast<std::size_t>(all.chosen)];
  std::string text = format_length(all.length_m, job.units, 2) + " into " +
                     format_number(all.impedance_ohm, 1) + " ohm" +
                     (all.impedance_assumed ? " (assumed: the run states none)" : "") + ": " +
                     figures(option.loss);
  if (need.power_w > 0) text += ", " + format_number(option.loss.lost_w, 1) + " W lost";
  const bool smallest =
      all.chosen == 0 || !all.options[static_cast<std::size_t>(all.chosen - 1)].satisfies;
  text += !all.satisfied ? "; none of its row keeps "
          : smallest     ? "; the smallest that keeps "
                         : "; it keeps ";
  return text + limits(need) + ". " + neighbour(all, all.chosen - 1, "down") + " " +
         neighbour(all, all.chosen + 1, "up");
}

}  // namespace

std::vector<const CableType*> gauge_row(const Job& job, const RunSpec& run) {
  std::vector<const CableType*> all, marked;
  for (const CableType& cable : job.catalogue.cables) {
    if (cable.service != Service::loudspeaker || cable.conductors != run.conductors) continue;
    if (cable.resistance_ohm_per_m <= 0) continue;
    if (!run.series.empty() && cable.series != run.series) continue;
    if (marked_for_air(cable)) marked.push_back(&cable);
    const char* row = job.units == DisplayUnits::metric ? "mm2" : "awg";
    if (!run.series.empty() || cable.series == row || cable.series.empty()) all.push_back(&cable);
  }
  std::vector<const CableType*> row =
      run.series.empty() && moves_air(job) && !marked.empty() ? marked : all;
  std::stable_sort(row.begin(), row.end(), [](const CableType* a, const CableType* b) {
    return a->resistance_ohm_per_m > b->resistance_ohm_per_m;
  });
  return row;
}

trade::LoudspeakerNeed loudspeaker_need(const Job& job, const RunSpec& run, double length_m) {
  trade::LoudspeakerNeed need;
  need.length_m = length_m;
  need.impedance_ohm = run.impedance_ohm > 0 ? run.impedance_ohm : kUsualImpedance_ohm;
  need.power_w = run.power_w;
  if (run.amplifier_damping > 0) need.amplifier_ohm = need.impedance_ohm / run.amplifier_damping;
  need.celsius = job.prefer.temperature_c;
  need.share_limit = run.loss_limit;
  need.loss_limit_db = run.loss_limit_db;
  need.damping_least = run.damping_least;
  return need;
}

GaugeChosen choose_cable(const Job& job, const RunSpec& run,
                         const std::vector<const CableType*>& row, double length_m,
                         const std::string& used) {
  const trade::LoudspeakerNeed need = loudspeaker_need(job, run, length_m);
  std::vector<double> ohms;
  for (const CableType* cable : row) ohms.push_back(cable->resistance_ohm_per_m);
  const trade::GaugeChoice choice = trade::choose_gauge(ohms, need);
  GaugeChosen chosen;
  chosen.run = run.id;
  chosen.length_m = length_m;
  chosen.impedance_ohm = need.impedance_ohm;
  chosen.impedance_assumed = run.impedance_ohm <= 0;
  chosen.satisfied = choice.satisfied;
  chosen.chosen = choice.chosen;
  for (std::size_t i = 0; i < row.size(); ++i) {
    const bool satisfies = trade::satisfies(choice.losses[i], need);
    if (row[i]->id == used) {
      chosen.chosen = static_cast<int>(i);
      chosen.satisfied = satisfies;
    }
    chosen.options.push_back({row[i]->id, choice.losses[i], satisfies});
  }
  chosen.cable = row[static_cast<std::size_t>(chosen.chosen)]->id;
  chosen.why = why_text(job, chosen, need);
  if (moves_air(job) && !marked_for_air(*row[static_cast<std::size_t>(chosen.chosen)]))
    chosen.why +=
        " It is not marked for a void that moves air, nor is any that it was chosen from.";
  return chosen;
}

Table gauge_table(const std::vector<GaugeChosen>& gauges) {
  Table table;
  table.id = "gauges";
  table.title = "Gauges chosen";
  table.note =
      "Runs that left their gauge open, over their cut length: the smallest cable of the "
      "row that keeps the limits.";
  table.columns = {{"run", "Run", ColumnKind::text},
                   {"cable", "Cable", ColumnKind::text},
                   {"length", "Cut length", ColumnKind::length},
                   {"impedance_ohm", "Impedance (ohm)", ColumnKind::number},
                   {"loop_ohm", "Loop (ohm)", ColumnKind::number},
                   {"share_percent", "Of the impedance (%)", ColumnKind::number},
                   {"loss_db", "Loss (dB)", ColumnKind::number},
                   {"damping", "Damping", ColumnKind::number},
                   {"satisfied", "Limits kept", ColumnKind::tick},
                   {"why", "Why", ColumnKind::text}};
  for (const GaugeChosen& one : gauges) {
    const trade::CableLoss& loss = one.options[static_cast<std::size_t>(one.chosen)].loss;
    table.rows.push_back({one.run, one.cable, one.length_m, one.impedance_ohm, loss.loop_ohm,
                          100 * loss.share, loss.loss_db, loss.damping, one.satisfied ? 1.0 : 0.0,
                          one.why});
  }
  return table;
}

}  // namespace roomloom
