#pragma once

#include "types/takeoff.h"

namespace roomloom {

/// Ends on one face that lie as near as this share a box. Common practice, no source.
inline constexpr double kSameBox_m = 0.15;

/// What is fitted to one end of a run.
struct Termination {
  int run = -1, end = -1;  ///< into Ends::runs, Ends::ends
  std::string connector;   ///< "network plug"; empty where nothing is fitted now
  int count = 0;           ///< of the connector
  std::string box;         ///< name of the box it goes to: "B2"; empty for none
  std::string box_kind;    ///< "wall box with 2 ports"; only at the first end of each box
  bool box_there = false;  ///< its box was put up with what lies in it
  std::string state;       ///< "fit now", "leave unterminated", "leave coiled", "lies already"
  std::string pins;        ///< which row of the pin orders applies
};

/// One for each end of each run that has a way: from, then to. Ends on a wall that take a jack get
/// a box once they are fitted; such ends near each other on one wall share it, that of one that
/// lies among them.
std::vector<Termination> terminations_of(const Takeoff& takeoff, const Ends& ends, const Room& room,
                                         const Job& job);

/// Ends that are fitted now, and those left coiled or unterminated.
Table end_table(const std::vector<Termination>& terminations, const Ends& ends, const Room& room);
/// Which conductor goes to which pin, where a standard gives an order.
Table pin_table(const std::vector<Termination>& terminations);
/// Runs from component to component of one piece of gear.
Table cord_table(const Takeoff& takeoff, const Ends& ends);
/// A label for both ends of each run.
Table label_table(const Takeoff& takeoff, const Ends& ends, const Job& job);

/// Whether a run goes from one component to another of the same gear.
bool is_cord(const Run& run, const Ends& ends);

}  // namespace roomloom
