#include "check/trade_table.h"

namespace roomloom::testing {

TradeRoom coil_behind_seat(bool fails) {
  TradeRoom trade;
  trade.room["seats"] = Json::parse(R"([{ "name": "Seat", "at": [3.0, 0.98], "width": 0.7,
                                          "depth": 0.9, "height": 1.5 }])");
  trade.rule("Seat") = {
      {"match", "Seat"}, {"is", "seat"}, {"recline", fails ? "470 mm" : "100 mm"}};
  trade.job["ends"][0]["state"] = "coiled";
  return trade;
}

TradeRoom over_floor(double away) {
  TradeRoom trade;
  trade.job["floor"]["cross"] = "anywhere";
  trade.job["ends"].push_back(
      {{"id", "sub"}, {"xyz", {away, 2.5, 0.2}}, {"mount", "on floor"}, {"powered", false}});
  trade.job["ends"].push_back({{"id", "a"}, {"at", "Wall left"}, {"from_left", 2.5}, {"up", 0.3}});
  trade.job["runs"] = Json::array({run_of("a", "sub", "line coax")});
  return trade;
}

TradeRoom cut_hole_room(double x, double diameter) {
  TradeRoom trade;
  trade.job["ends"].push_back({{"id", "later"}, {"xyz", {2.43, 1.52, 2.5}}, {"mount", "on sheet"}});
  trade.job["runs"] = Json::array({trade.run(0)});
  trade.run(0)["to"] = "later";
  trade.run(0).erase("via");
  const Json cut = {{"crossing", "tile C4"}, {"at", {x, 1.65, 2.5}}, {"diameter_m", diameter}};
  const Json record = {
      {"format", "roomloom-as-built"}, {"version", 1}, {"holes", Json::array({cut})}};
  trade.files["as-built.json"] = record.dump();
  trade.job["as_built"] = "as-built.json";
  return trade;
}

namespace {

// Jackets, fire and building

TradeRoom void_air(bool fails) {
  TradeRoom trade;
  if (fails) trade.rule("Ceiling").erase("handles_air");
  return trade;
}

TradeRoom jacket(bool fails) {
  TradeRoom trade;
  trade.rule("Ceiling")["handles_air"] = fails;
  return trade;
}

TradeRoom rated(bool fails) {
  TradeRoom trade;
  trade.rule("Ceiling")["fire_rated"] = fails;
  return trade;
}

TradeRoom old_ceiling(bool fails) {
  TradeRoom trade;
  trade.job["building_year"] = fails ? 1979 : 1995;
  return trade;
}

/// A hole of 16 mm, the smallest there is: 40 % of 45 mm are more, but 14.5 mm are left at the
/// edge.
TradeRoom stud(bool fails) { return head_plate_room(fails ? "45 mm" : "140 mm"); }

TradeRoom nails(bool fails) { return head_plate_room(fails ? "70 mm" : "140 mm"); }

TradeRoom joist(bool fails) {
  TradeRoom trade = ready_hole_room("50 mm");
  trade.rule("Ready")["member"] = {{"kind", "joist"}, {"depth", fails ? "120 mm" : "240 mm"}};
  return trade;
}

// A moulded head of 23.7 mm across its corners must pass.
TradeRoom narrow_hole(bool fails) {
  TradeRoom trade = cut_hole_room(2.3, fails ? 0.020 : 0.030);
  trade.run(0)["cable"] = "hdmi optical 48G";
  trade.run(0).erase("impedance");
  return trade;
}

/// A run lies that the job asks for no more.
TradeRoom left_over(bool fails) {
  TradeRoom trade = with_lying_run(TradeRoom(), "A");
  if (fails) trade.job["runs"].erase(0);
  return trade;
}

/// A hole of another width than its grommet asks.
TradeRoom bare_edge(bool fails) {
  TradeRoom trade = cut_hole_room(2.3, 0.03);
  trade.job["grommets"] = Json::array({{{"id", "grommet 30"},
                                        {"hole", fails ? "31 mm" : "30 mm"},
                                        {"passes", "24 mm"},
                                        {"price", 1}}});
  return trade;
}

/// Half a metre for a run of several.
TradeRoom short_measure(bool fails) {
  TradeRoom trade = with_lying_run(TradeRoom(), "A");
  Json record = Json::parse(trade.files["as-built.json"]);
  if (fails) record["runs"][0]["measured"] = 0.5;
  trade.files["as-built.json"] = record.dump();
  return trade;
}

/// Its rim 12 or 92 mm off the tee.
TradeRoom cut_hole(bool fails) { return cut_hole_room(fails ? 2.38 : 2.3, 0.016); }

TradeRoom largest_hole(bool fails) {
  TradeRoom trade;
  trade.job["prefer"]["largest_hole"] = fails ? "10 mm" : "40 mm";
  return trade;
}

/// Hoses as thick as an arm ask for more than a third of the tile.
TradeRoom tile_hole(bool fails) {
  TradeRoom trade;
  trade.job["cables"] = loudspeaker_cable(fails ? "100 mm" : "30 mm", "100 mm");
  trade.job["prefer"]["largest_hole"] = "300 mm";
  return trade;
}

TradeRoom below_outlet(bool fails) { return bay_room(fails ? 3.4 : 1.8); }

TradeRoom crossing(bool fails) { return over_floor(fails ? 1.5 : 0.5); }

TradeRoom walked_over(bool) { return over_floor(1.5); }

/// No plan lays anything where people walk, and what lies there already is drawn as near to it as
/// it may; that they walk there may be told afterwards.
Json walkway_later(const TradeRoom& room, bool fails) {
  Json job = room.job;
  const double x = fails ? 0.8 : 3.0;
  job["walkways"] =
      Json::array({{{"name", "Way"}, {"points", {{x, 0.2}, {x, 4.8}}}, {"width", 0.6}}});
  return job;
}

/// A door in the left wall that opens outward: the rack at the front wall stands before it, or
/// farther along.
TradeRoom before_door(bool fails) {
  TradeRoom trade;
  trade.room["doors"] = Json::parse(R"([ { "name": "Door", "wall": "Wall left", "from_left": 3.9,
                                           "width": 0.9, "height": 2.05, "hinge": "right" } ])");
  trade.rule("Door") = {{"match", "Door"}, {"is", "door"}, {"swing", "0 deg"}};
  trade.job["gear"][0]["from_left"] = fails ? 0.3 : 2.0;
  return trade;
}

TradeRoom seat_without_eye(bool fails) {
  TradeRoom trade;
  trade.room["seats"] = Json::parse(R"([{ "name": "Seat", "at": [2.0, 2.0], "width": 0.7,
                                          "depth": 0.9, "height": 1 }])");
  trade.rule("Seat")["is"] = "seat";
  trade.job["sight"]["seats"] = !fails;
  return trade;
}

/// What it judges is the plan's own words, so no job that was planned fails it: the plan tells what
/// is seen from all that the job wants told; then the job wants more.
Json seats_watch_later(const TradeRoom& room, bool) {
  Json job = room.job;
  job["sight"]["seats"] = true;
  return job;
}

// Listening and living

TradeRoom angle(bool fails) {
  TradeRoom trade = listening_room();
  if (fails) put(trade, 2, "M+110", "Wall left", 4.5, 1.2);  // beside the front wall
  return trade;
}

TradeRoom ear(bool fails) {
  TradeRoom trade = listening_room();
  trade.room["markers"][0]["up"] = fails ? 0.7 : 1.2;
  return trade;
}

/// The listener sits a metre to the left of the middle.
TradeRoom aside(bool fails) {
  TradeRoom trade = listening_room();
  if (fails) trade.room["markers"][0]["at"] = {1.0, 2.2};
  return trade;
}

TradeRoom wall_behind(bool fails) {
  TradeRoom trade = listening_room();
  if (fails) trade.room["markers"][0]["at"] = {2, 0.3};
  return trade;
}

TradeRoom labels(bool fails) {
  TradeRoom trade;
  trade.run(0)["id"] = "S1";
  trade.run(1)["id"] = fails ? "s-01" : "S2";
  return trade;
}

TradeRoom outlet(bool fails) {
  TradeRoom trade;
  trade.run(0) = run_of("amp.line", "left", "line coax");
  trade.job["prefer"]["mains_lead"] = fails ? "1.5 m" : "5 m";
  return trade;
}

// Of every plan

TradeRoom bend(bool fails) {
  TradeRoom trade;
  trade.job["runs"] = Json::array({trade.run(2)});
  trade.job["cables"] = Json::array({{{"id", "cat6"}, {"bend_radius", fails ? "400 mm" : "3 mm"}}});
  return trade;
}

/// Thicker than any raceway is inside: no arc is left in its corners.
TradeRoom kink(bool fails) {
  TradeRoom trade;
  trade.job["runs"] = Json::array({trade.run(0)});
  trade.run(0).erase("via");
  trade.room.erase("suspended_ceiling");
  trade.job["parts"] = Json::array({trade.rule("Outlet *")});
  trade.job["cables"] = loudspeaker_cable(fails ? "48 mm" : "6 mm", "50 mm");
  return trade;
}

TradeRoom loose(bool fails) {
  if (fails) return TradeRoom();  // behind the rack
  TradeRoom trade = mains_room(1.2);
  trade.job.erase("gear");
  return trade;
}

/// Two runs that may not lie together, and are both to go through one pipe.
TradeRoom company(bool fails) {
  TradeRoom trade = conduit_room(kStraight, "24 mm", 2, "cat6");
  if (fails) trade.run(0)["not_with"] = "R1";
  return trade;
}

/// A body that building models call a space, as high as the room or lower than any run across it.
TradeRoom through_space(bool fails) {
  TradeRoom trade;
  trade.job["model"] = {{"file", "room.obj"}, {"unit", "m"}, {"up", "z"}};
  trade.room["furniture"] = Json::array({{{"name", "IfcSpace"},
                                          {"at", {2, 2.5}},
                                          {"width", 3.6},
                                          {"depth", 1},
                                          {"height", fails ? 2.8 : 0.2}}});
  return trade;
}

/// A subwoofer by the wall may move along it, or out onto a floor that nothing crosses.
TradeRoom out_of_reach(bool fails) {
  TradeRoom trade;
  trade.job["ends"].push_back(
      {{"id", "sub"},
       {"xyz", {0.4, 2.5, 0.2}},
       {"may_move", {{"alternatives", Json::array({{fails ? 2.2 : 0.4, 3.2, 0.2}})}}}});
  trade.job["runs"] = Json::array({trade.run(0)});
  trade.run(0)["to"] = "sub";
  trade.run(0).erase("via");
  return trade;
}

/// A seat that reaches to the rack leaves its runs no way out.
TradeRoom hemmed_in(bool fails) {
  TradeRoom trade;
  trade.room["seats"] = Json::parse(R"([{ "name": "Seat", "at": [2.0, 3.6], "width": 0.7,
                                          "depth": 0.9, "height": 1 }])");
  trade.rule("Seat") = {{"match", "Seat"}, {"is", "seat"}, {"recline", fails ? "960 mm" : "0 mm"}};
  return trade;
}

Json as_planned(const TradeRoom& room, bool) { return room.job; }

}  // namespace

std::vector<Row> rows_of_rooms() {
  return {
      {"void-air", void_air},
      {"jacket", jacket},
      {"fire-seal", rated},
      {"old-material", old_ceiling},
      {"stud-hole", stud},
      {"nail-plate", nails},
      {"member-hole", joist},
      {"tile-edge", cut_hole},
      {"hole-to-widen", narrow_hole},
      {"hole-size", largest_hole},
      {"hole-unlined", bare_edge},
      {"recorded-unused", left_over},
      {"measured-odd", short_measure},
      {"tile-hole", tile_hole},
      {"hidden-wiring", below_outlet},
      {"pinch-point", coil_behind_seat},
      {"walkway", walked_over, walkway_later},
      {"gear-place", before_door},
      {"floor-crossing", crossing},
      {"sight", seat_without_eye, seats_watch_later},
      {"loudspeaker-angle", angle},
      {"loudspeaker-height", ear},
      {"loudspeaker-distance", aside},
      {"loudspeaker-symmetry", aside},
      {"listener-wall", wall_behind},
      {"label-unique", labels},
      {"outlet-reach", outlet},
      {"bend-radius", bend},
      {"bend-kink", kink},
      {"free-zones", loose},
      {"run-rules", company},
      {"ignored-part", through_space},
      {"no-way", hemmed_in, as_planned},
      {"move-without-way", out_of_reach, as_planned},
  };
}

}  // namespace roomloom::testing
