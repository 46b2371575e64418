#include <gtest/gtest.h>
#include <stdlib.h>

#include <algorithm>
#include <clocale>
#include <cstdlib>
#include <functional>
#include <locale>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "base/units.h"
#include "pipeline/changed_obj.h"
#include "pipeline/planning.h"

/// What must not change a plan: where the model's origin and axes lie, its unit, its mirror image,
/// the order in which things are written down, and another run of the program.
namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4.1, "depth": 5.3 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6], "as": "tiles" },
  "doors": [ { "name": "Door", "wall": "Wall right", "from_left": 0.4, "width": 0.9,
               "height": 2.05, "swing": 90, "hinge": "right" } ],
  "obstacles": [ { "name": "Radiator", "wall": "Wall left", "from_left": 1.2, "off_wall": 0.04,
                   "up": 0.12, "width": 1, "depth": 0.1, "height": 0.6 } ] })";

Json the_job() {
  return Json::parse(R"({ "model": { "file": "room.obj", "unit": "m", "up": "z" },
  "parts": [ { "match": "Wall *", "is": "wall", "build": "masonry" },
             { "match": "Floor", "is": "floor" },
             { "match": "Slab above", "is": "deck" },
             { "match": "Tile *", "is": "suspended ceiling", "tile": [0.6, 0.6] },
             { "match": "Door", "is": "door", "swing": 0 },
             { "match": "Radiator", "is": "obstacle" } ],
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.5,
              "off_wall": 0.15, "ports": ["1..4"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1.1, "up": 0.4 },
            { "id": "screen", "at": "Wall left", "from_left": 3.3, "up": 1.5 },
            { "id": "speaker", "at": "Wall right", "from_left": 2.9, "up": 1.9 } ],
  "runs": [ { "id": "N1", "from": "rack.1", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack.2", "to": "screen", "cable": "cat6" },
            { "id": "S1", "from": "rack.3", "to": "speaker", "cable": "speaker 2x1.5" } ] })");
}

class Invariance : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(kRoom, folder_, ".obj");
    obj_ = read_text(folder_ / "room.obj");
    lengths_ = lengths_of(the_job());
    ASSERT_EQ(lengths_.size(), 3U);
  }

  std::map<std::string, double> lengths_of(const Json& job) {
    std::map<std::string, double> lengths;
    const auto planned = plan(job.dump(), folder_);
    EXPECT_TRUE(planned) << to_text(planned.error());
    if (!planned) return lengths;
    objective_ = planned->plan.objective;
    for (const roomloom::Run& run : planned->ends.runs) {
      lengths[run.id] = drawn_m(*planned, run.id);
    }
    return lengths;
  }

  void expect_same(const Json& job, double tolerance_m = 0.0005) {
    const double before = objective_;
    const auto lengths = lengths_of(job);
    for (const auto& [run, length] : lengths_) {
      ASSERT_EQ(lengths.count(run), 1U) << run;
      EXPECT_NEAR(lengths.at(run), length, tolerance_m) << run;
    }
    EXPECT_NEAR(objective_, before, 0.01);
  }

  TestFolder folder_;
  std::string obj_;
  std::map<std::string, double> lengths_;
  double objective_ = 0;
};

TEST_F(Invariance, TurningAndMovingTheModelChangesNoLength) {
  // About the model's upright axis, z.
  const double c = std::cos(radians(30));
  const double s = std::sin(radians(30));
  write_text(folder_ / "room.obj", changed(obj_, [&](const Vec3& p) {
               return Vec3{c * p.x - s * p.y + 5, s * p.x + c * p.y - 3, p.z + 1};
             }));
  expect_same(the_job());
}

TEST_F(Invariance, AQuarterTurnAndAnotherUprightAxisChangeNoLength) {
  write_text(folder_ / "room.obj", changed(obj_, [](const Vec3& p) {
               return Vec3{p.y, p.z, p.x};  // up is y now
             }));
  Json job = the_job();
  job["model"]["up"] = "y";
  expect_same(job);
}

TEST_F(Invariance, AnotherUnitChangesNoLength) {
  write_text(folder_ / "room.obj", changed(obj_, [](const Vec3& p) { return 1000.0 * p; }));
  Json job = the_job();
  job["model"]["unit"] = "mm";
  expect_same(job);
}

// The rack is mirrored as well: its ports stand in the opposite order.
TEST_F(Invariance, TheMirrorImageMeasuredFromTheOtherSideHasTheSameLengths) {
  Json mirrored = the_job();
  for (const char* list : {"gear", "ends"}) {
    for (Json& one : mirrored[list]) {
      one["from_right"] = one["from_left"];
      one.erase("from_left");
    }
  }
  mirrored["gear"][0]["ports"] = {"4", "3", "2", "1"};
  write_text(folder_ / "room.obj", changed(
                                       obj_,
                                       [](const Vec3& p) {
                                         return Vec3{-p.x, p.y, p.z};
                                       },
                                       true));
  expect_same(mirrored);
}

TEST_F(Invariance, TheOrderOfRunsEndsAndRulesChangesNoWayAndNoLength) {
  const auto ways_of = [&](const Json& job) {
    std::map<std::string, double> ways;
    const auto planned = plan(job.dump(), folder_);
    EXPECT_TRUE(planned) << to_text(planned.error());
    if (!planned) return ways;
    for (const RunRow& row : planned->takeoff.runs) {
      ways[row.id] = row.track_m;
      ways[row.id + " drawn"] = row.drawn_m;
    }
    ways["objective"] = planned->plan.objective;
    return ways;
  };
  Json job = the_job();
  const auto before = ways_of(job);
  ASSERT_EQ(before.size(), 7U);
  for (const char* list : {"parts", "ends", "runs"}) {
    std::reverse(job[list].begin(), job[list].end());
  }
  const auto after = ways_of(job);
  for (const auto& [name, amount] : before) EXPECT_NEAR(after.at(name), amount, 0.0005) << name;
}

TEST_F(Invariance, TheOrderOfPartsInTheModelChangesNoLength) {
  // An OBJ's objects in another order, each with its own vertices, counted anew.
  std::istringstream in(obj_);
  std::vector<std::string> objects{""};
  std::vector<int> vertices{0};
  for (std::string line; std::getline(in, line);) {
    if (line.rfind("o ", 0) == 0) {
      objects.emplace_back();
      vertices.push_back(0);
    }
    if (line.rfind("v ", 0) == 0) ++vertices.back();
    objects.back() += line + "\n";
  }
  std::vector<int> first(objects.size(), 0);
  for (std::size_t i = 1; i < objects.size(); ++i) first[i] = first[i - 1] + vertices[i - 1];
  std::string text = objects[0];
  int count = 0;
  for (std::size_t i = objects.size() - 1; i > 0; --i) {
    std::istringstream lines(objects[i]);
    for (std::string line; std::getline(lines, line);) {
      if (line.rfind("f ", 0) != 0) {
        text += line + "\n";
        continue;
      }
      std::istringstream corners(line.substr(2));
      text += "f";
      for (std::string corner; corners >> corner;) {
        ASSERT_EQ(corner.find('/'), std::string::npos) << line;
        text += " " + std::to_string(std::stoi(corner) - first[i] + count);
      }
      text += "\n";
    }
    count += vertices[i];
  }
  write_text(folder_ / "room.obj", text);
  expect_same(the_job());
}

/// Every file of the first folder is the same, byte by byte, in the second.
void expect_same_files(const fs::path& first, const fs::path& second) {
  std::size_t files = 0;
  for (const auto& file : fs::directory_iterator(first)) {
    ++files;
    const fs::path other = second / file.path().filename().string();
    EXPECT_TRUE(read_text(file.path()) == read_text(other)) << file.path().filename();
  }
  EXPECT_GE(files, 11U);
}

// Whole files, of the largest room: what the program writes depends on nothing but its input; not
// on the addresses it gets, the number of processors, the time zone or the language.
TEST(Determinism, TwoRunsOfTheProgramWriteTheSameBytesInOtherSurroundings) {
  const TestFolder folder;
  const fs::path job = fs::path(ROOMLOOM_SOURCE_DIR) / "models" / "alder-hall" / "job.json";
  const std::map<std::string, std::string> surroundings = {
      {"first", ""}, {"second", "TZ=Asia/Kolkata LC_ALL=de_DE.UTF-8 taskset -c 0 "}};
  for (const auto& [out, before] : surroundings) {
    const std::string command = before + ROOMLOOM_BIN_DIR "/roomloom route " + job.string() +
                                " -o " + (folder / out).string() + " --quiet >/dev/null 2>&1";
    const int status = std::system(command.c_str());
    ASSERT_EQ(status, 0) << command;
  }
  expect_same_files(folder / "first", folder / "second");
}

/// A German locale for this program: made here from the machine's own sources of locales where it
/// is not installed. False where neither is there.
bool speak_german(const fs::path& folder) {
  if (std::setlocale(LC_ALL, "de_DE.UTF-8") == nullptr) {
    fs::create_directories(folder);
    const std::string make = "localedef -i de_DE -f UTF-8 " + (folder / "de_DE.UTF-8").string();
    if (std::system((make + " >/dev/null 2>&1").c_str()) < 0) return false;
    ::setenv("LOCPATH", folder.c_str(), 1);
    if (std::setlocale(LC_ALL, "de_DE.UTF-8") == nullptr) return false;
  }
  return std::string(std::localeconv()->decimal_point) == ",";
}

/// A program that shows its numbers as 1.234,5.
struct Commas : std::numpunct<char> {
  char do_decimal_point() const override { return ','; }
  char do_thousands_sep() const override { return '.'; }
  std::string do_grouping() const override { return "\3"; }
};

TEST(Determinism, AProgramWithDecimalCommasAroundTheLibraryGetsTheSameBytes) {
  const TestFolder folder;
  sketch_model(kRoom, folder, ".obj");
  const auto planned_into = [&](const char* out) {
    const auto planned = plan(the_job().dump(), folder);
    ASSERT_TRUE(planned) << to_text(planned.error());
    const auto findings = write_plan(*planned, folder / out);
    ASSERT_TRUE(findings) << to_text(findings.error());
  };
  planned_into("first");
  const std::locale before = std::locale::global(std::locale(std::locale(), new Commas));
  planned_into("second");
  std::locale::global(before);
  expect_same_files(folder / "first", folder / "second");
  if (!speak_german(folder / "locales")) GTEST_SKIP() << "no de_DE locale, nor what makes one";
  planned_into("third");  // printf and strtod have commas now
  std::setlocale(LC_ALL, "C");
  expect_same_files(folder / "first", folder / "third");
}

}  // namespace
}  // namespace roomloom::testing
