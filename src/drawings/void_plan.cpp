#include <algorithm>
#include <cmath>
#include <set>

#include "drawings/carried.h"
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

void draw_tiles(Work& work, const Void& space) {
  for (const TileGrid& grid : work.request.room.grids) {
    if (grid.sheet != space.below) continue;
    const Frame& frame = work.request.room.sheets[static_cast<std::size_t>(grid.sheet)].frame;
    for (const Tile& tile : grid.tiles)
      work.draft.shape(on_paper(work.view, tile.ring, frame), Pen{shade(0.78), 0.13, {}},
                       std::nullopt);
  }
}

/// What stands in the void, with its clearance round it. @return what it hides from above
std::vector<Cover> draw_obstacles(Work& work, const Void& space) {
  std::vector<Cover> covers;
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
    Cover cover{{{1e30, 1e30}, {-1e30, -1e30}},
                work.view.frame.height(space.frame.to_world(obstacle.box.low))};
    for (const Vec2& p : ring) extend(cover.box.low, cover.box.high, p);
    covers.push_back(cover);
    if (!obstacle.name.empty() && named.insert(obstacle.name).second)
      work.draft.label(
          {plain_text(obstacle.name, 28), 0.5 * (ring[0] + ring[2]), kQuiet, 0, {}, ""});
  }
  return covers;
}

const Pen kSupportPen{shade(0), 0.35, {}};

/// A stroke across what runs that way, with short ends, as a hook is from above.
std::vector<Vec2> support_stroke(const Vec2& at, const Vec2& way) {
  const Vec2 side{-way.y, way.x};
  return {at - 1.5 * side + 0.6 * way, at - 1.5 * side, at + 1.5 * side,
          at + 1.5 * side + 0.6 * way};
}

/// @return how many there are
int draw_supports(Work& work, const Void& space) {
  int count = 0;
  for (const SupportShape& support : work.request.shapes.supports) {
    const Vec3 local = space.frame.to_local(support.at);
    if (local.z < -0.01 || local.z > space.height_m + 0.01) continue;
    if (!contains(space.plan, Vec2{local.x, local.y})) continue;
    const Vec2 at = work.view(support.at);
    const Vec2 along = work.view(support.at + normalized(support.direction)) - at;
    const Vec2 way = norm(along) > 0 ? (1 / norm(along)) * along : Vec2{1, 0};
    work.draft.path(support_stroke(at, way), kSupportPen, "Support " + std::to_string(++count));
  }
  return count;
}

/// Ends in the void and in the face below it: coils of these hang in the void.
std::vector<int> coiled_under(const DrawingRequest& r, const Void& space, const Carried& carried) {
  std::vector<int> ends = carried.ends;
  const PlaceId below{PlaceKind::sheet, space.below};
  for (std::size_t i = 0; i < r.ends.ends.size(); ++i) {
    const End& end = r.ends.ends[i];
    if (end.place.home == below &&
        std::find(ends.begin(), ends.end(), static_cast<int>(i)) == ends.end())
      ends.push_back(static_cast<int>(i));
  }
  return ends;
}

/// Runs that a hole with few others passes on: its row tells them.
std::set<int> told_by(const std::vector<const HoleShape*>& holes) {
  constexpr std::size_t kFew = 4;
  std::set<int> told;
  for (const HoleShape* hole : holes)
    if (hole->runs.size() <= kFew) told.insert(hole->runs.begin(), hole->runs.end());
  return told;
}

/// "H2: N7 V4", each in a row of its own, or where lines are closer, all in one.
std::vector<Row> hole_rows(const Work& work, const Carried& carried) {
  std::vector<Row> rows;
  for (const HoleShape* hole : carried.holes) {
    std::string text = plain_text(hole->name, 16) + ":";
    for (const std::string& id : run_ids(hole->runs, work.request.ends))
      text += (text.back() == ':' ? unbroken(" ") : " ") + id;
    rows.push_back({text, false, {}});
  }
  if (work.hand.line_spacing >= 1 || rows.empty()) return rows;
  Row all = rows.front();
  for (std::size_t i = 1; i < rows.size(); ++i) all.text += "; " + rows[i].text;
  return {all};
}

std::vector<Page> void_plan(const DrawingRequest& r, const Trunks& trunks, const Hand& hand,
                            const Void& space, const Carried& carried) {
  const std::string name = plain_text(space.name, 30);
  Work work(r, hand, "Plan of the void: " + name, "void-plan");
  const Frame frame = from_above(space);
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  std::vector<Vec2> outline;
  for (const Vec2& p : space.plan.outline) {
    outline.push_back(frame.to_plane(space.frame.to_world(p)));
    extend(low, high, outline.back());
  }
  fit_sheet(work, frame, low, high, dimensioned(work));
  draw_tiles(work, space);
  work.draft.shape(on_paper(work.view, space.plan.outline, space.frame), Pen{shade(0), 0.7, {}},
                   std::nullopt, "Outline");
  for (const Ring& hole : space.plan.holes)
    work.draft.shape(on_paper(work.view, hole, space.frame), pen_of(LineKind::wide), std::nullopt);
  const std::vector<Cover> covers = draw_obstacles(work, space);
  for (const GearBox& gear : r.ends.gear) draw_gear_outline(work, gear);
  const bool doors = draw_moving(work, false);
  FaceReadings face = readings_of(work, outline);
  read_lines(work, carried.on, face);
  draw_readings(work, face, "Dimension x", "Dimension y");
  draw_stretches(work, trunks,
                 {carried.on, {}, covers, named_at(r, carried.ends), told_by(carried.holes)});
  for (const int end : carried.ends) draw_end(work, end);
  const int supports = draw_supports(work, space);
  for (const HoleShape* hole : carried.holes) draw_hole(work, *hole);
  const std::vector<Row> holes = hole_rows(work, carried);
  name_walls(work);
  if (!holes.empty()) work.rows.push_back({"Holes, and what passes them", true, {}});
  work.rows.insert(work.rows.end(), holes.begin(), holes.end());
  work.rows.push_back({"Also drawn", true, {}});
  if (supports > 0)
    work.rows.push_back({counted(supports, "support") + ": short strokes across", false,
                         kSupportPen, false, false, support_stroke({0, 0}, {1, 0})});
  draw_coil_supports(work, coiled_under(r, space, carried));
  if (!r.ends.gear.empty())
    work.rows.push_back(
        {"gear below, for orientation", false, pen_of(LineKind::double_chain, shade(0.3))});
  if (doors) work.rows.push_back({"doors below, as they swing", false, moving_pen()});
  if (!space.obstacles.empty()) {
    work.rows.push_back(
        {"clearance of what stands in the void", false, Pen{shade(0.55), 0.13, {1.5, 1}}});
    work.rows.push_back({"below what stands in the void", false, pen_of(LineKind::dashed)});
  }
  work.rows.push_back({"Seen from above. Clear height " +
                           format_length(space.height_m, r.job.units, 3) +
                           ". Dimensions are read from " + corner_words(face) + ".",
                       false,
                       {}});
  draw_foot(work);
  return finished(work);
}

}  // namespace

void draw_void_plans(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                     const Lettering& lettering) {
  for (std::size_t i = 0; i < r.room.voids.size(); ++i) {
    const Void& space = r.room.voids[i];
    if (space.upright_only || space.kind == VoidKind::bay) continue;
    const Carried carried = carried_in(r, trunks, static_cast<int>(i));
    if (!carried.on.empty() || !carried.ends.empty())
      append_legible(pages, lettering,
                     [&](const Hand& hand) { return void_plan(r, trunks, hand, space, carried); });
  }
}

}  // namespace roomloom
