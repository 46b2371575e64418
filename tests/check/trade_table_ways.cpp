#include "check/trade_table.h"

namespace roomloom::testing {

Json run_of(const char* from, const char* to, const char* cable) {
  return {{"id", "A"}, {"from", from}, {"to", to}, {"cable", cable}};
}

Json loudspeaker_cable(const char* diameter, const char* bend_radius) {
  return Json::array(
      {{{"id", "speaker 2x1.5"}, {"diameter", diameter}, {"bend_radius", bend_radius}}});
}

namespace {

TradeRoom with_cables(const char* cables) {
  TradeRoom trade;
  trade.job["cables"] = Json::parse(cables);
  return trade;
}

// Signals

TradeRoom loss(bool fails) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker 2x0.75";
  trade.run(0)["impedance"] = fails ? 4 : 16;
  return trade;
}

/// The cable lies; then its owner asks for less loss.
TradeRoom lying_gauge(bool fails) {
  TradeRoom trade;
  trade.run(0)["cable"] = "speaker";
  trade.run(0)["impedance"] = 4;
  trade = with_lying_run(trade, "A");
  if (fails) trade.run(0)["loss"] = "3 %";
  return trade;
}

TradeRoom roll_off(bool fails) {
  TradeRoom trade;
  trade.run(0) = run_of("amp.line", "left", "line coax");
  trade.run(0)["source_impedance"] = fails ? "10 kohm" : "600 ohm";
  return trade;
}

TradeRoom cable_length(bool fails) {
  TradeRoom trade;
  trade.job["cables"] =
      Json::array({{{"id", "line coax"}, {"greatest_length", fails ? "5 m" : "50 m"}}});
  trade.run(0) = run_of("amp.line", "left", "line coax");
  return trade;
}

TradeRoom piece_length(bool fails) {
  TradeRoom trade;
  trade.job["cables"] =
      Json::array({{{"id", "line coax"}, {"put_ups", Json::array({fails ? "3 m" : "20 m"})}}});
  trade.run(0) = run_of("amp.line", "left", "line coax");
  return trade;
}

TradeRoom link(bool fails) {
  TradeRoom trade;
  trade.run(2)["cords"] = fails ? "95 m" : "10 m";
  return trade;
}

TradeRoom picture(bool fails) {
  TradeRoom trade = with_cables(R"([{"id": "hdmi passive 1080p", "put_ups": ["30 m"]}])");
  trade.run(0) = run_of("amp.out1", "left", "hdmi passive 1080p");
  trade.run(0)["picture"] = fails ? "4k60" : "1080p";
  return trade;
}

TradeRoom direction(bool fails) {
  TradeRoom trade;
  trade.run(0) = run_of(fails ? "amp.in1" : "amp.out1", "left", "hdmi active 18G");
  return trade;
}

// Pulling and room in ways

TradeRoom bends(bool fails) {
  return conduit_room(fails ? kFiveAngles : kFourAngles, "24 mm", 1, "speaker 2x1.5");
}

TradeRoom pulled_bend(bool fails) {
  TradeRoom trade = conduit_room(kCrooked, "24 mm", 1, "cat6");
  if (!fails) trade.job["cables"] = Json::parse(R"([{"id": "cat6", "pull_bend_radius": "5 mm"}])");
  return trade;
}

TradeRoom tension(bool fails) {
  TradeRoom trade = conduit_room(kCrooked, "24 mm", 1, "cat6");
  trade.job["cables"] = Json::parse(R"([{"id": "cat6", "pull_limit_n": 20}])");
  trade.job["prefer"]["pull_friction"] = fails ? 0.6 : 0.1;
  return trade;
}

/// Some 1020 mm2 of one cable that no piece of raceway takes at 40 %, and cannot be shared out.
TradeRoom raceway(bool fails) {
  TradeRoom trade;
  trade.job["cables"] = loudspeaker_cable(fails ? "36 mm" : "6 mm", "40 mm");
  for (Json& run : trade.job["runs"]) run.erase("via");
  return trade;
}

/// Of one run's planning 40 % of a pipe are room enough; two cables may take 31 %.
TradeRoom conduit(bool fails) {
  return conduit_room(kStraight, fails ? "15.5 mm" : "24 mm", 2, "cat6");
}

TradeRoom jam(bool fails) {
  return conduit_room(kStraight, fails ? "19.5 mm" : "24 mm", 3, "cat6");
}

/// Two runs that have no other way than two ready holes: 20 mm hold two of 9 mm, not of 12.
TradeRoom hole(bool fails) {
  TradeRoom trade = ready_hole_room("20 mm");
  trade.room["holes"].push_back({{"name", "Back"}, {"at", {2.0, 0.06}}, {"diameter", "60 mm"}});
  trade.rule("Back") = {{"match", "Back"}, {"is", "hole"}, {"inside", "60 mm"}};
  trade.job["cables"] = loudspeaker_cable(fails ? "12 mm" : "9 mm", "20 mm");
  trade.job["runs"] = Json::array({trade.run(0), trade.run(1)});
  for (Json& run : trade.job["runs"]) {
    run["via"] = {"Ready", "Back"};
    run["avoid"] = "tile *";
  }
  return trade;
}

TradeRoom head(bool fails) {
  return conduit_room(kStraight, fails ? "20 mm" : "30 mm", 1, "hdmi optical 48G");
}

TradeRoom spare(bool fails) {
  TradeRoom trade;
  trade.job["spare"] = fails ? "200 balanced line, heads fitted" : "16 line balanced";
  return trade;
}

// Support and separation

TradeRoom spacing(bool fails) {
  TradeRoom trade;
  trade.job["prefer"]["support_spacing"] = fails ? "10 m" : "1.2 m";
  return trade;
}

TradeRoom structure(bool fails) {
  TradeRoom trade;
  if (fails) trade.room["height"] = 5;  // the slab is out of reach of the hooks
  return trade;
}

TradeRoom over_tiles(bool fails) {
  TradeRoom trade;
  trade.job["prefer"]["tile_clearance"] = fails ? "40 mm" : "100 mm";
  return trade;
}

TradeRoom bundle(bool fails) {
  TradeRoom trade;
  const int count = fails ? 25 : 24;
  trade.job["gear"][0]["holds"][0]["ports"].push_back("n1..n25");
  trade.job["runs"] = Json::array();
  for (int i = 1; i <= count; ++i) {
    const std::string n = std::to_string(i);
    trade.job["ends"].push_back(
        {{"id", "d" + n}, {"at", "Wall back"}, {"from_left", 1.9 + 0.008 * i}, {"up", 0.5}});
    trade.job["runs"].push_back({{"id", "X" + n},
                                 {"from", "amp.n" + n},
                                 {"to", "d" + n},
                                 {"cable", "fibre cord"},
                                 {"via", "plenum"}});
  }
  return trade;
}

TradeRoom coil_on_tile(bool fails) {
  TradeRoom trade;
  trade.job["ends"].push_back({{"id", "later"}, {"xyz", {2.3, 1.5, 2.5}}, {"mount", "on sheet"}});
  trade.run(0)["to"] = "later";
  trade.run(0)["provision"] = true;
  trade.job["prefer"]["coil"] = fails ? "30 m" : "1 m";
  return trade;
}

TradeRoom mains(bool fails) { return mains_room(fails ? 0.435 : 0.52); }

/// Planned without a wish; then its owner asks for more than the 0.1 m that there is, or for less.
TradeRoom mains_wish(bool) { return mains_room(0.52); }
Json later_mains_wish(const TradeRoom& room, bool fails) {
  TradeRoom later = room;
  later.rule("Mains")["clearance"] = fails ? "250 mm" : "120 mm";
  return later.job;
}

TradeRoom luminaires(bool fails) {
  TradeRoom trade;
  trade.job["prefer"]["money_per_visible_metre"] = 2;  // past the luminaires
  trade.room["luminaires"] = Json::array();
  for (const char* tile : {"C2", "C4", "E2", "E4", "G2", "G4"})
    trade.room["luminaires"].push_back(
        {{"name", std::string("Luminaire ") + tile}, {"tile", tile}, {"height", "90 mm"}});
  trade.rule("Luminaire *")["is"] = "luminaire";
  trade.rule("Luminaire *")["fluorescent"] = fails;
  return trade;
}

}  // namespace

std::vector<Row> rows_of_ways() {
  return {
      {"loudspeaker-loss", loss},
      {"gauge-choice", lying_gauge},
      {"line-roll-off", roll_off},
      {"cable-length", cable_length},
      {"piece-length", piece_length},
      {"network-link", link},
      {"picture-rate", picture},
      {"signal-direction", direction},
      {"pull-bends", bends},
      {"pull-radius", pulled_bend},
      {"pull-tension", tension},
      {"raceway-fill", raceway},
      {"conduit-fill", conduit},
      {"conduit-jam", jam},
      {"hole-fill", hole},
      {"head-passes", head},
      {"spare-capacity", spare},
      {"support-spacing", spacing},
      {"support-structure", structure},
      {"tile-clearance", over_tiles},
      {"bundle-size", bundle},
      {"tile-load", coil_on_tile},
      {"power-separation", mains},
      {"power-wish", mains_wish, later_mains_wish},
      {"luminaire-separation", luminaires},
  };
}

}  // namespace roomloom::testing
