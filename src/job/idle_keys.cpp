#include "job/idle_keys.h"

#include <cmath>
#include <string>
#include <vector>

namespace roomloom {
namespace {

struct IdleKey {
  const char* key;
  Service of;
  bool (*given)(const RunSpec& run);
};

constexpr IdleKey kKeys[] = {
    {"impedance", Service::loudspeaker, [](const RunSpec& run) { return run.impedance_ohm > 0; }},
    {"power", Service::loudspeaker, [](const RunSpec& run) { return run.power_w > 0; }},
    {"loss", Service::loudspeaker,
     [](const RunSpec& run) {
       return std::isfinite(run.loss_limit) && run.loss_limit != RunSpec().loss_limit;
     }},
    {"loss_db", Service::loudspeaker,
     [](const RunSpec& run) { return run.loss_limit_db.has_value(); }},
    {"damping", Service::loudspeaker,
     [](const RunSpec& run) { return run.damping_least.has_value(); }},
    {"amplifier_damping", Service::loudspeaker,
     [](const RunSpec& run) { return run.amplifier_damping > 0; }},
    {"series", Service::loudspeaker, [](const RunSpec& run) { return !run.series.empty(); }},
    {"source_impedance", Service::line_level,
     [](const RunSpec& run) { return run.source_ohm > 0; }},
    {"picture", Service::picture, [](const RunSpec& run) { return !run.picture.empty(); }},
    {"cords", Service::network, [](const RunSpec& run) { return run.cords_m.has_value(); }},
};

}  // namespace

void note_idle_keys(Job& job) {
  for (const RunSpec& run : job.runs) {
    const CableType* cable = job.catalogue.cable(run.cable);
    if (cable == nullptr || !run.open_cable.empty()) continue;
    std::string keys;
    int count = 0;
    for (const IdleKey& one : kKeys) {
      if (one.of == cable->service || !one.given(run)) continue;
      keys += (count == 0 ? "\"" : ", \"") + std::string(one.key) + "\"";
      ++count;
    }
    if (count == 0) continue;
    job.origin.notes.push_back(
        run.pointer + ": " + keys + (count == 1 ? " says nothing" : " say nothing") + " of run " +
        run.id + ", which is of " + cable->id + " (" + to_string(cable->service) +
        "); nothing is judged by " + (count == 1 ? "it." : "them."));
  }
}

}  // namespace roomloom
