#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "check/trade_check.h"

// What eyes see, told again from the written lines: by rays to samples, where the plan worked with
// the shadows of whole triangles.

namespace roomloom::check {
namespace {

constexpr double kStep_m = 0.025;
constexpr double kInRaceway_m = 0.04;
constexpr double kSameWay_m = 0.06;  ///< cables nearer than this lie together
constexpr double kTouch_m = 0.004;

struct Sample {
  Vec3 at;
  double metres = 0;
};

double to_segment(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 way = b - a;
  const double t = std::clamp(dot(p - a, way) / std::max(dot(way, way), 1e-12), 0.0, 1.0);
  return distance(p, a + t * way);
}

bool covered(const TradeView& view, const Vec3& p) {
  return std::any_of(view.plan.raceways.begin(), view.plan.raceways.end(),
                     [&](const TradeRaceway& piece) {
                       return to_segment(p, piece.from, piece.to) < kInRaceway_m;
                     });
}

bool shut_away(const TradeView& view, const TradeSample& sample) {
  if (sample.stretch == nullptr) return false;
  if (sample.stretch->place.kind == "conduit") return true;
  const TradeVoid* space = view.plan.void_of(sample.stretch->place);
  return space != nullptr && space->kind == "bay";
}

/// Ways and raceway, each once: what lies beside something listed already is left out.
class Ways {
 public:
  void add(const Vec3& at, double metres) {
    if (near(at)) return;
    const auto key = cell(at);
    cells_.insert({key, samples_.size()});
    samples_.push_back({at, metres});
  }
  /// What is added from here on is compared with what was there before.
  void begin_line() { old_ = samples_.size(); }
  const std::vector<Sample>& samples() const { return samples_; }

 private:
  using Cell = std::tuple<int, int, int>;
  static Cell cell(const Vec3& p) {
    const auto n = [](double x) { return static_cast<int>(std::floor(x / kSameWay_m)); };
    return {n(p.x), n(p.y), n(p.z)};
  }
  bool near(const Vec3& at) const {
    const auto [x, y, z] = cell(at);
    for (int i = x - 1; i <= x + 1; ++i)
      for (int j = y - 1; j <= y + 1; ++j)
        for (int k = z - 1; k <= z + 1; ++k) {
          auto it = cells_.lower_bound({Cell{i, j, k}, 0});
          for (; it != cells_.end() && it->first == Cell{i, j, k}; ++it)
            if (it->second < old_ && distance(samples_[it->second].at, at) < kSameWay_m)
              return true;
        }
    return false;
  }

  std::vector<Sample> samples_;
  std::set<std::pair<Cell, std::size_t>> cells_;
  std::size_t old_ = 0;
};

std::vector<Sample> ways_of(const TradeView& view) {
  Ways ways;
  for (const TradeRaceway& piece : view.plan.raceways) {
    const double length = distance(piece.from, piece.to);
    const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep_m)));
    ways.begin_line();
    for (int i = 0; i < steps; ++i)
      ways.add(piece.from + ((i + 0.5) / steps) * (piece.to - piece.from), length / steps);
  }
  for (const TradeCase& run : view.runs) {
    ways.begin_line();
    for (const TradeSample& sample : run.samples)
      if (!shut_away(view, sample) && !covered(view, sample.at)) ways.add(sample.at, sample.step_m);
  }
  return ways.samples();
}

enum class Veil { none, curtain, solid };

struct Veils {
  const TradeView& view;
  std::vector<Veil> of_part;

  explicit Veils(const TradeView& seen) : view(seen) {
    for (const TradePart& part : view.parts) of_part.push_back(veil_of(part));
  }

  Veil veil_of(const TradePart& part) const {
    if (part.rule != nullptr && part.rule->see_through)
      return *part.rule->see_through ? Veil::none : Veil::solid;
    if (!part.told) {  // the plan tells what it took it for
      const auto says = [&](const std::vector<std::string>& names) {
        return std::find(names.begin(), names.end(), part.part->name) != names.end();
      };
      if (says(view.plan.see_through)) return Veil::none;
      return says(view.plan.curtains) ? Veil::curtain : Veil::solid;
    }
    switch (part.role) {
      case Role::ignore:
      case Role::marker:
      case Role::window:
      case Role::hole:
      case Role::power:
      case Role::walkway:
        return Veil::none;
      case Role::curtain:
        return Veil::curtain;
      default:
        return Veil::solid;
    }
  }

  bool gear_between(const Vec3& a, const Vec3& b) const {
    return std::any_of(view.plan.gear.begin(), view.plan.gear.end(), [&](const TradeBox& box) {
      const Vec3 from = box.frame.to_local(a), way = box.frame.to_local(b) - from;
      double t0 = 0, t1 = 1 - kTouch_m / std::max(norm(way), kTouch_m);
      for (int axis = 0; axis < 3; ++axis) {
        if (std::abs(way[axis]) < 1e-12) {
          if (from[axis] < 0 || from[axis] > box.size[axis]) return false;
          continue;
        }
        const double s = -from[axis] / way[axis], t = (box.size[axis] - from[axis]) / way[axis];
        t0 = std::max(t0, std::min(s, t));
        t1 = std::min(t1, std::max(s, t));
      }
      return t0 < t1;
    });
  }

  /// What hides the point most: something solid, or but a curtain.
  Veil between(const Vec3& eye, const Vec3& p) const {
    if (gear_between(eye, p)) return Veil::solid;
    const double reach = distance(eye, p) - kTouch_m;
    Veil most = Veil::none;
    for (const RayHit& hit : view.tree.hits(eye, p)) {
      if (hit.t >= reach) break;
      if (hit.t <= 1e-6) continue;
      const Veil veil = of_part[static_cast<std::size_t>(view.part_of_triangle[hit.triangle])];
      if (veil == Veil::solid) return veil;
      if (veil == Veil::curtain) most = veil;
    }
    return most;
  }
};

struct Sums {
  double open_m = 0, closed_m = 0;
};

Sums seen_from(const Veils& veils, const TradeEye& eye, const std::vector<Sample>& samples) {
  Sums sums;
  for (const Sample& sample : samples) {
    Veil least = Veil::solid;
    for (const Vec3& at : eye.at) {
      least = std::min(least, veils.between(at, sample.at));
      if (least == Veil::none) break;
    }
    if (least == Veil::solid) continue;
    sums.open_m += sample.metres;
    if (least == Veil::none) sums.closed_m += sample.metres;
  }
  return sums;
}

/// Every seat that the job or the model names has an eye over it.
void check_seats_have_eyes(const TradeView& view, Findings& findings) {
  if (!view.job.sight.seats) return;
  for (const TradePart& part : view.parts) {
    const Vec3 size = part.box.empty() ? Vec3{} : part.box.size();
    if (part.role != Role::seat || std::min({size.x, size.y, size.z}) < 0.3) continue;
    const bool watched =
        std::any_of(view.plan.eyes.begin(), view.plan.eyes.end(), [&](const TradeEye& eye) {
          return std::any_of(eye.at.begin(), eye.at.end(), [&](const Vec3& at) {
            return at.x > part.box.low.x && at.x < part.box.high.x && at.y > part.box.low.y &&
                   at.y < part.box.high.y && at.z > part.box.high.z;
          });
        });
    if (!watched)
      tell(findings, "sight", Level::note, part.part->name,
           "The plan does not tell what is seen from " + part.part->name + ".", part.box.centre(),
           "Route again.", {"no eye over it", "one over each seat"});
  }
}

}  // namespace

void check_sight(const TradeView& view, Findings& findings) {
  check_seats_have_eyes(view, findings);
  if (view.plan.eyes.empty()) return;
  const std::vector<Sample> samples = ways_of(view);
  const Veils veils(view);
  for (const TradeEye& eye : view.plan.eyes) {
    const Sums sums = seen_from(veils, eye, samples);
    for (const bool closed : {false, true}) {
      const double said = closed ? eye.closed_m : eye.open_m;
      const double found = closed ? sums.closed_m : sums.open_m;
      if (std::abs(said - found) <= 0.3 + 0.2 * std::max(said, found)) continue;
      tell(findings, "sight", Level::should, eye.name,
           "From " + eye.name + " the plan says " + view.length(said) + " are seen" +
               (closed ? " with the curtains closed" : "") + "; rays to its written lines find " +
               view.length(found) + ".",
           eye.at.front(), "Route again.", {view.length(said), view.length(found)});
      break;
    }
  }
}

}  // namespace roomloom::check
