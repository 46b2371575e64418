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
  DisplayUnits units = DisplayUnits::metric;  ///< the job's, for messages
};

/// The written result as a whole.
struct Written {
  WrittenPlan plan;
  WrittenModel glb, obj, step, runs_glb, runs_step;
  std::vector<std::vector<std::string>> lengths, hole_list, hole_schedule, raceway_list,
      raceway_pieces, raceway_cuts, raceway_fittings, end_list, shopping, ladder, minutes,
      pull_order;                               ///< the lists
  std::vector<std::vector<std::string>> ramps;  ///< empty where the room has none
  DisplayUnits units = DisplayUnits::metric;    ///< the job's, for messages
};

/// Reads the folder's files. `scene_to_room` is the original's own frame, `glb_to_room` that of
/// routed.glb.
Result<Written> read_written(const std::filesystem::path& folder, const Scene& original);

/// Tells of a list that does not say what it must.
void list_differs(const std::string& subject, const std::string& text, Findings& findings);

/// Pieces of raceway are cut once, from lengths that there are, and no more are bought than needed.
void check_raceway_cuts(const Written& written, const Job& job, Findings& findings);

/// Every end of a piece of raceway names a fitting that is counted and bought, a box or hole that
/// there is, or says that it needs none; and nothing else is counted.
void check_raceway_fittings(const Written& written, const Job& job, Findings& findings);

/// Every run that lies in raceway has, by the list of its pieces, a way in and a way out.
void check_raceway_ways(const Written& written, Findings& findings);

/// Nothing of the ladder sheet is done before what it needs, nothing of it is left out, all runs
/// are pulled and tested, no day ends with a tile or raceway open, and its minutes are right.
void check_work(const Written& written, const Job& job, Findings& findings);

/// What the job's record says of a planned hole. Each recorded hole is one planned hole at most.
struct HoleRecord {
  bool is_cut = false;  ///< and wide enough
  double built_m = 0;   ///< recorded as cut so wide, to be used or widened; 0 = not told
  bool to_widen() const { return !is_cut && built_m > 0; }
};
/// One a hole of the plan.
std::vector<HoleRecord> hole_records(const WrittenPlan& plan, const Job& job);

/// What is recorded and in no plan any more, lengths that can hardly be, and holes that their
/// grommet does not fit.
void check_record(const Written& written, const Job& job, Findings& findings);

/// The runs of routed.glb that have a row in plan.json; a missing, doubled or unknown one, or one
/// without a centreline or a tube, is a finding.
std::vector<DrawnRun> drawn_runs(const Written& written, const Job& job, Findings& findings);

/// The plan holds the runs that the job asks for, and no other.
void check_job(const Written& written, const Job& job, Findings& findings);
/// Whether runs keep the job's words about their way: via, avoid, same_way_as, not_with.
void check_rules(const Written& written, const Job& job, Findings& findings);
/// Every thing of routed.glb lies in the other models as well, at the same place, and no other.
void check_things(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);
/// lengths.csv, holes.csv, raceway.csv and the totals say what plan.json says.
void check_lists(const Written& written, const Job& job, Findings& findings);
/// hole_schedule.csv says what holes.csv says, and walls stand as far from holes as it tells.
void check_hole_schedule(const Written& written, const Scene& original, Findings& findings);
/// A run is of one length, and in one place, in all models and the plan.
/// A run without a way is a finding, with what blocks it.
void check_ways(const Written& written, Findings& findings);
/// In free zones cable may lie without a surface, so each must stand for gear of the job, furniture
/// or a curtain of the model, or a short way to an end, and be no larger than that. One note lists
/// them.
void check_zones(const Written& written, const Scene& original, const Job& job, Findings& findings);
void check_lengths(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);
void check_ends(const Written& written, const std::vector<DrawnRun>& runs, const Scene& original,
                const Job& job, Findings& findings);
void check_surfaces(const Written& written, const std::vector<DrawnRun>& runs,
                    const Scene& original, const Job& job, Findings& findings);
/// Cable that lies free below the tiles of a suspended ceiling, away from every other surface, is
/// listed.
void check_below_tiles(const Written& written, const std::vector<DrawnRun>& runs,
                       const Scene& original, const Job& job, Findings& findings);
void check_holes(const Written& written, const std::vector<DrawnRun>& runs, const Job& job,
                 Findings& findings);
void check_tubes(const std::vector<DrawnRun>& runs, Findings& findings);
void check_meetings(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings);
void check_radii(const Written& written, const std::vector<DrawnRun>& runs, const Scene& original,
                 const Job& job, Findings& findings);

/// What the job makes of a part: by its first rule that matches, else by the model's own extra
/// "is".
Role role_in_job(const Job& job, const Part& part);

/// Its mount, where the job gives the end one.
Mount mount_in_job(const Job& job, const std::string& end);

const WrittenThing* find_thing(const WrittenModel& model, const std::string& name);
bool in_zone(const WrittenPlan& plan, const Vec3& p, double margin_m);
/// The source of one figure out of a cable's "figure: source; figure: source", by the figure's name
/// in the catalogue; "pulled" is the part of its bend radius that is about pulling. The whole text
/// where that figure has none of its own.
std::string figure_source(const CableType& cable, const std::string& figure);
/// In millimetres, or in inches where the job is in feet: finer than a tape shows.
std::string length_text(double metres, DisplayUnits units);
/// The plan's word for how far a scan strays from its planes, within reason. Metres.
double believed_residual(const WrittenPlan& plan);

}  // namespace roomloom::check
