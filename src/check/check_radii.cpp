#include <algorithm>
#include <regex>

#include "base/units.h"
#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kSharp = 0.26;  // 15 degrees at one point: no arc's tessellation turns so much
constexpr double kUnresolved =
    5e-5;  // metres: between points so near, rounding gives the direction

/// The source of a cable's fixed bend radius, out of "figure: source; figure: source". A source may
/// itself say "fixed: ...; pulled: ...".
std::string radius_source(const std::string& all) {
  static const std::regex kRadius("(?:^|; )bend_radius: (.*?)(?:; [a-z_0-9]+: .*)?$");
  std::smatch found;
  return std::regex_search(all, found, kRadius) ? found[1].str() : all;
}

/// Where bends are, as one finds them in the room: "7.1 mm at 1.20, 0.03, 2.45 m".
std::string place_text(const Vec3& at, DisplayUnits units) {
  return "at " + format_length(at.x, units, 2) + " / " + format_length(at.y, units, 2) + " / " +
         format_length(at.z, units, 2);
}

void find_tight_arcs(const DrawnRun& run, const WrittenThing& curve, Findings& findings) {
  int tight = 0;
  double least = 1e9;
  Vec3 where;
  std::string places;
  for (std::size_t i = 0; i < curve.radii_m.size(); ++i) {
    const double radius = curve.radii_m[i];
    if (radius >= run.cable->bend_radius_m - 0.0001) continue;
    ++tight;
    places += (places.empty() ? "" : "; ") + length_text(radius, run.units) + " " +
              place_text(curve.arcs_at[i], run.units);
    if (radius >= least) continue;
    least = radius;
    where = curve.arcs_at[i];
  }
  if (tight == 0) return;
  const std::string figure = length_text(least, run.units);
  const std::string limit = length_text(run.cable->bend_radius_m, run.units);
  findings.items.push_back(
      {"bend-radius", Level::should,
       "Run " + run.id + " bends to " + figure + " in " + std::to_string(tight) +
           (tight == 1 ? " place" : " places") + "; its cable wants " + limit + ": " + places + ".",
       run.id, where,
       "Use a fitting with a radius, the next larger raceway, or a cable that bends tighter.",
       radius_source(run.cable->source), figure, limit});
}

/// The line with its ends, but without points that its file cannot tell from their neighbours.
std::vector<Vec3> resolved(const std::vector<Vec3>& line) {
  std::vector<Vec3> points;
  for (const Vec3& p : line)
    if (points.empty() || distance(points.back(), p) >= kUnresolved) points.push_back(p);
  if (points.size() > 1) points.back() = line.back();
  return points;
}

void find_corners(const DrawnRun& run, Findings& findings) {
  int corners = 0;
  double sharpest = 0;
  Vec3 where;
  std::string places;
  const std::vector<Vec3> line = resolved(run.line);
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    const double turn = angle_between(line[i] - line[i - 1], line[i + 1] - line[i]);
    if (turn < kSharp) continue;
    ++corners;
    places += (places.empty() ? "" : "; ") + place_text(line[i], run.units);
    if (turn <= sharpest) continue;
    sharpest = turn;
    where = line[i];
  }
  if (corners == 0) return;
  findings.items.push_back(
      {"bend-kink", Level::should,
       "Run " + run.id + " turns without any radius in " + std::to_string(corners) +
           (corners == 1 ? " place" : " places") + ", where no arc fits: " + places + ".",
       run.id, where, "Move the end or the gear so that a bend fits, or accept it with care.",
       radius_source(run.cable->source), format_number(degrees(sharpest), 0) + " degrees",
       format_number(degrees(kSharp), 0) + " degrees"});
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
