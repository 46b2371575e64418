#include <algorithm>
#include <cctype>
#include <cstdlib>

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
  for (const RunRow& row : takeoff.runs) {
    const Run& run = element(ends.runs, row.run);
    const End& from = element(ends.ends, run.from);
    const End& to = element(ends.ends, run.to);
    std::string rack = rack_position(from, job);
    if (rack.empty()) rack = rack_position(to, job);
    if (rack.empty()) rack = "00";
    const RunSpec& spec = element(job.runs, run.spec);
    const bool directional = element(job.catalogue.cables, run.cable).directional;
    const auto signal = [&](bool sends) -> std::string {
      return !directional ? "" : sends ? "sending end" : "receiving end";
    };
    const std::string stem = room + "-" + rack + "-" + row.id + "-";
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
