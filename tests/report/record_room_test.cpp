#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "report/record.h"

namespace roomloom {
namespace {

using Json = nlohmann::json;

Json table(const char* id, const std::vector<std::string>& keys, const std::vector<Json>& rows) {
  Json columns = Json::array();
  for (const std::string& key : keys) columns.push_back({{"key", key}});
  return {{"id", id}, {"columns", columns}, {"rows", rows}};
}

Json hole(const char* name, double x, const char* run) {
  return {{"name", name},          {"crossing", "tile A4"},
          {"centre", {x, 0, 2.5}}, {"passed_at", {x, 0, 2.5}},
          {"normal", {0, 0, 1}},   {"diameter_m", 0.016},
          {"existing", false},     {"cut_already", false},
          {"runs", {run}}};
}

Json run(const char* id, double drawn_m) {
  return {{"id", id},       {"from", "rack.1"},   {"to", "desk"},         {"cable", "cat6"},
          {"routed", true}, {"drawn_m", drawn_m}, {"cut_m", drawn_m + 1}, {"way", Json::array()}};
}

/// Two holes 33 mm apart in one tile, each with a run; N1 lies in raceway R1 too, V1 is a lead.
Json plan_of_two() {
  return {{"format", "roomloom-plan"},
          {"version", 1},
          {"job", {{"file", "job.json"}, {"sha256", std::string(64, 'a')}}},
          {"runs", {run("N1", 10), run("N2", 6), run("V1", 3)}},
          {"holes", {hole("H1", 0, "N1"), hole("H2", 0.033, "N2")}},
          {"ends", Json::array()},
          {"pieces", {{{"name", "R1"}, {"fixed", false}, {"runs", {"N1"}}}}},
          {"tables",
           {table("raceway_pieces",
                  {"piece", "raceway", "on", "state", "corner", "start_along_m", "start_up_m",
                   "end_along_m", "end_up_m", "start", "end"},
                  {{"R1", "16 x 16", "Wall", "to cut", "left corner", 0.1, 0.3, 1.3, 0.3, "square",
                    "square"}}),
            table("raceway_cuts", {"stock", "piece", "stock_m", "takes_m"},
                  {{"16 x 16 no. 1", "R1", 2, 1.2}}),
            table("spools", {"spool", "cable", "colour", "from", "length_m"},
                  {{"A1", "cat6", "blue", "the shelf", 18}, {"C1", "cat6", "", "the shop", 5}}),
            table("spool_cuts", {"spool", "run"}, {{"A1", "N1"}, {"A1", "N2"}}),
            table("leads", {"lead", "run", "length_m"}, {{"C1", "V1", 5}}),
            table("labels", {"label", "run"}, {{"AH-A07-N1-A", "N1"}, {"AH-A07-N1-B", "N1"}})}}};
}

Result<std::string> add(const std::string& before, const Recording& what) {
  return recorded(plan_of_two().dump(), before, what);
}

Recording cut(const std::string& name, double wide_m) {
  Recording what;
  what.holes = {name};
  what.hole_m[name] = wide_m;
  return what;
}

Recording pulled(const std::string& id, double measured_m) {
  Recording what;
  what.run = id;
  what.measured_m = measured_m;
  return what;
}

TEST(RecordOfHoles, KeepsNeighboursOfOneTileApart) {
  const auto one = add("", cut("H1", 0.010));
  ASSERT_TRUE(one) << to_text(one.error());
  const auto both = add(*one, cut("H2", 0.020));
  ASSERT_TRUE(both) << to_text(both.error());
  Json holes = Json::parse(*both)["holes"];
  ASSERT_EQ(holes.size(), 2U);
  EXPECT_EQ(holes[0]["name"], "H1");
  EXPECT_EQ(holes[0]["diameter_m"], 0.010);
  EXPECT_EQ(holes[1]["at"], Json({0.033, 0, 2.5}));
  const auto again = add(*both, cut("H1", 0.012));
  holes = Json::parse(*again)["holes"];
  ASSERT_EQ(holes.size(), 2U) << "recorded again it replaces its own entry";
  EXPECT_EQ(holes[0]["diameter_m"], 0.012);
  EXPECT_EQ(holes[1]["diameter_m"], 0.020);
}

TEST(RecordOfARun, HoldsTheHolesItPassesAndTheRacewayItLiesIn) {
  const auto narrow = add("", cut("H1", 0.012));
  const auto text = add(*narrow, pulled("N1", 11));
  ASSERT_TRUE(text) << to_text(text.error());
  const Json record = Json::parse(*text);
  ASSERT_EQ(record["holes"].size(), 1U);
  EXPECT_EQ(record["holes"][0]["diameter_m"], 0.012) << "as told before, not as planned";
  ASSERT_EQ(record["raceway"].size(), 1U);
  EXPECT_EQ(record["raceway"][0]["name"], "R1");
  EXPECT_EQ(record["raceway"][0]["stock"]["cut"], 1.2);
  EXPECT_EQ(record["runs"][0]["label"], "AH-A07-N1");
  const auto fresh = add("", pulled("N2", 7));
  EXPECT_EQ(Json::parse(*fresh)["holes"][0]["name"], "H2");
  const auto told = told_beside(plan_of_two().dump(), "", pulled("N1", 11));
  ASSERT_TRUE(told);
  EXPECT_EQ(*told, (std::vector<std::string>{"hole H1", "raceway R1"}));
}

TEST(RecordOfARun, RefusesLengthsThatCanHardlyBeUnlessToldThatTheyAre) {
  for (const auto& [id, metres] : {std::pair{"N1", 160.0}, std::pair{"N1", 0.1},
                                   std::pair{"N1", 18.5}, std::pair{"V1", 9.0}}) {
    Recording what = pulled(id, metres);
    const auto refused = add("", what);
    ASSERT_FALSE(refused) << id << " " << metres;
    EXPECT_EQ(refused.error().code, "record.implausible");
    EXPECT_NE(to_text(refused.error()).find("--anyway"), std::string::npos);
    what.anyway = true;
    EXPECT_TRUE(add("", what));
  }
  EXPECT_TRUE(add("", pulled("N1", 9.8))) << "corners are cut";
  const auto first = add("", pulled("N1", 13));
  const auto overdrawn = add(*first, pulled("N2", 8));
  ASSERT_FALSE(overdrawn) << "21 m from 18";
  EXPECT_NE(to_text(overdrawn.error()).find("A1"), std::string::npos);
}

TEST(RecordOfARun, KnowsHowLongALeadIs) {
  Recording what;
  what.run = "V1";
  const auto text = add("", what);
  ASSERT_TRUE(text) << to_text(text.error());
  EXPECT_EQ(Json::parse(*text)["runs"][0]["measured"], 5);
}

TEST(RecordOfHoles, RefusesWidthsThatCanHardlyBe) {
  for (const double wide : {29.0, 2.9, 0.000029}) {
    const auto refused = add("", cut("H1", wide));
    ASSERT_FALSE(refused) << wide;
    EXPECT_EQ(refused.error().code, "record.implausible");
    EXPECT_NE(to_text(refused.error()).find("H1=29mm"), std::string::npos);
  }
}

TEST(RecordOfTasks, AsksHowManyWereDoneInWhatTime) {
  Json plan = plan_of_two();
  plan["tables"].push_back(table("minutes", {"task"}, {{"cut a hole"}}));
  Recording what;
  what.task = "cut a hole";
  EXPECT_FALSE(recorded(plan.dump(), "", what));
  what.count = 3;
  what.minutes = 50;
  EXPECT_TRUE(recorded(plan.dump(), "", what));
}

TEST(RecordedStock, IsToldApartByPlanThoughTheJobIsTheSame) {
  const auto plan_name = [](const Json& plan) {
    const auto text = recorded(plan.dump(), "", pulled("N1", 11));
    EXPECT_TRUE(text) << to_text(text.error());
    return Json::parse(*text)["runs"][0]["spool"]["plan"];
  };
  Json later = plan_of_two();
  later["job"]["as_built"] = {{"file", "as-built.json"}, {"sha256", std::string(64, 'b')}};
  EXPECT_EQ(plan_name(plan_of_two()), plan_name(plan_of_two()));
  EXPECT_NE(plan_name(plan_of_two()), plan_name(later));
}

TEST(RecordedNames, OfTheLastPlanStayWithThoseOfWhatIsGone) {
  const auto text = add("", cut("H1", 0.01));
  Json names = Json::parse(*text)["names"];
  EXPECT_EQ(names["holes"].size(), 2U);
  EXPECT_EQ(names["raceway"].size(), 1U);
  Json later = plan_of_two();
  later["holes"] = {hole("H2", 0.033, "N2"), hole("H3", 0.3, "N1")};
  const auto more = recorded(later.dump(), *text, cut("H3", 0.016));
  ASSERT_TRUE(more) << to_text(more.error());
  names = Json::parse(*more)["names"];
  std::vector<std::string> kept;
  for (const Json& one : names["holes"]) kept.push_back(one["name"]);
  EXPECT_EQ(kept, (std::vector<std::string>{"H2", "H3", "H1"}));
}

}  // namespace
}  // namespace roomloom
