#include "check/trade_rooms.h"

#include <sstream>

#include "report/record.h"

namespace roomloom::testing {

TradeRoom::TradeRoom() {
  room = Json::parse(R"({ "name": "Trade", "outline": { "width": 4, "depth": 5 }, "height": 2.9,
    "suspended_ceiling": { "name": "Ceiling", "height": 2.5, "tile": [0.6, 0.6],
                           "grid_from": [0, 0] },
    "outlets": [ { "name": "Outlet front", "wall": "Wall front", "from_left": 0.6, "up": 0.3 },
                 { "name": "Outlet rear", "wall": "Wall back", "from_left": 3.6, "up": 0.3 } ],
    "markers": [ { "name": "Listener", "at": [2, 2.2], "up": 1.2 } ] })");
  job = Json::parse(R"({ "model": { "file": "room.glb" },
    "parts": [ { "match": "Ceiling", "is": "suspended ceiling", "tile": [0.6, 0.6],
                 "tile_origin": [0, 0], "handles_air": false },
               { "match": "Outlet *", "is": "outlet" } ],
    "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 0.9,
                "holds": [ { "id": "amp", "ports": ["S1..S8", "in1", "out1", "net", "line"] } ] } ],
    "ends": [ { "id": "left", "at": "Wall back", "from_left": 1.0, "up": 1.2 },
              { "id": "right", "at": "Wall back", "from_left": 3.0, "up": 1.2 },
              { "id": "data", "at": "Wall back", "from_left": 2.0, "up": 0.9 } ],
    "runs": [ { "id": "A", "from": "amp.S1", "to": "left", "cable": "speaker 2x1.5",
                "impedance": 8, "via": "plenum" },
              { "id": "B", "from": "amp.S2", "to": "right", "cable": "speaker 2x1.5",
                "impedance": 8, "via": "plenum" },
              { "id": "N", "from": "amp.net", "to": "data", "cable": "cat6", "via": "plenum" } ] })");
}

Json& TradeRoom::rule(const std::string& match) {
  for (Json& one : job["parts"])
    if (one["match"] == match) return one;
  job["parts"].insert(job["parts"].begin(), Json{{"match", match}});
  return job["parts"][0];
}

namespace {

void sketch(const TradeRoom& trade, const TestFolder& folder) {
  const std::filesystem::path file = trade.job["model"]["file"].get<std::string>();
  sketch_model(trade.room.dump(), folder, file.extension().string());
  if (trade.edit_model != nullptr)
    write_text(folder / file.string(), trade.edit_model(read_text(folder / file.string())));
  for (const auto& [name, text] : trade.files) write_text(folder / name, text);
}

}  // namespace

/// Runs along the left wall that must go through a ready conduit.
TradeRoom conduit_room(const char* points, const char* inside, int runs, const char* cable) {
  TradeRoom trade;
  trade.room["conduits"] = Json::array({{{"name", "Pipe"},
                                         {"points", Json::parse(points)},
                                         {"diameter", 0.03},
                                         {"inside_diameter", inside}}});
  trade.rule("Pipe")["is"] = "conduit";
  trade.rule("Pipe")["inside"] = inside;
  trade.job["runs"] = Json::array();
  for (int i = 0; i < runs; ++i) {
    const std::string n = std::to_string(i);
    trade.job["ends"].push_back(
        {{"id", "p" + n}, {"at", "Wall left"}, {"from_left", 1 - 0.06 * i}, {"up", 0.4}});
    trade.job["ends"].push_back(
        {{"id", "q" + n}, {"at", "Wall left"}, {"from_left", 4 + 0.06 * i}, {"up", 0.4}});
    trade.job["runs"].push_back(
        {{"id", "R" + n}, {"from", "p" + n}, {"to", "q" + n}, {"cable", cable}, {"via", "Pipe"}});
  }
  return trade;
}

TradeRoom mains_room(double up) {
  TradeRoom trade;
  trade.room["mains"] = Json::array({{{"name", "Mains"},
                                      {"wall", "Wall left"},
                                      {"off_wall", 0.01},
                                      {"diameter", 0.012},
                                      {"points", {{0.5, up}, {4.5, up}}}}});
  trade.rule("Mains")["is"] = "power";
  trade.rule("Mains")["clearance"] = 0;  // the planner's own separation, switched off
  trade.job["ends"].push_back({{"id", "p"}, {"at", "Wall left"}, {"from_left", 1}, {"up", 0.4}});
  trade.job["ends"].push_back({{"id", "q"}, {"at", "Wall left"}, {"from_left", 4}, {"up", 0.4}});
  trade.job["runs"] =
      Json::array({{{"id", "R"}, {"from", "p"}, {"to", "q"}, {"cable", "speaker 2x1.5"}}});
  return trade;
}

TradeRoom stud_room() {
  TradeRoom trade;
  trade.rule("Wall back") = Json::parse(R"({ "match": "Wall back", "is": "wall", "build": "stud",
      "fishable": false, "studs": { "pitch": "400 mm", "depth": "89 mm" } })");
  return trade;
}

/// The back wall's studs end at the ceiling, under the plenum: its runs come down through the head
/// plate. Sketched walls reach to the slab, so the model's text is cut down.
TradeRoom head_plate_room(const char* depth) {
  TradeRoom trade = stud_room();
  trade.rule("Wall back")["fishable"] = true;
  trade.rule("Wall back")["studs"]["depth"] = depth;
  trade.edit_model = [](const std::string& obj) {
    std::istringstream lines(obj);
    std::string text, object;
    for (std::string line; std::getline(lines, line);) {
      if (line.starts_with("o ")) object = line.substr(2);
      if (object == "Wall back" && line.starts_with("v ") && line.ends_with(" 2.9"))
        line.replace(line.size() - 3, 3, "2.515");
      text += line + "\n";
    }
    return text;
  };
  trade.job["model"]["file"] = "room.obj";
  for (Json& run : trade.job["runs"]) run["via"] = {"plenum", "bay * of Wall back"};
  return trade;
}

/// A ready hole in the ceiling beside the front wall that run A takes.
TradeRoom ready_hole_room(const char* inside) {
  TradeRoom trade;
  trade.room["holes"] =
      Json::array({{{"name", "Ready"}, {"at", {1.3, 4.94}}, {"diameter", inside}}});
  trade.rule("Ready") = {{"match", "Ready"}, {"is", "hole"}, {"inside", inside}};
  trade.run(0)["via"] = "Ready";
  return trade;
}

/// The run to the right comes down a bay of the rear wall, `from_left` along it.
TradeRoom bay_room(double from_left) {
  TradeRoom trade = stud_room();
  trade.room["outlets"][1]["from_left"] = 3.4;
  trade.rule("Wall back").erase("fishable");
  trade.rule("Outlet *")["clearance"] = 0;  // the planner's own distance, switched off
  trade.job["prefer"]["power_separation"] = 0;
  trade.job["ends"][1]["from_left"] = from_left;
  trade.job["runs"] = Json::array({trade.run(1)});
  trade.run(0)["via"] = {"plenum", "bay * of Wall back"};
  return trade;
}

/// Five loudspeakers about a listener, each at a point of its own.
TradeRoom listening_room() {
  TradeRoom trade;
  trade.job["layout"] = Json::parse(
      R"({ "system": "0+5+0", "listener": { "marker": "Listener" }, "facing": "Wall front" })");
  trade.job["ends"] = Json::parse(R"([
    { "id": "l", "label": "M+030" }, { "id": "r", "label": "M-030" },
    { "id": "ls", "label": "M+110" }, { "id": "rs", "label": "M-110" } ])");
  trade.job["runs"] = Json::array();
  int port = 1;
  for (const char* end : {"l", "r", "ls", "rs"})
    trade.job["runs"].push_back({{"id", std::string("R") + end},
                                 {"from", "amp.S" + std::to_string(port++)},
                                 {"to", end},
                                 {"cable", "speaker 2x1.5"},
                                 {"impedance", 8}});
  return trade;
}

/// One end placed by hand instead of by its label; its name still tells the label.
void put(TradeRoom& trade, std::size_t index, const char* label, const char* wall, double from_left,
         double up) {
  trade.job["ends"][index] = {{"id", label}, {"at", wall}, {"from_left", from_left}, {"up", up}};
  trade.run(index)["to"] = label;
}

Findings judged(const TradeRoom& trade) {
  const TestFolder folder;
  sketch(trade, folder);
  const auto planned = plan(trade.job.dump(), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  if (!planned) return {};
  WriteOptions options;
  options.drawings = false;
  options.report = false;
  const auto written = write_plan(*planned, folder / "out", options);
  EXPECT_TRUE(written) << to_text(written.error());
  const auto afresh = check_folder(folder / "out", test_options());
  EXPECT_TRUE(afresh) << to_text(afresh.error());
  if (!written || !afresh) return {};
  EXPECT_EQ(all_of(*written), all_of(*afresh)) << "the files say all that the checks need";
  for (const Finding& finding : afresh->items) {
    EXPECT_NE(finding.id, "no-way") << finding.text;
    EXPECT_FALSE(finding.source.empty()) << finding.id;
    EXPECT_FALSE(finding.text.empty());
  }
  return *afresh;
}

namespace {

void write_result(const TradeRoom& trade, const TestFolder& folder) {
  sketch(trade, folder);
  const auto planned = plan(trade.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  WriteOptions options;
  options.drawings = options.report = false;
  ASSERT_TRUE(write_plan(*planned, folder / "out", options));
}

Findings afresh(const TestFolder& folder) {
  const auto findings = check_folder(folder / "out", test_options());
  EXPECT_TRUE(findings) << to_text(findings.error());
  return findings ? *findings : Findings{};
}

}  // namespace

TradeRoom with_lying_run(TradeRoom trade, const std::string& run) {
  const TestFolder folder;
  write_result(trade, folder);
  const std::string plan = read_text(folder / "out" / "plan.json");
  Recording what;
  what.run = run;
  const Json written = Json::parse(plan);
  for (const Json& one : written["runs"])
    if (one["id"] == run) what.measured_m = one["cut_m"].get<double>();
  const auto record = recorded(plan, "", what);
  EXPECT_TRUE(record) << to_text(record.error());
  if (record) trade.files["as-built.json"] = *record;
  trade.job["as_built"] = "as-built.json";
  return trade;
}

Findings judged_later(const TradeRoom& trade, const Json& job) {
  const TestFolder folder;
  write_result(trade, folder);
  write_text(folder / "job.json", job.dump());
  return afresh(folder);
}

Findings judged_tampered(const TradeRoom& trade, void (*change)(Json& plan)) {
  const TestFolder folder;
  write_result(trade, folder);
  auto json = Json::parse(read_text(folder / "out" / "plan.json"));
  change(json);
  write_text(folder / "out" / "plan.json", json.dump());
  return afresh(folder);
}

std::vector<Finding> found(const Findings& findings, const std::string& id) {
  std::vector<Finding> all;
  for (const Finding& finding : findings.items)
    if (finding.id == id) all.push_back(finding);
  return all;
}

bool tells(const Findings& findings, const std::string& id) { return !found(findings, id).empty(); }

std::string all_of(const Findings& findings) {
  std::string text;
  for (const Finding& finding : findings.items)
    text += finding.id + " " + to_string(finding.level) + ": " + finding.text + "\n";
  return text;
}

}  // namespace roomloom::testing
