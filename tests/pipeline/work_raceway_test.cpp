#include <cmath>
#include <map>
#include <set>

#include "pipeline/takeoff_of.h"

/// When raceway and ramps are fixed, opened and closed, in the demo rooms and in rooms made up at
/// random.
namespace roomloom::testing {
namespace {

using RacewayWorkOf = TakeoffOf;

/// Bases, holes, cables, tests, lids, fittings: in this order, piece by piece, and at night no lid
/// is off.
TEST_P(RacewayWorkOf, ClosesRacewayOverItsCablesAndCoversNoHoleBeforeItIsCut) {
  std::set<std::string> based, open, closed, fitted, pulled, tested, cut;
  for (const HoleRow& hole : t().holes)
    if (hole.existing) cut.insert(hole.name);
  std::map<std::string, const RacewayPiece*> pieces;
  for (const RacewayPiece& piece : t().raceway_pieces) pieces[piece.name] = &piece;
  const auto id_of = [&](int run) { return p().ends.runs[static_cast<std::size_t>(run)].id; };
  int day = 0;
  for (const WorkStep& step : t().steps) {
    EXPECT_TRUE(step.day == day || open.empty()) << "after day " << day;
    day = step.day;
    if (step.task == "cut a hole") cut.insert(step.things.begin(), step.things.end());
    if (step.task == "test a run") tested.insert(step.runs.begin(), step.runs.end());
    if (step.task == "pull a metre of cable") {
      pulled.insert(step.runs.begin(), step.runs.end());
      for (const auto& [name, piece] : pieces)
        for (const int run : piece->runs) {
          if (std::find(step.runs.begin(), step.runs.end(), id_of(run)) == step.runs.end())
            continue;
          EXPECT_TRUE(based.count(name) != 0 && open.count(name) != 0) << name << ": " << step.text;
        }
    }
    for (const std::string& name : step.things) {
      if (step.task == "fix a metre of raceway") {
        EXPECT_TRUE(based.insert(name).second) << name << " is fixed twice";
      } else if (step.task == "open raceway") {
        EXPECT_TRUE(open.insert(name).second) << name << " is open already";
      } else if (step.task == "close a metre of raceway") {
        EXPECT_EQ(open.erase(name), 1U) << name << " is not open";
        closed.insert(name);
        for (const int run : pieces.at(name)->runs)
          EXPECT_EQ(pulled.count(id_of(run)), tested.count(id_of(run))) << name << " before tests";
      } else if (step.task == "fit a raceway fitting") {
        EXPECT_TRUE(closed.count(name) != 0 && open.count(name) == 0) << name << " is open";
        EXPECT_TRUE(fitted.insert(name).second) << name << " is fitted twice";
        for (const std::string& end : {pieces.at(name)->start, pieces.at(name)->end})
          for (const HoleRow& hole : t().holes)
            EXPECT_TRUE((end + " ").find(" " + hole.name + " ") == std::string::npos ||
                        cut.count(hole.name) != 0)
                << name << " covers " << hole.name << " before it is cut";
      }
    }
  }
  EXPECT_TRUE(open.empty());
  for (const auto& [name, piece] : pieces) {
    EXPECT_TRUE(piece->fixed || based.count(name) != 0) << name;
    EXPECT_TRUE(piece->fixed || closed.count(name) != 0) << name;
    EXPECT_EQ(fitted.count(name), piece->fittings > 0 && !piece->fixed ? 1U : 0U) << name;
  }
}

/// Raceway that is opened again gets back what covered its joints, whoever it was counted with.
TEST_P(RacewayWorkOf, PutsFittingsBackOnRacewayThatIsOpenedAgain) {
  std::set<std::string> closed;
  std::map<std::string, const RacewayPiece*> pieces;
  for (const RacewayPiece& piece : t().raceway_pieces) pieces[piece.name] = &piece;
  for (const WorkStep& step : t().steps) {
    if (step.task != "close a metre of raceway" ||
        step.text.find("still empty") != std::string::npos)
      continue;
    const auto back = step.text.find("Put back the fittings of ");
    const std::string refitted =
        back == std::string::npos ? "" : ", " + step.text.substr(back + 25) + " ";
    for (const std::string& name : step.things) {
      const RacewayPiece& piece = *pieces.at(name);
      const bool covered =
          !piece.start.ends_with(", no fitting") || !piece.end.ends_with(", no fitting");
      // What is put on later is not put back.
      if (step.text.find("on " + name + " when ") != std::string::npos) continue;
      const bool again = piece.fixed || !closed.insert(name).second;
      const bool told = refitted.find(" " + name + ",") != std::string::npos ||
                        refitted.find(" " + name + ".") != std::string::npos;
      EXPECT_EQ(told, covered && again) << name << ": " << step.text;
    }
  }
}

/// Cable on open floor is covered before the day is over, and what covers it is bought.
TEST_P(RacewayWorkOf, BuysAndLaysEveryRampOverItsCables) {
  double bought = 0, wanted = 0;
  const Table& shopping = table_of(p(), "shopping");
  for (std::size_t r = 0; r < shopping.rows.size(); ++r)
    if (text_in(shopping, r, "item").rfind("floor cable ramp", 0) == 0)
      bought += number_in(shopping, r, "count");
  std::set<std::string> names;
  for (const HoleRow& hole : t().holes) names.insert(hole.name);
  for (const RunRow& row : t().runs) names.insert(row.id);
  for (const RampRow& ramp : t().ramps) {
    wanted += std::ceil(ramp.length_m - 1e-9);
    EXPECT_TRUE(names.insert(ramp.name).second) << "two things are named " << ramp.name;
    std::map<int, std::pair<int, int>> last;  // by day: the last pull beneath it, the last laying
    for (std::size_t i = 0; i < t().steps.size(); ++i) {
      const WorkStep& step = t().steps[i];
      for (const std::string& run : ramp.runs)
        if (step.task == "pull a metre of cable" &&
            std::find(step.runs.begin(), step.runs.end(), run) != step.runs.end())
          last[step.day].first = static_cast<int>(i);
      if (step.task == "lay a metre of ramp" && step.things.front() == ramp.name) {
        EXPECT_NEAR(step.count, ramp.length_m, 1e-9);
        EXPECT_GT(step.minutes, 0);
        last[step.day].second = static_cast<int>(i);
      }
    }
    EXPECT_FALSE(last.empty()) << ramp.name << " is never laid";
    for (const auto& [day, when] : last) EXPECT_GT(when.second, when.first) << ramp.name;
  }
  EXPECT_EQ(bought, wanted);
}

INSTANTIATE_TEST_SUITE_P(Room, RacewayWorkOf, kDemoRooms, room_test_name);
INSTANTIATE_TEST_SUITE_P(MadeUp, RacewayWorkOf, kMadeUpRooms, room_test_name);

}  // namespace
}  // namespace roomloom::testing
