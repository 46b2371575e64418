#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"

namespace roomloom::check {
namespace {

constexpr double kShown_m = 0.005;  ///< lengths are told to a centimetre

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
         runs.front()->drawn->line.front(), "Give the runs names that differ to the eye.",
         {std::to_string(runs.size()) + " read as \"" + look + "\"", "1"});
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
  std::vector<std::string> inferred;
  for (const Powered& one : powered) {
    double least = 1e9;
    for (const TradePart* outlet : outlets) least = std::min(least, lead_to(outlet->box, one.at));
    if (least <= view.job.prefer.mains_lead_m + kShown_m) continue;
    far.add(one.name, least, one.at);
    if (one.inferred) inferred.push_back(one.name);
  }
  if (far.empty()) return;
  if (outlets.empty()) {
    tell(findings, "outlet-reach", Level::note, far.names.front(),
         "The model shows no outlet; " + listed(far.names) + " will need one.", far.where,
         "Add the outlets to the model, or say \"powered\": false of what needs none.",
         {"0 outlets", view.length(view.job.prefer.mains_lead_m)});
    return;
  }
  tell(findings, "outlet-reach", Level::should, far.names.front(),
       listed(far.names) + (far.names.size() == 1 ? " is " : " are up to ") +
           view.length(far.worst) + " from the nearest outlet; leads of " +
           view.length(view.job.prefer.mains_lead_m) + " are counted on." +
           (inferred.empty() ? ""
                             : " That " + listed(inferred) +
                                   (inferred.size() == 1 ? " needs one" : " need one") +
                                   " is taken for granted; the job does not say."),
       far.where,
       "Have a licensed electrician add an outlet, set prefer.mains_lead, or say \"powered\": "
       "false.",
       {view.length(far.worst), view.length(view.job.prefer.mains_lead_m)});
}

}  // namespace roomloom::check
