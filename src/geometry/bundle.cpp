#include "geometry/bundle.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <random>

namespace roomloom {
namespace {

double reach(const std::vector<Disc>& discs, const Vec2& from) {
  double furthest = 0;
  for (const Disc& disc : discs)
    furthest = std::max(furthest, norm(disc.centre - from) + disc.radius_m);
  return furthest;
}

// The circle that two discs touch from within, at opposite sides.
Disc round_two(const Disc& a, const Disc& b) {
  const double apart = norm(b.centre - a.centre);
  if (apart <= 0) return a.radius_m > b.radius_m ? a : b;
  const double radius = 0.5 * (apart + a.radius_m + b.radius_m);
  return {a.centre + ((radius - a.radius_m) / apart) * (b.centre - a.centre), radius};
}

// The circles that three discs touch from within (problem of Apollonius): the differences of their
// equations are linear in the centre, which leaves a quadratic equation for the radius.
std::vector<Disc> round_three(const Disc& a, const Disc& b, const Disc& c) {
  const Vec2 ab = b.centre - a.centre;
  const Vec2 ac = c.centre - a.centre;
  const double turn = 2 * cross(ab, ac);
  if (std::fabs(turn) < 1e-18) return {};
  const auto known = [&](const Vec2& to, const Disc& disc) {
    return dot(to, to) - disc.radius_m * disc.radius_m + a.radius_m * a.radius_m;
  };
  const auto solved = [&](double one, double two) {
    return (1 / turn) * Vec2{one * ac.y - two * ab.y, two * ab.x - one * ac.x};
  };
  const Vec2 p = solved(known(ab, b), known(ac, c));
  const Vec2 q = solved(2 * (b.radius_m - a.radius_m), 2 * (c.radius_m - a.radius_m));
  const double square = dot(q, q) - 1;
  const double half = dot(p, q) + a.radius_m;
  const double rest = dot(p, p) - a.radius_m * a.radius_m;
  std::vector<double> radii;
  if (std::fabs(square) < 1e-15) {
    if (half != 0) radii = {-rest / (2 * half)};
  } else if (const double inside = half * half - square * rest; inside >= 0) {
    radii = {(-half - std::sqrt(inside)) / square, (-half + std::sqrt(inside)) / square};
  }
  std::vector<Disc> circles;
  for (const double radius : radii)
    if (radius > 0) circles.push_back({a.centre + p + radius * q, radius});
  return circles;
}

// The least circle round at most four discs that touches `last`.
std::vector<Disc> touching(const std::vector<Disc>& basis, const Disc& last, Disc& circle) {
  const std::vector<Disc> all = [&] {
    std::vector<Disc> discs = basis;
    discs.push_back(last);
    return discs;
  }();
  std::vector<Disc> best;
  const auto offer = [&](const Disc& round, std::vector<Disc> by) {
    if (reach(all, round.centre) > round.radius_m + 1e-12) return;
    if (!best.empty() && round.radius_m >= circle.radius_m) return;
    circle = round;
    best = std::move(by);
  };
  offer(last, {last});
  for (std::size_t i = 0; i < basis.size(); ++i) {
    offer(round_two(basis[i], last), {basis[i], last});
    for (std::size_t j = i + 1; j < basis.size(); ++j)
      for (const Disc& round : round_three(basis[i], basis[j], last))
        offer(round, {basis[i], basis[j], last});
  }
  return best;
}

// The two places of a disc of radius r that touches both a and b.
std::vector<Vec2> touching_both(const Disc& a, const Disc& b, double r) {
  const Vec2 ab = b.centre - a.centre;
  const double d = norm(ab);
  const double ra = a.radius_m + r;
  const double rb = b.radius_m + r;
  if (d <= 0 || d > ra + rb) return {};
  const double along = (d * d + ra * ra - rb * rb) / (2 * d);
  const double aside = std::sqrt(std::max(0.0, ra * ra - along * along));
  const Vec2 e = (1 / d) * ab;
  const Vec2 foot = a.centre + along * e;
  return {foot + Vec2{-aside * e.y, aside * e.x}, foot - Vec2{-aside * e.y, aside * e.x}};
}

bool is_clear(const std::vector<Disc>& placed, const Disc& disc) {
  return std::all_of(placed.begin(), placed.end(), [&](const Disc& other) {
    return norm(other.centre - disc.centre) >= other.radius_m + disc.radius_m - 1e-12;
  });
}

Vec2 centre_of_area(const std::vector<Disc>& discs) {
  Vec2 sum;
  double weight = 0;
  for (const Disc& disc : discs) {
    const double area = disc.radius_m * disc.radius_m;
    sum = sum + area * disc.centre;
    weight += area;
  }
  return (1 / weight) * sum;
}

// Puts the next disc, touching two others, as near to the middle as it goes.
void place_next(std::vector<Disc>& placed, double radius) {
  if (placed.empty()) {
    placed.push_back({{0, 0}, radius});
    return;
  }
  if (placed.size() == 1) {
    placed.push_back({{placed[0].radius_m + radius, 0}, radius});
    return;
  }
  const Vec2 middle = centre_of_area(placed);
  Disc best{{0, 0}, radius};
  double best_reach = -1;
  for (std::size_t i = 0; i < placed.size(); ++i) {
    for (std::size_t j = i + 1; j < placed.size(); ++j) {
      const Vec2 apart = placed[j].centre - placed[i].centre;
      const double most = placed[i].radius_m + placed[j].radius_m + 2 * radius;
      if (dot(apart, apart) > most * most) continue;  // too far apart to touch both
      for (const Vec2& centre : touching_both(placed[i], placed[j], radius)) {
        const double out = norm(centre - middle);
        if ((best_reach < 0 || out < best_reach - 1e-12) && is_clear(placed, {centre, radius})) {
          best.centre = centre;
          best_reach = out;
        }
      }
    }
  }
  if (best_reach < 0) best.centre = middle + Vec2{reach(placed, middle) + radius, 0};
  placed.push_back(best);
}

// Moves discs out of each other and into the circle, all a little; what is left to move.
double push_apart(std::vector<Disc>& discs, double inside_radius) {
  double worst = 0;
  for (std::size_t i = 0; i < discs.size(); ++i) {
    for (std::size_t j = i + 1; j < discs.size(); ++j) {
      const Vec2 way = discs[j].centre - discs[i].centre;
      const double apart = norm(way);
      const double overlap = discs[i].radius_m + discs[j].radius_m - apart;
      if (overlap <= 0) continue;
      const Vec2 unit = apart > 1e-12 ? (1 / apart) * way : Vec2{1, 0};
      discs[i].centre = discs[i].centre - (0.5 * overlap) * unit;
      discs[j].centre = discs[j].centre + (0.5 * overlap) * unit;
      worst = std::max(worst, overlap);
    }
  }
  for (Disc& disc : discs) {
    const double out = norm(disc.centre), beyond = out + disc.radius_m - inside_radius;
    if (beyond <= 0 || out <= 0) continue;
    disc.centre = ((out - beyond) / out) * disc.centre;
    worst = std::max(worst, beyond);
  }
  return worst;
}

// Equal circles as bees lay them, about a cell's middle, a corner or the middle of a side: the
// least of the three, over the diameter of one circle.
double honeycomb_ratio(std::size_t count) {
  const double high = std::sqrt(0.75);
  const int reach = static_cast<int>(std::ceil(std::sqrt(static_cast<double>(count)))) + 2;
  double least = Box3::kInf;
  for (const Vec2& middle : {Vec2{0, 0}, Vec2{0.5, high / 3}, Vec2{0.5, 0}}) {
    std::vector<double> away;
    for (int a = -reach; a <= reach; ++a)
      for (int b = -reach; b <= reach; ++b)
        away.push_back(norm(Vec2{a + 0.5 * b, high * b} - middle));
    std::nth_element(away.begin(), away.begin() + static_cast<std::ptrdiff_t>(count) - 1,
                     away.end());
    least = std::min(least, 2 * away[count - 1] + 1);
  }
  return least;
}

}  // namespace

std::vector<Disc> packed_bundle(std::vector<double> diameters_m) {
  std::sort(diameters_m.rbegin(), diameters_m.rend());
  std::vector<Disc> placed;
  for (const double diameter : diameters_m) place_next(placed, diameter / 2);
  return placed;
}

std::vector<Disc> bundle_within(const std::vector<double>& diameters_m, double inside_m) {
  constexpr std::size_t kMost = 40;
  constexpr int kStarts = 60, kRounds = 3000;
  constexpr double kTouch_m = 1e-7;
  double squares = 0;
  for (const double diameter : diameters_m) squares += diameter * diameter;
  if (diameters_m.size() > kMost || squares > inside_m * inside_m) return {};
  std::minstd_rand random(1);  // its numbers are the same everywhere
  const auto somewhere = [&] { return (static_cast<double>(random() % 20001) / 1e4 - 1); };
  for (int start = 0; start < kStarts; ++start) {
    std::vector<Disc> discs;
    for (const double diameter : diameters_m)
      discs.push_back({0.5 * inside_m * Vec2{somewhere(), somewhere()}, diameter / 2});
    for (int round = 0; round < kRounds; ++round)
      if (push_apart(discs, inside_m / 2) <= kTouch_m) return discs;
  }
  return {};
}

bool any_meet(const std::vector<Disc>& discs) {
  for (std::size_t i = 0; i < discs.size(); ++i)
    for (std::size_t j = i + 1; j < discs.size(); ++j)
      if (norm(discs[j].centre - discs[i].centre) < discs[i].radius_m + discs[j].radius_m - 1e-9)
        return true;
  return false;
}

std::vector<Vec2> turned_bundle(const std::vector<Disc>& cables, const std::vector<Vec2>& wanted,
                                double inside_m) {
  std::vector<std::size_t> order(cables.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return cables[a].radius_m > cables[b].radius_m;
  });
  std::vector<double> diameters;
  for (const Disc& cable : cables) diameters.push_back(2 * cable.radius_m);
  std::sort(diameters.rbegin(), diameters.rend());
  std::vector<Disc> discs = packed_bundle(diameters);
  Disc round = enclosing_circle(discs);
  if (2 * round.radius_m > inside_m) {
    if (const auto within = bundle_within(diameters, inside_m); !within.empty()) {
      discs = within;
      round = {{0, 0}, inside_m / 2};
    }
  }
  const Vec2 middle = round.centre;
  Vec2 mean;
  for (const Vec2& at : wanted) mean = mean + (1.0 / static_cast<double>(wanted.size())) * at;
  // The turn of least squared distances (the plane's case of the orthogonal Procrustes problem).
  double along = 0, across = 0;
  for (std::size_t k = 0; k < order.size(); ++k) {
    along += dot(discs[k].centre - middle, wanted[order[k]] - mean);
    across += cross(discs[k].centre - middle, wanted[order[k]] - mean);
  }
  const double turn = along == 0 && across == 0 ? 0 : std::atan2(across, along);
  const Vec2 x{std::cos(turn), std::sin(turn)}, y{-x.y, x.x};
  std::vector<Vec2> places(order.size());
  for (std::size_t k = 0; k < order.size(); ++k) {
    const Vec2 at = discs[k].centre - middle;
    places[order[k]] = at.x * x + at.y * y;
  }
  return places;
}

Disc enclosing_circle(const std::vector<Disc>& discs) {
  if (discs.empty()) return {};
  Disc circle = discs[0];
  std::vector<Disc> basis = {circle};
  // Each round takes in the disc that sticks out furthest; the circle only grows, so it ends.
  for (;;) {
    const auto out =
        std::max_element(discs.begin(), discs.end(), [&](const Disc& a, const Disc& b) {
          return norm(a.centre - circle.centre) + a.radius_m <
                 norm(b.centre - circle.centre) + b.radius_m;
        });
    const double sticks_out = norm(out->centre - circle.centre) + out->radius_m - circle.radius_m;
    if (sticks_out < 1e-11) break;
    const double before = circle.radius_m;
    Disc next = circle;
    auto by = touching(basis, *out, next);
    if (by.empty() || next.radius_m <= before) break;  // rounding: what is left is less than 1e-9
    basis = std::move(by);
    circle = next;
  }
  return {circle.centre, reach(discs, circle.centre)};
}

double circle_packing_ratio(int count) {
  static const std::array<double, 20> kRatios = {1,     2,     2.155, 2.415, 2.702, 3,     3,
                                                 3.305, 3.614, 3.814, 3.924, 4.030, 4.237, 4.329,
                                                 4.522, 4.616, 4.793, 4.864, 4.864, 5.123};
  return kRatios[static_cast<std::size_t>(std::clamp(count, 1, 20) - 1)];
}

double bundle_diameter(std::vector<double> diameters_m) {
  if (diameters_m.empty()) return 0;
  const double packed = 2 * enclosing_circle(packed_bundle(diameters_m)).radius_m;
  const std::size_t count = diameters_m.size();
  const double ratio =
      count > 20 ? honeycomb_ratio(count) : circle_packing_ratio(static_cast<int>(count));
  return std::min(packed, ratio * *std::max_element(diameters_m.begin(), diameters_m.end()));
}

double hole_saw_size(double at_least_m) {
  static const std::array<int, 33> kSizes = {16, 19, 20, 22, 25, 29, 32,  35,  38,  41,  44,
                                             48, 51, 54, 57, 60, 64, 67,  70,  73,  76,  79,
                                             83, 86, 89, 92, 95, 98, 102, 114, 127, 140, 152};
  for (const int size : kSizes)
    if (size * 1e-3 >= at_least_m - 1e-6) return size * 1e-3;
  return std::ceil(at_least_m * 100 - 1e-6) / 100;
}

}  // namespace roomloom
