#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace roomloom {

/// A straight stretch of a run's way as a written plan tells it. Metres, room frame.
struct WayStretch {
  Vec3 from, to;
  std::string kind;            ///< "sheet", "void", "zone", "conduit" or "crossing"
  std::string place;           ///< name of that sheet, void, zone, conduit or crossing
  std::string medium;          ///< as to_string(Medium) has it
  std::string raceway;         ///< size that covers it, or empty
  int count = 1;               ///< of these side by side
  int beside = 0;              ///< the run lies in the one that is so many widths off the track
  double hole_diameter_m = 0;  ///< of a crossing
};

/// Where a run lies, or lay in the plan before: from end to end.
struct WrittenWay {
  std::string run;
  std::vector<WayStretch> stretches;
  bool held = false;    ///< it lies there and does not move; else a plan starts from it
  bool led_on = false;  ///< a cable lies there that the run takes over; its ends are led on
};

/// A run that lies in the room. Lengths in metres.
struct BuiltRun {
  std::string id;
  double measured_m = 0;         ///< between its cut ends, by tape or as difference of jacket marks
  double predicted_m = 0;        ///< cut length in the plan that it was pulled by; 0 = not known
  double drawn_m = 0;            ///< drawn length there
  std::vector<std::string> way;  ///< names of the crossings it passes
  std::vector<WayStretch> track;  ///< where it lies; empty in records of before
  std::string plan, spool;        ///< which plan's spool it was cut from; empty = not told
  std::string cable, colour;      ///< its own, which are that spool's
  double spool_m = 0;             ///< length of that spool before any cut
  bool from_shelf = false;        ///< it lay on the shelf
  bool in_house = false;          ///< the house file's stock holds what is left of it
  bool provision = false;         ///< it was pulled for gear that comes later
  /// Of a provision: runs of the plan that it was pulled by, which have cables of their own.
  std::vector<std::string> planned_beside;
  bool open_from = false, open_to = false;  ///< that end was left coiled or without a connector
  std::string label = {};  ///< what hangs on its ends, but for the last letter: "AHSR-A28-N1"
};

/// A hole that is cut.
struct BuiltHole {
  std::string crossing;
  Vec3 at;                ///< its middle, on the side that the crossing is entered from
  double diameter_m = 0;  ///< 0 = not told, and nor is `at`
  std::string name = {};  ///< in the plan that it was cut by: "H3"
  /// Where the ways of that plan pass it, on the same side: lanes may lie beside its middle.
  std::optional<Vec3> passed_at = {};
};

/// A shorter rest of a spool, or of a length of raceway, is waste. Common practice, no source.
inline constexpr double kShortestLeft_m = 0.1, kShortestRaceway_m = 0.3;

/// A piece of raceway that is fixed, by where it is.
struct BuiltRaceway {
  std::string raceway, on, corner;
  double start_along_m = 0, start_up_m = 0, end_along_m = 0, end_up_m = 0;
  std::string plan, stock;  ///< which plan's length it was cut from; empty = not told
  double stock_m = 0;       ///< that length before any cut
  double cut_m = 0;         ///< what the piece took of it, kerf included
  bool from_shelf = false;  ///< it lay on the shelf
  bool in_house = false;    ///< the house file's stock holds what is left of it
  std::string name = {};    ///< in the plan that it was fixed by: "R3"
  std::string start_is = {}, end_is = {};  ///< made so: "square, tee 40 x 25"
  /// From the tracks that it was planned on to its own line: 0, or some widths where others lie
  /// beside it. None: it lies on its track.
  std::vector<Vec3> aside = {};
};

/// Names that a plan gave, and where: later plans call the same thing by the same name.
struct GivenNames {
  std::vector<BuiltHole> holes;
  std::vector<BuiltRaceway> raceway;
};

/// What a task took.
struct BuiltMinutes {
  std::string task;
  double count = 0, minutes = 0;
};

/// What was recorded while building.
struct AsBuilt {
  std::vector<BuiltRun> runs;
  std::vector<BuiltHole> holes;
  std::vector<std::string> tiles;       ///< names of tiles that are back in place
  std::vector<std::string> draw_cords;  ///< names of crossings and conduits that hold one
  std::vector<BuiltRaceway> raceway;
  std::vector<BuiltMinutes> minutes;
  GivenNames names;  ///< of the last plan that was recorded by, built or not

  bool empty() const {
    return runs.empty() && holes.empty() && tiles.empty() && draw_cords.empty() &&
           raceway.empty() && minutes.empty();
  }
};

}  // namespace roomloom
