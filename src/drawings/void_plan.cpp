#include <algorithm>
#include <cmath>
#include <set>

#include "drawings/dimensions.h"
#include "drawings/sheets.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kQuiet{1.8, false, false, {0.4, 0.4, 0.4}};

/// Seen from above with the room's x to the right, whatever the void's own frame is.
Frame from_above(const Void& space) {
  return {space.frame.origin, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
}

bool is_in(const Room& room, const Void& space, const HoleShape& hole) {
  const Crossing& crossing = room.crossings[static_cast<std::size_t>(hole.crossing)];
  const PlaceId self{PlaceKind::void_space, static_cast<int>(&space - room.voids.data())};
  return crossing.from == self || crossing.to == self;
}

void draw_tiles(Work& work, const Void& space) {
  for (const TileGrid& grid : work.request.room.grids) {
    if (grid.sheet != space.below) continue;
    const Frame& frame = work.request.room.sheets[static_cast<std::size_t>(grid.sheet)].frame;
    for (const Tile& tile : grid.tiles)
      work.draft.shape(on_paper(work.view, tile.ring, frame), Pen{shade(0.78), 0.13, {}},
                       std::nullopt);
  }
}

/// What stands in the void: hatched, with its clearance round it.
void draw_obstacles(Work& work, const Void& space) {
  std::set<std::string> named;  // a duct of several boxes has its name once
  for (const VoidObstacle& obstacle : space.obstacles) {
    const auto corners = [&](double grow) {
      const Box3 box = obstacle.box.grown(grow);
      std::vector<Vec2> ring;
      for (const Vec2& p : {Vec2{box.low.x, box.low.y}, Vec2{box.high.x, box.low.y},
                            Vec2{box.high.x, box.high.y}, Vec2{box.low.x, box.high.y}})
        ring.push_back(work.view(space.frame.to_world(p)));
      return ring;
    };
    const std::vector<Vec2> ring = corners(0);
    work.draft.shape(ring, pen_of(LineKind::wide, shade(0.35)), shade(0.93),
                     "Obstacle " + plain_text(obstacle.name));
    work.draft.path({ring[0], ring[2]}, {shade(0.7), 0.13, {}});
    if (obstacle.clearance_m > 0)
      work.draft.shape(corners(obstacle.clearance_m), Pen{shade(0.55), 0.13, {1.5, 1}},
                       std::nullopt);
    if (!obstacle.name.empty() && named.insert(obstacle.name).second)
      work.draft.label(
          {plain_text(obstacle.name, 28), 0.5 * (ring[0] + ring[2]), kQuiet, 0, {}, ""});
  }
}

/// A stroke across the trunk with short ends, as a hook is from above.
int draw_supports(Work& work, const Void& space) {
  int count = 0;
  for (const SupportShape& support : work.request.shapes.supports) {
    const Vec3 local = space.frame.to_local(support.at);
    if (local.z < -0.01 || local.z > space.height_m + 0.01) continue;
    if (!contains(space.plan, Vec2{local.x, local.y})) continue;
    const Vec2 at = work.view(support.at);
    const Vec2 along = work.view(support.at + normalized(support.direction)) - at;
    const Vec2 way = norm(along) > 0 ? (1 / norm(along)) * along : Vec2{1, 0};
    const Vec2 side{-way.y, way.x};
    const Pen pen{shade(0), 0.35, {}};
    work.draft.path({at - 1.5 * side + 0.6 * way, at - 1.5 * side, at + 1.5 * side,
                     at + 1.5 * side + 0.6 * way},
                    pen, "Support " + std::to_string(++count));
  }
  return count;
}

/// Where the lines run, read from the plan's lower left corner.
void dimension_lines(Work& work, const std::vector<const Stretch*>& stretches, const Vec2& low,
                     const Vec2& high) {
  std::vector<Reading> across = {{high.x - low.x, work.view.at({high.x, low.y})}};
  std::vector<Reading> up = {{high.y - low.y, work.view.at({low.x, high.y})}};
  for (const Stretch* stretch : stretches) {
    for (std::size_t i = 0; i + 1 < stretch->line.size(); ++i) {
      const Vec2 a = work.view.frame.to_plane(stretch->line[i]);
      const Vec2 b = work.view.frame.to_plane(stretch->line[i + 1]);
      if (norm(b - a) < 0.3) continue;
      if (std::abs(a.x - b.x) < 0.001)
        across.push_back({a.x - low.x, work.view.at({a.x, std::min(a.y, b.y)})});
      if (std::abs(a.y - b.y) < 0.001)
        up.push_back({a.y - low.y, work.view.at({std::min(a.x, b.x), a.y})});
    }
  }
  const Vec2 origin = work.view.at(low);
  running_dimensions(work, false, origin.y + 6, origin, across, "Dimension x");
  running_dimensions(work, true, origin.x - 6, origin, up, "Dimension y");
}

void draw_void_plan(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                    const Lettering& lettering, const Void& space,
                    const std::vector<const Stretch*>& stretches) {
  const std::string name = plain_text(space.name, 30);
  Work work(r, lettering, "Plan of the void: " + name, "void-plan");
  const Frame frame = from_above(space);
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec2& p : space.plan.outline)
    extend(low, high, frame.to_plane(space.frame.to_world(p)));
  fit_view(work, frame, low, high, {});
  draw_tiles(work, space);
  work.draft.shape(on_paper(work.view, space.plan.outline, space.frame), Pen{shade(0), 0.7, {}},
                   std::nullopt, "Outline");
  for (const Ring& hole : space.plan.holes)
    work.draft.shape(on_paper(work.view, hole, space.frame), pen_of(LineKind::wide), std::nullopt);
  draw_obstacles(work, space);
  for (const GearBox& gear : r.ends.gear) draw_gear_outline(work, gear);
  const bool doors = draw_moving(work, false);
  dimension_lines(work, stretches, low, high);
  draw_stretches(work, trunks, stretches);
  const int supports = draw_supports(work, space);
  std::vector<Row> holes;
  for (const HoleShape& hole : r.shapes.holes) {
    if (!is_in(r.room, space, hole)) continue;
    draw_hole(work, hole);
    std::string text = plain_text(hole.name, 16) + ":";
    for (const std::string& id : run_ids(hole.runs, r.ends)) text += " " + id;
    holes.push_back({text, false, {}});
  }
  if (!holes.empty()) work.rows.push_back({"Holes, and what passes them", true, {}});
  work.rows.insert(work.rows.end(), holes.begin(), holes.end());
  work.rows.push_back({"Also drawn", true, {}});
  if (supports > 0)
    work.rows.push_back(
        {counted(supports, "support") + ": short strokes across", false, Pen{shade(0), 0.35, {}}});
  work.rows.push_back(
      {"gear below, for orientation", false, pen_of(LineKind::double_chain, shade(0.3))});
  if (doors) work.rows.push_back({"doors below, as they swing", false, moving_pen()});
  work.rows.push_back(
      {"clearance of what stands in the void", false, Pen{shade(0.55), 0.13, {1.5, 1}}});
  work.rows.push_back(
      {"Seen from above. Clear height " + format_length(space.height_m, r.job.units, 3) + ".",
       false,
       {}});
  draw_foot(work);
  for (Page& page : finished(work)) pages.push_back(std::move(page));
}

}  // namespace

void draw_void_plans(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                     const Lettering& lettering) {
  for (std::size_t i = 0; i < r.room.voids.size(); ++i) {
    const Void& space = r.room.voids[i];
    if (space.upright_only || space.kind == VoidKind::bay) continue;
    const PlaceId self{PlaceKind::void_space, static_cast<int>(i)};
    std::vector<const Stretch*> inside;
    for (const Stretch& stretch : trunks.stretches) {
      if (stretch.home == self) inside.push_back(&stretch);
    }
    if (!inside.empty()) draw_void_plan(pages, r, trunks, lettering, space, inside);
  }
}

}  // namespace roomloom
