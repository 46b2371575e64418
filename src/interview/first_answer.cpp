#include <algorithm>
#include <cmath>

#include "base/files.h"
#include "interview/interview.h"
#include "job/job.h"
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

std::vector<Question> unknowns(const Answers& answers) {
  std::vector<Question> all;
  for (const Question& question : questions(answers))
    if (!question.range.empty() && answers.unknown(question.key)) all.push_back(question);
  return all;
}

/// The middle; each unknown at its ends with the others in the middle; all low and all high. With
/// three unknowns or fewer, every corner.
std::vector<Assumed> cases(const std::vector<Question>& unknown) {
  std::vector<Assumed> all = {{}};
  for (const Question& question : unknown)
    for (const double end : {0.0, 1.0}) all.push_back({{question.key, end}});
  const std::size_t corners = unknown.size() <= 3 ? std::size_t{1} << unknown.size() : 2;
  for (std::size_t corner = 0; unknown.size() > 1 && corner < corners; ++corner) {
    Assumed assumed;
    for (std::size_t i = 0; i < unknown.size(); ++i)
      assumed[unknown[i].key] = unknown.size() <= 3 ? static_cast<double>((corner >> i) & 1)
                                                    : static_cast<double>(corner);
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

std::string runs_text(const std::vector<Tried>& tried, DisplayUnits units) {
  std::string text;
  for (std::size_t i = 0; i < tried.front().takeoff.runs.size(); ++i) {
    const RunRow& row = tried.front().takeoff.runs[i];
    Span span;
    bool routed = true;
    for (const Tried& one : tried) {
      routed = routed && one.takeoff.runs[i].routed;
      span.take(one.takeoff.runs[i].cut_m);
    }
    std::string name = row.id + "  rack to " + row.to;
    name.resize(std::max<std::size_t>(name.size(), 34), ' ');
    text += "  " + name + " " + (routed ? told(span, units) : "no way: " + row.blocked_by) + "\n";
  }
  return text;
}

/// One cable over all cases, its colours together: what lies on the shelf serves each of them.
struct CableNeed {
  Span metres;
  std::size_t enough = 0;        ///< cases in which nothing needs to be bought
  int least = 1000, spools = 0;  ///< least and most in any case
  double put_up_m = 0;
};

CableNeed need_of(const std::vector<Tried>& tried, const std::string& cable) {
  CableNeed need;
  for (const Tried& one : tried) {
    double metres = 0;
    int spools = 0;
    bool enough = true;
    for (const CableTotal& total : one.takeoff.totals) {
      if (total.cable != cable) continue;
      metres += total.cut_m;
      spools += total.spools;
      enough = enough && total.shelf_enough;
      need.put_up_m = std::max(need.put_up_m, total.put_up_m);
    }
    need.metres.take(metres);
    need.least = std::min(need.least, spools);
    need.spools = std::max(need.spools, spools);
    need.enough += enough;
  }
  return need;
}

double on_the_shelf(const Job& job, const std::string& cable) {
  double metres = 0;
  for (const SpoolSpec& spool : job.spools)
    if (spool.on_shelf && spool.cable == cable) metres += spool.count * spool.length_m;
  return metres;
}

std::string cable_text(const std::vector<Tried>& tried, const std::string& cable,
                       DisplayUnits units) {
  const CableNeed need = need_of(tried, cable);
  const double shelf = on_the_shelf(tried.front().job, cable);
  std::string text = "  " + cable + ": " + told(need.metres, units);
  if (shelf <= 0) {
    if (need.spools > 0 && need.put_up_m > 0)
      text += "; buy " +
              (need.least < need.spools ? std::to_string(need.least) + " to " : std::string()) +
              std::to_string(need.spools) + (need.spools == 1 ? " spool" : " spools") +
              " of up to " + format_length(need.put_up_m, units, 0);
    return text + ".\n";
  }
  text += "; on the shelf " + format_length(shelf, units, 1) + ": ";
  if (need.enough == tried.size()) return text + "enough, no run spliced.\n";
  if (need.enough == 0) return text + "not enough.\n";
  return text + "it depends on what is not known.\n";
}

std::string totals_text(const std::vector<Tried>& tried, DisplayUnits units) {
  std::string text;
  std::vector<std::string> seen;
  for (const Tried& one : tried) {
    for (const CableTotal& total : one.takeoff.totals) {
      if (std::find(seen.begin(), seen.end(), total.cable) != seen.end()) continue;
      seen.push_back(total.cable);
      text += cable_text(tried, total.cable, units);
    }
  }
  return text;
}

/// The unknown whose ends lie furthest apart in metres of cable.
std::string narrowing_text(const std::vector<Tried>& tried, const std::vector<Question>& unknown,
                           DisplayUnits units) {
  std::string text;
  double most = 0;
  for (const Question& question : unknown) {
    Span span;
    for (const Tried& one : tried)
      if (one.assumed.size() == 1 && one.assumed.begin()->first == question.key)
        span.take(one.cut_m);
    const double decides = span.high - span.low;
    if (decides <= most) continue;
    most = decides;
    text = "What would narrow it most: " + question.text + " " + question.hint +
           (question.hint.empty() ? "It" : " It") + " decides " + format_length(decides, units, 1) +
           " of cable.\n";
  }
  return text.empty() ? "What is not known makes no difference here.\n" : text;
}

}  // namespace

Result<std::string> first_answer(const Answers& answers, const fs::path& folder,
                                 const PlanOptions& options, const HouseHabits& habits) {
  std::error_code failed;
  fs::create_directories(folder, failed);
  const std::vector<Question> unknown = unknowns(answers);
  std::vector<Tried> tried;
  std::optional<Error> wrong;
  for (const Assumed& assumed : cases(unknown)) {
    auto one = try_case(answers, assumed, folder, options, habits);
    if (!one) {
      wrong = one.error();
      break;
    }
    tried.push_back(std::move(*one));
  }
  fs::remove_all(folder, failed);
  if (wrong) return *wrong;
  if (tried.front().takeoff.runs.empty()) return std::string("Nothing is to be wired yet.\n");
  const DisplayUnits units = answers.units();
  Span all;
  for (const Tried& one : tried) all.take(one.cut_m);
  std::string text = "How long to cut, slack and bends included:\n" + runs_text(tried, units) +
                     "\nIn all " + told(all, units) + " of cable:\n" + totals_text(tried, units);
  if (!unknown.empty()) {
    text += "\nFor what is not known, " + std::to_string(tried.size()) + " rooms were planned.\n" +
            narrowing_text(tried, unknown, units);
  }
  return text;
}

Result<HouseHabits> house_habits(const fs::path& file) {
  if (file.empty()) return HouseHabits{};
  // The smallest job there is: what it then holds is the house's.
  const auto job = parse_job(R"({"model": {"file": "room.glb"}})", "room.json", {file, {}, false});
  if (!job) return job.error();
  HouseHabits habits;
  for (const auto& [service, id] : job->catalogue.favourites) habits.favourites[service] = id;
  habits.spools = job->spools;
  return habits;
}

namespace {

/// Writes NAME.json, unless it was changed by hand since: then NAME-from-answers.json. What this
/// program wrote last is remembered in .NAME-from-answers.
/// @return whether NAME.json is the program's own
Result<bool> write_unless_changed(const fs::path& folder, const std::string& name,
                                  const std::string& text) {
  const fs::path remembered = folder / ("." + name + "-from-answers");
  const auto there = read_file(folder / (name + ".json")), last = read_file(remembered);
  const bool own = !there || (last && *last == *there);
  const fs::path file = folder / (name + (own ? ".json" : "-from-answers.json"));
  if (const Status done = write_file(file, text); !done) return done.error();
  if (own)
    if (const Status done = write_file(remembered, text); !done) return done.error();
  return own;
}

}  // namespace

Result<std::vector<std::string>> write_start(const Answers& answers, const fs::path& folder,
                                             const HouseHabits& habits) {
  const auto composed = compose(answers, {}, habits);
  if (!composed) return composed.error();
  const auto sketch = parse_sketch(composed->room_json, "room.json");
  if (!sketch) return sketch.error();
  const auto solids = build_sketch(*sketch);
  if (!solids) return solids.error();
  std::vector<std::string> written;
  const auto own_room = write_unless_changed(folder, "room", composed->room_json);
  if (!own_room) return own_room.error();
  if (*own_room) {
    if (const Status done = write_solids(*solids, folder / "room.glb"); !done) return done.error();
    written.push_back("room.json      the room, for roomloom sketch");
    written.push_back("room.glb       the room as a model, for any 3D viewer");
  } else {
    written.push_back(
        "room-from-answers.json   the room; room.json was changed by hand and is kept");
  }
  const auto own_job = write_unless_changed(folder, "job", composed->job_json);
  if (!own_job) return own_job.error();
  written.push_back(*own_job ? "job.json       what is to be wired, for roomloom route"
                             : "job-from-answers.json   what is to be wired; job.json was changed "
                               "by hand and is kept");
  return written;
}

}  // namespace roomloom
