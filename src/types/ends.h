#pragma once

#include <string>
#include <vector>

#include "types/room.h"

namespace roomloom {

/// One place of an end: the one it has now, or one it may move to.
struct EndPlace {
  Vec3 position;          ///< where the cable's tip is
  PlaceId home;           ///< sheet it is mounted on, zone or void it lies in
  Vec3 outward{0, 0, 1};  ///< away from the surface it is mounted on
};

/// An end of a run, at its place.
struct End {
  std::string id;  ///< "M+030", "amp.S1"
  EndPlace place;
  std::vector<EndPlace> may_move_to;  ///< without the present place
  bool moves_within = false;      ///< it may take any place between these as well, not these alone
  Mount mount = Mount::on_sheet;  ///< never automatic here
  EndState state = EndState::fitted;
  double slack_m = 0;     ///< service loop
  double pull_out_m = 0;  ///< extra because its gear is pulled out
  std::string connector;
  std::string gear;  ///< id of the gear it belongs to, or empty
  std::string how;   ///< how the place was found, for people
};

struct GearBox {
  std::string id;
  Frame
      frame;  ///< origin at the lower back left corner; u along its width, v toward its front, n up
  Vec3 size;  ///< width, depth, height
  int zone = -1;  ///< the free zone behind it, into Ends::zones
};

/// A run, resolved.
struct Run {
  std::string id;
  int from = -1, to = -1;  ///< into Ends::ends
  int cable = -1;          ///< into Job::catalogue.cables
  Service service = Service::loudspeaker;
  bool provision = false;
  int spec = -1;  ///< into Job::runs
};

struct LoudspeakerPlace {
  std::string label;
  double azimuth_rad = 0, elevation_rad = 0, distance_m = 0;  ///< as placed, seen from the listener
  bool moved_within_range = false;  ///< the nominal direction was not possible
  int end = -1;
};

/// How cable reaches an end that stands on the floor away from every wall: from the foot of a wall
/// straight over the floor, then up to its tip. Both stretches lie free in zones of their own.
/// Where the job lets raceway lie on the floor, only the rise does: `wall` and `along_zone` are -1.
struct FloorWay {
  int end = -1;          ///< into Ends::ends
  int alternative = -1;  ///< -1 the present place, else into may_move_to
  int wall = -1;         ///< into Room::sheets
  Vec3 wall_foot;        ///< on the wall, at the floor
  Vec3 foot;             ///< on the floor, below the tip
  /// Part of it that lies in the open floor, under a ramp: from the wall's foot. 0 = none.
  double ramp_m = 0;
  int along_zone = -1;  ///< into Ends::zones: from the wall's foot to the end's
  int up_zone = -1;     ///< into Ends::zones: from the floor to the tip
};

/// An end that only a way over the open floor reaches, which the job does not allow.
struct RefusedFloorWay {
  int end = -1, alternative = -1;
  std::string why;  ///< what it would cross, and how to allow it
};

/// From where people look: a seat has one place a person, a door one.
struct EyePoint {
  std::string name;
  std::vector<Vec3> at;
  std::string how;  ///< how the place was found, for people
};

/// Every end at its place.
struct Ends {
  std::vector<End> ends;
  std::vector<Run> runs;
  std::vector<GearBox> gear;
  /// Room::zones first, in the same order, then those behind gear, then those of `floor_ways`.
  std::vector<Zone> zones;
  std::vector<FloorWay> floor_ways;
  std::vector<RefusedFloorWay> refused_floor_ways;
  std::optional<Vec3> listener;
  double facing_rad = 0;
  std::vector<LoudspeakerPlace> loudspeakers;
  std::vector<EyePoint> eyes;
  std::vector<Guess> guesses;
  std::vector<Error> problems;  ///< all at once: unknown names, two ends in one place, ...
};

}  // namespace roomloom
