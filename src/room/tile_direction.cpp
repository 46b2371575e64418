#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "room/ceilings.h"
#include "room/roles.h"

// Which way the tiles of suspended ceilings run. In a room that is out of square that need not be
// the way of any wall.

namespace roomloom {
namespace {

constexpr double kSame_m = 1e-4;  // points nearer than this are one
constexpr int kBins = 1800;       // to a quarter turn: 0.05 degrees each

/// Lengths of level edges by their direction, quarter turns being alike.
class Directions {
 public:
  void add(const Vec3& from, const Vec3& to) {
    const double length = distance(from, to);
    if (length < kSame_m || std::abs(to.z - from.z) > kSame_m) return;
    const double angle = std::remainder(std::atan2(to.y - from.y, to.x - from.x), kPi / 2);
    Bin& bin = bins_[static_cast<std::size_t>(bin_of(angle))];
    bin.length += length;
    bin.sine += length * std::sin(4 * angle);
    bin.cosine += length * std::cos(4 * angle);
    whole_ += length;
  }

  /// The direction that at least a share of all length has, in radians within an eighth of a turn.
  std::optional<double> commonest(double least_share) const {
    Bin best;
    for (int i = 0; i < kBins; ++i) {
      Bin near;
      for (const int k : {i, (i + 1) % kBins, (i + 2) % kBins}) {
        const Bin& bin = bins_[static_cast<std::size_t>(k)];
        near.length += bin.length;
        near.sine += bin.sine;
        near.cosine += bin.cosine;
      }
      if (near.length > best.length + kSame_m) best = near;
    }
    if (whole_ <= 0 || best.length < least_share * whole_) return std::nullopt;
    return std::atan2(best.sine, best.cosine) / 4;
  }

 private:
  struct Bin {
    double length = 0, sine = 0, cosine = 0;
  };
  static int bin_of(double angle) {
    const int bin = static_cast<int>(std::floor((angle / (kPi / 2) + 0.5) * kBins));
    return std::clamp(bin, 0, kBins - 1);
  }

  std::array<Bin, kBins> bins_{};
  double whole_ = 0;
};

using Place = std::array<long, 3>;
Place place_of(const Vec3& p) {
  return {std::lround(p.x / kSame_m), std::lround(p.y / kSame_m), std::lround(p.z / kSame_m)};
}

/// The outlines of a part's level faces, without the lines that only part their triangles.
void add_outlines(const Scene& scene, const Part& part, Directions& directions) {
  std::map<std::array<Place, 2>, std::array<Vec3, 2>> edges;
  for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
    const auto& corners = scene.triangles[part.first_triangle + t];
    std::array<Vec3, 3> at;
    for (std::size_t i = 0; i < 3; ++i) at[i] = scene.points[corners[i]];
    const Vec3 n = cross(at[1] - at[0], at[2] - at[0]);
    if (norm(n) < 1e-9 || std::abs(n.z) < 0.999 * norm(n)) continue;
    for (std::size_t i = 0; i < 3; ++i) {
      const Vec3 &from = at[i], &to = at[(i + 1) % 3];
      // The neighbour in one face runs along their common edge the other way.
      if (edges.erase({place_of(to), place_of(from)}) == 0)
        edges.insert({{place_of(from), place_of(to)}, {from, to}});
    }
  }
  for (const auto& [key, edge] : edges) directions.add(edge[0], edge[1]);
}

bool lies_in_ceiling(const Box3& thing, const Box3& ceiling) {
  constexpr double kNear_m = 0.02;
  return thing.low.z < ceiling.high.z + kNear_m && thing.high.z > ceiling.low.z - kNear_m &&
         thing.low.x < ceiling.high.x && thing.high.x > ceiling.low.x &&
         thing.low.y < ceiling.high.y && thing.high.y > ceiling.low.y;
}

}  // namespace

std::vector<std::size_t> pieces_of(const Scene& scene, const Part& part) {
  std::map<Place, std::size_t> known;
  std::vector<std::size_t> place(part.point_count), leader;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    place[i] =
        known.try_emplace(place_of(scene.points[part.first_point + i]), known.size()).first->second;
  for (std::size_t i = 0; i < known.size(); ++i) leader.push_back(i);
  const auto leader_of = [&](std::size_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
    const auto& [a, b, c] = scene.triangles[part.first_triangle + t];
    for (const std::uint32_t corner : {b, c})
      leader[leader_of(place[corner - part.first_point])] = leader_of(place[a - part.first_point]);
  }
  for (std::size_t& piece : place) piece = leader_of(piece);
  return place;
}

std::optional<TileDirection> tile_direction(const Scene& scene,
                                            const std::vector<PartRole>& roles) {
  constexpr std::size_t kArray = 4;  // pieces: fewer are sheets
  Directions tiles, luminaires;
  Box3 ceiling;
  std::size_t pieces = 0;
  bool is_sketched = false;
  for (std::size_t i = 0; i < roles.size(); ++i) {
    if (roles[i].role != Role::suspended_ceiling || scene.parts[i].point_count == 0) continue;
    const Part& part = scene.parts[i];
    add_outlines(scene, part, tiles);
    const Box3 box = box_of(scene, part);
    ceiling.add(box.low);
    ceiling.add(box.high);
    const std::vector<std::size_t> piece = pieces_of(scene, part);
    pieces += std::set<std::size_t>(piece.begin(), piece.end()).size();
    is_sketched = is_sketched || part.extras.contains("grid_from");
  }
  if (pieces == 0) return std::nullopt;
  if (pieces >= kArray)
    if (const auto angle = tiles.commonest(0.5)) return TileDirection{*angle, true};
  for (std::size_t i = 0; i < roles.size(); ++i)
    if (roles[i].role == Role::luminaire && lies_in_ceiling(box_of(scene, scene.parts[i]), ceiling))
      add_outlines(scene, scene.parts[i], luminaires);
  if (const auto angle = luminaires.commonest(0.8)) return TileDirection{*angle, true};
  if (is_sketched) return TileDirection{};
  return std::nullopt;
}

}  // namespace roomloom
