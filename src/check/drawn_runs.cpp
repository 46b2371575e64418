#include "check/drawn_runs.h"

#include <algorithm>
#include <regex>
#include <set>

#include "base/glob.h"
#include "base/units.h"

namespace roomloom::check {
namespace {

// glTF: metres and Y up (Khronos glTF 2.0, section 3.4), unless the original is glTF itself.
constexpr Transform kYUp{{1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0}};
// STEP of our own: millimetres, Z up.
constexpr Transform kMillimetres{{0.001, 0, 0, 0, 0, 0.001, 0, 0, 0, 0, 0.001, 0}};

std::string obj_spelling(std::string name) {
  std::replace(name.begin(), name.end(), ' ', '_');
  return name;
}

const WrittenThing* centreline_of(const WrittenModel& model, const std::string& run) {
  const WrittenThing* thing = find_thing(model, "Run " + run + " centreline");
  if (thing == nullptr) thing = find_thing(model, "Run " + run);
  return thing != nullptr && !thing->lines.empty() ? thing : nullptr;
}

void missing(const std::string& what, const std::string& run, Findings& findings) {
  findings.items.push_back({"run-missing", Level::must, "Run " + run + " has no " + what + ".", run,
                            std::nullopt, "Route again, or restore the file.", "geometry"});
}

const CableType* cable_of(const ListedRun& run, const Job& job) {
  return job.catalogue.cable(run.cable);
}

// Runs of a model that the plan does not list: a node was renamed or put in.
void find_strangers(const WrittenModel& model, const std::set<std::string>& known,
                    Findings& findings) {
  for (const WrittenThing& thing : model.things) {
    const bool run = !thing.path.empty() && thing.path.front() == "Runs";
    if (!run || known.count(thing.name) != 0) continue;
    findings.items.push_back(
        {"run-unknown", Level::must,
         model.file + " holds \"" + thing.name + "\", which the plan does not.", thing.name,
         std::nullopt, "Route again, or restore the file.", "geometry"});
  }
}

}  // namespace

const WrittenThing* find_thing(const WrittenModel& model, const std::string& name) {
  for (const WrittenThing& thing : model.things) {
    if (thing.name == name || thing.name == obj_spelling(name)) return &thing;
  }
  return nullptr;
}

bool in_zone(const WrittenPlan& plan, const Vec3& p, double margin_m) {
  return std::any_of(plan.zones.begin(), plan.zones.end(), [&](const auto& zone) {
    const Vec3 local = zone.frame.to_local(p);
    for (int axis = 0; axis < 3; ++axis) {
      if (local[axis] < -margin_m || local[axis] > zone.size[axis] + margin_m) return false;
    }
    return true;
  });
}

Role role_in_job(const Job& job, const Part& part) {
  for (const PartRule& rule : job.parts) {
    if (matches_pattern(rule.match, part.name) || matches_pattern(rule.match, part.path)) {
      if (rule.role != Role::automatic) return rule.role;
      break;
    }
  }
  const auto is = part.extras.find("is");
  return is == part.extras.end() ? Role::automatic
                                 : role_from(is->second).value_or(Role::automatic);
}

Mount mount_in_job(const Job& job, const std::string& end) {
  for (const EndSpec& spec : job.ends) {
    if (spec.id == end) return spec.mount;
  }
  return Mount::automatic;
}

std::string figure_source(const CableType& cable, const std::string& figure) {
  const std::regex entry("(?:^|; )" + figure + ": (.*?)(?:; [a-z_0-9]+: .*)?$");
  std::smatch found;
  if (std::regex_search(cable.source, found, entry)) return found[1].str();
  return figure == "pulled" ? figure_source(cable, "bend_radius") : cable.source;
}

std::string length_text(double metres, DisplayUnits units) {
  constexpr double kInch = 0.0254;
  if (units == DisplayUnits::metric) return format_number(metres * 1000, 1) + " mm";
  // A sixteenth of an inch is too coarse for what the checks judge.
  if (std::abs(metres) < 12 * kInch) return format_number(metres / kInch, 3) + " in";
  return format_length(metres, units);
}

double believed_residual(const WrittenPlan& plan) {
  constexpr double kLargest = 0.1;  // no plane that is farther off its scan is believed
  return std::clamp(plan.residual_m, 0.0, kLargest);
}

Result<Written> read_written(const std::filesystem::path& folder, const Scene& original) {
  const ModelFormat format = original.source.format;
  const bool gltf = format == ModelFormat::glb || format == ModelFormat::gltf;
  const Transform& own = original.source.to_room;
  const Transform glb_frame = gltf ? own : kYUp;
  const Transform obj_frame = format == ModelFormat::obj ? own : kYUp;
  const Transform step_frame = format == ModelFormat::step ? own : kMillimetres;
  Written written;
  const auto plan = read_written_plan(folder / "plan.json");
  if (!plan) return plan.error();
  written.plan = *plan;
  for (const auto& [list, file] :
       {std::pair{&written.lengths, "lengths.csv"}, std::pair{&written.hole_list, "holes.csv"},
        std::pair{&written.hole_schedule, "hole_schedule.csv"},
        std::pair{&written.raceway_list, "raceway.csv"},
        std::pair{&written.raceway_pieces, "raceway_pieces.csv"},
        std::pair{&written.raceway_cuts, "raceway_cuts.csv"},
        std::pair{&written.raceway_fittings, "raceway_fittings.csv"},
        std::pair{&written.end_list, "ends.csv"}, std::pair{&written.shopping, "shopping.csv"},
        std::pair{&written.ladder, "ladder.csv"}, std::pair{&written.minutes, "minutes.csv"},
        std::pair{&written.pull_order, "pull_order.csv"}, std::pair{&written.ramps, "ramps.csv"}}) {
    if (list == &written.ramps && !std::filesystem::exists(folder / file)) continue;
    auto rows = read_csv(folder / file);
    if (!rows) return rows.error();
    *list = std::move(*rows);
  }
  const auto read = [&](WrittenModel& into, Result<WrittenModel> model) -> std::optional<Error> {
    if (!model) return model.error();
    into = std::move(*model);
    return std::nullopt;
  };
  // The additions alone are in the original's own frame where its format is theirs.
  if (auto e = read(written.glb, read_written_glb(folder / "routed.glb", glb_frame))) return *e;
  if (auto e = read(written.obj, read_written_obj(folder / "routed.obj", obj_frame))) return *e;
  if (auto e = read(written.step, read_written_step(folder / "routed.step", step_frame))) return *e;
  if (auto e = read(written.runs_glb, read_written_glb(folder / "runs.glb", glb_frame))) return *e;
  if (auto e = read(written.runs_step, read_written_step(folder / "runs.step", step_frame))) {
    return *e;
  }
  return written;
}

namespace {

/// The first place is named; what blocks it is asked of all.
void tell_missed_places(const ListedRun& run, DisplayUnits units, Findings& findings) {
  if (run.missed_places.empty()) return;
  const MissedPlace& first = run.missed_places.front();
  const auto named =
      std::find_if(run.missed_places.begin(), run.missed_places.end(),
                   [](const MissedPlace& place) { return !place.blocked_by.empty(); });
  const auto metres = [&](double length) { return format_length(length, units, 2); };
  const std::size_t missed = run.missed_places.size();
  findings.items.push_back(
      {"move-without-way", Level::should,
       std::to_string(missed) + " of the " + std::to_string(run.places_to_move_to) +
           " places tried of where " + first.end + ", an end of run " + run.id +
           ", may move have no way" +
           (named == run.missed_places.end() ? "" : ", blocked by " + named->blocked_by) +
           "; the first lies at " + metres(first.at.x) + " / " + metres(first.at.y) + " / " +
           metres(first.at.z) + ". The cut length does not reach there.",
       run.id, first.at,
       "Let the end move less far (\"may_move\"), list \"alternatives\" that can be reached, or "
       "clear the part that is named.",
       "geometry"});
}

}  // namespace

void check_ways(const Written& written, Findings& findings) {
  for (const ListedRun& run : written.plan.runs) {
    if (run.routed) {
      tell_missed_places(run, written.units, findings);
      continue;
    }
    findings.items.push_back({"no-way", Level::must,
                              "Run " + run.id + " from " + run.from + " to " + run.to +
                                  " has no way: blocked by " + run.blocked_by + ".",
                              run.id, std::nullopt,
                              "Move the end, lift the rule, or clear the part that is named.",
                              "geometry"});
  }
}

std::vector<DrawnRun> drawn_runs(const Written& written, const Job& job, Findings& findings) {
  std::vector<DrawnRun> runs;
  std::set<std::string> known;
  for (const ListedRun& listed : written.plan.runs) {
    if (!listed.routed) continue;
    known.insert("Run " + listed.id);
    known.insert("Run " + listed.id + " centreline");
    const WrittenThing* tube = find_thing(written.glb, "Run " + listed.id);
    const WrittenThing* line = centreline_of(written.glb, listed.id);
    const CableType* cable = cable_of(listed, job);
    if (tube == nullptr || tube->triangles.empty())
      missing("tube in routed.glb", listed.id, findings);
    if (line == nullptr) missing("centreline in routed.glb", listed.id, findings);
    if (cable == nullptr) missing("cable type in the job", listed.id, findings);
    for (const WrittenModel* other :
         {&written.obj, &written.step, &written.runs_glb, &written.runs_step}) {
      if (centreline_of(*other, listed.id) == nullptr) {
        missing("centreline in " + other->file, listed.id, findings);
      }
    }
    if (tube == nullptr || line == nullptr || cable == nullptr || line->lines.front().size() < 2) {
      continue;
    }
    runs.push_back({listed.id, cable, &listed, line->lines.front(), tube, written.units});
  }
  for (const WrittenModel* model : {&written.glb, &written.runs_glb}) {
    find_strangers(*model, known, findings);
  }
  return runs;
}

}  // namespace roomloom::check
