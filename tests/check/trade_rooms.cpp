#include "check/trade_rooms.h"

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
}

}  // namespace

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

std::string all_of(const Findings& findings) {
  std::string text;
  for (const Finding& finding : findings.items)
    text += finding.id + " " + to_string(finding.level) + ": " + finding.text + "\n";
  return text;
}

}  // namespace roomloom::testing
