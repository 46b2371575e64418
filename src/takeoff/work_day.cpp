#include <algorithm>
#include <cmath>

#include "takeoff/cells.h"
#include "takeoff/day.h"
#include "takeoff/holes.h"
#include "takeoff/minutes.h"
#include "takeoff/raceway_record.h"
#include "takeoff/where.h"

namespace roomloom {

using Kind = HighThing::Kind;

std::vector<WorkStep> Day::plan(const std::set<int>& runs) {
  in_day_.assign(w_.takeoff.runs.size(), 0);
  for (const int run : w_.order)
    if (runs.count(run) != 0) {
      order_.push_back(run);
      in_day_[static_cast<std::size_t>(run)] = 1;
    }
  choose_places();
  if (part_ == DayPart::preparation) return prepare_all();
  label();
  boxes();
  raceway();
  low_holes();
  std::vector<std::string> opened = ladder_round();
  ramps(false);
  pull();
  lead_on();
  ends();
  cords();
  tests();
  ramps(true);
  close_raceway("at the floor", -1);
  close(opened);
  return std::move(steps_);
}

std::vector<WorkStep> Day::prepare_all() {
  boxes();
  raceway();
  low_holes();
  const std::vector<std::string> opened = ladder_round();
  close_raceway("at the floor", -1);
  close(opened);
  return std::move(steps_);
}

bool Day::is_done(const HighThing& thing) const {
  switch (thing.kind) {
    case Kind::hole:
      return done_.holes.count(thing.index) != 0 || element(w_.takeoff.holes, thing.index).existing;
    case Kind::support:
      return done_.supports.count(thing.index) != 0;
    case Kind::piece:
      return done_.pieces.count(thing.index) != 0;
    case Kind::end:
      break;
  }
  return true;  // an end has nothing to prepare
}

std::vector<std::string> Day::names_of(const std::vector<int>& runs) const {
  return run_ids(runs, w_.ends);
}

void Day::step(const std::string& place, const std::string& task, const std::string& text,
               double count, std::vector<std::string> runs, std::vector<std::string> about) {
  if (count <= 0) return;
  WorkStep one;
  one.day = number_;
  one.place = place;
  one.task = task;
  one.text = text;
  one.count = count;
  one.runs = std::move(runs);
  one.things = std::move(about);
  time_step(one, w_.job);
  steps_.push_back(std::move(one));
}

void Day::choose_places() {
  for (std::size_t t = 0; t < w_.things.size(); ++t) {
    const auto& runs = w_.things[t].runs;
    if (std::none_of(runs.begin(), runs.end(), [&](int run) { return has(run); })) continue;
    if (part_ == DayPart::preparation && is_done(w_.things[t])) continue;
    points_.push_back(static_cast<int>(t));
  }
  std::vector<HighPoint> at;
  std::vector<std::vector<int>> reached_from;
  for (const int t : points_) {
    at.push_back(element(w_.things, t).point);
    reached_from.push_back(element(w_.spots_for_things, t));
  }
  standing_ = choose_standing(at, reached_from, w_.spots);
  for (std::size_t i = 0; i < points_.size(); ++i) spot_of_[points_[i]] = standing_.spot_of[i];
}

const std::string& Day::place_name(int spot) {
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

void Day::label() {
  std::vector<int> cut, taken;
  std::vector<std::string> leads, lead_words;
  for (const int run : order_) {
    const RunRow& row = row_of(run);
    if (!row.takes_over.empty()) taken.push_back(run);
    if (row.lies()) continue;
    if (row.lead_m <= 0) {
      cut.push_back(run);
      continue;
    }
    leads.push_back(row.id);
    lead_words.push_back(row.id + " (" + format_length(row.lead_m, w_.job.units, 2) + ")");
  }
  step("at the spools", "label an end",
       "Cut by the list of spools and put a label on both ends of " + listed(names_of(cut), ", ") +
           ".",
       2.0 * static_cast<double>(cut.size()), names_of(cut));
  step("at the spools", "label an end",
       "Take the ready-made leads, never to be cut, and put a label on both ends of " +
           listed(lead_words, ", ") + ".",
       2.0 * static_cast<double>(leads.size()), leads);
  for (const int run : taken) {
    const RunRow& row = row_of(run);
    step("at the ends", "label an end",
         "Take the labels of " + row.takes_over + " off its lying cable and put those of " +
             row.id + " on.",
         2, {row.id});
  }
}

void Day::boxes() {
  std::vector<std::string> fresh, cut;
  for (const BoxWants& box : w_.boxes) {
    if (done_.boxes.count(box.name) != 0) continue;
    // Raceway is fixed up to the sides of the boxes on its way.
    const bool wanted =
        std::any_of(box.runs.begin(), box.runs.end(), [&](int run) { return has(run); }) ||
        std::any_of(box.pieces.begin(), box.pieces.end(),
                    [&](int piece) { return done_.pieces.count(piece) == 0 && is_wanted(piece); });
    if (!wanted) continue;
    done_.boxes.insert(box.name);
    fresh.push_back(box.name);
    for (const OutletBox& one : w_.takeoff.boxes)
      if (one.name == box.name)
        for (const std::string& piece : pieces_through(one, w_.room, w_.job.as_built))
          cut.push_back(piece + " at " + box.name);
  }
  std::string text = "Mount boxes " + listed(fresh, ", ") + ".";
  if (!cut.empty())
    text +=
        " Raceway that is fixed is in the way: cut it off at the sides of the box, clear of the "
        "cables in it: " +
        listed(cut, ", ") + ".";
  step("at the floor", "mount a box", text, static_cast<double>(fresh.size()), {}, fresh);
}

void Day::low_holes() {
  for (std::size_t i = 0; i < w_.shapes.holes.size(); ++i) {
    const auto& runs = w_.shapes.holes[i].runs;
    const bool wanted = std::any_of(runs.begin(), runs.end(), [&](int run) { return has(run); });
    const bool high = std::any_of(points_.begin(), points_.end(), [&](int t) {
      const HighThing& thing = element(w_.things, t);
      return thing.kind == Kind::hole && thing.index == static_cast<int>(i);
    });
    if (!wanted || high || !done_.holes.insert(static_cast<int>(i)).second) continue;
    cut_hole("at the floor", static_cast<int>(i));
  }
}

std::vector<std::vector<int>> Day::spots_along() const {
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

std::string Day::pass_text(const Visit& visit) {
  using FromTo = std::pair<std::string, std::string>;
  std::vector<std::pair<FromTo, std::vector<std::string>>> handed;
  std::set<int> onward;
  for (const int run : visit.runs) {
    const auto& way = element(ways_, run);
    const Run& one = element(w_.ends.runs, run);
    const End &first = element(w_.ends.ends, one.from), &last = element(w_.ends.ends, one.to);
    std::size_t& at = handed_[run];
    const std::string from = at > 0               ? place_name(way[at - 1])
                             : first.gear.empty() ? first.id
                                                  : first.gear;
    ++at;
    const FromTo way_on{from, at < way.size() ? place_name(way[at]) : last.id};
    if (at < way.size()) onward.insert(way[at]);
    if (handed.empty() || handed.back().first != way_on) handed.push_back({way_on, {}});
    handed.back().second.push_back(one.id);
  }
  std::string text = "Hand on, in this order: ";
  for (std::size_t i = 0; i < handed.size(); ++i)
    text += (i > 0 ? "; " : "") + listed(handed[i].second, ", ") + " from " +
            handed[i].first.first + " to " + handed[i].first.second;
  return text + "." + far_text(visit.spot, onward);
}

std::string Day::far_text(int spot, const std::set<int>& onward) const {
  std::string text;
  for (const int next : onward) {
    const Vec3 way = element(w_.spots, next).floor - element(w_.spots, spot).floor;
    const double metres = std::hypot(way.x, way.y);
    if (metres <= 2 * w_.job.work.reach_m + 1e-6 || tiles_over(spot).empty() ||
        tiles_over(next).empty())
      continue;
    text += " To " + names_.at(next) + " it is " + format_length(metres, w_.job.units, 1) +
            ", farther than two arms reach: push the cables over with a rod, or pull them with a "
            "draw line.";
  }
  return text;
}

void Day::cut_hole(const std::string& place, int index) {
  const HoleRow& hole = element(w_.takeoff.holes, index);
  if (hole.existing) return;
  const std::string now = hole.to_widen() ? "Widen " : "Mark and cut ";
  std::string text = now + hole.name + " in " + hole.crossing + ": " +
                     size_text(hole.diameter_m, w_.job.units) + " wide";
  if (hole.to_widen()) text += " instead of " + size_text(hole.built_m, w_.job.units);
  if (hole.diameter_m > hole.bare_m + 1e-6) text += ", as its grommet asks";
  const TileOf in =
      tile_of(element(w_.room.crossings, element(w_.shapes.holes, index).crossing), w_.room);
  if (in.grid != nullptr) {
    const TileSides sides = tile_sides(w_.room, *in.grid, hole.centre);
    // To the millimetre, as the ceiling sheet has it.
    text += ", " + format_size(hole.from_edge_u_m, w_.job.units, 0) + " from the tile's side " +
            sides.first + " and " + format_size(hole.from_edge_v_m, w_.job.units, 0) +
            " from its side " + sides.second;
  }
  step(place, "cut a hole", text + "." + lining_text(index), 1, hole.runs, {hole.name});
}

std::string Day::lining_text(int index) const {
  const HoleShape& shape = element(w_.shapes.holes, index);
  if (shape.grommet < 0) return "";
  const GrommetType& grommet = element(w_.job.catalogue.grommets, shape.grommet);
  if (grommet.kind == "plate")
    return " Its " + grommet.id + " goes on when all cables are through.";
  double head = 0;
  for (const int run : shape.runs)
    head = std::max(
        head, head_diagonal_m(element(w_.job.catalogue.cables, element(w_.ends.runs, run).cable)));
  const bool lies = std::any_of(shape.runs.begin(), shape.runs.end(), [&](int run) {
    return row_of(run).lies() &&
           needs_nothing_at(row_of(run), shape.centre, w_.ends, w_.job.as_built);
  });
  if (lies)
    return " Put a split " + grommet.id + " round the cable that lies in it and what comes.";
  return head <= grommet.passes_m + 1e-9
             ? " Put " + grommet.id + " into it before any cable passes."
             : " Its " + grommet.id +
                   " is narrower than a plug: put a split one round the cables when the plugs are "
                   "through.";
}

std::vector<int> Day::spots_of_round() const {
  std::set<int> spots;
  for (const auto& way : ways_) spots.insert(way.begin(), way.end());
  for (const int t : points_)
    if (element(w_.things, t).kind != Kind::end) spots.insert(spot_of_.at(t));
  std::vector<int> all;
  for (const int spot : standing_.spots)
    if (spots.count(spot) != 0 || !tiles_over(spot).empty()) all.push_back(spot);
  return all;
}

std::vector<std::string> Day::ladder_round() {
  if (part_ == DayPart::all) ways_ = spots_along();
  ways_.resize(w_.along.size());
  std::vector<std::string> opened;
  std::set<int> seen;
  const std::vector<int> spots = spots_of_round();
  ends_of_lying(spots);
  std::set<int> last = fitting_spots();
  std::erase_if(
      last, [&](int spot) { return std::find(spots.begin(), spots.end(), spot) == spots.end(); });
  if (last.empty()) last = spots_to_close();
  const Round round = round_of(spots, order_, ways_, w_.spots, last);
  fewest_stops_ = round.fewest && round.ends_well;
  for (const Visit& visit : round.visits) {
    stand_at(visit.spot, false);
    const std::string place = place_name(visit.spot);
    if (seen.insert(visit.spot).second) prepare(place, visit.spot, opened);
    if (visit.runs.empty()) continue;
    step(place, "pass a cable on", pass_text(visit), static_cast<double>(visit.runs.size()),
         names_of(visit.runs));
    for (const int run : visit.runs)
      if (handed_[run] == element(ways_, run).size() &&
          spot_of_end(element(w_.ends.runs, run).to) == visit.spot)
        coil_at(place, run, element(w_.ends.runs, run).to);
  }
  return opened;
}

void Day::prepare(const std::string& place, int spot, std::vector<std::string>& opened) {
  lift_tiles(place, spot, opened);
  std::vector<std::string> hooks;
  for (const int t : points_) {
    const HighThing& thing = element(w_.things, t);
    if (spot_of_.at(t) != spot) continue;
    if (thing.kind == Kind::hole && done_.holes.insert(thing.index).second)
      cut_hole(place, thing.index);
    if (thing.kind == Kind::support && done_.supports.insert(thing.index).second)
      hooks.push_back("K" + std::to_string(thing.index + 1));
  }
  open_raceway(place, spot);
  step(place, "fix a support", "Fix supports " + listed(hooks, ", ") + " to the structure above.",
       static_cast<double>(hooks.size()), {}, hooks);
}

std::vector<std::string> Day::tiles_over(int spot) const {
  std::vector<std::string> tiles;
  const bool above = std::any_of(points_.begin(), points_.end(), [&](int t) {
    return spot_of_.at(t) == spot && element(w_.things, t).point.over_ceiling;
  });
  if (above) tiles.push_back(element(w_.spots, spot).tile);
  for (const int t : points_) {
    const HighThing& thing = element(w_.things, t);
    if (spot_of_.at(t) == spot && thing.kind == Kind::hole)
      tiles.push_back(element(w_.takeoff.holes, thing.index).tile);
  }
  std::erase(tiles, "");
  return tiles;
}

std::set<int> Day::spots_to_close() const {
  std::set<int> spots = closing_spots();
  for (const int spot : standing_.spots)
    if (!tiles_over(spot).empty()) spots.insert(spot);
  return spots;
}

void Day::lift_tiles(const std::string& place, int spot, std::vector<std::string>& opened) {
  std::vector<std::string> lifted;
  for (const std::string& tile : tiles_over(spot)) {
    if (std::find(opened.begin(), opened.end(), tile) != opened.end()) continue;
    opened.push_back(tile);
    lifted.push_back(tile);
    tile_place_[tile] = spot;
  }
  step(place, "lift a tile", "Lift " + listed(lifted, ", ") + ".",
       static_cast<double>(lifted.size()), {}, lifted);
}

PlannedDay plan_day(const DayWorld& world, const std::set<int>& runs, int number,
                    DayProgress& progress, std::vector<LadderPlace>& places,
                    std::map<int, std::string>& place_names, DayPart part) {
  Day day(world, progress, places, place_names, number, part);
  PlannedDay planned;
  planned.steps = day.plan(runs);
  planned.moves = day.moves();
  planned.fewest_places = day.fewest_places();
  planned.fewest_stops = day.fewest_stops();
  return planned;
}

}  // namespace roomloom
