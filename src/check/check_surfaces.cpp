#include <algorithm>

#include "check/drawn_runs.h"
#include "geometry/arc.h"
#include "geometry/triangles.h"

namespace roomloom::check {
namespace {

constexpr double kStep = 0.05;   // metres between the samples of a centreline
constexpr double kReach = 0.08;  // farthest a fixed cable's centre may lie off its surface
constexpr double kLowestRoom =
    1.6;                          // between two surfaces closer than this lies a void, not a room
constexpr double kTouch = 0.004;  // an end may touch the surface it is mounted on

// The part a triangle belongs to.
int part_of(const Scene& scene, std::uint32_t triangle) {
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    const Part& part = scene.parts[i];
    if (triangle >= part.first_triangle && triangle < part.first_triangle + part.triangle_count) {
      return static_cast<int>(i);
    }
  }
  return -1;
}

bool in_hole(const std::vector<ListedHole>& holes, const std::string& run, const Vec3& p) {
  return std::any_of(holes.begin(), holes.end(), [&](const ListedHole& hole) {
    const Vec3 off = p - hole.centre;
    const double along = dot(off, hole.normal);
    const double across = norm(off - along * hole.normal);
    const bool listed = std::find(hole.runs.begin(), hole.runs.end(), run) != hole.runs.end();
    return listed && across <= 0.5 * hole.diameter_m + 0.002 &&
           std::abs(along) <= hole.thickness_m + 0.03;
  });
}

std::vector<Vec3> samples(const std::vector<Vec3>& line) {
  std::vector<Vec3> points;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = distance(line[i], line[i + 1]);
    const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep)));
    for (int k = 0; k < steps; ++k) {
      points.push_back(line[i] + (static_cast<double>(k) / steps) * (line[i + 1] - line[i]));
    }
  }
  return points;
}

struct Surfaces {
  const Written& written;
  const Scene& scene;
  const TriangleTree& tree;
  double slack_m;           // residual and chord error of the model
  std::vector<Role> roles;  // one a part

  Role role_of(const RayHit& hit) const {
    const int part = part_of(scene, hit.triangle);
    return part < 0 ? Role::automatic : roles[static_cast<std::size_t>(part)];
  }

  // The air under a table or in a seat is no void that cables can run in.
  bool bounds_void(const RayHit& hit) const {
    const Role role = role_of(hit);
    return role != Role::furniture && role != Role::seat && role != Role::cupboard &&
           role != Role::curtain && role != Role::door && role != Role::window;
  }

  bool in_void(const Vec3& p) const {
    const auto up = tree.first_hit(p, {0, 0, 1}, 0, kLowestRoom);
    const auto down = tree.first_hit(p, {0, 0, -1}, 0, kLowestRoom);
    return up && down && up->t + down->t < kLowestRoom && bounds_void(*up) && bounds_void(*down);
  }

  // A conduit's own faces, and those of a part that stands for a hole, are there to be passed.
  bool may_pass(const DrawnRun& run, int part) const {
    if (part < 0) return false;
    const Role role = roles[static_cast<std::size_t>(part)];
    if (role == Role::conduit || role == Role::hole) return true;
    const std::string& name = scene.parts[static_cast<std::size_t>(part)].name;
    return role == Role::automatic && run.listed->conduits.count(name) != 0;
  }

  bool held(const DrawnRun& run, const Vec3& p) const {
    return in_zone(written.plan, p, 0.01) ||
           tree.distance(p, kReach + slack_m) < kReach + slack_m || in_void(p) ||
           in_hole(written.plan.holes, run.id, p);
  }

  void find_cuts(const DrawnRun& run, Findings& findings) const {
    for (std::size_t i = 0; i + 1 < run.line.size(); ++i) {
      for (const RayHit& hit : tree.hits(run.line[i], run.line[i + 1])) {
        const Vec3 direction = normalized(run.line[i + 1] - run.line[i]);
        const Vec3 at = run.line[i] + hit.t * direction;
        const double from_end =
            std::min(distance(at, run.line.front()), distance(at, run.line.back()));
        if (from_end < kTouch + slack_m || in_hole(written.plan.holes, run.id, at)) continue;
        if (in_zone(written.plan, at, 0.002)) continue;
        const int part = part_of(scene, hit.triangle);
        if (may_pass(run, part)) continue;
        const std::string name =
            part < 0 ? "a part" : "\"" + scene.parts[static_cast<std::size_t>(part)].name + "\"";
        findings.items.push_back(
            {"cuts-surface", Level::must,
             "Run " + run.id + " goes through " + name + " where no hole is listed.", run.id, at,
             "Report it: a plan must not do this.", "geometry"});
        return;
      }
    }
  }

  void find_floating(const DrawnRun& run, Findings& findings) const {
    for (const Vec3& p : samples(run.line)) {
      if (held(run, p)) continue;
      findings.items.push_back({"unsupported", Level::must,
                                "Run " + run.id + " hangs free: no surface within " +
                                    millimetres(kReach) +
                                    ", no void and no declared free zone holds it there.",
                                run.id, p, "Report it: a plan must not do this.", "geometry"});
      return;
    }
  }
};

}  // namespace

void check_surfaces(const Written& written, const std::vector<DrawnRun>& runs,
                    const Scene& original, const Job& job, Findings& findings) {
  const TriangleTree tree(original.points, original.triangles);
  std::vector<Role> roles;
  for (const Part& part : original.parts) roles.push_back(role_in_job(job, part));
  const Surfaces surfaces{written, original, tree, original.source.chord_error_m, std::move(roles)};
  const std::size_t before = findings.items.size();
  for (const DrawnRun& run : runs) {
    surfaces.find_cuts(run, findings);
    surfaces.find_floating(run, findings);
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
