#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "pipeline/roomloom.h"
#include "report/record.h"

namespace roomloom::cli {

/// Exit status of every command.
enum Exit { done = 0, check_failed = 1, bad_input = 2, internal_fault = 3 };

/// What every command understands.
struct Common {
  bool json = false;    ///< machine-readable output on standard output
  bool quiet = false;   ///< only errors
  bool stages = false;  ///< each stage's name as a line "stage: …" on standard error
  std::optional<DisplayUnits> units;
  std::string house;  ///< as asked for on the command line; see house_file()
  PlanOptions plan;
  WriteOptions write;
};

int start(const std::filesystem::path& folder, const std::filesystem::path& answers,
          const Common& common);
int sketch(const std::filesystem::path& room_file, const std::filesystem::path& output,
           const Common& common);
int survey(const std::filesystem::path& model, const std::filesystem::path& job,
           const std::filesystem::path& start, const Common& common);
int route(const std::filesystem::path& job, const std::filesystem::path& folder,
          const Common& common);
int check(const std::filesystem::path& folder, const Common& common);
int compare(const std::filesystem::path& old_folder, const std::filesystem::path& new_folder,
            const std::filesystem::path& table, const Common& common);
int explain(const std::string& id, const Common& common);
int record(const std::filesystem::path& folder, const std::filesystem::path& into,
           const Recording& what, const Common& common);
/// Takes out of the record what is named.
int forget(const std::filesystem::path& folder, const std::filesystem::path& into,
           const Recording& what, const Common& common);

/// Prints an error for people (standard error) or, with --json, as JSON on standard output.
int fail(const Error& error, const Common& common);

}  // namespace roomloom::cli
