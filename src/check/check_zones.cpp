#include <algorithm>
#include <cmath>

#include "base/glob.h"
#include "base/units.h"
#include "check/original.h"

// Inside a free zone cable may lie without a surface, so a plan's word for one is not enough: each
// must stand for something of the job or the model, and be no larger than that. Common practice, no
// source, for all distances here.
namespace roomloom::check {
namespace {

constexpr double kSlack = 0.012;      // metres, of any side
constexpr double kOutside = 0.5;      // that a zone may reach out of the model
constexpr double kBesideGear = 0.1;   // that cables may leave gear sideways
constexpr double kBehindGear = 1.25;  // farthest that gear may stand off what it is wired to
constexpr double kBehindCurtain = 0.6;
constexpr double kBehindFurniture = 0.3;  // between furniture and the wall that it stands before
constexpr double kLeadWidth = 0.12;       // of a straight way to one end
constexpr double kRise = 1.3;             // of such a way up from the floor
constexpr double kOffWall = 0.32;         // of such a way off a wall
constexpr double kStripHeight = 0.08;     // of a way over a floor, which holds the cable
constexpr double kTouch = 0.08;           // to the surface that a way begins at

using Zone = WrittenPlan::FreeZone;

Box3 box_of(const Zone& zone) {
  Box3 box;
  for (int i = 0; i < 8; ++i) {
    box.add(zone.frame.to_world(Vec3{(i & 1) != 0 ? zone.size.x : 0, (i & 2) != 0 ? zone.size.y : 0,
                                     (i & 4) != 0 ? zone.size.z : 0}));
  }
  return box;
}

bool holds(const Zone& zone, const Vec3& p) {
  const Vec3 local = zone.frame.to_local(p);
  for (int axis = 0; axis < 3; ++axis) {
    if (local[axis] < -kSlack || local[axis] > zone.size[axis] + kSlack) return false;
  }
  return true;
}

bool is_within(const Box3& inner, const Box3& outer) {
  return outer.contains(inner.low) && outer.contains(inner.high);
}

bool is_upright(const Frame& frame) { return frame.n.z > 0.999; }

struct Reasons {
  const WrittenPlan& plan;
  const Scene& scene;
  const Job& job;
  const std::vector<Role>& roles;
  const TriangleTree& tree;
  double residual_m;

  bool touches(const Vec3& p) const {
    return tree.distance(p, 2 * kTouch + residual_m) < kTouch + residual_m;
  }

  // The plan's ends at this gear: "amplifier.S1", or "rack.2" of a rack that holds nothing named.
  std::vector<Vec3> ports_of(const GearSpec& gear) const {
    std::vector<Vec3> ports;
    for (const auto& [id, at] : plan.ends) {
      const std::string component = id.substr(0, id.rfind('.'));
      const bool held = component == gear.id ||
                        std::any_of(gear.holds.begin(), gear.holds.end(),
                                    [&](const Component& c) { return c.id == component; });
      if (held && component != id) ports.push_back(at);
    }
    return ports;
  }

  // As wide as the gear and a hand more, as high as it reaches from the floor, as deep as the job
  // says that it stands off its wall; from a surface to the ports.
  bool is_behind(const Zone& zone, const GearSpec& gear) const {
    if (!is_upright(zone.frame)) return false;
    const auto* wall = std::get_if<OnPart>(&gear.place);
    const auto* point = std::get_if<AtPoint>(&gear.place);
    const double deepest = wall != nullptr ? std::min(gear.off_wall_m, kBehindGear) : kBehindGear;
    double lift = wall != nullptr ? wall->up_m.value_or(0) : 0;
    Box3 model;
    for (const Vec3& p : scene.points) model.add(p);
    if (wall == nullptr) lift = point != nullptr ? point->point.z - model.low.z : model.size().z;
    if (zone.size.x > gear.box.x + 2 * kBesideGear + kSlack || zone.size.y > deepest + kSlack ||
        zone.size.z > gear.box.z + lift + kSlack) {
      return false;
    }
    const std::vector<Vec3> ports = ports_of(gear);
    if (!std::all_of(ports.begin(), ports.end(), [&](const Vec3& p) { return holds(zone, p); })) {
      return false;
    }
    const auto at = [&](double y, double z) {
      return touches(
          zone.frame.to_world(Vec3{0.5 * zone.size.x, y * zone.size.y, z * zone.size.z}));
    };
    const bool may_hang = wall == nullptr;
    return at(0, 0.5) || at(0.5, 0) || (may_hang && at(0.5, 1));
  }

  bool is_curtain(std::size_t part) const {
    if (roles[part] == Role::curtain) return true;
    constexpr const char* kWords[] = {"curtain", "drape",   "vorhang", "rideau",
                                      "cortina", "gordijn", "tenda",   "gardine"};
    const std::string name = lower_case(scene.parts[part].name + " " + scene.parts[part].path);
    return roles[part] == Role::automatic &&
           std::any_of(std::begin(kWords), std::end(kWords),
                       [&](const char* word) { return name.find(word) != std::string::npos; });
  }

  // In the zone's own frame.
  Box3 local_box(const Zone& zone, std::size_t part) const {
    Box3 own;
    const Part& body = scene.parts[part];
    for (std::uint32_t k = 0; k < body.point_count; ++k)
      own.add(zone.frame.to_local(scene.points[body.first_point + k]));
    return own;
  }

  // All furniture within the zone that touches the part, directly or by way of other such: the
  // boards of one cupboard.
  Box3 thing_round(const Zone& zone, std::size_t part) const {
    const Box3 whole = Box3{{0, 0, 0}, zone.size}.grown(kSlack);
    Box3 thing = local_box(zone, part);
    if (!is_within(thing, whole)) return thing;
    std::vector<Box3> boards;
    for (std::size_t i = 0; i < scene.parts.size(); ++i) {
      if (i == part || scene.parts[i].triangle_count == 0 || !is_furniture(scene, roles, i))
        continue;
      const Box3 own = local_box(zone, i);
      if (is_within(own, whole)) boards.push_back(own);
    }
    for (bool grows = true; grows;) {
      const auto apart = std::partition(boards.begin(), boards.end(), [&](const Box3& board) {
        return !board.grown(kSlack).overlaps(thing);
      });
      grows = apart != boards.end();
      for (auto board = apart; board != boards.end(); ++board)
        thing.add(board->low), thing.add(board->high);
      boards.erase(apart, boards.end());
    }
    return thing;
  }

  // From furniture to the wall that it stands before: on one side, no farther, and as high as it.
  bool reaches_wall(const Zone& zone, std::size_t part) const {
    if (!is_furniture(scene, roles, part) || !is_upright(zone.frame)) return false;
    const Box3 own = thing_round(zone, part);
    int sides = 0;
    bool at_wall = true;
    for (int axis = 0; axis < 3; ++axis) {
      for (const bool far : {false, true}) {
        const double past = far ? zone.size[axis] - own.high[axis] : own.low[axis];
        if (past <= kSlack) continue;
        if (axis == 2 || past > kBehindFurniture + kSlack) return false;
        Vec3 middle = 0.5 * zone.size;
        middle[axis] = far ? zone.size[axis] : 0;
        at_wall = at_wall && touches(zone.frame.to_world(middle));
        ++sides;
      }
    }
    return sides <= 1 && at_wall;
  }

  // In a thing that stands in the room, or between a curtain and what it hangs before.
  bool is_of(const Zone& zone, std::size_t part) const {
    if (scene.parts[part].triangle_count == 0) return false;
    if (reaches_wall(zone, part)) return true;
    const Box3 inner = box_of(zone);
    const Box3 own = check::box_of(scene, scene.parts[part]).grown(kSlack);
    if (is_furniture(scene, roles, part) && is_within(inner, own)) return true;
    const double thinnest = std::min({zone.size.x, zone.size.y, zone.size.z});
    if (!is_curtain(part) || thinnest > kBehindCurtain + kSlack) return false;
    const Vec3 beside{kBehindCurtain, kBehindCurtain, 0};
    return is_within(inner, {own.low - beside, own.high + beside});
  }

  // A narrow straight way from a surface to an end.
  bool leads_to(const Zone& zone, const Vec3& end) const {
    if (!holds(zone, end)) return false;
    int along = 0;
    for (int axis = 1; axis < 3; ++axis) {
      if (zone.size[axis] > zone.size[along]) along = axis;
    }
    const Vec3 axes[] = {zone.frame.u, zone.frame.v, zone.frame.n};
    const double longest = std::abs(axes[along].z) > 0.999 ? kRise : kOffWall;
    Vec3 foot = 0.5 * zone.size, tip = 0.5 * zone.size;
    foot[along] = 0;
    tip[along] = zone.size[along];
    for (int axis = 0; axis < 3; ++axis) {
      if (axis != along && zone.size[axis] > kLeadWidth) return false;
    }
    return zone.size[along] <= longest &&
           (touches(zone.frame.to_world(foot)) || touches(zone.frame.to_world(tip)));
  }

  // A flat way over a floor, or along a wall: the surface below it holds the cable.
  bool lies_on_surface(const Zone& zone) const {
    if (zone.size.z > kStripHeight || std::min(zone.size.x, zone.size.y) > kLeadWidth) return false;
    constexpr int kSamples = 20;
    for (int i = 0; i <= kSamples; ++i) {
      const double t = static_cast<double>(i) / kSamples;
      const Vec3 at = zone.size.x > zone.size.y ? Vec3{t * zone.size.x, 0.5 * zone.size.y, 0}
                                                : Vec3{0.5 * zone.size.x, t * zone.size.y, 0};
      if (!touches(zone.frame.to_world(at))) return false;
    }
    return true;
  }

  bool explain(const Zone& zone) const {
    if (std::min({zone.size.x, zone.size.y, zone.size.z}) < 0) return false;
    for (const GearSpec& gear : job.gear) {
      if (is_behind(zone, gear)) return true;
    }
    for (std::size_t i = 0; i < scene.parts.size(); ++i) {
      if (is_of(zone, i)) return true;
    }
    if (lies_on_surface(zone)) return true;
    return std::any_of(plan.lead_ends.begin(), plan.lead_ends.end(),
                       [&](const Vec3& end) { return leads_to(zone, end); });
  }
};

std::string size_text(const Zone& zone, DisplayUnits units) {
  return format_length(zone.size.x, units, 2) + " x " + format_length(zone.size.y, units, 2) +
         " x " + format_length(zone.size.z, units, 2);
}

// One note for all: what lies there is seen by nobody else.
void list_zones(const Written& written, Findings& findings) {
  std::string text;
  for (const Zone& zone : written.plan.zones) {
    text += (text.empty() ? "" : "; ") + zone.name + " (" + size_text(zone, written.units) + ")";
  }
  const std::size_t count = written.plan.zones.size();
  findings.items.push_back({"free-zones", Level::note,
                            "Cable may lie free, fixed to nothing, in " + std::to_string(count) +
                                (count == 1 ? " place: " : " places: ") + text + ".",
                            "", std::nullopt, "See that it may lie there, and tie it.",
                            "common practice, no source"});
}

}  // namespace

void check_zones(const Written& written, const Scene& original, const Job& job,
                 Findings& findings) {
  if (written.plan.zones.empty()) {
    ++findings.quiet;
    return;
  }
  const std::vector<Role> roles = believed_roles(written.plan, original, job);
  const Faces faces = faces_of(original, roles, false);
  const TriangleTree tree(original.points, faces.triangles);
  const Reasons reasons{written.plan, original, job, roles, tree, believed_residual(written.plan)};
  Box3 model;
  for (const Vec3& p : original.points) model.add(p);
  for (const Zone& zone : written.plan.zones) {
    if (is_within(box_of(zone), model.grown(kOutside)) && reasons.explain(zone)) continue;
    findings.items.push_back(
        {"zone-too-large", Level::must,
         "The free zone \"" + zone.name + "\" measures " + size_text(zone, written.units) +
             ": no gear of the job, no furniture or curtain of the model and no end accounts for "
             "that much.",
         zone.name, zone.frame.origin, "Route again, or restore the file.",
         "common practice, no source"});
  }
  list_zones(written, findings);
}

}  // namespace roomloom::check
