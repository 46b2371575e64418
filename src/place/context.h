#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "place/aim.h"
#include "place/surfaces.h"
#include "types/ends.h"

namespace roomloom::place {

/// A place found, and how, in words.
struct Found {
  EndPlace place;
  Mount mount = Mount::on_sheet;
  std::string how;
  bool moved_within_range = false;  ///< a label's nominal direction was not possible
};

/// Where a port of a component is, and who uses it.
struct Port {
  std::string name;  ///< "S1"
  Vec3 position;
  bool used = false;
};
struct PlacedComponent {
  std::string id;
  int gear = -1;  ///< into Ends::gear
  std::vector<Port> ports;
  bool open_ended = false;  ///< no ports named: one more for each run
  double middle_m = 0;      ///< height of its middle above the gear's underside
};

/// What the steps of placing share.
struct Context {
  const Scene& scene;
  const Room& room;
  const Job& job;
  const Surfaces& surfaces;
  Ends& ends;
  std::optional<Listener> listener;
  std::vector<PlacedComponent> components;
  std::set<std::string> unplaced;  ///< gear, and what it holds, whose fault was told already

  void problem(const std::string& pointer, std::string code, std::string what,
               std::string remedy = "") {
    const std::string where = job.path.empty() ? pointer : job.path + " " + pointer;
    ends.problems.push_back({std::move(code), std::move(what), where, std::move(remedy)});
  }
  std::string length(double metres) const { return format_length(metres, job.units, 2); }
};

/// "The room reaches from x 0.00 m, y 0.00 m to x 4.00 m, y 5.00 m."
std::string room_reach(const Context& context);

// --- measures.cpp
/// The sheet that a place names and the point of its plane; problems are reported.
struct OnSheet {
  int sheet = -1;
  Vec2 at;
  std::string how;
  bool from_right = false;  ///< as the job measured it
};
std::optional<OnSheet> measure(Context& context, const OnPart& place, const std::string& pointer,
                               double width_m = 0);
std::optional<Found> place_on_part(Context& context, const OnPart& place,
                                   const std::string& pointer);
/// A point gets its surface, floor or furniture, as `mount` says.
std::optional<Found> mount_point(Context& context, const Vec3& p, Mount mount,
                                 const std::string& pointer, const std::string& how);
// --- furniture.cpp
/// A point in furniture, `how` in words; problems are reported.
std::optional<Found> in_furniture(Context& context, const Vec3& p, const std::string& pointer,
                                  const std::string& how);
/// A measure on furniture that may hold cables: from its left side as one stands before it, up from
/// the floor, in the middle of its depth. `is_furniture` is false where the name is another's.
std::optional<Found> place_in_furniture(Context& context, const OnPart& place,
                                        const std::string& pointer, bool& is_furniture);
/// The furniture whose box holds the point, empty if none.
std::string furniture_at(const Context& context, const Vec3& p);

// --- measures.cpp, continued
/// An end that stands off its sheet gets a short free zone from the sheet to it.
void add_way_off_sheet(Context& context, const std::string& id, const EndPlace& place);
std::optional<Vec3> marker_point(Context& context, const std::string& name,
                                 const std::string& pointer);

// --- listener.cpp
void place_listener(Context& context);
std::optional<Found> place_by_direction(Context& context, const FromListener& direction,
                                        Mount mount, const std::string& pointer);
std::optional<Found> place_by_label(Context& context, const std::string& label, Mount mount,
                                    const std::string& pointer);

// --- find_place.cpp
/// Where a place is; problems are reported. `label`: of a place that is not said, a loudspeaker's.
/// A place at gear is not found here.
std::optional<Found> find_place(Context& context, const PlaceSpec& place, const std::string& label,
                                Mount mount, const std::string& pointer);

// --- gear.cpp
void place_gear(Context& context);
/// A component by id; of a gear box its own ports or its only component.
PlacedComponent* find_component(Context& context, const std::string& name);
Found port_place(const Context& context, const PlacedComponent& component, const Port& port);

// --- gear_space.cpp
/// Gear does not stand in an obstacle of the model. `wall`: the sheet that it is measured on, or
/// -1.
void check_gear_space(Context& context, const GearSpec& gear, const GearBox& box, int wall);

// --- moves.cpp
/// The extremes of where an end may be moved to.
std::vector<EndPlace> may_move_to(Context& context, const MayMove& move, const EndPlace& place,
                                  const std::string& pointer);

// --- runs.cpp
void place_runs(Context& context);

// --- written_ports.cpp
/// Ports that a job does not measure are spread over their gear's back, elsewhere when it gets
/// more of them: those whose runs were planned or lie already stay where these begin.
void keep_written_ports(Context& context);

// --- eyes.cpp
/// Seats, doors and what the job lists, as points to look from.
void place_eyes(Context& context);

// --- floor_ways.cpp
/// Ways over the floor, and the zones they lie in, for ends that no wall is near.
void add_floor_ways(Context& context);

// --- checks.cpp
/// "via" and "avoid" name something of the room.
void check_way_names(Context& context);
/// From which walls ends that are measured on floors and ceilings lie how far.
void tell_ends_on_level_sheets(Context& context);
/// Ends before a stud of a wall that is fished: no plate goes there.
void tell_ends_on_studs(Context& context);

}  // namespace roomloom::place
