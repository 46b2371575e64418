#pragma once

#include <string>
#include <vector>

#include "base/units.h"
#include "types/annotation.h"
#include "types/findings.h"
#include "types/job.h"
#include "types/planned.h"
#include "types/takeoff.h"

namespace roomloom {

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
  std::string house_file;     ///< relative to the result folder; empty = none
  std::string model_file;     ///< relative to the result folder
  std::string as_built_file;  ///< relative to the result folder; empty = none
  std::vector<FileStamp> files;
};

/// plan.json: all of the plan, machine-readable. "format" is "roomloom-plan" and "version" counts
/// breaking changes. Lengths in metres, room frame (Z up), keys end in _m; UTF-8, two-space indent.
std::string plan_json(const Planned& planned, const PlanStamp& stamp, const Findings& findings);

/// The findings as a list: checks.csv.
Table checks_table(const Findings& findings);

/// How lists are told: in which units and which money.
struct TableStyle {
  DisplayUnits units = DisplayUnits::metric;
  std::string currency = "EUR";
};

/// The list as its CSV: RFC 4180, UTF-8, CRLF, units in the heading, texts made harmless for
/// spreadsheets. Numbers are never quoted; an empty cell is empty.
std::string table_csv(const Table& table, const TableStyle& style);

/// What the CSV and the workbook say of a column and of a cell: "Length (m)"; a number in the
/// units of the style, rounded to what is printed (half away from zero, as a spreadsheet does), and
/// with how many decimals it is printed.
std::string column_title(const Column& column, const TableStyle& style);
double told_number(double value, ColumnKind kind, const TableStyle& style);
int told_decimals(ColumnKind kind, const TableStyle& style);
std::string told_cell(const Cell& cell, ColumnKind kind, const TableStyle& style);

/// The lists "stock_left" and "raceway_left" as a job's "stock": {"stock": {"spools": [...],
/// "raceways": [...]}}.
std::string stock_json(const Table& spools, const Table& raceway);

/// What a person reads on the terminal after routing: lengths, shopping, holes, what is uncertain.
std::string summary_text(const Planned& planned, const Findings& findings);

}  // namespace roomloom
