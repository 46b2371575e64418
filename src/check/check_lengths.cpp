#include <algorithm>
#include <cmath>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kLengthTolerance = 0.0001;
constexpr double kPlaceTolerance = 0.0005;

void differs(const DrawnRun& run, const std::string& what, double a, double b, Findings& findings) {
  findings.items.push_back({"length-differs", Level::must,
                            "Run " + run.id + " is " + length_text(a, run.units) + " long in " +
                                what + ", but " + length_text(b, run.units) + " in routed.step.",
                            run.id, run.line.front(), "Route again, or restore the file.",
                            "geometry"});
}

// The farthest that a polyline's corners lie off another polyline, where that is more than a tenth
// of what is told of: the search goes on from where it found the corner before.
double deviation(const std::vector<Vec3>& points, const std::vector<Vec3>& line) {
  double most = 0;
  std::size_t from = 0;
  const std::size_t segments = line.size() - 1;
  for (const Vec3& p : points) {
    double nearest = 1e9;
    for (std::size_t k = 0; k < segments && nearest > 0.1 * kPlaceTolerance; ++k) {
      const std::size_t i = (from + k) % segments;
      const double away = point_segment_distance(p, line[i], line[i + 1]);
      if (away >= nearest) continue;
      nearest = away;
      if (nearest <= 0.1 * kPlaceTolerance) from = i;
    }
    most = std::max(most, nearest);
  }
  return most;
}

const WrittenThing* centreline(const WrittenModel& model, const std::string& id) {
  const WrittenThing* thing = find_thing(model, "Run " + id + " centreline");
  if (thing == nullptr || thing->lines.empty()) thing = find_thing(model, "Run " + id);
  return thing != nullptr && !thing->lines.empty() ? thing : nullptr;
}

void check_model(const Written& written, const WrittenModel& model, bool exact, const DrawnRun& run,
                 double step_m, Findings& findings) {
  const WrittenThing* thing = centreline(model, run.id);
  if (thing == nullptr) return;  // told already
  if (thing->lines.size() != 1) {
    findings.items.push_back({"place-differs", Level::must,
                              "Run " + run.id + " is broken into pieces in " + model.file + ".",
                              run.id, run.line.front(), "Route again, or restore the file.",
                              "geometry"});
    return;
  }
  const double length = exact ? thing->curve_m : polyline_length(thing->lines.front());
  if (std::abs(length - step_m) > kLengthTolerance) {
    differs(run, model.file, length, step_m, findings);
  }
  const WrittenThing* step = centreline(written.step, run.id);
  const double off = std::max(deviation(thing->lines.front(), step->lines.front()),
                              deviation(step->lines.front(), thing->lines.front()));
  if (off > kPlaceTolerance) {
    findings.items.push_back({"place-differs", Level::must,
                              "Run " + run.id + " lies " + length_text(off, run.units) +
                                  " elsewhere in " + model.file + " than in routed.step.",
                              run.id, run.line.front(), "Route again, or restore the file.",
                              "geometry"});
  }
}

}  // namespace

void check_lengths(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings) {
  const std::size_t before = findings.items.size();
  for (const DrawnRun& run : runs) {
    const WrittenThing* step = centreline(written.step, run.id);
    if (step == nullptr) continue;  // told already
    check_model(written, written.step, true, run, step->curve_m, findings);
    check_model(written, written.runs_step, true, run, step->curve_m, findings);
    check_model(written, written.glb, false, run, step->curve_m, findings);
    check_model(written, written.runs_glb, false, run, step->curve_m, findings);
    check_model(written, written.obj, false, run, step->curve_m, findings);
    if (std::abs(run.listed->drawn_m - step->curve_m) > kLengthTolerance) {
      differs(run, "plan.json", run.listed->drawn_m, step->curve_m, findings);
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
