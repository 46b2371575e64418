#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"
#include "geometry/arc.h"
#include "trade/pulling.h"

namespace roomloom::check {
namespace {

/// A run of closed way between two places where it can be opened.
struct ClosedWay {
  TradePlace place;
  double from_m = 0, to_m = 0;  ///< along the drawn line
  double metres() const { return to_m - from_m; }
};

std::vector<ClosedWay> closed_ways(const TradeView& view, const TradeRun& run) {
  std::vector<ClosedWay> ways;
  double s = 0;
  for (const TradeStretch& stretch : run.stretches) {
    if (closed_way(view, stretch.place)) ways.push_back({stretch.place, s, s + stretch.metres});
    s += stretch.metres;
  }
  return ways;
}

/// The run's polyline between two of its metres.
std::vector<Vec3> line_between(const std::vector<Vec3>& line, double from_m, double to_m) {
  std::vector<Vec3> part;
  double s = 0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = distance(line[i], line[i + 1]);
    const double low = std::max(from_m, s), high = std::min(to_m, s + length);
    if (length > 0 && high > low) {
      const auto at = [&](double m) {
        return line[i] + ((m - s) / length) * (line[i + 1] - line[i]);
      };
      if (part.empty()) part.push_back(at(low));
      part.push_back(at(high));
    }
    s += length;
  }
  return part;
}

std::vector<trade::PullLeg> legs_of(const std::vector<Vec3>& line) {
  std::vector<trade::PullLeg> legs;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec3 way = line[i + 1] - line[i];
    const double bend = i + 2 < line.size() ? angle_between(way, line[i + 2] - line[i + 1]) : 0;
    legs.push_back({norm(way), way.z, bend});
  }
  return legs;
}

/// The corners that are left of a polyline when what lies within `reach` of its legs is dropped
/// (Douglas and Peucker 1973).
std::vector<Vec3> straightened(const std::vector<Vec3>& line, std::size_t first, std::size_t last,
                               double reach_m) {
  double most = reach_m;
  std::size_t farthest = 0;
  for (std::size_t i = first + 1; i < last; ++i)
    if (const double away = point_segment_distance(line[i], line[first], line[last]); away > most) {
      most = away;
      farthest = i;
    }
  if (farthest == 0) return {line[first], line[last]};
  std::vector<Vec3> before = straightened(line, first, farthest, reach_m);
  const std::vector<Vec3> after = straightened(line, farthest, last, reach_m);
  before.insert(before.end(), after.begin() + 1, after.end());
  return before;
}

/// The way that is pulled through, as the pipe or bay itself goes: the cable wanders in it from
/// wall to wall, and round the bends at its mouths it is laid afterwards.
std::vector<Vec3> pulled_line(const TradeView& view, const TradeCase& run, const ClosedWay& way) {
  constexpr double kBayWide_m = 0.1;
  const TradePart* part = part_named(view, way.place.name);
  const double inside =
      way.place.kind == "conduit" && part != nullptr ? conduit_inside_m(*part) : 0;
  const double reach = inside > 0 ? inside : kBayWide_m;
  const double mouth = std::max(reach, 1.5 * run.drawn->cable->pull_bend_radius_m);
  if (way.metres() < 4 * mouth) {
    const auto whole = line_between(run.drawn->line, way.from_m, way.to_m);
    return whole.size() < 2 ? whole : std::vector<Vec3>{whole.front(), whole.back()};
  }
  const auto inner = line_between(run.drawn->line, way.from_m + mouth, way.to_m - mouth);
  std::vector<Vec3> line = straightened(inner, 0, inner.size() - 1, reach);
  line.front() = line[0] + mouth * normalized(line[0] - line[1]);
  const std::size_t last = line.size() - 1;
  line.back() = line[last] + mouth * normalized(line[last] - line[last - 1]);
  return line;
}

double bends_rad(const std::vector<Vec3>& line) {
  double sum = 0;
  for (const trade::PullLeg& leg : legs_of(line)) sum += leg.bend_rad;
  return sum;
}

/// Whether a bend lies at the mouth of a conduit or of a wall's bay: who pulls there pulls in line
/// with the conduit, lets the cable down the bay by hand, and lays it round the bend afterwards.
bool at_a_mouth(const TradeCase& run, const TradeView& view, const TradeBend& bend, double wants) {
  const TradeVoid* space = view.plan.void_of(bend.home);
  const bool bay = space != nullptr && space->kind == "bay";
  if (bend.home.kind != "conduit" && !bay) return false;
  const auto ways = closed_ways(view, *run.plan);
  return std::any_of(ways.begin(), ways.end(), [&](const ClosedWay& way) {
    if (way.place.name != bend.home.name) return false;
    const auto line = line_between(run.drawn->line, way.from_m, way.to_m);
    return !line.empty() &&
           std::min(distance(line.front(), bend.at), distance(line.back(), bend.at)) <= 1.5 * wants;
  });
}

std::string degrees_text(double angle) { return format_number(degrees(angle), 0) + " degrees"; }

/// What of one closed way is too much for the runs that are pulled through it, and the worst.
struct HardPull {
  Gathered runs;
  double bends_rad = 0, metres = 0;  ///< of the worst

  void add(const TradeCase& run, double badness, double bends, double length, const Vec3& at) {
    if (runs.empty() || badness > runs.worst) {
      bends_rad = bends;
      metres = length;
    }
    runs.add(run.drawn->id, badness, at);
  }
};

Vec3 middle_of(const TradeCase& run, const std::vector<Vec3>& line) {
  return line.empty() ? run.drawn->line.front() : line[line.size() / 2];
}

void tell_bends(const TradeView& view, const std::string& place, const HardPull& hard, Level level,
                Findings& findings) {
  const bool alone = hard.runs.names.size() == 1, beyond = level == Level::must;
  const std::string turn = degrees_text(hard.bends_rad), length = view.length(hard.metres);
  tell(findings, "pull-bends", level, hard.runs.names.front(),
       runs_do(hard.runs.names, "turn") + (alone ? " by " : " by up to ") + turn + " in " + length +
           " of " + place + ", which opens nowhere between; " +
           view.told(beyond ? "360 degrees are the limit."
                            : "two right angles and 30 m for network."),
       hard.runs.where, "Put in a box or an access hatch on the way, or avoid it (\"avoid\").",
       {turn + ", " + length, beyond ? "360 degrees" : "180 degrees, " + view.length(30)});
}

}  // namespace

void check_pull_bends(const TradeView& view, Findings& findings) {
  std::map<std::pair<std::string, Level>, HardPull> by_place;
  for (const TradeCase& run : view.runs) {
    const bool network = run.drawn->cable->service == Service::network;
    for (const ClosedWay& way : closed_ways(view, *run.plan)) {
      const auto line = pulled_line(view, run, way);
      const double bends = bends_rad(line);
      const bool beyond = bends > trade::kBendsGreatest_rad + 0.01;
      const bool network_beyond =
          network && (bends > trade::kNetworkBendsGreatest_rad + 0.01 ||
                      way.metres() > trade::kNetworkSectionGreatest_m + 1e-6);
      if (!beyond && !network_beyond) continue;
      const double badness = std::max(bends / trade::kNetworkBendsGreatest_rad,
                                      way.metres() / trade::kNetworkSectionGreatest_m);
      by_place[{way.place.name, beyond ? Level::must : Level::should}].add(
          run, badness, bends, way.metres(), middle_of(run, line));
    }
  }
  for (const auto& [place, hard] : by_place)
    tell_bends(view, place.first, hard, place.second, findings);
}

void check_pull_radius(const TradeView& view, Findings& findings) {
  std::map<std::string, Gathered> by_place;
  std::map<std::string, std::string> figures, sources;
  std::map<std::string, Measured> measured;
  for (const TradeCase& run : view.runs) {
    for (const TradeBend& bend : run.plan->bends) {
      const double wants = run.drawn->cable->pull_bend_radius_m;
      if (!closed_way(view, bend.home) || bend.used_m >= wants - 1e-4) continue;
      if (at_a_mouth(run, view, bend, wants)) continue;
      Gathered& all = by_place[bend.home.name];
      const double before = all.empty() ? -1 : all.worst;
      all.add(run.drawn->id, wants / std::max(bend.used_m, 1e-4), bend.at);
      if (all.worst <= before) continue;
      figures[bend.home.name] = view.small(bend.used_m) + "; " + run.drawn->cable->id + " wants " +
                                view.small(wants) + " while it is pulled";
      sources[bend.home.name] = figure_source(*run.drawn->cable, "pulled");
      measured[bend.home.name] = {view.small(bend.used_m), view.small(wants)};
    }
  }
  for (const auto& [place, all] : by_place) {
    tell(findings, "pull-radius", Level::should, all.names.front(),
         listed_runs(all.names) + (all.names.size() == 1 ? " is" : " are") +
             " pulled round a bend in " + place + " of " + figures[place] + ".",
         all.where, "Pull by hand, slowly and with lubricant, or let the bend be wider.",
         measured[place]);
    findings.items.back().source = sources[place];
  }
}

namespace {

/// Cables of one type that are too hard to pull through one closed way.
struct HardTension {
  Gathered runs;
  const CableType* cable = nullptr;
  bool from_far = false;  ///< the easier end to pull from, of the worst
};

void tell_tension(const std::string& place, const HardTension& hard, Findings& findings) {
  const bool alone = hard.runs.names.size() == 1;
  const std::string pull = format_number(hard.runs.worst, 0) + " N";
  const std::string limit = format_number(hard.cable->pull_limit_n, 0) + " N";
  tell(findings, "pull-tension", Level::should, hard.runs.names.front(),
       listed_runs(hard.runs.names) + (alone ? " needs about " : " need up to about ") + pull +
           " through " + place + "; " + hard.cable->id + " stands " + limit + ".",
       hard.runs.where,
       std::string("Pull from the ") + (hard.from_far ? "far" : "near") +
           " end, with lubricant, or open the way between.",
       {pull, limit});
}

}  // namespace

void check_pull_tension(const TradeView& view, Findings& findings) {
  std::map<std::pair<std::string, std::string>, HardTension> by_place;
  for (const TradeCase& run : view.runs) {
    const CableType& cable = *run.drawn->cable;
    if (cable.pull_limit_n <= 0) continue;
    for (const ClosedWay& way : closed_ways(view, *run.plan)) {
      auto line = pulled_line(view, run, way);
      const double friction = view.job.prefer.pull_friction;
      const double forth = trade::pull_tension_n(legs_of(line), cable.mass_kg_per_m, friction);
      std::reverse(line.begin(), line.end());
      const double back = trade::pull_tension_n(legs_of(line), cable.mass_kg_per_m, friction);
      const double pull = std::min(forth, back);
      if (pull <= cable.pull_limit_n) continue;
      HardTension& hard = by_place[{way.place.name, cable.id}];
      hard.cable = &cable;
      if (hard.runs.empty() || pull > hard.runs.worst) hard.from_far = forth <= back;
      hard.runs.add(run.drawn->id, pull, middle_of(run, line));
    }
  }
  for (const auto& [place, hard] : by_place) tell_tension(place.first, hard, findings);
}

}  // namespace roomloom::check
