#include "sketch/polyhedra.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sketch/plan.h"
#include "sketch/triangulate.h"

namespace roomloom {
namespace {

double triangles_area(const SolidFace& face, std::size_t* count = nullptr) {
  const auto corners = face_corners(face);
  const auto triangles = triangulate(face);
  double sum = 0;
  for (const auto& t : triangles) {
    const Vec3 doubled = cross(corners[t[1]] - corners[t[0]], corners[t[2]] - corners[t[0]]);
    const double signed_twice = dot(doubled, face_normal(face));
    EXPECT_GT(signed_twice, 0) << "a triangle is flat or turned over";
    sum += signed_twice / 2;
  }
  if (count != nullptr) *count = triangles.size();
  return sum;
}

TEST(Polyhedra, BoxHoldsItsThreeSidesMultiplied) {
  const Faces faces = box({1, 2, 3}, {2, 0, 0}, {0, 3, 0}, {0, 0, 4});
  EXPECT_NEAR(volume(faces), 24, 1e-12);
  EXPECT_EQ(unmatched_edges(faces), 0);
}

TEST(Polyhedra, PrismWithHoleLosesTheHole) {
  Ring hole = rectangle({1, 1}, {2, 2});
  std::reverse(hole.begin(), hole.end());
  const Faces faces = prism({rectangle({0, 0}, {4, 3}), {hole}}, 0, 0.5);
  EXPECT_NEAR(volume(faces), (12 - 1) * 0.5, 1e-12);
  EXPECT_EQ(unmatched_edges(faces), 0);
}

TEST(Polyhedra, AHoleInTheSurfaceIsCounted) {
  Faces faces = box({}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1});
  faces.pop_back();
  EXPECT_EQ(unmatched_edges(faces), 4);
}

// A mitred bend keeps the volume of section times centreline: what the outer side gains the inner
// side loses, for a section symmetric about the centreline.
TEST(Polyhedra, SweptSectionHoldsSectionTimesCentreline) {
  const std::vector<Vec3> line{{0, 0, 0}, {2, 0, 0}, {2, 1.5, 0}, {2, 1.5, 1}};
  const Faces faces = swept(line, rectangle({-0.1, -0.05}, {0.1, 0.05}));
  EXPECT_NEAR(volume(faces), 0.2 * 0.1 * 4.5, 1e-12);
  EXPECT_EQ(unmatched_edges(faces), 0);
}

// Area of a regular n-gon in a circle of radius r: n/2 r^2 sin(2 pi / n).
TEST(Polyhedra, RegularRingHasThePolygonsAreaAndRunsCounterClockwise) {
  EXPECT_NEAR(signed_area(regular_ring({3, 4}, 0.2)), 8 * 0.01 * std::sin(kPi / 8), 1e-12);
}

TEST(Polyhedra, ConformingSplitsAnEdgeWhereANeighbourHasACorner) {
  // The top is made of two halves, so the sides' upper edges need their common corners.
  Faces faces = box({}, {2, 0, 0}, {0, 1, 0}, {0, 0, 1});
  faces.erase(faces.begin() + 1);
  faces.push_back({{{0, 0, 1}, {1, 0, 1}, {1, 1, 1}, {0, 1, 1}}, {}});
  faces.push_back({{{1 + 1e-9, 0, 1}, {2, 0, 1}, {2, 1, 1}, {1, 1 - 1e-9, 1}}, {}});
  EXPECT_GT(unmatched_edges(faces), 0);
  make_conforming(faces);
  EXPECT_EQ(unmatched_edges(faces), 0);
  EXPECT_NEAR(volume(faces), 2, 1e-8);
}

TEST(Triangulate, UsesEveryCornerEvenInTheMiddleOfAStraightSide) {
  const SolidFace face{{{0, 0, 0}, {1, 0, 0}, {2, 0, 0}, {2, 1, 0}, {1, 1, 0}, {0, 1, 0}}, {}};
  std::size_t count = 0;
  EXPECT_NEAR(triangles_area(face, &count), 2, 1e-12);
  EXPECT_EQ(count, 4U);
}

TEST(Triangulate, CoversAFaceWithManyHolesOnce) {
  SolidFace face{lifted(rectangle({0, 0}, {10, 7}), 1), {}};
  for (int i = 0; i < 9; ++i) {
    for (int j = 0; j < 6; ++j) {
      const Vec2 low{0.5 + i, 0.5 + j};
      Ring ring = (i + j) % 2 == 0 ? rectangle(low, low + Vec2{0.6, 0.6}) : regular_ring(low, 0.3);
      std::reverse(ring.begin(), ring.end());
      face.holes.push_back(lifted(ring, 1));
    }
  }
  std::size_t count = 0;
  EXPECT_NEAR(triangles_area(face, &count), face_area(face), 1e-9);
  const std::size_t corners = face_corners(face).size();
  EXPECT_EQ(count, corners + 2 * 54 - 2);
}

TEST(Triangulate, ManagesACombWithThinTeeth) {
  SolidFace face{{{0, 0, 0}, {20, 0, 0}}, {}};
  for (int i = 19; i >= 0; --i) {
    face.outline.push_back({i + 1.0, 0, 1});
    face.outline.push_back({i + 0.5, 0, i % 2 == 0 ? 0.01 : 0.999});
  }
  face.outline.push_back({0, 0, 1});
  EXPECT_NEAR(triangles_area(face), face_area(face), 1e-9);
}

TEST(Triangulate, ManagesAFloorsCeilingWithFourHundredHoles) {
  SolidFace face{lifted(rectangle({0, 0}, {30, 30}), 1), {}};
  for (int i = 0; i < 20; ++i) {
    for (int j = 0; j < 20; ++j) {
      const Vec2 low{0.45 + 1.5 * i, 0.45 + 1.5 * j};
      Ring ring = rectangle(low, low + Vec2{0.6, 0.6});
      std::reverse(ring.begin(), ring.end());
      face.holes.push_back(lifted(ring, 1));
    }
  }
  EXPECT_NEAR(triangles_area(face), 900 - 400 * 0.36, 1e-6);
}

TEST(Cut, AUShapeFallsIntoTwoPieces) {
  const Ring u{{0, 0}, {5, 0}, {5, 4}, {4, 4}, {4, 1}, {1, 1}, {1, 4}, {0, 4}};
  const auto legs = cut(u, {0, -1}, -2);  // y >= 2
  ASSERT_EQ(legs.size(), 2U);
  EXPECT_NEAR(signed_area(legs[0]), 2, 1e-12);
  EXPECT_NEAR(signed_area(legs[1]), 2, 1e-12);
}

TEST(Cut, ALineAlongAnEdgeLeavesWholePieces) {
  const Ring u{{0, 0}, {5, 0}, {5, 4}, {4, 4}, {4, 1}, {1, 1}, {1, 4}, {0, 4}};
  const auto legs = cut(u, {0, -1}, -1);  // y >= 1, along the bottom of the slot
  ASSERT_EQ(legs.size(), 2U);
  EXPECT_NEAR(signed_area(legs[0]) + signed_area(legs[1]), 6, 1e-12);
  const auto base = cut(u, {0, 1}, 1);
  ASSERT_EQ(base.size(), 1U);
  EXPECT_NEAR(signed_area(base[0]), 5, 1e-12);
}

TEST(Cut, PiecesOfARasterAddUpToTheWhole) {
  const Ring l{{0, 0}, {4.1, 0}, {4.1, 2.3}, {2.2, 2.3}, {2.2, 5}, {0, 5}};
  double sum = 0;
  for (int i = -1; i < 8; ++i)
    for (int j = -1; j < 9; ++j)
      for (const Ring& piece : cut(l, {0.6 * i, 0.6 * j}, {0.6 * i + 0.6, 0.6 * j + 0.6}))
        sum += signed_area(piece);
  EXPECT_NEAR(sum, 4.1 * 2.3 + 2.2 * 2.7, 1e-9);
}

}  // namespace
}  // namespace roomloom
