#pragma once

#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "takeoff/cells.h"
#include "takeoff/round.h"
#include "takeoff/work_day.h"

namespace roomloom {

/// Builds the steps of one day for some runs.
class Day {
 public:
  Day(const DayWorld& world, DayProgress& progress, std::vector<LadderPlace>& places,
      std::map<int, std::string>& place_names, int number, DayPart part)
      : w_(world),
        done_(progress),
        places_(places),
        names_(place_names),
        number_(number),
        part_(part) {}

  std::vector<WorkStep> plan(const std::set<int>& runs);

  int moves() const { return moves_; }
  bool fewest_places() const { return standing_.proven || points_.empty(); }
  bool fewest_stops() const { return fewest_stops_; }

 private:
  bool has(int run) const { return in_day_[static_cast<std::size_t>(run)] != 0; }
  /// The steps of a day that only prepares.
  std::vector<WorkStep> prepare_all();
  bool is_done(const HighThing& thing) const;
  std::vector<std::string> names_of(const std::vector<int>& runs) const;
  void step(const std::string& place, const std::string& task, const std::string& text,
            double count, std::vector<std::string> runs = {}, std::vector<std::string> about = {});
  void choose_places();
  const std::string& place_name(int spot);
  const RunRow& row_of(int run) const { return element(w_.takeoff.runs, run); }
  void label();
  void raceway();
  bool is_wanted(int piece) const;
  bool is_laid_in_today(int piece) const;
  /// Names of holes under the ends of a piece that are cut on a later day, on which the piece is
  /// wanted again.
  std::vector<std::string> holes_to_come(int piece) const;
  std::vector<std::string> pieces_laid_in() const;
  /// Where one stands for a piece; -1: at the floor.
  int spot_of_piece(int piece) const;
  /// Of the pieces at a spot: lids off, and bases that are new on.
  void open_raceway(const std::string& place, int spot);
  /// Lids on, and over them what is fitted. Corners, joiners and ends come with the piece that they
  /// are counted with.
  void close_raceway(const std::string& place, int spot);
  void boxes();
  /// Holes that are cut standing on the floor.
  void low_holes();
  std::vector<std::vector<int>> spots_along() const;
  /// Which cables come from where and go where, in the order of pulling.
  std::string pass_text(const Visit& visit);
  /// How cables come over the ceiling to places that are too far off for a hand.
  std::string far_text(int spot, const std::set<int>& onward) const;
  void cut_hole(const std::string& place, int index);
  /// When the hole's grommet goes in.
  std::string lining_text(int index) const;
  /// Places at which there is more to do than to fit ends of cables that lie.
  std::vector<int> spots_of_round() const;
  std::vector<std::string> ladder_round();
  /// Where one stands for an end; -1: at the floor.
  int spot_of_end(int end) const;
  /// What is over at an end is coiled as soon as the cable is there.
  void coil_at(const std::string& place, int run, int index);
  /// The hole in a tile at an end in the ceiling that only a coil waits above; empty if none.
  std::string hole_for_later(int run, int end) const;
  /// What is done at a place before cable passes it.
  void prepare(const std::string& place, int spot, std::vector<std::string>& opened);
  void lift_tiles(const std::string& place, int spot, std::vector<std::string>& opened);
  void pull();
  /// Lying cables whose ends were moved since, or that other runs take over, to their new ends.
  void lead_on();
  /// "." or the places and the raceway by which a cable is led on.
  std::string led_into_text(int run);
  /// Ladder places from which connectors are fitted.
  std::set<int> fitting_spots() const;
  /// Tiles that are lifted for what is done from a spot.
  std::vector<std::string> tiles_over(int spot) const;
  /// As closing_spots, before any tile is lifted.
  std::set<int> spots_to_close() const;
  /// Ladder places at which a tile is put back or raceway is closed.
  std::set<int> closing_spots() const;
  /// The ladder to a place, or back to it.
  void stand_at(int spot, bool back);
  /// Connectors, and coils that no round came by: first at the floor, then from the ladder.
  void ends();
  /// What is to be done at ends still, by where one stands; -1: at the floor.
  std::map<int, std::vector<const Termination*>> ends_by_spot() const;
  /// Ends of cables that lie, at places which the round does not come by: first, since nothing
  /// waits for them.
  void ends_of_lying(const std::vector<int>& round);
  void fit(int spot, const std::vector<const Termination*>& all);
  void cords();
  /// Up with what lies of them, before cable is laid there, or down over it.
  void ramps(bool down);
  void tests();
  /// Tiles back, then raceway against them.
  void close(const std::vector<std::string>& opened);

  const DayWorld& w_;
  DayProgress& done_;
  std::vector<LadderPlace>& places_;
  std::map<int, std::string>& names_;
  int number_;
  DayPart part_;
  std::vector<int> order_, pulled_, points_;
  std::vector<char> in_day_;  ///< by run
  Standing standing_;
  std::map<int, int> spot_of_;                   ///< thing -> spot
  std::map<int, std::vector<int>> open_pieces_;  ///< by spot, -1: at the floor
  std::set<int> fresh_pieces_;                   ///< of those, fixed today
  std::vector<std::vector<int>> ways_;
  std::map<int, std::size_t> handed_;
  std::map<std::string, int> tile_place_;
  std::vector<int> stood_;                ///< spots, as they were left last
  std::set<int> fitted_spots_;            ///< before the round
  std::set<std::pair<int, int>> coiled_;  ///< run and end
  std::vector<WorkStep> steps_;
  int moves_ = 0;
  int ladder_at_ = -1;  ///< spot
  bool fewest_stops_ = true;
};

}  // namespace roomloom
