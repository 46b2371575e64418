#include "pipeline/records.h"

/// What was built otherwise than planned, or changed once it was built.
namespace roomloom::testing {
namespace {

using BuiltOtherwise = Records;

std::vector<std::string> told_of(const Json& plan, const std::string& task) {
  const Json& table = table_of(plan, "ladder");
  const std::size_t what = column_of(table, "task"), text = column_of(table, "what");
  std::vector<std::string> told;
  for (const Json& row : table["rows"])
    if (row[what] == task) told.push_back(row[text]);
  return told;
}

// What lies and ends elsewhere now is led on: its new raceway, holes and supports are work too.
TEST_F(BuiltOtherwise, ALyingRunWhoseEndWasMovedIsLedOnThroughWhatIsNewOnItsWay) {
  Json job = box_job();
  job["as_built"] = "as-built.json";
  record_by(old_, {"N1", "N2", "S1"});
  const Json same = planned(job, "same");
  EXPECT_TRUE(table_of(same, "ladder")["rows"].empty()) << "all lies, and nothing was moved";

  job["ends"][1]["from_left"] = 2.6;  // beyond where its raceway comes down
  const Json moved = planned(job, "moved");
  const auto led = told_of(moved, "lead a lying cable on");
  ASSERT_EQ(led.size(), 1U);
  EXPECT_NE(led[0].find("N2"), std::string::npos) << led[0];
  EXPECT_NE(led[0].find("screen"), std::string::npos) << led[0];
  const Json& pieces = table_of(moved, "raceway_pieces");
  int fresh = 0;
  for (const Json& row : pieces["rows"])
    if (row[column_of(pieces, "state")] == "to cut") {
      ++fresh;
      EXPECT_NE(led[0].find(row[0].get<std::string>()), std::string::npos) << led[0] << row;
    }
  EXPECT_GT(fresh, 0);
  EXPECT_TRUE(told_of(moved, "pull a metre of cable").empty());
  EXPECT_EQ(told_of(moved, "fit a connector").size(), 1U);
}

// A loudspeaker in the ceiling that is moved to another tile has a hole there, cut from the ladder.
TEST_F(BuiltOtherwise, ALyingRunWhoseCeilingEndWasMovedHasItsNewHoleCutFromTheLadder) {
  Json job = box_job();
  job["ends"].push_back({{"id", "above"}, {"xyz", {2.1, 2.1, 2.5}}, {"mount", "on sheet"}});
  job["runs"].push_back(
      {{"id", "S9"}, {"from", "rack.4"}, {"to", "above"}, {"cable", "speaker 2x1.5"}});
  const Json first = planned(job, "first");
  record_by(first, {"N1", "N2", "S1", "S9"});
  job["as_built"] = "as-built.json";
  job["ends"].back()["xyz"] = {2.7, 2.7, 2.5};
  const Json moved = planned(job, "moved");
  const Json& ladder = table_of(moved, "ladder");
  int cut = 0;
  for (const Json& row : ladder["rows"])
    if (row[column_of(ladder, "task")] == "cut a hole") {
      ++cut;
      EXPECT_NE(row[column_of(ladder, "place")], "at the floor") << row;
      EXPECT_EQ(row[column_of(ladder, "what")].get<std::string>().find("lies in it"),
                std::string::npos)
          << row;
    }
  EXPECT_EQ(cut, 1);
  EXPECT_EQ(told_of(moved, "lead a lying cable on").size(), 1U);
  EXPECT_TRUE(told_of(moved, "pass a cable on").empty()) << "it is led on";
  const Json& grommets = table_of(moved, "shopping");
  int bought = 0;
  for (const Json& row : grommets["rows"])
    bought += row[1].get<std::string>().starts_with("grommet") ? 1 : 0;
  EXPECT_EQ(bought, 1) << grommets["rows"];
}

// Sawn into the tile beside: the run goes through where the hole is, and no other is cut.
TEST_F(BuiltOtherwise, AHoleThatWasCutInAnotherTileIsPassedWhereItIs) {
  Json job = weighed_otherwise(box_job());
  const Json first = planned(job, "first");
  ASSERT_FALSE(first["holes"].empty());
  const Json& hole = first["holes"][0];
  std::string tile = hole["crossing"].get<std::string>().substr(5);
  tile[0] = tile[0] == 'A' ? 'B' : static_cast<char>(tile[0] - 1);
  Recording what;
  what.holes = {hole["name"].get<std::string>()};
  what.hole_at = CutAt{tile, 0.2, 0.25};
  const auto text = recorded(first.dump(), "", what);
  ASSERT_TRUE(text) << to_text(text.error());
  const Json at = Json::parse(*text)["holes"][0]["at"];
  write_text(folder_ / "as-built.json", *text);
  job["as_built"] = "as-built.json";
  for (const auto& [into, from] : {std::pair{"anew", ""}, std::pair{"from", "first"}}) {
    for (Json& run : job["runs"])
      for (const Json& one : hole["runs"])
        if (run["id"] == one) run["via"] = {"tile " + tile};
    const Json later = planned(job, into, from);
    int there = 0;
    for (const Json& one : later["holes"]) {
      if (one["crossing"] != "tile " + tile) {
        EXPECT_NE(one["name"], hole["name"]) << into << ": its name is another's";
        continue;
      }
      ++there;
      EXPECT_EQ(one["name"], hole["name"]) << into;
      EXPECT_EQ(one["cut_already"], true) << one;
      for (int axis = 0; axis < 2; ++axis)
        EXPECT_NEAR(one["centre"][axis].get<double>(), at[axis].get<double>(), 0.01) << one;
    }
    EXPECT_EQ(there, 1) << into << later["holes"];
  }
}

TEST_F(BuiltOtherwise, AHoleThatWasCutElsewhereAndServesNobodyLeavesItsNameToNoOther) {
  Json job = weighed_otherwise(box_job());
  const Json first = planned(job, "first");
  const Json& hole = first["holes"][0];
  Recording what;
  what.holes = {hole["name"].get<std::string>()};
  const std::string tile = hole["crossing"].get<std::string>().substr(5);
  what.hole_at = CutAt{tile[0] == 'A' ? "H6" : "A1", 0.1, 0.1};  // at the other end of the room
  const auto text = recorded(first.dump(), "", what);
  ASSERT_TRUE(text) << to_text(text.error());
  write_text(folder_ / "as-built.json", *text);
  job["as_built"] = "as-built.json";
  const Json later = planned(job, "later", "first");
  int others = 0;
  for (const Json& one : later["holes"])
    if (one["crossing"] == hole["crossing"]) {
      ++others;
      EXPECT_NE(one["name"], hole["name"]);
    }
  EXPECT_EQ(others, 1) << later["holes"];
}

// A socket on the line of raceway that hangs there: the raceway is cut for its box, and is told to
// be cut; what it was put up with stays its own.
TEST_F(BuiltOtherwise, RacewayThatHangsIsCutForANewBoxAndKeepsTheEndsThatItHas) {
  Json job = box_job();
  record_by(old_, {"N1", "N2", "S1"});
  job["as_built"] = "as-built.json";
  const Json record = Json::parse(record_);
  const auto up_of = [](const Json& piece) {
    return std::pair(piece["start_up"].get<double>(), piece["end_up"].get<double>());
  };
  const auto length_of = [&](const Json& piece) {
    return std::abs(up_of(piece).second - up_of(piece).first);
  };
  const Json* longest = nullptr;
  for (const Json& piece : record["raceway"])
    if (piece["on"] == "Wall left" && piece["start_along"] == piece["end_along"] &&
        (longest == nullptr || length_of(piece) > length_of(*longest)))
      longest = &piece;
  ASSERT_NE(longest, nullptr) << record["raceway"];
  const auto [low, high] = std::minmax({up_of(*longest).first, up_of(*longest).second});
  ASSERT_GT(high - low, 0.5);
  const bool right = (*longest)["corner"] == "right corner";
  job["ends"].push_back({{"id", "socket"},
                         {"at", "Wall left"},
                         {right ? "from_right" : "from_left", (*longest)["start_along"]},
                         {"up", 0.5 * (low + high)}});
  job["runs"].push_back({{"id", "N9"}, {"from", "rack.9"}, {"to", "socket"}, {"cable", "cat6"}});
  const Json later = planned(job, "later");
  const auto boxes = told_of(later, "mount a box");
  ASSERT_EQ(boxes.size(), 1U);
  EXPECT_NE(boxes[0].find((*longest)["name"].get<std::string>() + " at B"), std::string::npos)
      << boxes[0];
  const Json& pieces = table_of(later, "raceway_pieces");
  for (const Json& row : pieces["rows"]) {
    if (row[column_of(pieces, "state")] != "there already") continue;
    for (const char* end : {"start", "end"}) {
      const std::string words = row[column_of(pieces, end)];
      const std::size_t there = words.find(", there already");
      if (there == std::string::npos) continue;
      const std::size_t from = words.rfind(", ", there - 1) + 2;
      const std::string fitting = words.substr(from, there - from);
      EXPECT_TRUE(std::any_of(
          record["raceway"].begin(), record["raceway"].end(),
          [&](const Json& piece) {
            return piece["start_is"].get<std::string>().find(fitting) != std::string::npos ||
                   piece["end_is"].get<std::string>().find(fitting) != std::string::npos;
          }))
          << row[0] << ": " << fitting << " was never put up";
    }
  }
}

}  // namespace
}  // namespace roomloom::testing
