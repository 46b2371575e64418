#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "geometry/bundle.h"
#include "pipeline/planning.h"

/// What must hold of every take-off, asked of the demo rooms.
namespace roomloom::testing {
namespace {

const Table& table_of(const PlannedRoom& p, const std::string& id) {
  for (const Table& table : p.takeoff.tables)
    if (table.id == id) return table;
  ADD_FAILURE() << "no list " << id;
  static const Table none;
  return none;
}

std::size_t column_of(const Table& table, const std::string& key) {
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    if (table.columns[i].key == key) return i;
  ADD_FAILURE() << table.id << " has no " << key;
  return 0;
}

std::string text_in(const Table& table, std::size_t row, const std::string& key) {
  const auto* text = std::get_if<std::string>(&table.rows[row][column_of(table, key)]);
  return text == nullptr ? "" : *text;
}

double number_in(const Table& table, std::size_t row, const std::string& key) {
  const auto* number = std::get_if<double>(&table.rows[row][column_of(table, key)]);
  return number == nullptr ? 0 : *number;
}

class TakeoffOf : public ::testing::TestWithParam<const char*> {
 protected:
  void SetUp() override {
    const std::string name = GetParam();
    auto planned = plan_job(
        std::filesystem::path(ROOMLOOM_SOURCE_DIR) / "models" / name / "job.json", test_options());
    ASSERT_TRUE(planned) << to_text(planned.error());
    plan_ = std::make_unique<PlannedRoom>(std::move(*planned));
  }
  const PlannedRoom& p() const { return *plan_; }
  const Takeoff& t() const { return plan_->takeoff; }
  bool to_pull(const RunRow& row) const { return row.routed && !row.installed; }

 private:
  std::unique_ptr<PlannedRoom> plan_;
};

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
  for (const CableTotal& total : t().totals) EXPECT_TRUE(total.proven) << total.cable;
}

TEST_P(TakeoffOf, CutsEveryPieceOfRacewayOnceAndOverdrawsNoLength) {
  std::map<std::string, double> used;
  std::map<std::string, double> stock_m;
  std::map<std::string, int> pieces;
  for (const RacewayPiece& piece : t().raceway_pieces) {
    ASSERT_FALSE(piece.stock.empty()) << piece.name;
    used[piece.stock] += piece.length_m + (pieces[piece.stock]++ > 0 ? p().job.work.kerf_m : 0);
    stock_m[piece.stock] =
        p().job.catalogue.raceways[static_cast<std::size_t>(piece.type)].stock_length_m;
  }
  for (const auto& [stock, metres] : used) EXPECT_LE(metres, stock_m[stock] + 1e-5) << stock;
  for (const RacewayRow& row : t().raceways) EXPECT_TRUE(row.proven) << row.raceway;
}

TEST_P(TakeoffOf, MakesHolesThatTheirBundlesPass) {
  for (std::size_t i = 0; i < t().holes.size(); ++i) {
    const HoleRow& hole = t().holes[i];
    if (hole.existing) continue;
    std::vector<double> diameters;
    for (const int run : p().shapes.holes[i].runs)
      diameters.push_back(
          p().job.catalogue
              .cables[static_cast<std::size_t>(p().ends.runs[static_cast<std::size_t>(run)].cable)]
              .diameter_m);
    EXPECT_GE(hole.diameter_m + 1e-9, bundle_diameter(diameters)) << hole.name;
  }
}

TEST_P(TakeoffOf, HandsEveryCableOnOutwardsThroughHolesThatAreCut) {
  std::map<std::string, int> hole_cut;  // when
  std::map<std::string, int> fitted, tested;
  for (std::size_t i = 0; i < t().steps.size(); ++i) {
    const WorkStep& step = t().steps[i];
    const int now = static_cast<int>(i);
    if (step.task == "cut a hole") {
      for (const std::string& hole : step.things) {
        EXPECT_EQ(hole_cut.count(hole), 0U) << hole << " is cut twice";
        hole_cut[hole] = now;
      }
    }
    if (step.task == "pull a metre of cable")
      for (const std::string& run : step.runs) fitted[run] = now;
    if (step.task == "test a run")
      for (const std::string& run : step.runs) tested[run] = now;
  }
  for (const HoleRow& hole : t().holes) {
    if (hole.existing) continue;
    ASSERT_EQ(hole_cut.count(hole.name), 1U) << hole.name;
    for (const std::string& run : hole.runs) {
      if (fitted.count(run) == 0) continue;
      EXPECT_LT(hole_cut[hole.name], fitted[run]) << run;
    }
  }
  for (const RunRow& row : t().runs) {
    EXPECT_EQ(tested.count(row.id), to_pull(row) ? 1U : 0U) << row.id;
  }
}

TEST_P(TakeoffOf, ClosesEachDayWhatItOpenedAfterTheTests) {
  std::map<int, std::set<std::string>> open;
  std::map<int, bool> closing;
  for (const WorkStep& step : t().steps) {
    if (step.task == "lift a tile") {
      for (const std::string& tile : step.things)
        EXPECT_TRUE(open[step.day].insert(tile).second) << tile;
    }
    if (step.task == "put a tile back") {
      closing[step.day] = true;
      for (const std::string& tile : step.things) EXPECT_EQ(open[step.day].erase(tile), 1U) << tile;
    }
    if (step.task == "test a run") {
      EXPECT_FALSE(closing[step.day]) << "day " << step.day;
    }
  }
  for (const auto& [day, tiles] : open) EXPECT_TRUE(tiles.empty()) << "day " << day;
}

TEST_P(TakeoffOf, PullsMouldedHeadsFirstThenByLengthTimesThickness) {
  const Table& order = table_of(p(), "pull_order");
  double last_head = 1e9, last_weight = 1e9;
  for (std::size_t r = 0; r < order.rows.size(); ++r) {
    const CableType* cable = p().job.catalogue.cable(text_in(order, r, "cable"));
    ASSERT_NE(cable, nullptr);
    const double head = std::hypot(cable->head_width_m, cable->head_height_m);
    const double weight = number_in(order, r, "cut_m") * cable->diameter_m;
    EXPECT_LE(head, last_head + 1e-12);
    if (head == last_head) {
      EXPECT_LE(weight, last_weight + 1e-12);
    }
    last_head = head;
    last_weight = weight;
  }
}

TEST_P(TakeoffOf, AddsUpMinutesAndMoney) {
  const Table& ladder = table_of(p(), "ladder");
  double minutes = 0, listed = 0;
  for (const WorkStep& step : t().steps) {
    minutes += step.minutes;
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
  double cable = 0, spools = 0;
  for (std::size_t r = 0; r < shopping.rows.size(); ++r)
    if (text_in(shopping, r, "section") == "Cable") cable += number_in(shopping, r, "total");
  for (const Spool& spool : t().spools) spools += spool.price;
  EXPECT_NEAR(cable, spools, 0.05);
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

INSTANTIATE_TEST_SUITE_P(Room, TakeoffOf,
                         ::testing::Values("alder-hall", "classroom", "attic-studio"),
                         [](const auto& info) {
                           std::string name = info.param;
                           std::replace(name.begin(), name.end(), '-', '_');
                           return name;
                         });

}  // namespace
}  // namespace roomloom::testing
