#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"

namespace roomloom::check {
namespace {

/// A run's name as a hurried eye reads it.
std::string likeness(const std::string& id) {
  std::string out, digits;
  const auto flush = [&] {
    const std::size_t first = digits.find_first_not_of('0');
    if (!digits.empty()) out += first == std::string::npos ? "0" : digits.substr(first);
    digits.clear();
  };
  for (char c : id) {
    if (c == ' ' || c == '-' || c == '_' || c == '.') {
      flush();
      continue;
    }
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    if (c == 'O') c = '0';
    if (c == 'I' || c == 'L') c = '1';
    if (c >= '0' && c <= '9') {
      digits += c;
      continue;
    }
    flush();
    out += c;
  }
  flush();
  return out;
}

struct Powered {
  std::string name;
  Vec3 at;
  bool inferred = false;
};

std::optional<bool> powered_by_job(const Job& job, const std::string& end) {
  for (const RunSpec& run : job.runs)
    if (run.to == end && run.end.powered) return run.end.powered;
  for (const EndSpec& spec : job.ends)
    if (spec.id == end) return spec.powered;
  return std::nullopt;
}

/// Ends outside the gear that a line-level or picture run feeds: active loudspeakers, subwoofers,
/// projectors.
void add_ends(const TradeView& view, std::vector<Powered>& all) {
  for (const TradeEnd& end : view.plan.ends) {
    if (view.is_component(end.id)) continue;
    const auto said = powered_by_job(view.job, end.id);
    const bool fed = std::any_of(view.runs.begin(), view.runs.end(), [&](const TradeCase& run) {
      const Service service = run.drawn->cable->service;
      return run.drawn->listed->to == end.id &&
             (service == Service::line_level || service == Service::picture);
    });
    if (said.value_or(fed && end.state == "fitted")) all.push_back({end.id, end.at, !said});
  }
}

void add_gear(const TradeView& view, std::vector<Powered>& all) {
  for (const GearSpec& gear : view.job.gear) {
    if (!gear.powered.value_or(!gear.holds.empty())) continue;
    for (const TradeEnd& end : view.plan.ends) {
      const std::string owner = end.id.substr(0, end.id.rfind('.'));
      const bool held = std::any_of(gear.holds.begin(), gear.holds.end(),
                                    [&](const Component& one) { return one.id == owner; });
      if (!held) continue;
      all.push_back({gear.id, end.at, !gear.powered});
      break;
    }
  }
}

double along_axes(const Vec3& a, const Vec3& b) {
  return std::abs(a.x - b.x) + std::abs(a.y - b.y) + std::abs(a.z - b.z);
}

/// Distance of a point from a box, as a lead lies.
double lead_to(const Box3& box, const Vec3& p) {
  Vec3 nearest;
  for (int axis = 0; axis < 3; ++axis)
    nearest[axis] = std::clamp(p[axis], box.low[axis], box.high[axis]);
  return along_axes(p, nearest);
}

/// A run that lies in raceway, in a void or in a conduit is not caught by what moves.
bool bare(const TradeView& view, const TradeSample& sample) {
  if (sample.stretch != nullptr &&
      (sample.stretch->place.kind == "void" || sample.stretch->place.kind == "conduit"))
    return false;
  return std::none_of(
      view.plan.raceways.begin(), view.plan.raceways.end(), [&](const TradeRaceway& piece) {
        const Vec3 way = piece.to - piece.from;
        const double t = std::clamp(dot(sample.at - piece.from, way) / dot(way, way), 0.0, 1.0);
        return distance(sample.at, piece.from + t * way) < 0.06;
      });
}

double swing_of(const TradePart& door) {
  if (door.rule != nullptr) return door.rule->swing_rad;
  const auto opens = door.part->extras.find("opens");
  if (opens != door.part->extras.end() && opens->second == "out") return 0;
  const auto said = door.part->extras.find("swing");
  if (said == door.part->extras.end()) return 0;
  const auto angle = parse_angle(said->second);
  return angle ? *angle : 0;
}

/// Inside a quarter circle about either side of a door's leaf.
bool swept_by_door(const TradePart& door, const Vec3& p) {
  const Vec3 size = door.box.size();
  const bool along_x = size.x >= size.y;
  const double width = along_x ? size.x : size.y;
  const double thickness = along_x ? size.y : size.x;
  if (p.z < door.box.low.z || p.z > door.box.high.z || width > 2.6) return false;
  const Vec3 middle = door.box.centre();
  const double aside = along_x ? p.x - middle.x : p.y - middle.y;
  const double ahead = std::abs(along_x ? p.y - middle.y : p.x - middle.x);
  if (std::abs(aside) > width / 2 || ahead < thickness / 2 + 0.03) return false;
  const double to_hinge = std::hypot(width / 2 + std::abs(aside), ahead);
  const double to_nearer = std::hypot(width / 2 - std::abs(aside), ahead);
  return std::min(to_hinge, to_nearer) < width;
}

bool swept(const TradePart& part, const Vec3& p) {
  if (part.role == Role::door) return swing_of(part) > 0 && swept_by_door(part, p);
  if (part.role != Role::seat || part.rule == nullptr || part.rule->recline_m <= 0) return false;
  Box3 box = part.box;
  box.low = box.low - Vec3{part.rule->recline_m, part.rule->recline_m, 0};
  box.high = box.high + Vec3{part.rule->recline_m, part.rule->recline_m, 0};
  return box.contains(p);
}

}  // namespace

void check_label_likeness(const TradeView& view, Findings& findings) {
  std::map<std::string, std::vector<const TradeCase*>> by_look;
  for (const TradeCase& run : view.runs) by_look[likeness(run.drawn->id)].push_back(&run);
  for (const auto& [look, runs] : by_look) {
    if (runs.size() < 2) continue;
    std::vector<std::string> names;
    for (const TradeCase* run : runs) names.push_back("\"" + run->drawn->id + "\"");
    tell(findings, "label-unique", Level::should, runs.front()->drawn->id,
         "The labels " + listed(names) + " are easily taken for one another.",
         runs.front()->drawn->line.front(), "Give the runs names that differ to the eye.");
  }
}

void check_outlets(const TradeView& view, Findings& findings) {
  std::vector<Powered> powered;
  add_ends(view, powered);
  add_gear(view, powered);
  for (const TradePart& part : view.parts)
    if (part.rule != nullptr && part.rule->powered.value_or(false))
      powered.push_back({part.part->name, part.box.centre(), false});
  if (powered.empty()) return;
  std::vector<const TradePart*> outlets;
  for (const TradePart& part : view.parts)
    if (part.role == Role::outlet && !part.box.empty()) outlets.push_back(&part);
  Gathered far;
  for (const Powered& one : powered) {
    double least = 1e9;
    for (const TradePart* outlet : outlets) least = std::min(least, lead_to(outlet->box, one.at));
    if (least > view.job.prefer.mains_lead_m) far.add(one.name, least, one.at);
  }
  if (far.empty()) return;
  if (outlets.empty()) {
    tell(findings, "outlet-reach", Level::note, far.names.front(),
         "The model shows no outlet; " + listed(far.names) + " will need one.", far.where,
         "Add the outlets to the model, or say \"powered\": false of what needs none.");
    return;
  }
  tell(findings, "outlet-reach", Level::should, far.names.front(),
       listed(far.names) + (far.names.size() == 1 ? " is" : " are") + " up to " +
           view.length(far.worst) + " from the nearest outlet; leads of " +
           view.length(view.job.prefer.mains_lead_m) + " are counted on.",
       far.where,
       "Have a licensed electrician add an outlet, set prefer.mains_lead, or say \"powered\": "
       "false.");
}

void check_pinch_points(const TradeView& view, Findings& findings) {
  for (const TradePart& part : view.parts) {
    if (part.role != Role::door && part.role != Role::seat) continue;
    Gathered caught;
    for (const TradeCase& run : view.runs) {
      if (part.box.grown(0.02).contains(run.drawn->line.back())) continue;  // it feeds the seat
      for (const TradeSample& sample : run.samples) {
        if (!swept(part, sample.at) || !bare(view, sample)) continue;
        caught.add(run.drawn->id, 0, sample.at);
        break;
      }
    }
    if (caught.empty()) continue;
    tell(findings, "pinch-point", Level::should, caught.names.front(),
         listed_runs(caught.names) + " lie bare where " + part.part->name + " moves.", caught.where,
         "Lay them in raceway or another way (\"avoid\"), or stop the " +
             std::string(part.role == Role::door ? "door" : "seat") + " short.");
  }
}

}  // namespace roomloom::check
