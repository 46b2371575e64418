#include "takeoff/terminations.h"

#include <algorithm>
#include <array>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

struct Connector {
  std::string name;
  int count = 1;
  bool in_box = false;
};

/// Usual connectors by service; common practice, no source. A job's own connector overrules them.
Connector connector_of(const CableType& cable, const End& end, bool on_wall) {
  if (!end.connector.empty()) return {end.connector, 1, on_wall};
  if (cable.head_width_m > 0) return {"moulded on", 0, false};
  const bool room_jack = on_wall && end.gear.empty();
  switch (cable.service) {
    case Service::loudspeaker:
      return {"loudspeaker plug", std::max(2, cable.conductors), false};
    case Service::line_level:
      return {cable.conductors >= 3 ? "3-pin audio plug" : "phono plug", 1, false};
    case Service::network:
      return room_jack ? Connector{"network jack", 1, true} : Connector{"network plug", 1, false};
    case Service::television:
      return room_jack ? Connector{"aerial socket", 1, true} : Connector{"F plug", 1, false};
    case Service::fibre:
      return {"fibre connector", 2, room_jack};
    case Service::control:
      return {"terminal block", 1, false};
    case Service::picture:
      return {"picture plug", 1, false};
    case Service::mains:
      break;
  }
  return {"by a licensed electrician", 0, false};
}

bool is_on_wall(const End& end, const Room& room) {
  return end.mount == Mount::on_sheet && end.place.home.kind == PlaceKind::sheet &&
         element(room.sheets, end.place.home.index).role == SheetRole::wall;
}

/// An end of a cable that lies has its connector, unless it was left open or is led on.
std::string state_of(const End& end, const RunRow& row, const AsBuilt& built) {
  const BuiltRun* lying = row.lies() ? built_run(row, built) : nullptr;
  if (row.installed && (!row.to_finish || lying == nullptr)) return "lies already";
  if (lying != nullptr && !left_open(*lying, end.place.position)) return "lies already";
  if (end.state == EndState::coiled) return "leave coiled";
  if (end.state == EndState::unterminated) return "leave unterminated";
  return "fit now";
}

std::string pins_of(const std::string& connector, Service service) {
  if (service == Service::network) return "network, T568A or T568B, the same at both ends";
  if (service == Service::loudspeaker) return "loudspeaker";
  return connector == "3-pin audio plug" ? "balanced line" : "";
}

bool share_box(const EndPlace& a, const EndPlace& b) {
  return a.home == b.home && distance(a.position, b.position) <= kSameBox_m;
}

class Boxes {
 public:
  explicit Boxes(const Ends& ends) : ends_(ends) {}

  /// Puts an end into a box, an old one if it is near enough.
  std::size_t put(int end) {
    const EndPlace& place = element(ends_.ends, end).place;
    for (std::size_t i = 0; i < boxes_.size(); ++i) {
      if (share_box(element(ends_.ends, boxes_[i].front()).place, place))
        return boxes_[i].push_back(end), i;
    }
    boxes_.push_back({end});
    return boxes_.size() - 1;
  }
  std::size_t ports(std::size_t box) const { return boxes_[box].size(); }

 private:
  const Ends& ends_;
  std::vector<std::vector<int>> boxes_;
};

/// Whether a jack goes in beside one that lies: their box was put up for both.
bool beside_box_there(int end, const std::vector<Termination>& all, const Ends& ends) {
  return std::any_of(all.begin(), all.end(), [&](const Termination& one) {
    return one.box_there && one.state == "lies already" &&
           share_box(element(ends.ends, one.end).place, element(ends.ends, end).place);
  });
}

std::string where_words(const End& end, const Room& room) {
  if (end.place.home.kind != PlaceKind::sheet) return end.how;
  return "on " + element(room.sheets, end.place.home.index).name;
}

struct PinOrder {
  const char* connector;
  const char* pin;
  const char* first;
  const char* second;
};
// Network: TIA-568, T568A and T568B, pins 1 to 8. Balanced line: pin 2 is live, AES14, from memory.
// Loudspeaker: black and red, white and green for four cores: common practice, no source.
constexpr std::array<PinOrder, 15> kPins = {{
    {"network", "1", "white-green", "white-orange"},
    {"network", "2", "green", "orange"},
    {"network", "3", "white-orange", "white-green"},
    {"network", "4", "blue", "blue"},
    {"network", "5", "white-blue", "white-blue"},
    {"network", "6", "orange", "green"},
    {"network", "7", "white-brown", "white-brown"},
    {"network", "8", "brown", "brown"},
    {"balanced line", "1", "screen", ""},
    {"balanced line", "2", "live", ""},
    {"balanced line", "3", "return", ""},
    {"loudspeaker", "first, +", "red", ""},
    {"loudspeaker", "first, -", "black", ""},
    {"loudspeaker", "second, +", "white", ""},
    {"loudspeaker", "second, -", "green", ""},
}};

}  // namespace

bool is_cord(const Run& run, const Ends& ends) {
  const End& from = element(ends.ends, run.from);
  return !from.gear.empty() && from.gear == element(ends.ends, run.to).gear;
}

std::vector<Termination> terminations_of(const Takeoff& takeoff, const Ends& ends, const Room& room,
                                         const Job& job) {
  std::vector<Termination> all;
  std::vector<int> box_of;
  std::vector<bool> wants_box;
  Boxes boxes(ends);
  for (const RunRow& row : takeoff.runs) {
    if (!row.routed) continue;
    const Run& run = element(ends.runs, row.run);
    const CableType& cable = element(job.catalogue.cables, run.cable);
    for (const int index : {run.from, run.to}) {
      const End& end = element(ends.ends, index);
      const Connector connector = connector_of(cable, end, is_on_wall(end, room));
      Termination one;
      one.run = row.run;
      one.end = index;
      one.state = state_of(end, row, job.as_built);
      const bool now = one.state == "fit now";
      one.connector = now ? connector.name : "";
      one.count = now ? connector.count : 0;
      one.pins = now ? pins_of(connector.name, cable.service) : "";
      one.box_there = connector.in_box && one.state == "lies already" &&
                      end.state == EndState::fitted;  // none was put up for a coil
      wants_box.push_back(connector.in_box && now);
      all.push_back(std::move(one));
    }
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (wants_box[i] && beside_box_there(all[i].end, all, ends)) {
      all[i].box_there = true;
      wants_box[i] = false;
    }
    box_of.push_back(wants_box[i] ? static_cast<int>(boxes.put(all[i].end)) : -1);
  }
  std::vector<bool> told(all.size(), false);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (box_of[i] < 0) continue;
    const auto box = static_cast<std::size_t>(box_of[i]);
    all[i].box = "B" + std::to_string(box + 1);
    if (!told[box])
      all[i].box_kind = "wall box, plate with " + std::to_string(boxes.ports(box)) +
                        (boxes.ports(box) == 1 ? " port" : " ports");
    told[box] = true;
  }
  return all;
}

Table end_table(const std::vector<Termination>& terminations, const Ends& ends, const Room& room) {
  Table table{"ends",
              "Ends",
              "Connectors are those in common use for the service; a job's own overrule them. "
              "Nothing is counted for ends that are left coiled or unterminated.",
              {{"end", "End"},
               {"run", "Run"},
               {"where", "Where"},
               {"height_m", "Height above the floor", ColumnKind::length},
               {"state", "State"},
               {"connector", "Connector"},
               {"count", "Count", ColumnKind::count},
               {"box", "Box"},
               {"box_kind", "Box and plate"},
               {"pins", "Pin order"},
               {"done", "Done", ColumnKind::tick}},
              {}};
  for (const Termination& one : terminations) {
    const End& end = element(ends.ends, one.end);
    table.rows.push_back({end.id, element(ends.runs, one.run).id, where_words(end, room),
                          end.place.position.z - room.floor_z_m, one.state, one.connector,
                          number_cell(one.count), one.box, one.box_kind, one.pins, tick_cell()});
  }
  return table;
}

Table pin_table(const std::vector<Termination>& terminations) {
  Table table{
      "pin_orders",
      "Pin orders",
      "Network: T568A and T568B of TIA-568; use one of them, the same at both ends. Balanced "
      "line: from memory. Loudspeaker cores: common practice, no source.",
      {{"service", "Service"},
       {"pin", "Pin"},
       {"first", "Conductor (network: T568A)"},
       {"second", "Network: T568B"}},
      {}};
  for (const PinOrder& pin : kPins) {
    const bool used =
        std::any_of(terminations.begin(), terminations.end(),
                    [&](const Termination& one) { return one.pins.rfind(pin.connector, 0) == 0; });
    if (!used) continue;
    table.rows.push_back({std::string(pin.connector), std::string(pin.pin), std::string(pin.first),
                          std::string(pin.second)});
  }
  return table;
}

Table cord_table(const Takeoff& takeoff, const Ends& ends) {
  Table table{
      "cords",
      "Cords between components",
      "From port to port along the way drawn behind the gear; the allowance is for slack, for "
      "fitting the ends and for pulling the gear out, as the cut list has it term by term. A "
      "ready-made lead is bought in the next length and never cut: coil up what is over.",
      {{"run", "Run"},
       {"gear", "Gear"},
       {"from", "From"},
       {"to", "To"},
       {"cable", "Cable"},
       {"drawn_m", "Port to port", ColumnKind::length},
       {"allowance_m", "Allowance", ColumnKind::length},
       {"cut_m", "Cut to", ColumnKind::length},
       {"lead_m", "Ready-made lead", ColumnKind::length},
       {"over_m", "Over, to coil up", ColumnKind::length},
       {"done", "Done", ColumnKind::tick}},
      {}};
  for (const RunRow& row : takeoff.runs) {
    const Run& run = element(ends.runs, row.run);
    if (!row.routed || row.lies() || !is_cord(run, ends)) continue;
    const bool lead = row.lead_m > 0;
    table.rows.push_back({row.id, element(ends.ends, run.from).gear, row.from, row.to, row.cable,
                          row.drawn_m, row.cut_m - row.drawn_m, lead ? Cell{} : Cell{row.cut_m},
                          lead ? Cell{row.lead_m} : Cell{},
                          lead ? Cell{row.lead_m - row.cut_m} : Cell{}, tick_cell()});
  }
  return table;
}

}  // namespace roomloom
