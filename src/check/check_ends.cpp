#include <algorithm>

#include "check/original.h"

namespace roomloom::check {
namespace {

constexpr double kEndTolerance = 0.001;
constexpr double kStandingHeight = 1.2;  // of the socket of a thing that stands on the floor
constexpr double kMountReach = 0.15;     // farthest that a mounted end may lie off every surface

void expect_at(const DrawnRun& run, const Vec3& drawn, const std::string& end, const Vec3& wanted,
               Findings& findings) {
  const double off = distance(drawn, wanted);
  if (off <= kEndTolerance) return;
  findings.items.push_back(
      {"end-misplaced", Level::must,
       "Run " + run.id + " ends " + length_text(off, run.units) + " from where end " + end + " is.",
       run.id, drawn, "Route again.", "geometry"});
}

// The job's own word, where it gives one: a plain point.
const Vec3* point_in_job(const Job& job, const std::string& end) {
  for (const EndSpec& spec : job.ends) {
    if (spec.id != end) continue;
    if (const auto* at = std::get_if<AtPoint>(&spec.place)) return &at->point;
  }
  return nullptr;
}

// Whether something that the end says it is mounted to holds it, though no surface is near: a
// floor below it, or furniture round it. How the run gets there is judged by check_surfaces.
bool stands_or_is_inside(const Job& job, const Scene& scene, const TriangleTree& tree,
                         const std::string& end, const Vec3& p) {
  const Mount mount = mount_in_job(job, end);
  if (mount == Mount::on_floor) {
    return tree.first_hit(p, {0, 0, -1}, 0, kStandingHeight).has_value();
  }
  if (mount != Mount::in_furniture) return false;
  return std::any_of(scene.parts.begin(), scene.parts.end(), [&](const Part& part) {
    const Role role = role_in_job(job, part);
    const bool holds = role == Role::furniture || role == Role::cupboard || role == Role::seat;
    return holds && part.kind == PartKind::mesh && box_of(scene, part).grown(0.001).contains(p);
  });
}

}  // namespace

void check_ends(const Written& written, const std::vector<DrawnRun>& runs, const Scene& original,
                const Job& job, Findings& findings) {
  const Faces faces = faces_of(original, believed_roles(written.plan, original, job), false);
  const TriangleTree tree(original.points, faces.triangles);
  const std::size_t before = findings.items.size();
  for (const DrawnRun& run : runs) {
    const std::pair<std::string, Vec3> ends[] = {{run.listed->from, run.line.front()},
                                                 {run.listed->to, run.line.back()}};
    for (const auto& [end, drawn] : ends) {
      const auto listed = written.plan.ends.find(end);
      if (listed != written.plan.ends.end()) expect_at(run, drawn, end, listed->second, findings);
      if (const Vec3* said = point_in_job(job, end)) {
        // An end on a sheet is put on it: the point given may lie a little off.
        const double off = distance(drawn, *said);
        if (off > 0.1) expect_at(run, drawn, end, *said, findings);
      }
      if (!in_zone(written.plan, drawn, 0.01) && tree.distance(drawn, kMountReach) >= kMountReach &&
          !stands_or_is_inside(job, original, tree, end, drawn)) {
        findings.items.push_back({"end-loose", Level::must,
                                  "End " + end + " of run " + run.id +
                                      " touches no surface and lies in no declared zone.",
                                  run.id, drawn, "Give the end a place on a part.", "geometry"});
      }
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
