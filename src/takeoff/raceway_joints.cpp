#include "takeoff/raceway_joints.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "base/units.h"
#include "takeoff/boxes.h"
#include "takeoff/cells.h"
#include "takeoff/raceway_tips.h"
#include "takeoff/raceway_ways_out.h"

namespace roomloom {
namespace {

constexpr double kMostMoved_m = 0.3;  // that a joint lies off where the tracks turn

class Joiner {
 public:
  Joiner(const std::vector<Straight>& straights, const Takeoff& takeoff,
         const std::vector<Termination>& terminations, const Ends& ends, const Job& job)
      : tips_(straights, job.catalogue),
        takeoff_(takeoff),
        terminations_(terminations),
        ends_(ends),
        job_(job) {
    joints_.starts.resize(straights.size());
    joints_.ends.resize(straights.size());
    let_out_.resize(2 * straights.size());
  }

  Joints run() {
    for (const std::vector<Tip>& group : tips_.groups()) {
      make(group);
      lead_on(group);
    }
    for (std::size_t i = 0; i < joints_.starts.size(); ++i)
      for (const bool start : {true, false}) enter_box({static_cast<int>(i), start});
    joints_.ways_out = ways_out_of(tips_, let_out_, takeoff_.holes, terminations_, ends_);
    std::stable_sort(joints_.fittings.begin(), joints_.fittings.end(),
                     [&](const RacewayFitting& a, const RacewayFitting& b) {
                       return a.raceway != b.raceway ? rank(a.raceway) < rank(b.raceway)
                                                     : a.kind < b.kind;
                     });
    return std::move(joints_);
  }

 private:
  int rank(const std::string& id) const {
    for (std::size_t i = 0; i < job_.catalogue.raceways.size(); ++i)
      if (job_.catalogue.raceways[i].id == id) return static_cast<int>(i);
    return -1;
  }
  StraightEnd& made(const Tip& tip) {
    return (tip.at_start ? joints_.starts : joints_.ends)[static_cast<std::size_t>(tip.straight)];
  }

  void say(const Tip& tip, const std::string& words, double longer_m) {
    made(tip).words = words;
    made(tip).longer_m = std::clamp(longer_m, -kMostMoved_m, kMostMoved_m);
  }

  /// Whether the words of an end name a fitting: "square, tee 40 x 25, into the side of the other".
  static bool is_named(const std::string& words, const std::string& fitting) {
    return (words + ",").find(", " + fitting + ",") != std::string::npos ||
           words.find(", " + fitting + ": ") != std::string::npos;
  }

  /// Counts one fitting of a joint of these tips, with one of them; what is there already, by the
  /// record of a piece or because all pieces are, needs none. Returns how an end names it: "tee 40
  /// x 25".
  std::string fitting(const std::string& kind, const std::string& size,
                      const std::vector<Tip>& tips) {
    const auto fresh = std::find_if(tips.begin(), tips.end(),
                                    [&](const Tip& tip) { return !tips_.straight(tip).fixed; });
    const std::string name = kind + " " + size;
    const bool there = std::any_of(tips.begin(), tips.end(), [&](const Tip& tip) {
      const Straight& one = tips_.straight(tip);
      return is_named(tip.at_start ? one.start_is : one.end_is, name);
    });
    if (there || fresh == tips.end()) return name + ", there already";
    ++made(*fresh).fittings;
    for (RacewayFitting& one : joints_.fittings)
      if (one.raceway == size && one.kind == kind) return ++one.count, name;
    joints_.fittings.push_back({size, kind, 1, 0});
    return name;
  }

  /// A joint is counted in the largest of the sizes that meet.
  const std::string& largest(const std::vector<Tip>& tips) const {
    const auto tip = std::max_element(tips.begin(), tips.end(), [&](const Tip& a, const Tip& b) {
      return tips_.straight(a).raceway < tips_.straight(b).raceway;
    });
    return tips_.type(*tip).id;
  }

  void make(const std::vector<Tip>& group) {
    const std::vector<Arm> arms = tips_.arms_of(group);
    const bool at_sides = std::all_of(group.begin(), group.end(),
                                      [&](const Tip& tip) { return tips_.passed_by(tip) >= 0; });
    if (at_sides && group.size() == 2 &&
        RacewayTips::in_line(tips_.inward(group[0]), tips_.inward(group[1])))
      make_side_cross(group[0], group[1]);
    else if (at_sides || arms.size() == 1)
      for (const Tip& tip : group) make_stop(tip);
    else if (arms.size() == 2)
      make_meeting(arms[0], arms[1]);
    else
      make_tee_of_outer(arms);
  }

  void enter_box(const Tip& tip) {
    if (tips_.box(tip) < 0) return;
    say(tip,
        "square, into " + box_words(element(takeoff_.boxes, tips_.box(tip)), ends_) +
            ", no fitting",
        0);
    for (const int run : tips_.runs_at(tip)) let_out(tip).insert(run);
  }

  /// Cables that lie in several stretches of a joint go on from one into the other.
  void lead_on(const std::vector<Tip>& group) {
    for (const Tip& tip : group) {
      for (const Tip& other : group)
        if (other.straight != tip.straight)
          for (const int run : tips_.runs_at(other)) let_out(tip).insert(run);
      if (const int passed = tips_.passed_by(tip); passed >= 0)
        for (const int run : tips_.straight({passed, true}).runs) let_out(tip).insert(run);
    }
  }

  std::set<int>& let_out(const Tip& tip) {
    return let_out_[2 * static_cast<std::size_t>(tip.straight) + (tip.at_start ? 0 : 1)];
  }

  /// The hole that an end piece covers where the stretch stops. Of a short stretch beside one hole
  /// only the end that is nearer to it has that piece.
  const HoleRow* hole_under(const Tip& tip) const {
    const Tip other{tip.straight, !tip.at_start};
    const HoleRow* nearest = nullptr;
    for (const HoleRow& hole : takeoff_.holes) {
      const double away = distance(hole.centre, tips_.point(tip));
      if (!is_over(hole, tips_.point(tip), tips_.type(tip))) continue;
      if (distance(hole.centre, tips_.point(other)) < away - 1e-6) continue;
      if (nearest == nullptr || away < distance(nearest->centre, tips_.point(tip))) nearest = &hole;
    }
    return nearest;
  }

  void make_stop(const Tip& tip) {
    if (const int other = tips_.passed_by(tip); other >= 0) return make_side_tee(tip, other);
    const std::vector<int> runs = tips_.runs_at(tip);
    if (const HoleRow* hole = hole_under(tip)) {
      for (const int run : runs)
        if (const std::string& id = element(ends_.runs, run).id;
            std::find(hole->runs.begin(), hole->runs.end(), id) != hole->runs.end())
          let_out(tip).insert(run);
      return say(tip,
                 "square, " + fitting("end piece over a hole", tips_.type(tip).id, {tip}) + ": " +
                     hole->name,
                 0);
    }
    let_out(tip).insert(runs.begin(), runs.end());
    const Termination* end = end_near(tips_.point(tip), runs, kAtEnd_m, terminations_, ends_);
    const std::string id = end == nullptr ? "" : element(ends_.ends, end->end).id;
    if (end != nullptr && !end->box.empty())
      return say(tip, "square, into box " + end->box + " of " + id + ", no fitting", 0);
    if (end != nullptr && end->box_there)
      return say(tip, "square, into the box of " + id + " that is there, no fitting", 0);
    std::vector<std::string> out;
    for (const int run : runs) out.push_back(element(ends_.runs, run).id);
    std::string words = "square, " + fitting("end cap", tips_.type(tip).id, {tip});
    if (!out.empty()) words += ", cut out for " + listed(out, ", ");
    if (end != nullptr) words += (end->state == "leave coiled" ? ", coiled at " : ", at ") + id;
    say(tip, words, 0);
  }

  void make_side_tee(const Tip& tip, int other) {
    const Straight& side = tips_.straight({other, true});
    const RacewayType& size = element(job_.catalogue.raceways, side.raceway);
    const bool one_sheet = side.sheet == tips_.straight(tip).sheet;
    const std::string where = one_sheet ? "" : " in the corner";
    say(tip, "square, " + fitting("tee", size.id, {tip}) + ", into the side of the other" + where,
        tips_.to_crossing(tip, {other, true}) - tips_.half({other, true}, one_sheet));
  }

  /// Two that stop at both sides of one that passes.
  void make_side_cross(const Tip& a, const Tip& b) {
    const Tip passing{tips_.passed_by(a), true};
    const std::string name = fitting("cross", largest({a, b, passing}), {a, b});
    for (const Tip& tip : {a, b})
      say(tip, "square, " + name + ", into a side of the other",
          tips_.to_crossing(tip, passing) -
              tips_.half(passing, tips_.straight(passing).sheet == tips_.straight(tip).sheet));
  }

  /// A raceway beside one that goes on, which itself has nothing to go on in: its cables move over.
  void make_beside(const Tip& tip) {
    say(tip,
        "square, " + fitting("end cap", tips_.type(tip).id, {tip}) +
            ", opened into the one beside it",
        0);
  }

  /// Told before the fitting that it needs none of, which words end with.
  static void open_beside(std::string& words) {
    const std::size_t none = words.find(", no fitting");
    words.insert(std::min(none, words.size()), ", opened into the one beside it");
  }

  void make_meeting(const Arm& a, const Arm& b) {
    const bool straight_on = RacewayTips::in_line(a.inward, b.inward);
    const std::vector<TipPair> pairs =
        straight_on ? tips_.pairs_in_line(a, b) : tips_.pairs_in_corner(a, b);
    std::vector<Tip> alone = a.tips;
    alone.insert(alone.end(), b.tips.begin(), b.tips.end());
    for (const auto& [one, other] : pairs) {
      straight_on ? make_joiner(one, other) : make_corner(one, other);
      std::erase_if(alone, [&, i = one.straight, j = other.straight](const Tip& tip) {
        return tip.straight == i || tip.straight == j;
      });
    }
    for (const Tip& tip : alone) pairs.empty() ? make_stop(tip) : make_beside(tip);
  }

  void make_joiner(const Tip& a, const Tip& b) {
    // In one corner, on both its faces: no piece joins these.
    if (tips_.along_edge(a, b)) return make_beside(a), make_beside(b);
    const bool same = tips_.straight(a).raceway == tips_.straight(b).raceway;
    const std::string name = fitting(same ? "joiner" : "reducer", largest({a, b}), {a, b});
    for (const Tip& tip : {a, b}) say(tip, "square, " + name, 0);
  }

  /// One that runs along the edge of a corner, and one that comes to it on the other face.
  void make_into_front(const Tip& along, const Tip& across) {
    const double lean = std::abs(dot(tips_.inward(along), tips_.inward(across)));
    const double slant = std::sqrt(std::max(0.01, 1 - lean * lean)),
                 wide = tips_.half(across, true);
    const std::string cut =
        lean < 0.02 ? "square" : format_number(degrees(std::acos(lean)), 0) + " deg cut";
    say(along,
        "square, " + fitting("end cap", tips_.type(along).id, {along, across}) +
            ", runs along the corner past the other",
        tips_.to_crossing(along, across) + wide / slant);
    say(across, cut + ", butts against the other's front in the corner, no fitting",
        tips_.to_crossing(across, along) - (tips_.half(along, false) - wide * lean) / slant);
  }

  void make_corner(const Tip& a, const Tip& b) {
    if (tips_.along_edge(a, b)) return make_into_front(a, b);
    if (tips_.along_edge(b, a)) return make_into_front(b, a);
    const bool one_sheet = RacewayTips::in_line(tips_.straight(a).normal, tips_.straight(b).normal);
    // From one stretch onto the other: towards the viewer is an inside corner.
    const char* kind = one_sheet                                            ? "flat"
                       : dot(tips_.inward(b), tips_.straight(a).normal) > 0 ? "inside"
                                                                            : "outside";
    if (job_.work.corners == RacewayCorners::butt ||
        tips_.straight(a).raceway != tips_.straight(b).raceway)
      make_butt(a, b, kind, one_sheet);
    else
      make_mitre(a, b, kind, one_sheet);
  }

  /// The larger runs through, of equals the longer. Its end stays open but in an inside corner,
  /// where the other face closes it.
  void make_butt(const Tip& a, const Tip& b, const std::string& kind, bool one_sheet) {
    const auto order = [&](const Tip& tip) {
      return std::pair(tips_.straight(tip).raceway,
                       distance(tips_.straight(tip).from, tips_.straight(tip).to));
    };
    const bool a_through = order(a) >= order(b);
    const Tip &through = a_through ? a : b, &stops = a_through ? b : a;
    say(through,
        "square, " + (kind == "inside" ? "up to the other face in the inside corner, no fitting"
                                       : fitting("end cap", tips_.type(through).id, {through}) +
                                             ", runs through the " + kind + " corner"),
        tips_.to_crossing(through, stops) + tips_.half(stops, one_sheet));
    say(stops, "square, butts against the other's side in the " + kind + " corner, no fitting",
        tips_.to_crossing(stops, through) - tips_.half(through, one_sheet));
  }

  void make_mitre(const Tip& a, const Tip& b, const std::string& kind, bool one_sheet) {
    const double turn_rad =
        std::acos(std::clamp(-dot(tips_.inward(a), tips_.inward(b)), -1.0, 1.0));
    const std::string angle = format_number(degrees(turn_rad) / 2, 0) + " deg mitre, ";
    const bool covered = job_.work.corners == RacewayCorners::covered;
    const std::string name = covered ? fitting(kind == "flat" ? "flat elbow" : kind + " corner",
                                               tips_.type(a).id, {a, b})
                                     : "mitred " + kind + " corner, no fitting";
    for (const auto& [tip, other] : {TipPair{a, b}, TipPair{b, a}})
      say(tip, angle + name,
          tips_.to_crossing(tip, other) +
              tips_.half(tip, one_sheet) * std::tan(std::min(turn_rad, 2.8) / 2));
  }

  /// Of stretches side by side one that comes from their side meets the outer one first: a corner,
  /// and what goes on in the others moves over. The others make their joint without these two.
  void make_tee_of_outer(std::vector<Arm> arms) {
    const Vec3 middle = tips_.middle_of(arms);
    for (std::size_t i = 0; i < arms.size() && arms.size() > 2; ++i)
      for (std::size_t j = 0; j < arms.size() && arms[i].tips.size() == 1; ++j) {
        Arm& many = arms[j];
        if (many.tips.size() < 2 || many.sheet != arms[i].sheet ||
            RacewayTips::in_line(many.inward, arms[i].inward))
          continue;
        const auto outer =
            std::max_element(many.tips.begin(), many.tips.end(), [&](const Tip& a, const Tip& b) {
              return dot(tips_.point(a) - tips_.point(b), arms[i].inward) < -1e-6;
            });
        if (outer->straight == nearest_to(middle, many).straight) continue;
        make_corner(arms[i].tips.front(), *outer);
        if (tips_.runs_at(*outer) != tips_.runs_at(arms[i].tips.front()))
          open_beside(made(*outer).words);
        many.tips.erase(outer);
        arms.erase(arms.begin() + static_cast<std::ptrdiff_t>(i));
        return make_tee_of_outer(std::move(arms));
      }
    arms.size() == 2 ? make_meeting(arms[0], arms[1]) : make_tee(arms);
  }

  Tip nearest_to(const Vec3& middle, const Arm& arm) const {
    return *std::min_element(arm.tips.begin(), arm.tips.end(), [&](const Tip& a, const Tip& b) {
      return distance(tips_.point(a), middle) < distance(tips_.point(b), middle) - 1e-9;
    });
  }

  /// Those in line meet under the fitting; the others stop at their sides.
  void make_tee(const std::vector<Arm>& arms) {
    const Vec3 middle = tips_.middle_of(arms);
    std::vector<Tip> leads;
    for (const Arm& arm : arms) leads.push_back(nearest_to(middle, arm));
    const std::string kind = arms.size() == 3   ? "tee"
                             : arms.size() == 4 ? "cross"
                                                : std::to_string(arms.size()) + "-way junction";
    const std::string name = fitting(kind, largest(leads), leads);
    const std::vector<std::size_t> through = tips_.through_arms(arms, leads);
    for (std::size_t i = 0; i < arms.size(); ++i) {
      double side = -1e9;
      if (std::find(through.begin(), through.end(), i) == through.end())
        for (const std::size_t j : through)
          for (const Tip& tip : arms[j].tips)
            side = std::max(side, dot(tips_.point(tip) - tips_.point(leads[i]), arms[i].inward) +
                                      tips_.half(tip, arms[j].sheet == arms[i].sheet));
      say(leads[i], "square, " + name, side > -1e9 ? -side : 0);
      for (const Tip& tip : arms[i].tips)
        if (tip.straight != leads[i].straight) make_beside(tip);
    }
  }

  const RacewayTips tips_;
  const Takeoff& takeoff_;
  const std::vector<Termination>& terminations_;
  const Ends& ends_;
  const Job& job_;
  Joints joints_;
  std::vector<std::set<int>> let_out_;  ///< by tip: runs that its end lets out or leads on
};

}  // namespace

Joints join_straights(const std::vector<Straight>& straights, const Takeoff& takeoff,
                      const std::vector<Termination>& terminations, const Ends& ends,
                      const Job& job) {
  return Joiner(straights, takeoff, terminations, ends, job).run();
}

}  // namespace roomloom
