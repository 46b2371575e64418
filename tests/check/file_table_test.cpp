#include <algorithm>
#include <ostream>

#include "check/trade_table.h"
#include "check/written_result.h"

// The checks that no job makes fail: they hold the written files to each other, to the room and to
// the job. Each has a row with what a hand does to a whole result that it then must tell of.
namespace roomloom::testing {
namespace {

using Change3 = std::function<Point(std::size_t, Point)>;

fs::path out(const fs::path& folder, const char* file) { return folder / "out" / file; }

void in_plan(const fs::path& folder, const std::function<void(nlohmann::ordered_json&)>& change) {
  auto plan = read_json(out(folder, "plan.json"));
  change(plan);
  write_json(out(folder, "plan.json"), plan);
}

void in_glb(const fs::path& folder, const char* file, const std::function<void(GlbFile&)>& change) {
  GlbFile glb(out(folder, file));
  change(glb);
  glb.save();
}

void change_line(const fs::path& folder, const std::string& run, const Change3& to) {
  in_glb(folder, "routed.glb",
         [&](GlbFile& glb) { glb.change_points("Run " + run + " centreline", to); });
}

void add(nlohmann::ordered_json& number, double more) { number = number.get<double>() + more; }

void append(const fs::path& file, const char* text) { write_text(file, read_text(file) + text); }

struct FileRow {
  const char* id;
  Level level;
  void (*spoil)(const fs::path& folder);
};
void PrintTo(const FileRow& row, std::ostream* stream) { *stream << row.id; }

const std::vector<FileRow> kRows = {
    {"zone-too-large", Level::must,
     [](const fs::path& folder) {
       in_plan(folder, [](auto& plan) { add(plan["zones"][0]["size"][0], 0.5); });
     }},
    {"cuts-surface", Level::must,
     [](const fs::path& folder) {
       change_line(folder, "S1", [](std::size_t i, Point p) {
         return i == 5 ? Point{p[0], p[1] - 3, p[2]} : p;
       });
     }},
    {"unsupported", Level::must,
     [](const fs::path& folder) { in_plan(folder, [](auto& plan) { plan["zones"].clear(); }); }},
    {"runs-meet", Level::should,
     [](const fs::path& folder) {
       const auto other = GlbFile(out(folder, "routed.glb")).points("Run N2 centreline");
       change_line(folder, "N1",
                   [&](std::size_t i, Point) { return other[std::min(i, other.size() - 1)]; });
     }},
    {"end-misplaced", Level::must,
     [](const fs::path& folder) {
       in_plan(folder, [](auto& plan) {
         for (auto& end : plan["ends"])
           if (end["id"] == "lamp") add(end["at"][0], 0.02);
       });
     }},
    {"end-loose", Level::must,
     [](const fs::path& folder) { in_plan(folder, [](auto& plan) { plan["zones"].clear(); }); }},
    {"hole-ring", Level::must,
     [](const fs::path& folder) {
       in_glb(folder, "routed.glb", [](GlbFile& glb) {
         glb.change_points("Hole H1", scaled_about(middle_of(glb.points("Hole H1")), 1.4));
       });
     }},
    {"hole-missed", Level::must,
     [](const fs::path& folder) {
       in_plan(folder, [](auto& plan) { add(plan["holes"][0]["centre"][0], 0.1); });
     }},
    {"tube-thickness", Level::must,
     [](const fs::path& folder) {
       in_glb(folder, "routed.glb", [](GlbFile& glb) {
         glb.change_points("Run N1", thinned_about(glb.points("Run N1 centreline"), 0.8));
       });
     }},
    {"length-differs", Level::must,
     [](const fs::path& folder) {
       in_plan(folder, [](auto& plan) { add(plan["runs"][0]["drawn_m"], 0.001); });
     }},
    {"cut-sum", Level::must,
     [](const fs::path& folder) {
       in_plan(folder, [](auto& plan) { add(plan["runs"][0]["addends_m"]["contingency"], 0.001); });
     }},
    {"place-differs", Level::must,
     [](const fs::path& folder) {
       in_glb(folder, "runs.glb",
              [](GlbFile& glb) { glb.change_points("Run N1 centreline", moved_by(0, 0.02, 0)); });
     }},
    {"run-missing", Level::must,
     [](const fs::path& folder) {
       ObjFile obj(out(folder, "routed.obj"));
       obj.cut_out("Run_N1");
       obj.cut_out("Run_N1_centreline");
       obj.save();
     }},
    {"run-unknown", Level::must,
     [](const fs::path& folder) {
       in_glb(folder, "routed.glb", [](GlbFile& glb) { glb.node("Run N1")["name"] = "Run X1"; });
     }},
    {"list-differs", Level::must,
     [](const fs::path& folder) {
       ListFile list(out(folder, "lengths.csv"));
       list.rows.pop_back();
       list.save();
     }},
    {"work-order", Level::must,
     [](const fs::path& folder) {
       ListFile list(out(folder, "ladder.csv"));
       std::erase_if(list.rows, [](const auto& row) {
         return std::find(row.begin(), row.end(), "test a run") != row.end();
       });
       list.save();
     }},
    {"thing-differs", Level::must,
     [](const fs::path& folder) {
       in_glb(folder, "runs.glb", [](GlbFile& glb) { glb.cut_out("Raceway 2"); });
     }},
    {"plan-differs", Level::must,
     [](const fs::path& folder) {
       in_plan(folder,
               [](auto& plan) { std::swap(plan["runs"][0]["from"], plan["runs"][0]["to"]); });
     }},
    {"model-changed", Level::must,
     [](const fs::path& folder) { append(folder / "room.obj", "\n# touched\n"); }},
    {"job-changed", Level::should,
     [](const fs::path& folder) { append(folder / "job.json", "\n"); }},
    {"house-changed", Level::note,
     [](const fs::path& folder) { append(folder / "house.json", "\n"); }},
    {"as-built-changed", Level::must,
     [](const fs::path& folder) { append(folder / "as-built.json", "\n"); }},
    {"file-changed", Level::should,
     [](const fs::path& folder) { append(out(folder, "labels.csv"), "\r\n"); }},
};

class EveryCheckOfFiles : public ::testing::TestWithParam<FileRow> {
 protected:
  static void SetUpTestSuite() {
    whole_ = std::make_unique<TestFolder>();
    sketch_model(kRoom, *whole_, ".obj");
    write_text(*whole_ / "house.json", R"({ "version": 1, "currency": "GBP" })");
    auto job = Json::parse(kJob);
    job["model"] = {{"file", "room.obj"}, {"unit", "m"}, {"up", "z"}};
    write_text(*whole_ / "as-built.json", R"({ "format": "roomloom-as-built", "version": 1 })");
    job["as_built"] = "as-built.json";
    write_text(*whole_ / "job.json", job.dump());
    PlanOptions by_house = test_options();
    by_house.house = *whole_ / "house.json";
    const auto planned = plan_job(*whole_ / "job.json", by_house);
    ASSERT_TRUE(planned) << to_text(planned.error());
    WriteOptions options;
    options.drawings = options.report = false;
    ASSERT_TRUE(write_plan(*planned, *whole_ / "out", options));
  }
  static void TearDownTestSuite() { whole_.reset(); }

  static std::vector<Finding> told(const fs::path& folder, const std::string& id) {
    const auto findings = check_folder(folder / "out", test_options());
    EXPECT_TRUE(findings) << to_text(findings.error());
    return findings ? found(*findings, id) : std::vector<Finding>{};
  }

  static std::unique_ptr<TestFolder> whole_;
};
std::unique_ptr<TestFolder> EveryCheckOfFiles::whole_;

TEST_P(EveryCheckOfFiles, PassesAWholeResultAndTellsOfOneThatIsSpoiled) {
  const FileRow& row = GetParam();
  EXPECT_TRUE(told(whole_->path(), row.id).empty());
  const TestFolder spoiled;
  fs::copy(whole_->path(), spoiled.path(), fs::copy_options::recursive);
  row.spoil(spoiled.path());
  const auto all = told(spoiled.path(), row.id);
  ASSERT_FALSE(all.empty());
  for (const Finding& finding : all) {
    EXPECT_EQ(finding.level, row.level) << finding.text;
    EXPECT_FALSE(finding.text.empty());
    EXPECT_FALSE(finding.remedy.empty()) << finding.text;
    EXPECT_FALSE(finding.source.empty()) << finding.text;
  }
}

INSTANTIATE_TEST_SUITE_P(OfTheTable, EveryCheckOfFiles, ::testing::ValuesIn(kRows),
                         [](const auto& row) { return name_of_row(row.param.id); });

}  // namespace

std::set<std::string> checks_of_files() {
  std::set<std::string> ids;
  for (const FileRow& row : kRows) EXPECT_TRUE(ids.insert(row.id).second) << row.id << " twice";
  return ids;
}

}  // namespace roomloom::testing
