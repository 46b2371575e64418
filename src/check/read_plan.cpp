#include <nlohmann/json.hpp>

#include "base/files.h"
#include "check/written.h"

namespace roomloom::check {
namespace {

using Json = nlohmann::json;

Vec3 point(const Json& j) { return {j.at(0), j.at(1), j.at(2)}; }

WrittenPlan::FreeZone zone(const Json& j) {
  return {j.at("name"),
          {point(j.at("origin")), point(j.at("u")), point(j.at("v")), point(j.at("n"))},
          point(j.at("size"))};
}

ListedRun run(const Json& j) {
  ListedRun one{j.at("id"), j.at("from"), j.at("to"), j.at("cable"), j.at("routed"), 0, 0, {}};
  if (!one.routed) return one;
  one.drawn_m = j.at("drawn_m");
  one.cut_m = j.at("cut_m");
  one.addends_m = j.at("addends_m").get<std::map<std::string, double>>();
  return one;
}

ListedHole hole(const Json& j) {
  return {j.at("name"),        point(j.at("centre")), point(j.at("normal")), j.at("diameter_m"),
          j.at("thickness_m"), j.at("existing"),      j.at("runs")};
}

WrittenPlan plan(const Json& j) {
  WrittenPlan all;
  all.job_file = j.at("job").at("file");
  all.job_sha256 = j.at("job").at("sha256");
  all.model_file = j.at("model").at("file");
  all.model_sha256 = j.at("model").at("sha256");
  for (const Json& end : j.at("ends")) {
    all.ends[end.at("id")] = point(end.at("at"));
    all.end_states[end.at("id")] = end.at("state");
  }
  for (const Json& one : j.at("zones")) all.zones.push_back(zone(one));
  for (const Json& one : j.at("runs")) all.runs.push_back(run(one));
  for (const Json& one : j.at("holes")) all.holes.push_back(hole(one));
  return all;
}

}  // namespace

Result<WrittenPlan> read_written_plan(const std::filesystem::path& file) {
  const auto text = read_file(file);
  if (!text) return text.error();
  const Error broken{"check.plan", "It is not a plan that this program wrote.", file.string(),
                     "Route again, or restore the file."};
  const Json j = Json::parse(*text, nullptr, false);
  if (!j.is_object() || j.value("format", "") != "roomloom-plan") return broken;
  if (j.value("version", 0) != 1) {
    return Error{"check.version", "The plan is of another version of this program.", file.string(),
                 "Route again with this version."};
  }
  try {
    return plan(j);
  } catch (const Json::exception&) {
    return broken;
  }
}

}  // namespace roomloom::check
