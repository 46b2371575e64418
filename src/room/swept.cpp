#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "room/features.h"
#include "room/roles.h"

// Where doors, cupboard doors and seats move, and where people walk: nothing lies there.

namespace roomloom {
namespace {

constexpr double kSeatPlay_m = 0.05;       ///< round a seat that is said to stand still
constexpr double kHeadRoom_m = 2.0;        ///< over a walkway; common practice, no source
constexpr double kBesideWalkway_m = 0.05;  ///< of its width, for what is fixed to a wall beside it
constexpr double kUnderfoot_m = 0.05;
constexpr double kWidestLeaf_m = 1.3;  ///< of a door; wider ones have two
constexpr double kWidestCupboardLeaf_m = 0.65;

Vec2 plan(const Vec3& v) { return {v.x, v.y}; }

const Part& part_of(const Scene& scene, int part) {
  return scene.parts[static_cast<std::size_t>(part)];
}

std::string extra(const Part& part, const std::string& key) {
  const auto found = part.extras.find(key);
  return found == part.extras.end() ? std::string() : found->second;
}

const PartRule* rule_for(const Job& job, const Room& room, int part) {
  return rule_of(job, room.roles[static_cast<std::size_t>(part)]);
}

/// How far it opens by the job, else by the model; nothing if neither says.
std::optional<double> said_swing(const Part& part, const PartRule* rule) {
  if (rule && rule->swing_rad) return *rule->swing_rad;
  if (extra(part, "opens") == "out") return 0.0;
  const auto angle = parse_angle(extra(part, "swing"));
  return angle ? std::optional<double>(*angle) : std::nullopt;
}

std::optional<bool> hinges_left(const Part& part, const PartRule* rule) {
  if (rule && rule->hinge_left) return rule->hinge_left;
  const std::string word = extra(part, "hinge");
  if (word == "left") return true;
  if (word == "right") return false;
  return std::nullopt;
}

/// Doors side by side along an edge, and how they open.
struct Leaves {
  Vec2 left, right;  ///< ends of the edge as one faces it
  Vec2 into;
  double swing_rad = 0;
  int count = 1;
  std::optional<bool> hinge_left;
};

std::vector<Ring> sectors_of(const Leaves& leaves) {
  std::vector<Ring> rings;
  const Vec2 leaf = (1.0 / leaves.count) * (leaves.right - leaves.left);
  for (int i = 0; i < leaves.count; ++i) {
    const Vec2 low = leaves.left + static_cast<double>(i) * leaf, high = low + leaf;
    // Of one leaf the hinge may be unknown: then either side is kept clear. Pairs hinge outside.
    const bool one = leaves.count == 1;
    if (!one ? i % 2 == 0 : leaves.hinge_left.value_or(true))
      rings.push_back(leaf_sector(low, leaf, leaves.into, leaves.swing_rad));
    if (!one ? i % 2 == 1 : !leaves.hinge_left.value_or(false))
      rings.push_back(leaf_sector(high, -1.0 * leaf, leaves.into, leaves.swing_rad));
  }
  return rings;
}

void add_leaves(const Leaves& leaves, const UprightBox& box, Swept swept, Room& room) {
  swept.space.low_z_m = box.low_z;
  swept.space.high_z_m = box.high_z;
  for (Ring& ring : sectors_of(leaves)) {
    swept.space.plan = std::move(ring);
    room.swept.push_back(swept);
  }
}

void tell_swing_guess(const Scene& scene, int part, Room& room) {
  room.guesses.push_back({"Swing of " + display_name(scene, part), "90 degrees into the room",
                          "the model does not say how it opens",
                          "\"parts\": [{ \"match\": \"" + part_of(scene, part).name +
                              "\", \"is\": \"door\", \"swing\": \"0 deg\" }]"});
}

void add_door(const Scene& scene, const Job& job, int part, Room& room) {
  const UprightBox box = upright_box(scene, part_of(scene, part));
  const bool at_floor = box.low_z < room.floor_z_m + 0.2 && box.high_z > room.floor_z_m + 1.6;
  if (!at_floor || box.length < 0.5 || box.length > 2.6) return;
  const int wall = wall_beside(room, box, 0.45);
  if (wall < 0) return;
  const PartRule* rule = rule_for(job, room, part);
  const auto said = said_swing(part_of(scene, part), rule);
  if (!said) tell_swing_guess(scene, part, room);
  Leaves leaves;
  leaves.swing_rad = std::min(said.value_or(kPi / 2), kPi);
  if (leaves.swing_rad <= 0) return;
  const Sheet& sheet = room.sheets[static_cast<std::size_t>(wall)];
  const Vec3 middle{box.centre.x, box.centre.y, box.low_z};
  const Vec2 on_wall = plan(middle - sheet.frame.height(middle) * sheet.frame.n);
  leaves.left = on_wall - 0.5 * box.length * plan(sheet.frame.u);
  leaves.right = on_wall + 0.5 * box.length * plan(sheet.frame.u);
  leaves.into = plan(sheet.frame.n);
  leaves.count = rule && rule->leaves > 0 ? rule->leaves : box.length > kWidestLeaf_m ? 2 : 1;
  leaves.hinge_left = hinges_left(part_of(scene, part), rule);
  add_leaves(leaves, box,
             {MovingKind::door, {}, part, "where " + display_name(scene, part) + " swings"}, room);
}

/// Level unit vector from a box's middle to the named part, along one of the box's own axes.
std::optional<Vec2> toward_part(const Scene& scene, const UprightBox& box,
                                const std::string& name) {
  for (const Part& part : scene.parts) {
    if (part.name != name) continue;
    const Vec3 goal = box_of(scene, part).centre();
    const Vec2 way = Vec2{goal.x, goal.y} - box.centre;
    const Vec2 across{-box.along.y, box.along.x};
    const double u = dot(way, box.along), v = dot(way, across);
    if (std::abs(u) > std::abs(v)) return (u > 0 ? 1.0 : -1.0) * box.along;
    return (v > 0 ? 1.0 : -1.0) * across;
  }
  return std::nullopt;
}

/// Away from the wall that its back stands at.
std::optional<Vec2> front_of(const Room& room, const UprightBox& box) {
  std::optional<Vec2> front;
  double least = 0.3;
  const Vec2 across{-box.along.y, box.along.x};
  for (const Sheet& sheet : room.sheets) {
    if (sheet.role != SheetRole::wall || std::abs(sheet.frame.n.z) > 0.1) continue;
    const Vec2 n = plan(sheet.frame.n);
    const bool along = std::abs(dot(n, box.along)) > 0.95;
    if (!along && std::abs(dot(n, across)) < 0.95) continue;
    const Vec3 middle{box.centre.x, box.centre.y, 0.5 * (box.low_z + box.high_z)};
    if (!contains(sheet.region, sheet.frame.to_plane(middle))) continue;
    const double gap = sheet.frame.height(middle) - 0.5 * (along ? box.length : box.width);
    if (gap < -0.1 || gap >= least) continue;
    // In a corner, the wall along its longer side is at its back.
    least = along ? gap + 0.1 : gap;
    front = n;
  }
  return front;
}

void add_cupboard(const Scene& scene, const Job& job, int part, Room& room) {
  const PartRule* rule = rule_for(job, room, part);
  const double swing = std::min(said_swing(part_of(scene, part), rule).value_or(0), kPi);
  if (swing <= 0) return;
  const UprightBox box = upright_box(scene, part_of(scene, part));
  const auto front =
      rule && !rule->toward.empty() ? toward_part(scene, box, rule->toward) : front_of(room, box);
  const std::string name = display_name(scene, part);
  if (!front) {
    room.warnings.push_back("\"" + name +
                            "\" has doors, but which side is its front is not known: nothing is "
                            "kept clear before it. Say \"toward\" with a part that it faces.");
    return;
  }
  const bool along = std::abs(dot(*front, box.along)) > 0.7;
  const double width = along ? box.width : box.length, depth = along ? box.length : box.width;
  const Vec2 right{-front->y, front->x};  // as one faces it
  const Vec2 middle = box.centre + 0.5 * depth * *front;
  Leaves leaves;
  leaves.left = middle - 0.5 * width * right;
  leaves.right = middle + 0.5 * width * right;
  leaves.into = *front;
  leaves.swing_rad = swing;
  const int by_width = static_cast<int>(std::ceil(width / kWidestCupboardLeaf_m - 1e-9));
  const int in_model = std::atoi(extra(part_of(scene, part), "leaves").c_str());
  leaves.count = rule && rule->leaves > 0 ? rule->leaves : in_model > 0 ? in_model : by_width;
  leaves.count = std::clamp(leaves.count, 1, 20);
  leaves.hinge_left = hinges_left(part_of(scene, part), rule);
  add_leaves(leaves, box, {MovingKind::cupboard, {}, part, "where " + name + " opens"}, room);
}

double length_said(const Part& part, const char* key, double by_rule) {
  return by_rule > 0 ? by_rule : extra_length(part, key);
}

Ring rectangle(const Vec2& centre, const Vec2& along, double back, double front, double aside) {
  const Vec2 across{-along.y, along.x};
  return {centre - back * along - aside * across, centre + front * along - aside * across,
          centre + front * along + aside * across, centre - back * along + aside * across};
}

/// @return whether the seat's movement was said
bool add_seat(const Scene& scene, const Job& job, int part, Room& room) {
  const UprightBox box = upright_box(scene, part_of(scene, part));
  const PartRule* rule = rule_for(job, room, part);
  const double recline = length_said(part_of(scene, part), "recline", rule ? rule->recline_m : 0);
  const double slide = length_said(part_of(scene, part), "slide", rule ? rule->slide_m : 0);
  std::optional<Vec2> toward;
  if (rule && !rule->toward.empty()) toward = toward_part(scene, box, rule->toward);
  Swept swept{MovingKind::seat, {}, part, "where " + display_name(scene, part) + " moves"};
  swept.space.low_z_m = box.low_z - kSeatPlay_m;
  swept.space.high_z_m = box.high_z + kSeatPlay_m;
  const double play = kSeatPlay_m, reach = std::max({recline, slide, play});
  if (toward) {
    const bool along = std::abs(dot(*toward, box.along)) > 0.7;
    const double half = 0.5 * (along ? box.length : box.width);
    const double aside = 0.5 * (along ? box.width : box.length) + play;
    swept.space.plan =
        rectangle(box.centre, *toward, half + std::max(recline, play), half + reach, aside);
  } else {  // any level way
    swept.space.plan = rectangle(box.centre, box.along, 0.5 * box.length + reach,
                                 0.5 * box.length + reach, 0.5 * box.width + reach);
  }
  room.swept.push_back(std::move(swept));
  return recline > 0 || slide > 0;
}

Swept walkway_over(const Room& room, int part, const std::string& name, Ring ring) {
  Swept swept{MovingKind::walkway, {std::move(ring), 0, 0}, part, "on the walkway " + name};
  swept.space.low_z_m = room.floor_z_m - kUnderfoot_m;
  swept.space.high_z_m = room.floor_z_m + kHeadRoom_m;
  return swept;
}

void add_walkway_part(const Scene& scene, int part, Room& room) {
  const UprightBox box = upright_box(scene, part_of(scene, part));
  const double half = 0.5 * box.length - kBesideWalkway_m;
  const double aside = 0.5 * box.width - kBesideWalkway_m;
  if (half <= 0 || aside <= 0) return;
  room.swept.push_back(walkway_over(room, part, display_name(scene, part),
                                    rectangle(box.centre, box.along, half, half, aside)));
}

void add_walkways(const Job& job, Room& room) {
  for (const WalkwaySpec& walkway : job.walkways) {
    const double aside = 0.5 * walkway.width_m - kBesideWalkway_m;
    for (std::size_t i = 0; aside > 0 && i + 1 < walkway.points.size(); ++i) {
      const Vec2 way = walkway.points[i + 1] - walkway.points[i];
      if (norm(way) < 1e-6) continue;
      // At a corner of the line a stretch goes on by half the width.
      const double before = i > 0 ? aside : 0, after = i + 2 < walkway.points.size() ? aside : 0;
      room.swept.push_back(walkway_over(
          room, -1, walkway.name,
          rectangle(walkway.points[i], (1 / norm(way)) * way, before, norm(way) + after, aside)));
    }
  }
}

}  // namespace

void find_swept(const Scene& scene, const Job& job, Room& room) {
  std::vector<int> guessed;
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    if (scene.parts[i].kind != PartKind::mesh) continue;
    const int part = static_cast<int>(i);
    const Role role = room.roles[i].role;
    if (role == Role::door) add_door(scene, job, part, room);
    if (!in_room(room, box_of(scene, scene.parts[i]))) continue;
    if (role == Role::cupboard || role == Role::furniture) add_cupboard(scene, job, part, room);
    if (role == Role::seat && !add_seat(scene, job, part, room)) guessed.push_back(part);
    if (role == Role::walkway) add_walkway_part(scene, part, room);
  }
  add_walkways(job, room);
  if (!guessed.empty())
    room.guesses.push_back(
        {"Where seats move", "50 mm round each of " + std::to_string(guessed.size()),
         "the model shows them in one position only",
         "\"parts\": [{ \"match\": \"" + pattern_for(scene, guessed) +
             "\", \"is\": \"seat\", \"recline\": \"400 mm\", \"slide\": \"0 m\" }]"});
}

}  // namespace roomloom
