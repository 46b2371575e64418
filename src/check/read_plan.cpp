#include <nlohmann/json.hpp>

#include "base/files.h"
#include "base/version.h"
#include "check/written.h"

namespace roomloom::check {
namespace {

using Json = nlohmann::json;

bool is_entry(const Json& object, const char* key, const Json& value) {
  const auto found = object.find(key);
  return found != object.end() && *found == value;
}

/// A number of things; anything else is not one of our plans.
int count_in(const Json& j) {
  constexpr std::uint64_t kMost = 1'000'000;
  if (!j.is_number_unsigned() || j.get<std::uint64_t>() > kMost)
    throw Json::other_error::create(599, "no count", nullptr);
  return j.get<int>();
}

Vec3 point(const Json& j) { return {j.at(0), j.at(1), j.at(2)}; }

WrittenPlan::FreeZone zone(const Json& j) {
  return {j.at("name"),
          {point(j.at("origin")), point(j.at("u")), point(j.at("v")), point(j.at("n"))},
          point(j.at("size"))};
}

void read_bends(const Json& j, ListedRun& run) {
  for (const Json& bend : j) {
    if (bend.at("angle_deg").get<double>() >= 15 - 1e-9) ++run.bends;
    if (bend.at("used_m").get<double>() < bend.at("required_m").get<double>() - 1e-6) {
      ++run.tight_bends;
    }
  }
}

ListedRun run(const Json& j) {
  ListedRun one;
  one.id = j.at("id");
  one.from = j.at("from");
  one.to = j.at("to");
  one.cable = j.at("cable");
  one.service = j.at("service");
  one.provision = j.at("provision");
  one.takes_over = j.value("takes_over", "");
  one.colour_why = j.value("colour_why", "");
  one.routed = j.at("routed");
  if (!one.routed) {
    one.blocked_by = j.at("blocked_by");
    return one;
  }
  if (j.contains("places_to_move_to")) {
    one.places_to_move_to = count_in(j.at("places_to_move_to"));
    for (const Json& place : j.at("places_without_way"))
      one.missed_places.push_back({place.at("end"), place.at("blocked_by"), point(place.at("at"))});
  }
  one.track_m = j.at("track_m");
  read_bends(j.at("bends"), one);
  for (const Json& stretch : j.at("shares")) {
    for (const Json& other : stretch.at("with")) one.shares.insert(other.get<std::string>());
  }
  for (const Json& stretch : j.at("stretches")) {
    const Json& place = stretch.at("place");
    if (place.at("kind") == "conduit") one.conduits.insert(place.at("name").get<std::string>());
  }
  for (const Json& stretch : j.at("way")) one.places.insert(stretch.at("place").get<std::string>());
  one.drawn_m = j.at("drawn_m");
  one.cut_m = j.at("cut_m");
  one.addends_m = j.at("addends_m").get<std::map<std::string, double>>();
  return one;
}

ListedHole hole(const Json& j) {
  ListedHole one;
  one.name = j.at("name");
  one.crossing = j.at("crossing");
  one.kind = j.at("kind");
  one.centre = point(j.at("centre"));
  one.normal = point(j.at("normal"));
  one.diameter_m = j.at("diameter_m");
  one.thickness_m = j.at("thickness_m");
  one.bundle_m = j.at("bundle_m");
  one.existing = j.at("existing");
  one.passed_at = j.contains("passed_at") ? point(j.at("passed_at")) : one.centre;
  one.no_grommet = j.value("no_grommet", "");
  one.runs = j.at("runs").get<std::vector<std::string>>();
  return one;
}

WrittenPlan plan(const Json& j) {
  WrittenPlan all;
  all.job_file = j.at("job").at("file");
  all.job_sha256 = j.at("job").at("sha256");
  all.variants = j.at("job").value("variants", std::vector<std::string>{});
  if (j.at("job").contains("house")) {
    all.house_file = j.at("job").at("house").at("file");
    all.house_sha256 = j.at("job").at("house").at("sha256");
  }
  if (j.at("job").contains("as_built"))
    all.as_built_sha256 = j.at("job").at("as_built").at("sha256");
  all.model_file = j.at("model").at("file");
  all.model_sha256 = j.at("model").at("sha256");
  all.residual_m = j.at("model").at("residual_m");
  for (const Json& one : j.at("model").at("ignored")) all.ignored[one.at("part")] = one.at("why");
  for (const Json& end : j.at("ends")) {
    all.ends[end.at("id")] = point(end.at("at"));
    all.outward[end.at("id")] = point(end.at("outward"));
    all.lead_ends.push_back(point(end.at("at")));
    if (end.contains("may_move_to")) {
      for (const Json& other : end.at("may_move_to")) all.lead_ends.push_back(point(other));
    }
    all.end_states[end.at("id")] = end.at("state");
  }
  for (const Json& one : j.at("zones")) all.zones.push_back(zone(one));
  for (const Json& one : j.at("runs")) all.runs.push_back(run(one));
  for (const Json& one : j.at("holes")) all.holes.push_back(hole(one));
  for (const Json& one : j.at("raceways")) {
    all.raceways.push_back({one.at("size"), point(one.at("from")), point(one.at("to")),
                            one.at("runs").get<std::vector<std::string>>()});
  }
  for (const Json& one : j.at("totals")) {
    all.totals.push_back({one.at("cable"), count_in(one.at("runs")), one.at("cut_m")});
  }
  return all;
}

/// 0 = none, -1 = no number.
double version_of(const Json& j) {
  const auto version = j.find("version");
  if (version == j.end()) return 0;
  return version->is_number() ? version->get<double>() : -1;
}

}  // namespace

Result<WrittenPlan> read_written_plan(const std::filesystem::path& file) {
  const auto text = read_file(file);
  if (!text) return text.error();
  const Error broken{"check.plan", "It is not a plan that this program wrote.", file.string(),
                     "Route again, or restore the file."};
  const Json j = Json::parse(*text, nullptr, false);
  if (!j.is_object() || !is_entry(j, "format", "roomloom-plan")) return broken;
  if (const auto wrong = version_problem(version_of(j), 1, "plan", file.string())) return *wrong;
  try {
    return plan(j);
  } catch (const Json::exception&) {
    return broken;
  }
}

}  // namespace roomloom::check
