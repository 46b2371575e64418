#pragma once

#include <map>
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
  std::map<std::string, std::string> files = {};  ///< texts beside the job, by name
  TradeRoom();
  Json& run(std::size_t index) { return job["runs"][index]; }
  Json& rule(const std::string& match);
};

/// Runs along the left wall that must go through a ready conduit with these corners.
TradeRoom conduit_room(const char* points, const char* inside, int runs, const char* cable);

// Pipes along the left wall; those that are named by it have so many right angles.
inline constexpr const char* kStraight = "[[0.016, 1.5, 0.4], [0.016, 3.5, 0.4]]";
inline constexpr const char* kCrooked =
    "[[0.016, 1.5, 0.4], [0.016, 1.5, 1.4], [0.016, 2.0, 1.4], [0.016, 2.0, 0.4], "
    "[0.016, 2.5, 0.4], [0.016, 2.5, 1.4], [0.016, 3.0, 1.4], [0.016, 3.0, 0.4], "
    "[0.016, 3.5, 0.4]]";

inline constexpr const char* kTwoAngles =
    "[[0.016, 1.5, 0.4], [0.016, 2, 0.4], [0.016, 2, 1], [0.016, 3, 1]]";
inline constexpr const char* kFourAngles =
    "[[0.016, 1.5, 0.4], [0.016, 2, 0.4], [0.016, 2, 1], [0.016, 3, 1], [0.016, 3, 0.4], "
    "[0.016, 3.6, 0.4]]";
inline constexpr const char* kFiveAngles =
    "[[0.016, 1.5, 0.4], [0.016, 2, 0.4], [0.016, 2, 1], [0.016, 3, 1], [0.016, 3, 0.4], "
    "[0.016, 3.6, 0.4], [0.016, 3.6, 1]]";

/// A run along the left wall beside a mains cable that lies level, `up` above the floor.
TradeRoom mains_room(double up);

/// The back wall has studs, and nothing is fished through it.
TradeRoom stud_room();

/// The back wall's studs end at the ceiling, under the plenum: its runs come down through the head
/// plate. Sketched walls reach to the slab, so the model's text is cut down.
TradeRoom head_plate_room(const char* depth);

/// A ready hole in the ceiling beside the front wall that run A takes.
TradeRoom ready_hole_room(const char* inside);

/// The run to the right comes down a bay of the rear wall, `from_left` along it.
TradeRoom bay_room(double from_left);

/// Five loudspeakers about a listener, each at a point of its own.
TradeRoom listening_room();
/// One end of it placed by hand instead of by its label; its name still tells the label.
void put(TradeRoom& trade, std::size_t index, const char* label, const char* wall, double from_left,
         double up);

/// Plans, writes and judges twice: as `route` does and afresh from the folder as `check` does; both
/// must find the same.
Findings judged(const TradeRoom& trade);

/// Plans and writes, then records that this run lies as planned: what is planned with the room from
/// now on finds it there.
TradeRoom with_lying_run(TradeRoom trade, const std::string& run);

/// Plans and writes with the room's job, then judges the folder against another job: what a user
/// finds out afterwards.
Findings judged_later(const TradeRoom& trade, const Json& job);

/// The same with plan.json changed by hand.
Findings judged_tampered(const TradeRoom& trade, void (*change)(Json& plan));

/// Findings of one id.
std::vector<Finding> found(const Findings& findings, const std::string& id);
/// Whether there are any.
bool tells(const Findings& findings, const std::string& id);

/// One line a finding, for messages.
std::string all_of(const Findings& findings);

}  // namespace roomloom::testing
