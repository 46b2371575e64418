#include <algorithm>
#include <cmath>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/day.h"

namespace roomloom {

using Kind = HighThing::Kind;

// The later part of a day: pulling, what is done at ends, tests, and closing what was opened.

int Day::spot_of_end(int end) const {
  for (const int t : points_)
    if (element(w_.things, t).kind == Kind::end && element(w_.things, t).index == end)
      return spot_of_.at(t);
  return -1;
}

void Day::coil_at(const std::string& place, int run, int index) {
  const bool coiled =
      std::any_of(w_.terminations.begin(), w_.terminations.end(), [&](const Termination& one) {
        return one.run == run && one.end == index && one.state == "leave coiled";
      });
  if (!coiled || !coiled_.insert({run, index}).second) return;
  const std::string& id = element(w_.ends.runs, run).id;
  const std::string& end = element(w_.ends.ends, index).id;
  step(place, "fix a support", "Fix a support for the coil of " + id + " at " + end + ".", 1, {id},
       {end});
  const std::string hole = hole_for_later(run, index);
  std::string text = "Leave " + format_length(w_.job.prefer.coil_m, w_.job.units, 2) + " of " + id +
                     " coiled " + (hole.empty() ? "" : "above the tile ") + "at " + end +
                     " and hang the coil on it.";
  if (!hole.empty())
    text += " Nothing comes down through " + hole +
            " yet: close it with a blank until there is something to fit.";
  step(place, "coil and hang a cable", text, 1, {id}, {end});
}

std::string Day::hole_for_later(int run, int end) const {
  constexpr double kAtEnd_m = 0.15;
  const EndPlace& place = element(w_.ends.ends, end).place;
  if (place.home.kind != PlaceKind::sheet ||
      element(w_.room.sheets, place.home.index).role != SheetRole::suspended_ceiling)
    return "";
  for (std::size_t i = 0; i < w_.shapes.holes.size(); ++i) {
    const HoleShape& hole = w_.shapes.holes[i];
    if (element(w_.room.crossings, hole.crossing).kind == CrossingKind::tile_cut &&
        hole.runs == std::vector<int>{run} && distance(hole.centre, place.position) < kAtEnd_m)
      return hole.name;
  }
  return "";
}

void Day::pull() {
  double metres = 0, bundles = 0;
  for (const int run : order_) {
    const RunRow& row = row_of(run);
    if (row.lies() || is_cord(element(w_.ends.runs, run), w_.ends)) continue;
    pulled_.push_back(run);
    metres += row.cut_m;
  }
  for (const int t : points_)
    if (element(w_.things, t).kind == Kind::support) ++bundles;
  const std::vector<std::string> pieces = pieces_laid_in();
  step("from end to end", "pull a metre of cable",
       "Pull, the longest and stiffest first: " + listed(names_of(pulled_), ", ") + "." +
           (pieces.empty() ? "" : " Lay into the open raceway " + listed(pieces, ", ") + "."),
       metres, names_of(pulled_), pieces);
  step("from end to end", "tie a bundle",
       "Tie the bundles with hook-and-loop, not more than " +
           format_length(w_.job.work.tie_spacing_m, w_.job.units, 2) + " apart.",
       bundles);
}

std::string Day::led_into_text(int run) {
  std::vector<std::string> pieces, stands;
  for (std::size_t i = 0; i < w_.piece_runs.size(); ++i) {
    const auto& laid_in = w_.piece_runs[i].laid_in;
    if (std::find(laid_in.begin(), laid_in.end(), run) != laid_in.end())
      pieces.push_back(w_.takeoff.raceway_pieces[i].name);
  }
  std::set<int> spots;
  for (const int t : points_) {
    const HighThing& thing = element(w_.things, t);
    if (thing.kind != Kind::end && thing.kind != Kind::piece &&
        std::find(thing.runs.begin(), thing.runs.end(), run) != thing.runs.end())
      spots.insert(spot_of_.at(t));
  }
  for (const int spot : spots) stands.push_back(place_name(spot));
  return (stands.empty() ? "" : ", by way of " + listed(stands, ", ")) +
         (pieces.empty() ? "" : ", and lay it into the open raceway " + listed(pieces, ", ")) + ".";
}

void Day::lead_on() {
  for (const int run : order_) {
    const RunRow& row = row_of(run);
    const BuiltRun* built = row.lies() ? built_run(row, w_.job.as_built) : nullptr;
    if (!row.takes_over.empty()) {
      step("from end to end", "lead a lying cable on",
           "Free the ends of the cable of " + row.takes_over + ", which is " + row.id +
               " now, and lead them on to " + row.from + " and " + row.to + led_into_text(run),
           1, {row.id});
    } else if (built != nullptr) {
      const Run& one = element(w_.ends.runs, run);
      std::vector<std::string> moved;
      for (const int end : {one.from, one.to})
        if (ends_elsewhere(*built, element(w_.ends.ends, end).place.position))
          moved.push_back(element(w_.ends.ends, end).id);
      if (moved.empty()) continue;
      step("from end to end", "lead a lying cable on",
           "Free the lying cable of " + row.id +
               " at the end that was moved since, lead it on to " + listed(moved, " and ") +
               led_into_text(run),
           static_cast<double>(moved.size()), {row.id}, moved);
    }
  }
}

std::set<int> Day::fitting_spots() const {
  std::set<int> spots;
  for (const Termination& one : w_.terminations)
    if (has(one.run) && one.count > 0 && spot_of_end(one.end) >= 0)
      spots.insert(spot_of_end(one.end));
  return spots;
}

std::set<int> Day::closing_spots() const {
  std::set<int> spots;
  for (const auto& [tile, spot] : tile_place_) spots.insert(spot);
  for (const auto& [spot, pieces] : open_pieces_)
    if (spot >= 0 && !pieces.empty()) spots.insert(spot);
  return spots;
}

void Day::stand_at(int spot, bool back) {
  if (spot == ladder_at_) return;
  ++moves_;
  ladder_at_ = spot;
  const bool again = back && std::erase(stood_, spot) != 0;
  if (!back) std::erase(stood_, spot);
  stood_.push_back(spot);
  const std::string place = place_name(spot);
  const bool cleared = again || element(w_.spots, spot).free;
  step(place, "move the ladder",
       (again ? "Ladder back to " : "Ladder to ") + place +
           (cleared ? "." : "; what stands there must be moved first."),
       1);
}

std::map<int, std::vector<const Termination*>> Day::ends_by_spot() const {
  std::map<int, std::vector<const Termination*>> by_spot;
  for (const Termination& one : w_.terminations) {
    const bool to_coil = one.state == "leave coiled" && coiled_.count({one.run, one.end}) == 0;
    if (has(one.run) && (one.count > 0 || to_coil)) by_spot[spot_of_end(one.end)].push_back(&one);
  }
  for (const int spot : fitted_spots_) by_spot.erase(spot);
  return by_spot;
}

void Day::ends_of_lying(const std::vector<int>& round) {
  for (const auto& [spot, all] : ends_by_spot()) {
    if (spot < 0 || std::find(round.begin(), round.end(), spot) != round.end()) continue;
    stand_at(spot, false);
    fit(spot, all);
    fitted_spots_.insert(spot);
  }
}

void Day::ends() {
  std::map<int, std::vector<const Termination*>> by_spot = ends_by_spot();
  if (by_spot.count(-1) != 0) fit(-1, by_spot[-1]);
  // From where the ladder stands and back the way it came, last where a tile is to be put back.
  std::vector<int> spots;
  for (auto spot = stood_.rbegin(); spot != stood_.rend(); ++spot)
    if (by_spot.count(*spot) != 0) spots.push_back(*spot);
  if (spots.empty()) return;
  const std::set<int> closing = closing_spots();
  const auto closes = [&](int spot) { return closing.count(spot) != 0; };
  const auto rest = spots.begin() + (spots.front() == ladder_at_ ? 1 : 0);
  const auto nearest = std::find_if(rest, spots.end(), closes);
  if (nearest != spots.end()) std::rotate(nearest, nearest + 1, spots.end());
  for (const int spot : spots) {
    stand_at(spot, true);
    fit(spot, by_spot[spot]);
  }
  if (!closes(ladder_at_) && std::any_of(spots.begin(), spots.end(), closes)) fewest_stops_ = false;
}

void Day::fit(int spot, const std::vector<const Termination*>& all) {
  const std::string place = spot < 0 ? "at the ends" : place_name(spot);
  double count = 0;
  std::vector<std::string> at, runs, ends;
  for (const Termination* one : all) {
    if (one->state == "leave coiled") coil_at(place, one->run, one->end);
    if (one->count == 0) continue;
    count += one->count;
    runs.push_back(element(w_.ends.runs, one->run).id);
    ends.push_back(element(w_.ends.ends, one->end).id);
    at.push_back(runs.back() + " at " + ends.back());
  }
  step(place, "fit a connector", "Fit the connectors of " + listed(at, ", ") + ".", count, runs,
       ends);
}

void Day::cords() {
  std::vector<int> runs;
  for (const int run : order_)
    if (is_cord(element(w_.ends.runs, run), w_.ends)) runs.push_back(run);
  step("at the gear", "lay a cord", "Lay the cords " + listed(names_of(runs), ", ") + ".",
       static_cast<double>(runs.size()), names_of(runs));
}

void Day::ramps(bool down) {
  for (std::size_t i = 0; i < w_.takeoff.ramps.size(); ++i) {
    const RampRow& ramp = w_.takeoff.ramps[i];
    const auto crosses = [&](int run) {
      return !row_of(run).lies() &&
             std::count(ramp.runs.begin(), ramp.runs.end(), row_of(run).id) != 0;
    };
    // Over what lies already alone it is laid first of all.
    const bool alone = std::none_of(w_.order.begin(), w_.order.end(), crosses);
    const bool crossed = std::any_of(order_.begin(), order_.end(), crosses) ||
                         (alone && number_ == 1 && !ramp.there);
    const bool lies = ramp.there || done_.ramps.count(static_cast<int>(i)) != 0;
    if (!crossed || (!down && !lies)) continue;
    step("at the floor", "lay a metre of ramp",
         down ? "Lay " + ramp.name + " over " + listed(ramp.runs, ", ") + ", " +
                    format_length(ramp.length_m, w_.job.units, 2) + " from the foot of " +
                    ramp.wall + " to " + ramp.end + ", fix it down and mark it."
              : "Take " + ramp.name + " up: more cable is laid under it.",
         ramp.length_m, {}, {ramp.name});
    if (down) done_.ramps.insert(static_cast<int>(i));
  }
}

namespace {

/// How runs of one kind are tested, and how while an end of theirs is open.
struct TestOf {
  const char* whole;
  const char* open;
  const char* later;
};
const TestOf kPolarity{"continuity and polarity", "join the cores", "Polarity is"};
const TestOf kNetwork{"the wire map and link", "join the two wires of each pair",
                      "The wire map and the link are"};
const TestOf kFibre{"with a signal", "shine a light in", "The signal is"};
const TestOf kOther{"continuity, or with a signal,", "join the conductors", "The signal is"};

const TestOf& test_of(Service service) {
  return service == Service::loudspeaker ? kPolarity
         : service == Service::network   ? kNetwork
         : service == Service::fibre     ? kFibre
                                         : kOther;
}

std::string test_text(const TestOf& how, bool open, const std::string& runs) {
  if (!open)
    return std::string("Test ") + how.whole + " of " + runs + ", before anything is closed.";
  const bool light = &how == &kFibre;
  return "Before anything is closed, test " + std::string(light ? "" : "the continuity of ") +
         runs + ", as far as it can be with an end open: " + how.open +
         (light ? " at one end and look for it at the other. "
                : " at the open end, measure the loop at the other, and part them again. ") +
         how.later + " tested when the end is fitted.";
}

}  // namespace

void Day::tests() {
  for (const TestOf* how : {&kPolarity, &kNetwork, &kFibre, &kOther})
    for (const bool open : {false, true}) {
      std::vector<int> runs;
      for (const int run : order_)
        if (&test_of(element(w_.ends.runs, run).service) == how &&
            (element(w_.open_ends, run) != 0) == open)
          runs.push_back(run);
      step("at the ends", "test a run", test_text(*how, open, listed(names_of(runs), ", ")),
           static_cast<double>(runs.size()), names_of(runs));
    }
}

void Day::close(const std::vector<std::string>& opened) {
  std::map<int, std::vector<std::string>> tiles;
  for (const std::string& tile : opened) tiles[tile_place_.at(tile)].push_back(tile);
  // From where the ladder was left, and then the way back.
  const std::set<int> closing = closing_spots();
  std::vector<int> order;
  for (auto spot = stood_.rbegin(); spot != stood_.rend(); ++spot)
    if (closing.count(*spot) != 0) order.push_back(*spot);
  std::stable_partition(order.begin(), order.end(), [&](int spot) { return spot == ladder_at_; });
  for (const int spot : order) {
    stand_at(spot, true);
    const std::string place = place_name(spot);
    step(place, "put a tile back", "Put " + listed(tiles[spot], ", ") + " back.",
         static_cast<double>(tiles[spot].size()), {}, tiles[spot]);
    close_raceway(place, spot);
  }
}

}  // namespace roomloom
