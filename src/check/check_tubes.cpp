#include <algorithm>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

/// A line to which distances of many points are asked, of which each is often near to the last.
class NearLine {
 public:
  explicit NearLine(const std::vector<Vec3>& line) : line_(line) {
    for (std::size_t k = 0; k + 1 < line.size(); ++k)
      balls_.push_back({0.5 * (line[k] + line[k + 1]), 0.5 * distance(line[k], line[k + 1])});
  }
  double distance_to(const Vec3& p) {
    double nearest = to(p, last_);
    for (std::size_t k = 0; k < balls_.size(); ++k) {
      const Vec3 way = p - balls_[k].middle;
      const double reach = nearest + balls_[k].radius_m;
      if (dot(way, way) >= reach * reach) continue;
      if (const double here = to(p, k); here < nearest) nearest = here, last_ = k;
    }
    return nearest;
  }

 private:
  struct Ball {
    Vec3 middle;
    double radius_m;
  };
  double to(const Vec3& p, std::size_t k) const {
    return point_segment_distance(p, line_[k], line_[k + 1]);
  }
  const std::vector<Vec3>& line_;
  std::vector<Ball> balls_;  // round each piece
  std::size_t last_ = 0;
};

// Half the outer diameter, from the vertices' distances to the centreline. Caps add points on the
// line itself, which are left out.
double measured_radius(const DrawnRun& run) {
  std::vector<double> radii;
  NearLine line(run.line);
  const std::size_t stride = std::max<std::size_t>(1, run.tube->points.size() / 400);
  for (std::size_t i = 0; i < run.tube->points.size(); i += stride) {
    const double nearest = line.distance_to(run.tube->points[i]);
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
