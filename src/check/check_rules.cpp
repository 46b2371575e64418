#include <algorithm>

#include "base/glob.h"
#include "check/drawn_runs.h"

namespace roomloom::check {
namespace {

using Names = std::set<std::string>;

bool any_matches(const Names& names, const std::string& pattern) {
  return std::any_of(names.begin(), names.end(),
                     [&](const std::string& name) { return matches_pattern(pattern, name); });
}

bool holds(const std::vector<std::string>& runs, const std::string& id) {
  return std::find(runs.begin(), runs.end(), id) != runs.end();
}

/// All that a run passes, holes by their own list of who passes.
Names passed_by(const Written& written, const ListedRun& run) {
  Names names = run.places;
  for (const ListedHole& hole : written.plan.holes) {
    if (holds(hole.runs, run.id)) names.insert({hole.crossing, hole.name});
  }
  return names;
}

/// What two runs lie in together: a hole, a raceway, a conduit.
std::string shared_by(const Written& written, const ListedRun& a, const ListedRun& b) {
  for (const ListedHole& hole : written.plan.holes) {
    if (holds(hole.runs, a.id) && holds(hole.runs, b.id)) return "hole " + hole.name;
  }
  for (const ListedRaceway& raceway : written.plan.raceways) {
    if (holds(raceway.runs, a.id) && holds(raceway.runs, b.id))
      return "raceway " + raceway.size + " of one stretch";
  }
  for (const std::string& conduit : a.conduits) {
    if (b.conduits.count(conduit) != 0) return conduit;
  }
  return "";
}

class Rules {
 public:
  Rules(const Written& written, Findings& findings) : written_(written), findings_(findings) {}

  void judge(const RunSpec& asked, const ListedRun& run) {
    const Names passed = passed_by(written_, run);
    for (const std::string& name : asked.via) {
      if (!any_matches(passed, name))
        broken(asked, Level::must, "does not pass \"" + name + "\", which it is to go by.",
               "Name something that tracks reach, or drop the word from \"via\".");
    }
    for (const std::string& name : asked.avoid) {
      if (any_matches(passed, name))
        broken(asked, Level::must, "passes \"" + name + "\", which it is to avoid.",
               "Route again, or drop the word from \"avoid\".");
    }
    for (const std::string& other : asked.not_with) {
      const ListedRun* with = listed(other);
      const std::string shared = with == nullptr ? "" : shared_by(written_, run, *with);
      if (!shared.empty())
        broken(asked, Level::must, "lies with run " + other + " in " + shared + ".",
               "Give one of them a way of its own (\"via\", \"avoid\").");
    }
    for (const std::string& other : asked.same_way_as) {
      const ListedRun* with = listed(other);
      if (with != nullptr && with->routed && run.shares.count(other) == 0)
        broken(asked, Level::should,
               "shares no stretch with run " + other +
                   ", whose way it is to "
                   "go.",
               "Look whether their ends lie apart.");
    }
  }

 private:
  const ListedRun* listed(const std::string& id) const {
    for (const ListedRun& run : written_.plan.runs) {
      if (run.id == id) return &run;
    }
    return nullptr;
  }
  void broken(const RunSpec& asked, Level level, const std::string& text,
              const std::string& remedy) {
    findings_.items.push_back({"run-rules", level, "Run " + asked.id + " " + text, asked.id,
                               std::nullopt, remedy, "the job"});
  }

  const Written& written_;
  Findings& findings_;
};

}  // namespace

void check_rules(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  Rules rules(written, findings);
  for (const RunSpec& asked : job.runs) {
    for (const ListedRun& run : written.plan.runs) {
      if (run.id == asked.id && run.routed) rules.judge(asked, run);
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
