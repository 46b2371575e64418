#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/original.h"

namespace roomloom::check {
namespace {

constexpr double kStep = 0.01;         // metres between the samples of a centreline
constexpr double kBelow = 0.1;         // this far below the tiles nothing else holds a cable
constexpr double kHeld = 0.06;         // from another surface, such as a wall's raceway
constexpr double kHand = 0.13;         // a cable may lean so far from the wall to a hole
constexpr double kLeast = 0.05;        // more than a tile and a cable are thick
constexpr double kBesideJoint = 0.02;  // more than half of a tee, 24 mm wide

struct Hanging {
  double length_m = 0;
  Vec3 at;
  std::string below;
};

struct Tiles {
  const Written& written;
  const Scene& scene;
  const std::vector<Role>& roles;
  const Faces& faces;
  const TriangleTree& tree;    // of all faces
  const TriangleTree& others;  // of all but suspended ceilings and what lies above them all
  double lowest, highest;      // metres: where tiles are

  // The suspended ceiling just above a point; beside a joint between tiles, that of the tile.
  std::optional<int> tile_above(const Vec3& p) const {
    if (p.z + kBelow < lowest || p.z > highest) return std::nullopt;
    for (const Vec2 off :
         {Vec2{0, 0}, Vec2{kBesideJoint, kBesideJoint}, Vec2{-kBesideJoint, -kBesideJoint}}) {
      const auto up = tree.first_hit(p + Vec3{off.x, off.y, 0}, {0, 0, 1}, 0, kBelow);
      if (!up) continue;
      const int part = faces.parts[up->triangle];
      if (roles[static_cast<std::size_t>(part)] == Role::suspended_ceiling) return part;
    }
    return std::nullopt;
  }

  // The pieces of a run that only the tiles above are near to.
  std::vector<Hanging> hanging(const std::vector<Vec3>& line) const {
    std::vector<Hanging> found;
    Hanging now;
    double farthest = 0;
    const auto close = [&] {
      if (farthest > kHand && now.length_m > kLeast) found.push_back(now);
      now = {};
      farthest = 0;
    };
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      const double length = distance(line[i], line[i + 1]);
      const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep)));
      for (int k = 0; k < steps; ++k) {
        const Vec3 p = line[i] + ((k + 0.5) / steps) * (line[i + 1] - line[i]);
        const auto tile = tile_above(p);
        const double away = tile ? others.distance(p, 2 * kHand) : 0;
        if (away < kHeld || in_zone(written.plan, p, 0.01)) {
          close();
          continue;
        }
        if (now.length_m <= 0) now.at = p;
        now.below = scene.parts[static_cast<std::size_t>(*tile)].name;
        now.length_m += length / steps;
        farthest = std::max(farthest, away);
      }
    }
    close();
    return found;
  }
};

}  // namespace

void check_below_tiles(const Written& written, const std::vector<DrawnRun>& runs,
                       const Scene& original, const Job& job, Findings& findings) {
  const std::vector<Role> roles = believed_roles(written.plan, original, job);
  const Faces faces = faces_of(original, roles, false);
  const auto is_tile = [&](std::size_t i) {
    return roles[static_cast<std::size_t>(faces.parts[i])] == Role::suspended_ceiling;
  };
  double lowest_tile = Box3::kInf, highest_tile = -Box3::kInf;
  for (std::size_t i = 0; i < faces.triangles.size(); ++i)
    if (is_tile(i))
      for (const std::uint32_t point : faces.triangles[i]) {
        lowest_tile = std::min(lowest_tile, original.points[point].z);
        highest_tile = std::max(highest_tile, original.points[point].z);
      }
  if (std::isinf(highest_tile)) return;
  // What lies above all tiles, as ducts do, holds nothing below them.
  Faces others;
  for (std::size_t i = 0; i < faces.triangles.size(); ++i)
    if (!is_tile(i) &&
        std::any_of(faces.triangles[i].begin(), faces.triangles[i].end(),
                    [&](std::uint32_t point) { return original.points[point].z < highest_tile; }))
      others.triangles.push_back(faces.triangles[i]);
  const TriangleTree tree(original.points, faces.triangles);
  const TriangleTree apart(original.points, others.triangles);
  const Tiles tiles{written, original, roles, faces, tree, apart, lowest_tile, highest_tile};
  std::string text, subject;
  std::optional<Vec3> at;
  for (const DrawnRun& run : runs)
    for (const Hanging& piece : tiles.hanging(run.line)) {
      text += (text.empty() ? "" : "; ") + run.id + " " +
              format_length(piece.length_m, written.units, 2) + " under " + piece.below;
      subject += (subject.empty() ? "" : ", ") + run.id;
      if (!at) at = piece.at;
    }
  if (text.empty()) return;
  findings.items.push_back(
      {"free-zones", Level::note,
       "Cable lies free just below ceiling tiles, fixed to nothing: " + text +
           ". No hole could be cut nearer, the job asks for this way, or it comes from a wall so "
           "near "
           "that the void costs more.",
       subject, at,
       "Tie it to a support of its own above, or move the end to where a tile can be cut.",
       "common practice, no source"});
}

}  // namespace roomloom::check
