#include "room/airs.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/units.h"
#include "room/open_sides.h"
#include "room/roles.h"

namespace roomloom {
namespace {

constexpr double kCell = 0.05;
constexpr std::size_t kMostCells = 24'000'000;
constexpr double kSmallestRoom = 3.0, kLowestRoom = 1.5, kSmallestAir = 0.05;

struct Facing {
  int front = 0, back = 0;
  bool inside = false;
  bool core() const { return inside || (back > 2 * front && back > 3); }
};

// An odd number of walls of a closed part on the way out, in two of three directions.
bool inside_a_part(const Scene& scene, const Skin& skin, const Vec3& point) {
  const std::array<Vec3, 3> ways = {Vec3{1, 0.013, 0.007}, Vec3{0.011, -1, 0.017},
                                    Vec3{-0.019, 0.005, 1}};
  std::map<int, int> odd;
  for (const Vec3& way : ways) {
    std::map<int, int> count;
    for (const RayHit& hit : skin.tree->hits(point, point + 1000 * way)) {
      const int part = skin.part[hit.triangle];
      if (scene.parts[static_cast<std::size_t>(part)].closure != Closure::open) ++count[part];
    }
    for (const auto& [part, hits] : count) odd[part] += hits % 2;
  }
  return std::any_of(odd.begin(), odd.end(), [](const auto& o) { return o.second >= 2; });
}

// Which sides of the surrounding triangles the pockets see: a pocket inside a closed solid sees
// only backs.
std::vector<Facing> facings_of(const Scene& scene, const Skin& skin, const AirField& field,
                               const std::vector<Vec3>& middles) {
  const Voxels& voxels = field.voxels;
  const std::vector<Pocket>& pockets = field.pockets;
  std::vector<Facing> facings(pockets.size());
  for (std::size_t i = 0; i < pockets.size(); ++i)
    facings[i].inside = !pockets[i].at_border && inside_a_part(scene, skin, middles[i]);
  std::vector<std::size_t> seen(pockets.size(), 0);
  constexpr std::size_t kSamples = 150;
  const std::array<std::array<int, 3>, 6> sides = {
      {{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}}};
  for (int z = 0; z < voxels.nz; ++z) {
    for (int y = 0; y < voxels.ny; ++y) {
      for (int x = 0; x < voxels.nx; ++x) {
        const std::int32_t label = voxels.label[voxels.index(x, y, z)];
        if (label < 0) continue;
        const auto pocket = static_cast<std::size_t>(label);
        if (pockets[pocket].at_border) continue;
        const std::size_t stride = 1 + pockets[pocket].faces / kSamples;
        for (const auto& s : sides) {
          if (!voxels.inside(x + s[0], y + s[1], z + s[2]) ||
              voxels.blocked[voxels.index(x + s[0], y + s[1], z + s[2])] != 1)
            continue;
          if (seen[pocket]++ % stride != 0) continue;
          const Vec3 look{static_cast<double>(s[0]), static_cast<double>(s[1]),
                          static_cast<double>(s[2])};
          const auto hit = skin.tree->first_hit(voxels.centre(x, y, z), look, 0, 2 * voxels.cell);
          if (!hit) continue;
          const auto& t = skin.triangles[hit->triangle];
          const Vec3 n = cross(scene.points[t[1]] - scene.points[t[0]],
                               scene.points[t[2]] - scene.points[t[0]]);
          const int part = skin.part[hit->triangle];
          const bool solid =
              scene.parts[static_cast<std::size_t>(part)].closure == Closure::oriented;
          if (dot(n, look) > 0 && solid) {
            ++facings[pocket].back;
          } else {
            ++facings[pocket].front;
          }
        }
      }
    }
  }
  return facings;
}

// Volume over surface tells rooms from gaps between the leaves of a wall, however they bend: a
// closet of 0.9 x 1.2 x 2.4 m has 0.21 m, a cavity of 0.35 m less than 0.18 m.
bool room_like(const Pocket& pocket, double cell) {
  const double surface = static_cast<double>(pocket.faces) * cell * cell;
  const double volume = pocket.volume_m3(cell);
  return !pocket.at_border && volume >= kSmallestRoom && volume > 0.19 * surface &&
         pocket.box.size().z + cell >= kLowestRoom;
}

// Lower faces of suspended ceilings: what is above is no room.
std::vector<double> ceiling_heights(const Scene& scene, const std::vector<PartRole>& roles) {
  std::vector<double> heights;
  for (std::size_t i = 0; i < roles.size(); ++i)
    if (roles[i].role == Role::suspended_ceiling)
      heights.push_back(box_of(scene, scene.parts[i]).high.z);
  return heights;
}

bool above_ceiling(const Pocket& pocket, const std::vector<double>& heights) {
  return std::any_of(heights.begin(), heights.end(), [&](double z) {
    return pocket.box.low.z > z - 0.05 && pocket.box.low.z < z + 0.3;
  });
}

std::string text_of(const Vec3& p) {
  return "[" + format_number(p.x, 2) + ", " + format_number(p.y, 2) + ", " + format_number(p.z, 2) +
         "]";
}

struct Choice {
  int pocket = -1;
  std::vector<int> others;
  bool core = false;
};

std::optional<Choice> seeded_choice(const AirField& field, const std::optional<Vec3>& seed) {
  if (!seed) return std::nullopt;
  Choice choice;
  const int at = pocket_at(field.voxels, *seed);
  if (at >= 0 && !field.pockets[static_cast<std::size_t>(at)].at_border) choice.pocket = at;
  return choice;
}

// The largest body of air that can be a room; or, of the insides of closed bodies, the largest.
Choice largest_room(const AirField& field, const std::vector<Facing>& facings,
                    const std::vector<double>& ceilings, bool cores) {
  Choice choice;
  choice.core = cores;
  std::size_t most = 0;
  for (std::size_t i = 0; i < field.pockets.size(); ++i) {
    const Pocket& pocket = field.pockets[i];
    if (!room_like(pocket, field.voxels.cell) || facings[i].core() != cores) continue;
    if (above_ceiling(pocket, ceilings)) continue;
    const Vec3 size = pocket.box.size();
    if (cores && std::min(size.x, size.y) < 1.5) continue;
    choice.others.push_back(static_cast<int>(i));
    if (pocket.cells > most) {
      most = pocket.cells;
      choice.pocket = static_cast<int>(i);
    }
  }
  std::erase(choice.others, choice.pocket);
  return choice;
}

// A closed body whose inside is nearly all of the model stands for the room itself.
bool spans(const Pocket& pocket, const Box3& box) {
  const Vec3 own = pocket.box.size(), all = box.size();
  return own.x > 0.6 * all.x && own.y > 0.6 * all.y && own.z > 0.6 * all.z;
}

// The room where the seed is; else the largest; else a closed body's inside that is all of the
// model.
Choice choose_room(const Job& job, const AirField& field, const std::vector<Facing>& facings,
                   const std::vector<double>& ceilings, const Box3& box) {
  if (const auto seeded = seeded_choice(field, job.model.seed)) return *seeded;
  Choice choice = largest_room(field, facings, ceilings, false);
  if (choice.pocket >= 0) return choice;
  Choice inside = largest_room(field, facings, ceilings, true);
  const bool whole =
      inside.pocket >= 0 && spans(field.pockets[static_cast<std::size_t>(inside.pocket)], box);
  return whole ? inside : choice;
}

AirKind kind_of(const Pocket& pocket, double cell, const std::vector<double>& ceilings,
                double floor_z) {
  const Vec3 size = pocket.box.size() + Vec3{cell, cell, cell};
  if (pocket.at_border) return AirKind::outdoors;
  if (above_ceiling(pocket, ceilings)) return AirKind::plenum;
  if (pocket.box.high.z < floor_z && size.z < 1) return AirKind::underfloor;
  if (std::min(size.x, size.y) < 0.25) return AirKind::bay;
  if (room_like(pocket, cell)) return AirKind::room;
  return AirKind::cupboard;
}

Box3 skin_box(const Scene& scene, const Skin& skin) {
  Box3 box;
  for (const auto& t : skin.triangles)
    for (const std::uint32_t p : t) box.add(scene.points[p]);
  return box;
}

void fill_voxels(const Scene& scene, const std::vector<Plane>& planes,
                 const std::vector<Opening>& openings, const Skin& skin, const Box3& box,
                 AirField& field) {
  field.voxels = voxels_over(box, kCell, kMostCells);
  for (const auto& t : skin.triangles)
    block_triangle(field.voxels, scene.points[t[0]], scene.points[t[1]], scene.points[t[2]]);
  for (const Opening& opening : openings)
    block_region(field.voxels, planes[static_cast<std::size_t>(opening.plane)].frame,
                 opening.region, 1);
  field.pockets = label_pockets(field.voxels);
}

void close_open_sides(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                      const std::vector<Opening>& openings, const Skin& skin, AirField& field,
                      Room& room) {
  const auto prism = floor_prism(scene, planes, room.roles, job.model.seed);
  if (!prism) return;
  Box3 box;
  for (const Vec2& p : prism->outline.outline) {
    box.add(Vec3{p.x, p.y, prism->low_z});
    box.add(Vec3{p.x, p.y, prism->high_z});
  }
  fill_voxels(scene, planes, openings, skin, box.grown(0.7), field);
  block_outside(field.voxels, *prism);
  field.pockets = label_pockets(field.voxels);
  std::size_t most = 0;
  for (std::size_t i = 0; i < field.pockets.size(); ++i) {
    if (field.pockets[i].at_border || field.pockets[i].cells <= most) continue;
    most = field.pockets[i].cells;
    field.main_pocket = static_cast<int>(i);
  }
  if (job.model.seed) {
    const int at = pocket_at(field.voxels, *job.model.seed);
    if (at >= 0) field.main_pocket = at;
  }
  if (field.main_pocket >= 0 &&
      !room_like(field.pockets[static_cast<std::size_t>(field.main_pocket)], field.voxels.cell))
    field.main_pocket = -1;
  if (field.main_pocket < 0) return;
  field.sides = open_sides_of(field.voxels, field.main_pocket, *prism);
  if (prism->height_guessed)
    room.guesses.push_back({"Height of the room", format_length(2.5, job.units, 2),
                            "there are neither walls nor a ceiling over the floor",
                            "add a ceiling to the model"});
}

void tell_choice(const AirField& field, const Choice& choice, const std::vector<Vec3>& middles,
                 DisplayUnits units, Room& room) {
  if (choice.core)
    room.guesses.push_back({"Inside or outside", "the inside of a closed body is the room",
                            "its faces look outwards, but nothing else in the model can be a room",
                            "turn the faces of the model round, or give the walls a thickness"});
  if (choice.others.empty()) return;
  const auto volume = [&](int pocket) {
    return format_volume(
        field.pockets[static_cast<std::size_t>(pocket)].volume_m3(field.voxels.cell), units, 1);
  };
  std::string list;
  for (std::size_t i = 0; i < choice.others.size() && i < 6; ++i) {
    const int other = choice.others[i];
    list += (i ? "; " : "") + volume(other) + " at " +
            text_of(middles[static_cast<std::size_t>(other)]);
  }
  room.guesses.push_back(
      {"Which room", "the largest, " + volume(choice.pocket),
       std::to_string(choice.others.size() + 1) + " bodies of air can be rooms; others: " + list,
       "\"model\": { \"seed\": [x, y, z] }, a point in the room"});
}

void tell_edges(double reach, DisplayUnits units, Room& room) {
  room.guesses.push_back(
      {"Corners of the scan",
       "planes that end up to " + format_length(reach, units, 2) + " short of others meet them",
       "without that no body of air is closed, and a scan has gaps there",
       "where one of them is an opening, add it to the model as a part and say { \"match\": its "
       "name, \"is\": \"hole\" }"});
}

void tell_open_choice(const Vec3& middle, bool seeded, Room& room) {
  if (seeded) return;
  room.guesses.push_back({"Which room",
                          "the space over the largest floor, round " + text_of(middle),
                          "no closed body of air can be a room",
                          "\"model\": { \"seed\": [x, y, z] }, a point in the room"});
}

void list_airs(AirField& field, const std::vector<Facing>& facings,
               const std::vector<double>& ceilings, const std::vector<Vec3>& middles,
               DisplayUnits units, Room& room) {
  std::array<int, 6> counts{};
  field.air.assign(field.pockets.size(), -1);
  const double cell = field.voxels.cell;
  const double floor_z = field.main_pocket < 0
                             ? -Box3::kInf
                             : field.pockets[static_cast<std::size_t>(field.main_pocket)].box.low.z;
  for (std::size_t i = 0; i < field.pockets.size(); ++i) {
    const Pocket& pocket = field.pockets[i];
    const bool main = static_cast<int>(i) == field.main_pocket;
    if (!main && (facings[i].core() || pocket.volume_m3(cell) < kSmallestAir)) continue;
    Air air;
    air.kind = main ? AirKind::room : kind_of(pocket, cell, ceilings, floor_z);
    const int number = ++counts[static_cast<std::size_t>(air.kind)];
    air.name = main ? "main room" : std::string(to_string(air.kind)) + " " + std::to_string(number);
    air.seed = middles[i];
    air.volume_m3 = pocket.volume_m3(cell);
    air.box = pocket.box.grown(0.5 * cell);
    field.air[i] = static_cast<int>(room.airs.size());
    if (main) {
      room.main_air = field.air[i];
      for (const VirtualSide& side : field.sides) air.open_sides.push_back(describe(side, units));
    }
    room.airs.push_back(std::move(air));
  }
}

}  // namespace

Skin skin_of(const Scene& scene, const std::vector<int>& parts) {
  Skin skin;
  for (const int index : parts) {
    const Part& part = scene.parts[static_cast<std::size_t>(index)];
    for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
      skin.triangles.push_back(scene.triangles[part.first_triangle + i]);
      skin.part.push_back(index);
    }
  }
  skin.tree.emplace(scene.points, skin.triangles);
  return skin;
}

AirField find_airs(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                   const std::vector<Opening>& openings, const Skin& skin, Room& room) {
  AirField field;
  const Box3 box = skin_box(scene, skin);
  fill_voxels(scene, planes, openings, skin, box, field);
  std::vector<Vec3> middles = middles_of(field.voxels, field.pockets);
  std::vector<Facing> facings = facings_of(scene, skin, field, middles);
  const std::vector<double> ceilings = ceiling_heights(scene, room.roles);
  Choice choice = choose_room(job, field, facings, ceilings, box);
  // A scan that leaks: by its planes instead of its triangles, and then a little larger ones.
  for (const double reach : {0.0, 0.5 * kWidestGap_m, kWidestGap_m}) {
    std::vector<Opening> closed = fitted_planes(planes, reach);
    if (choice.pocket >= 0 || closed.empty()) break;
    closed.insert(closed.end(), openings.begin(), openings.end());
    fill_voxels(scene, planes, closed, skin, box, field);
    middles = middles_of(field.voxels, field.pockets);
    facings = facings_of(scene, skin, field, middles);
    choice = choose_room(job, field, facings, ceilings, box);
    if (choice.pocket >= 0 && reach > 0) tell_edges(reach, job.units, room);
  }
  if (choice.pocket >= 0) {
    field.main_pocket = choice.pocket;
  } else {
    close_open_sides(scene, job, planes, openings, skin, field, room);
    middles = middles_of(field.voxels, field.pockets);
    facings = facings_of(scene, skin, field, middles);
  }
  if (choice.pocket >= 0)
    tell_choice(field, choice, middles, job.units, room);
  else if (field.main_pocket >= 0)
    tell_open_choice(middles[static_cast<std::size_t>(field.main_pocket)],
                     job.model.seed.has_value(), room);
  list_airs(field, facings, ceilings, middles, job.units, room);
  for (const VirtualSide& side : field.sides)
    room.guesses.push_back(
        {"Open side", describe(side, job.units),
         "the model does not close the room here; nothing is fixed there",
         "add the missing wall to the model, or state it: \"model\": { \"faces\": [ { \"name\": "
         "\"Wall east\", \"plane\": [three points of it] } ] }"});
  if (field.voxels.cell > 1.01 * kCell)
    room.warnings.push_back("The model is so large that air was told apart in steps of " +
                            format_length(field.voxels.cell, job.units, 2) +
                            "; narrow gaps may have been taken for closed.");
  return field;
}

}  // namespace roomloom
