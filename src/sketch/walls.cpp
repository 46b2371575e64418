#include <algorithm>
#include <cmath>

#include "sketch/workshop.h"

namespace roomloom {
namespace {

constexpr double kRim = 0.001;  ///< least material left round an opening

/// An opening in its wall: a ring in (along, up), counter-clockwise as seen from inside. One that
/// reaches the floor starts with its two floor corners, left then right.
struct Opening {
  const OpeningSketch* sketch = nullptr;
  double left = 0, right = 0, low = 0, high = 0;
  Ring ring;
  bool at_floor() const { return low < kRim; }
};

Opening measured(const OpeningSketch& sketch, double left) {
  Opening opening{&sketch, left, left + sketch.width_m, sketch.up_m, sketch.up_m + sketch.height_m,
                  {}};
  if (opening.low < kRim) opening.low = 0;
  opening.ring = rectangle({opening.left, opening.low}, {opening.right, opening.high});
  return opening;
}

/// Round ones are measured to their centre.
Opening measured_round(const OpeningSketch& sketch, double centre) {
  const double r = sketch.diameter_m / 2;
  Opening opening{&sketch, centre - r, centre + r, sketch.up_m - r, sketch.up_m + r, {}};
  opening.ring = regular_ring({centre, sketch.up_m}, sketch.diameter_m);
  return opening;
}

bool overlap(const Opening& a, const Opening& b) {
  return a.left < b.right + kRim && b.left < a.right + kRim && a.low < b.high + kRim &&
         b.low < a.high + kRim;
}

/// Builds one wall: a plan quadrilateral, upright, under the ceiling planes, with its openings.
class WallMaker {
 public:
  WallMaker(Workshop& shop, const PlanWall& wall) : shop_(shop), wall_(wall) {
    quad_ = {wall.left, wall.right, wall.outer_right, wall.outer_left};
    regions_ = lowest_regions(quad_, shop.planes);
  }

  void make() {
    gather_openings();
    add_top();
    add_bottom();
    add_long_side(0);
    add_long_side(wall_.thickness_m);
    faces_.push_back(upright(wall_.right, wall_.outer_right));
    faces_.push_back(upright(wall_.outer_left, wall_.left));
    for (const Opening& opening : openings_) add_reveals(opening);
    SolidPart& part = shop_.add(wall_.name, "wall", faces_);
    if (wall_.build != Build::unknown) part.extras["build"] = to_string(wall_.build);
    for (const Opening& opening : openings_) add_panel(opening);
  }

 private:
  void gather_openings() {
    for (const OpeningSketch& sketch : shop_.sketch.openings) {
      if (sketch.wall != wall_.name) continue;
      const bool round = sketch.diameter_m > 0;
      const auto left = shop_.left_edge(wall_, sketch.name, sketch.from_left_m, sketch.from_right_m,
                                        round ? 0 : sketch.width_m);
      if (!left) continue;
      const Opening opening = round ? measured_round(sketch, *left) : measured(sketch, *left);
      if (fits(opening)) openings_.push_back(opening);
    }
    std::sort(openings_.begin(), openings_.end(),
              [](const Opening& a, const Opening& b) { return a.left < b.left; });
  }

  bool fits(const Opening& opening) {
    const std::string& name = opening.sketch->name;
    const double first = std::max(0.0, dot(wall_.outer_left - wall_.left, wall_.along));
    const double last =
        std::min(wall_.length_m(), dot(wall_.outer_right - wall_.left, wall_.along));
    if (opening.right - opening.left < kRim || opening.high - opening.low < kRim)
      return refuse(name, "It has no width or no height.", "Give both in its entry.");
    if (opening.left < first + kRim || opening.right > last - kRim)
      return refuse(name,
                    "It leaves nothing of \"" + wall_.name + "\" beside it: it reaches from " +
                        metres(opening.left) + " to " + metres(opening.right) +
                        ", the wall passes from " + metres(first) + " to " + metres(last) + ".",
                    "Measure it again from the wall's left edge, seen from inside.");
    if (opening.low < 0 || (opening.at_floor() && opening.sketch->diameter_m > 0))
      return refuse(name, "It reaches below the floor.", "Raise it or make it lower.");
    for (const double off : {0.0, -wall_.thickness_m})
      for (const double along : {opening.left, opening.right})
        if (opening.high > lowest_z(shop_.planes, wall_.at(along, off)) - kRim)
          return refuse(
              name, "Its upper edge, " + metres(opening.high) + " up, is not below the ceiling.",
              "Check its height and the height of the room.");
    for (const Opening& other : openings_)
      if (overlap(opening, other))
        return refuse(name, "It overlaps \"" + other.sketch->name + "\".",
                      "Check where both are measured from.");
    return true;
  }

  bool refuse(const std::string& name, const std::string& what, const std::string& remedy) {
    shop_.complain(name, what, remedy);
    return false;
  }

  Vec3 point(const Vec2& along_up, double depth) const {
    const Vec2 p = wall_.at(along_up.x, -depth);
    return {p.x, p.y, along_up.y};
  }

  /// The ceiling line over a plan edge, in the direction a -> b, ends included.
  std::vector<Vec3> top_line(const Vec2& a, const Vec2& b) const {
    std::vector<std::pair<double, Vec3>> found;
    const Vec2 along = (1 / norm(b - a)) * (b - a);
    for (const auto& pieces : regions_)
      for (const Ring& piece : pieces)
        for (const Vec2& p : piece)
          if (segment_distance(p, a, b) < 1e-7)
            found.emplace_back(dot(p - a, along), Vec3{p.x, p.y, lowest_z(shop_.planes, p)});
    std::sort(found.begin(), found.end(),
              [](const auto& left, const auto& right) { return left.first < right.first; });
    std::vector<Vec3> line;
    for (const auto& [t, p] : found)
      if (line.empty() || distance(line.back(), p) > 1e-7) line.push_back(p);
    return line;
  }

  SolidFace upright(const Vec2& a, const Vec2& b) const {
    SolidFace face{{{a.x, a.y, 0}, {b.x, b.y, 0}}, {}};
    const auto top = top_line(a, b);
    face.outline.insert(face.outline.end(), top.rbegin(), top.rend());
    return face;
  }

  void add_top() {
    for (std::size_t k = 0; k < regions_.size(); ++k) {
      for (const Ring& piece : regions_[k]) {
        SolidFace face;
        for (const Vec2& p : piece) face.outline.push_back({p.x, p.y, shop_.planes[k].z(p)});
        faces_.push_back(face);
      }
    }
  }

  /// The foot of the wall, in pieces between the openings that reach the floor.
  void add_bottom() {
    Vec3 inner = lifted({&wall_.left, 1}, 0)[0], outer = lifted({&wall_.outer_left, 1}, 0)[0];
    const auto add_piece = [&](const Vec3& inner_end, const Vec3& outer_end) {
      faces_.push_back({{inner, outer, outer_end, inner_end}, {}});
    };
    for (const Opening& opening : openings_) {
      if (!opening.at_floor()) continue;
      add_piece(point({opening.left, 0}, 0), point({opening.left, 0}, wall_.thickness_m));
      inner = point({opening.right, 0}, 0);
      outer = point({opening.right, 0}, wall_.thickness_m);
    }
    add_piece(lifted({&wall_.right, 1}, 0)[0], lifted({&wall_.outer_right, 1}, 0)[0]);
  }

  /// The inside face (depth 0) or the outside face, with holes and notches.
  void add_long_side(double depth) {
    const bool inside = depth == 0;
    const Vec2 a = inside ? wall_.left : wall_.outer_left;
    const Vec2 b = inside ? wall_.right : wall_.outer_right;
    SolidFace face{{{a.x, a.y, 0}}, {}};
    for (const Opening& opening : openings_) {
      std::vector<Vec3> ring;
      for (const Vec2& p : opening.ring) ring.push_back(point(p, depth));
      std::reverse(ring.begin() + (opening.at_floor() ? 1 : 0), ring.end());
      if (opening.at_floor())
        face.outline.insert(face.outline.end(), ring.begin(), ring.end());
      else
        face.holes.push_back(ring);
    }
    face.outline.push_back({b.x, b.y, 0});
    const auto top = top_line(a, b);
    face.outline.insert(face.outline.end(), top.rbegin(), top.rend());
    faces_.push_back(inside ? face : inverted({face}).front());
  }

  void add_reveals(const Opening& opening) {
    const std::size_t n = opening.ring.size();
    for (std::size_t i = opening.at_floor() ? 1 : 0; i < n; ++i) {
      const Vec2 p = opening.ring[i], q = opening.ring[(i + 1) % n];
      const double t = wall_.thickness_m;
      faces_.push_back({{point(p, 0), point(q, 0), point(q, t), point(p, t)}, {}});
    }
  }

  void add_panel(const Opening& opening) {
    const OpeningSketch& sketch = *opening.sketch;
    if (sketch.kind == OpeningKind::passage) return;
    constexpr const char* kKinds[] = {"door", "window", "vent", "hole"};
    const double whole = wall_.thickness_m;
    const double panel = sketch.kind == OpeningKind::hole ? whole : std::min(sketch.panel_m, whole);
    const double depth = sketch.kind == OpeningKind::window ? (whole - panel) / 2 : 0;
    std::vector<Vec3> front;
    for (const Vec2& p : opening.ring) front.push_back(point(p, depth));
    const Vec3 back = {-panel * wall_.inward.x, -panel * wall_.inward.y, 0};
    SolidPart& part =
        shop_.add(sketch.name, kKinds[static_cast<int>(sketch.kind)], extruded(front, back));
    part.extras["in"] = wall_.name;
    if (sketch.kind == OpeningKind::hole && sketch.diameter_m > 0)
      part.extras["inside_diameter"] = metres(sketch.diameter_m);
    if (sketch.kind != OpeningKind::door) return;
    part.extras["swing"] = format_number(degrees(sketch.swing_rad), 0) + " deg";
    part.extras["opens"] = sketch.opens_in ? "in" : "out";
    part.extras["hinge"] = sketch.hinge_left ? "left" : "right";
  }

  Workshop& shop_;
  const PlanWall& wall_;
  Ring quad_;
  std::vector<std::vector<Ring>> regions_;
  std::vector<Opening> openings_;
  Faces faces_;
};

}  // namespace

void add_walls(Workshop& shop) {
  for (const OpeningSketch& opening : shop.sketch.openings) shop.wall(opening.wall, opening.name);
  for (const PlanWall& wall : shop.plan.walls) {
    bool upright = true;
    for (const Vec2& p : {wall.left, wall.right, wall.outer_left, wall.outer_right})
      upright = upright && lowest_z(shop.planes, p) > 0.05;
    if (upright)
      WallMaker(shop, wall).make();
    else
      shop.complain(wall.name, "A slope comes down to the floor at this wall or behind it.",
                    "Give the slope a higher knee, or the wall less thickness.");
  }
}

}  // namespace roomloom
