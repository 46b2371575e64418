#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "check/drawn_runs.h"

/// The lists of the work as one who works by them reads them.
namespace roomloom::check {

using Names = std::vector<std::string>;

/// A row of ladder.csv.
struct LadderRow {
  int day = 0;
  std::string place, task;
  Names runs, things;
  double minutes = 0, least = 0, most = 0;
};

/// A row of raceway_pieces.csv.
struct LaidPiece {
  std::string ends;  ///< what both are made of: "square, end cap 16 x 16, ..., "
  std::set<std::string> runs;
  double length_m = 0;
  double rounding_m = 0;  ///< of that, by the list's last digit
  bool there = false;     ///< nothing to cut or fix
};

/// A row of ends.csv.
struct WorkedEnd {
  std::string run, end, state, box;
  double connectors = 0;
};

/// A row of ramps.csv.
struct LaidRamp {
  double length_m = 0, rounding_m = 0;
  std::set<std::string> runs;
  bool there = false;
};

/// A row of pull_order.csv.
struct PulledRun {
  int day = 0, step = 0;  ///< the first that handles it
  std::string stands;     ///< "L1, L2": where it is handed on
};

/// Least, usual and most minutes of one task.
struct TaskMinutes {
  double each = 0, least = 0, most = 0;
  double rounding = 0;  ///< of these numbers
};

struct WorkList {
  std::vector<LadderRow> rows;
  std::map<std::string, LaidPiece> pieces;
  std::vector<WorkedEnd> ends;
  std::map<std::string, LaidRamp> ramps;
  std::map<std::string, PulledRun> pulled;
  std::map<std::string, TaskMinutes> minutes;
};

void wrong_work(const std::string& subject, const std::string& what, Findings& findings);

/// @returns nothing, told, where a list lacks a column.
std::optional<WorkList> read_work(const Written& written, const Job& job, Findings& findings);

/// Whether a run's cable lies before the work begins: its own, or one that it takes over.
bool lies_before(const ListedRun& run, const Job& job);

/// The rows hold as much as the other lists ask for, each task as often as it is needed, and every
/// row takes the minutes that its task has for so much.
void check_work_amounts(const WorkList& work, const Written& written, Findings& findings);

}  // namespace roomloom::check
