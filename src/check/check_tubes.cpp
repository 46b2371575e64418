#include <algorithm>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

// Half the outer diameter, from the vertices' distances to the centreline. Caps add points on the
// line itself, which are left out.
double measured_radius(const DrawnRun& run) {
  std::vector<double> radii;
  const std::size_t stride = std::max<std::size_t>(1, run.tube->points.size() / 400);
  for (std::size_t i = 0; i < run.tube->points.size(); i += stride) {
    double nearest = 1e9;
    for (std::size_t k = 0; k + 1 < run.line.size(); ++k) {
      nearest = std::min(nearest,
                         point_segment_distance(run.tube->points[i], run.line[k], run.line[k + 1]));
    }
    if (nearest > 1e-4) radii.push_back(nearest);
  }
  if (radii.empty()) return 0;
  const auto middle = radii.begin() + static_cast<std::ptrdiff_t>(radii.size() / 2);
  std::nth_element(radii.begin(), middle, radii.end());
  return *middle;
}

}  // namespace

void check_tubes(const std::vector<DrawnRun>& runs, Findings& findings) {
  const std::size_t before = findings.items.size();
  for (const DrawnRun& run : runs) {
    const double drawn = 2 * measured_radius(run);
    if (std::abs(drawn - run.cable->diameter_m) <= 0.0001 + 0.02 * run.cable->diameter_m) continue;
    findings.items.push_back({"tube-thickness", Level::must,
                              "Run " + run.id + " is drawn " + length_text(drawn, run.units) +
                                  " thick; its cable measures " +
                                  length_text(run.cable->diameter_m, run.units) + ".",
                              run.id, run.line.front(), "Route again.", "geometry"});
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
