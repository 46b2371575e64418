#include <algorithm>
#include <regex>

#include "base/units.h"
#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kSharp = 0.26;  // 15 degrees at one point: no arc's tessellation turns so much

/// The source of a cable's fixed bend radius, out of "figure: source; figure: source". A source may
/// itself say "fixed: ...; pulled: ...".
std::string radius_source(const std::string& all) {
  static const std::regex kRadius("(?:^|; )bend_radius: (.*?)(?:; [a-z_0-9]+: .*)?$");
  std::smatch found;
  return std::regex_search(all, found, kRadius) ? found[1].str() : all;
}

void find_tight_arcs(const DrawnRun& run, const WrittenThing& curve, Findings& findings) {
  int tight = 0;
  double least = 1e9;
  for (const double radius : curve.radii_m) {
    if (radius >= run.cable->bend_radius_m - 0.0001) continue;
    ++tight;
    least = std::min(least, radius);
  }
  if (tight == 0) return;
  findings.items.push_back(
      {"bend-radius", Level::should,
       "Run " + run.id + " bends to " + length_text(least, run.units) + " in " +
           std::to_string(tight) + (tight == 1 ? " place" : " places") + "; its cable wants " +
           length_text(run.cable->bend_radius_m, run.units) + ".",
       run.id, std::nullopt,
       "Use a fitting with a radius, the next larger raceway, or a cable that bends tighter.",
       radius_source(run.cable->source)});
}

void find_corners(const DrawnRun& run, Findings& findings) {
  int corners = 0;
  Vec3 where;
  for (std::size_t i = 1; i + 1 < run.line.size(); ++i) {
    if (angle_between(run.line[i] - run.line[i - 1], run.line[i + 1] - run.line[i]) < kSharp) {
      continue;
    }
    if (corners == 0) where = run.line[i];
    ++corners;
  }
  if (corners == 0) return;
  findings.items.push_back(
      {"bend-kink", Level::should,
       "Run " + run.id + " turns without any radius in " + std::to_string(corners) +
           (corners == 1 ? " place." : " places: no arc fits there."),
       run.id, where, "Move the end or the gear so that a bend fits, or accept it with care.",
       radius_source(run.cable->source)});
}

}  // namespace

void check_radii(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings) {
  const std::size_t before = findings.items.size();
  for (const DrawnRun& run : runs) {
    if (const auto* curve = find_thing(written.step, "Run " + run.id + " centreline")) {
      find_tight_arcs(run, *curve, findings);
    }
    find_corners(run, findings);
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
