#include "room/faces.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace roomloom {
namespace {

struct Facet {
  std::uint32_t triangle = 0;
  Vec3 normal, centre;
  double area = 0;
  Vec3 smooth;  ///< of a noisy mesh: how the surface round it looks
};

std::vector<Facet> facets_of(const Scene& scene, const Part& part) {
  std::vector<Facet> facets;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    const auto& t = scene.triangles[part.first_triangle + i];
    const Vec3 &a = scene.points[t[0]], &b = scene.points[t[1]], &c = scene.points[t[2]];
    const Vec3 n = cross(b - a, c - a);
    const double area = 0.5 * norm(n);
    if (area > 1e-9)
      facets.push_back({part.first_triangle + i, normalized(n), (a + b + c) / 3.0, area, {}});
  }
  std::stable_sort(facets.begin(), facets.end(),
                   [](const Facet& a, const Facet& b) { return a.area > b.area; });
  return facets;
}

double stray(const Scene& scene, std::uint32_t triangle, const Vec3& normal, double offset) {
  double most = 0;
  for (const std::uint32_t p : scene.triangles[triangle])
    most = std::max(most, std::abs(dot(normal, scene.points[p]) - offset));
  return most;
}

using Key = std::tuple<int, int, int, int>;
Key key_of(const Vec3& n, double offset, double angle_step, double offset_step) {
  const auto q = [](double x, double step) { return static_cast<int>(std::floor(x / step)); };
  return {q(n.x, angle_step), q(n.y, angle_step), q(n.z, angle_step), q(offset, offset_step)};
}

// The eigenvector of the smallest eigenvalue of a symmetric 3 x 3 matrix, found by inverse
// iteration from a guess that is known to be near.
Vec3 least_axis(const std::array<Vec3, 3>& m, Vec3 guess) {
  const double trace = m[0].x + m[1].y + m[2].z;
  const double shift = 1e-9 * trace + 1e-300;
  for (int round = 0; round < 8; ++round) {
    const Vec3 a{m[0].x + shift, m[0].y, m[0].z}, b{m[1].x, m[1].y + shift, m[1].z},
        c{m[2].x, m[2].y, m[2].z + shift};
    const double det = dot(a, cross(b, c));
    if (std::abs(det) < 1e-300) break;
    const Vec3 next{dot(guess, cross(b, c)), dot(guess, cross(c, a)), dot(guess, cross(a, b))};
    guess = normalized(next / det);
  }
  return guess;
}

// Least squares through the facets' centres, weighted by area.
void fit(const std::vector<Facet>& facets, const std::vector<std::size_t>& chosen, Vec3& normal,
         double& offset) {
  Vec3 mean;
  double weight = 0;
  for (const std::size_t i : chosen) {
    mean += facets[i].area * facets[i].centre;
    weight += facets[i].area;
  }
  mean = mean / weight;
  std::array<Vec3, 3> m{};
  for (const std::size_t i : chosen) {
    const Vec3 d = facets[i].centre - mean;
    for (int row = 0; row < 3; ++row)
      m[static_cast<std::size_t>(row)] += (facets[i].area * d[row]) * d;
  }
  const Vec3 fitted = least_axis(m, normal);
  if (dot(fitted, normal) < 0.9) return;
  normal = fitted;
  offset = dot(normal, mean);
}

// Half of them by 15 degrees and more. Else they lie truer than a mean across edges and round
// corners.
bool tilted_by_noise(const std::vector<Facet>& facets) {
  std::vector<double> cosines;
  for (const Facet& facet : facets) cosines.push_back(dot(facet.normal, facet.smooth));
  const auto middle = cosines.begin() + static_cast<std::ptrdiff_t>(cosines.size() / 2);
  std::nth_element(cosines.begin(), middle, cosines.end());
  return middle != cosines.end() && *middle < 0.966;
}

// Noise tilts small triangles by tens of degrees; together those of a hand's breadth lie true.
bool smooth_normals(std::vector<Facet>& facets) {
  constexpr double kReach = 0.15;
  std::map<std::array<int, 3>, std::vector<std::size_t>> cells;
  const auto cell_of = [](const Vec3& p) {
    const auto q = [](double x) { return static_cast<int>(std::floor(x / kReach)); };
    return std::array<int, 3>{q(p.x), q(p.y), q(p.z)};
  };
  for (std::size_t i = 0; i < facets.size(); ++i) cells[cell_of(facets[i].centre)].push_back(i);
  // Of one cell and one way to look: the sum over it and its neighbours.
  for (const auto& [cell, own] : cells) {
    std::vector<std::size_t> near;
    for (int step = 0; step < 27; ++step) {
      const auto found =
          cells.find({cell[0] + step % 3 - 1, cell[1] + step / 3 % 3 - 1, cell[2] + step / 9 - 1});
      if (found != cells.end()) near.insert(near.end(), found->second.begin(), found->second.end());
    }
    const std::size_t stride = 1 + near.size() / 300;
    for (const std::size_t i : own) {
      Vec3 sum = facets[i].area * facets[i].normal;
      for (std::size_t k = 0; k < near.size(); k += stride) {
        const Facet& other = facets[near[k]];
        if (dot(other.normal, facets[i].normal) > 0.5) sum += other.area * other.normal;
      }
      facets[i].smooth = normalized(sum);
    }
  }
  if (tilted_by_noise(facets)) return true;
  for (Facet& facet : facets) facet.smooth = facet.normal;
  return false;
}

// The direction and offset that most of the remaining area shares; offsets from `middle`, since far
// away a tilt by noise would count as a step aside.
bool strongest(const std::vector<Facet>& facets, const std::vector<bool>& taken, const Vec3& middle,
               Vec3& normal, double& offset, double least_area) {
  struct Vote {
    double area = 0;
    Vec3 normal;
    double offset = 0;
  };
  std::map<Key, Vote> votes;
  for (std::size_t i = 0; i < facets.size(); ++i) {
    if (taken[i]) continue;
    const double d = dot(facets[i].smooth, facets[i].centre - middle);
    Vote& vote = votes[key_of(facets[i].smooth, d, 0.25, 0.12)];
    vote.area += facets[i].area;
    vote.normal += facets[i].area * facets[i].smooth;
    vote.offset += facets[i].area * d;
  }
  const Vote* best = nullptr;
  for (const auto& [key, vote] : votes)
    if (!best || vote.area > best->area) best = &vote;
  if (!best || best->area < least_area) return false;
  normal = normalized(best->normal);
  offset = best->offset / best->area + dot(normal, middle);
  return true;
}

std::vector<std::size_t> near_plane(const std::vector<Facet>& facets,
                                    const std::vector<bool>& taken, const Vec3& normal,
                                    double offset, double within, double least) {
  std::vector<std::size_t> chosen;
  for (std::size_t i = 0; i < facets.size(); ++i) {
    const double own = dot(facets[i].normal, normal), round = dot(facets[i].smooth, normal);
    if (taken[i] || (std::max(own, round) < 0.85 && std::min(own, round) < least)) continue;
    if (std::abs(dot(normal, facets[i].centre) - offset) <= within) chosen.push_back(i);
  }
  return chosen;
}

// The distance that 95 % of the area keeps.
double robust_residual(const std::vector<Facet>& facets, const std::vector<std::size_t>& chosen,
                       const Vec3& normal, double offset) {
  std::vector<std::pair<double, double>> strays;
  double total = 0;
  for (const std::size_t i : chosen) {
    strays.emplace_back(std::abs(dot(normal, facets[i].centre) - offset), facets[i].area);
    total += facets[i].area;
  }
  std::sort(strays.begin(), strays.end());
  double sum = 0;
  for (const auto& [distance, area] : strays)
    if ((sum += area) >= 0.95 * total) return distance;
  return 0;
}

}  // namespace

std::vector<PlanarFace> exact_faces(const Scene& scene, int part) {
  constexpr double kWithin = 0.001, kCosine = 0.995, kAngle = 0.05, kOffset = 0.01;
  std::vector<PlanarFace> faces;
  std::map<Key, std::vector<std::size_t>> near;
  for (const Facet& facet : facets_of(scene, scene.parts[static_cast<std::size_t>(part)])) {
    const double offset = dot(facet.normal, facet.centre);
    const auto [kx, ky, kz, kd] = key_of(facet.normal, offset, kAngle, kOffset);
    PlanarFace* home = nullptr;
    for (int step = 0; step < 81 && !home; ++step) {
      const auto found = near.find(
          {kx + step % 3 - 1, ky + step / 3 % 3 - 1, kz + step / 9 % 3 - 1, kd + step / 27 - 1});
      if (found == near.end()) continue;
      for (const std::size_t i : found->second) {
        PlanarFace& face = faces[i];
        if (dot(face.normal, facet.normal) < kCosine) continue;
        const double away = stray(scene, facet.triangle, face.normal, face.offset);
        if (away > kWithin) continue;
        face.residual_m = std::max(face.residual_m, away);
        home = &face;
        break;
      }
    }
    if (!home) {
      near[{kx, ky, kz, kd}].push_back(faces.size());
      faces.push_back({part, facet.normal, offset, 0, 0, {}});
      home = &faces.back();
    }
    home->area_m2 += facet.area;
    home->triangles.push_back(facet.triangle);
  }
  return faces;
}

std::vector<PlanarFace> fitted_faces(const Scene& scene, int part) {
  constexpr double kLeastArea = 0.4, kWithin = 0.06;
  constexpr int kMostPlanes = 60;
  auto facets = facets_of(scene, scene.parts[static_cast<std::size_t>(part)]);
  // Where noise tilts the triangles, one may look by a half elsewhere and still lie in a plane.
  const double least = smooth_normals(facets) ? 0.6 : 0.85;
  Box3 box;
  for (const Facet& facet : facets) box.add(facet.centre);
  // Most scans are made round their origin.
  const Vec3 middle = box.contains({0, 0, 0}) ? Vec3{} : box.centre();
  std::vector<bool> taken(facets.size(), false);
  std::vector<PlanarFace> faces;
  Vec3 normal;
  double offset = 0;
  while (static_cast<int>(faces.size()) < kMostPlanes &&
         strongest(facets, taken, middle, normal, offset, kLeastArea)) {
    std::vector<std::size_t> chosen;
    for (const double within : {2 * kWithin, kWithin, kWithin}) {
      chosen = near_plane(facets, taken, normal, offset, within, least);
      if (chosen.empty()) break;
      fit(facets, chosen, normal, offset);
    }
    chosen = near_plane(facets, taken, normal, offset, kWithin, least);
    PlanarFace face{part, normal, offset, 0, 0, {}};
    for (const std::size_t i : chosen) {
      taken[i] = true;
      face.area_m2 += facets[i].area;
      face.triangles.push_back(facets[i].triangle);
    }
    if (chosen.empty()) break;
    face.residual_m = robust_residual(facets, chosen, normal, offset);
    if (face.area_m2 >= kLeastArea) faces.push_back(std::move(face));
  }
  return faces;
}

}  // namespace roomloom
