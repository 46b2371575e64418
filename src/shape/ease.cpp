#include "shape/ease.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "geometry/arc.h"
#include "geometry/polygon.h"
#include "shape/fillet.h"

namespace roomloom {
namespace {

// How far a corner may move, in bend radii.
constexpr std::array<double, 13> kSlides = {0.1, 0.2,  0.3, 0.4, 0.55, 0.7, 0.85,
                                            1,   1.25, 1.5, 1.8, 2.2,  2.7};
constexpr double kByRadius = 0.02;       // fault that a move by one radius must save
constexpr double kTight = 0.05;          // fault of a bend that is hardly too tight
constexpr double kWorthwhile = 1e-3;     // fault that any move must save
constexpr double kJogInRaceway = 0.015;  // metres: a longer jog would leave the section
constexpr double kJogAtEnd = 0.04;       // metres: an end lies on the middle of its raceway
constexpr double kShort = 1e-6;          // metres
constexpr double kHair = 0.3e-3;         // metres: nobody lays a cable more truly
constexpr int kMoves = 40;

// One way to lay a path, with what was moved by how much in all.
struct Laid {
  TrackPath path;
  double moved_m = 0;
};

using At = std::ptrdiff_t;

void drop_point(TrackPath& path, std::size_t v) {
  path.points.erase(path.points.begin() + static_cast<At>(v));
  path.edges.erase(path.edges.begin() + static_cast<At>(v));
}

// A point on the leg between two neighbouring points, so far from the first of them.
void split_leg(TrackPath& path, std::size_t a, std::size_t b, double along_m) {
  const Vec3 at = path.points[a] + along_m * normalized(path.points[b] - path.points[a]);
  path.points.insert(path.points.begin() + static_cast<At>(b), at);
  path.edges.insert(path.edges.begin() + static_cast<At>(a), path.edges[a]);
}

void turn_round(TrackPath& path) {
  std::reverse(path.points.begin(), path.points.end());
  std::reverse(path.edges.begin(), path.edges.end());
}

// Drops points off the stretch that ends at point v, if they lie less than x before it and nothing
// keeps them; @return the index of v afterwards, or none if something does.
std::optional<std::size_t> make_room(TrackPath& path, std::size_t v, double x,
                                     const EaseRules& rules) {
  while (true) {
    if (v == 0 || rules.is_rigid(path.edges[v - 1])) return std::nullopt;
    if (distance(path.points[v - 1], path.points[v]) > x + kShort) return v;
    if (v == 1 || is_corner(path.points, v - 1)) return std::nullopt;
    // The longer, farther stretch takes over.
    path.points.erase(path.points.begin() + static_cast<At>(v) - 1);
    path.edges.erase(path.edges.begin() + static_cast<At>(v) - 1);
    --v;
  }
}

// Moves corner v back by x along the stretch that leads to it; the next stretch slants.
bool slide_back(Laid& laid, std::size_t& v, double x, const EaseRules& rules) {
  TrackPath& path = laid.path;
  if (v == 0 || v + 1 >= path.points.size() || rules.is_rigid(path.edges[v])) return false;
  const bool raceways = rules.in_raceway(path.edges[v - 1]) && rules.in_raceway(path.edges[v]);
  const double jog = v + 2 == path.points.size() ? kJogAtEnd : kJogInRaceway;
  if (raceways && distance(path.points[v], path.points[v + 1]) > jog) return false;
  const auto there = make_room(path, v, x, rules);
  if (!there) return false;
  v = *there;
  path.points[v] = path.points[v] - x * normalized(path.points[v] - path.points[v - 1]);
  laid.moved_m += x;
  return true;
}

// Puts a corner on the axis of the hole that starts at point v, x before it.
bool come_onto_axis(Laid& laid, std::size_t v, double x, const EaseRules& rules) {
  TrackPath& path = laid.path;
  if (v == 0 || v + 1 >= path.points.size()) return false;
  if (!rules.is_rigid(path.edges[v]) || rules.is_rigid(path.edges[v - 1])) return false;
  const Vec3 before = path.points[v] - x * normalized(path.points[v + 1] - path.points[v]);
  path.points.insert(path.points.begin() + static_cast<At>(v), before);
  path.edges.insert(path.edges.begin() + static_cast<At>(v) - 1, path.edges[v - 1]);
  laid.moved_m += x;
  return true;
}

class Easing {
 public:
  explicit Easing(const EaseRules& rules) : rules_(rules) {}

  TrackPath eased(TrackPath path) const {
    for (int move = 0; move < kMoves; ++move) {
      std::vector<Laid> options;
      const double now = fault(path, [&](std::size_t v) { offer_moves(path, v, options); });
      std::vector<std::pair<double, std::size_t>> order;
      for (std::size_t i = 0; i < options.size(); ++i) {
        const double then =
            fault(options[i].path, nullptr) + kByRadius * options[i].moved_m / rules_.radius_m;
        if (then < now - kWorthwhile) order.emplace_back(then, i);
      }
      std::stable_sort(order.begin(), order.end(),
                       [](const auto& a, const auto& b) { return a.first < b.first - 1e-9; });
      const auto best = std::find_if(order.begin(), order.end(), [&](const auto& option) {
        return is_allowed(path, options[option.second].path);
      });
      if (best == order.end()) break;
      path = std::move(options[best->second].path);
    }
    return path;
  }

 private:
  std::vector<bool> rigid_of(const TrackPath& path) const {
    std::vector<bool> rigid;
    for (const PathEdge& edge : path.edges) rigid.push_back(rules_.is_rigid(edge));
    return rigid;
  }

  // 1 for each corner that gets no radius at all, less for those that get some of what the place
  // allows. Calls `tell`, if any, with the points of those.
  double fault(const TrackPath& path, const std::function<void(std::size_t)>& tell) const {
    std::vector<double> caps(path.points.size(), Box3::kInf);
    for (std::size_t i = 1; i + 1 < path.points.size(); ++i) caps[i] = rules_.cap_m(path, i);
    const FilletedPath rounded = fillet_path(path.points, rigid_of(path), caps, rules_.radius_m);
    double sum = 0;
    for (std::size_t i = 0; i < rounded.bends.size(); ++i) {
      const Bend& bend = rounded.bends[i];
      const double wanted = std::min(bend.required_m, caps[rounded.vertices[i]]);
      if (bend.used_m >= wanted * (1 - 1e-6)) continue;
      sum += kTight + (1 - kTight) * (1 - bend.used_m / wanted);
      if (tell) tell(rounded.vertices[i]);
    }
    return sum;
  }

  // All moves for the corner at v, seen from both ends.
  void offer_moves(const TrackPath& path, std::size_t v, std::vector<Laid>& options) const {
    offer_onward(path, v, options);
    const std::size_t from = options.size();
    TrackPath back = path;
    turn_round(back);
    offer_onward(back, path.points.size() - 1 - v, options);
    for (std::size_t i = from; i < options.size(); ++i) turn_round(options[i].path);
  }

  void offer_onward(const TrackPath& path, std::size_t v, std::vector<Laid>& options) const {
    const double r = rules_.radius_m;
    for (const double slide : kSlides) {
      Laid laid{path, 0};
      std::size_t corner = v;
      if (slide_back(laid, corner, slide * r, rules_)) {
        options.push_back(laid);
        offer_both(laid, corner, slide * r, options);
      }
      offer_axis(path, v, slide * r, options);
    }
    offer_straight(path, v, options);
    offer_without(path, v, options);
  }

  // The corner after it moves on as far.
  void offer_both(const Laid& slid, std::size_t corner, double x,
                  std::vector<Laid>& options) const {
    Laid laid = slid;
    turn_round(laid.path);
    std::size_t other = laid.path.points.size() - 2 - corner;
    const bool moved = slide_back(laid, other, x, rules_);
    turn_round(laid.path);
    if (moved) options.push_back(std::move(laid));
  }

  void offer_axis(const TrackPath& path, std::size_t v, double x,
                  std::vector<Laid>& options) const {
    Laid on_axis{path, 0};
    if (!come_onto_axis(on_axis, v, x, rules_)) return;
    options.push_back(on_axis);
    if (v < 2) return;
    for (const double slide : kSlides) {
      Laid laid = on_axis;
      std::size_t corner = v - 1;
      if (slide_back(laid, corner, slide * rules_.radius_m, rules_))
        options.push_back(std::move(laid));
    }
  }

  // Straight on past v, where that moves the cable by a hair.
  void offer_straight(const TrackPath& path, std::size_t v, std::vector<Laid>& options) const {
    if (rules_.is_rigid(path.edges[v - 1]) || rules_.is_rigid(path.edges[v])) return;
    const Vec3 onward = path.points[v + 1] - path.points[v - 1];
    const Vec3 to_v = path.points[v] - path.points[v - 1];
    if (dot(to_v, onward) <= 0 || dot(to_v, onward) >= dot(onward, onward)) return;
    const double off = distance(to_v, dot(to_v, onward) / dot(onward, onward) * onward);
    if (off > kHair) return;
    Laid without{path, off};
    drop_point(without.path, v);
    options.push_back(std::move(without));
  }

  // Straight on from before v to after it, and that corner moved back. Of a long leg only the part
  // next to the corner slants.
  void offer_without(const TrackPath& path, std::size_t v, std::vector<Laid>& options) const {
    const double before = distance(path.points[v - 1], path.points[v]);
    const double after = distance(path.points[v], path.points[v + 1]);
    if (v < 2 || rules_.is_rigid(path.edges[v - 1]) || rules_.is_rigid(path.edges[v])) return;
    if (std::min(before, after) > rules_.radius_m) return;
    for (const double share : {1.0, 2.0, 3.0}) {
      const double part = share * rules_.radius_m;
      const bool both_short = before < 1.2 * part && after < 1.2 * part;
      Laid without{path, std::min(after, part)};
      std::size_t corner = v;
      if (after > 1.2 * part) split_leg(without.path, v, v + 1, part);
      if (before > 1.2 * part) {
        split_leg(without.path, v - 1, v, before - part);
        ++corner;
      }
      drop_point(without.path, corner);
      options.push_back(without);
      for (const double slide : kSlides) {
        Laid laid = without;
        std::size_t back = corner - 1;
        if (slide_back(laid, back, slide * rules_.radius_m, rules_))
          options.push_back(std::move(laid));
      }
      if (both_short) return;
    }
  }

  // Only segments that the path did not have before are looked at.
  bool is_allowed(const TrackPath& before, const TrackPath& after) const {
    for (std::size_t i = 0; i + 1 < after.points.size(); ++i) {
      const Vec3& a = after.points[i];
      const Vec3& b = after.points[i + 1];
      bool known = rules_.is_rigid(after.edges[i]);
      for (std::size_t k = 0; !known && k + 1 < before.points.size(); ++k)
        known =
            distance(before.points[k], a) < kShort && distance(before.points[k + 1], b) < kShort;
      if (!known && !rules_.is_clear(after.edges[i], a, b)) return false;
    }
    return true;
  }

  const EaseRules& rules_;
};

}  // namespace

int sheets_passed(const Vec3& a, const Vec3& b, const Room& room) {
  int passed = 0;
  for (const Sheet& sheet : room.sheets) {
    const double ha = sheet.frame.height(a);
    const double hb = sheet.frame.height(b);
    if (ha * hb >= 0 || std::min(std::fabs(ha), std::fabs(hb)) < kShort) continue;
    const Vec3 at = a + (ha / (ha - hb)) * (b - a);
    if (contains(sheet.region, sheet.frame.to_plane(at))) ++passed;
  }
  return passed;
}

TrackPath merge_straight(const TrackPath& path,
                         const std::function<bool(const PathEdge&, const PathEdge&)>& same,
                         const std::function<bool(const Vec3&)>& keep) {
  TrackPath merged;
  for (std::size_t i = 0; i < path.edges.size(); ++i) {
    if (i > 0 && !is_corner(path.points, i) && same(merged.edges.back(), path.edges[i]) &&
        !keep(path.points[i])) {
      merged.points.back() = path.points[i + 1];
      continue;
    }
    if (i == 0) merged.points.push_back(path.points[0]);
    merged.points.push_back(path.points[i + 1]);
    merged.edges.push_back(path.edges[i]);
  }
  return merged;
}

TrackPath ease_corners(TrackPath path, const EaseRules& rules) {
  if (path.points.size() < 3 || rules.radius_m <= 0) return path;
  return Easing(rules).eased(std::move(path));
}

}  // namespace roomloom
