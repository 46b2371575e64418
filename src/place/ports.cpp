#include "place/ports.h"

#include <algorithm>

#include "base/nearest.h"

namespace roomloom::place {
namespace {

Port* port_named(PlacedComponent& component, const std::string& name) {
  for (Port& port : component.ports)
    if (port.name == name) return &port;
  return nullptr;
}

bool mark(PlacedComponent* component, const std::string& name) {
  Port* port = component == nullptr ? nullptr : port_named(*component, name);
  if (port == nullptr || port->used) return false;
  return port->used = true;
}

}  // namespace

PortBook::PortBook(Context& context) : context_(context) {
  claim_named();
  claim_alike();
}

PortName PortBook::understood(const std::string& name) const {
  for (const EndSpec& end : context_.job.ends)
    if (end.id == name) return {};
  if (PlacedComponent* component = find_component(context_, name)) return {component, ""};
  for (std::size_t dot = name.find('.'); dot != std::string::npos; dot = name.find('.', dot + 1))
    if (PlacedComponent* component = find_component(context_, name.substr(0, dot)))
      return {component, name.substr(dot + 1)};
  return {};
}

void PortBook::claim_named() {
  for (const RunSpec& run : context_.job.runs)
    for (const std::string& name : {run.from, run.to})
      if (const PortName at = understood(name); !at.port.empty()) mark(at.component, at.port);
  for (const EndSpec& end : context_.job.ends)
    if (const auto* gear = std::get_if<AtGear>(&end.place); gear && !gear->port.empty())
      mark(find_component(context_, gear->gear), gear->port);
}

void PortBook::claim_alike() {
  for (const RunSpec& run : context_.job.runs) {
    for (const bool start : {true, false}) {
      const PortName at = understood(start ? run.from : run.to);
      if (at.component == nullptr || !at.port.empty()) continue;
      for (const std::string& wish : {run.id, start ? run.to : run.from}) {
        if (!mark(at.component, wish)) continue;
        wishes_[{run.id, start}] = wish;
        break;
      }
    }
  }
}

Port* PortBook::port_for(const RunSpec& run, bool start, const PortName& at,
                         const std::string& pointer) {
  const auto wish = wishes_.find({run.id, start});
  return take(*at.component, wish == wishes_.end() ? at.port : wish->second, pointer);
}

Port* PortBook::take(PlacedComponent& component, const std::string& port,
                     const std::string& pointer) {
  if (!port.empty()) {
    if (Port* named = port_named(component, port)) return named;
    std::vector<std::string> names;
    for (const Port& known : component.ports) names.push_back(known.name);
    context_.problem(pointer, "place.port",
                     "\"" + component.id + "\" has no port \"" + port + "\".",
                     suggestion(port, names));
    return nullptr;
  }
  for (Port& free : component.ports) {
    if (free.used) continue;
    free.used = true;
    return &free;
  }
  if (component.open_ended) return another(component);
  context_.problem(pointer, "place.port",
                   "All " + std::to_string(component.ports.size()) + " ports of \"" + component.id +
                       "\" are taken.",
                   "Add ports, or drop a run.");
  return nullptr;
}

/// Gear that names no ports has as many as its runs need, side by side at half its height.
Port* PortBook::another(PlacedComponent& component) {
  const GearBox& box = context_.ends.gear[static_cast<std::size_t>(component.gear)];
  const std::size_t number = component.ports.size() + 1;
  // Shares of the width that never meet: van der Corput's sequence in base 2.
  double share = 0, scale = 0.5;
  for (std::size_t n = number; n > 0; n /= 2, scale /= 2)
    share += scale * static_cast<double>(n % 2);
  const Vec3 at{box.size.x * (0.1 + 0.8 * share), 0, component.middle_m};
  component.ports.push_back({std::to_string(number), box.frame.to_world(at), true});
  return &component.ports.back();
}

}  // namespace roomloom::place
