#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"
#include "trade/data_cable.h"
#include "trade/line_level.h"
#include "types/gauge_choice.h"

namespace roomloom::check {
namespace {

std::string percent(double share) { return format_number(100 * share, 1) + " %"; }

Vec3 far_end(const TradeCase& run) { return run.drawn->line.back(); }

double cut_m(const TradeCase& run) { return run.drawn->listed->cut_m; }

std::string limits_text(const trade::LoudspeakerNeed& need) {
  std::string text;
  const auto add = [&](const std::string& limit) { text += (text.empty() ? "" : ", ") + limit; };
  if (std::isfinite(need.share_limit)) add(percent(need.share_limit));
  if (need.loss_limit_db) add(format_number(*need.loss_limit_db, 2) + " dB");
  if (need.damping_least) add("damping " + format_number(*need.damping_least, 0));
  return text;
}

/// Runs of one cable into one impedance that lose too much.
using Lossy = std::vector<const TradeCase*>;

/// The longest, which loses most.
const TradeCase& worst_of(const Lossy& runs) {
  return **std::max_element(runs.begin(), runs.end(), [](const TradeCase* a, const TradeCase* b) {
    return cut_m(*a) < cut_m(*b);
  });
}

std::string loss_text(const TradeView& view, const Lossy& runs, const trade::LoudspeakerNeed& need,
                      const trade::CableLoss& loss) {
  const TradeCase& worst = worst_of(runs);
  const bool alone = runs.size() == 1;
  std::vector<std::string> names;
  for (const TradeCase* run : runs) names.push_back(run->drawn->id);
  std::string text = listed_runs(names) + (alone ? " loses " : " lose up to ") +
                     percent(loss.share) + " (" + format_number(loss.loss_db, 2) + " dB) of " +
                     format_number(need.impedance_ohm, 1) + " ohm" +
                     (worst.spec->impedance_ohm > 0 ? "" : ", which the job does not state,") +
                     " in " + (alone ? "" : "up to ") + view.length(need.length_m) + " of " +
                     worst.drawn->cable->id + " at " + format_number(need.celsius, 0) + " degrees";
  if (need.damping_least) text += ", damping is " + format_number(loss.damping, 0);
  return text + "; the limit is " + limits_text(need) + ".";
}

std::string larger_cable(const TradeView& view, const TradeCase& run) {
  RunSpec open = *run.spec;
  open.conductors = run.drawn->cable->conductors;
  open.series = run.drawn->cable->series;
  const auto row = gauge_row(view.job, open);
  if (row.empty()) return "Take a thicker cable, or a shorter way.";
  const GaugeChosen best = choose_cable(view.job, open, row, cut_m(run));
  if (!best.satisfied) return "No cable of its row is thick enough: shorten the way.";
  return "The smallest that serves is " + best.cable + ".";
}

/// Whether the plan says that a thinner cable was planned as well, over a longer way that makes too
/// large a loop of it.
bool was_tried(const TradeView& view, const TradeCase& run, const std::string& cable) {
  return std::any_of(view.plan.tried.begin(), view.plan.tried.end(), [&](const TradeTried& one) {
    trade::LoudspeakerNeed need = loudspeaker_need(view.job, *run.spec, 0.5);
    need.celsius = 20;  // the loop is said as warm as it is
    return one.run == run.drawn->id && one.cable == cable &&
           !trade::satisfies(trade::loudspeaker_loss(one.loop_ohm, need), need);
  });
}

/// The smallest of the row that serves over the run's length and that was not planned in vain.
std::string smallest(const TradeView& view, const TradeCase& run, const GaugeChosen& best) {
  for (const GaugeOption& option : best.options)
    if (option.satisfies && !was_tried(view, run, option.cable)) return option.cable;
  return best.cable;
}

/// The greatest share of the impedance that keeps every limit that is set.
double greatest_share(const trade::LoudspeakerNeed& need) {
  double share = need.share_limit;
  if (need.loss_limit_db) share = std::min(share, std::pow(10, *need.loss_limit_db / 20) - 1);
  if (need.damping_least)
    share = std::min(share, 1 / *need.damping_least - need.amplifier_ohm / need.impedance_ohm);
  return share;
}

/// " Of speaker 2x0.75 5.12 m would do.": how long the run may be as it is; nothing where the
/// amplifier alone is beyond the damping.
std::string own_reach(const TradeView& view, const TradeCase& run,
                      const trade::LoudspeakerNeed& need) {
  const double share = greatest_share(need);
  if (share <= 0) return "";
  const CableType& cable = *run.drawn->cable;
  return " Of " + cable.id + " " +
         view.length(trade::longest_run_m(cable.resistance_ohm_per_m, need.impedance_ohm, share,
                                          need.celsius)) +
         " would do.";
}

bool begins_with(const std::string& port, const std::string& word) {
  const std::size_t dot = port.rfind('.');
  return dot != std::string::npos && port.compare(dot + 1, word.size(), word) == 0;
}

}  // namespace

namespace {

void tell_loss(const TradeView& view, const Lossy& runs, Findings& findings) {
  const TradeCase& worst = worst_of(runs);
  const CableType& cable = *worst.drawn->cable;
  const trade::LoudspeakerNeed need = loudspeaker_need(view.job, *worst.spec, cut_m(worst));
  const trade::CableLoss loss = trade::loudspeaker_loss(cable.resistance_ohm_per_m, need);
  tell(findings, "loudspeaker-loss", Level::should, worst.drawn->id,
       loss_text(view, runs, need, loss), far_end(worst),
       larger_cable(view, worst) + own_reach(view, worst, need),
       {percent(loss.share) + ", " + format_number(loss.loss_db, 2) + " dB, damping " +
            format_number(std::min(loss.damping, 9999.0), 0),
        limits_text(need)});
}

}  // namespace

void check_loudspeaker_loss(const TradeView& view, Findings& findings) {
  std::map<std::string, Lossy> by_kind;
  for (const TradeCase& run : view.runs) {
    const CableType& cable = *run.drawn->cable;
    if (cable.service != Service::loudspeaker || cable.resistance_ohm_per_m <= 0) continue;
    const trade::LoudspeakerNeed need = loudspeaker_need(view.job, *run.spec, cut_m(run));
    if (trade::satisfies(trade::loudspeaker_loss(cable.resistance_ohm_per_m, need), need)) continue;
    const bool stated = run.spec->impedance_ohm > 0;
    by_kind[cable.id + " into " + std::to_string(need.impedance_ohm) + " of " +
            std::to_string(need.amplifier_ohm) + ", " + limits_text(need) +
            (stated ? ", stated" : "")]
        .push_back(&run);
  }
  for (const auto& [kind, runs] : by_kind) tell_loss(view, runs, findings);
}

namespace {

/// Cable that lies already was chosen once: only one that does not serve any more is told.
void check_lying_gauge(const TradeView& view, const TradeCase& run, Findings& findings) {
  const CableType& cable = *run.drawn->cable;
  const trade::LoudspeakerNeed need = loudspeaker_need(view.job, *run.spec, cut_m(run));
  if (trade::satisfies(trade::loudspeaker_loss(cable.resistance_ohm_per_m, need), need)) return;
  const GaugeChosen best =
      choose_cable(view.job, *run.spec, gauge_row(view.job, *run.spec), cut_m(run));
  tell(findings, "gauge-choice", Level::should, run.drawn->id,
       "Run " + run.drawn->id + " lies already and is of " + cable.id + "; over its length " +
           (best.satisfied ? best.cable + " is the smallest that serves."
                           : "no cable of the row serves."),
       far_end(run),
       "Pull another in its place, or allow more: \"loss\", \"loss_db\", \"damping\".",
       {cable.id, best.satisfied ? best.cable : "none serves"});
}

}  // namespace

void check_gauge_choice(const TradeView& view, Findings& findings) {
  for (const TradeCase& run : view.runs) {
    if (run.spec->open_cable.empty()) continue;
    if (run.spec->installed || !run.drawn->listed->takes_over.empty()) {
      check_lying_gauge(view, run, findings);
      continue;
    }
    const auto row = gauge_row(view.job, *run.spec);
    const std::string& used = run.drawn->listed->cable;
    const bool known =
        std::any_of(row.begin(), row.end(), [&](const CableType* one) { return one->id == used; });
    if (!known) {
      tell(findings, "gauge-choice", Level::must, run.drawn->id,
           "Run " + run.drawn->id + " is of " + used +
               ", which is none of the cables that the job lets it be chosen from.",
           far_end(run), "Route again.");
      continue;
    }
    const GaugeChosen best = choose_cable(view.job, *run.spec, row, cut_m(run));
    const std::string wanted = smallest(view, run, best);
    if (wanted == used || !best.satisfied) continue;
    const GaugeChosen now = choose_cable(view.job, *run.spec, row, cut_m(run), used);
    tell(findings, "gauge-choice", now.satisfied ? Level::note : Level::must, run.drawn->id,
         "Run " + run.drawn->id + " is of " + used + "; over its length " + wanted +
             " is the smallest that serves.",
         far_end(run), "Name that cable in the job, or route again.", {used, wanted});
  }
}

void check_line_roll_off(const TradeView& view, Findings& findings) {
  for (const TradeCase& run : view.runs) {
    const CableType& cable = *run.drawn->cable;
    if (cable.service != Service::line_level || cable.capacitance_f_per_m <= 0) continue;
    const double ohm = run.spec->source_ohm > 0 ? run.spec->source_ohm : trade::kLineSourceOhm;
    const double farad = cable.capacitance_f_per_m * cut_m(run);
    const double loss = trade::roll_off_db(ohm, farad, trade::kRollOffHz);
    if (loss <= trade::kRollOffDb) continue;
    tell(findings, "line-roll-off", Level::should, run.drawn->id,
         "Run " + run.drawn->id + " takes " + format_number(loss, 1) + " dB off 20 kHz: " +
             format_number(1e12 * farad, 0) + " pF behind " + format_number(ohm, 0) + " ohm" +
             (run.spec->source_ohm > 0 ? "" : " (assumed)") + "; the limit is 1 dB.",
         far_end(run),
         "Drive it from a lower impedance, take a cable of less capacitance, or a way below " +
             view.length(trade::greatest_capacitance_f(ohm, trade::kRollOffDb, trade::kRollOffHz) /
                         cable.capacitance_f_per_m) +
             ".",
         {format_number(loss, 1) + " dB", format_number(trade::kRollOffDb, 0) + " dB"});
  }
}

namespace {

/// What the run must carry, if it is of passive picture cable and too long for that.
const trade::PictureMode* too_long_for_picture(const TradeCase& run) {
  const trade::PictureMode* mode = trade::picture_mode(run.spec->picture);
  const CableType& cable = *run.drawn->cable;
  const bool passive = cable.service == Service::picture && cable.build == "passive";
  return mode != nullptr && passive && cut_m(run) > mode->passive_m ? mode : nullptr;
}

bool too_slow_for_picture(const CableType& cable, const trade::PictureMode& mode) {
  return cable.rate_gbps > 0 && cable.rate_gbps < mode.gbps;
}

bool is_beyond(double length_m, double limit_m) { return limit_m > 0 && length_m > limit_m + 1e-9; }

}  // namespace

void check_cable_length(const TradeView& view, Findings& findings) {
  std::map<const CableType*, Gathered> by_type;
  for (const TradeCase& run : view.runs) {
    const CableType& cable = *run.drawn->cable;
    if (cable.greatest_length_m <= 0) continue;
    // The 90 m of every network cable are the link's, which is judged with its cords.
    if (cable.service == Service::network && cable.greatest_length_m >= trade::kLinkGreatest_m)
      continue;
    if (!is_beyond(cut_m(run), cable.greatest_length_m)) continue;
    // Where the picture asks for no longer a cable than the type, the picture tells it.
    if (const auto* mode = too_long_for_picture(run); mode != nullptr &&
                                                      mode->passive_m <= cable.greatest_length_m &&
                                                      !too_slow_for_picture(cable, *mode))
      continue;
    by_type[&cable].add(run.drawn->id, cut_m(run), far_end(run));
  }
  for (const CableType& cable : view.job.catalogue.cables) {
    const auto found = by_type.find(&cable);
    if (found == by_type.end()) continue;
    const Gathered& runs = found->second;
    const std::string figure = view.length(runs.worst);
    const std::string limit = view.length(cable.greatest_length_m);
    tell(findings, "cable-length", Level::should, runs.names.front(),
         listed_runs(runs.names) + (runs.names.size() == 1 ? " is " : " are up to ") + figure +
             " of " + cable.id + ", which serves to " + limit + ".",
         runs.where, "Take a type that serves farther (balanced, active, optical).",
         {figure, limit});
    findings.items.back().source = figure_source(cable, "greatest_length");
  }
}

void check_piece_length(const TradeView& view, Findings& findings) {
  for (const TradeCase& run : view.runs) {
    const CableType& cable = *run.drawn->cable;
    if (run.spec->installed || !run.drawn->listed->takes_over.empty()) continue;
    double longest = 0;
    bool sold = false;  // what the job says is sold stands for what the catalogue says
    for (const SpoolSpec& spool : view.job.spools) {
      if (spool.cable != cable.id) continue;
      longest = std::max(longest, spool.length_m);
      sold = sold || !spool.on_shelf;
    }
    if (!sold)
      for (const double length : cable.put_ups_m) longest = std::max(longest, length);
    if (longest <= 0 || cut_m(run) <= longest + 1e-9) continue;
    tell(findings, "piece-length", Level::must, run.drawn->id,
         "Run " + run.drawn->id + " is cut " + view.length(cut_m(run)) +
             " long; the longest piece of " + cable.id + " is " + view.length(longest) +
             ". It is planned all the same, and none is bought for it.",
         far_end(run),
         is_beyond(cut_m(run), cable.greatest_length_m) || too_long_for_picture(run) != nullptr
             ? "Choose another cable: of this one no longer piece would serve."
             : "Choose another cable, or add a longer spool under \"stock\".",
         {view.length(cut_m(run)), view.length(longest)});
    findings.items.back().source =
        sold ? "the job's \"stock\"" : "lengths as sold: " + figure_source(cable, "put_ups");
  }
}

void check_network_link(const TradeView& view, Findings& findings) {
  for (const TradeCase& run : view.runs) {
    if (run.drawn->cable->service != Service::network) continue;
    const double link = cut_m(run);
    const double cords = run.spec->cords_m.value_or(trade::kCordsUsual_m);
    const bool channel = link + cords > trade::kChannelGreatest_m + 1e-9;
    if (link <= trade::kLinkGreatest_m && !channel) continue;
    tell(findings, "network-link", Level::must, run.drawn->id,
         "Run " + run.drawn->id + " is a link of " + view.length(link) + " and cords of " +
             view.length(cords) + view.told("; 90 m and both together 100 m are the limits."),
         far_end(run), "Put a switch on the way, or fibre.",
         {view.length(link) + ", " + view.length(link + cords) + " with cords",
          view.length(trade::kLinkGreatest_m) + ", " + view.length(trade::kChannelGreatest_m)});
  }
}

void check_picture_rate(const TradeView& view, Findings& findings) {
  for (const TradeCase& run : view.runs) {
    const trade::PictureMode* mode = trade::picture_mode(run.spec->picture);
    const CableType& cable = *run.drawn->cable;
    if (mode == nullptr || cable.service != Service::picture) continue;
    const std::string what = "Run " + run.drawn->id + " must carry " + std::string(mode->name);
    if (too_slow_for_picture(cable, *mode)) {
      tell(findings, "picture-rate", Level::must, run.drawn->id,
           what + ", " + format_number(mode->gbps, 1) + " Gb/s; " + cable.id + " carries " +
               format_number(cable.rate_gbps, 1) + ".",
           far_end(run), "Take a cable of that rate.",
           {format_number(cable.rate_gbps, 1) + " Gb/s", format_number(mode->gbps, 1) + " Gb/s"});
    } else if (too_long_for_picture(run) != nullptr) {
      tell(findings, "picture-rate", Level::should, run.drawn->id,
           what + " over " + view.length(cut_m(run)) + " of passive cable; practice is at most " +
               view.length(mode->passive_m) + ".",
           far_end(run), "Take an active or optical cable, and mind its direction.",
           {view.length(cut_m(run)), view.length(mode->passive_m)});
    }
  }
}

void check_signal_direction(const TradeView& view, Findings& findings) {
  for (const TradeCase& run : view.runs) {
    if (!run.drawn->cable->directional) continue;
    const std::string& source =
        run.spec->signal_from_to ? run.drawn->listed->to : run.drawn->listed->from;
    const std::string& sink =
        run.spec->signal_from_to ? run.drawn->listed->from : run.drawn->listed->to;
    if (!begins_with(source, "in") && !begins_with(sink, "out")) continue;
    tell(findings, "signal-direction", Level::must, run.drawn->id,
         "Run " + run.drawn->id + " of " + run.drawn->cable->id + " would send from " + source +
             " to " + sink + ": by their names the signal goes the other way.",
         run.drawn->line.front(),
         "Turn the run round, or say \"signal_from\": \"" +
             std::string(run.spec->signal_from_to ? "from" : "to") +
             "\"; the sending end of the cable goes to the source.",
         {"sends from " + source, "sends from " + sink});
  }
}

}  // namespace roomloom::check
