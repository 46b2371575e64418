#pragma once

#include <map>
#include <string>
#include <utility>

#include "place/context.h"

namespace roomloom::place {

/// A name of a run's end, understood as gear.
struct PortName {
  PlacedComponent* component = nullptr;  ///< null: not gear, or gear without a place
  std::string port;                      ///< empty: any that is free
};

/// Which ports are taken, and by whom.
class PortBook {
 public:
  /// Takes the ports that runs and ends name, then those that are named like a run or its other
  /// end.
  explicit PortBook(Context& context);

  /// "amp", "amp.S1", "stand".
  PortName understood(const std::string& name) const;
  /// The port for one end of a run; reports an unknown port, or that none is free.
  Port* port_for(const RunSpec& run, bool start, const PortName& at, const std::string& pointer);
  /// The named port of a component, or with an empty name the first that is free.
  Port* take(PlacedComponent& component, const std::string& port, const std::string& pointer);

 private:
  void claim_named();
  void claim_alike();
  Port* another(PlacedComponent& component);

  Context& context_;
  std::map<std::pair<std::string, bool>, std::string> wishes_;  ///< run, at its start -> port
};

}  // namespace roomloom::place
