#pragma once

#include <gtest/gtest.h>

#include <map>
#include <optional>
#include <random>
#include <set>

#include "check/check.h"
#include "check/written_files.h"
#include "pipeline/planning.h"

/// A result is written once and spoiled in many ways, one at a time; the check must notice each.
namespace roomloom::testing {

namespace fs = std::filesystem;
using Random = std::mt19937;  // its numbers are the same everywhere

inline constexpr const char* kRoom = R"({ "name": "Box",
  "outline": { "width": 4, "depth": 5 }, "height": 2.9,
  "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] } })";
inline constexpr const char* kJob = R"({ "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.7,
              "off_wall": 0.15, "ports": ["1..4"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1, "up": 0.4 },
            { "id": "lamp", "xyz": [2, 2, 2.5], "mount": "on sheet" },
            { "id": "screen", "at": "Wall left", "from_left": 2, "up": 1.5 } ],
  "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack", "to": "lamp", "cable": "cat6" },
            { "id": "S1", "from": "rack", "to": "screen", "cable": "speaker 2x1.5" } ] })";

inline const std::vector<std::string> kRuns{"N1", "N2", "S1"};

struct Corruption {
  std::string name;
  std::function<void(const fs::path& folder, Random& random)> spoil;
};

template <class T>
const T& any_of(const std::vector<T>& all, Random& random) {
  return all[random() % all.size()];
}

inline Change any_move(Random& random, double metres) {
  const std::size_t axis = random() % 3;
  const double step = random() % 2 == 0 ? metres : -metres;
  return moved_by(axis == 0 ? step : 0, axis == 1 ? step : 0, axis == 2 ? step : 0);
}

inline Point middle_of(const std::vector<Point>& points) {
  Point low = points.front();
  Point high = points.front();
  for (const Point& p : points) {
    for (std::size_t i = 0; i < 3; ++i) {
      low[i] = std::min(low[i], p[i]);
      high[i] = std::max(high[i], p[i]);
    }
  }
  return {0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]), 0.5 * (low[2] + high[2])};
}

inline Vec3 vec(const Point& p) { return {p[0], p[1], p[2]}; }

// Toward the line's nearest point: what a thinner tube looks like.
inline Change thinned_about(const std::vector<Point>& line, double factor) {
  return [=](const Point& p) {
    double least = 1e9;
    Point nearest = p;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      const Vec3 a = vec(line[i]);
      const Vec3 way = vec(line[i + 1]) - a;
      const double t = std::clamp(dot(vec(p) - a, way) / dot(way, way), 0.0, 1.0);
      const Vec3 foot = a + t * way;
      if (distance(foot, vec(p)) >= least) continue;
      least = distance(foot, vec(p));
      nearest = {foot.x, foot.y, foot.z};
    }
    return scaled_about(nearest, factor)(p);
  };
}

class WrittenResult : public ::testing::Test {
 protected:
  void SetUp() override {
    sketch_model(kRoom, folder_, ".glb");
    auto planned = plan(kJob, folder_);
    ASSERT_TRUE(planned) << to_text(planned.error());
    planned_.emplace(std::move(*planned));
    const auto findings = write_plan(*planned_, folder_ / "clean");
    ASSERT_TRUE(findings) << to_text(findings.error());
    for (const Finding& finding : findings->items) {
      ASSERT_NE(finding.level, Level::must) << finding.text;
    }
    ASSERT_FALSE(planned_->shapes.holes.empty());
    ASSERT_FALSE(planned_->shapes.raceways.empty());
    ASSERT_FALSE(planned_->shapes.supports.empty());
  }

  /// What the check says that must be mended, or the error that it gives up with; empty if nothing.
  std::string verdict(const fs::path& folder) const {
    const auto findings = check_result(folder, planned_->scene, planned_->job);
    if (!findings) {
      const std::string& code = findings.error().code;
      return code.rfind("check.", 0) == 0 || code.rfind("version.", 0) == 0 ? code : "";
    }
    for (const Finding& finding : findings->items) {
      if (finding.level == Level::must) return finding.id;
    }
    return "";
  }

  void expect_caught(const Corruption& corruption, unsigned seed) {
    SCOPED_TRACE(corruption.name + ", seed " + std::to_string(seed));
    const fs::path folder = folder_ / "spoiled";
    fs::remove_all(folder);
    fs::copy(folder_ / "clean", folder);
    Random random(seed);
    corruption.spoil(folder, random);
    bool changed = false;
    for (const auto& file : fs::directory_iterator(folder_ / "clean")) {
      changed |= read_text(file.path()) != read_text(folder / file.path().filename().string());
    }
    ASSERT_TRUE(changed) << "the test itself spoiled nothing";
    const std::string said = verdict(folder);
    EXPECT_NE(said, "") << "not caught";
    ++caught_[said];
  }

  void expect_all_caught(const std::vector<Corruption>& corruptions, unsigned seeds = 1) {
    unsigned seed = 7;
    for (const Corruption& corruption : corruptions) {
      for (unsigned i = 0; i < seeds; ++i) expect_caught(corruption, seed++);
    }
  }

  TestFolder folder_;
  std::optional<PlannedRoom> planned_;
  std::map<std::string, int> caught_;
};

}  // namespace roomloom::testing
