#pragma once

#include <string>
#include <vector>

#include "types/annotation.h"
#include "types/findings.h"
#include "types/job.h"
#include "types/takeoff.h"

namespace roomloom {

/// Everything that a plan consists of, by reference; the report stage only reads it.
struct Planned {
  const Job& job;
  const Scene& scene;
  const Room& room;
  const Ends& ends;
  const Tracks& tracks;
  const Plan& plan;
  const CableShapes& shapes;
  const Takeoff& takeoff;
};

/// A model that was written, and what was converted or left out in it.
struct FileStamp {
  std::string name;
  std::string sha256;
  std::vector<std::string> notes;  ///< one sentence each
};

/// Names of the inputs and the written models as they go into plan.json.
struct PlanStamp {
  std::string program;   ///< "roomloom 0.1.0"
  std::string job_file;  ///< relative to the result folder
  std::string job_sha256;
  std::string model_file;  ///< relative to the result folder
  std::vector<FileStamp> files;
};

/// plan.json: all of the plan, machine-readable. "format" is "roomloom-plan" and "version" counts
/// breaking changes. Lengths in metres, room frame (Z up), keys end in _m; UTF-8, two-space indent.
std::string plan_json(const Planned& planned, const PlanStamp& stamp, const Findings& findings);

/// checks.csv: RFC 4180, UTF-8, CRLF.
std::string checks_csv(const Findings& findings);

/// What a person reads on the terminal after routing: lengths, shopping, holes, what is uncertain.
std::string summary_text(const Planned& planned, const Findings& findings);

}  // namespace roomloom
