#include "job/job.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "job/read_preferences.h"

namespace roomloom {
namespace {

JobReading read(const std::string& sections) {
  return examine_job(
      "{\"model\": {\"file\": \"room.step\"}" + (sections.empty() ? "" : ", " + sections) + "}",
      "t.json");
}

std::string all_text(const JobReading& reading) {
  std::string text;
  for (const Error& problem : reading.problems)
    text += problem.code + " " + to_text(problem) + "\n";
  return text;
}

bool reports(const JobReading& reading, const std::string& code, const std::string& pointer) {
  return std::any_of(reading.problems.begin(), reading.problems.end(), [&](const Error& problem) {
    return problem.code == code && problem.where.find(pointer) != std::string::npos;
  });
}

constexpr const char* kWholeJob = R"({
  "$schema": "roomloom-job.schema.json",
  "name": "Alder Hall screening room",
  "title_block": { "owner": "R. Vance", "date": "3 May", "released_by": "M. Ode", "drawn_by": "L. Ash" },
  "model": { "file": "alder-hall.step", "unit": "mm", "up": "z", "seed": [1, "2 m", "1 ft"] },
  "parts": [
    { "match": "Wall *",      "is": "wall", "build": "masonry" },
    { "match": "Partition *", "is": "wall", "build": "stud",
      "studs": { "pitch": "400 mm", "blocking": ["1.8 m", "1.2 m"] } },
    { "match": "Ceiling *",   "is": "suspended ceiling", "tile": ["600 mm", "600 mm"],
      "handles_air": false },
    { "match": "Duct *",      "is": "obstacle", "clearance": "50 mm" },
    { "match": "Pipe",        "is": "conduit", "inside": "25 mm", "occupied_by": ["cat6"] }
  ],
  "gear": [ { "id": "stand", "box": ["1.6 m", "0.45 m", "0.6 m"], "at": "Wall front",
              "from_left": "1.3 m", "off_wall": "0.1 m", "pull_out": "0.6 m",
              "holds": [ { "id": "amp", "ports": ["S1..S11", "LFE1", "LFE2", "net"] } ] } ],
  "ends": [ { "id": "top middle", "at": "Ceiling 1", "from_left": 1, "up": 2, "mount": "on sheet" },
            { "id": "chair", "xyz": [1, 2, 0.4], "state": "unterminated",
              "may_move": { "rectangle": [0.4, 0.2] } } ],
  "layout": { "system": "4+5+0", "listener": { "xyz": ["2.1 m", "3.4 m", "1.2 m"] },
              "facing": "Wall front" },
  "runs": [ { "id": "S1", "from": "amp", "to": "M+030", "cable": "speaker 2x2.5" },
            { "id": "S9", "from": "amp.S9", "to": "M+135", "cable": "speaker 2x2.5",
              "impedance": "8 ohm", "loss": "3 %", "provision": true, "not_with": "S1",
              "end": { "state": "coiled", "may_move": { "radius": "0.5 m" } } },
            { "id": "S10", "from": "amp", "to": "top middle", "cable": "house 2x2.5" } ],
  "stock": { "spools": [ { "cable": "speaker 2x2.5", "length": "100 m", "colour": "black" } ] },
  "cables": [ { "id": "house 2x2.5", "like": "speaker 2x2.5", "diameter": "7 mm" },
              { "id": "cat6", "price_per_metre": 9 } ],
  "prefer": { "preset": "least seen", "fill_limit": "35 %", "cutting_step": "10 cm" }
})";

TEST(Job, ReadsEverySection) {
  const auto parsed = parse_job(kWholeJob, "t.json");
  ASSERT_TRUE(parsed) << to_text(parsed.error());
  const Job& job = *parsed;
  EXPECT_EQ(job.name, "Alder Hall screening room");
  EXPECT_EQ(job.title_block.owner, "R. Vance");
  EXPECT_EQ(job.title_block.date, "3 May");
  EXPECT_EQ(job.title_block.approved_by, "M. Ode");
  EXPECT_EQ(job.title_block.drawn_by, "L. Ash");
  EXPECT_EQ(job.model.unit_m, 0.001);
  EXPECT_EQ(job.model.seed, (Vec3{1, 2, 0.3048}));
  ASSERT_EQ(job.parts.size(), 5U);
  EXPECT_EQ(job.parts[1].build, Build::stud);
  EXPECT_EQ(job.parts[1].blocking_m, (std::vector<double>{1.2, 1.8}));
  EXPECT_EQ(job.parts[2].handles_air, HandlesAir::no);
  EXPECT_EQ(job.parts[3].clearance_m, 0.05);
  EXPECT_NEAR(job.parts[4].occupied_area_m2, kPi / 4 * 0.00635 * 0.00635, 1e-12);
  ASSERT_EQ(job.gear.size(), 1U);
  EXPECT_EQ(job.gear[0].box, (Vec3{1.6, 0.45, 0.6}));
  EXPECT_EQ(std::get<OnPart>(job.gear[0].place).from_left_m, 1.3);
  ASSERT_EQ(job.gear[0].holds[0].ports.size(), 14U);
  EXPECT_EQ(job.gear[0].holds[0].ports[10], "S11");
  EXPECT_EQ(job.ends[1].state, EndState::unterminated);
  EXPECT_EQ((*job.ends[1].may_move->rectangle_m)[1], 0.2);
  ASSERT_TRUE(job.layout);
  EXPECT_EQ(job.layout->facing_part, "Wall front");
  ASSERT_EQ(job.runs.size(), 3U);
  EXPECT_EQ(job.runs[1].impedance_ohm, 8);
  EXPECT_DOUBLE_EQ(job.runs[1].loss_limit, 0.03);
  EXPECT_EQ(job.runs[1].end.state, EndState::coiled);
  EXPECT_EQ(job.runs[1].end.may_move->radius_m, 0.5);
  EXPECT_EQ(job.runs[1].not_with, std::vector<std::string>{"S1"});
  EXPECT_EQ(job.spools[0].length_m, 100);
  const CableType* house = job.catalogue.cable("house 2x2.5");
  ASSERT_NE(house, nullptr);
  EXPECT_DOUBLE_EQ(house->diameter_m, 0.007);
  EXPECT_EQ(house->resistance_ohm_per_m,
            job.catalogue.cable("speaker 2x2.5")->resistance_ohm_per_m);
  EXPECT_EQ(job.catalogue.cable("cat6")->price_per_m, 9);
  EXPECT_EQ(job.prefer.preset, Preset::least_seen);
  EXPECT_DOUBLE_EQ(job.prefer.fill_limit, 0.35);
  EXPECT_DOUBLE_EQ(job.prefer.cutting_step_m, 0.1);
  EXPECT_TRUE(job.prefer.cutting_step_given);
  EXPECT_EQ(job.prefer.money_per_visible_m, preset_weights(Preset::least_seen).money_per_visible_m);
}

TEST(Job, ReadsTheSameWithWindowsLineEndsAndAByteOrderMark) {
  std::string text = "\xEF\xBB\xBF";
  for (const char* c = kWholeJob; *c != '\0'; ++c) text += *c == '\n' ? "\r\n" : std::string(1, *c);
  EXPECT_TRUE(parse_job(text, "t.json"));
}

TEST(Job, ReportsAllProblemsAtOnceInOneError) {
  const auto parsed = parse_job(
      "{\n \"model\": {\"file\": \"a.step\"},\n \"parts\": [{\"match\": \"W*\", \"is\": "
      "\"wal\"}],\n"
      " \"runs\": [{\"id\": \"a\", \"from\": \"x\", \"to\": \"x\", \"cable\": \"cat\"}],\n"
      " \"prefer\": {\"coil\": \"2 parsecs\"}}",
      "t.json");
  ASSERT_FALSE(parsed);
  EXPECT_EQ(parsed.error().code, "job.problems");
  for (const char* part : {"t.json:3:34 /parts/0/is", "Did you mean \"wall\"?", "/runs/0/from",
                           "/runs/0/to", "/runs/0/cable", "/prefer/coil"})
    EXPECT_NE(parsed.error().what.find(part), std::string::npos) << part << parsed.error().what;
}

TEST(Job, TellsWhatComesFirstWhereARoomOrAModelIsTakenForOne) {
  const auto room =
      parse_job(R"({ "outline": { "width": 4, "depth": 5 }, "height": 2.5 })", "r.json");
  ASSERT_FALSE(room);
  EXPECT_EQ(room.error().code, "job.is-room");
  EXPECT_NE(room.error().remedy.find("roomloom sketch r.json -o room.glb"), std::string::npos);
  const auto model = read_job("no such folder/House.STEP");
  ASSERT_FALSE(model);
  EXPECT_EQ(model.error().code, "job.is-model");
  EXPECT_NE(model.error().remedy.find("roomloom survey House.STEP --start"), std::string::npos);
}

TEST(Job, PresetsAreWordsOrObjects) {
  EXPECT_EQ(read(R"("prefer": "least work")").job->prefer.preset, Preset::least_work);
  EXPECT_EQ(read("").job->prefer.preset, Preset::balanced);
  EXPECT_TRUE(reports(read(R"("prefer": "least sen")"), "schema.word", "/prefer"));
  EXPECT_TRUE(
      reports(read(R"("prefer": {"hole_price": -1})"), "schema.range", "/prefer/hole_price"));
}

TEST(Job, TakesPointsAsFarFromTheOriginAsMapsHaveThem) {
  const JobReading reading = read(R"("ends": [{"id": "a", "xyz": [5300000, 61000, 1.2]}])");
  ASSERT_TRUE(reading.job) << all_text(reading);
  EXPECT_DOUBLE_EQ(std::get<AtPoint>(reading.job->ends[0].place).point.x, 5300000);
  EXPECT_TRUE(reports(read(R"("gear": [{"id": "g", "xyz": [0,0,0], "box": [20000,1,1]}])"),
                      "job.range", "/gear/0/box/0"))
      << "a box is no place";
}

// Nothing is dropped silently: what has no bearing on a cable is told.
TEST(Job, TellsOfKeysThatSayNothingOfARunsCable) {
  const auto notes = [](const std::string& run) {
    const JobReading reading =
        read(R"("ends": [{"id": "a", "xyz": [0,0,0]}, {"id": "b", "xyz": [1,0,0]}],
          "runs": [{"id": "N1", "from": "a", "to": "b", )" +
             run + "}]");
    EXPECT_TRUE(reading.job) << all_text(reading);
    return reading.job ? reading.job->origin.notes : std::vector<std::string>();
  };
  const auto told = notes(R"("cable": "cat6", "impedance": 4, "picture": "4k60", "cords": 5)");
  ASSERT_EQ(told.size(), 1U);
  EXPECT_NE(told[0].find("/runs/0: \"impedance\", \"picture\" say nothing of run N1"),
            std::string::npos)
      << told[0];
  EXPECT_TRUE(notes(R"("cable": "cat6", "cords": 5)").empty());
  EXPECT_TRUE(notes(R"("cable": "speaker", "impedance": 4, "power": 100, "loss": "3 %")").empty());
  EXPECT_EQ(notes(R"("cable": "hdmi passive 48G", "power": 100)").size(), 1U);
}

TEST(Job, RefusesToPlanMains) {
  const std::string run = R"("ends": [{"id": "a", "xyz": [0,0,0]}, {"id": "b", "xyz": [1,0,0]}],
    "runs": [{"id": "S1", "from": "a", "to": "b", "cable": ")";
  EXPECT_TRUE(read(run + R"(cat6"}])").job);
  EXPECT_TRUE(reports(read(run + R"(mains flex 3x1"}])"), "job.mains", "/runs/0/cable"));
}

TEST(Job, ReadsTheCornersOfAWantedPath) {
  const std::string run = R"("ends": [{"id": "a", "xyz": [0,0,0]}, {"id": "b", "xyz": [1,0,0]}],
    "runs": [{"id": "S1", "from": "a", "to": "b", "cable": "cat6", "way": )";
  const JobReading reading = read(run + R"([[0, 0, "70 cm"], ["1 m", 0, 0.7]]}])");
  ASSERT_TRUE(reading.job) << all_text(reading);
  ASSERT_EQ(reading.job->runs[0].way.size(), 2U);
  EXPECT_DOUBLE_EQ(reading.job->runs[0].way[0].z, 0.7);
  EXPECT_DOUBLE_EQ(reading.job->runs[0].way[1].x, 1);
  EXPECT_FALSE(read(run + "[[0, 0, 0]]}]").job) << "one point is no path";
}

TEST(Job, ExpandsPortRangesAndRefusesOddOnes) {
  const auto ports = [](const std::string& range) {
    return read(R"("gear": [{"id": "g", "box": [1,1,1], "xyz": [0,0,0], "ports": [")" + range +
                R"("]}])");
  };
  EXPECT_EQ(ports("A08..A11").job->gear[0].holds[0].ports,
            (std::vector<std::string>{"A08", "A09", "A10", "A11"}));
  EXPECT_EQ(ports("S1..3").job->gear[0].holds[0].ports.size(), 3U);
  for (const char* odd : {"S3..S1", "A1..B3", "S..S3", "S1..S99999", ".."})
    EXPECT_TRUE(reports(ports(odd), "job.port", "/gear/0/ports/0")) << odd;
}

struct BadJob {
  const char* sections;
  const char* code;
  const char* pointer;
};

class BadJobs : public testing::TestWithParam<BadJob> {};

TEST_P(BadJobs, AreRefusedWithCodeAndPointer) {
  const JobReading reading = read(GetParam().sections);
  EXPECT_FALSE(reading.job);
  EXPECT_TRUE(reports(reading, GetParam().code, GetParam().pointer)) << all_text(reading);
}

#define ENDS R"("ends": [{"id": "a", "xyz": [0,0,0]}, {"id": "b", "xyz": [1,0,0]}], )"
INSTANTIATE_TEST_SUITE_P(
    EachKind, BadJobs,
    testing::Values(
        BadJob{R"("ends": [{"id": "a", "xyz": [0,0,0]}, {"id": "a", "xyz": [1,0,0]}])", "job.id",
               "/ends/1/id"},
        BadJob{R"("ends": [{"id": "a"}])", "job.place", "/ends/0"},
        BadJob{R"("ends": [{"id": "a", "xyz": [0,0,0], "marker": "m"}])", "job.place", "/ends/0"},
        BadJob{R"("ends": [{"id": "a", "xyz": [0,0,0], "up": 1}])", "job.place", "/ends/0/up"},
        BadJob{R"("ends": [{"id": "a", "at": "W", "from_left": 1, "from_right": 1}])", "job.place",
               "/ends/0/from_right"},
        BadJob{R"("ends": [{"id": "a", "at": "W", "from_left": "1 parsec"}])", "length.syntax",
               "/ends/0/from_left"},
        BadJob{R"("ends": [{"id": "a", "xyz": [99999999,0,0]}])", "job.range", "/ends/0/xyz/0"},
        BadJob{R"("ends": [{"id": "a", "azimuth": 30}])", "job.place", "/ends/0"},
        BadJob{R"("layout": {"system": "0+5+0", "listener": {"xyz": [1, 1, 1]}},
                  "ends": [{"id": "a", "azimuth": -400}])",
               "job.range", "/ends/0/azimuth"},
        BadJob{R"("layout": {"system": "0+5+0", "listener": {"xyz": [1, 1, 1]}},
                  "ends": [{"id": "a", "azimuth": 30, "elevation": "95 deg"}])",
               "job.range", "/ends/0/elevation"},
        BadJob{R"("ends": [{"id": "M+030"}])", "job.place", "/ends/0"},
        BadJob{R"("ends": [{"id": "a", "gear": "no"}])", "job.reference", "/ends/0/gear"},
        BadJob{R"("ends": [{"id": "a", "xyz": [0,0,0], "may_move": {"alternatives": [{}]}}])",
               "job.place", "/ends/0/may_move/alternatives/0"},
        BadJob{
            R"("ends": [{"id": "a", "xyz": [0,0,0], "may_move": {"alternatives": [{"gear": "b"}]}}])",
            "schema.unknown-key", "/ends/0/may_move/alternatives/0/gear"},
        BadJob{R"("ends": [{"id": "a", "xyz": [0,0,0], "may_move": {}}])", "job.place",
               "/ends/0/may_move"},
        BadJob{R"("ends": [{"id": " a", "xyz": [0,0,0]}])", "job.id", "/ends/0/id"},
        BadJob{R"("gear": [{"id": "g"}])", "job.place", "/gear/0"},
        BadJob{R"("gear": [{"id": "g", "xyz": [0,0,0], "box": [0,1,1]}])", "job.range",
               "/gear/0/box/0"},
        BadJob{R"("gear": [{"id": "g", "xyz": [0,0,0], "holds": [{"id": "g"}]}])", "job.id",
               "/gear/0/holds/0/id"},
        BadJob{R"("gear": [{"id": "g", "xyz": [0,0,0], "ports": ["p", "p"]}])", "job.port",
               "/gear/0/ports"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "a", "cable": "cat6"}])", "job.run",
               "/runs/0/to"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "c", "cable": "cat6"}])",
               "job.reference", "/runs/0/to"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "M+030", "cable": "cat6"}])",
               "job.place", "/runs/0/to"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat9"}])",
               "job.cable", "/runs/0/cable"},
        BadJob{
            ENDS
            R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "speaker", "series": "nm"}])",
            "job.choose-cable", "/runs/0/series"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "network"}])",
               "job.choose-cable", "/runs/0/cable"},
        BadJob{ENDS R"("spare": "3 cat66")", "job.cable", "/spare"},
        BadJob{ENDS R"("spare": [{"cable": "cat6", "along": ["q"]}])", "job.reference",
               "/spare/0/along"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "same_way_as": "q"}])",
               "job.reference", "/runs/0/same_way_as"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "not_with": ["r"]}])",
               "job.run", "/runs/0/not_with"},
        BadJob{ENDS
               R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6", "measured": 3}])",
               "job.run", "/runs/0/measured"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "via": "W", "avoid": "W"}])",
               "job.run", "/runs/0/avoid"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "same_way_as": "s"},
                                {"id": "s", "from": "a", "to": "b", "cable": "cat6",
                                 "same_way_as": "t"},
                                {"id": "t", "from": "a", "to": "b", "cable": "cat6",
                                 "not_with": "r"}])",
               "job.run", "/runs/2/not_with"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "impedance": "8 kg"}])",
               "job.unit", "/runs/0/impedance"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "loss": "5 percent of"}])",
               "job.share", "/runs/0/loss"},
        BadJob{ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "cat6",
                                 "end": {"xyz": [0,0,0]}}])",
               "job.place", "/runs/0/end"},
        BadJob{R"("stock": {"spools": [{"cable": "cat7", "length": 1}]})", "job.cable",
               "/stock/spools/0/cable"},
        BadJob{R"("stock": {"spools": [{"cable": "cat6", "length": 0}]})", "job.range",
               "/stock/spools/0/length"},
        BadJob{R"("cables": [{"id": "new"}])", "job.cable", "/cables/0"},
        BadJob{R"("cables": [{"id": "new", "like": "cat66"}])", "job.cable", "/cables/0/like"},
        BadJob{R"("parts": [{"match": "p", "is": "conduit", "occupied_by": ["cat66"]}])",
               "job.cable", "/parts/0/occupied_by/0"},
        BadJob{R"("layout": {"listener": {}})", "job.place", "/layout/listener"},
        BadJob{R"("layout": {"system": "4+5", "listener": {"xyz": [0,0,0]}})", "schema.word",
               "/layout/system"},
        BadJob{
            R"("layout": {"listener": {"xyz": [0,0,0]}}, "ends": [{"id": "a", "label": "M+031"}])",
            "job.reference", "/ends/0/label"},
        BadJob{R"("gear": [{"id": "g", "xyz": [0,0,0], "ports": ["p"]}], )" ENDS
               R"("runs": [{"id": "r", "from": "g.p", "to": "a", "cable": "cat6"},
                           {"id": "s", "from": "g.p", "to": "b", "cable": "cat6"}])",
               "job.port", "/runs/1/from"},
        BadJob{R"("gear": [{"id": "g", "xyz": [0,0,0]}])", "schema.missing-key", "/gear/0"},
        BadJob{R"("prefer": {"cutting_step": 0})", "job.range", "/prefer/cutting_step"},
        BadJob{R"("rooms": [])", "schema.unknown-key", "/rooms"}));

TEST(Job, ASuggestionNamesTheNearestKnownName) {
  const JobReading reading = read(
      R"("gear": [{"id": "amp", "xyz": [0,0,0], "ports": ["S1..S3"]}],
         "ends": [{"id": "rear left", "xyz": [0,0,0]}],
         "runs": [{"id": "r", "from": "amp.S4", "to": "rear lift", "cable": "cat6a"}])");
  const std::string text = all_text(reading);
  EXPECT_NE(text.find("\"amp.S1\""), std::string::npos) << text;
  EXPECT_NE(text.find("Did you mean \"rear left\"?"), std::string::npos) << text;
}

// 14 AWG at 8 ohm and 5 %: 24.14 m by the loop formula 2 L R' = 0.05 Z, R' = 8.285 ohm/km.
TEST(Job, AnOpenLoudspeakerGaugeIsKeptOpenWithItsLimits) {
  const JobReading reading =
      read(ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "speaker", "series": "awg",
                        "conductors": 4, "impedance": "4 ohm", "power": "200 W", "loss": "3 %",
                        "loss_db": 0.4, "damping": 25, "amplifier_damping": 200}])");
  ASSERT_TRUE(reading.job) << all_text(reading);
  const RunSpec& run = reading.job->runs.at(0);
  EXPECT_EQ(run.open_cable, "speaker");
  EXPECT_EQ(run.series, "awg");
  EXPECT_EQ(run.conductors, 4);
  EXPECT_EQ(run.impedance_ohm, 4);
  EXPECT_EQ(run.power_w, 200);
  EXPECT_EQ(run.loss_limit, 0.03);
  EXPECT_EQ(run.loss_limit_db, 0.4);
  EXPECT_EQ(run.damping_least, 25);
  EXPECT_EQ(run.amplifier_damping, 200);
}

TEST(Job, OtherOpenCableTypesAreAnsweredWithTheTypesThereAre) {
  const JobReading reading =
      read(ENDS R"("runs": [{"id": "r", "from": "a", "to": "b", "cable": "network"}])");
  EXPECT_NE(all_text(reading).find("\"cat6\""), std::string::npos) << all_text(reading);
}

TEST(Job, WhatTheChecksAskOfRunsPartsAndEndsIsRead) {
  const JobReading reading = examine_job(R"({"model": {"file": "m.glb"}, "building_year": 1974,
    "parts": [{"match": "W", "is": "wall", "build": "stud", "bearing": false, "fire_rated": true},
              {"match": "L", "is": "luminaire", "fluorescent": false},
              {"match": "M", "is": "power", "screened": true, "circuits": 18},
              {"match": "S", "is": "seat", "recline": "400 mm", "powered": true},
              {"match": "H", "is": "hole", "inside": "30 mm",
               "member": {"kind": "joist", "depth": "220 mm"}}],
    "ends": [{"id": "a", "xyz": [0, 0, 0], "powered": false}, {"id": "b", "xyz": [1, 0, 0]}],
    "runs": [{"id": "r", "from": "a", "to": "b", "cable": "hdmi active 18G", "picture": "4k60",
              "signal_from": "to"},
             {"id": "n", "from": "a", "to": "b", "cable": "cat6", "cords": "6 m"},
             {"id": "l", "from": "a", "to": "b", "cable": "line coax",
              "source_impedance": "10 kohm"}],
    "spare": ["2 balanced line, heads fitted", {"cable": "cat6", "count": 3, "along": "n"}],
    "prefer": {"temperature": 35, "lay_on_tiles": true, "mains_lead": "2 m",
               "pull_friction": 0.35},
    "floor": {"cross": "in raceway"}})",
                                         "t.json");
  ASSERT_TRUE(reading.job) << all_text(reading);
  const Job& job = *reading.job;
  EXPECT_EQ(job.building_year, 1974);
  EXPECT_EQ(job.parts[0].bearing, false);
  EXPECT_TRUE(job.parts[0].fire_rated);
  EXPECT_EQ(job.parts[1].fluorescent, false);
  EXPECT_TRUE(job.parts[2].screened);
  EXPECT_EQ(job.parts[2].circuits, 18);
  EXPECT_EQ(job.parts[3].recline_m, 0.4);
  EXPECT_EQ(job.parts[3].powered, true);
  EXPECT_EQ(job.parts[4].member, "joist");
  EXPECT_EQ(job.parts[4].member_depth_m, 0.22);
  EXPECT_EQ(job.parts[4].member_edge_m, 0.11) << "the middle unless said";
  EXPECT_EQ(job.ends[0].powered, false);
  EXPECT_FALSE(job.ends[1].powered);
  EXPECT_EQ(job.runs[0].picture, "4k60");
  EXPECT_TRUE(job.runs[0].signal_from_to);
  EXPECT_EQ(job.runs[1].cords_m, 6);
  EXPECT_EQ(job.runs[2].source_ohm, 10000);
  ASSERT_EQ(job.spares.size(), 2U);
  EXPECT_EQ(job.spares[0].cable, "line balanced") << "the words in whatever order";
  EXPECT_EQ(job.spares[0].count, 2);
  EXPECT_TRUE(job.spares[0].heads_fitted);
  EXPECT_EQ(job.spares[1].count, 3);
  EXPECT_EQ(job.spares[1].along, std::vector<std::string>{"n"});
  EXPECT_EQ(job.prefer.temperature_c, 35);
  EXPECT_TRUE(job.prefer.lay_on_tiles);
  EXPECT_TRUE(job.prefer.over_floor);
  EXPECT_EQ(job.prefer.tile_clearance_m, 0) << "lying on them leaves none";
  EXPECT_EQ(job.prefer.mains_lead_m, 2);
  EXPECT_EQ(job.prefer.pull_friction, 0.35);
}

TEST(Job, HooksGrommetsTilesAndFittingsAreAddedAndOverruled) {
  const JobReading reading = examine_job(R"({"model": {"file": "m.glb"},
    "hooks": [{"id": "hook 20 mm", "bundle": "22 mm"}, {"id": "my hook", "bundle": "70 mm"}],
    "grommets": [{"id": "my plate", "kind": "plate", "hole": "80 mm", "passes": "60 mm"}],
    "tiles": [{"id": "my tile", "size": ["625 mm", "625 mm"], "mass_kg_per_m2": 3}],
    "fittings": [{"id": "my bend", "kind": "flat elbow", "radius": "40 mm"}]})",
                                         "t.json");
  ASSERT_TRUE(reading.job) << all_text(reading);
  const Catalogue& all = reading.job->catalogue;
  EXPECT_EQ(all.hooks.front().bundle_m, 0.022);
  EXPECT_EQ(all.hooks.size(), built_in_catalogue().hooks.size() + 1);
  EXPECT_EQ(all.grommets.size(), built_in_catalogue().grommets.size() + 1);
  EXPECT_EQ(all.tiles.back().size_u_m, 0.625);
  EXPECT_EQ(all.fittings.back().radius_m, 0.04);
}

TEST(Job, NoBrokenTextCrashesTheReader) {
  const std::string whole = kWholeJob;
  for (std::size_t length = 0; length < whole.size(); length += 7)
    EXPECT_FALSE(examine_job(whole.substr(0, length), "t.json").job);
  unsigned state = 1;  // a fixed sequence: Numerical Recipes' linear congruence
  const auto next = [&] { return (state = state * 1664525U + 1013904223U) >> 8; };
  for (int round = 0; round < 2000; ++round) {
    std::string text = whole;
    for (int change = 0; change < 3; ++change)
      text[next() % text.size()] = static_cast<char>(next() % 128);
    const JobReading reading = examine_job(text, "t.json");
    EXPECT_EQ(reading.job.has_value(), reading.problems.empty());
  }
}

TEST(AddLines, GivesProblemsOfLaterStagesTheirLineAndColumn) {
  const std::string text =
      "{\n  \"ends\": [\n    { \"id\": \"a\",\n      \"xyz\": [0, 0, 9] }\n  ]\n}";
  std::vector<Error> problems{{"c", "w", "t.json /ends/0/xyz", ""},
                              {"c", "w", "t.json /ends/0/port", ""},
                              {"c", "w", "t.json /layout/listener", ""},
                              {"c", "w", "room.step", ""}};
  Job job;
  job.path = "t.json";
  add_lines(problems, job, text);
  EXPECT_EQ(problems[0].where, "t.json:4:14 /ends/0/xyz");
  EXPECT_EQ(problems[1].where, "t.json:3:5 /ends/0/port") << "what is missing: where it belongs";
  EXPECT_EQ(problems[2].where, "t.json:1:1 /layout/listener");
  EXPECT_EQ(problems[3].where, "room.step");
  add_lines(problems, job, "no JSON");
  EXPECT_EQ(problems[0].where, "t.json:4:14 /ends/0/xyz");
}

TEST(Job, RoundsUpToAnInchInFeetAndInchesUnlessItSaysItsOwnStep) {
  const auto step = [](const std::string& text) {
    auto job = parse_job(text, "job.json");
    return job ? job->prefer.cutting_step_m : -1;
  };
  EXPECT_DOUBLE_EQ(step(R"({"model": {"file": "a.glb"}})"), 0.05);
  EXPECT_DOUBLE_EQ(step(R"({"model": {"file": "a.glb"}, "units": "feet and inches"})"), 0.0254);
  auto own = parse_job(R"({"model": {"file": "a.glb"}, "units": "feet and inches",
                           "prefer": {"cutting_step": "3 in"}})",
                       "job.json");
  ASSERT_TRUE(own);
  EXPECT_DOUBLE_EQ(own->prefer.cutting_step_m, 0.0762);
  tell_in(*own, DisplayUnits::metric);
  EXPECT_DOUBLE_EQ(own->prefer.cutting_step_m, 0.0762);
}

}  // namespace
}  // namespace roomloom
