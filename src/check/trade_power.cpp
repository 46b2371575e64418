#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "base/units.h"
#include "check/trade_check.h"
#include "geometry/arc.h"
#include "trade/separation.h"

namespace roomloom::check {
namespace {

constexpr double kShortPart = 0.15;  // an outlet, not a line of mains
constexpr double kShortLine = 0.10;
constexpr double kGlancing = 0.15;      // alongside for less than this is a crossing
constexpr double kParallel_rad = 0.35;  // what is no nearer to square does not cross
constexpr double kWishSlack =
    0.05;  // the track keeps the wish, the lanes of its cables lie beside it
constexpr double kTouching = 0.006;  // inside shared equipment (NEC 725.136(D))

struct Line {
  Vec3 from, to;
};

/// The long edges of a power part: of a prism those along it, of a curve its pieces.
std::vector<Line> lines_of(const Scene& scene, const Part& part) {
  std::vector<Line> lines;
  const auto at = [&](std::uint32_t i) { return scene.points[i]; };
  if (part.kind == PartKind::curve) {
    for (std::uint32_t i = 0; i + 1 < part.point_count; ++i)
      lines.push_back({at(part.first_point + i), at(part.first_point + i + 1)});
    return lines;
  }
  for (std::uint32_t k = 0; k < part.triangle_count; ++k) {
    const auto& t = scene.triangles[part.first_triangle + k];
    Line longest;
    double length = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      const Vec3 a = at(t[i]), b = at(t[(i + 1) % 3]);
      if (distance(a, b) <= length) continue;
      length = distance(a, b);
      longest = {a, b};
    }
    if (length >= kShortLine) lines.push_back(longest);
  }
  return lines;
}

struct Beside {
  double alongside_m = 0;  ///< way nearer than the limit and less than 60 degrees to it
  double nearest_m = 1e9;  ///< surface to surface, of that way
  double angle_rad = 0;    ///< least angle to the mains, of that way
  Vec3 where;
  std::vector<Vec3> places;  ///< all over that way
};

Beside beside(const TradeCase& run, const std::vector<Line>& lines, double limit_m) {
  Beside found;
  found.angle_rad = kPi / 2;
  for (const TradeSample& sample : run.samples) {
    double nearest = 1e9, angle = kPi / 2;
    for (const Line& line : lines) {
      const double away = point_segment_distance(sample.at, line.from, line.to) -
                          0.5 * run.drawn->cable->diameter_m;
      if (away >= nearest) continue;
      nearest = away;
      angle = angle_between(sample.along, line.to - line.from);
    }
    angle = std::min(angle, kPi - angle);
    if (nearest >= limit_m || angle >= trade::kSquare_rad) continue;
    found.alongside_m += sample.step_m;
    found.places.push_back(sample.at);
    found.angle_rad = std::min(found.angle_rad, angle);
    if (nearest >= found.nearest_m) continue;
    found.nearest_m = nearest;
    found.where = sample.at;
  }
  return found;
}

bool is_data(Service service) {
  return service == Service::network || service == Service::line_level;
}

/// How many circuits the mains hold, by the job, else by the model; 0 where neither says.
int circuits_in(const TradePart& power) {
  if (power.rule != nullptr && power.rule->circuits > 0) return power.rule->circuits;
  const auto said = power.part->extras.find("circuits");
  return said == power.part->extras.end() ? 0 : std::atoi(said->second.c_str());
}

/// What the tables ask of a service beside this part.
double limit_of(const TradeCase& run, const TradePart& power) {
  const CableType& cable = *run.drawn->cable;
  if (cable.service == Service::fibre) return 0;
  const bool screened = power.rule != nullptr && power.rule->screened;
  if (!is_data(cable.service)) return screened ? trade::kNecInside_m : trade::kNecElsewhere_m;
  const int circuits = circuits_in(power);
  return circuits > 0 ? trade::en_50174_2_m(cable.screened, screened, circuits)
                      : trade::en_50174_2_m(cable.screened, screened);
}

Level level_of(const TradeCase& run, const Beside& found) {
  if (found.nearest_m < kTouching) return Level::must;
  if (is_data(run.drawn->cable->service) &&
      run.drawn->listed->cut_m <= trade::kNoSeparationLast_m &&
      found.nearest_m >= trade::kNecElsewhere_m) {
    return Level::note;  // the standard waives the last 15 m
  }
  return Level::should;
}

double away_m(const Box3& box, const Vec3& p) {
  double squares = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double off = std::max({box.low[axis] - p[axis], 0.0, p[axis] - box.high[axis]});
    squares += off * off;
  }
  return std::sqrt(squares);
}

/// What power-separation tells of, of the way nearer than the published distance.
bool is_told(const Beside& found) {
  return found.alongside_m >= trade::kAlongside_m ||
         (found.alongside_m >= kGlancing && found.nearest_m < trade::kNecElsewhere_m);
}

constexpr double kCoilReach_m = 0.1;  // half of a coil's size; common practice, no source

constexpr double kOfAnEnd_m = 0.1;     // a way that comes so near to an end is that end's
constexpr double kHalfStep_m = 0.025;  // from an end to its first sample

/// Whether what is told of the way beside the mains tells of this end as well: the way comes to it,
/// and nothing of the end is nearer.
bool tells_of_end(const Beside& found, const Vec3& end, double away_m) {
  return is_told(found) && found.nearest_m <= away_m + kHalfStep_m &&
         std::any_of(found.places.begin(), found.places.end(),
                     [&](const Vec3& at) { return distance(at, end) <= kOfAnEnd_m; });
}

/// The lesser distance of a run's two ends from the mains, surface to surface; a coil reaches out
/// from its end. An end that is told of with the way beside the mains is left out.
double nearest_end_m(const TradeView& view, const TradeCase& run, const std::vector<Line>& lines,
                     const Beside& found, Vec3& where) {
  double nearest = 1e9;
  const auto look_at = [&](const Vec3& at, const std::string& id) {
    const TradeEnd* end = view.plan.end(id);
    const double reach = end != nullptr && end->state == "coiled" ? kCoilReach_m : 0;
    double away = 1e9;
    for (const Line& line : lines)
      away = std::min(away, point_segment_distance(at, line.from, line.to) -
                                0.5 * run.drawn->cable->diameter_m - reach);
    if (away >= nearest || tells_of_end(found, at, away)) return;
    nearest = away;
    where = at;
  };
  look_at(run.drawn->line.front(), run.drawn->listed->from);
  look_at(run.drawn->line.back(), run.drawn->listed->to);
  return std::max(0.0, nearest);
}

/// Square to the mains a cable only passes, but its loop, box and plug stay.
void tell_ends(const TradeView& view, const TradePart& part, const Gathered& ends,
               Findings& findings) {
  if (ends.empty()) return;
  const std::string figure = view.small(-ends.worst), limit = view.small(trade::kNecElsewhere_m);
  tell(findings, "power-separation", Level::note, ends.names.front(),
       runs_do(ends.names, "end") + " within " + figure + " of " + part.part->name +
           ", where loop or coil lie; " + limit +
           " is wanted there, whichever way the cable comes.",
       ends.where,
       "Move the end, or see that the mains is sheathed or in a conduit there (\"screened\") and "
       "does not share its box.",
       {figure, limit});
}

struct PowerCase {
  Gathered runs;
  Beside worst;
  double limit_m = 0;
};

void tell_power(const TradeView& view, const TradePart& part, const PowerCase& one, Level level,
                Findings& findings) {
  const bool crossing =
      one.worst.alongside_m < trade::kAlongside_m && one.worst.angle_rad > kParallel_rad;
  const bool alone = one.runs.names.size() == 1;
  const char* verb = crossing ? (alone ? " crosses " : " cross ")
                              : (alone ? " lies alongside " : " lie alongside ");
  tell(
      findings, "power-separation", level, one.runs.names.front(),
      listed_runs(one.runs.names) + verb + part.part->name +
          (crossing ? " at " + format_number(degrees(one.worst.angle_rad), 0) + " degrees"
                    : " for up to " + view.length(one.worst.alongside_m)) +
          ", as near as " + view.small(std::max(0.0, one.worst.nearest_m)) + "; " +
          view.small(one.limit_m) + " is wanted" + (crossing ? ", or a square crossing." : "."),
      one.worst.where,
      "Keep runs that far away (\"clearance\" of the part under \"parts\"), cross at right angles, "
      "or put the mains in earthed metal (\"screened\").",
      crossing ? Measured{format_number(degrees(one.worst.angle_rad), 0) + " degrees, " +
                              view.small(std::max(0.0, one.worst.nearest_m)),
                          format_number(degrees(trade::kSquare_rad), 0) + " degrees or " +
                              view.small(one.limit_m)}
               : Measured{view.small(std::max(0.0, one.worst.nearest_m)), view.small(one.limit_m)});
}

/// A line of mains, no outlet.
bool is_line(const TradePart& part) {
  if (part.role != Role::power || part.box.empty()) return false;
  const Vec3 size = part.box.size();
  return std::max({size.x, size.y, size.z}) >= kShortPart;
}

}  // namespace

void check_power(const TradeView& view, Findings& findings) {
  for (const TradePart& part : view.parts) {
    if (!is_line(part)) continue;
    const auto lines = lines_of(view.original, *part.part);
    std::map<Level, PowerCase> cases;
    Gathered ends;
    for (const TradeCase& run : view.runs) {
      const double limit = limit_of(run, part);
      if (!carries_signal(run) || limit <= 0) continue;
      const Beside found = beside(run, lines, limit);
      const bool alongside = found.alongside_m >= trade::kAlongside_m;
      Vec3 where;
      const double end = nearest_end_m(view, run, lines, found, where);
      if (end < std::min(limit, trade::kNecElsewhere_m) - 1e-6)
        ends.add(run.drawn->id, -end, where);
      if (!is_told(found)) continue;
      PowerCase& one = cases[alongside ? level_of(run, found) : Level::note];
      one.runs.add(run.drawn->id, found.alongside_m, found.where);
      if (one.runs.names.size() == 1 || found.alongside_m > one.worst.alongside_m) {
        one.worst = found;
        one.limit_m = limit;
      }
    }
    for (const auto& [level, one] : cases) tell_power(view, part, one, level, findings);
    tell_ends(view, part, ends, findings);
  }
}

void check_power_wish(const TradeView& view, Findings& findings) {
  for (const TradePart& part : view.parts) {
    if (!is_line(part)) continue;
    const bool of_part = part.rule != nullptr && part.rule->clearance_m;
    const double wish = of_part ? *part.rule->clearance_m : view.job.prefer.power_separation_m;
    const auto lines = lines_of(view.original, *part.part);
    Gathered near;
    double nearest = wish;
    for (const TradeCase& run : view.runs) {
      const double limit = limit_of(run, part);
      if (!carries_signal(run) || wish <= limit) continue;
      const Beside found = beside(run, lines, wish - kWishSlack);
      if (found.alongside_m < trade::kAlongside_m || is_told(beside(run, lines, limit))) continue;
      near.add(run.drawn->id, found.alongside_m, found.where);
      nearest = std::min(nearest, found.nearest_m);
    }
    if (near.empty()) continue;
    tell(findings, "power-wish", Level::note, near.names.front(),
         listed_runs(near.names) + (near.names.size() == 1 ? " lies" : " lie") + " alongside " +
             part.part->name + " for up to " + view.length(near.worst) + ", as near as " +
             view.small(std::max(0.0, nearest)) + "; " + view.small(wish) +
             (of_part ? " is wished for by the part's \"clearance\"."
                      : " is wished for (\"power_separation\", 0.3 m unless the job says)."),
         near.where,
         std::string(
             "Free the run of what holds it there (\"way\", or what lies already), or ask for "
             "less: ") +
             (of_part ? "\"clearance\" of the part under \"parts\"."
                      : "\"power_separation\" under \"prefer\"."),
         {view.small(std::max(0.0, nearest)), view.small(wish)});
  }
}

void check_luminaires(const TradeView& view, Findings& findings) {
  for (const Level level : {Level::should, Level::note}) {
    Gathered near;
    std::vector<std::string> lamps;
    for (const TradePart& part : view.parts) {
      if (part.role != Role::luminaire || part.box.empty()) continue;
      const auto said = part.rule ? part.rule->fluorescent : std::nullopt;
      if (said.value_or(true) == false || said.has_value() != (level == Level::should)) continue;
      for (const TradeCase& run : view.runs) {
        if (!is_data(run.drawn->cable->service)) continue;
        double alongside = 0;
        Vec3 where;
        for (const TradeSample& sample : run.samples) {
          if (away_m(part.box, sample.at) >= trade::kFluorescent_m) continue;
          alongside += sample.step_m;
          where = sample.at;
        }
        if (alongside < trade::kAlongside_m) continue;
        near.add(run.drawn->id, alongside, where);
        if (lamps.empty() || lamps.back() != part.part->name) lamps.push_back(part.part->name);
      }
    }
    if (near.empty()) continue;
    tell(findings, "luminaire-separation", level, near.names.front(),
         runs_do(near.names, "run") + view.told(" within 130 mm of ") + listed(lamps) +
             " for up to " + view.length(near.worst) +
             (level == Level::note ? "; the job does not say whether they hold fluorescent tubes."
                                   : "."),
         near.where,
         view.told("Say \"fluorescent\": false under \"parts\" if they are LED, else keep 130 mm "
                   "away."),
         {view.length(near.worst) + " within " + view.small(trade::kFluorescent_m),
          view.length(trade::kAlongside_m)});
  }
}

}  // namespace roomloom::check
