#include "takeoff/work_day.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/high_work.h"
#include "takeoff/minutes.h"
#include "takeoff/round.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

using Kind = HighThing::Kind;

/// Builds the steps of one day for some runs.
class Day {
 public:
  Day(const DayWorld& world, DayProgress& progress, std::vector<LadderPlace>& places,
      std::map<int, std::string>& place_names, int number)
      : w_(world), done_(progress), places_(places), names_(place_names), number_(number) {}

  std::vector<WorkStep> plan(const std::set<int>& runs, bool last) {
    for (const int run : w_.order)
      if (runs.count(run) != 0) order_.push_back(run);
    choose_places();
    label();
    raceway(last);
    boxes();
    low_holes();
    std::vector<std::string> opened = ladder_round();
    pull();
    ends();
    cords();
    tests();
    close(opened);
    return std::move(steps_);
  }

  int moves() const { return moves_; }
  bool fewest_places() const { return standing_.proven || points_.empty(); }
  bool fewest_stops() const { return fewest_stops_; }

 private:
  bool has(int run) const { return std::find(order_.begin(), order_.end(), run) != order_.end(); }

  std::vector<std::string> names_of(const std::vector<int>& runs) const {
    std::vector<std::string> all;
    for (const int run : runs) all.push_back(element(w_.ends.runs, run).id);
    return all;
  }

  void step(const std::string& place, const std::string& task, const std::string& text,
            double count, std::vector<std::string> runs = {}, std::vector<std::string> about = {}) {
    if (count <= 0) return;
    WorkStep one;
    one.day = number_;
    one.place = place;
    one.task = task;
    one.text = text;
    one.count = count;
    one.runs = std::move(runs);
    one.things = std::move(about);
    time_step(one, w_.job.work);
    steps_.push_back(std::move(one));
  }

  void choose_places() {
    for (std::size_t t = 0; t < w_.things.size(); ++t) {
      const auto& runs = w_.things[t].runs;
      if (std::none_of(runs.begin(), runs.end(), [&](int run) { return has(run); })) continue;
      points_.push_back(static_cast<int>(t));
    }
    std::vector<HighPoint> at;
    for (const int t : points_) at.push_back(element(w_.things, t).point);
    standing_ = choose_standing(at, w_.spots, w_.job.work.reach_m);
    for (std::size_t i = 0; i < points_.size(); ++i) spot_of_[points_[i]] = standing_.spot_of[i];
  }

  const std::string& place_name(int spot) {
    const auto found = names_.find(spot);
    if (found != names_.end()) return found->second;
    const Spot& at = element(w_.spots, spot);
    LadderPlace place;
    place.name = "L" + std::to_string(places_.size() + 1);
    place.floor = at.floor;
    place.tile = at.tile;
    place.free = at.free;
    place.where = spot_words(at, w_.room, w_.job.units);
    places_.push_back(place);
    return names_[spot] = place.name;
  }

  void label() {
    const auto ids = names_of(order_);
    if (ids.empty()) return;
    step("at the spools", "label an end",
         "Cut by the list of spools and put a label on both ends of " + listed(ids, ", ") + ".",
         2.0 * static_cast<double>(ids.size()), ids);
  }

  void raceway(bool last) {
    std::vector<std::string> cut, fix;
    double metres = 0;
    for (std::size_t i = 0; i < w_.takeoff.raceway_pieces.size(); ++i) {
      const RacewayPiece& piece = w_.takeoff.raceway_pieces[i];
      const bool wanted =
          std::any_of(piece.runs.begin(), piece.runs.end(), [&](int run) { return has(run); });
      if (!wanted || !done_.pieces.insert(static_cast<int>(i)).second) continue;
      cut.push_back(piece.name);
      if (is_high_piece(static_cast<int>(i))) {
        high_pieces_.insert(static_cast<int>(i));
        continue;
      }
      fix.push_back(piece.name);
      metres += piece.length_m;
    }
    step("at the floor", "cut raceway", "Cut raceway " + listed(cut, ", ") + ".",
         static_cast<double>(cut.size()), {}, cut);
    step("at the floor", "fix a metre of raceway", "Fix raceway " + listed(fix, ", ") + ".", metres,
         {}, fix);
    fittings(last);
  }

  /// Fittings come with the pieces: as many of them as of the pieces, all by the last day.
  void fittings(bool last) {
    int all = 0;
    for (const RacewayFitting& fitting : w_.takeoff.raceway_fittings) all += fitting.count;
    if (w_.takeoff.raceway_pieces.empty()) return;
    const auto pieces = static_cast<double>(w_.takeoff.raceway_pieces.size());
    int due = static_cast<int>(
        std::floor(all * static_cast<double>(done_.pieces.size()) / pieces + 1e-9));
    if (last) due = all;
    step("at the floor", "fit a raceway fitting", "Fit the raceway's corners, joiners and ends.",
         due - done_.fittings);
    done_.fittings = std::max(due, done_.fittings);
  }

  bool is_high_piece(int piece) const {
    return std::any_of(points_.begin(), points_.end(), [&](int t) {
      const HighThing& thing = element(w_.things, t);
      return thing.kind == Kind::piece && thing.index == piece;
    });
  }

  void boxes() {
    std::vector<std::string> fresh;
    for (const Termination& one : w_.terminations)
      if (has(one.run) && !one.box.empty() && done_.boxes.insert(one.box).second)
        fresh.push_back(one.box);
    step("at the floor", "mount a box", "Mount boxes " + listed(fresh, ", ") + ".",
         static_cast<double>(fresh.size()), {}, fresh);
  }

  /// Holes that are cut standing on the floor.
  void low_holes() {
    for (std::size_t i = 0; i < w_.shapes.holes.size(); ++i) {
      const auto& runs = w_.shapes.holes[i].runs;
      const bool wanted = std::any_of(runs.begin(), runs.end(), [&](int run) { return has(run); });
      const bool high = std::any_of(points_.begin(), points_.end(), [&](int t) {
        const HighThing& thing = element(w_.things, t);
        return thing.kind == Kind::hole && thing.index == static_cast<int>(i);
      });
      if (!wanted || high || !done_.holes.insert(static_cast<int>(i)).second) continue;
      const HoleRow& hole = w_.takeoff.holes[i];
      if (!hole.existing)
        step("at the floor", "cut a hole", hole_text(hole), 1, hole.runs, {hole.name});
    }
  }

  std::vector<std::vector<int>> spots_along() const {
    std::vector<std::vector<int>> ways(w_.along.size());
    for (const int run : order_) {
      auto& way = ways[static_cast<std::size_t>(run)];
      for (const int thing : element(w_.along, run)) {
        const int spot = spot_of_.at(thing);
        if (spot >= 0 && (way.empty() || way.back() != spot)) way.push_back(spot);
      }
    }
    return ways;
  }

  /// Places seen from a run's second place on are told where the cable comes from and goes to.
  std::string pass_text(const Visit& visit) {
    std::map<std::string, std::vector<std::string>> onward;
    std::vector<std::string> to_order;
    for (const int run : visit.runs) {
      const auto& way = element(ways_, run);
      std::size_t& at = handed_[run];
      ++at;
      const std::string to = at < way.size()
                                 ? place_name(way[at])
                                 : element(w_.ends.ends, element(w_.ends.runs, run).to).id;
      if (onward.find(to) == onward.end()) to_order.push_back(to);
      onward[to].push_back(element(w_.ends.runs, run).id);
    }
    std::string text = "Hand on, in this order: ";
    for (std::size_t i = 0; i < to_order.size(); ++i)
      text += (i > 0 ? "; " : "") + listed(onward[to_order[i]], ", ") + " to " + to_order[i];
    return text + ".";
  }

  std::string hole_text(const HoleRow& hole) const {
    std::string text = "Mark and cut " + hole.name + " in " + hole.crossing + ": " +
                       size_text(hole.diameter_m, w_.job.units) + " wide";
    if (!hole.tile.empty())
      text += ", " + size_text(hole.from_edge_u_m, w_.job.units) +
              " from the tile's left side and " + size_text(hole.from_edge_v_m, w_.job.units) +
              " from its near side";
    return text + ".";
  }

  std::vector<std::string> ladder_round() {
    ways_ = spots_along();
    std::vector<std::string> opened;
    std::set<int> seen;
    const Round round = round_of(standing_.spots, order_, ways_, w_.spots);
    fewest_stops_ = round.fewest;
    for (const Visit& visit : round.visits) {
      ladder_at_ = visit.spot;
      const std::string place = place_name(visit.spot);
      const Spot& spot = element(w_.spots, visit.spot);
      ++moves_;
      step(place, "move the ladder",
           "Ladder to " + place + ": " + spot_words(spot, w_.room, w_.job.units) +
               (spot.free ? "." : "; what stands there must be moved first."),
           1);
      if (seen.insert(visit.spot).second) prepare(place, visit.spot, opened);
      if (visit.runs.empty()) continue;
      step(place, "pass a cable on", pass_text(visit), static_cast<double>(visit.runs.size()),
           names_of(visit.runs));
    }
    return opened;
  }

  /// What is done at a place before cable passes it.
  void prepare(const std::string& place, int spot, std::vector<std::string>& opened) {
    lift_tiles(place, spot, opened);
    std::vector<std::string> hooks;
    for (const int t : points_) {
      const HighThing& thing = element(w_.things, t);
      if (spot_of_.at(t) != spot) continue;
      if (thing.kind == Kind::hole && done_.holes.insert(thing.index).second) {
        const HoleRow& hole = element(w_.takeoff.holes, thing.index);
        if (!hole.existing) step(place, "cut a hole", hole_text(hole), 1, hole.runs, {hole.name});
      }
      if (thing.kind == Kind::support && done_.supports.insert(thing.index).second)
        hooks.push_back("K" + std::to_string(thing.index + 1));
      if (thing.kind == Kind::piece && high_pieces_.erase(thing.index) != 0) {
        const RacewayPiece& piece = element(w_.takeoff.raceway_pieces, thing.index);
        step(place, "fix a metre of raceway", "Fix raceway " + piece.name + ".", piece.length_m,
             names_of(piece.runs), {piece.name});
      }
    }
    step(place, "fix a support", "Fix supports " + listed(hooks, ", ") + " to the structure above.",
         static_cast<double>(hooks.size()), {}, hooks);
  }

  void lift_tiles(const std::string& place, int spot, std::vector<std::string>& opened) {
    std::vector<std::string> lifted;
    const auto lift = [&](const std::string& tile) {
      if (tile.empty() || std::find(opened.begin(), opened.end(), tile) != opened.end()) return;
      opened.push_back(tile);
      lifted.push_back(tile);
    };
    const bool above = std::any_of(points_.begin(), points_.end(), [&](int t) {
      return spot_of_.at(t) == spot && element(w_.things, t).point.over_ceiling;
    });
    if (above) lift(element(w_.spots, spot).tile);
    for (const int t : points_) {
      const HighThing& thing = element(w_.things, t);
      if (spot_of_.at(t) == spot && thing.kind == Kind::hole)
        lift(element(w_.takeoff.holes, thing.index).tile);
    }
    for (const std::string& tile : lifted) tile_place_[tile] = spot;
    step(place, "lift a tile", "Lift " + listed(lifted, ", ") + ".",
         static_cast<double>(lifted.size()), {}, lifted);
  }

  void pull() {
    double metres = 0, bundles = 0;
    for (const int run : order_) {
      const RunRow& row = element(w_.takeoff.runs, run);
      if (is_cord(element(w_.ends.runs, run), w_.ends)) continue;
      pulled_.push_back(run);
      metres += row.cut_m;
    }
    for (const int t : points_)
      if (element(w_.things, t).kind == Kind::support) ++bundles;
    step("from end to end", "pull a metre of cable",
         "Pull, the longest and stiffest first: " + listed(names_of(pulled_), ", ") + ".", metres,
         names_of(pulled_));
    step("from end to end", "tie a bundle",
         "Tie the bundles with hook-and-loop, not more than " +
             format_length(w_.job.work.tie_spacing_m, w_.job.units, 2) + " apart.",
         bundles);
  }

  void ends() {
    for (const Termination& one : w_.terminations) {
      if (!has(one.run) || one.state != "leave coiled") continue;
      const End& end = element(w_.ends.ends, one.end);
      step("at the ends", "coil and hang a cable",
           "Leave " + format_length(w_.job.prefer.coil_m, w_.job.units, 2) + " of " +
               element(w_.ends.runs, one.run).id + " coiled at " + end.id +
               " and hang the coil on a support of its own.",
           1, {element(w_.ends.runs, one.run).id}, {end.id});
    }
    double count = 0;
    std::vector<std::string> at;
    for (const Termination& one : w_.terminations) {
      if (!has(one.run) || one.count == 0) continue;
      count += one.count;
      at.push_back(element(w_.ends.runs, one.run).id + " at " + element(w_.ends.ends, one.end).id);
    }
    step("at the ends", "fit a connector", "Fit the connectors of " + listed(at, ", ") + ".", count,
         {}, {});
  }

  void cords() {
    std::vector<int> runs;
    for (const int run : order_)
      if (is_cord(element(w_.ends.runs, run), w_.ends)) runs.push_back(run);
    step("at the gear", "lay a cord", "Lay the cords " + listed(names_of(runs), ", ") + ".",
         static_cast<double>(runs.size()), names_of(runs));
  }

  void tests() {
    std::vector<std::string> polarity, network, other;
    for (const int run : order_) {
      const Run& one = element(w_.ends.runs, run);
      (one.service == Service::loudspeaker ? polarity
       : one.service == Service::network   ? network
                                           : other)
          .push_back(one.id);
    }
    test("Test continuity and polarity of ", polarity);
    test("Test the wire map and link of ", network);
    test("Test continuity, or with a signal, of ", other);
  }

  void test(const std::string& words, const std::vector<std::string>& runs) {
    step("at the ends", "test a run", words + listed(runs, ", ") + ", before anything is closed.",
         static_cast<double>(runs.size()), runs);
  }

  void close(const std::vector<std::string>& opened) {
    std::map<int, std::vector<std::string>> by_spot;
    std::vector<int> order;
    for (const std::string& tile : opened) {
      const int spot = tile_place_.at(tile);
      if (by_spot.find(spot) == by_spot.end()) order.push_back(spot);
      by_spot[spot].push_back(tile);
    }
    // From where the ladder was left, and then the way back.
    std::reverse(order.begin(), order.end());
    std::stable_partition(order.begin(), order.end(), [&](int spot) { return spot == ladder_at_; });
    for (const int spot : order) {
      const std::string place = place_name(spot);
      if (spot != ladder_at_) {
        ++moves_;
        step(place, "move the ladder", "Ladder back to " + place + ".", 1);
      }
      step(place, "put a tile back", "Put " + listed(by_spot[spot], ", ") + " back.",
           static_cast<double>(by_spot[spot].size()), {}, by_spot[spot]);
    }
  }

  const DayWorld& w_;
  DayProgress& done_;
  std::vector<LadderPlace>& places_;
  std::map<int, std::string>& names_;
  int number_;
  std::vector<int> order_, pulled_, points_;
  Standing standing_;
  std::map<int, int> spot_of_;  ///< thing -> spot
  std::set<int> high_pieces_;
  std::vector<std::vector<int>> ways_;
  std::map<int, std::size_t> handed_;
  std::map<std::string, int> tile_place_;
  std::vector<WorkStep> steps_;
  int moves_ = 0;
  int ladder_at_ = -1;  ///< spot
  bool fewest_stops_ = true;
};

}  // namespace

PlannedDay plan_day(const DayWorld& world, const std::set<int>& runs, bool last, int number,
                    DayProgress& progress, std::vector<LadderPlace>& places,
                    std::map<int, std::string>& place_names) {
  Day day(world, progress, places, place_names, number);
  PlannedDay planned;
  planned.steps = day.plan(runs, last);
  planned.moves = day.moves();
  planned.fewest_places = day.fewest_places();
  planned.fewest_stops = day.fewest_stops();
  return planned;
}

}  // namespace roomloom
