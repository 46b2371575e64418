#include "check/written_result.h"

// What no reader looks at (the room's own part of the models, the lists of the take-off, drawings)
// is held to what was written by its digest.
namespace roomloom::testing {
namespace {

class WrittenFiles : public WrittenResult {
 protected:
  Findings judged(const fs::path& folder) {
    const auto findings = check_folder(folder, test_options());
    EXPECT_TRUE(findings) << to_text(findings.error());
    return findings ? *findings : Findings{};
  }
  static std::optional<Level> told_of(const Findings& findings, const std::string& file) {
    for (const Finding& finding : findings.items)
      if (finding.id == "file-changed" && finding.subject == file) return finding.level;
    return std::nullopt;
  }
};

TEST_F(WrittenFiles, AreEachHeldToTheDigestThatThePlanLists) {
  const fs::path folder = folder_ / "clean";
  for (const Finding& finding : judged(folder).items) EXPECT_NE(finding.id, "file-changed");
  std::set<std::string> lists;
  const std::set<std::string> read_back{
      "lengths.csv",        "holes.csv",        "hole_schedule.csv",    "raceway.csv",
      "raceway_pieces.csv", "raceway_cuts.csv", "raceway_fittings.csv", "ends.csv",
      "shopping.csv",       "ladder.csv",       "minutes.csv",          "pull_order.csv",
      "ramps.csv"};
  for (const auto& entry : fs::directory_iterator(folder))
    if (const std::string name = entry.path().filename().string();
        entry.path().extension() == ".csv" && read_back.count(name) == 0)
      lists.insert(name);
  EXPECT_GT(lists.size() + read_back.size(), 24U);
  for (const std::string& name : lists)
    write_text(folder / name, read_text(folder / name) + "\r\n");
  const Findings findings = judged(folder);
  for (const std::string& name : lists) EXPECT_EQ(told_of(findings, name), Level::should) << name;
  EXPECT_EQ(told_of(findings, "lengths.csv"), std::nullopt);
}

TEST_F(WrittenFiles, TheRoomInTheModelsMayNotBeMoved) {
  const fs::path folder = folder_ / "clean";
  const std::vector<std::string> models{"routed.step", "routed.glb", "routed.obj"};
  for (const std::string& name : models) {
    std::string text = read_text(folder / name);
    const auto wall = text.find("Wall");
    ASSERT_NE(wall, std::string::npos) << name;
    text.replace(wall, 4, "Wail");
    write_text(folder / name, text);
  }
  const Findings findings = judged(folder);
  for (const std::string& name : models) EXPECT_EQ(told_of(findings, name), Level::must) << name;
}

TEST_F(WrittenFiles, ThatAreGoneAreNamed) {
  const fs::path folder = folder_ / "clean";
  fs::remove(folder / "drawings.pdf");
  EXPECT_EQ(told_of(judged(folder), "drawings.pdf"), Level::note);
}

}  // namespace
}  // namespace roomloom::testing
