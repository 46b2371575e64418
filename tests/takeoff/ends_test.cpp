#include <gtest/gtest.h>

#include <array>

#include "shape/hand_room.h"
#include "takeoff/boxes.h"
#include "takeoff/built.h"
#include "takeoff/minutes.h"
#include "takeoff/terminations.h"

/// What is fitted to ends, in which order of pins, and what records of what was built tell.
namespace roomloom {
namespace {

std::string text_in(const Table& table, std::size_t row, const std::string& key) {
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    if (table.columns[i].key == key) return std::get<std::string>(table.rows.at(row).at(i));
  ADD_FAILURE() << table.id << " has no " << key;
  return "";
}

double number_in(const Table& table, std::size_t row, const std::string& key) {
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    if (table.columns[i].key == key) return std::get<double>(table.rows.at(row).at(i));
  ADD_FAILURE() << table.id << " has no " << key;
  return 0;
}

/// Runs from a rack to a wall: two network ends side by side, a loudspeaker and a picture run.
struct Wired {
  testing::HandRoom hand;
  Takeoff takeoff;

  Wired() {
    const PlaceId wall = hand.sheet("Wall", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 9, 3);
    hand.run("N1", {{3, 0, 0.4}, {0, 1, 0.4}}, 1);
    hand.run("N2", {{3, 0.1, 0.4}, {0, 1.1, 0.4}}, 1);
    hand.run("S1", {{3, 0.2, 0.4}, {0, 4, 2}}, 0);
    hand.run("V1", {{3, 0.3, 0.4}, {0, 5, 2}}, 2);
    for (const Run& run : hand.ends.runs) {
      end(run.from).gear = "rack";
      end(run.to).place.home = wall;
      end(run.to).mount = Mount::on_sheet;
      RunRow row;
      row.run = static_cast<int>(takeoff.runs.size());
      row.id = run.id;
      row.routed = true;
      takeoff.runs.push_back(row);
    }
  }
  End& end(int index) { return hand.ends.ends[static_cast<std::size_t>(index)]; }
  End& far_end(std::size_t run) { return end(hand.ends.runs[run].to); }
  RunRow& row(std::size_t run) { return takeoff.runs[run]; }
  std::vector<Termination> all() {
    return terminations_of(takeoff, hand.ends, hand.room, hand.job);
  }
};

TEST(Terminations, AreByServiceAndNeighboursOnAWallShareABox) {
  Wired wired;
  const auto all = wired.all();
  ASSERT_EQ(all.size(), 8U);  // from and to of each run
  EXPECT_EQ(all[0].connector, "network plug");
  EXPECT_EQ(all[1].connector, "network jack");
  EXPECT_EQ(all[1].box, "B1");
  EXPECT_EQ(all[1].box_kind, "wall box, plate with 2 ports");
  EXPECT_EQ(all[3].box, "B1") << "0.1 m beside";
  EXPECT_EQ(all[3].box_kind, "") << "bought once";
  EXPECT_EQ(all[5].connector, "loudspeaker plug");
  EXPECT_EQ(all[5].count, 2) << "one a conductor";
  EXPECT_EQ(all[7].count, 0) << "moulded on";
}

TEST(Terminations, AreNotCountedForWhatIsCoiledUnterminatedOrLiesAlready) {
  Wired wired;
  wired.far_end(0).state = EndState::coiled;
  wired.far_end(1).state = EndState::unterminated;
  wired.row(2).installed = true;
  const auto all = wired.all();
  EXPECT_EQ(all[1].state, "leave coiled");
  EXPECT_EQ(all[3].state, "leave unterminated");
  EXPECT_EQ(all[5].state, "lies already");
  for (const std::size_t none : {1U, 3U, 4U, 5U}) EXPECT_EQ(all[none].count, 0) << none;
  EXPECT_EQ(all[0].count, 1) << "its other end is fitted all the same";
}

/// A double box goes up with its first jack; the second finds it there.
TEST(Terminations, GoIntoTheBoxThatWasPutUpWithTheirNeighbour) {
  Wired wired;
  wired.row(0).installed = true;
  const auto all = wired.all();
  EXPECT_TRUE(all[1].box_there);
  EXPECT_EQ(all[3].state, "fit now");
  EXPECT_EQ(all[3].connector, "network jack");
  EXPECT_TRUE(all[3].box_there);
  EXPECT_EQ(all[3].box + all[3].box_kind, "") << "no box is mounted or bought";
  const std::vector<OutletBox> boxes = boxes_of(all, wired.hand.ends, wired.hand.room);
  ASSERT_EQ(boxes.size(), 1U);
  EXPECT_TRUE(boxes[0].there);
  EXPECT_EQ(boxes[0].ends.size(), 2U);
  wired.far_end(0).state = EndState::coiled;
  EXPECT_FALSE(wired.all()[1].box_there) << "a coil was left there and no box";
  EXPECT_EQ(wired.all()[3].box, "B1");
}

TEST(Terminations, OfALyingProvisionAreFittedWhereItsEndWasLeftOpen) {
  Wired wired;
  BuiltRun built;
  built.id = "N1";
  built.open_to = true;
  WayStretch stretch;
  stretch.from = {3, 0, 0.4};
  stretch.to = {0, 1, 0.4};
  built.track = {stretch};
  wired.hand.job.as_built.runs = {built};
  wired.row(0).installed = wired.row(0).to_finish = true;
  const auto all = wired.all();
  EXPECT_EQ(all[0].state, "lies already");
  EXPECT_EQ(all[1].state, "fit now");
  EXPECT_EQ(all[1].connector, "network jack");
}

// ANSI/TIA-568.2-D, as published pin tables give it: T568A WG G WO Bl WBl O WBr Br, and T568B with
// the orange and the green pair exchanged.
TEST(Labels, StayWhenGearIsAddedBelowInTheJobThoughItComesFirstById) {
  Wired wired;
  GearSpec rack, amplifier;
  rack.id = "rack";
  rack.pointer = "/gear/0";
  amplifier.id = "amplifier";
  amplifier.pointer = "/gear/1";
  wired.hand.job.gear = {rack};
  const Table before = label_table(wired.takeoff, wired.hand.ends, wired.hand.job);
  EXPECT_EQ(text_in(before, 0, "label"), "R-A00-N1-A");
  wired.hand.job.gear = {amplifier, rack};  // as planning puts them
  const Table after = label_table(wired.takeoff, wired.hand.ends, wired.hand.job);
  for (std::size_t row = 0; row < before.rows.size(); ++row)
    EXPECT_EQ(text_in(after, row, "label"), text_in(before, row, "label"));
}

TEST(PinOrders, AreThoseOfTia568InBothSchemes) {
  Wired wired;
  const Table table = pin_table(wired.all());
  const std::array<const char*, 8> a = {"white-green", "green",  "white-orange", "blue",
                                        "white-blue",  "orange", "white-brown",  "brown"};
  const std::array<const char*, 8> b = {"white-orange", "orange", "white-green", "blue",
                                        "white-blue",   "green",  "white-brown", "brown"};
  ASSERT_GE(table.rows.size(), 8U);
  for (std::size_t pin = 0; pin < 8; ++pin) {
    EXPECT_EQ(text_in(table, pin, "service"), "network");
    EXPECT_EQ(text_in(table, pin, "pin"), std::to_string(pin + 1));
    EXPECT_EQ(text_in(table, pin, "first"), a[pin]);
    EXPECT_EQ(text_in(table, pin, "second"), b[pin]);
  }
}

TEST(PinOrders, AreOnlyOfServicesThatAreFittedNow) {
  Wired wired;
  for (const std::size_t network : {0U, 1U}) wired.row(network).routed = false;
  const Table table = pin_table(wired.all());
  ASSERT_FALSE(table.rows.empty());
  for (std::size_t row = 0; row < table.rows.size(); ++row)
    EXPECT_EQ(text_in(table, row, "service"), "loudspeaker");
}

TEST(StockLeft, IsWhatIsWorthKeepingAndWhatWasNotTouched) {
  Takeoff takeoff;
  Job job;
  Spool begun;
  begun.name = "A1";
  begun.cable = "speaker";
  begun.length_m = 50;
  begun.left_m = 12;
  begun.on_shelf = true;
  Spool nearly = begun;
  nearly.name = "A2";
  nearly.left_m = 0.3;
  nearly.on_shelf = false;
  Spool lead = begun;
  lead.lead = true;
  lead.on_shelf = false;
  takeoff.spools = {begun, nearly, lead};
  job.spools = {{"speaker", 50, "", 0, 3, true}, {"speaker", 100, "", 80, 1, false}};
  const Table table = stock_left_table(takeoff, job);
  ASSERT_EQ(table.rows.size(), 2U);
  EXPECT_EQ(number_in(table, 0, "left_m"), 12);
  EXPECT_EQ(number_in(table, 1, "left_m"), 50);
  EXPECT_EQ(number_in(table, 1, "count"), 2) << "one of the three was begun; offers are no stock";
}

TEST(BuiltLengths, LeaveReadyMadeLeadsOutOfWhatTheyCompare) {
  Job job;
  CableType lead;
  lead.id = "lead";
  lead.head_width_m = 0.02;
  job.catalogue.cables = {lead};
  for (const char* cable : {"lead", "wire"}) {
    BuiltRun run;
    run.id = cable;
    run.cable = cable;
    run.drawn_m = 9;
    run.predicted_m = 9.6;
    run.measured_m = 10;
    job.as_built.runs.push_back(run);
  }
  const Table table = built_table(job);
  EXPECT_EQ(table.note.rfind("Over 1 run,", 0), 0U) << table.note;
  ASSERT_EQ(table.rows.size(), 3U);
  EXPECT_TRUE(std::holds_alternative<std::monostate>(table.rows[0][1]));
  EXPECT_EQ(number_in(table, 1, "predicted_m"), 9.6);
  EXPECT_EQ(std::get<std::string>(table.rows[2][0]), "Mean of 1 run");
  EXPECT_NEAR(number_in(table, 2, "share_percent"), 100 * 0.4 / 9, 1e-9);
  EXPECT_EQ(std::get<std::string>(table.rows[2].back()), table.note) << "in the CSV too";
}

TEST(RacewayLeft, IsTheRestOfEachLengthAndWhatWasNotTouched) {
  Takeoff takeoff;
  Job job;
  RacewayPiece first;
  first.raceway = "40 x 25";
  first.stock = "40 x 25 no. 1 (from the shelf)";
  first.stock_m = 3;
  first.stock_left_m = 2;
  RacewayPiece second = first;
  second.stock_left_m = 0.8;
  RacewayPiece sliver = first;
  sliver.stock = "40 x 25 no. 2";
  sliver.stock_left_m = 0.2;
  takeoff.raceway_pieces = {first, second, sliver};
  job.work.raceway = {{"40 x 25", 3, 2}};
  const Table table = raceway_left_table(takeoff, job);
  ASSERT_EQ(table.rows.size(), 2U);
  EXPECT_EQ(number_in(table, 0, "left_m"), 0.8);
  EXPECT_EQ(text_in(table, 1, "from"), "untouched");
  EXPECT_EQ(number_in(table, 1, "count"), 1);
}

TEST(MinutesBuilt, AreCountedWithOnceThereAreEnoughUnlessTheJobHasItsOwn) {
  Job job;
  job.as_built.minutes = {{"cut a hole", 4, 80},
                          {"cut a hole", 2, 40},
                          {"lift a tile", 6, 60},
                          {"fix a support", 2, 5}};
  job.work.minutes = {{"lift a tile", 2, 1, 4}};
  const Table table = minutes_built_table(job);
  ASSERT_EQ(table.rows.size(), 3U);  // in the order of the tasks
  EXPECT_EQ(text_in(table, 0, "task"), "lift a tile");
  EXPECT_EQ(text_in(table, 0, "advice"), "out of the job's own range: change it, or leave it out");
  EXPECT_EQ(number_in(table, 0, "counted_with"), 2);
  EXPECT_EQ(text_in(table, 1, "task"), "cut a hole");
  EXPECT_EQ(number_in(table, 1, "count"), 6);
  EXPECT_EQ(number_in(table, 1, "recorded"), 20);
  EXPECT_EQ(text_in(table, 1, "advice"), "counted with from now on");
  EXPECT_EQ(text_in(table, 2, "advice"), "too few to count with");
  WorkStep step;
  step.task = "cut a hole";
  step.count = 3;
  time_step(step, job);
  EXPECT_NEAR(step.minutes, 60, 1e-9);
  EXPECT_NEAR(step.least, 30, 1e-9) << "the built-in 6 to 25 about 12, in proportion";
  EXPECT_NEAR(step.most, 125, 1e-9);
  step.task = "fix a support";
  time_step(step, job);
  EXPECT_NEAR(step.minutes, 9, 1e-9);
}

}  // namespace
}  // namespace roomloom
