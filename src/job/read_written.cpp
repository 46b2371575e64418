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
    one["beside"].read(stretch.beside);
    one["hole_diameter_m"].read_length(stretch.hole_diameter_m);
  }
  return stretches;
}

namespace {

/// A cell of a list of the plan, by its column's key.
Field cell_of(const Field& table, const Field& row, const char* key) {
  const std::vector<Field> columns = table["columns"].items(), cells = row.items();
  for (std::size_t i = 0; i < columns.size() && i < cells.size(); ++i)
    if (columns[i]["key"].text() == key) return cells[i];
  return row["none"];
}

BuiltRaceway named_piece(const Field& table, const Field& row) {
  BuiltRaceway piece;
  cell_of(table, row, "piece").read(piece.name);
  cell_of(table, row, "raceway").read(piece.raceway);
  cell_of(table, row, "on").read(piece.on);
  cell_of(table, row, "corner").read(piece.corner);
  cell_of(table, row, "start_along_m").read_length(piece.start_along_m, -1e4);
  cell_of(table, row, "start_up_m").read_length(piece.start_up_m, -1e4);
  cell_of(table, row, "end_along_m").read_length(piece.end_along_m, -1e4);
  cell_of(table, row, "end_up_m").read_length(piece.end_up_m, -1e4);
  return piece;
}

GivenNames names_in(const Field& plan) {
  GivenNames names;
  for (const Field& one : plan["holes"].items()) {
    BuiltHole& hole = names.holes.emplace_back();
    one["name"].read(hole.name);
    one["crossing"].read(hole.crossing);
    one["centre"].read_point(hole.at);
    one["diameter_m"].read_length(hole.diameter_m);
    if (one["passed_at"].given()) one["passed_at"].read_point(hole.passed_at.emplace());
  }
  for (const Field& table : plan["tables"].items())
    if (table["id"].text() == "raceway_pieces")
      for (const Field& row : table["rows"].items())
        names.raceway.push_back(named_piece(table, row));
  return names;
}

}  // namespace

Result<GivenNames> parse_given_names(std::string_view text, const std::string& path) {
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return root.error();
  DocumentText document{*root, path, {}};
  GivenNames names = names_in(Field(&*root, "", document));
  if (!document.problems.empty()) return document.problems.front();
  return names;
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
