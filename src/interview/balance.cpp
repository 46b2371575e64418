#include "interview/balance.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

/// One in a thousand (two-sided normal distribution).
constexpr double kTooFar = 3.29;
/// Twenty times less likely: 2 ln 20 between the squares of two standardized residuals.
constexpr double kMuchLess = 5.99;

/// The first corner stays at the origin and the second on the y axis: what a tape cannot tell.
struct Unknowns {
  explicit Unknowns(std::size_t corners) : count(2 * static_cast<int>(corners) - 3) {}
  /// Column of a corner's x or y; -1 where it is fixed.
  int column(int corner, bool y) const {
    if (corner == 0) return -1;
    if (corner == 1) return y ? 0 : -1;
    return 1 + 2 * (corner - 2) + (y ? 1 : 0);
  }
  int count;
};

double inside_angle(const Vec2& before, const Vec2& at, const Vec2& after) {
  const Vec2 in = before - at, out = after - at;
  const double angle = std::atan2(cross(in, out), dot(in, out));
  return angle < 0 ? angle + 2 * kPi : angle;
}

double value_of(const TapeMeasure& m, const std::vector<Vec2>& p) {
  const Vec2 from = p[static_cast<std::size_t>(m.from)], to = p[static_cast<std::size_t>(m.to)];
  if (m.at < 0) return std::hypot(to.x - from.x, to.y - from.y);
  return inside_angle(from, p[static_cast<std::size_t>(m.at)], to);
}

/// Derivatives by each corner's x and y, by central differences: the functions are smooth and the
/// step is far from both rounding and curvature.
Eigen::RowVectorXd row_of(const TapeMeasure& m, std::vector<Vec2> p, const Unknowns& unknowns) {
  constexpr double kStep = 1e-5;
  Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(unknowns.count);
  for (const int corner : {m.from, m.to, m.at}) {
    for (const bool y : {false, true}) {
      const int column = corner < 0 ? -1 : unknowns.column(corner, y);
      if (column < 0) continue;
      double& coordinate =
          y ? p[static_cast<std::size_t>(corner)].y : p[static_cast<std::size_t>(corner)].x;
      const double kept = coordinate;
      coordinate = kept + kStep;
      const double high = value_of(m, p);
      coordinate = kept - kStep;
      const double low = value_of(m, p);
      coordinate = kept;
      row[column] = (high - low) / (2 * kStep);
    }
  }
  return row;
}

void put_in_place(std::vector<Vec2>& p) {
  const Vec2 origin = p[0];
  const double angle = std::atan2(p[1].x - origin.x, p[1].y - origin.y);
  for (Vec2& q : p) {
    const double x = q.x - origin.x, y = q.y - origin.y;
    q = {x * std::cos(angle) - y * std::sin(angle), x * std::sin(angle) + y * std::cos(angle)};
  }
}

void judge(const std::vector<TapeMeasure>& measures, const Eigen::VectorXd& residuals,
           const Eigen::VectorXd& redundancy, const std::vector<Vec2>& corners,
           BalancedOutline& outline) {
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const auto at = static_cast<Eigen::Index>(i);
    BalancedMeasure told{measures[i].name,
                         measures[i].value,
                         value_of(measures[i], corners),
                         0,
                         std::clamp(redundancy[at], 0.0, 1.0),
                         measures[i].at >= 0};
    if (told.redundancy > 1e-6) told.standardized = residuals[at] / std::sqrt(told.redundancy);
    if (!measures[i].assumed && measures[i].at < 0)
      outline.misclosure_m =
          std::max(outline.misclosure_m, std::abs(told.balanced - told.measured));
    outline.measures.push_back(told);
  }
}

void blame(const std::vector<TapeMeasure>& measures, BalancedOutline& outline) {
  double worst = kTooFar;
  for (std::size_t i = 0; i < measures.size(); ++i)
    if (!measures[i].assumed) worst = std::max(worst, std::abs(outline.measures[i].standardized));
  std::vector<std::pair<double, BlamedMeasure>> found;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const BalancedMeasure& told = outline.measures[i];
    const double w = std::abs(told.standardized);
    if (measures[i].assumed || w <= kTooFar || worst * worst - w * w > kMuchLess) continue;
    // What the others say: the residual that a wrong measure leaves is only its redundant part.
    found.push_back(
        {w,
         {told.name, told.measured,
          told.measured + (told.balanced - told.measured) / told.redundancy, told.angle}});
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  for (auto& [w, measure] : found) outline.blamed.push_back(std::move(measure));
}

}  // namespace

Result<BalancedOutline> balance(const std::vector<Vec2>& guesses,
                                const std::vector<TapeMeasure>& measures) {
  BalancedOutline outline;
  outline.corners = guesses;
  put_in_place(outline.corners);
  const Unknowns unknowns(guesses.size());
  const auto rows = static_cast<Eigen::Index>(measures.size());
  Eigen::MatrixXd design(rows, unknowns.count);
  Eigen::VectorXd off(rows);
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> solved;
  bool settled = false;
  for (int round = 0; round < 100 && !settled; ++round) {
    for (Eigen::Index i = 0; i < rows; ++i) {
      const TapeMeasure& m = measures[static_cast<std::size_t>(i)];
      design.row(i) = row_of(m, outline.corners, unknowns) / m.sigma;
      off[i] = (m.value - value_of(m, outline.corners)) / m.sigma;
    }
    solved.compute(design);
    if (solved.rank() < unknowns.count)
      return Error{"measures.too-few", "The measures do not fix the outline.", "",
                   "Measure each wall, and a diagonal."};
    const Eigen::VectorXd step = solved.solve(off);
    for (int corner = 1; corner < static_cast<int>(guesses.size()); ++corner) {
      Vec2& p = outline.corners[static_cast<std::size_t>(corner)];
      if (const int x = unknowns.column(corner, false); x >= 0) p.x += step[x];
      if (const int y = unknowns.column(corner, true); y >= 0) p.y += step[y];
    }
    settled = step.cwiseAbs().maxCoeff() < 1e-9;
  }
  for (const Vec2& p : outline.corners)
    settled = settled && std::isfinite(p.x) && std::isfinite(p.y);
  if (!settled)
    return Error{"measures.impossible", "No outline comes near these measures.", "",
                 "Look for a slip of a whole metre or foot."};
  for (Eigen::Index i = 0; i < rows; ++i) {
    const TapeMeasure& m = measures[static_cast<std::size_t>(i)];
    off[i] = (value_of(m, outline.corners) - m.value) / m.sigma;
  }
  // Redundancy numbers: the diagonal of I - A (AᵀA)⁻¹ Aᵀ, with the weights in A already.
  const Eigen::MatrixXd q = solved.householderQ() * Eigen::MatrixXd::Identity(rows, unknowns.count);
  judge(measures, off, Eigen::VectorXd::Ones(rows) - q.rowwise().squaredNorm(), outline.corners,
        outline);
  blame(measures, outline);
  return outline;
}

}  // namespace roomloom
