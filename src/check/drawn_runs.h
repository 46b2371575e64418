#pragma once

#include <map>

#include "check/written.h"
#include "types/findings.h"
#include "types/job.h"
#include "types/scene.h"

namespace roomloom::check {

/// One run as the written models draw it, with what the job says it must be.
struct DrawnRun {
  std::string id;
  const CableType* cable = nullptr;   ///< from the job
  const ListedRun* listed = nullptr;  ///< from plan.json
  std::vector<Vec3> line;             ///< routed.glb's centreline, from -> to
  const WrittenThing* tube = nullptr;
};

/// The written result as a whole.
struct Written {
  WrittenPlan plan;
  WrittenModel glb, obj, step, runs_glb, runs_step;
  std::vector<std::vector<std::string>> lengths;  ///< lengths.csv
};

/// Reads the folder's files. `scene_to_room` is the original's own frame, `glb_to_room` that of
/// routed.glb.
Result<Written> read_written(const std::filesystem::path& folder, const Scene& original);

/// The runs of routed.glb that have a row in plan.json; a missing, doubled or unknown one, or one
/// without a centreline or a tube, is a finding.
std::vector<DrawnRun> drawn_runs(const Written& written, const Job& job, Findings& findings);

void check_lengths(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);
void check_ends(const Written& written, const std::vector<DrawnRun>& runs, const Scene& original,
                const Job& job, Findings& findings);
void check_surfaces(const Written& written, const std::vector<DrawnRun>& runs,
                    const Scene& original, const Job& job, Findings& findings);
void check_holes(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);
void check_tubes(const std::vector<DrawnRun>& runs, Findings& findings);
void check_meetings(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);
void check_radii(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);

const WrittenThing* find_thing(const WrittenModel& model, const std::string& name);
bool in_zone(const WrittenPlan& plan, const Vec3& p, double margin_m);
std::string millimetres(double metres);

}  // namespace roomloom::check
