#pragma once

#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "pipeline/roomloom.h"

namespace roomloom::testing {

/// A folder of its own for one test, removed at its end.
class TestFolder {
 public:
  TestFolder();
  ~TestFolder();
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;
  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

void write_text(const std::filesystem::path& file, const std::string& text);
std::string read_text(const std::filesystem::path& file);

/// Sketches `room_json` into `folder`/room`ending` (".step", ".obj" or ".glb").
void sketch_model(const std::string& room_json, const TestFolder& folder,
                  const std::string& ending);

/// Writes `job_json` beside it and plans it with the reader built beside the tests.
Result<PlannedRoom> plan(const std::string& job_json, const TestFolder& folder,
                         PlanEffort effort = PlanEffort::quick);

/// Plans it, and writes and judges it without pictures: every run has a way, a hole is cut, and
/// nothing must be mended. The job's model lies in `folder`.
void expect_planned_through_a_hole(const std::string& job_json, const TestFolder& folder);

PlanOptions test_options();

/// Cut length of a run, metres; fails the test if there is none.
double cut_m(const PlannedRoom& planned, const std::string& run);
double drawn_m(const PlannedRoom& planned, const std::string& run);

}  // namespace roomloom::testing
