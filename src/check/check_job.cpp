#include <algorithm>
#include <cmath>

#include "check/drawn_runs.h"

namespace roomloom::check {
namespace {

void differs(const std::string& run, const std::string& text, Findings& findings) {
  findings.items.push_back(
      {"plan-differs", Level::must, text, run, std::nullopt, "Route again.", "arithmetic"});
}

// "amplifier.S1" is what "amplifier" asks for, and so is a port of what the gear "stand" holds.
bool meets(const Job& job, const std::string& asked, const std::string& planned) {
  if (planned == asked) return true;
  const std::string component = planned.substr(0, planned.rfind('.'));
  if (component == asked) return true;
  for (const GearSpec& gear : job.gear) {
    if (gear.id != asked) continue;
    return std::any_of(gear.holds.begin(), gear.holds.end(),
                       [&](const Component& held) { return held.id == component; });
  }
  return false;
}

/// A cable that is taken over is as long as it was measured, which must do; and it lies once.
void check_taken(const Job& job, const RunSpec& asked, const ListedRun& planned,
                 Findings& findings) {
  const auto lying =
      std::find_if(job.as_built.runs.begin(), job.as_built.runs.end(),
                   [&](const BuiltRun& run) { return run.id == planned.takes_over; });
  if (lying == job.as_built.runs.end() || std::abs(lying->measured_m - planned.cut_m) > 1e-4 ||
      planned.drawn_m > lying->measured_m)
    differs(asked.id,
            "Run " + asked.id + " has the cable of " + planned.takes_over +
                ", which is not recorded as long enough for its way.",
            findings);
  const auto takers = std::count_if(job.runs.begin(), job.runs.end(), [&](const RunSpec& run) {
    return run.takes_over == planned.takes_over;
  });
  const bool still_there = std::any_of(job.runs.begin(), job.runs.end(), [&](const RunSpec& run) {
    return run.id == planned.takes_over;
  });
  if (takers != 1 || still_there)
    differs(asked.id, "The cable of " + planned.takes_over + " serves more than one run.",
            findings);
}

void compare(const Job& job, const RunSpec& asked, const ListedRun& planned, Findings& findings) {
  // An open gauge is judged by gauge-choice.
  if (planned.cable != asked.cable && asked.open_cable.empty()) {
    differs(asked.id,
            "Run " + asked.id + " is of " + planned.cable + " in plan.json, but the job asks for " +
                asked.cable + ".",
            findings);
  }
  // Of an end that several runs share, a run that changes it has one of its own in the same place.
  const bool own_end = planned.to == asked.to + " (" + asked.id + ")";
  if (!meets(job, asked.from, planned.from) || (!own_end && !meets(job, asked.to, planned.to))) {
    differs(asked.id,
            "Run " + asked.id + " goes from " + planned.from + " to " + planned.to +
                " in plan.json, but the job asks for " + asked.from + " to " + asked.to + ".",
            findings);
  }
  if (planned.takes_over != asked.takes_over)
    differs(asked.id, "The plan and the job differ on whose lying cable run " + asked.id + " has.",
            findings);
  if (!planned.takes_over.empty()) check_taken(job, asked, planned, findings);
  if (planned.provision != asked.provision) {
    differs(asked.id, "The plan and the job differ on whether run " + asked.id + " is a provision.",
            findings);
  }
}

}  // namespace

void check_job(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  const std::vector<ListedRun>& planned = written.plan.runs;
  const auto named = [](const std::string& id) {
    return [&id](const auto& run) { return run.id == id; };
  };
  for (const RunSpec& asked : job.runs) {
    const auto found = std::find_if(planned.begin(), planned.end(), named(asked.id));
    if (found == planned.end()) {
      differs(asked.id, "The plan lacks run " + asked.id + " of the job.", findings);
      continue;
    }
    compare(job, asked, *found, findings);
  }
  for (const ListedRun& run : planned) {
    if (std::count_if(planned.begin(), planned.end(), named(run.id)) > 1) {
      differs(run.id, "The plan holds run " + run.id + " more than once.", findings);
    }
    if (std::none_of(job.runs.begin(), job.runs.end(), named(run.id))) {
      differs(run.id, "The plan holds run " + run.id + ", which the job does not ask for.",
              findings);
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
