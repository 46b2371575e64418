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
          {"tiles",
           {{{"name", "A4"},
             {"crossing", "tile A4"},
             {"corner", {-0.3, -0.3, 2.5}},
             {"side_1", {0.6, 0, 0}},
             {"side_2", {0, 0.6, 0}}},
            {{"name", "B4"},
             {"crossing", "tile B4"},
             {"corner", {-0.3, 0.3, 2.5}},
             {"side_1", {0.6, 0, 0}},
             {"side_2", {0, 0.6, 0}}}}},
          {"ends", Json::array()},
          {"pieces", {{{"name", "R1"}, {"fixed", false}, {"runs", {"N1"}}}}},
          {"tables",
           {table("raceway_pieces",
                  {"piece", "raceway", "on", "state", "corner", "start_along_m", "start_up_m",
                   "end_along_m", "end_up_m", "start", "end"},
                  {{"R1", "16 x 16", "Wall", "to cut", "left corner", 0.1, 0.3, 1.3, 0.3, "square",
                    "square"}}),
            table("raceway_cuts", {"stock", "piece", "length_m", "stock_m", "takes_m"},
                  {{"16 x 16 no. 1 (from the shelf)", "R1", 1.197, 2, 1.2}}),
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

Recording cut_at(const std::string& name, const std::string& tile, double from_1, double from_2) {
  Recording what;
  what.holes = {name};
  what.hole_at = CutAt{tile, from_1, from_2};
  return what;
}

TEST(RecordOfHoles, TakesAHoleThatWasCutElsewhereToWhereItIs) {
  const auto text = add("", cut_at("H1", "B4", 0.1, 0.45));
  ASSERT_TRUE(text) << to_text(text.error());
  Json record = Json::parse(*text);
  ASSERT_EQ(record["holes"].size(), 1U);
  EXPECT_EQ(record["holes"][0]["crossing"], "tile B4");
  EXPECT_NEAR(record["holes"][0]["at"][0].get<double>(), -0.2, 1e-9);
  EXPECT_NEAR(record["holes"][0]["at"][1].get<double>(), 0.75, 1e-9);
  EXPECT_EQ(record["holes"][0]["diameter_m"], 0.016) << "as wide as planned";
  for (const Json& one : record["names"]["holes"])
    EXPECT_NE(one["name"], "H1") << "what is still planned in A4 is another hole";

  // By this plan its run lies through the hole that is not there.
  const auto run = add(*text, pulled("N1", 11));
  ASSERT_FALSE(run);
  EXPECT_EQ(run.error().code, "record.implausible");
  Recording all_the_same = pulled("N1", 11);
  all_the_same.anyway = true;
  EXPECT_TRUE(add(*text, all_the_same));
  EXPECT_TRUE(add(*text, pulled("N2", 7))) << "another hole";

  const auto again = add(*text, cut_at("H1", "tile A4", 0.31, 0.3));
  ASSERT_TRUE(again) << to_text(again.error());
  EXPECT_EQ(Json::parse(*again)["holes"].size(), 1U) << "there is one hole";
  EXPECT_TRUE(add(*again, pulled("N1", 11))) << "10 mm off it is the planned one";
}

TEST(RecordOfHoles, RefusesAPlaceThatIsNotInTheTile) {
  EXPECT_EQ(add("", cut_at("H1", "B4", 0.1, 0.7)).error().code, "record.implausible");
  EXPECT_EQ(add("", cut_at("H1", "Z9", 0.1, 0.3)).error().code, "record.unknown");
  Recording two = cut_at("H1", "B4", 0.1, 0.3);
  two.holes.push_back("H2");
  EXPECT_EQ(add("", two).error().code, "record.unknown");
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

TEST(RecordOfARun, RefusesLessThanTheStraightLineBetweenItsEnds) {
  Json plan = plan_of_two();
  plan["ends"] = {{{"id", "rack.1"}, {"at", {0, 0, 0}}}, {{"id", "desk"}, {"at", {6, 0, 0}}}};
  plan["runs"][1]["routed"] = false;
  const auto refused = recorded(plan.dump(), "", pulled("N2", 2));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "record.implausible");
  EXPECT_NE(to_text(refused.error()).find("less than the straight line"), std::string::npos);
  EXPECT_NE(to_text(refused.error()).find("6.00 m"), std::string::npos);
  EXPECT_TRUE(recorded(plan.dump(), "", pulled("N2", 6)));
}

TEST(RecordedAgain, SaysWhatItWasBefore) {
  const auto first = add("", pulled("N1", 11));
  Recording what = pulled("N1", 12);
  what.holes = {"H1"};
  what.hole_m["H1"] = 0.02;
  const auto second = add(*first, what);
  ASSERT_TRUE(second) << to_text(second.error());
  const std::vector<std::string> told = told_again(*first, *second, what);
  ASSERT_EQ(told.size(), 2U);
  EXPECT_EQ(told[0], "run N1 was 11.00 m (36.1 ft), is now 12.00 m (39.4 ft)");
  EXPECT_EQ(told[1], "hole H1 was 16.0 mm (0.63 in), is now 20.0 mm (0.79 in)");
  EXPECT_TRUE(told_again("", *first, pulled("N1", 11)).empty());
}

TEST(Forgetting, ARunTakesWithItWhatOnlyItBroughtIntoTheRecord) {
  Json plan = plan_of_two();
  plan["holes"][0]["runs"] = {"N1", "N2"};
  const auto plan_text = plan.dump();
  const auto one = recorded(plan_text, "", pulled("N1", 11));
  const auto both = recorded(plan_text, *one, pulled("N2", 6.5));
  ASSERT_TRUE(both) << to_text(both.error());
  Recording run;
  run.run = "N1";
  const auto rest = forgotten(plan_text, *both, run);
  ASSERT_TRUE(rest) << to_text(rest.error());
  EXPECT_EQ(rest->told, (std::vector<std::string>{"run N1", "raceway R1"})) << "N2 passes H1 too";
  Json record = Json::parse(rest->record);
  EXPECT_EQ(record["runs"].size(), 1U);
  EXPECT_EQ(record["holes"].size(), 2U);
  EXPECT_TRUE(record["raceway"].empty());
  run.run = "N2";
  const auto none = forgotten(plan_text, rest->record, run);
  ASSERT_TRUE(none);
  EXPECT_EQ(none->told, (std::vector<std::string>{"run N2", "hole H1", "hole H2"}));
}

TEST(Forgetting, LeavesWhatWasRecordedForItself) {
  Recording seen;
  seen.raceway = {"R1"};
  const auto piece = add("", seen);
  const auto with_run = add(*piece, pulled("N1", 11));
  const auto after = add(*with_run, seen);
  Recording run;
  run.run = "N1";
  const auto rest = forgotten(plan_of_two().dump(), *after, run);
  ASSERT_TRUE(rest);
  EXPECT_EQ(Json::parse(rest->record)["raceway"].size(), 1U);
  const auto beside_first = add("", pulled("N1", 11));
  const auto seen_later = add(*beside_first, seen);
  const auto kept = forgotten(plan_of_two().dump(), *seen_later, run);
  ASSERT_TRUE(kept);
  EXPECT_EQ(Json::parse(kept->record)["raceway"].size(), 1U);
}

TEST(Forgetting, AnswersInWordsWhereThereIsNothingOfThatName) {
  const auto built = add("", pulled("N1", 11));
  Recording other;
  other.run = "N2";
  const auto unknown = forgotten(plan_of_two().dump(), *built, other);
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, "record.unknown");
  EXPECT_NE(to_text(unknown.error()).find("N1"), std::string::npos) << "what there is";
  EXPECT_EQ(forgotten(plan_of_two().dump(), *built, {}).error().code, "record.nothing");
  Recording spool;
  spool.spool = "A1";
  EXPECT_FALSE(forgotten(plan_of_two().dump(), *built, spool)) << "that cut was for a run";
  spool.measured_m = 2;
  const auto cut_too = add(*built, spool);
  ASSERT_TRUE(cut_too) << to_text(cut_too.error());
  const auto gone = forgotten(plan_of_two().dump(), *cut_too, spool);
  ASSERT_TRUE(gone) << to_text(gone.error());
  EXPECT_EQ(Json::parse(gone->record)["runs"].size(), 1U);
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

Recording left(const std::string& spool, double metres) {
  Recording what;
  what.spool = spool;
  what.left_m = metres;
  return what;
}

TEST(RecordedStock, ASpoolThatIsShorterThanToldIsAsLongAsWhatIsLeftOfIt) {
  const auto first = add("", pulled("N1", 11));
  ASSERT_TRUE(first);
  const auto text = add(*first, left("A1", 2.5));  // of 18 m, 11 m are cut
  ASSERT_TRUE(text) << to_text(text.error());
  const Json runs = Json::parse(*text)["runs"];
  ASSERT_EQ(runs.size(), 2U);
  EXPECT_NEAR(runs[1]["measured"].get<double>(), 4.5, 1e-9);
  EXPECT_EQ(runs[1]["spool"], runs[0]["spool"]);
  const auto same = add(*text, left("A1", 2.5));
  ASSERT_TRUE(same);
  EXPECT_EQ(Json::parse(*same)["runs"].size(), 2U) << "nothing more is missing";
  EXPECT_EQ(add(*text, left("A1", 3)).error().code, "record.length") << "no cable grows";
  EXPECT_EQ(add("", left("", 3)).error().code, "record.length");
  EXPECT_EQ(add("", left("A9", 3)).error().code, "record.unknown");

  Recording both = pulled("N1", 11);
  both.left_m = 2.5;
  const auto at_once = add("", both);
  ASSERT_TRUE(at_once) << to_text(at_once.error());
  EXPECT_EQ(Json::parse(*at_once)["runs"], runs);
}

TEST(RecordedStock, APieceOfRacewayThatWasCutWrongShortensItsLengthAndCanBeForgotten) {
  Recording what;
  what.spool = "16 x 16 no. 1";
  what.measured_m = 0.4;
  const auto text = add("", what);
  ASSERT_TRUE(text) << to_text(text.error());
  const Json pieces = Json::parse(*text)["raceway"];
  ASSERT_EQ(pieces.size(), 1U);
  EXPECT_EQ(pieces[0]["raceway"], "16 x 16");
  EXPECT_NEAR(pieces[0]["stock"]["cut"].get<double>(), 0.403, 1e-9) << "and the saw's cut";
  EXPECT_EQ(pieces[0]["stock"]["on_shelf"], true);
  EXPECT_FALSE(pieces[0].contains("on")) << "it hangs nowhere";
  const auto rest = add(*text, left("16 x 16 no. 1", 1.5));
  ASSERT_TRUE(rest) << to_text(rest.error());
  EXPECT_NEAR(Json::parse(*rest)["raceway"][1]["stock"]["cut"].get<double>(), 0.097, 1e-9);
  Recording forget;
  forget.spool = "16 x 16 no. 1";
  const auto less = forgotten(plan_of_two().dump(), *text, forget);
  ASSERT_TRUE(less) << to_text(less.error());
  EXPECT_TRUE(Json::parse(less->record)["raceway"].empty());
}

// Two classrooms of one job: their plans call their spools the same, and are the same to the byte.
TEST(RecordedStock, IsToldApartByRecordThoughThePlansAreAlike) {
  const auto plan_name = [](const std::string& id) {
    Recording first = pulled("N1", 11);
    first.record_id = id;
    auto text = add("", first);
    EXPECT_TRUE(text) << to_text(text.error());
    Recording second = pulled("N2", 6);
    second.record_id = "moved since";
    text = add(*text, second);
    EXPECT_TRUE(text) << to_text(text.error());
    const Json runs = Json::parse(*text)["runs"];
    EXPECT_EQ(runs[0]["spool"], runs[1]["spool"]) << "one record, one spool";
    return runs[0]["spool"]["plan"].get<std::string>();
  };
  EXPECT_EQ(plan_name("room 1"), plan_name("room 1"));
  EXPECT_NE(plan_name("room 1"), plan_name("room 2"));
  EXPECT_NE(plan_name("room 1"), plan_name(""));
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
