#include <algorithm>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kInPlane = 1e-5;

// Mean of a washer's points, the direction across it, and its inner diameter.
struct MeasuredRing {
  Vec3 centre, normal;
  double inner_m = 0;
};

MeasuredRing measure(const WrittenThing& thing, const Vec3& expected_normal) {
  MeasuredRing ring;
  Box3 box;
  for (const Vec3& p : thing.points) box.add(p);
  ring.centre = box.centre();
  ring.normal = expected_normal;
  double inner = 1e9;
  for (const Vec3& p : thing.points) {
    const Vec3 off = p - ring.centre;
    const double across = norm(off - dot(off, ring.normal) * ring.normal);
    inner = std::min(inner, across);
  }
  ring.inner_m = 2 * inner;
  return ring;
}

void check_ring(const ListedHole& hole, const WrittenModel& model, DisplayUnits units,
                Findings& findings) {
  const WrittenThing* thing = find_thing(model, "Hole " + hole.name);
  const auto tell = [&](const std::string& text) {
    findings.items.push_back({"hole-ring", Level::must, text + " in " + model.file + ".", hole.name,
                              hole.centre, "Route again, or restore the file.", "geometry"});
  };
  if (thing == nullptr || thing->points.empty()) return tell("Hole " + hole.name + " has no ring");
  const MeasuredRing ring = measure(*thing, hole.normal);
  const Vec3 off = ring.centre - hole.centre;
  const double across = norm(off - dot(off, hole.normal) * hole.normal);
  if (across > 0.002) {
    tell("The ring of hole " + hole.name + " lies " + length_text(across, units) +
         " off its place");
  }
  // A ring of straight pieces touches its circle at the corners or at the middles.
  if (std::abs(ring.inner_m - hole.diameter_m) > 0.001 + 0.04 * hole.diameter_m) {
    tell("The ring of hole " + hole.name + " is " + length_text(ring.inner_m, units) +
         " wide inside; the hole measures " + length_text(hole.diameter_m, units));
  }
}

// How near the run's centreline passes the hole's axis, where it crosses the hole's plane.
double passes_at(const DrawnRun& run, const ListedHole& hole) {
  double nearest = 1e9;
  for (std::size_t i = 0; i + 1 < run.line.size(); ++i) {
    const double h0 = dot(run.line[i] - hole.centre, hole.normal);
    const double h1 = dot(run.line[i + 1] - hole.centre, hole.normal);
    // A run may end in the very plane of the hole: files hold that to a micrometre or so.
    if (std::min(h0, h1) > kInPlane || std::max(h0, h1) < -kInPlane) continue;
    const double t = std::abs(h1 - h0) > 1e-9 ? std::clamp(h0 / (h0 - h1), 0.0, 1.0) : 0;
    const Vec3 at = run.line[i] + t * (run.line[i + 1] - run.line[i]);
    nearest = std::min(nearest, distance(at, hole.centre));
  }
  return nearest;
}

}  // namespace

void check_holes(const Written& written, const std::vector<DrawnRun>& runs, const Job& job,
                 Findings& findings) {
  const std::size_t before = findings.items.size();
  const std::vector<HoleRecord> records = hole_records(written.plan, job);
  for (std::size_t i = 0; i < records.size(); ++i) {
    const ListedHole& hole = written.plan.holes[i];
    const double built_m = records[i].built_m;
    check_ring(hole, written.glb, written.units, findings);
    check_ring(hole, written.runs_glb, written.units, findings);
    check_ring(hole, written.obj, written.units, findings);
    if (!hole.existing && records[i].to_widen())
      findings.items.push_back(
          {"hole-to-widen", Level::should,
           "Hole " + hole.name + " is recorded as cut " + length_text(built_m, written.units) +
               " wide; what passes it now asks " + length_text(hole.diameter_m, written.units) +
               ".",
           hole.name, hole.centre,
           "Widen it, as the ladder sheet says, or record the width that it has.", "geometry"});
    for (const std::string& id : hole.runs) {
      const auto run =
          std::find_if(runs.begin(), runs.end(), [&](const DrawnRun& r) { return r.id == id; });
      if (run == runs.end()) continue;
      const double off = passes_at(*run, hole);
      if (off + 0.5 * run->cable->diameter_m <= 0.5 * hole.diameter_m + 0.0005) continue;
      findings.items.push_back({"hole-missed", Level::must,
                                "Run " + id + " does not pass within hole " + hole.name + ".", id,
                                hole.centre, "Route again.", "geometry"});
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
