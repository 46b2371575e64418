#include <algorithm>
#include <bit>
#include <cmath>
#include <functional>
#include <optional>

#include "base/files.h"
#include "interview/assumptions.h"
#include "sketch/sketch.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

struct Span {
  double low = 1e300, high = 0;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
};

std::string told(const Span& span, DisplayUnits units) {
  const std::string low = format_length(span.low, units, 1),
                    high = format_length(span.high, units, 1);
  return low == high ? low : low + " to " + high;
}

/// Up to so many unknowns every combination of their ends is planned.
constexpr std::size_t kAllTogether = 5;

/// The middle; each unknown at its ends with the others in the middle; then ends together. Beyond
/// kAllTogether an orthogonal array of strength 2: any two unknowns meet in all four combinations
/// of their ends (columns of a Sylvester-Hadamard matrix; A. S. Hedayat, N. J. A. Sloane and J.
/// Stufken, Orthogonal Arrays, Springer 1999, chapter 7, named from memory).
std::vector<Assumed> first_cases(const std::vector<Question>& unknown) {
  std::vector<Assumed> all = {{}};
  for (const Question& question : unknown)
    for (const double end : {0.0, 1.0}) all.push_back({{question.key, end}});
  if (unknown.size() < 2) return all;
  const bool full = unknown.size() <= kAllTogether;
  const std::size_t rows =
      full ? std::size_t{1} << unknown.size() : std::bit_ceil(unknown.size() + 1);
  for (std::size_t row = 0; row < rows; ++row) {
    Assumed assumed;
    for (std::size_t i = 0; i < unknown.size(); ++i) {
      const std::size_t column = full ? std::size_t{1} << i : i + 1;
      assumed[unknown[i].key] = std::popcount(row & column) % 2;
    }
    all.push_back(assumed);
  }
  return all;
}

struct Tried {
  Assumed assumed;
  Job job;
  Takeoff takeoff;
  double cut_m = 0;
};

Result<Tried> try_case(const Answers& answers, const Assumed& assumed, const fs::path& folder,
                       const PlanOptions& options, const HouseHabits& habits) {
  const auto composed = compose(answers, assumed, habits);
  if (!composed) return composed.error();
  const auto sketch = parse_sketch(composed->room_json, "room.json");
  if (!sketch) return sketch.error();
  const auto solids = build_sketch(*sketch);
  if (!solids) return solids.error();
  if (const Status model = write_solids(*solids, folder / "room.glb"); !model) return model.error();
  if (const Status job = write_file(folder / "job.json", composed->job_json); !job)
    return job.error();
  auto planned = plan_job(folder / "job.json", options);
  if (!planned) return planned.error();
  return Tried{assumed, std::move(planned->job), planned->takeoff, planned->takeoff.cut_m};
}

bool varies_only(const Assumed& assumed, const std::string& key) {
  return assumed.size() == 1 && assumed.begin()->first == key;
}

/// All unknowns at the ends that by themselves lengthen the whole most, and that shorten it most.
std::vector<Assumed> furthest_cases(const std::vector<Question>& unknown,
                                    const std::vector<Tried>& tried) {
  if (unknown.size() <= kAllTogether) return {};
  Assumed most, least;
  for (const Question& question : unknown) {
    double high = 0, low = 0;
    for (const Tried& one : tried)
      if (varies_only(one.assumed, question.key))
        (one.assumed.begin()->second > 0.5 ? high : low) = one.cut_m;
    most[question.key] = high > low ? 1 : 0;
    least[question.key] = high > low ? 0 : 1;
  }
  return {most, least};
}

/// A figure of one case; nothing where it cannot be compared with the others.
using Figure = std::function<std::optional<double>(const Tried&)>;

/// How a figure lies over the cases that were planned, and where the effects of each unknown by
/// itself, added up, would take it: those of several together may go further than any case.
Span span_of(const std::vector<Tried>& tried, const std::vector<Question>& unknown,
             const Figure& figure) {
  Span all;
  for (const Tried& one : tried)
    if (const auto value = figure(one)) all.take(*value);
  const auto middle = figure(tried.front());
  if (!middle) return all;
  double down = 0, up = 0;
  for (const Question& question : unknown) {
    Span alone;
    alone.take(*middle);
    for (const Tried& one : tried)
      if (const auto value = figure(one); value && varies_only(one.assumed, question.key))
        alone.take(*value);
    down += *middle - alone.low;
    up += alone.high - *middle;
  }
  all.take(std::max(0.0, *middle - down));
  all.take(*middle + up);
  return all;
}

/// What was planned: the middle first.
struct Cases {
  std::vector<Question> unknown;
  std::vector<Tried> tried;
  std::size_t failed = 0;
  std::string why;  ///< the first of those that could not be planned
};

std::string run_text(const Cases& cases, std::size_t run, DisplayUnits units) {
  std::size_t blocked = 0;
  std::string why;
  for (const Tried& one : cases.tried) {
    const RunRow& row = one.takeoff.runs[run];
    if (row.routed) continue;
    if (blocked++ == 0) why = row.blocked_by;
  }
  if (blocked == cases.tried.size()) return "no way: " + why;
  const Span span = span_of(cases.tried, cases.unknown, [&](const Tried& one) {
    const RunRow& row = one.takeoff.runs[run];
    return row.routed ? std::optional(row.cut_m) : std::nullopt;
  });
  std::string text = told(span, units);
  if (blocked > 0)
    text += "; no way in " + std::to_string(blocked) + " of " + std::to_string(cases.tried.size()) +
            " rooms: " + why;
  return text;
}

std::string runs_text(const Cases& cases, DisplayUnits units) {
  std::string text;
  const std::vector<RunRow>& rows = cases.tried.front().takeoff.runs;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    std::string name = rows[i].id + "  rack to " + rows[i].to;
    name.resize(std::max<std::size_t>(name.size(), 34), ' ');
    text += "  " + name + " " + run_text(cases, i, units) + "\n";
  }
  return text;
}

/// Whether as many runs found a way as in any case: else its totals are of less than the whole.
bool whole(const Cases& cases, const Tried& one) {
  const auto routed = [](const Tried& of) {
    return std::count_if(of.takeoff.runs.begin(), of.takeoff.runs.end(),
                         [](const RunRow& row) { return row.routed; });
  };
  return std::all_of(cases.tried.begin(), cases.tried.end(),
                     [&](const Tried& other) { return routed(other) <= routed(one); });
}

std::optional<double> metres_of(const Cases& cases, const Tried& one, const std::string& cable) {
  if (!whole(cases, one)) return std::nullopt;
  double metres = 0;
  for (const CableTotal& total : one.takeoff.totals)
    if (total.cable == cable) metres += total.cut_m;
  return metres;
}

/// One cable over all cases, its colours together: what lies on the shelf serves each of them.
struct CableNeed {
  Span metres;
  std::size_t enough = 0;        ///< cases in which nothing needs to be bought
  int least = 1000, spools = 0;  ///< least and most in any case
  double put_up_m = 0;
  bool leads = false;  ///< made up and fitted; they are not cut
};

CableNeed need_of(const Cases& cases, const std::string& cable) {
  CableNeed need;
  need.metres = span_of(cases.tried, cases.unknown,
                        [&](const Tried& one) { return metres_of(cases, one, cable); });
  for (const Tried& one : cases.tried) {
    int spools = 0;
    bool enough = true;
    for (const CableTotal& total : one.takeoff.totals) {
      if (total.cable != cable) continue;
      spools += total.spools;
      enough = enough && total.shelf_enough;
      need.put_up_m = std::max(need.put_up_m, total.put_up_m);
    }
    need.least = std::min(need.least, spools);
    need.spools = std::max(need.spools, spools);
    need.enough += enough;
    for (const RunRow& row : one.takeoff.runs)
      need.leads = need.leads || (row.cable == cable && row.lead_m > 0);
  }
  return need;
}

double on_the_shelf(const Job& job, const std::string& cable) {
  double metres = 0;
  for (const SpoolSpec& spool : job.spools)
    if (spool.on_shelf && spool.cable == cable) metres += spool.count * spool.length_m;
  return metres;
}

std::string cable_text(const Cases& cases, const std::string& cable, DisplayUnits units) {
  const CableNeed need = need_of(cases, cable);
  const double shelf = on_the_shelf(cases.tried.front().job, cable);
  std::string text = "  " + cable + ": " + told(need.metres, units);
  if (shelf <= 0) {
    if (need.spools > 0 && need.put_up_m > 0)
      text += "; buy " +
              (need.least < need.spools ? std::to_string(need.least) + " to " : std::string()) +
              std::to_string(need.spools) + (need.leads ? " lead" : " spool") +
              (need.spools == 1 ? "" : "s") + " of up to " + format_length(need.put_up_m, units, 0);
    return text + ".\n";
  }
  text += "; on the shelf " + format_length(shelf, units, 1) + ": ";
  if (need.enough == 0) return text + "not enough.\n";
  if (need.enough == cases.tried.size() && need.metres.high <= shelf)
    return text + "enough, no run spliced.\n";
  return text + "it depends on what is not known.\n";
}

std::string totals_text(const Cases& cases, DisplayUnits units) {
  std::string text;
  std::vector<std::string> seen;
  for (const Tried& one : cases.tried) {
    for (const CableTotal& total : one.takeoff.totals) {
      if (std::find(seen.begin(), seen.end(), total.cable) != seen.end()) continue;
      seen.push_back(total.cable);
      text += cable_text(cases, total.cable, units);
    }
  }
  return text;
}

/// The unknown whose ends lie furthest apart in metres of cable.
std::string narrowing_text(const Cases& cases, DisplayUnits units) {
  std::string text;
  double most = 0;
  for (const Question& question : cases.unknown) {
    Span span;
    for (const Tried& one : cases.tried)
      if (varies_only(one.assumed, question.key) && whole(cases, one)) span.take(one.cut_m);
    const double decides = std::max(0.0, span.high - span.low);
    if (decides <= most) continue;
    most = decides;
    text = "What would narrow it most: " + question.text + " " + question.hint +
           (question.hint.empty() ? "It" : " It") + " decides " + format_length(decides, units, 1) +
           " of cable.\n";
  }
  return text.empty() ? "What is not known makes no difference here.\n" : text;
}

std::string covers_text(const Cases& cases) {
  std::string text = "For these, " + std::to_string(cases.tried.size()) +
                     " rooms were planned: the middle, each at either end, and ";
  text += cases.unknown.size() <= kAllTogether
              ? "every combination of ends"
              : "each two of them at every combination of their ends, and all where they take most "
                "and least together";
  text +=
      ". The ranges of length hold all of these, and what the single effects add up to. They are "
      "no "
      "proof for what lies between the ends, nor beyond them.\n";
  if (cases.failed > 0)
    text += std::to_string(cases.failed) +
            " more could not be planned and are left out; the first: " + cases.why + "\n";
  return text;
}

Result<Cases> plan_cases(const Answers& answers, const fs::path& folder, const PlanOptions& options,
                         const HouseHabits& habits) {
  Cases cases;
  cases.unknown = unknown_here(answers, habits);
  const auto take = [&](const Assumed& assumed) -> Status {
    auto one = try_case(answers, assumed, folder, options, habits);
    if (one && (cases.tried.empty() ||
                one->takeoff.runs.size() == cases.tried.front().takeoff.runs.size())) {
      cases.tried.push_back(std::move(*one));
      return Done{};
    }
    if (cases.tried.empty()) return one.error();
    if (cases.failed++ == 0 && !one) cases.why = to_text(one.error());
    return Done{};
  };
  for (const Assumed& assumed : first_cases(cases.unknown))
    if (const Status planned = take(assumed); !planned) return planned.error();
  for (const Assumed& assumed : furthest_cases(cases.unknown, cases.tried))
    if (const Status planned = take(assumed); !planned) return planned.error();
  return cases;
}

}  // namespace

Result<std::string> first_answer(const Answers& given, const fs::path& folder,
                                 const PlanOptions& options, const HouseHabits& habits) {
  std::error_code failed;
  fs::create_directories(folder, failed);
  const auto cases = plan_cases(given, folder, options, habits);
  fs::remove_all(folder, failed);
  if (!cases) return cases.error();
  if (cases->tried.front().takeoff.runs.empty())
    return std::string("Nothing is to be wired yet.\n");
  const DisplayUnits units = given.units();
  const Span all = span_of(cases->tried, cases->unknown, [&](const Tried& one) {
    return whole(*cases, one) ? std::optional(one.cut_m) : std::nullopt;
  });
  std::string text = "How long to cut, slack and bends included:\n" + runs_text(*cases, units) +
                     "\nIn all " + told(all, units) + " of cable:\n" + totals_text(*cases, units);
  text += assumptions_text(given, habits);
  if (!cases->unknown.empty()) text += "\n" + covers_text(*cases) + narrowing_text(*cases, units);
  return text;
}

}  // namespace roomloom
