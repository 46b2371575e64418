#include "room/sheets.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "base/units.h"
#include "room/roles.h"
#include "room/room.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr double kSmallestSheet = 0.05;  // square metres

// Sheets do not run across parts of another meaning. What the job states comes first: where parts
// lie on each other, the first takes the place.
using Kind = std::tuple<bool, Role, int, Build>;

std::map<Kind, std::vector<const PlaneMember*>> by_kind(const Scene& scene, const Plane& plane,
                                                        const std::vector<PartRole>& roles) {
  std::map<Kind, std::vector<const PlaneMember*>> kinds;
  for (const PlaneMember& member : plane.members) {
    const PartRole& role = roles[static_cast<std::size_t>(member.part)];
    if (!is_structure(role.role)) continue;
    const bool stated = is_stated(scene.parts[static_cast<std::size_t>(member.part)]);
    kinds[{!stated, role.role, role.rule, role.build}].push_back(&member);
  }
  return kinds;
}

SheetRole sheet_role(Role part, const Vec3& n) {
  if (part == Role::suspended_ceiling && n.z < -0.5) return SheetRole::suspended_ceiling;
  if (std::abs(n.z) < 0.17) return SheetRole::wall;
  if (n.z < -0.985) return SheetRole::ceiling;
  if (n.z > 0.985) return SheetRole::floor;
  return SheetRole::slope;
}

Sheet make_sheet(const Plane& plane, const Polygon& polygon, const Vec3& n, const Vec3& ahead) {
  Sheet sheet;
  sheet.frame = sheet_frame(plane.frame.origin, n, ahead);
  sheet.residual_m = plane.residual_m;
  const Region turned = moved(region_of(polygon), plane.frame, sheet.frame);
  constexpr double kScanSteps = 0.035;  // a scan's outline comes in steps of 30 mm
  const double rough = std::max(plane.residual_m + 0.005, plane.fitted ? kScanSteps : 0.0);
  const double tolerance = plane.residual_m > 0.001 ? rough : 2e-5;
  const auto shapes = polygons(simplified(turned, tolerance));
  if (shapes.empty()) return sheet;
  const Box2 box = box_of(shapes.front().outline);
  sheet.region = shapes.front();
  for (Vec2& p : sheet.region.outline) p = p - box.low;
  for (Ring& hole : sheet.region.holes)
    for (Vec2& p : hole) p = p - box.low;
  sheet.frame.origin = sheet.frame.to_world(box.low);
  return sheet;
}

// Parts by how much of the sheet they make up.
std::vector<int> parts_of(const std::vector<const PlaneMember*>& members, const Polygon& polygon) {
  std::vector<std::pair<double, int>> shares;
  const Region region = region_of(polygon);
  const Box2 box = box_of(region);
  for (const PlaneMember* member : members) {
    if (!box.overlaps(box_of(member->region))) continue;
    const double share = area(common(member->region, region));
    if (share > 1e-3) shares.emplace_back(-share, member->part);
  }
  std::sort(shares.begin(), shares.end());
  std::vector<int> parts;
  for (const auto& [share, part] : shares) parts.push_back(part);
  return parts;
}

void apply_role(const Job& job, const PartRole& part, Sheet& sheet) {
  sheet.role = sheet_role(part.role, sheet.frame.n);
  sheet.build = part.build;
  sheet.fixable = sheet.role != SheetRole::suspended_ceiling;
  const PartRule* rule = rule_of(job, part);
  if (rule && rule->fixable) sheet.fixable = *rule->fixable;
  if (rule && rule->hides) sheet.visible = 0;
  if (rule && !rule->colour.empty()) sheet.colour = colour_named(rule->colour);
}

// A face in the thickness of a wall round an opening: a reveal, a sill, a lintel's underside.
bool is_reveal(const Sheet& sheet, const std::vector<Plane>& planes,
               const std::vector<Opening>& openings) {
  if (area(sheet.region) > 2.0) return false;
  const Vec3 middle = sheet.frame.to_world(interior_point(sheet.region));
  return std::any_of(openings.begin(), openings.end(), [&](const Opening& opening) {
    const Frame& frame = planes[static_cast<std::size_t>(opening.plane)].frame;
    if (std::abs(dot(frame.n, sheet.frame.n)) > 0.5 || std::abs(frame.height(middle)) > 0.7)
      return false;
    return contains(grown(opening.region, 0.005), frame.to_plane(middle));
  });
}

void add_sheets_of(const Scene& scene, const Job& job, const Plane& plane, const Region& seen,
                   const Vec3& n, const Vec3& ahead, Room& room) {
  Region left = seen;
  for (const auto& [kind, members] : by_kind(scene, plane, room.roles)) {
    const Role role = std::get<Role>(kind);
    Region own;
    for (const PlaneMember* member : members)
      own.insert(own.end(), member->region.begin(), member->region.end());
    own = united(Region{}, own);
    Region here = common(left, own);
    // As parts of their own, or as pieces of one, such as an array of copies.
    const bool tiles =
        role == Role::suspended_ceiling && (members.size() > 3 || polygons(here).size() > 3);
    left = without(left, own);
    if (tiles) here = closed(here, 0.02);  // the grid's tees lie between the tiles
    for (const Polygon& polygon : polygons(here)) {
      if (area(polygon) < kSmallestSheet) continue;
      if (area(opened(region_of(polygon), 0.02)) < kSmallestSheet) continue;
      Sheet sheet = make_sheet(plane, polygon, n, ahead);
      if (sheet.region.outline.size() < 3) continue;
      sheet.parts = parts_of(members, polygon);
      if (sheet.parts.empty()) continue;
      sheet.front_air = room.main_air;
      sheet.name = scene.parts[static_cast<std::size_t>(sheet.parts.front())].name;
      apply_role(job, room.roles[static_cast<std::size_t>(sheet.parts.front())], sheet);
      if (!sheet.colour && job.sight.model_colours)
        sheet.colour = scene.parts[static_cast<std::size_t>(sheet.parts.front())].colour;
      room.sheets.push_back(std::move(sheet));
    }
  }
}

std::string capitalised(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 32);
  return text;
}

}  // namespace

namespace {

// Which sheet of each name bears it bare. People measure on what they call the wall: not on a
// reveal, a splay or a ledge of the same part that merely comes first.
std::map<std::string, const Sheet*> bearers_of_names(const std::vector<Sheet>& sheets) {
  constexpr double kMuchLarger = 3;
  std::map<std::string, const Sheet*> bearers;
  for (const Sheet& sheet : sheets) {
    const Sheet*& bearer = bearers[sheet.name];
    const auto slanted = [](const Sheet& s) { return s.role == SheetRole::slope; };
    const bool better =
        bearer != nullptr && (slanted(*bearer) == slanted(sheet)
                                  ? area(sheet.region) > kMuchLarger * area(bearer->region)
                                  : slanted(*bearer));
    if (bearer == nullptr || better) bearer = &sheet;
  }
  return bearers;
}

void name_sheets(Room& room) {
  std::map<std::string, std::set<SheetRole>> roles;
  for (const Sheet& sheet : room.sheets) roles[sheet.name].insert(sheet.role);
  for (Sheet& sheet : room.sheets) {
    const bool tiles = sheet.role == SheetRole::suspended_ceiling && sheet.parts.size() > 3;
    if (sheet.name.empty() || tiles)
      sheet.name = capitalised(to_string(sheet.role));
    else if (roles[sheet.name].size() > 1 && (roles[sheet.name].contains(SheetRole::floor) ||
                                              roles[sheet.name].contains(SheetRole::ceiling)))
      sheet.name += std::string(" ") + to_string(sheet.role);
  }
  std::set<const Sheet*> bare;
  std::set<std::string> taken;
  for (const auto& [name, sheet] : bearers_of_names(room.sheets)) {
    bare.insert(sheet);
    taken.insert(name);
  }
  for (Sheet& sheet : room.sheets) {
    if (bare.contains(&sheet)) continue;
    std::string name = sheet.name;
    for (int number = 2; !taken.insert(name).second; ++number)
      name = sheet.name + " (" + std::to_string(number) + ")";
    sheet.name = name;
  }
}

void measure_room(Room& room) {
  std::map<long, double> levels;  // floors by height in millimetres
  for (const Sheet& sheet : room.sheets) {
    for (const Vec2& p : sheet.region.outline) room.box.add(sheet.frame.to_world(p));
    if (sheet.role == SheetRole::floor)
      levels[std::lround(sheet.frame.origin.z * 1000)] += area(sheet.region);
  }
  double most = 0;
  room.floor_z_m = room.box.empty() ? 0 : room.box.low.z;
  for (const auto& [level, size] : levels) {
    if (size <= most) continue;
    most = size;
    room.floor_z_m = static_cast<double>(level) / 1000;
  }
  for (Sheet& sheet : room.sheets) {  // tops of low walls and steps are not the floor
    const bool ledge = sheet.role == SheetRole::floor && area(sheet.region) < 1 &&
                       sheet.frame.origin.z > room.floor_z_m + 0.3;
    if (ledge) sheet.role = SheetRole::slope;
  }
}

void add_open_side_sheets(const AirField& field, Room& room) {
  for (std::size_t i = 0; i < field.sides.size(); ++i) {
    const VirtualSide& side = field.sides[i];
    if (side.open_m2 < 0.5 * area(side.region)) continue;
    Sheet sheet;
    sheet.name = "Open side " + std::to_string(i + 1);
    sheet.frame = side.frame;
    sheet.region = polygons(side.region).front();
    sheet.role = SheetRole::open_side;
    sheet.fixable = false;
    sheet.front_air = room.main_air;
    room.sheets.push_back(std::move(sheet));
  }
}

void find_back_air(const AirField& field, Room& room) {
  for (Sheet& sheet : room.sheets) {
    const Vec3 middle = sheet.frame.to_world(interior_point(sheet.region));
    for (double depth = 0.06; depth < 0.6 && sheet.back_air < 0; depth += 0.04) {
      const auto [x, y, z] = field.voxels.cell_of(middle - depth * sheet.frame.n);
      if (!field.voxels.inside(x, y, z)) break;
      const std::int32_t pocket = field.voxels.label[field.voxels.index(x, y, z)];
      if (pocket >= 0 && pocket != field.main_pocket)
        sheet.back_air = field.air[static_cast<std::size_t>(pocket)];
    }
  }
}

}  // namespace

namespace {

struct Sides {
  Region front, back;
};

// A scanner sees one side of a thing. Planes that bound the room show which way its triangles look;
// the other side of a table top that hangs in the air was never measured.
void keep_scanned_sides(const std::vector<Plane>& planes, std::vector<Sides>& seen) {
  double front = 0, back = 0;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    if (!planes[i].fitted) continue;
    const double f = area(seen[i].front), b = area(seen[i].back);
    if (f > 3 * b) front += f;
    if (b > 3 * f) back += b;
  }
  for (std::size_t i = 0; i < planes.size(); ++i) {
    if (!planes[i].fitted || seen[i].front.empty() || seen[i].back.empty()) continue;
    (front >= back ? seen[i].back : seen[i].front).clear();
  }
}

// Planes of a scan that are too small for walls, or level between floor and ceiling.
void tell_scanned_furniture(const std::vector<PartRole>& roles, Room& room) {
  constexpr double kSmallestWall = 2.0, kScan = 0.003;
  int count = 0;
  for (Sheet& sheet : room.sheets) {
    if (sheet.residual_m < kScan || sheet.parts.empty()) continue;
    if (roles[static_cast<std::size_t>(sheet.parts.front())].role != Role::wall) continue;
    const double z = sheet.frame.origin.z;
    const bool between =
        std::abs(sheet.frame.n.z) > 0.985 && z > room.floor_z_m + 0.2 && z < room.box.high.z - 0.2;
    if (!between && area(sheet.region) >= kSmallestWall) continue;
    sheet.role = SheetRole::furniture;
    sheet.fixable = false;
    ++count;
  }
  if (count > 0)
    room.guesses.push_back({"Small planes of the scan", std::to_string(count) + " are furniture",
                            "they are smaller than 2 m2, or level between floor and ceiling",
                            "label the scan's walls as parts of their own"});
}

}  // namespace

Vec3 main_direction(const std::vector<Plane>& planes, const Box3& near) {
  // The mean of the walls' directions, turned four times as fast so that quarter turns agree.
  double sine = 0, cosine = 0;
  for (const Plane& plane : planes) {
    if (std::abs(plane.frame.n.z) > 0.17 || !plane.box.overlaps(near)) continue;
    const double angle = 4 * std::atan2(plane.frame.n.y, plane.frame.n.x);
    sine += area(plane.region) * std::sin(angle);
    cosine += area(plane.region) * std::cos(angle);
  }
  if (std::hypot(sine, cosine) < 1e-9) return {1, 0, 0};
  double angle = std::atan2(sine, cosine) / 4;
  double best = 0, most = -1;  // the heaviest direction near the mean, exactly
  for (const Plane& plane : planes) {
    if (std::abs(plane.frame.n.z) > 0.17 || !plane.box.overlaps(near)) continue;
    const double own = std::atan2(plane.frame.n.y, plane.frame.n.x);
    const double off = std::remainder(own - angle, kPi / 2);
    if (std::abs(off) > radians(8) || area(plane.region) <= most) continue;
    most = area(plane.region);
    best = off;
  }
  angle += best;
  angle = std::remainder(angle, kPi / 2);
  if (std::abs(angle) < 1e-7) return {1, 0, 0};
  return {std::cos(angle), std::sin(angle), 0};
}

void find_sheets(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                 const std::vector<Opening>& openings, const Skin& skin, const AirField& field,
                 const Vec3& ahead, Room& room) {
  const Box3 near = room.airs[static_cast<std::size_t>(room.main_air)].box.grown(0.12);
  std::vector<Plane> cutting = planes;
  for (const VirtualSide& side : field.sides) {
    Plane plane;
    plane.frame = side.frame;
    plane.region = side.region;
    for (const Ring& ring : side.region)
      for (const Vec2& p : ring) plane.box.add(side.frame.to_world(p));
    cutting.push_back(std::move(plane));
  }
  constexpr long kMostPieces = 15'000;  // a flat of ten furnished rooms has 11,000
  long pieces_left = kMostPieces;
  std::vector<Sides> seen(planes.size());
  for (std::size_t i = 0; i < planes.size(); ++i) {
    if (!planes[i].box.overlaps(near)) continue;
    seen[i].front = facing_main_air(cutting, i, field, skin, room.roles, near, true, pieces_left);
    seen[i].back = facing_main_air(cutting, i, field, skin, room.roles, near, false, pieces_left);
  }
  if (pieces_left <= 0)
    room.warnings.push_back(
        "The model's faces cut one another into more than " + std::to_string(kMostPieces) +
        " pieces; the rest was left uncut, so some faces may reach too far. Leave parts out that "
        "do not matter: \"parts\": [{ \"match\": \"...\", \"is\": \"ignore\" }].");
  keep_scanned_sides(planes, seen);
  for (std::size_t i = 0; i < planes.size(); ++i) {
    const Vec3& n = planes[i].frame.n;
    if (area(seen[i].front) >= kSmallestSheet)
      add_sheets_of(scene, job, planes[i], seen[i].front, n, ahead, room);
    if (area(seen[i].back) >= kSmallestSheet)
      add_sheets_of(scene, job, planes[i], seen[i].back, -n, ahead, room);
  }
  std::erase_if(room.sheets, [&](const Sheet& s) { return is_reveal(s, planes, openings); });
  draw_scans_to_corners(room);
  measure_room(room);
  tell_scanned_furniture(room.roles, room);
  name_sheets(room);
  add_open_side_sheets(field, room);
  find_back_air(field, room);
}

}  // namespace roomloom
