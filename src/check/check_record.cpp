#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/drawn_runs.h"
#include "types/recorded_holes.h"

// What the record of what was built says of the plan's holes and runs: read from the job's own
// record, never from what the plan says of it.

namespace roomloom::check {
namespace {

std::vector<HoleToFind> planned_holes(const WrittenPlan& plan) {
  std::vector<HoleToFind> all;
  for (const ListedHole& hole : plan.holes)
    all.push_back({hole.crossing, hole.centre, hole.passed_at, hole.normal, hole.diameter_m});
  return all;
}

/// As people call it: "H10 in tile J4, 29.0 mm wide".
std::string hole_words(const RecordedHole& hole, DisplayUnits units) {
  std::string text = (hole.name.empty() ? "" : hole.name + " ") + ("in " + hole.crossing);
  if (hole.diameter_m > 0) text += ", " + length_text(hole.diameter_m, units) + " wide";
  return text;
}

void check_unused_holes(const Written& written, const Job& job, Findings& findings) {
  const std::vector<RecordedHole> recorded = recorded_holes(job.as_built);
  std::vector<char> used(recorded.size(), 0);
  for (const int one : match_holes(planned_holes(written.plan), recorded))
    if (one >= 0) used[static_cast<std::size_t>(one)] = 1;
  for (std::size_t i = 0; i < recorded.size(); ++i) {
    if (used[i] != 0) continue;
    const RecordedHole& hole = recorded[i];
    findings.items.push_back(
        {"recorded-unused", Level::note,
         "The hole " + hole_words(hole, job.units) +
             ", is recorded as cut, and nothing of this plan passes it.",
         hole.name.empty() ? hole.crossing : hole.name,
         hole.is_located ? std::optional(hole.at) : std::nullopt,
         "Close it, or keep it for later; if it is not there, take it out of the record.",
         "arithmetic"});
  }
}

void check_unused_runs(const Written& written, const Job& job, Findings& findings) {
  for (const BuiltRun& run : job.as_built.runs) {
    const auto is_it = [&](const auto& one) { return one.id == run.id; };
    const bool asked = std::any_of(job.runs.begin(), job.runs.end(), is_it);
    const bool taken = std::any_of(written.plan.runs.begin(), written.plan.runs.end(),
                                   [&](const ListedRun& one) { return one.takes_over == run.id; });
    if (asked || taken || run.track.empty()) continue;
    findings.items.push_back(
        {"recorded-unused", Level::note,
         "Run " + run.id + " is recorded as lying in the room, " +
             format_length(run.measured_m, job.units, 2) + " of " +
             (run.cable.empty() ? "cable" : run.cable) + ", and the job asks for it no more.",
         run.id, run.track.front().from,
         "Take it out, or label both ends as out of use; name it in the job again to keep it.",
         "arithmetic"});
  }
}

/// Common practice, no source: cable cuts corners a little, and a long loop may be left.
void check_odd_lengths(const Written& written, const Job& job, Findings& findings) {
  constexpr double kLeastOfDrawn = 0.85, kMostOfPlanned = 1.5, kMostMore_m = 2;
  for (const BuiltRun& built : job.as_built.runs) {
    const auto planned = std::find_if(written.plan.runs.begin(), written.plan.runs.end(),
                                      [&](const ListedRun& run) { return run.id == built.id; });
    if (planned == written.plan.runs.end() || !planned->routed || !planned->takes_over.empty())
      continue;
    const CableType* cable = job.catalogue.cable(planned->cable);
    const bool lead = cable != nullptr && cable->head_width_m > 0;  // as long as it is sold
    const double most =
        kMostOfPlanned * std::max(built.predicted_m, planned->drawn_m) + kMostMore_m;
    const bool too_short = built.measured_m < kLeastOfDrawn * planned->drawn_m;
    if (!too_short && (lead || built.measured_m <= most)) continue;
    findings.items.push_back(
        {"measured-odd", Level::should,
         "Run " + built.id + " is recorded as " + format_length(built.measured_m, job.units, 2) +
             " long; its way is drawn " + format_length(planned->drawn_m, job.units, 2) + " long.",
         built.id, std::nullopt,
         "If that was a slip, record the run again: roomloom record with "
         "--run and --measured.",
         "common practice, no source"});
  }
}

/// The next wider grommet or plate of the list, to which a hole can be widened.
std::string lining_remedy(const ListedHole& hole, const Job& job) {
  const GrommetType* next = nullptr;
  for (const GrommetType& one : job.catalogue.grommets)
    if (one.kind == "grommet" && one.hole_m > hole.diameter_m &&
        one.passes_m >= hole.bundle_m - 1e-9 && (next == nullptr || one.hole_m < next->hole_m))
      next = &one;
  const std::string otherwise = "line its edge otherwise before more cable passes.";
  if (next == nullptr) return "Smooth the hole and " + otherwise;
  return "Widen it to " + length_text(next->hole_m, job.units) + " for " + next->id +
         ", if the place allows, and record its width again; or " + otherwise;
}

void check_linings(const Written& written, const Job& job, Findings& findings) {
  const std::vector<HoleRecord> records = hole_records(written.plan, job);
  for (std::size_t i = 0; i < records.size(); ++i) {
    const ListedHole& hole = written.plan.holes[i];
    if (!records[i].is_cut || hole.existing || hole.no_grommet.empty()) continue;
    const auto& all = job.catalogue.grommets;
    const auto grommet = std::find_if(
        all.begin(), all.end(), [&](const GrommetType& one) { return one.id == hole.no_grommet; });
    const std::string asks =
        grommet == all.end() ? "another width" : length_text(grommet->hole_m, job.units);
    findings.items.push_back(
        {"hole-unlined", Level::should,
         "Hole " + hole.name + " is recorded as cut " + length_text(hole.diameter_m, job.units) +
             " wide. " + hole.no_grommet + ", which was to line it, asks " + asks +
             ", and the list has none for the hole as it is: its edge is bare.",
         hole.name, hole.centre, lining_remedy(hole, job), "common practice, no source"});
  }
}

}  // namespace

std::vector<HoleRecord> hole_records(const WrittenPlan& plan, const Job& job) {
  const std::vector<RecordedHole> recorded = recorded_holes(job.as_built);
  const std::vector<HoleToFind> planned = planned_holes(plan);
  const std::vector<int> match = match_holes(planned, recorded);
  std::vector<HoleRecord> records(planned.size());
  for (std::size_t i = 0; i < planned.size(); ++i) {
    if (match[i] < 0) continue;
    const RecordedHole& own = recorded[static_cast<std::size_t>(match[i])];
    const HoleWork work = work_on(own, planned[i]);
    records[i].is_cut = work == HoleWork::none;
    if (work != HoleWork::other) records[i].built_m = own.diameter_m;
  }
  return records;
}

void check_record(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  check_unused_holes(written, job, findings);
  check_unused_runs(written, job, findings);
  check_odd_lengths(written, job, findings);
  check_linings(written, job, findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
