#include <algorithm>
#include <cmath>

#include "base/steps.h"
#include "base/units.h"
#include "room/ceilings.h"
#include "room/features.h"
#include "room/region.h"
#include "room/roles.h"
#include "trade/building.h"

namespace roomloom {
namespace {

constexpr double kBoard = 0.0125;  // plasterboard; common practice, no source
constexpr double kPlate = 0.045;   // head and sole plate
constexpr double kGuessedPitch = 0.4;
constexpr double kNarrowest = 0.06, kLowest = 0.15;

using Range = std::pair<double, double>;

struct Studs {
  double pitch = kGuessedPitch, first = 0, width = 0.045, depth = 0.089;
  std::vector<double> blocking;
};

bool may_be_fished(const PartRule* rule, Build build) {
  if (rule && rule->fishable) return *rule->fishable;
  return build == Build::stud;
}

std::vector<Range> clear_widths(const Studs& studs, double length) {
  std::vector<double> centres{0.5 * studs.width};
  for (const double at : steps_below(studs.first, length - studs.width, studs.pitch))
    if (at > 1.5 * studs.width) centres.push_back(at);
  centres.push_back(length - 0.5 * studs.width);
  std::vector<Range> widths;
  for (std::size_t i = 0; i + 1 < centres.size(); ++i) {
    const Range range{centres[i] + 0.5 * studs.width, centres[i + 1] - 0.5 * studs.width};
    if (range.second - range.first >= kNarrowest) widths.push_back(range);
  }
  return widths;
}

void cut_out(std::vector<Range>& ranges, double low, double high) {
  std::vector<Range> result;
  for (const Range& r : ranges) {
    if (high <= r.first || low >= r.second) {
      result.push_back(r);
      continue;
    }
    if (low > r.first) result.emplace_back(r.first, low);
    if (high < r.second) result.emplace_back(high, r.second);
  }
  ranges = std::move(result);
}

// Heights on the wall between sole plate, blocking, openings and head plate.
std::vector<Range> clear_heights(const Sheet& sheet, const Studs& studs, const Range& width,
                                 double floor_v, double top_v) {
  std::vector<Range> heights{{floor_v + kPlate, top_v - kPlate}};
  for (const double at : studs.blocking)
    cut_out(heights, floor_v + at - 0.5 * studs.width, floor_v + at + 0.5 * studs.width);
  for (const SheetKeepOut& keep : sheet.keep_outs) {
    if (keep.what != Role::door && keep.what != Role::window && keep.what != Role::vent) continue;
    const Box2 box = box_of(keep.ring);
    if (box.high.x > width.first && box.low.x < width.second)
      cut_out(heights, box.low.y - kPlate, box.high.y + kPlate);
  }
  std::erase_if(heights, [](const Range& r) { return r.second - r.first < kLowest; });
  return heights;
}

// How high the wall itself reaches, in the sheet's v: also behind a ceiling, and under a slope.
double top_over(const Region& wall, const Range& width, double otherwise) {
  double top = Box3::kInf;
  const Box2 box = box_of(wall);
  for (const double x : {width.first, width.second}) {
    double here = -Box3::kInf;
    for (const Polygon& polygon : polygons(wall)) {
      const Vec2 a{x, box.low.y - 1}, b{x, box.high.y + 1};
      for (const auto& piece : inside_pieces(polygon, a, b))
        here = std::max(here, a.y + piece.second * (b.y - a.y));
    }
    if (here > -Box3::kInf) top = std::min(top, here);
  }
  return top < Box3::kInf ? top : otherwise;
}

Void bay_of(const Sheet& sheet, int sheet_index, const Studs& studs, const Range& width,
            const Range& height, const std::string& name) {
  Void bay;
  bay.name = name;
  bay.kind = VoidKind::bay;
  bay.frame.origin = sheet.frame.to_world(Vec2{width.first, height.first});
  bay.frame.u = sheet.frame.u;
  bay.frame.n = sheet.frame.v;
  bay.frame.v = cross(bay.frame.n, bay.frame.u);
  bay.plan.outline =
      rectangle_ring({0, kBoard}, {width.second - width.first, kBoard + studs.depth});
  bay.height_m = height.second - height.first;
  bay.handles_air = HandlesAir::no;
  bay.upright_only = true;
  bay.supported = false;
  bay.wall = sheet_index;
  return bay;
}

void add_wall_plate(const Job& job, int sheet_index, int bay_index, const Range& width,
                    const Range& height, Room& room) {
  const Sheet& sheet = room.sheets[static_cast<std::size_t>(sheet_index)];
  const Region rectangle{
      rectangle_ring({width.first, height.first}, {width.second, height.second})};
  const auto shapes = polygons(common(region_of(sheet.region), rectangle));
  if (shapes.empty()) return;
  Crossing plate;
  const Void& bay = room.voids[static_cast<std::size_t>(bay_index)];
  plate.name = "plate into " + bay.name;
  plate.kind = CrossingKind::wall_plate;
  plate.from = {PlaceKind::sheet, sheet_index};
  plate.to = {PlaceKind::void_space, bay_index};
  plate.frame = {sheet.frame.origin, sheet.frame.u, -sheet.frame.v, -sheet.frame.n};
  for (auto p = shapes[0].outline.rbegin(); p != shapes[0].outline.rend(); ++p)
    plate.region.outline.push_back({p->x, -p->y});
  plate.thickness_m = kBoard;
  plate.largest_diameter_m = std::min(job.prefer.largest_hole_m, width.second - width.first);
  const Box2 box = box_of(shapes[0].outline);
  for (SheetKeepOut keep : sheet.keep_outs) {
    if (!box_of(keep.ring).grown(keep.clearance_m).overlaps(box)) continue;
    std::reverse(keep.ring.begin(), keep.ring.end());
    for (Vec2& p : keep.ring) p.y = -p.y;
    plate.keep_outs.push_back(std::move(keep));
  }
  room.crossings.push_back(std::move(plate));
}

// IRC R602.6 for studs and plates: a share of the depth, taken as bearing where nothing says
// otherwise, and the edges left; R602.6.1: cut by more than half, a plate needs a steel strap.
double greatest_plate_hole_m(double depth, const PartRule* rule) {
  const bool bearing = rule == nullptr || rule->bearing.value_or(true);
  return std::max(0.0, std::min({trade::greatest_stud_hole_m(depth, bearing),
                                 trade::kPlateStrapShare * depth, depth - 2 * trade::kStudEdge_m}));
}

/// Whether a part of the model fills a place, by its box.
bool filled(const Scene& scene, const Vec3& at) {
  return std::any_of(scene.parts.begin(), scene.parts.end(), [&](const Part& part) {
    return part.kind == PartKind::mesh && box_of(scene, part).contains(at);
  });
}

// A wall that stops at the ceiling has the plenum's air over its head plate: the plenum, which is
// drawn over the room's ceiling alone, reaches over this bay too. Not where more wall stands on it.
void reach_over(const Scene& scene, const Void& bay, Void& plenum) {
  const Box2 plan = box_of(bay.plan.outline);
  constexpr double kIntoRoom = 0.02, kOver = 0.06;
  const Vec2 middle = 0.5 * (plan.low + plan.high);
  if (filled(scene, bay.frame.to_world(middle, bay.height_m + kPlate + kOver))) return;
  Ring over;
  for (const Vec2& corner : rectangle_ring({plan.low.x, -kIntoRoom}, plan.high))
    over.push_back(plenum.frame.to_plane(bay.frame.to_world(corner)));
  if (signed_area(over) < 0) std::reverse(over.begin(), over.end());
  const std::vector<Polygon> wide = polygons(united(region_of(plenum.plan), {over}));
  if (wide.size() == 1) plenum.plan = wide.front();
}

// Out of the bay into a plenum: up through the head plate where the wall stops at the ceiling,
// else through the board above the ceiling.
void add_plate_hole(const Scene& scene, const Job& job, int bay_index, double wall_top,
                    double plate_hole_m, Room& room) {
  const Void& bay = room.voids[static_cast<std::size_t>(bay_index)];
  const double width = box_of(bay.plan.outline).high.x;
  for (int i = 0; i < static_cast<int>(room.voids.size()); ++i) {
    Void& space = room.voids[static_cast<std::size_t>(i)];
    if (space.kind != VoidKind::plenum) continue;
    const Vec3 before = bay.frame.to_world(Vec2{0.5 * width, -0.03});
    if (!contains(space.plan.outline, space.frame.to_plane(before))) continue;
    const double base = space.frame.origin.z, top = base + space.height_m;
    Crossing hole;
    hole.name = "hole from " + bay.name;
    hole.kind = CrossingKind::plate_hole;
    hole.from = {PlaceKind::void_space, bay_index};
    hole.to = {PlaceKind::void_space, i};
    hole.largest_diameter_m = std::min(job.prefer.largest_hole_m, plate_hole_m);
    if (wall_top > base - 0.1 && wall_top < base + 0.12) {
      hole.frame = bay.frame;
      hole.frame.origin = bay.frame.origin + bay.height_m * bay.frame.n;
      hole.region = bay.plan;
      hole.thickness_m = kPlate;
      reach_over(scene, bay, space);
    } else if (wall_top >= base + 0.12) {
      const double low = base - bay.frame.origin.z + 0.03;
      const double high = std::min(top - bay.frame.origin.z, bay.height_m) - 0.03;
      if (high - low < 0.06) continue;
      hole.frame.origin = bay.frame.to_world(Vec2{0, kBoard}, 0.5 * (low + high));
      hole.frame.n = -bay.frame.v;
      hole.frame.u = bay.frame.u;
      hole.frame.v = cross(hole.frame.n, hole.frame.u);
      const double half = 0.5 * (high - low);
      hole.region.outline = rectangle_ring({0, -half}, {width, half});
      hole.thickness_m = kBoard;
      hole.largest_diameter_m = std::min(job.prefer.largest_hole_m, width);
    } else {
      continue;
    }
    room.crossings.push_back(std::move(hole));
    return;
  }
}

void tell_unknown_builds(const Scene& scene, Room& room) {
  int sheets = 0;
  std::vector<int> parts;
  for (const Sheet& sheet : room.sheets) {
    if (sheet.role != SheetRole::wall || sheet.build != Build::unknown) continue;
    ++sheets;
    if (!sheet.parts.empty() &&
        std::find(parts.begin(), parts.end(), sheet.parts.front()) == parts.end())
      parts.push_back(sheet.parts.front());
  }
  if (sheets == 0) return;
  const std::string match = parts.empty() ? "Wall *" : pattern_for(scene, parts);
  room.guesses.push_back({"What " + std::to_string(sheets) +
                              (sheets == 1 ? " wall sheet is made of" : " wall sheets are made of"),
                          "unknown: nothing is fished through them",
                          "neither the job nor their names say it",
                          "\"parts\": [{ \"match\": \"" + match + "\", \"build\": \"stud\" }]"});
}

}  // namespace

void find_bays(const Scene& scene, const Job& job, Room& room) {
  tell_unknown_builds(scene, room);
  for (int index = 0; index < static_cast<int>(room.sheets.size()); ++index) {
    const Sheet sheet = room.sheets[static_cast<std::size_t>(index)];
    if (sheet.role != SheetRole::wall || sheet.parts.empty() || std::abs(sheet.frame.v.z) < 0.999)
      continue;
    const auto part = static_cast<std::size_t>(sheet.parts.front());
    const PartRule* rule = rule_of(job, room.roles[part]);
    const Box2 face = box_of(sheet.region.outline);
    if (!may_be_fished(rule, sheet.build) || face.high.y < 1 || face.high.x < 0.2) continue;
    Studs studs;
    if (rule) {
      studs.first = rule->stud_first_m;
      studs.width = rule->stud_width_m;
      studs.depth = rule->wall_depth_m;
      studs.blocking = rule->blocking_m;
    }
    if (rule && rule->stud_pitch_m > 0.1) {
      studs.pitch = rule->stud_pitch_m;
    } else {
      room.guesses.push_back({"Studs of " + sheet.name,
                              "one every " + format_length(kGuessedPitch, job.units, 2) +
                                  " from the left edge, no blocking",
                              "it is a stud wall, but nothing says where its studs are",
                              "\"parts\": [{ \"match\": \"" + scene.parts[part].name +
                                  "\", \"studs\": { \"pitch\": \"400 mm\", \"blocking\": [] } }]"});
    }
    const Box3 whole = box_of(scene, scene.parts[part]);
    const double floor_v = room.floor_z_m - sheet.frame.origin.z;
    Region wall;
    for (const int index_of_part : sheet.parts) {
      const Part& own = scene.parts[static_cast<std::size_t>(index_of_part)];
      const Region print = footprint_on(scene, own, sheet.frame, 0.6, 0.02);
      wall.insert(wall.end(), print.begin(), print.end());
    }
    int number = 0;
    for (const Range& width : clear_widths(studs, face.high.x)) {
      ++number;
      const double top_v = top_over(wall, width, whole.high.z - sheet.frame.origin.z);
      const auto heights = clear_heights(sheet, studs, width, std::max(0.0, floor_v), top_v);
      for (std::size_t i = 0; i < heights.size(); ++i) {
        std::string name = "bay " + std::to_string(number) + " of " + sheet.name;
        if (heights.size() > 1) name += ", part " + std::to_string(i + 1);
        room.voids.push_back(bay_of(sheet, index, studs, width, heights[i], name));
        const int bay = static_cast<int>(room.voids.size()) - 1;
        add_wall_plate(job, index, bay, width, heights[i], room);
        if (heights[i].second > top_v - kPlate - 1e-6)
          add_plate_hole(scene, job, bay, sheet.frame.origin.z + top_v,
                         greatest_plate_hole_m(studs.depth, rule), room);
      }
    }
  }
}

}  // namespace roomloom
