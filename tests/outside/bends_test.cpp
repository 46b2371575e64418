// Fillets and raceway corners against plane geometry, worked apart from this program.
#include <gtest/gtest.h>

#include "geometry/arc.h"
#include "shape/fillet.h"

namespace roomloom {
namespace {

double drawn_round_a_corner(double angle, double radius) {
  const std::vector<Vec3> points{{0, 0, 0}, {1, 0, 0}, {1 + std::cos(angle), std::sin(angle), 0}};
  const FilletedPath path = fillet_path(points, {false, false}, {1e9, 1e9, 1e9}, radius);
  double sum = 0;
  for (const Piece& piece : path.pieces) sum += length_m(piece);
  return sum;
}

}  // namespace

// Geometry: the two tangents r tan(angle / 2) are replaced by the arc r angle.
// 90 degrees 0.42920 r, 60 degrees 0.10750 r, 45 degrees 0.04303 r, 30 degrees 0.01230 r.
TEST(FilletSaving, IsTwoTangentsLessTheArc) {
  const std::pair<double, double> printed[] = {
      {90, 0.42920}, {60, 0.10750}, {45, 0.04303}, {30, 0.01230}};
  for (const auto& [angle, saving] : printed) {
    EXPECT_NEAR(2 - drawn_round_a_corner(radians(angle), 0.05), saving * 0.05, 0.05 * 6e-6);
    EXPECT_NEAR(fillet_saving(1, radians(angle)), saving, 6e-6);
  }
  EXPECT_NEAR(2 - drawn_round_a_corner(kPi / 2, 0.050), 0.02146, 1e-6);
}

// Geometry of a mitred corner: (h k - d (1 + k) / 2) / (k - 1), k = 1 / cos(angle / 2), which at 90
// degrees is 3.414 h - 2.914 d. In a nominal 16 mm raceway, clear depth 13.5 mm, a 6.35 mm cable
// turns at 27.6 mm and so at four diameters (25.4 mm); an 8 mm cable does not (32 mm).
TEST(RacewayCorner, TakesANetworkCableAtFourDiametersButNotAThickerOne) {
  EXPECT_NEAR(largest_raceway_radius(0.0135, 0.00635, kPi / 2), 0.0276, 0.00005);
  EXPECT_GE(largest_raceway_radius(0.0135, 0.00635, kPi / 2), 4 * 0.00635);
  EXPECT_LT(largest_raceway_radius(0.0135, 0.008, kPi / 2), 4 * 0.008);
  EXPECT_NEAR(largest_raceway_radius(1, 0, kPi / 2), 3.41421, 1e-5);
  EXPECT_NEAR(largest_raceway_radius(1, 0, kPi / 2) - largest_raceway_radius(1, 0.1, kPi / 2),
              0.291421, 1e-6);
}

}  // namespace roomloom
