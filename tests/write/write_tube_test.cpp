#include "exchange/write_tube.h"

#include <gtest/gtest.h>

#include "exchange/write_frame.h"
#include "exchange/write_mesh.h"
#include "geometry/arc.h"
#include "write/sample.h"

namespace roomloom {
namespace {

double signed_volume(const DrawnItem& item) {
  double six = 0;
  for (const auto& t : item.triangles)
    six += dot(item.points[t[0]], cross(item.points[t[1]], item.points[t[2]]));
  return six / 6;
}

double true_length(const std::vector<Piece>& pieces) {
  double sum = 0;
  for (const Piece& piece : pieces) {
    if (const auto* arc = std::get_if<Arc>(&piece))
      sum += arc->length_m();
    else
      sum += distance(piece_from(piece), piece_to(piece));
  }
  return sum;
}

TEST(TubeChains, ASmoothCentrelineIsOneChain) {
  const Tube tube{sample::filleted({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {1, 1, 1}}, 0.05), 0.006};
  const TubeChains chains = tube_chains(tube);
  ASSERT_EQ(chains.chains.size(), 1U);
  EXPECT_EQ(chains.chains[0].pieces.size(), 5U);
  EXPECT_EQ(chains.kinks + chains.tight_bends, 0);
  for (const TubeRing& ring : chains.chains[0].rings) {
    EXPECT_NEAR(norm(ring.across), 1, 1e-12);
    EXPECT_NEAR(dot(ring.across, ring.along), 0, 1e-12);
  }
}

TEST(TubeChains, CollinearPiecesBecomeOne) {
  const Tube tube{
      {Line3{{0, 0, 0}, {1, 0, 0}}, Line3{{1, 0, 0}, {1, 0, 0}}, Line3{{1, 0, 0}, {3, 0, 0}}},
      0.006};
  const TubeChains chains = tube_chains(tube);
  ASSERT_EQ(chains.chains.size(), 1U);
  EXPECT_EQ(chains.chains[0].pieces.size(), 1U);
}

// The shape stage gives no arc to a turn of less than 2e-5 rad: a model's last written digit.
TEST(TubeChains, ATurnOfAModelsLastDigitDoesNotPartTheTube) {
  const Tube tube{{Line3{{0, 0, 0}, {1, 0, 0}}, Line3{{1, 0, 0}, {1.1, 0.1 * 1.9e-5, 0}}}, 0.0072};
  const TubeChains chains = tube_chains(tube);
  EXPECT_EQ(chains.chains.size(), 1U);
  EXPECT_EQ(chains.kinks, 0);
}

TEST(TubeChains, ATightBendAndAKinkPartTheTube) {
  auto pieces = sample::filleted({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}}, 0.003);
  pieces.push_back(Line3{{1, 1, 0}, {2, 1, 0}});
  const TubeChains chains = tube_chains(Tube{pieces, 0.02});
  EXPECT_EQ(chains.tight_bends, 1);
  EXPECT_EQ(chains.kinks, 1);
  EXPECT_EQ(chains.chains.size(), 4U);  // line, chord of the bend, line, line past the kink
}

TEST(DrawnTubes, AreClosedOutwardAndOfTheRightVolume) {
  const Tube tube{sample::filleted({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {1, 1, 1}}, 0.05), 0.006};
  const DrawnItem item = drawn(tube);
  // A prism on a regular 12-gon in the circle: area r^2 * 12/2 * sin(30 degrees) = 3 r^2.
  const double area = 3 * 0.003 * 0.003;
  EXPECT_NEAR(signed_volume(item), area * true_length(tube.pieces), 1e-3 * area * 3);
}

TEST(DrawnTubes, HaveCornersOnTheTrueCircle) {
  const Tube tube{{Line3{{0, 0, 1}, {2, 0, 1}}}, 0.01};
  for (const Vec3& p : drawn(tube).points) EXPECT_NEAR(std::hypot(p.y, p.z - 1), 0.005, 1e-12);
}

TEST(DrawnTubes, KeepTheLengthOfALongRunWithinATwentiethOfAMillimetre) {
  std::vector<Vec3> corners = {{0, 0, 0}};
  for (int i = 0; i < 60; ++i) {
    Vec3 next = corners.back();
    next[i % 3] += 0.3;
    corners.push_back(next);
  }
  const auto pieces = sample::filleted(corners, 0.08);
  const DrawnItem item = drawn(Tube{pieces, 0.006});
  const double shortfall = true_length(pieces) - polyline_length(item.centreline);
  EXPECT_GE(shortfall, 0);
  EXPECT_LE(shortfall, 5e-5);
}

TEST(DrawnBarsAndRings, HaveTheirVolumes) {
  const DrawnItem bar = drawn(Bar{{0, 0, 0}, {2, 0, 0}, {0, 0, 1}, 0.025, 0.016});
  EXPECT_NEAR(signed_volume(bar), 2 * 0.025 * 0.016, 1e-12);
  const DrawnItem ring = drawn(RingShape{{1, 1, 1}, {0, 1, 0}, 0.03, 0.05, 0.004});
  // Two regular 32-gons: area of each 16 r^2 sin(2 pi / 32).
  const double area = 16 * std::sin(kPi / 16) * (0.025 * 0.025 - 0.015 * 0.015);
  EXPECT_NEAR(signed_volume(ring), area * 0.004, 1e-12);
}

TEST(Frames, TheOwnFrameUndoesTheReadersTransform) {
  Source source;
  source.unit_m = 0.0254;
  source.up = 'y';
  source.to_room.m = {0.0254, 0, 0, 3, 0, 0, -0.0254, -1, 0, 0.0254, 0, 0.5};
  const auto frame = own_frame(source);
  ASSERT_TRUE(frame) << frame.error().what;
  const Vec3 file{10, -20, 30};
  const Vec3 back = frame->point(source.to_room.apply(file));
  EXPECT_NEAR(distance(back, file), 0, 1e-10);
  EXPECT_NEAR(frame->length(0.0254), 1, 1e-12);
}

TEST(Frames, AMirroredOrSkewedFrameIsRefused) {
  Source source;
  source.to_room.m[0] = -1;
  EXPECT_EQ(own_frame(source).error().code, "write.bad-frame");
  source.to_room.m[0] = 1;
  source.to_room.m[1] = 0.1;
  EXPECT_EQ(own_frame(source).error().code, "write.bad-frame");
}

TEST(Frames, OtherFormatsKeepTheOriginAndFollowTheirCustom) {
  Source source;
  source.to_room.m = {0.001, 0, 0, 1, 0, 0.001, 0, 2, 0, 0, 0.001, 3};
  const Vec3 origin{1, 2, 3};
  const FileFrame glb = customary_frame(source, ModelFormat::glb);
  EXPECT_EQ(glb.point(origin), (Vec3{0, 0, 0}));
  EXPECT_NEAR(distance(glb.point(origin + Vec3{0, 0, 1}), {0, 1, 0}), 0, 1e-12);
  const FileFrame step = customary_frame(source, ModelFormat::step);
  EXPECT_NEAR(distance(step.point(origin + Vec3{0, 0, 1}), {0, 0, 1000}), 0, 1e-9);
}

}  // namespace
}  // namespace roomloom
