#include <algorithm>
#include <cmath>

#include "takeoff/built.h"
#include "takeoff/cells.h"

// What measured lengths say of predicted ones.

namespace roomloom {
namespace {

constexpr int kFewest = 5;             // runs from which a suggestion is made
constexpr double kLeastEach_m = 0.05;  // less is the tape's
// Student's t for 1 in 20 outside at 3 degrees of freedom, those of five runs; from memory.
constexpr double kStudent = 3.18;
// Standard deviations of the normal distribution that leave 1 in 50 above.
constexpr double kOneInFifty = 2.05;

// What can hardly be is a slip of the pen or a wrong unit. Common practice, no source.
constexpr double kLeastOfDrawn = 0.85, kMostOfPlanned = 1.5, kMostMore_m = 2;
// Beside the others: so many times the middle distance from their middle (which is 0.674 standard
// deviations of a normal distribution), and more than a tape and a loop explain.
constexpr double kFarOff = 6 / 0.674, kFarOff_m = 0.5, kFarOffShare = 0.15;

double more_m(const BuiltRun& run) { return run.measured_m - run.predicted_m; }

double share_of(const BuiltRun& run) {
  const double drawn = run.drawn_m > 0 ? run.drawn_m : run.predicted_m;
  return drawn > 0 ? more_m(run) / drawn : 0;
}

std::string percent(double share) { return format_number(100 * share, 1) + " %"; }

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

/// Runs whose length is known both ways, without those that can hardly be right.
struct Compared {
  std::vector<const BuiltRun*> runs;
  std::vector<std::string> odd;
};

Compared compared(const AsBuilt& built) {
  Compared all;
  std::vector<double> more, off;
  for (const BuiltRun& run : built.runs)
    if (run.predicted_m > 0) more.push_back(more_m(run));
  const double middle = median(more);
  for (const double one : more) off.push_back(std::fabs(one - middle));
  const double usual = median(off);
  for (const BuiltRun& run : built.runs) {
    if (run.predicted_m <= 0) continue;
    const double drawn = run.drawn_m > 0 ? run.drawn_m : run.predicted_m;
    const double far = std::max(kFarOff * usual, kFarOff_m + kFarOffShare * drawn);
    const bool beside_others =
        more.size() >= static_cast<std::size_t>(kFewest) && std::fabs(more_m(run) - middle) > far;
    const bool hardly =
        run.measured_m < kLeastOfDrawn * drawn ||
        run.measured_m > kMostOfPlanned * std::max(run.predicted_m, drawn) + kMostMore_m;
    if (hardly || beside_others)
      all.odd.push_back(run.id);
    else
      all.runs.push_back(&run);
  }
  return all;
}

/// difference = each + share * drawn by least squares over the runs, if `each` stands out from
/// what the runs scatter about it.
struct Line {
  double each_m = 0, share = 0, spread_m = 0;
  bool stands_out = false;
};

Line fitted_line(const std::vector<const BuiltRun*>& runs) {
  Line line;
  const auto n = static_cast<double>(runs.size());
  if (runs.size() < static_cast<std::size_t>(kFewest)) return line;
  double mean_drawn = 0, mean_more = 0, xx = 0, xy = 0, squares = 0;
  for (const BuiltRun* run : runs) {
    mean_drawn += run->drawn_m / n;
    mean_more += more_m(*run) / n;
  }
  for (const BuiltRun* run : runs) {
    const double x = run->drawn_m - mean_drawn;
    xx += x * x;
    xy += x * (more_m(*run) - mean_more);
  }
  if (xx < 1e-9) return line;
  line.share = xy / xx;
  line.each_m = mean_more - line.share * mean_drawn;
  for (const BuiltRun* run : runs)
    squares += std::pow(more_m(*run) - line.each_m - line.share * run->drawn_m, 2);
  line.spread_m = std::sqrt(squares / (n - 2));
  const double error_m = line.spread_m * std::sqrt(1 / n + mean_drawn * mean_drawn / xx);
  line.stands_out = std::fabs(line.each_m) > std::max(kLeastEach_m, kStudent * error_m);
  return line;
}

std::string odd_words(const std::vector<std::string>& odd) {
  if (odd.empty()) return "";
  return "Left out, since such a length can hardly be: " + listed(odd, ", ") +
         ". Record it again if that was a slip. ";
}

std::string advice(const LengthComparison& all, const Job& job) {
  const Preferences& now = job.prefer;
  const std::string odd = odd_words(all.odd);
  if (all.runs == 0) return odd;
  std::string text = odd + "Over " + std::to_string(all.runs) + (all.runs == 1 ? " run" : " runs") +
                     ", measured is " + percent(all.bias) +
                     " of drawn beyond predicted on average, spread " + percent(all.spread) + ". ";
  if (all.runs < kFewest)
    return text + "Too few to change the slack settings by; " + std::to_string(kFewest) +
           " are wanted.";
  if (all.each_m != 0) {
    const double loop = std::max(0.0, now.service_loop_start_m + all.allow_m);
    text += format_length(std::fabs(all.each_m), job.units, 2) +
            (all.each_m > 0 ? " more" : " less") +
            " is the same for short and long runs: with what they scatter by, set "
            "\"service_loop_start\" under \"prefer\" to " +
            format_length(loop, job.units, 2) + " instead of " +
            format_length(now.service_loop_start_m, job.units, 2) + ". ";
  }
  if (std::fabs(all.contingency - now.contingency) < 0.005)
    return text + "The contingency of " + percent(now.contingency) + " is right.";
  return text + "Set \"contingency\" under \"prefer\" to " + percent(all.contingency) +
         " instead of " + percent(now.contingency) +
         ": enough for 49 runs in 50, if others are alike.";
}

/// A ready-made lead is as long as it is sold: it says nothing of what was predicted.
bool is_lead(const BuiltRun& run, const Job& job) {
  const CableType* cable = job.catalogue.cable(run.cable);
  return cable != nullptr && cable->head_width_m > 0;
}

}  // namespace

LengthComparison compare_lengths(const AsBuilt& built, double contingency_now) {
  LengthComparison all;
  Compared known = compared(built);
  all.odd = std::move(known.odd);
  all.runs = static_cast<int>(known.runs.size());
  if (all.runs == 0) return all;
  for (const BuiltRun* run : known.runs) all.bias += share_of(*run) / all.runs;
  for (const BuiltRun* run : known.runs) all.spread += std::pow(share_of(*run) - all.bias, 2);
  all.spread = all.runs > 1 ? std::sqrt(all.spread / (all.runs - 1)) : 0;
  all.contingency = std::max(0.0, contingency_now + all.bias + kOneInFifty * all.spread);
  std::erase_if(known.runs, [](const BuiltRun* run) { return run->drawn_m <= 0; });
  const Line line = fitted_line(known.runs);
  if (!line.stands_out) return all;
  // What runs scatter by whatever their length is wanted by the short ones too.
  all.each_m = line.each_m;
  all.allow_m = line.each_m + kOneInFifty * line.spread_m;
  all.contingency = std::max(0.0, contingency_now + line.share);
  return all;
}

Table built_table(const Job& job) {
  AsBuilt cut = job.as_built;
  std::erase_if(cut.runs, [&](const BuiltRun& run) { return is_lead(run, job); });
  const LengthComparison all = compare_lengths(cut, job.prefer.contingency);
  Table table{"as_built",
              "As built: predicted against measured",
              advice(all, job),
              {{"run", "Run"},
               {"predicted_m", "Predicted", ColumnKind::length},
               {"measured_m", "Measured", ColumnKind::length},
               {"difference_m", "Difference", ColumnKind::length},
               {"share_percent", "Of drawn, %", ColumnKind::number},
               {"note", "Note"}},
              {}};
  for (const BuiltRun& run : job.as_built.runs) {
    const bool known = run.predicted_m > 0 && !is_lead(run, job);
    const bool odd = std::find(all.odd.begin(), all.odd.end(), run.id) != all.odd.end();
    table.rows.push_back({run.id, known ? Cell{run.predicted_m} : Cell{}, run.measured_m,
                          known ? Cell{more_m(run)} : Cell{},
                          known ? Cell{100 * share_of(run)} : Cell{},
                          std::string(known && odd ? "a slip? Left out below" : "")});
  }
  if (all.runs == 0) return table;
  const std::string of = std::to_string(all.runs) + (all.runs == 1 ? " run" : " runs");
  table.rows.push_back({"Mean of " + of, Cell{}, Cell{}, Cell{}, 100 * all.bias, table.note});
  if (all.runs > 1)
    table.rows.push_back(
        {"Spread of " + of, Cell{}, Cell{}, Cell{}, 100 * all.spread, std::string()});
  return table;
}

}  // namespace roomloom
