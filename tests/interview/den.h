#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <string>

#include "interview/interview.h"

// What the tests of the interview share.
namespace roomloom {

namespace fs = std::filesystem;

class InFolder : public testing::Test {
 protected:
  void SetUp() override {
    folder_ =
        fs::temp_directory_path() / ("roomloom-interview-" + std::to_string(::getpid()) + "-" +
                                     testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  fs::path folder_;
};

inline Answers den() {
  Answers answers;
  for (const auto& [key, value] :
       {std::pair("units", "metres"), std::pair("name", "Den"), std::pair("wall_front", "3.5 m"),
        std::pair("wall_left", "420 cm"), std::pair("height", "2.4"),
        std::pair("suspended_ceiling", "yes"), std::pair("void_depth", "0.3"),
        std::pair("doors", "0"), std::pair("rack_wall", "front"),
        std::pair("rack_from_left", "1.75"), std::pair("loudspeakers", "0+2+0"),
        std::pair("listener", "2.6"), std::pair("subwoofers", "0"),
        std::pair("shelf_speaker", "50 m")})
    answers.set(key, value);
  return answers;
}

/// Everything that can be asked is asked.
inline Answers everything() {
  Answers answers = den();
  for (const auto& [key, value] :
       {std::pair("hollow_walls", "all"), std::pair("doors", "1"), std::pair("windows", "1"),
        std::pair("network_points", "1"), std::pair("screen", "yes"), std::pair("angles", "yes"),
        std::pair("projector", "yes")})
    answers.set(key, value);
  for (const Question& question : questions(answers))
    if (!answers.has(question.key) && question.usual.empty()) answers.set(question.key, kDoNotKnow);
  return answers;
}

inline PlanOptions quick() {
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.reader_program = std::string(ROOMLOOM_BIN_DIR) + "/roomloom-read";
  return options;
}

}  // namespace roomloom
