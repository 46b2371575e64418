#include "takeoff/raceway_joints.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

#include "base/units.h"
#include "takeoff/built.h"
#include "takeoff/cells.h"

namespace roomloom {
namespace {

constexpr double kInLine = 1e-3;      // sine of an angle that still counts as straight
constexpr double kTouches_m = 0.012;  // stretches of unlike depth lie apart by less than this

struct Tip {
  int straight = -1;
  bool at_start = false;
};

Vec3 tip_point(const Straight& s, const Tip& tip) { return tip.at_start ? s.from : s.to; }
/// From the tip into the stretch.
Vec3 inward(const Straight& s, const Tip& tip) {
  return normalized(tip.at_start ? s.to - s.from : s.from - s.to);
}

bool in_line(const Vec3& a, const Vec3& b) { return norm(cross(a, b)) < kInLine; }

bool join(Straight& a, const Straight& b) {
  if (a.raceway != b.raceway || a.sheet != b.sheet || a.fixed != b.fixed) return false;
  if (!in_line(normalized(a.to - a.from), normalized(b.to - b.from))) return false;
  for (const auto& [near, far] : {std::pair{b.from, b.to}, std::pair{b.to, b.from}}) {
    if (distance(a.to, near) < 1e-6 && dot(a.to - a.from, far - near) > 0) return a.to = far, true;
    if (distance(a.from, near) < 1e-6 && dot(a.from - a.to, far - near) > 0)
      return a.from = far, true;
  }
  return false;
}

class Joiner {
 public:
  Joiner(const std::vector<Straight>& straights, const Takeoff& takeoff, const Ends& ends,
         const Job& job)
      : straights_(straights), takeoff_(takeoff), ends_(ends), job_(job) {
    joints_.starts.resize(straights.size());
    joints_.ends.resize(straights.size());
  }

  Joints run() {
    std::vector<Tip> tips;
    for (std::size_t i = 0; i < straights_.size(); ++i)
      for (const bool start : {true, false}) tips.push_back({static_cast<int>(i), start});
    std::vector<bool> done(tips.size(), false);
    for (std::size_t i = 0; i < tips.size(); ++i) {
      if (done[i]) continue;
      std::vector<Tip> group{tips[i]};
      for (std::size_t j = i + 1; j < tips.size(); ++j) {
        if (done[j] || tips[j].straight == tips[i].straight) continue;
        if (distance(point(tips[i]), point(tips[j])) > reach(tips[i], tips[j])) continue;
        done[j] = true;
        group.push_back(tips[j]);
      }
      make(group);
    }
    std::stable_sort(joints_.fittings.begin(), joints_.fittings.end(),
                     [&](const RacewayFitting& a, const RacewayFitting& b) {
                       return a.raceway != b.raceway ? rank(a.raceway) < rank(b.raceway)
                                                     : a.kind < b.kind;
                     });
    return std::move(joints_);
  }

 private:
  const Straight& straight(const Tip& tip) const { return element(straights_, tip.straight); }
  Vec3 point(const Tip& tip) const { return tip_point(straight(tip), tip); }
  const RacewayType& type(const Tip& tip) const {
    return element(job_.catalogue.raceways, straight(tip).raceway);
  }
  int rank(const std::string& id) const {
    for (std::size_t i = 0; i < job_.catalogue.raceways.size(); ++i)
      if (job_.catalogue.raceways[i].id == id) return static_cast<int>(i);
    return -1;
  }
  double reach(const Tip& a, const Tip& b) const {
    return kTouches_m + 0.5 * (type(a).depth_m + type(b).depth_m);
  }

  StraightEnd& made(const Tip& tip) {
    return (tip.at_start ? joints_.starts : joints_.ends)[static_cast<std::size_t>(tip.straight)];
  }

  void say(const Tip& tip, const std::string& words, double longer_m) {
    made(tip).words = words;
    made(tip).longer_m = longer_m;
  }

  void count(const std::string& raceway, const std::string& kind) {
    if (!counted_at_) return;
    ++made(*counted_at_).fittings;
    for (RacewayFitting& fitting : joints_.fittings)
      if (fitting.raceway == raceway && fitting.kind == kind) {
        ++fitting.count;
        return;
      }
    joints_.fittings.push_back({raceway, kind, 1, 0});
  }

  /// A joint is counted in the largest of the sizes that meet.
  const std::string& largest(const std::vector<Tip>& group) const {
    const auto tip = std::max_element(group.begin(), group.end(), [&](const Tip& a, const Tip& b) {
      return straight(a).raceway < straight(b).raceway;
    });
    return type(*tip).id;
  }

  void make(const std::vector<Tip>& group) {
    // What is there already needs no fitting.
    const auto fresh = std::find_if(group.begin(), group.end(),
                                    [&](const Tip& tip) { return !straight(tip).fixed; });
    counted_at_ = fresh != group.end() ? std::optional(*fresh) : std::nullopt;
    if (group.size() == 1)
      make_stop(group.front());
    else if (group.size() == 2)
      make_meeting(group[0], group[1]);
    else
      make_tee(group);
  }

  /// Another stretch that the tip stops at the side of, on its own sheet or round a corner; -1.
  int passed_by(const Tip& tip) const {
    const Vec3 at = point(tip);
    for (std::size_t i = 0; i < straights_.size(); ++i) {
      if (static_cast<int>(i) == tip.straight) continue;
      const Vec3 along = straights_[i].to - straights_[i].from;
      const double t = dot(at - straights_[i].from, along) / dot(along, along);
      if (t <= 0 || t >= 1 || in_line(inward(straight(tip), tip), normalized(along))) continue;
      if (distance(at, straights_[i].from + t * along) <= reach(tip, {static_cast<int>(i), true}))
        return static_cast<int>(i);
    }
    return -1;
  }

  /// The hole that an end piece covers where the stretch stops. Of a short stretch beside one hole
  /// only the end that is nearer to it has that piece.
  const HoleRow* hole_under(const Tip& tip) const {
    const Tip other{tip.straight, !tip.at_start};
    const HoleRow* nearest = nullptr;
    for (const HoleRow& hole : takeoff_.holes) {
      const double away = distance(hole.centre, point(tip));
      if (away > 0.5 * hole.diameter_m + type(tip).depth_m + 0.1) continue;
      if (distance(hole.centre, point(other)) < away - 1e-6) continue;
      if (nearest == nullptr || away < distance(nearest->centre, point(tip))) nearest = &hole;
    }
    return nearest;
  }

  void make_stop(const Tip& tip) {
    if (const int other = passed_by(tip); other >= 0) {
      const Straight& side = element(straights_, other);
      const RacewayType& size = element(job_.catalogue.raceways, side.raceway);
      const bool one_sheet = side.sheet == straight(tip).sheet;
      say(tip,
          one_sheet ? "square, tee into the other" : "square, tee into the other in the corner",
          -0.5 * (one_sheet ? size.width_m : size.depth_m));
      count(size.id, "tee");
      return;
    }
    if (const HoleRow* hole = hole_under(tip)) {
      say(tip, "square, end piece over hole " + hole->name, 0);
      count(type(tip).id, "end piece over a hole");
      return;
    }
    for (const End& end : ends_.ends) {
      if (distance(end.place.position, point(tip)) > 0.06) continue;
      say(tip, "square, at the box of " + end.id, 0);
      return;
    }
    // Cable lies in every stretch and goes on from its end.
    std::vector<std::string> out;
    for (const int run : straight(tip).runs) out.push_back(element(ends_.runs, run).id);
    say(tip, "square, end cap cut out for " + listed(out, ", "), 0);
    count(type(tip).id, "end cap");
  }

  void make_meeting(const Tip& a, const Tip& b) {
    const Vec3 in_a = inward(straight(a), a), in_b = inward(straight(b), b);
    const bool one_sheet = in_line(straight(a).normal, straight(b).normal);
    if (in_line(in_a, in_b)) {
      const bool same = straight(a).raceway == straight(b).raceway;
      for (const Tip& tip : {a, b}) say(tip, same ? "square, joiner" : "square, reducer", 0);
      count(largest({a, b}), same ? "joiner" : "reducer");
      return;
    }
    // From one stretch onto the other: towards the viewer is an inside corner.
    const char* kind = one_sheet                           ? "flat elbow"
                       : dot(in_b, straight(a).normal) > 0 ? "inside corner"
                                                           : "outside corner";
    const double turn_rad = std::acos(std::clamp(-dot(in_a, in_b), -1.0, 1.0));
    if (job_.work.corners == RacewayCorners::butt || straight(a).raceway != straight(b).raceway)
      make_butt(a, b, kind, one_sheet);
    else
      make_mitre(a, b, kind, one_sheet, turn_rad);
  }

  /// Half of what a stretch takes up across the joint.
  double half(const Tip& tip, bool one_sheet) const {
    return 0.5 * (one_sheet ? type(tip).width_m : type(tip).depth_m);
  }

  /// The larger runs through, of equals the longer. Its end stays open but in an inside corner,
  /// where the other face closes it.
  void make_butt(const Tip& a, const Tip& b, const std::string& kind, bool one_sheet) {
    const auto order = [&](const Tip& tip) {
      return std::pair(straight(tip).raceway, distance(straight(tip).from, straight(tip).to));
    };
    const bool a_through = order(a) >= order(b);
    const Tip &through = a_through ? a : b, &stops = a_through ? b : a;
    const bool open = kind != "inside corner";
    say(through, "square, runs through the " + kind + (open ? ", end cap" : ""),
        half(stops, one_sheet));
    say(stops, "square, butts in the " + kind, -half(through, one_sheet));
    if (open) count(type(through).id, "end cap");
  }

  void make_mitre(const Tip& a, const Tip& b, const std::string& kind, bool one_sheet,
                  double turn_rad) {
    const std::string angle = format_number(degrees(turn_rad) / 2, 0) + " deg mitre, ";
    for (const Tip& tip : {a, b})
      say(tip, angle + kind, half(tip, one_sheet) * std::tan(std::min(turn_rad, 2.8) / 2));
    if (job_.work.corners == RacewayCorners::covered) count(type(a).id, kind);
  }

  void make_tee(const std::vector<Tip>& group) {
    const std::string kind = group.size() == 3 ? "tee" : "cross";
    for (const Tip& tip : group) say(tip, "square, " + kind, 0);
    count(largest(group), kind);
  }

  const std::vector<Straight>& straights_;
  const Takeoff& takeoff_;
  const Ends& ends_;
  const Job& job_;
  Joints joints_;
  std::optional<Tip> counted_at_;  ///< where fittings of the joint at hand are counted, if at all
};

}  // namespace

std::vector<Straight> straights_of(const CableShapes& shapes, const Room& room, const Job& job) {
  std::vector<Straight> straights;
  for (const RacewayShape& shape : shapes.raceways)
    if (distance(shape.from, shape.to) > 1e-6)
      straights.push_back({shape.raceway, shape.sheet, shape.from, shape.to, shape.normal,
                           shape.runs,
                           is_fixed(element(job.catalogue.raceways, shape.raceway).id, shape.sheet,
                                    shape.from, shape.to, room, job.as_built)});
  for (std::size_t i = 0; i < straights.size(); ++i) {
    for (bool grown = true; grown;) {
      grown = false;
      for (std::size_t j = i + 1; j < straights.size() && !grown; ++j) {
        if (!join(straights[i], straights[j])) continue;
        std::vector<int> both;
        std::set_union(straights[i].runs.begin(), straights[i].runs.end(),
                       straights[j].runs.begin(), straights[j].runs.end(),
                       std::back_inserter(both));
        straights[i].runs = std::move(both);
        straights.erase(straights.begin() + static_cast<std::ptrdiff_t>(j));
        grown = true;
      }
    }
  }
  return straights;
}

Joints join_straights(const std::vector<Straight>& straights, const Takeoff& takeoff,
                      const Ends& ends, const Job& job) {
  return Joiner(straights, takeoff, ends, job).run();
}

}  // namespace roomloom
