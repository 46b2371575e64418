#include "pipeline/records.h"

/// Plan, record, plan again, record by that plan, and plan once more.
namespace roomloom::testing {
namespace {

Json stocked_job(const Json& plan) {
  Json job = box_job();
  Json sizes = Json::array();
  std::set<std::string> seen;
  for (const Json& piece : table_of(plan, "raceway_pieces")["rows"])
    if (seen.insert(piece[1]).second)
      sizes.push_back({{"raceway", piece[1]}, {"length", "3 m"}, {"count", 9}});
  job["stock"] = {{"spools",
                   {{{"cable", "cat6"}, {"length", "100 m"}},
                    {{"cable", "speaker 2x1.5"}, {"length", "100 m"}}}},
                  {"raceways", sizes}};
  return job;
}

TEST_F(Records, StockIsHeldToTheMetreOverThreePlans) {
  Json job = stocked_job(old_);
  const Json first = planned(job, "first");
  const auto cable = [](const Json& plan) {
    double cuts = 0;
    for (const char* run : {"N1", "N2"})
      if (!run_of(plan, run).value("held", false)) cuts += run_of(plan, run)["cut_m"].get<double>();
    return cuts + sum_of(plan, "stock_left", "left_m", "cable", "cat6");
  };
  const auto raceway = [&] {  // on the shelf of the job as it was planned
    double sum = 0;
    for (const RacewayStock& stock : last_->job.work.raceway) sum += stock.count * stock.length_m;
    return sum;
  };
  const double all_raceway = raceway();
  // What is cut off is gone, and so are rests of less than 0.3 m.
  const auto used = [&] {
    std::map<std::string, std::pair<double, double>> bars;  // whole and cut
    for (const Json& piece : Json::parse(record_).value("raceway", Json::array())) {
      const Json& stock = piece["stock"];
      EXPECT_EQ(stock["on_shelf"], true) << piece;
      auto& [whole, cut] =
          bars[stock["plan"].get<std::string>() + stock["name"].get<std::string>()];
      whole = stock["length"];
      cut += stock["cut"].get<double>();
    }
    double sum = 0;
    for (const auto& [name, bar] : bars)
      sum += bar.first - bar.second < 0.3 ? bar.first : bar.second;
    return sum;
  };
  EXPECT_NEAR(cable(first), 100, 1e-6);
  EXPECT_NEAR(all_raceway, 27.0 * static_cast<double>(job["stock"]["raceways"].size()), 1e-6);

  job["as_built"] = "as-built.json";
  record_by(first, {"N1"});
  const double n1 = run_of(first, "N1")["cut_m"];
  const Json second = planned(job, "second");
  EXPECT_NEAR(cable(second), 100 - n1, 1e-6);
  ASSERT_GT(used(), 0);
  EXPECT_NEAR(raceway(), all_raceway - used(), 1e-6);

  record_by(second, {"N2"});
  const double n2 = run_of(second, "N2")["cut_m"];
  const Json third = planned(job, "third");
  EXPECT_NEAR(cable(third), 100 - n1 - n2, 1e-6);
  EXPECT_NEAR(raceway(), all_raceway - used(), 1e-6);
  EXPECT_NEAR(sum_of(third, "stock_left", "count", "cable", "cat6"), 1, 1e-9) << "one spool";
}

TEST_F(Records, RacewayThatARunLiesInIsThereWithItsFittings) {
  Json job = box_job();
  job["as_built"] = "as-built.json";
  record_by(old_, {"N1", "N2", "S1"});
  const Json later = planned(job, "later");
  ASSERT_FALSE(later["pieces"].empty());
  for (const Json& piece : later["pieces"]) EXPECT_EQ(piece["fixed"], true) << piece;
  EXPECT_EQ(later["pieces"].size(), old_["pieces"].size());
  EXPECT_TRUE(table_of(later, "raceway_fittings")["rows"].empty())
      << table_of(later, "raceway_fittings")["rows"];
  EXPECT_TRUE(table_of(later, "raceway_cuts")["rows"].empty());
}

TEST_F(Records, ARunOfSeveralLiesInWholePieces) {
  Json job = box_job();
  job["as_built"] = "as-built.json";
  record_by(old_, {"N2"});
  const Json later = planned(job, "later");
  for (const Json& piece : later["pieces"])
    for (const Json& run : piece["runs"])
      if (run == "N2") {
        EXPECT_EQ(piece["fixed"], true) << piece;
      }
}

/// Holes of one crossing whose circles overlap.
bool is_same_hole(const Json& a, const Json& b) {
  const auto at = [](const Json& p) { return Vec3{p[0], p[1], p[2]}; };
  return a["crossing"] == b["crossing"] &&
         distance(at(a["centre"]), at(b["centre"])) <
             0.5 * (a["diameter_m"].get<double>() + b["diameter_m"].get<double>());
}

TEST_F(Records, WhatExistsAndWhatWasNamedKeepsItsName) {
  Json job = weighed_otherwise(box_job());
  const Json first = planned(job, "first");
  ASSERT_FALSE(first["holes"].empty());
  job["as_built"] = "as-built.json";
  record_by(first, {"N1"});
  add_runs(job, 3);
  for (const char* from : {"", "first"}) {
    const Json later = planned(job, std::string("later") + from, from);
    std::set<std::string> before;
    for (const Json& hole : first["holes"]) before.insert(hole["name"]);
    int kept = 0;
    for (const Json& hole : later["holes"]) {
      bool same = false;
      for (const Json& old : first["holes"])
        if (is_same_hole(old, hole)) {
          same = true;
          ++kept;
          EXPECT_EQ(hole["name"], old["name"]);
        }
      if (!same) {
        EXPECT_FALSE(before.contains(hole["name"])) << hole["name"];
      }
    }
    EXPECT_GT(kept, 0);
    const Json record = Json::parse(record_);
    for (const Json& piece : record["raceway"]) {
      bool found = false;
      for (const Json& row : table_of(later, "raceway_pieces")["rows"])
        found = found || (row[0] == piece["name"] && row[1] == piece["raceway"] &&
                          row[2] == piece["on"] && row[3] == "there already");
      EXPECT_TRUE(found) << piece;
    }
  }
}

TEST_F(Records, LabelsThatHangStayWhenAPortIsAddedBefore) {
  Json job = box_job();
  job["as_built"] = "as-built.json";
  record_by(old_, {"N1", "N2"});
  job["gear"][0]["ports"] = {"0", "1..12"};
  job["ends"].push_back({{"id", "door"}, {"at", "Wall left"}, {"from_left", 2.0}, {"up", 1.5}});
  job["runs"].push_back({{"id", "N9"}, {"from", "rack.0"}, {"to", "door"}, {"cable", "cat6"}});
  const Json later = planned(job, "later");
  std::map<std::string, std::string> before, after;
  for (const Json& row : table_of(old_, "labels")["rows"]) before[row[0]] = row[1];
  std::set<std::string> places;
  for (const Json& row : table_of(later, "labels")["rows"]) {
    const std::string label = row[0], run = row[1];
    if (run == "N1" || run == "N2") {
      EXPECT_TRUE(before.contains(label)) << label;
    }
    if (label.ends_with("A")) {
      EXPECT_TRUE(places.insert(label.substr(0, label.find(run))).second) << label;
    }
  }
}

TEST_F(Records, AHoleThatIsWidenedAboutALyingCableGetsNothingPutIntoItBeforeCablePasses) {
  Json job = weighed_otherwise(box_job());
  const Json first = planned(job, "first");
  job["as_built"] = "as-built.json";
  record_by(first, {"N1"});
  Json record = Json::parse(record_);
  ASSERT_FALSE(record["holes"].empty());
  for (Json& hole : record["holes"]) hole["diameter_m"] = 0.020;
  write_text(folder_ / "as-built.json", record.dump());
  // Its moulded head is 23.7 mm across its corners.
  job["ends"].push_back({{"id", "desk 2"}, {"at", "Wall back"}, {"from_left", 1.3}, {"up", 0.4}});
  job["runs"].push_back({{"id", "V1"},
                         {"from", "rack.5"},
                         {"to", "desk 2"},
                         {"cable", "hdmi optical 48G"},
                         {"same_way_as", "N1"}});
  const Json later = planned(job, "later");
  const std::string ladder = read_text(folder_ / "later" / "ladder.csv");
  ASSERT_NE(ladder.find("Widen H"), std::string::npos) << ladder;
  for (const Json& hole : later["holes"])
    if (hole["built_m"].get<double>() > 0) {
      const std::string step = "Widen " + hole["name"].get<std::string>();
      const std::size_t at = ladder.find(step);
      if (at == std::string::npos) continue;
      const std::string line = ladder.substr(at, ladder.find('\n', at) - at);
      EXPECT_EQ(line.find("before any cable passes"), std::string::npos) << line;
      EXPECT_NE(line.find("round the cable that lies in it"), std::string::npos) << line;
    }
}

TEST_F(Records, ShortPiecesOfRacewayThatArePlannedAreNotToldAsUnused) {
  Json job = box_job();
  record_by(old_, {"N1", "N2", "S1"});
  Json record = Json::parse(record_);
  ASSERT_FALSE(record["raceway"].empty());
  for (Json& piece : record["raceway"]) {  // a recorded piece that is cut in two, one of 60 mm
    Json rest = piece;
    const bool along = piece["start_along"] != piece["end_along"];
    const char* from = along ? "start_along" : "start_up";
    const char* to = along ? "end_along" : "end_up";
    const double start = piece[from], end = piece[to];
    if (std::abs(end - start) < 0.3) continue;
    const double at = start + (end > start ? 0.06 : -0.06);
    piece[to] = at;
    rest[from] = at;
    rest["name"] = "R77";
    record["raceway"].push_back(rest);
    break;
  }
  // Raceway that was cut for nothing hangs nowhere.
  record["raceway"].push_back({{"name", "cut 9 from 18 x 9 no. 1"},
                               {"raceway", record["raceway"][0]["raceway"]},
                               {"stock", record["raceway"][0]["stock"]}});
  write_text(folder_ / "as-built.json", record.dump());
  job["as_built"] = "as-built.json";
  planned(job, "later");
  const auto& tables = last_->takeoff.tables;
  EXPECT_TRUE(std::none_of(tables.begin(), tables.end(),
                           [](const Table& table) { return table.id == "unused"; }));
}

TEST_F(Records, ARunThatLeavesTheJobIsToldWithItsHole) {
  Json job = box_job();
  job["as_built"] = "as-built.json";
  record_by(old_, {"N1"});
  job["runs"].erase(0);
  job["prefer"] = {{"hole_price", 500}};  // nothing else is cut
  const Json later = planned(job, "later");
  std::set<std::string> told;
  for (const Json& finding : later["findings"])
    if (finding["id"] == "recorded-unused") told.insert(finding["subject"]);
  EXPECT_TRUE(told.contains("N1"));
  const std::string list = read_text(folder_ / "later" / "unused.csv");
  EXPECT_NE(list.find("N1"), std::string::npos) << list;
}

}  // namespace
}  // namespace roomloom::testing
