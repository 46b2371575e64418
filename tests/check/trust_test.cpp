#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "check/check.h"
#include "check/written_files.h"
#include "pipeline/planning.h"

// What a plan says of the model waives nothing that the model itself does not bear out.
namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;

int count_of(const Result<Findings>& findings, const std::string& id) {
  EXPECT_TRUE(findings) << to_text(findings.error());
  if (!findings) return -1;
  return static_cast<int>(std::count_if(findings->items.begin(), findings->items.end(),
                                        [&](const Finding& f) { return f.id == id; }));
}

int count_of_must(const Result<Findings>& findings) {
  EXPECT_TRUE(findings) << to_text(findings.error());
  if (!findings) return -1;
  return static_cast<int>(
      std::count_if(findings->items.begin(), findings->items.end(), [](const Finding& f) {
        if (f.level == Level::must) ADD_FAILURE() << f.text;
        return f.level == Level::must;
      }));
}

constexpr const char* kJob = R"({ "model": { "file": "room.obj", "unit": "m", "up": "z" },
  "ends": [ { "id": "a", "xyz": [0, 1, 0.4], "mount": "on sheet" },
            { "id": "b", "xyz": [0, 4, 1.6], "mount": "on sheet" } ],
  "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6" } ] })";

/// One side of a box room as a grid of triangles that look inward, its points off the plane by up
/// to `noise_m`, as a scanner leaves them.
class ScannedBox {
 public:
  explicit ScannedBox(double noise_m) : noise_m_(noise_m) {}

  std::string obj() {
    const Vec3 size{4, 5, 2.5};
    for (int axis = 0; axis < 3; ++axis) {
      for (const bool far : {false, true}) side(axis, far, size);
    }
    return "o scan\n" + points_ + faces_;
  }

 private:
  void side(int axis, bool far, const Vec3& size) {
    constexpr double kPitch = 0.1;
    const int u = (axis + 1) % 3, v = (axis + 2) % 3;
    const int columns = static_cast<int>(std::lround(size[u] / kPitch));
    const int rows = static_cast<int>(std::lround(size[v] / kPitch));
    const int first = count_ + 1;
    for (int j = 0; j <= rows; ++j) {
      for (int i = 0; i <= columns; ++i) {
        Vec3 p;
        p[axis] = (far ? size[axis] : 0) + noise();
        p[u] = i * kPitch;
        p[v] = j * kPitch;
        add(p);
      }
    }
    for (int j = 0; j < rows; ++j) {
      for (int i = 0; i < columns; ++i) {
        const int a = first + j * (columns + 1) + i, b = a + columns + 1;
        face(far, a, a + 1, b + 1);
        face(far, a, b + 1, b);
      }
    }
  }

  double noise() { return noise_m_ * (static_cast<double>(random_() % 2001) / 1000.0 - 1.0); }

  void add(const Vec3& p) {
    ++count_;
    points_ += "v " + format_number(p.x, 6) + " " + format_number(p.y, 6) + " " +
               format_number(p.z, 6) + "\n";
  }

  void face(bool turned, int a, int b, int c) {
    if (turned) std::swap(b, c);
    faces_ += "f " + std::to_string(a) + " " + std::to_string(b) + " " + std::to_string(c) + "\n";
  }

  double noise_m_;
  std::mt19937 random_{11};
  int count_ = 0;
  std::string points_, faces_;
};

/// A planned and written room, whose one run crosses the left wall (x = 0) from end to end.
struct WrittenRoom {
  TestFolder folder;
  std::optional<PlannedRoom> planned;

  explicit WrittenRoom(const std::string& obj) {
    write_text(folder / "room.obj", obj);
    auto made = plan(kJob, folder);
    if (!made) {
      ADD_FAILURE() << to_text(made.error());
      return;
    }
    planned.emplace(std::move(*made));
    EXPECT_TRUE(write_plan(*planned, folder / "out"));
  }

  Result<Findings> check() const {
    return check_result(folder / "out", planned->scene, planned->job);
  }

  /// Moves the bends of the run's way, far from its ends, by so much out of the room: through the
  /// wall.
  void push_through_wall(double metres) const {
    GlbFile glb(folder / "out" / "routed.glb");
    const auto all = glb.points("Run R centreline");
    glb.change_points("Run R centreline", [&](std::size_t, Point p) {
      const auto far_from = [&](const Point& end) {
        return std::hypot(p[1] - end[1], p[2] - end[2]) > 0.4;
      };
      if (far_from(all.front()) && far_from(all.back())) p[0] -= metres;
      return p;
    });
    glb.save();
  }

  void change_plan(const std::function<void(nlohmann::ordered_json&)>& change) const {
    nlohmann::ordered_json plan = read_json(folder / "out" / "plan.json");
    change(plan);
    write_json(folder / "out" / "plan.json", plan);
  }
};

TEST(CheckedInAScan, ARunThatDipsIntoItsNoiseIsClean) {
  const WrittenRoom result(ScannedBox(0.012).obj());
  ASSERT_TRUE(result.planned);
  EXPECT_GT(read_json(result.folder / "out/plan.json")["model"]["residual_m"].get<double>(), 0.005);
  EXPECT_EQ(count_of_must(result.check()), 0);
}

TEST(CheckedInAScan, ARunThatGoesThroughAWallIsCaught) {
  const WrittenRoom result(ScannedBox(0.012).obj());
  ASSERT_TRUE(result.planned);
  // Drifting through by 50 mm a metre it hangs behind the wall; steeper, the passage itself shows.
  result.push_through_wall(0.15);
  EXPECT_EQ(count_of(result.check(), "unsupported"), 1);
  result.push_through_wall(0.65);
  EXPECT_EQ(count_of(result.check(), "cuts-surface"), 1);
}

TEST(CheckedInADrawnRoom, ARunThatLeavesItsEndIntoTheWallIsCaught) {
  const WrittenRoom result(ScannedBox(0).obj());
  ASSERT_TRUE(result.planned);
  GlbFile glb(result.folder / "out" / "routed.glb");
  const auto all = glb.points("Run R centreline");
  glb.change_points("Run R centreline", [&](std::size_t i, Point p) {
    if (i != 0 && i + 1 != all.size()) p[0] -= 0.04;  // 30 mm deep: within reach of the face
    return p;
  });
  glb.save();
  EXPECT_EQ(count_of(result.check(), "cuts-surface"), 1);
}

TEST(CheckedInADrawnRoom, AClaimedResidualLetsNoRunThroughItsFlatWalls) {
  const WrittenRoom result(ScannedBox(0).obj());
  ASSERT_TRUE(result.planned);
  EXPECT_EQ(count_of_must(result.check()), 0);
  result.change_plan([](auto& plan) { plan["model"]["residual_m"] = 0.1; });
  EXPECT_EQ(count_of(result.check(), "cuts-surface"), 0);
  result.push_through_wall(0.04);
  EXPECT_EQ(count_of(result.check(), "cuts-surface"), 1);
}

TEST(CheckedInADrawnRoom, AClaimThatAWallIsNotThereLetsNoRunThroughIt) {
  const WrittenRoom result(ScannedBox(0).obj());
  ASSERT_TRUE(result.planned);
  result.change_plan([](auto& plan) {
    plan["model"]["ignored"] = {{{"part", "scan"}, {"why", "because"}}};
  });
  result.push_through_wall(0.15);
  EXPECT_EQ(count_of(result.check(), "cuts-surface"), 1);
}

TEST(CheckedRuns, OneWithoutAWayIsToldWithWhatBlocksIt) {
  const TestFolder folder;
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.5 })", folder,
               ".glb");
  const auto planned = plan(R"({ "model": { "file": "room.glb" },
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.4 },
              { "id": "b", "at": "Wall right", "from_left": 1, "up": 0.4 },
              { "id": "c", "at": "Wall left", "from_left": 2, "up": 0.4 } ],
    "runs": [ { "id": "R", "from": "a", "to": "b", "cable": "cat6", "avoid": ["Wall right"] },
              { "id": "S", "from": "a", "to": "c", "cable": "cat6" } ] })",
                            folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(write_plan(*planned, folder / "out"));
  const auto findings = check_result(folder / "out", planned->scene, planned->job);
  ASSERT_EQ(count_of(findings, "no-way"), 1);
  for (const Finding& finding : findings->items) {
    if (finding.id != "no-way") continue;
    EXPECT_EQ(finding.subject, "R");
    EXPECT_EQ(finding.level, Level::must);
    EXPECT_NE(finding.text.find("blocked by"), std::string::npos);
  }
}

}  // namespace
}  // namespace roomloom::testing
