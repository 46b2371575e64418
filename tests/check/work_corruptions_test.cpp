#include "check/written_result.h"

/// The ladder sheet with work left out, done too early or too late, or timed at will.
namespace roomloom::testing {
namespace {

/// Two jacks in one box in the line of a raceway, a coil, a loudspeaker, and a hole that was
/// recorded: nothing that is recorded may excuse what is not.
constexpr const char* kWorkJob = R"({ "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.7,
              "off_wall": 0.15, "ports": ["1..6"] } ],
  "ends": [ { "id": "desk 1", "at": "Wall back", "from_left": 1, "up": 0.4 },
            { "id": "desk 2", "at": "Wall back", "from_left": 1.1, "up": 0.4 },
            { "id": "lamp", "xyz": [2, 2, 2.5], "mount": "on sheet" },
            { "id": "later", "at": "Wall back", "from_left": 2, "up": 0.4, "state": "coiled" },
            { "id": "screen", "at": "Wall left", "from_left": 2, "up": 1.5 } ],
  "as_built": "as-built.json",
  "runs": [ { "id": "N1", "from": "rack", "to": "desk 1", "cable": "cat6" },
            { "id": "N2", "from": "rack", "to": "lamp", "cable": "cat6" },
            { "id": "N3", "from": "rack", "to": "desk 2", "cable": "cat6" },
            { "id": "N4", "from": "rack", "to": "later", "cable": "cat6" },
            { "id": "S1", "from": "rack", "to": "screen", "cable": "speaker 2x1.5" } ] })";
constexpr const char* kRecord = R"({ "format": "roomloom-as-built", "version": 1,
  "holes": [ { "crossing": "tile B2", "at": [0.9, 1.2, 2.5], "diameter": 0.02 } ] })";

class WrittenWork : public WrittenResult {
 protected:
  void SetUp() override {
    sketch_model(kRoom, folder_, ".glb");
    write_text(folder_ / "as-built.json", kRecord);
    auto planned = plan(kWorkJob, folder_);
    ASSERT_TRUE(planned) << to_text(planned.error());
    planned_.emplace(std::move(*planned));
    ASSERT_FALSE(planned_->job.as_built.empty());
    const auto findings = write_plan(*planned_, folder_ / "clean");
    ASSERT_TRUE(findings) << to_text(findings.error());
    for (const Finding& finding : findings->items)
      ASSERT_NE(finding.level, Level::must) << finding.text;
  }
};

using RowChange = std::function<void(ListFile&, std::size_t)>;
constexpr std::size_t kTask = 3, kThings = 6, kMinutes = 7;

/// The first row of a task, or each of them.
Corruption in_ladder(const std::string& name, const std::string& task, bool each,
                     const RowChange& change) {
  return {task + ": " + name, [=](const fs::path& folder, Random&) {
            ListFile list(folder / "ladder.csv");
            bool found = false;
            for (std::size_t row = list.rows.size() - 1; row > 0; --row)
              if (list.rows[row][kTask] == task && each) {
                found = true;
                change(list, row);
              }
            for (std::size_t row = 1; row < list.rows.size() && !each && !found; ++row)
              if (list.rows[row][kTask] == task) {
                found = true;
                change(list, row);
              }
            ASSERT_TRUE(found) << "no " << task;
            list.save();
          }};
}

std::vector<Corruption> work_corruptions(const std::set<std::string>& tasks) {
  const auto drop = [](ListFile& list, std::size_t row) {
    list.rows.erase(list.rows.begin() + static_cast<std::ptrdiff_t>(row));
  };
  const auto first = [](ListFile& list, std::size_t row) {
    std::rotate(list.rows.begin() + 1, list.rows.begin() + static_cast<std::ptrdiff_t>(row),
                list.rows.begin() + static_cast<std::ptrdiff_t>(row) + 1);
  };
  const auto last = [](ListFile& list, std::size_t row) {
    std::rotate(list.rows.begin() + static_cast<std::ptrdiff_t>(row),
                list.rows.begin() + static_cast<std::ptrdiff_t>(row) + 1, list.rows.end());
  };
  const auto minutes = [](const char* number) {
    return [=](ListFile& list, std::size_t row) { list.rows[row][kMinutes] = number; };
  };
  std::vector<Corruption> all;
  for (const std::string& task : tasks) {
    all.push_back(in_ladder("one dropped", task, false, drop));
    all.push_back(in_ladder("all dropped", task, true, drop));
    all.push_back(in_ladder("of no minutes", task, true, minutes("0.0")));
    all.push_back(in_ladder("of one minute", task, true, minutes("1.0")));
  }
  for (const char* task :
       {"pull a metre of cable", "test a run", "close a metre of raceway", "fit a raceway fitting",
        "put a tile back", "cut a hole", "fit a connector", "pass a cable on"})
    all.push_back(in_ladder("first", task, false, first));
  for (const char* task : {"fix a metre of raceway", "cut a hole", "lift a tile", "test a run",
                           "mount a box", "cut raceway", "label an end", "move the ladder"})
    all.push_back(in_ladder("last", task, false, last));
  return all;
}

TEST_F(WrittenWork, LeftOutOrInAnOrderInWhichItCannotBeDoneIsCaught) {
  std::set<std::string> tasks;
  const ListFile list(folder_ / "clean" / "ladder.csv");
  for (std::size_t row = 1; row < list.rows.size(); ++row) tasks.insert(list.rows[row][kTask]);
  for (const char* task : {"coil and hang a cable", "mount a box", "fix a support",
                           "pass a cable on", "fit a raceway fitting", "tie a bundle"})
    EXPECT_EQ(tasks.count(task), 1U) << task;
  expect_all_caught(work_corruptions(tasks));
  EXPECT_GT(caught_["work-order"], 60);
}

/// The sheet alone cannot say which raceway a cable is laid in, nor that none is.
TEST_F(WrittenWork, WithoutTheRacewayThatCableIsLaidInIsCaught) {
  expect_all_caught(
      {{"raceway neither named, opened nor closed", [](const fs::path& folder, Random&) {
          ListFile list(folder / "ladder.csv");
          std::erase_if(list.rows, [](const auto& row) {
            return row[kTask] == "open raceway" || row[kTask] == "close a metre of raceway";
          });
          for (auto& row : list.rows)
            if (row[kTask] == "pull a metre of cable") row[kThings].clear();
          list.save();
        }}});
  EXPECT_EQ(caught_["work-order"], 1);
}

TEST_F(WrittenWork, WithMoreBoughtThanAnyEndOfRacewayNamesIsCaught) {
  expect_all_caught({{"a cross that nothing needs", [](const fs::path& folder, Random&) {
                        ListFile list(folder / "shopping.csv");
                        for (const auto& row : list.rows)
                          if (row[0] == "Raceway" && row[3] == "piece") {
                            auto more = row;
                            more[1] = "cross 40 x 16";
                            list.rows.insert(list.rows.begin() + 2, more);
                            break;
                          }
                        list.save();
                      }}});
  EXPECT_EQ(caught_["list-differs"], 1);
}

TEST_F(WrittenWork, WithRunsThatHaveNoWayOutOfTheirRacewayIsCaught) {
  const auto told = [&](const std::function<void(ListFile&)>& change) {
    const fs::path folder = folder_ / "spoiled";
    fs::remove_all(folder);
    fs::copy(folder_ / "clean", folder);
    for (const char* file : {"raceway_pieces.csv", "raceway_cuts.csv"}) {
      ListFile list(folder / file);
      change(list);
      list.save();
    }
    std::set<std::string> runs;
    const auto findings = check_result(folder, planned_->scene, planned_->job);
    EXPECT_TRUE(findings);
    for (const Finding& finding : findings->items)
      if (finding.id == "list-differs") runs.insert(finding.subject);
    return runs;
  };
  EXPECT_TRUE(told([](ListFile&) {}).empty());
  const std::set<std::string> no_way = told([](ListFile& list) {
    for (auto& row : list.rows)
      for (std::string& cell : row)
        if (const auto out = cell.find(", cut out for "); out != std::string::npos)
          cell = cell.substr(0, out) + "\"";
        else if (cell.find(" at later, at the ") != std::string::npos)
          cell = "\"\"";
  });
  EXPECT_EQ(no_way.count("S1"), 1U) << "the loudspeaker has no box";
  EXPECT_EQ(no_way.count("N4"), 1U) << "nor has the coil";
  EXPECT_FALSE(told([](ListFile& list) {
                 for (auto& row : list.rows)
                   std::erase_if(row, [](const std::string& cell) { return cell == "Runs"; });
                 for (auto& row : list.rows)
                   if (row.size() > list.rows.front().size()) row.erase(row.begin() + 13);
               }).empty());
}

/// Lengths in feet are rounded elsewhere than the minutes, which are of exact ones: with raceway of
/// a whole 0.425 m, 6 minutes a metre are 2.55, which a foot's last digit puts to either side.
TEST_F(WrittenWork, InFeetIsHeldToTheMinutesOfItsLengthsAsNearAsTheListsHaveThem) {
  const fs::path folder = folder_ / "feet";
  const auto told = [&](double length_m, double too_many) {
    fs::remove_all(folder);
    fs::copy(folder_ / "clean", folder);
    ListFile pieces(folder / "raceway_pieces.csv"), ladder(folder / "ladder.csv");
    std::size_t fixed = 0;
    for (std::size_t row = 1; row < ladder.rows.size() && fixed == 0; ++row)
      if (ladder.rows[row][kTask] == "fix a metre of raceway") fixed = row;
    EXPECT_NE(fixed, 0U);
    std::vector<std::string>& step = ladder.rows[fixed];
    std::size_t length = 0;
    while (pieces.rows[0][length] != "Length (m)") ++length;
    step[kThings] = pieces.rows[1][0];
    step[kMinutes] = format_number(6 * length_m + too_many, 1);
    step[kMinutes + 1] = format_number(3 * length_m, 1);
    step[kMinutes + 2] = format_number(12 * length_m, 1);
    pieces.rows[0][length] = "Length (ft)";
    for (std::size_t row = 1; row < pieces.rows.size(); ++row) {
      const double metres = std::stod(pieces.rows[row][length]);
      pieces.rows[row][length] = format_number((row == 1 ? length_m : metres) / 0.3048, 5);
    }
    pieces.save();
    ladder.save();
    const std::string where = "step " + std::to_string(fixed) + ", fix a metre of raceway";
    const auto findings = check_result(folder, planned_->scene, planned_->job);
    EXPECT_TRUE(findings);
    return std::any_of(findings->items.begin(), findings->items.end(),
                       [&](const Finding& finding) { return finding.subject == where; });
  };
  for (const double length_m : {0.4249999, 0.4249992, 0.425, 0.4250001, 0.4250012, 0.31417})
    EXPECT_FALSE(told(length_m, 0)) << length_m;
  for (const double off : {-0.1, 0.1}) EXPECT_TRUE(told(0.31417, off)) << off;
}

/// Where pull_order.csv and the ladder sheet part, one of both misleads.
TEST_F(WrittenWork, ToldInAnotherOrderThanTheSheetHasIsCaught) {
  for (const std::size_t column : {1U, 2U, 3U})
    expect_all_caught({{"column " + std::to_string(column) + " of pull_order.csv",
                        [=](const fs::path& folder, Random&) {
                          ListFile list(folder / "pull_order.csv");
                          list.rows[1][column] = column == 3 ? "L9" : "77";
                          list.save();
                        }}});
  EXPECT_EQ(caught_["work-order"], 3);
}

}  // namespace
}  // namespace roomloom::testing
