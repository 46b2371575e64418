#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <sstream>

#include "base/units.h"
#include "check/csv_table.h"
#include "check/drawn_runs.h"

namespace roomloom::check {
namespace {

// Holes are cut by hole_schedule.csv: it must say what holes.csv says, which is held against the
// plan and the rings of the models, and each wall that a hole is measured from must stand as far
// from it in the original model.

/// Words and figures that both lists give a hole.
constexpr const char* kShared[] = {"In",
                                   "Kind",
                                   "State",
                                   "First side of the tile",
                                   "From the first side",
                                   "Second side of the tile",
                                   "From the second side",
                                   "Diameter",
                                   "Bundle"};

std::string cell_of(const CsvTable& table, const std::vector<std::string>& row,
                    const std::string& heading) {
  const std::size_t at = table.column(heading);
  return at == CsvTable::npos ? "no such column" : row[at];
}

std::set<std::string> names_in(const std::string& cell, char between) {
  std::set<std::string> names;
  std::stringstream words(cell);
  for (std::string word; std::getline(words, word, between);) {
    word.erase(0, word.find_first_not_of(" '"));
    names.insert(word);
  }
  return names;
}

/// Whether an upright face of a part of that name is so far from the point, straight across; none
/// where the model has no such part.
std::optional<bool> stands_at(const Scene& original, const std::string& wall, const Vec3& point,
                              double distance_m) {
  constexpr double kOff = 0.002, kBeside = 0.01, kUpright = 0.1;
  std::optional<bool> found;
  for (const Part& part : original.parts) {
    if (part.name != wall || part.kind != PartKind::mesh) continue;
    found = found.value_or(false);
    for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
      const auto& [a, b, c] = original.triangles[part.first_triangle + i];
      const Vec3 from = original.points[a];
      const Vec3 across = cross(original.points[b] - from, original.points[c] - from);
      if (norm(across) < 1e-12 || std::abs(across.z) > kUpright * norm(across)) continue;
      const Vec3 n = normalized(across), along{-n.y, n.x, 0};
      if (std::abs(std::abs(dot(point - from, n)) - distance_m) > kOff) continue;
      const double at = dot(point, along);
      const auto [low, high] = std::minmax(
          {dot(from, along), dot(original.points[b], along), dot(original.points[c], along)});
      if (at > low - kBeside && at < high + kBeside) return true;
    }
  }
  return found;
}

}  // namespace

void check_hole_schedule(const Written& written, const Scene& original, Findings& findings) {
  const CsvTable schedule(written.hole_schedule), list(written.hole_list);
  const std::size_t key = schedule.column("Hole"), list_key = list.column("Hole");
  const std::size_t before = findings.items.size();
  if (key == CsvTable::npos || schedule.row_count() != written.plan.holes.size())
    return list_differs("hole_schedule.csv",
                        "hole_schedule.csv has another number of rows than the plan has holes.",
                        findings);
  for (const ListedHole& hole : written.plan.holes) {
    const auto* row = schedule.row_of(hole.name, key);
    const auto* listed = list_key == CsvTable::npos ? nullptr : list.row_of(hole.name, list_key);
    const auto differs = [&](const std::string& text) {
      list_differs(hole.name, "hole_schedule.csv " + text, findings);
    };
    if (row == nullptr) differs("has no row, or more than one, for " + hole.name + ".");
    if (row == nullptr || listed == nullptr) continue;  // holes.csv is told by itself
    for (const char* heading : kShared) {
      const std::string mine = cell_of(schedule, *row, heading);
      const std::string other = cell_of(list, *listed, heading);
      if (mine != other)
        differs("says \"" + mine + "\" under " + heading + " for " + hole.name +
                "; holes.csv says \"" + other + "\".");
    }
    const std::string tile =
        cell_of(schedule, *row, "Tile row") + cell_of(schedule, *row, "Tile column");
    if (tile != cell_of(list, *listed, "Tile"))
      differs("puts " + hole.name + " into tile \"" + tile + "\"; holes.csv into \"" +
              cell_of(list, *listed, "Tile") + "\".");
    if (names_in(cell_of(schedule, *row, "Who passes"), ',') !=
        std::set<std::string>(hole.runs.begin(), hole.runs.end()))
      differs("names other runs through " + hole.name + " than the plan.");
    if (written.plan.residual_m > 0) continue;  // a scan's walls are the planes fitted to them
    for (const char* which : {"first", "second"}) {
      const std::string wall =
          cell_of(schedule, *row, (which[0] == 'f' ? "First" : "Second") + std::string(" wall"));
      const auto metres =
          schedule.length_m(*row, schedule.column("From the " + std::string(which) + " wall"));
      if (metres && !stands_at(original, wall, hole.centre, *metres).value_or(true))
        differs("says that " + hole.name + " is " + format_length(*metres, written.units, 3) +
                " from \"" + wall + "\"; in the model it is not.");
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
