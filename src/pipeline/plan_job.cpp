#include <algorithm>

#include "annotate/annotate.h"
#include "base/files.h"
#include "base/sha256.h"
#include "job/job.h"
#include "pipeline/all_problems.h"
#include "pipeline/choose_gauges.h"
#include "pipeline/compare_presets.h"
#include "pipeline/compare_variants.h"
#include "pipeline/read_scene.h"
#include "pipeline/roomloom.h"
#include "pipeline/start_from.h"
#include "pipeline/take_provisions.h"
#include "place/place.h"
#include "room/room.h"
#include "route/route.h"
#include "shape/shape.h"
#include "takeoff/takeoff.h"
#include "tracks/tracks.h"

namespace roomloom {
namespace {

RouteOptions route_options(const PlanOptions& options) {
  RouteOptions route;
  route.effort = options.effort == PlanEffort::quick   ? RouteEffort::quick
                 : options.effort == PlanEffort::prove ? RouteEffort::prove
                                                       : RouteEffort::normal;
  return route;
}

/// All of the user's mistakes in one message.
Error joined(const std::vector<Error>& problems) {
  Error all{"ends.problems", "", "", ""};
  for (const Error& problem : problems) {
    all.what += (all.what.empty() ? "" : "\n  ") + to_text(problem);
  }
  return all;
}

/// "S2" before "S10": digits by their number, the rest letter by letter.
bool id_before(const std::string& a, const std::string& b) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  std::size_t i = 0, j = 0;
  while (i < a.size() && j < b.size()) {
    if (!is_digit(a[i]) || !is_digit(b[j])) {
      if (a[i] != b[j]) return a[i] < b[j];
      ++i, ++j;
      continue;
    }
    const auto number = [&](const std::string& id, std::size_t& at) {
      while (at + 1 < id.size() && id[at] == '0' && is_digit(id[at + 1])) ++at;
      const std::size_t begin = at;
      while (at < id.size() && is_digit(id[at])) ++at;
      return id.substr(begin, at - begin);
    };
    const std::string x = number(a, i), y = number(b, j);
    if (x.size() != y.size()) return x.size() < y.size();
    if (x != y) return x < y;
  }
  if (a.size() - i != b.size() - j) return a.size() - i < b.size() - j;
  return a < b;
}

/// The order in which a job happens to list them must not decide between plans that cost the same.
void put_in_order(Job& job) {
  const auto by_id = [](const auto& a, const auto& b) { return id_before(a.id, b.id); };
  std::stable_sort(job.runs.begin(), job.runs.end(), by_id);
  std::stable_sort(job.ends.begin(), job.ends.end(), by_id);
  std::stable_sort(job.gear.begin(), job.gear.end(), by_id);
}

/// From the ends to the take-off, for the cables that the job now names.
std::optional<Error> plan_once(PlannedRoom& p, const RouteOptions& effort,
                               const std::function<void(const char*)>& tell) {
  tell("placing the ends");
  p.ends = place_ends(p.scene, p.room, p.job);
  if (!p.ends.problems.empty()) {
    for (Error& problem : short_cables(p.ends, p.job))
      p.ends.problems.push_back(std::move(problem));
    if (const auto text = read_file(p.job_file)) add_lines(p.ends.problems, p.job, *text);
    return joined(p.ends.problems);
  }

  tell("laying the tracks");
  p.tracks = build_tracks(p.scene, p.room, p.ends, p.job);
  tell("routing");
  p.plan = route_runs(p.tracks, p.ends, p.room, p.job, effort);
  tell("shaping the cables");
  p.shapes = shape_cables(p.plan, p.tracks, p.ends, p.room, p.job);
  tell("taking off");
  p.takeoff = take_off(p.shapes, p.plan, p.tracks, p.ends, p.room, p.job, &p.scene);
  return std::nullopt;
}

/// Plans, and where gauges are open chooses them by the lengths found and plans again, until each
/// is the smallest that serves: quickly at first, then with the effort asked for.
std::optional<Error> plan_with_gauges(PlannedRoom& p, const RouteOptions& effort,
                                      const std::function<void(const char*)>& tell) {
  if (!any_open_gauge(p.job)) return plan_once(p, effort, tell);
  constexpr int kShrinking = 6, kMostPasses = 14;
  RouteOptions quick = effort;
  quick.effort = RouteEffort::quick;
  quick.certificate = nullptr;
  guess_gauges(p.job, p.scene);
  GaugeTrials trials;
  for (const bool last : {false, true}) {
    if (!last && effort.effort == RouteEffort::quick) continue;
    trials.clear();  // a quick plan's lengths say nothing of the final one's
    for (int pass = 0; pass < kMostPasses; ++pass) {
      if (const auto error = plan_once(p, last ? effort : quick, tell)) return error;
      if (last && pass + 1 == kMostPasses) break;
      if (!settle_gauges(p, trials, pass < kShrinking)) break;
    }
  }
  p.takeoff.gauges = gauges_of(p, trials);
  p.takeoff.tables.push_back(gauge_table(p.takeoff.gauges));
  return std::nullopt;
}

/// Plans with what lies ready for later; a cable that turns out too short is left where it is.
std::optional<Error> plan_with_provisions(PlannedRoom& p, const RouteOptions& effort,
                                          const std::function<void(const char*)>& tell) {
  const Job asked = p.job;
  std::set<Taking> refused;
  while (true) {
    take_provisions(p.scene, p.room, refused, p.job);
    if (const auto error = plan_with_gauges(p, effort, tell)) return error;
    const std::set<Taking> more = too_short(p);
    if (more.empty()) return std::nullopt;
    refused.insert(more.begin(), more.end());
    p.job = asked;
  }
}

/// The room's model, read once for all variants that lie in it.
Result<Scene> scene_of(const PlannedRoom& p, const PlanOptions& options, const PlannedRoom* like) {
  if (like != nullptr && like->model_file == p.model_file &&
      like->job.model.unit_m == p.job.model.unit_m && like->job.model.up == p.job.model.up)
    return like->scene;
  return read_scene(p.job, p.model_file, options);
}

}  // namespace

Result<PlannedRoom> plan_as(const std::filesystem::path& job_file, const JobInput& input,
                            const PlanOptions& options, const PlannedRoom* like) {
  const auto tell = [&](const char* stage) {
    if (options.progress) options.progress(stage);
  };
  PlannedRoom p;
  p.job_file = job_file;

  tell("reading the job");
  auto reading = examine_job_file(job_file, input);
  if (!reading) return reading.error();
  if (!reading->job) return all_problems(std::move(*reading), job_file, options);
  p.job = std::move(*reading->job);
  if (p.job.runs.empty()) {
    return Error{"job.nothing", "The job asks for no runs: there is nothing to plan.",
                 p.job.path + " /runs",
                 "Add some under \"runs\": each has an id, \"from\", \"to\" and a \"cable\"."};
  }
  put_in_order(p.job);
  if (options.units) tell_in(p.job, *options.units);
  if (const Status started = start_from(options, p.job); !started) return started.error();
  if (options.preset) apply_preset(p.job.prefer, *options.preset);
  if (const auto bytes = read_file(job_file)) p.job_sha256 = sha256(*bytes);
  p.model_file = model_path(p.job, job_file);

  tell("reading the model");
  auto scene = scene_of(p, options, like);
  if (!scene) return scene.error();
  p.scene = std::move(*scene);

  tell("understanding the room");
  auto room = understand_room(p.scene, p.job);
  if (!room) return room.error();
  p.room = std::move(*room);
  p.room.warnings.insert(p.room.warnings.end(), p.job.origin.notes.begin(),
                         p.job.origin.notes.end());

  RouteOptions route = route_options(options);
  if (options.certificate) route.certificate = &p.certificate;
  if (const auto error = plan_with_provisions(p, route, tell)) return *error;
  if (p.plan.started_from) p.takeoff.tables.push_back(moved_table(p));
  return p;
}

Result<PlannedRoom> plan_job(const std::filesystem::path& job_file, const PlanOptions& options) {
  const auto tell = [&](const char* stage) {
    if (options.progress) options.progress(stage);
  };
  auto planned = plan_as(job_file, {options.house, options.variants, false}, options, nullptr);
  if (!planned) return planned;
  PlannedRoom& p = *planned;
  if (options.compare) {
    tell("planning the presets");
    p.takeoff.tables.push_back(preset_table(p, route_options(options)));
    tell("trying other prices");
    p.takeoff.tables.push_back(sensitivity_table(p));
  }
  if (options.compare_variants && !p.job.origin.variants.empty()) {
    tell("planning the variants");
    p.takeoff.tables.push_back(variant_table(p, options));
  }
  p.annotation = annotate(p.shapes, p.takeoff, p.ends, p.room, p.job);
  return planned;
}

}  // namespace roomloom
