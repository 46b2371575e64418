#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
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

/// Reads the named curves only (EDGE_CURVE on LINE and CIRCLE, or trimmed curves), from the text.
/// @error `check.step`
Result<WrittenModel> read_written_step(const std::filesystem::path& file, const Transform& to_room);

/// RFC 4180: rows of cells; quoted cells may hold commas, quotes and line ends.
/// @error `check.csv` an unclosed quote, or rows of different width
Result<std::vector<std::vector<std::string>>> read_csv(const std::filesystem::path& file);

/// A hole as plan.json lists it.
struct ListedHole {
  std::string name;
  Vec3 centre, normal;
  double diameter_m = 0, thickness_m = 0;
  bool existing = false;
  std::vector<std::string> runs;
};

struct ListedRun {
  std::string id, from, to, cable;
  bool routed = false;
  double drawn_m = 0, cut_m = 0;
  std::map<std::string, double> addends_m;
};

/// The facts of plan.json that the written models must bear out.
struct WrittenPlan {
  std::string job_file, job_sha256, model_file, model_sha256;
  std::map<std::string, Vec3> ends;
  std::map<std::string, std::string> end_states;
  struct FreeZone {
    std::string name;
    Frame frame;
    Vec3 size;
  };
  std::vector<FreeZone> zones;
  std::vector<ListedRun> runs;
  std::vector<ListedHole> holes;
};

/// @error `check.plan`
Result<WrittenPlan> read_written_plan(const std::filesystem::path& file);

}  // namespace roomloom::check
