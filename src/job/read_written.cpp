#include "job/read_written.h"

#include "job/job.h"

namespace roomloom {

std::vector<WayStretch> read_stretches(const Field& field) {
  std::vector<WayStretch> stretches;
  for (const Field& one : field.items()) {
    WayStretch& stretch = stretches.emplace_back();
    one["from"].read_point(stretch.from);
    one["to"].read_point(stretch.to);
    one["kind"].read(stretch.kind);
    one["place"].read(stretch.place);
    one["medium"].read(stretch.medium);
    one["raceway"].read(stretch.raceway);
    one["count"].read(stretch.count);
    one["hole_diameter_m"].read_length(stretch.hole_diameter_m);
  }
  return stretches;
}

Result<std::vector<WrittenWay>> parse_written_ways(std::string_view text, const std::string& path) {
  const Error none{"from.no-plan", "It is no plan that a re-plan could start from.", path,
                   "Name a folder that route wrote with this version."};
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return none;
  DocumentText document{*root, path, {}};
  const Field plan(&*root, "", document);
  if (plan["format"].text() != "roomloom-plan") return none;
  std::vector<WrittenWay> ways;
  bool any_routed = false;
  for (const Field& run : plan["runs"].items()) {
    WrittenWay way;
    run["id"].read(way.run);
    way.stretches = read_stretches(run["way"]);
    any_routed = any_routed || run["routed"].boolean().value_or(false);
    if (!way.stretches.empty()) ways.push_back(std::move(way));
  }
  if (!document.problems.empty()) return document.problems.front();
  if (ways.empty() && any_routed) return none;
  return ways;
}

}  // namespace roomloom
