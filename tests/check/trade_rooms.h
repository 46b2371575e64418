#pragma once

#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

namespace roomloom::testing {

using Json = nlohmann::ordered_json;

/// A room of 4 x 5 x 2.9 m under a suspended ceiling at 2.5 m, planned and judged with whatever a
/// test changes: two loudspeaker runs and a network run from a rack at the front wall to the rear.
struct TradeRoom {
  Json room, job;
  /// Changes the sketched model's text (an OBJ's), for what no sketch can say; none = as sketched.
  std::string (*edit_model)(const std::string& obj) = nullptr;
  TradeRoom();
  Json& run(std::size_t index) { return job["runs"][index]; }
  Json& rule(const std::string& match);
};

/// Plans, writes and judges twice: as `route` does and afresh from the folder as `check` does; both
/// must find the same.
Findings judged(const TradeRoom& trade);

/// Plans and writes with the room's job, then judges the folder against another job: what a user
/// finds out afterwards.
Findings judged_later(const TradeRoom& trade, const Json& job);

/// The same with plan.json changed by hand.
Findings judged_tampered(const TradeRoom& trade, void (*change)(Json& plan));

/// Findings of one id.
std::vector<Finding> found(const Findings& findings, const std::string& id);

/// One line a finding, for messages.
std::string all_of(const Findings& findings);

}  // namespace roomloom::testing
