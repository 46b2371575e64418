#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <map>
#include <set>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/terminations.h"

namespace roomloom {
namespace {

/// First letters of a name's words: "Alder Hall screening room" -> "AHSR".
std::string initials(const std::string& name) {
  std::string text;
  bool start = true;
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    if (std::isalnum(byte) != 0 && byte < 0x80) {
      if (start && text.size() < 4) text += static_cast<char>(std::toupper(byte));
      start = false;
    } else {
      start = true;
    }
  }
  return text.empty() ? "R" : text;
}

std::string letter(std::size_t index) {
  std::string name(1, static_cast<char>('A' + index % 26));
  return index < 26 ? name : letter(index / 26 - 1) + name;
}

std::string two_digits(std::size_t number) {
  return (number < 10 ? "0" : "") + std::to_string(number);
}

/// How many come before it in the job as written, which pointers tell ("/gear/3"): gear is planned
/// by its ids, but labels that hang already must not change when more is written below it.
std::size_t place_in_job(std::size_t gear, const Job& job) {
  const auto place = [&](std::size_t g) {
    const std::string& pointer = job.gear[g].pointer;
    return std::pair(std::strtoul(pointer.c_str() + pointer.rfind('/') + 1, nullptr, 10), g);
  };
  std::size_t before = 0;
  for (std::size_t g = 0; g < job.gear.size(); ++g) before += place(g) < place(gear) ? 1 : 0;
  return before;
}

/// Place in a rack: a letter for the gear, and the port's number in it, counted through its
/// components in the job's order: "A07". Empty for an end in the room.
std::string rack_position(const End& end, const Job& job) {
  for (std::size_t g = 0; g < job.gear.size(); ++g) {
    if (job.gear[g].id != end.gear) continue;
    std::size_t number = 0;
    for (const Component& component : job.gear[g].holds)
      for (const std::string& port : component.ports) {
        ++number;
        if (end.id == component.id + "." + port)
          return letter(place_in_job(g, job)) + two_digits(number);
      }
    return letter(place_in_job(g, job)) + "00";
  }
  return "";
}

/// Places in the rack as labels tell them. What hangs on a recorded run keeps its label, whatever
/// was put into the rack since; a new port never gets a place that a label tells for another.
class RackPlaces {
 public:
  RackPlaces(const Takeoff& takeoff, const Ends& ends, const Job& job) : job_(job) {
    for (const RunRow& row : takeoff.runs) {
      const BuiltRun* built = built_run(row, job.as_built);
      if (built == nullptr || built->id != row.id || built->label.empty()) continue;
      const std::string place = place_in(built->label, row.id);
      const Run& run = element(ends.runs, row.run);
      const End& from = element(ends.ends, run.from);
      if (place.empty()) continue;
      stems_[row.id] = built->label;
      const End& end = rack_position(from, job).empty() ? element(ends.ends, run.to) : from;
      if (used_.insert(place).second) kept_[end.id] = place;
    }
  }

  /// The label of a run but for its last letter, if one hangs on it.
  std::string hanging(const std::string& run) const {
    const auto found = stems_.find(run);
    return found == stems_.end() ? "" : found->second;
  }

  /// Empty for an end that is in no rack.
  std::string of(const End& end) {
    if (const auto found = kept_.find(end.id); found != kept_.end()) return found->second;
    std::string place = rack_position(end, job_);
    if (place.size() < 2 || place.ends_with("00") || used_.count(place) == 0) return place;
    const std::string gear = place.substr(0, place.find_first_of("0123456789"));
    std::size_t number = ports_beside(end);
    do place = gear + two_digits(++number);
    while (used_.count(place) != 0);
    used_.insert(place);
    return kept_[end.id] = place;
  }

 private:
  /// "A28" of "AHSR-A28-N1", the run being N1.
  static std::string place_in(const std::string& label, const std::string& run) {
    if (!label.ends_with("-" + run)) return "";
    const std::string head = label.substr(0, label.size() - run.size() - 1);
    const std::size_t dash = head.rfind('-');
    return dash == std::string::npos ? "" : head.substr(dash + 1);
  }

  std::size_t ports_beside(const End& end) const {
    std::size_t ports = 0;
    for (const GearSpec& gear : job_.gear)
      if (gear.id == end.gear)
        for (const Component& component : gear.holds) ports += component.ports.size();
    return ports;
  }

  const Job& job_;
  std::set<std::string> used_;                ///< by labels that hang, or given to a new port
  std::map<std::string, std::string> kept_;   ///< by end
  std::map<std::string, std::string> stems_;  ///< by run
};

}  // namespace

Table label_table(const Takeoff& takeoff, const Ends& ends, const Job& job) {
  Table table{
      "labels",
      "Labels",
      "In the spirit of TIA-606: room, place in the rack, run, and which end. Put one within " +
          format_size(0.3, job.units) +
          " of each end (from memory). The same run has the same label at both ends but for its "
          "last letter.",
      {{"label", "Label"},
       {"run", "Run"},
       {"end", "This end"},
       {"far_end", "Far end"},
       {"cable", "Cable"},
       {"service", "Service"},
       {"signal", "Signal"},
       {"done", "Done", ColumnKind::tick}},
      {}};
  const std::string room = initials(job.name);
  RackPlaces places(takeoff, ends, job);
  for (const RunRow& row : takeoff.runs) {
    const Run& run = element(ends.runs, row.run);
    const End& from = element(ends.ends, run.from);
    const End& to = element(ends.ends, run.to);
    std::string rack = places.of(from);
    if (rack.empty()) rack = places.of(to);
    if (rack.empty()) rack = "00";
    const RunSpec& spec = element(job.runs, run.spec);
    const bool directional = element(job.catalogue.cables, run.cable).directional;
    const auto signal = [&](bool sends) -> std::string {
      return !directional ? "" : sends ? "sending end" : "receiving end";
    };
    const std::string hanging = places.hanging(row.id);
    const std::string stem =
        hanging.empty() ? room + "-" + rack + "-" + row.id + "-" : hanging + "-";
    table.rows.push_back({stem + "A", row.id, row.from, row.to, row.cable,
                          std::string(to_string(row.service)), signal(!spec.signal_from_to),
                          tick_cell()});
    table.rows.push_back({stem + "B", row.id, row.to, row.from, row.cable,
                          std::string(to_string(row.service)), signal(spec.signal_from_to),
                          tick_cell()});
  }
  return table;
}

}  // namespace roomloom
