#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "check/original.h"
#include "geometry/arc.h"
#include "geometry/framed_box.h"
#include "trade/fill.h"

namespace roomloom::check {
namespace {

constexpr double kStep = 0.05;   // metres between the samples of a centreline
constexpr double kReach = 0.08;  // farthest a fixed cable's centre may lie off its surface
constexpr double kLowestRoom =
    1.6;  // between two surfaces closer than this lies a void, not a room
constexpr double kBesideJoint = 0.02;  // more than half of a tee, 24 mm wide
constexpr double kTouch = 0.004;       // an end may touch the surface it is mounted on
constexpr double kNoise = 0.3;    // this far either side of a bump of a scan, a run must lie at it
constexpr double kRough = 0.001;  // metres: what is flatter than this is no scan

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

/// Directions all round a cable, square to its own.
std::array<Vec3, 8> looks_across(const Vec3& direction) {
  const Vec3 aside = std::abs(direction.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0};
  const Vec3 x = normalized(cross(direction, aside)), y = cross(direction, x);
  std::array<Vec3, 8> looks;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    // Beside the edges of a prism.
    const double turn =
        2 * kPi * (static_cast<double>(i) + 0.37) / static_cast<double>(looks.size());
    looks[i] = std::cos(turn) * x + std::sin(turn) * y;
  }
  return looks;
}

/// Whether a point of a cable lies in the bore of a conduit of the model: all round it, across the
/// cable's direction, are the conduit's own faces; or it is at the line that stands for one.
bool lies_in_bore(const Scene& scene, const Part& conduit, const Vec3& at, const Vec3& direction) {
  constexpr double kWidest = 0.15, kBesideLine = 0.03;
  if (conduit.kind == PartKind::curve) {
    for (std::uint32_t i = 0; i + 1 < conduit.point_count; ++i)
      if (point_segment_distance(at, scene.points[conduit.first_point + i],
                                 scene.points[conduit.first_point + i + 1]) < kBesideLine)
        return true;
    return false;
  }
  const auto first = scene.triangles.begin() + conduit.first_triangle;
  const std::vector<std::array<std::uint32_t, 3>> own(first, first + conduit.triangle_count);
  const TriangleTree tree(scene.points, own);
  for (const Vec3& look : looks_across(direction))
    if (!tree.first_hit(at, look, 0, kWidest)) return false;
  return true;
}

struct Surfaces {
  const Written& written;
  const Scene& scene;
  const TriangleTree& tree;
  const Faces& faces;       // of the tree
  double slack_m;           // residual and chord error of the model
  double residual_m;        // of the planes fitted to a scan; 0 for a model that was drawn
  std::vector<Role> roles;  // one a part
  std::vector<double> beyond_m = {};  // one a zone: see bundle_beyond

  Role role_of(const RayHit& hit) const {
    return roles[static_cast<std::size_t>(faces.parts[hit.triangle])];
  }

  // The air under a table or in a seat is no void that cables can run in.
  bool bounds_void(const RayHit& hit) const {
    const Role role = role_of(hit);
    return role != Role::furniture && role != Role::seat && role != Role::cupboard &&
           role != Role::curtain && role != Role::door && role != Role::window;
  }

  bool in_void(const Vec3& p) const {
    if (void_floor(p)) return true;
    // A ceiling modelled tile by tile is open along its joints, a tee's width at most.
    for (const double x : {-kBesideJoint, kBesideJoint})
      for (const double y : {-kBesideJoint, kBesideJoint})
        if (const auto floor = void_floor(p + Vec3{x, y, 0});
            floor && role_of(*floor) == Role::suspended_ceiling)
          return true;
    return false;
  }

  // What a void lies on below a point, if it is in one.
  std::optional<RayHit> void_floor(const Vec3& p) const {
    const auto up = tree.first_hit(p, {0, 0, 1}, 0, kLowestRoom);
    const auto down = tree.first_hit(p, {0, 0, -1}, 0, kLowestRoom);
    if (!down || !bounds_void(*down)) return std::nullopt;
    const bool bounded =
        up ? up->t + down->t < kLowestRoom && bounds_void(*up)
           : role_of(*down) == Role::suspended_ceiling && down->t < kGuessedVoid && is_topmost(p);
    return bounded ? down : std::nullopt;
  }

  // A model that ends with its suspended ceiling, such as a scan, shows no slab above: a void of a
  // usual height is taken for granted, as the survey says.
  bool is_topmost(const Vec3& p) const {
    constexpr double kAnyHeight = 1000;
    return !tree.first_hit(p, {0, 0, 1}, 0, kAnyHeight);
  }

  // A conduit's own faces, and those of a part that stands for a hole, are there to be passed.
  bool may_pass(const DrawnRun& run, int part) const {
    const Role role = roles[static_cast<std::size_t>(part)];
    if (role == Role::conduit || role == Role::hole) return true;
    const std::string& name = scene.parts[static_cast<std::size_t>(part)].name;
    return role == Role::automatic && run.listed->conduits.count(name) != 0;
  }

  // What a conduit goes through, a cable in it does too.
  bool in_conduit(const DrawnRun& run, const Vec3& at, const Vec3& direction) const {
    for (std::size_t i = 0; i < scene.parts.size(); ++i)
      if (roles[i] == Role::conduit && run.listed->conduits.count(scene.parts[i].name) != 0 &&
          lies_in_bore(scene, scene.parts[i], at, direction))
        return true;
    return false;
  }

  // A curtain that reaches to a wall gives way to what is fixed there.
  bool brushes_curtain(const Vec3& at, const Vec3& direction, int part) const {
    if (roles[static_cast<std::size_t>(part)] != Role::curtain) return false;
    for (const Vec3& look : looks_across(direction))
      for (const RayHit& hit : tree.hits(at, at + kReach * look))
        if (role_of(hit) != Role::curtain) return true;
    return false;
  }

  // A scan's surface waves about the plane that stands for it: a run on the plane dips into it here
  // and there, but stays at it. One that goes through to somewhere else does not, and what is flat
  // is no scan, whatever the plan says.
  bool is_noise(const DrawnRun& run, const Vec3& at, std::uint32_t triangle) const {
    if (residual_m <= 0 || roughness(scene, faces, tree, triangle, at) < kRough) return false;
    const double reach = residual_m + kReach / 2;
    for (const Vec3& p : samples(run.line)) {
      if (distance(p, at) > kNoise || in_zone(written.plan, p, 0.01)) continue;
      if (tree.distance(p, 2 * reach) > reach) return false;
    }
    return true;
  }

  // What a plan claims of a scan's noise holds where the faces are rough, nowhere else.
  double slack_at(const Vec3& at, std::uint32_t triangle) const {
    const bool rough = residual_m > 0 && roughness(scene, faces, tree, triangle, at) >= kRough;
    return scene.source.chord_error_m + (rough ? residual_m : 0);
  }

  // A run may begin in the very face that its end is mounted on, if it stays on the end's own side
  // of it as far as that face goes.
  bool touches_at_its_end(const DrawnRun& run, const Vec3& at, std::uint32_t triangle) const {
    const bool first = distance(at, run.line.front()) <= distance(at, run.line.back());
    const Vec3& tip = first ? run.line.front() : run.line.back();
    const double slack = kTouch + slack_at(at, triangle);
    if (distance(at, tip) >= slack) return false;
    const auto outward = written.plan.outward.find(first ? run.listed->from : run.listed->to);
    if (outward == written.plan.outward.end()) return false;
    std::vector<Vec3> way = samples(run.line);
    if (!first) std::reverse(way.begin(), way.end());
    for (const Vec3& p : way) {
      const double height = dot(p - tip, outward->second);
      // Round an outside corner the way is past the face's edge before it is far behind its plane.
      const double past = slack / 4;
      const bool left = tree.distance(p - height * outward->second, 2 * past) > past;
      if (left || in_hole(written.plan.holes, run.id, p)) break;
      if (height < -slack) return false;
    }
    return true;
  }

  // Free cable may rise through the board of a desk, never through a wall, ceiling or floor.
  bool in_furniture(const Vec3& at, std::size_t part) const {
    return in_zone(written.plan, at, 0.002) && is_furniture(scene, roles, part);
  }

  bool in_zone_or_its_bundle(const Vec3& p) const {
    for (std::size_t i = 0; i < beyond_m.size(); ++i) {
      const auto& zone = written.plan.zones[i];
      if (in_framed_box(zone.frame, zone.size, p, beyond_m[i])) return true;
    }
    return false;
  }

  bool held(const DrawnRun& run, const Vec3& p) const {
    return in_zone_or_its_bundle(p) || tree.distance(p, kReach + slack_m) < kReach + slack_m ||
           in_void(p) || in_hole(written.plan.holes, run.id, p);
  }

  void find_cuts(const DrawnRun& run, Findings& findings) const {
    for (std::size_t i = 0; i + 1 < run.line.size(); ++i) {
      for (const RayHit& hit : tree.hits(run.line[i], run.line[i + 1])) {
        const Vec3 direction = normalized(run.line[i + 1] - run.line[i]);
        const Vec3 at = run.line[i] + hit.t * direction;
        if (touches_at_its_end(run, at, hit.triangle) || in_hole(written.plan.holes, run.id, at))
          continue;
        const int part = faces.parts[hit.triangle];
        if (may_pass(run, part) || in_furniture(at, static_cast<std::size_t>(part))) continue;
        if (is_noise(run, at, hit.triangle) || in_conduit(run, at, direction) ||
            brushes_curtain(at, direction, part))
          continue;
        const std::string name = "\"" + scene.parts[static_cast<std::size_t>(part)].name + "\"";
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
                                    length_text(kReach, written.units) +
                                    ", no void and no declared free zone holds it there.",
                                run.id, p, "Report it: a plan must not do this.", "geometry"});
      return;
    }
  }
};

// How far beyond a free zone's sides its cables may lie: what lies along a side is tied to a bundle
// whose middle is in the zone, and no bundle is thinner than its cables.
double bundle_beyond(const WrittenPlan::FreeZone& zone, const std::vector<DrawnRun>& runs) {
  constexpr double kSlack = 0.01;
  std::vector<double> diameters;
  for (const DrawnRun& run : runs)
    if (std::any_of(run.line.begin(), run.line.end(),
                    [&](const Vec3& p) { return in_framed_box(zone.frame, zone.size, p, kSlack); }))
      diameters.push_back(run.cable->diameter_m);
  return std::max(kSlack, 0.5 * trade::least_bundle_m(diameters));
}

// The plan took a part for nothing that is there; where runs pass it, the user is told.
void tell_ignored(const Written& written, const std::vector<DrawnRun>& runs, const Scene& original,
                  const Job& job, const std::vector<Role>& roles, Findings& findings) {
  const Faces faces = faces_of(original, roles, true);
  const TriangleTree tree(original.points, faces.triangles);
  std::set<int> passed;
  for (const DrawnRun& run : runs) {
    for (std::size_t i = 0; i + 1 < run.line.size(); ++i) {
      for (const RayHit& hit : tree.hits(run.line[i], run.line[i + 1]))
        passed.insert(faces.parts[hit.triangle]);
    }
  }
  for (const int part : passed) {
    const Part& one = original.parts[static_cast<std::size_t>(part)];
    if (role_in_job(job, one) == Role::ignore) continue;
    const auto why = written.plan.ignored.find(one.name);
    findings.items.push_back(
        {"ignored-part", Level::note,
         "Runs pass through \"" + one.name +
             "\", which the plan takes for nothing that is there: " +
             (why == written.plan.ignored.end() ? "no reason is given" : why->second) + ".",
         one.name, std::nullopt,
         "Say what it is under \"parts\" in the job: \"ignore\", or what stands there.",
         "geometry"});
  }
}

}  // namespace

void check_surfaces(const Written& written, const std::vector<DrawnRun>& runs,
                    const Scene& original, const Job& job, Findings& findings) {
  const std::vector<Role> roles = believed_roles(written.plan, original, job);
  const Faces faces = faces_of(original, roles, false);
  const TriangleTree tree(original.points, faces.triangles);
  const double residual = believed_residual(written.plan);
  Surfaces surfaces{written,  original, tree, faces, original.source.chord_error_m + residual,
                    residual, roles};
  for (const auto& zone : written.plan.zones)
    surfaces.beyond_m.push_back(bundle_beyond(zone, runs));
  const std::size_t before = findings.items.size();
  for (const DrawnRun& run : runs) {
    surfaces.find_cuts(run, findings);
    surfaces.find_floating(run, findings);
  }
  tell_ignored(written, runs, original, job, roles, findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
