#include <cmath>
#include <map>
#include <set>

#include "pipeline/box_room.h"
#include "pipeline/takeoff_of.h"

/// What must hold of every take-off, asked of the demo rooms and of rooms made up at random.
namespace roomloom::testing {
namespace {

TEST_P(TakeoffOf, CutsEveryRunOnceAndOverdrawsNoSpool) {
  std::map<std::string, int> cuts;
  for (const Spool& spool : t().spools) {
    double used = 0;
    for (const SpoolCut& cut : spool.cuts) {
      ++cuts[cut.id];
      used += cut.length_m;
      EXPECT_NEAR(cut.length_m, t().runs[static_cast<std::size_t>(cut.run)].cut_m, 1e-6);
    }
    EXPECT_LE(used, spool.length_m + 1e-6) << spool.name;
    EXPECT_NEAR(used + spool.left_m, spool.length_m, 1e-5) << spool.name;
    EXPECT_TRUE(!spool.lead || spool.cuts.size() == 1) << spool.name;
  }
  for (const RunRow& row : t().runs) EXPECT_EQ(cuts[row.id], to_pull(row) ? 1 : 0) << row.id;
  for (const CableTotal& total : t().totals) EXPECT_TRUE(total.proven || !is_demo()) << total.cable;
}

TEST_P(TakeoffOf, TakesNoMoreFromTheShelfThanLiesThere) {
  std::map<std::tuple<std::string, double>, int> taken, there;
  for (const SpoolSpec& spool : p().job.spools)
    if (spool.on_shelf) there[{spool.cable, spool.length_m}] += spool.count;
  for (const Spool& spool : t().spools)
    if (spool.on_shelf) ++taken[{spool.cable, spool.length_m}];
  for (const auto& [which, count] : taken) EXPECT_LE(count, there[which]) << std::get<0>(which);
  std::map<std::string, std::set<std::string>> lengths;
  for (const RacewayPiece& piece : t().raceway_pieces)
    if (piece.stock.find("(from the shelf)") != std::string::npos)
      lengths[piece.raceway].insert(piece.stock);
  for (const auto& [raceway, stocks] : lengths) {
    std::size_t count = 0;
    for (const RacewayStock& stock : p().job.work.raceway)
      if (stock.raceway == raceway) count += static_cast<std::size_t>(stock.count);
    EXPECT_LE(stocks.size(), count) << raceway;
  }
}

/// Who cuts a spool for the day finds that day's cuts next on it.
TEST_P(TakeoffOf, CutsEverySpoolInTheOrderInWhichTheDaysPull) {
  std::map<std::string, std::pair<int, std::size_t>> when;
  for (const WorkStep& step : t().steps)
    if (step.task == "pull a metre of cable" || step.task == "lay a cord")
      for (std::size_t i = 0; i < step.runs.size(); ++i) when[step.runs[i]] = {step.day, i};
  for (const Spool& spool : t().spools)
    for (std::size_t i = 0; i < spool.cuts.size(); ++i) {
      ASSERT_EQ(when.count(spool.cuts[i].id), 1U) << spool.cuts[i].id;
      EXPECT_EQ(spool.cuts[i].day, when[spool.cuts[i].id].first);
      if (i > 0 && !spool.lead) {
        EXPECT_LE(spool.cuts[i - 1].day, spool.cuts[i].day) << spool.name;
      }
    }
}

TEST_P(TakeoffOf, AddsUpMinutesAndMoney) {
  const Table& ladder = table_of(p(), "ladder");
  double minutes = 0, listed = 0;
  for (const WorkStep& step : t().steps) {
    minutes += step.minutes;
    double each = -1;
    for (const StandardTask& task : kStandardTasks)
      if (step.task == task.name) each = task.minutes;
    for (const WorkTask& task : p().job.work.minutes)
      if (step.task == task.name) each = task.minutes;
    EXPECT_NEAR(step.minutes, step.count * each, 1e-9) << step.task;
    EXPECT_GT(step.minutes, 0) << step.text;
    EXPECT_LE(step.least, step.minutes);
    EXPECT_LE(step.minutes, step.most);
  }
  for (std::size_t r = 0; r < ladder.rows.size(); ++r) listed += number_in(ladder, r, "minutes");
  EXPECT_NEAR(minutes, listed, 1e-6);
  for (const char* id : {"shopping", "quote"}) {
    const Table& table = table_of(p(), id);
    const char* key = id == std::string("quote") ? "price" : "total";
    double sum = 0;
    for (std::size_t r = 0; r + 1 < table.rows.size(); ++r) sum += number_in(table, r, key);
    EXPECT_NEAR(sum, number_in(table, table.rows.size() - 1, key), 0.005) << id;
  }
  const Table& shopping = table_of(p(), "shopping");
  for (std::size_t r = 0; r + 1 < shopping.rows.size(); ++r)
    EXPECT_NEAR(number_in(shopping, r, "count") * number_in(shopping, r, "price"),
                number_in(shopping, r, "total"), 0.0051)
        << text_in(shopping, r, "item");
  double cable = 0, spools = 0;
  for (std::size_t r = 0; r < shopping.rows.size(); ++r)
    if (text_in(shopping, r, "section") == "Cable") cable += number_in(shopping, r, "total");
  for (const Spool& spool : t().spools) spools += spool.price;
  EXPECT_NEAR(cable, spools, 0.05);
}

TEST(PulledFromTheBox, AreNoRunsThatNoBoxIsLongEnoughFor) {
  const TestFolder folder;
  sketch_model(kBoxRoom, folder, ".glb");
  nlohmann::json job = box_job();
  job["stock"]["spools"] = {{{"cable", "cat6"}, {"length", "4 m"}, {"on_shelf", false}}};
  const auto planned = plan(job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  const Table& boxes = table_of(*planned, "boxes_open");
  ASSERT_EQ(boxes.rows.size(), 1U) << "N1 and N2 are longer";
  EXPECT_EQ(text_in(boxes, 0, "run"), "S1");
}

/// From the box: each cable that is no ready-made lead once, from a box of its own in its bundle.
TEST_P(TakeoffOf, PullsEachCableOfABundleFromABoxOfItsOwn) {
  const Table& boxes = table_of(p(), "boxes_open");
  std::map<std::string, int> pulled;
  std::map<double, std::set<double>> open;
  for (std::size_t r = 0; r < boxes.rows.size(); ++r) {
    ++pulled[text_in(boxes, r, "run")];
    EXPECT_TRUE(open[number_in(boxes, r, "bundle")].insert(number_in(boxes, r, "box")).second);
  }
  // A spool of the plan gives one cable at a time, and a bundle is one day's.
  std::map<double, std::map<std::string, double>> from;
  std::map<double, std::set<int>> days;
  for (std::size_t r = 0; r < boxes.rows.size(); ++r)
    for (const Spool& spool : t().spools)
      for (const SpoolCut& cut : spool.cuts) {
        if (cut.id != text_in(boxes, r, "run")) continue;
        ++from[number_in(boxes, r, "bundle")][spool.name];
        days[number_in(boxes, r, "bundle")].insert(cut.day);
        EXPECT_EQ(text_in(boxes, r, "spool"), spool.name);
      }
  for (std::size_t r = 0; r < boxes.rows.size(); ++r) {
    const double bundle = number_in(boxes, r, "bundle");
    double goes = 0;
    for (const auto& [spool, cables] : from[bundle]) goes = std::max(goes, cables);
    EXPECT_EQ(number_in(boxes, r, "goes"), goes) << bundle;
    EXPECT_EQ(days[bundle].size(), 1U) << bundle;
  }
  for (std::size_t r = 0; r < boxes.rows.size(); ++r)
    EXPECT_EQ(open[number_in(boxes, r, "bundle")].size(),
              static_cast<std::size_t>(number_in(boxes, r, "boxes")));
  for (const RunRow& row : t().runs) {
    const bool lead = p().job.catalogue.cable(row.cable)->head_width_m > 0;
    EXPECT_EQ(pulled[row.id], to_pull(row) && !lead ? 1 : 0) << row.id;
  }
}

TEST_P(TakeoffOf, GivesEveryEndALabelOfItsOwn) {
  const Table& labels = table_of(p(), "labels");
  std::set<std::string> seen;
  for (std::size_t r = 0; r < labels.rows.size(); ++r)
    EXPECT_TRUE(seen.insert(text_in(labels, r, "label")).second);
  EXPECT_EQ(seen.size(), 2 * t().runs.size());
}

TEST_P(TakeoffOf, HoldsRowsAsWideAsTheirColumnsInListsOfDifferentNames) {
  std::set<std::string> ids;
  for (const Table& table : t().tables) {
    EXPECT_TRUE(ids.insert(table.id).second) << table.id;
    for (const auto& row : table.rows) EXPECT_EQ(row.size(), table.columns.size()) << table.id;
  }
}

INSTANTIATE_TEST_SUITE_P(Room, TakeoffOf, kDemoRooms, room_test_name);
INSTANTIATE_TEST_SUITE_P(MadeUp, TakeoffOf, kMadeUpRooms, room_test_name);

}  // namespace
}  // namespace roomloom::testing
