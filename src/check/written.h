#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "base/result.h"
#include "base/vec.h"

/// What the written files hold, read by readers that share no code with the writers.
namespace roomloom::check {

/// A named thing of a written model: its lines and its triangles. Room frame, metres.
struct WrittenThing {
  std::string name;
  std::vector<std::string> path;         ///< names of the groups above it, outermost first
  std::vector<std::vector<Vec3>> lines;  ///< polylines
  std::vector<Vec3> points;              ///< of the triangles
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::map<std::string, std::string> texts;  ///< glTF extras that are strings
  std::map<std::string, double> numbers;     ///< glTF extras that are numbers
  double curve_m = 0;                        ///< STEP: exact length of its lines and arcs
  std::vector<double> radii_m;               ///< STEP: radius of each arc
  std::vector<Vec3> arcs_at;                 ///< STEP: middle of each arc
  std::vector<double> tube_radii_m;          ///< STEP solids: of cylinders, and of tori the lesser
};

/// One written model; only the things under its root "Roomloom".
struct WrittenModel {
  std::string file;
  std::vector<WrittenThing> things;
};

/// @param to_room  file coordinates (as glTF stores them) to the room frame.
/// @error `check.glb` with the file and what is broken
Result<WrittenModel> read_written_glb(const std::filesystem::path& file, const Transform& to_room);

/// @error `check.obj`
Result<WrittenModel> read_written_obj(const std::filesystem::path& file, const Transform& to_room);

/// Reads, from the text, the products below the product "Roomloom": of centrelines the curves
/// (EDGE_CURVE on LINE and CIRCLE, or trimmed curves), of solids the vertices and the radii of
/// cylinders and tori.
/// @error `check.step`
Result<WrittenModel> read_written_step(const std::filesystem::path& file, const Transform& to_room);

/// RFC 4180: rows of cells; quoted cells may hold commas, quotes and line ends.
/// @error `check.csv` an unclosed quote, or rows of different width
Result<std::vector<std::vector<std::string>>> read_csv(const std::filesystem::path& file);

/// A hole as plan.json lists it.
struct ListedHole {
  std::string name, crossing, kind;
  Vec3 centre, normal;
  Vec3 passed_at;  ///< where the tracks pass it
  double diameter_m = 0, thickness_m = 0, bundle_m = 0;
  bool existing = false;
  std::string no_grommet;  ///< would line it, had it been cut as that asks
  std::vector<std::string> runs;
};

struct MissedPlace {
  std::string end, blocked_by;
  Vec3 at;
};

struct ListedRun {
  std::string id, from, to, cable, service;
  std::string takes_over;  ///< recorded run whose lying cable it has; empty = its own
  std::string colour_why;  ///< in words
  bool provision = false, routed = false;
  double track_m = 0, drawn_m = 0, cut_m = 0;
  std::map<std::string, double> addends_m;
  std::string blocked_by;     ///< when not routed
  int places_to_move_to = 0;  ///< that were tried, of those its ends may move to
  std::vector<MissedPlace> missed_places;
  int bends = 0;                   ///< turns of 15 degrees and more
  int tight_bends = 0;             ///< used below required
  std::set<std::string> shares;    ///< ids of runs with which it shares a stretch
  std::set<std::string> conduits;  ///< names of the conduits that it runs in
  std::set<std::string> places;    ///< names of the sheets, voids, zones, conduits and crossings
};

/// A straight piece of raceway as plan.json lists it.
struct ListedRaceway {
  std::string size;
  Vec3 from, to;
  std::vector<std::string> runs;
};

/// A total of plan.json: what is to be bought of one cable type.
struct ListedTotal {
  std::string cable;
  int runs = 0;
  double cut_m = 0;
};

/// The facts of plan.json that the written models must bear out.
struct WrittenPlan {
  std::string job_file, job_sha256, model_file, model_sha256;
  std::vector<std::string> variants;     ///< of the job, that were planned together
  std::string house_file, house_sha256;  ///< empty = none
  std::string as_built_sha256;           ///< of the record of what was built; empty = none
  /// How far the faces of a scan lie from the planes fitted to them, by the plan's own word.
  double residual_m = 0;
  std::map<std::string, std::string> ignored;  ///< parts taken for nothing that is there, and why
  std::map<std::string, Vec3> ends;
  std::vector<Vec3> lead_ends;          ///< where ends are and where they may be moved to
  std::map<std::string, Vec3> outward;  ///< of each end, away from what it is mounted on
  std::map<std::string, std::string> end_states;
  struct FreeZone {
    std::string name;
    Frame frame;
    Vec3 size;
  };
  std::vector<FreeZone> zones;
  std::vector<ListedRun> runs;
  std::vector<ListedHole> holes;
  std::vector<ListedRaceway> raceways;
  std::vector<ListedTotal> totals;
};

/// @error `check.plan`
Result<WrittenPlan> read_written_plan(const std::filesystem::path& file);

}  // namespace roomloom::check
