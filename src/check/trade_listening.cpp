#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"
#include "trade/listening.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom::check {
namespace {

/// A labelled loudspeaker as the listener sees it.
struct Heard {
  std::string label;
  Vec3 at;
  double azimuth_deg = 0, elevation_deg = 0, distance_m = 0;
  const LabelRange* range = nullptr;
};

std::string label_of(const Job& job, const std::string& end) {
  for (const EndSpec& spec : job.ends)
    if (spec.id == end)
      if (const auto* label = std::get_if<AtLabel>(&spec.place)) return label->label;
  return end.substr(0, end.find(" ("));  // a copy of one run's own carries the run's name
}

std::vector<Heard> heard(const TradeView& view) {
  std::vector<Heard> all;
  if (!view.plan.listener || !view.job.layout) return all;
  for (const TradeEnd& end : view.plan.ends) {
    Heard one;
    one.label = label_of(view.job, end.id);
    one.range = find_label(view.job.layout->system, one.label);
    const bool known = std::any_of(all.begin(), all.end(),
                                   [&](const Heard& other) { return other.label == one.label; });
    if (one.range == nullptr || !one.range->positioned || known) continue;
    one.at = end.at;
    const Vec3 off = end.at - *view.plan.listener;
    one.distance_m = norm(off);
    if (one.distance_m < 1e-6) continue;
    // From room +Y, counter-clockwise: left is positive, as the Recommendation has it.
    one.azimuth_deg = trade::wrapped_deg(degrees(std::atan2(-off.x, off.y) - view.plan.facing_rad));
    one.elevation_deg = degrees(std::asin(off.z / one.distance_m));
    all.push_back(one);
  }
  return all;
}

bool ear_level(const Heard& one) {
  return one.range->elevation_low == 0 && one.range->elevation_high == 0;
}

/// How far ear-height loudspeakers and ears may differ in height. Common practice, no source.
constexpr double kLevel_m = 0.3;

std::string signed_text(double value) { return (value > 0 ? "+" : "") + format_number(value, 1); }

const Heard* mirror_of(const std::vector<Heard>& all, const Heard& one) {
  const std::size_t sign = one.label.find('+');
  if (sign == std::string::npos) return nullptr;
  std::string other = one.label;
  other[sign] = '-';
  for (const Heard& h : all)
    if (h.label == other) return &h;
  return nullptr;
}

/// How far along its circle a loudspeaker belongs, to the listener's left or right: "0.81 m farther
/// left".
std::string aside_text(const TradeView& view, const Heard& one) {
  const double to_low = trade::wrapped_deg(one.range->azimuth_low - one.azimuth_deg);
  const double to_high = trade::wrapped_deg(one.range->azimuth_high - one.azimuth_deg);
  const double turn = std::abs(to_low) < std::abs(to_high) ? to_low : to_high;
  const double level_m = one.distance_m * std::cos(radians(one.elevation_deg));
  return view.length(level_m * radians(std::abs(turn))) +
         (turn > 0 ? " farther left" : " farther right");
}

/// The same of its height.
std::string height_text(const TradeView& view, const Heard& one) {
  const bool low = one.elevation_deg < one.range->elevation_low;
  const double wanted = low ? one.range->elevation_low : one.range->elevation_high;
  const double level_m = one.distance_m * std::cos(radians(one.elevation_deg));
  const double rise = level_m * (std::tan(radians(std::min(wanted, 85.0))) -
                                 std::tan(radians(std::min(one.elevation_deg, 85.0))));
  return view.length(std::abs(rise)) + (rise > 0 ? " higher" : " lower");
}

}  // namespace

void check_loudspeaker_angles(const TradeView& view, Findings& findings) {
  for (const Heard& one : heard(view)) {
    const LabelRange& range = *one.range;
    const double aside =
        trade::outside_azimuth_deg(one.azimuth_deg, range.azimuth_low, range.azimuth_high);
    const double above =
        trade::outside_elevation_deg(one.elevation_deg, range.elevation_low, range.elevation_high);
    // Straight above or below, azimuth means nothing.
    const bool overhead = std::abs(one.elevation_deg) > 85 && range.elevation_high >= 85;
    const double slack = trade::kAngleSlack_deg;
    const bool turned = aside > slack && !overhead;
    if (!turned && above <= slack) continue;
    const auto span = [](double low, double high) {
      return low == high ? signed_text(low) : signed_text(low) + " to " + signed_text(high);
    };
    tell(findings, "loudspeaker-angle", Level::should, one.label,
         one.label + " stands at azimuth " + signed_text(one.azimuth_deg) + ", elevation " +
             signed_text(one.elevation_deg) + " degrees from the listener; its label asks for " +
             span(range.azimuth_low, range.azimuth_high) + " and " +
             span(range.elevation_low, range.elevation_high) + ".",
         one.at,
         "Seen from the listener it belongs some " +
             (turned ? aside_text(view, one) + (above > slack ? ", " : "") : "") +
             (above > slack ? height_text(view, one) : "") +
             ": move it, move the listener, or give it another label.",
         {signed_text(one.azimuth_deg) + " / " + signed_text(one.elevation_deg) + " degrees",
          span(range.azimuth_low, range.azimuth_high) + " / " +
              span(range.elevation_low, range.elevation_high) + " degrees"});
  }
}

/// Over the floor, not over a seat or a table that stands on it; empty where there is no floor.
std::optional<double> height_over_floor(const TradeView& view, const Vec3& p) {
  constexpr double kMost_m = 3;
  for (const RayHit& hit : view.tree.hits(p, p - Vec3{0, 0, kMost_m})) {
    const Role role = view.part_at(hit.triangle).role;
    if (role != Role::furniture && role != Role::seat && role != Role::cupboard &&
        role != Role::obstacle)
      return hit.t;
  }
  return std::nullopt;
}

void check_loudspeaker_heights(const TradeView& view, Findings& findings) {
  const auto all = heard(view);
  if (all.empty()) return;
  const Vec3 ear = *view.plan.listener;
  const auto height = height_over_floor(view, ear);
  if (height && std::abs(*height - trade::kEarHeight_m) > kLevel_m) {
    tell(findings, "loudspeaker-height", Level::note, "listener",
         "The listener's ear is " + view.length(*height) + " above the floor; about " +
             view.length(trade::kEarHeight_m) + " is usual for a seat.",
         ear, "Check the listener's place, if it is not a raised or a floor seat.",
         {view.length(*height),
          view.length(trade::kEarHeight_m) + ", " + view.length(kLevel_m) + " more or less"});
  }
  double low = 1e9, high = -1e9;
  Gathered level;
  for (const Heard& one : all) {
    if (!ear_level(one)) continue;
    low = std::min(low, one.at.z);
    high = std::max(high, one.at.z);
    level.add(one.label, std::abs(one.at.z - ear.z), one.at);
  }
  if (level.empty() || high - low <= kLevel_m) return;
  tell(findings, "loudspeaker-height", Level::note, level.names.front(),
       "Ear-height loudspeakers differ by " + view.length(high - low) + " in height; " +
           view.length(kLevel_m) + " is the limit.",
       level.where, "Bring them level, or tilt the higher ones toward the listener.",
       {view.length(high - low), view.length(kLevel_m)});
}

void check_loudspeaker_distances(const TradeView& view, Findings& findings) {
  double least = 1e9, greatest = 0, sum = 0;
  int count = 0;
  const Heard* farthest = nullptr;
  const auto all = heard(view);
  for (const Heard& one : all) {
    if (!ear_level(one)) continue;
    least = std::min(least, one.distance_m);
    if (one.distance_m > greatest) farthest = &one;
    greatest = std::max(greatest, one.distance_m);
    sum += one.distance_m;
    ++count;
  }
  if (count < 2) return;
  const double spread = (greatest - least) * count / sum;
  if (spread <= trade::kDistanceSpread) return;
  const std::string figure = format_number(100 * spread, 0) + " %";
  const std::string limit = format_number(100 * trade::kDistanceSpread, 0) + " %";
  tell(findings, "loudspeaker-distance", Level::note, farthest->label,
       "Ear-height loudspeakers stand " + view.length(least) + " to " + view.length(greatest) +
           " from the listener: they differ by " + figure + " of their mean; " + limit +
           " is the limit.",
       farthest->at, "Set distances (delay and level) in the processor.", {figure, limit});
}

void check_loudspeaker_symmetry(const TradeView& view, Findings& findings) {
  const auto all = heard(view);
  Gathered askew;
  std::string worst;
  for (const Heard& one : all) {
    const Heard* other = mirror_of(all, one);
    if (other == nullptr) continue;
    const double turn = std::abs(trade::wrapped_deg(one.azimuth_deg + other->azimuth_deg));
    const double off = std::abs(one.distance_m - other->distance_m);
    if (turn <= trade::kPairAzimuth_deg && off <= trade::kPairDistance_m) continue;
    const double bad = std::max(turn / trade::kPairAzimuth_deg, off / trade::kPairDistance_m);
    if (askew.empty() || bad > askew.worst)
      worst = "azimuth by " + format_number(turn, 1) + " degrees, distance by " + view.length(off);
    askew.add(one.label + "/" + other->label, bad, one.at);
  }
  if (askew.empty()) return;
  const std::string limit = format_number(trade::kPairAzimuth_deg, 0) + " degrees and " +
                            view.length(trade::kPairDistance_m);
  tell(findings, "loudspeaker-symmetry", Level::note, askew.names.front(),
       "Left and right are not mirrored: " + listed(askew.names) + "; at worst they differ in " +
           worst + "; " + limit + " are the limits.",
       askew.where, "Move one of each pair, or set delay and level in the processor.",
       {worst, limit});
}

void check_listener_wall(const TradeView& view, Findings& findings) {
  if (!view.plan.listener || !view.job.layout) return;
  double nearest = trade::kListenerToWall_m;
  const TradePart* wall = nullptr;
  for (int k = 0; k < 16; ++k) {
    const double angle = k * kPi / 8 + view.plan.facing_rad;
    const Vec3 way{-std::sin(angle), std::cos(angle), 0};
    const auto hit = view.tree.first_hit(*view.plan.listener, way, 0, nearest);
    if (!hit || view.part_at(hit->triangle).role != Role::wall) continue;
    nearest = hit->t;
    wall = &view.part_at(hit->triangle);
  }
  if (wall == nullptr) return;
  tell(findings, "listener-wall", Level::note, "listener",
       "The listener's head is " + view.length(nearest) + " from " + wall->part->name + "; " +
           view.length(trade::kListenerToWall_m) + " or more is wanted.",
       view.plan.listener, "Move the seat away from the wall.",
       {view.length(nearest), view.length(trade::kListenerToWall_m)});
}

}  // namespace roomloom::check
