#include <algorithm>
#include <cmath>
#include <map>

#include "drawings/carried.h"
#include "drawings/dimensions.h"
#include "drawings/sheets.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kQuiet{1.8, false, false, {0.4, 0.4, 0.4}};
const TextStyle kGridName{2.5, true, false, {0.25, 0.25, 0.25}};

struct Span {
  Vec2 low{1e30, 1e30}, high{-1e30, -1e30};
  std::string name;
};

/// The row's letters or the column's digits out of a tile's name.
std::string part_of(const std::string& name, bool letters) {
  const std::size_t split = name.find_first_of("0123456789");
  if (split == std::string::npos) return name;
  return letters ? name.substr(0, split) : name.substr(split);
}

/// Names of rows or columns along the side of the grid that they change along.
void name_lines(Work& work, const TileGrid& grid, const Frame& frame, bool rows, const Vec2& high) {
  std::map<int, Span> spans;
  for (const Tile& tile : grid.tiles) {
    Span& span = spans[rows ? tile.id.row : tile.id.column];
    span.name = part_of(tile.name, rows);
    for (const Vec2& p : tile.ring)
      extend(span.low, span.high, work.view.frame.to_plane(frame.to_world(p)));
  }
  if (spans.empty()) return;
  const Span& first = spans.begin()->second;
  const bool level = first.high.x - first.low.x < first.high.y - first.low.y;
  for (const auto& [index, span] : spans) {
    const double width = work.draft.text_width(span.name, kGridName);
    const Vec2 middle = work.view.at(0.5 * (span.low + span.high));
    const Vec2 corner = work.view.at({high.x, high.y});
    const Vec2 at =
        level ? Vec2{middle.x - width / 2, corner.y - 3} : Vec2{corner.x + 3, middle.y + 1.25};
    if (!work.draft.text(span.name, at, kGridName))
      work.draft.label({span.name, at, kGridName, 1, {}, ""});
  }
}

void draw_tile(Work& work, const Tile& tile, const Frame& frame) {
  const std::vector<Vec2> ring = on_paper(work.view, tile.ring, frame);
  work.draft.shape(ring, pen_of(LineKind::narrow, shade(0.45)),
                   tile.cuttable ? std::nullopt : std::optional<Rgb>(shade(0.92)),
                   "Tile " + tile.name);
  if (tile.cuttable || tile.reason.empty()) return;
  std::string reason = plain_text(tile.reason, 26);
  if (reason.rfind("holds ", 0) == 0) reason = reason.substr(6);
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec2& p : ring) extend(low, high, p);
  work.draft.label({reason, 0.5 * (low + high), kQuiet, 0, {}, ""});
}

/// From the tile's left and lower edge, as seen, to the hole's centre. @return both, metres
std::optional<Vec2> dimension_hole(Work& work, const HoleShape& hole, const TileGrid& grid,
                                   const TileId& id, const Frame& frame) {
  for (const Tile& tile : grid.tiles) {
    if (!(tile.id == id)) continue;
    Vec2 low{1e30, 1e30};
    Vec2 high{-1e30, -1e30};
    for (const Vec2& p : tile.ring) extend(low, high, work.view.frame.to_plane(frame.to_world(p)));
    const Vec2 centre = work.view.frame.to_plane(hole.centre);
    const Vec2 at = work.view.at(centre);
    const std::string name = "Dimension " + plain_text(hole.name, 16);
    dimension_between(work, work.view.at({low.x, centre.y}), at, centre.x - low.x,
                      name + " from left");
    dimension_between(work, work.view.at({centre.x, low.y}), at, centre.y - low.y,
                      name + " from below");
    return centre - low;
  }
  return std::nullopt;
}

/// What the sheet shows, as words: where the drawing is crowded, they are easier to read.
std::string hole_row(const DrawingRequest& r, const HoleRow& row,
                     const std::optional<Vec2>& from_edges) {
  const DisplayUnits units = r.job.units;
  std::string text = plain_text(row.name, 16) + " in " + plain_text(row.crossing, 24) + ", ⌀" +
                     dimension(row.diameter_m, units);
  if (row.existing || row.cut_already) text += " (is there already)";
  if (row.to_widen()) text += " (now ⌀" + dimension(row.built_m, units) + ")";
  if (from_edges)
    text += ", " + unbroken(dimension(from_edges->x, units)) + " from left, " +
            unbroken(dimension(from_edges->y, units)) + " from below";
  text += ":";
  for (const std::string& run : row.runs) text += " " + plain_text(run, 16);
  return text;
}

/// The whole, and ends that no hole is cut for.
void dimension_whole(Work& work, const Carried& carried, FaceReadings face) {
  constexpr double kAtHole_m = 0.03;
  for (const int index : carried.ends) {
    const Vec3& at = work.request.ends.ends[static_cast<std::size_t>(index)].place.position;
    if (std::any_of(carried.holes.begin(), carried.holes.end(),
                    [&](const HoleShape* hole) { return distance(hole->centre, at) < kAtHole_m; }))
      continue;
    add_reading(work, face, work.view.frame.to_plane(at), true, true);
  }
  draw_readings(work, face, "Dimension across", "Dimension height");
}

/// Each hole with its dimensions; returns what the column says of them.
std::vector<Row> draw_holes(Work& work, const Carried& carried, const TileGrid& grid,
                            const Frame& frame) {
  const DrawingRequest& r = work.request;
  std::vector<Row> rows;
  for (const HoleShape* hole : carried.holes) {
    draw_hole(work, *hole);
    const Crossing& crossing = r.room.crossings[static_cast<std::size_t>(hole->crossing)];
    std::optional<Vec2> from_edges;
    if (crossing.tile) from_edges = dimension_hole(work, *hole, grid, *crossing.tile, frame);
    const auto index = static_cast<std::size_t>(hole - r.shapes.holes.data());
    if (index < r.takeoff.holes.size())
      rows.push_back({hole_row(r, r.takeoff.holes[index], from_edges), false, {}});
  }
  return rows;
}

std::vector<Page> ceiling(const DrawingRequest& r, const Trunks& trunks, const Hand& hand,
                          const TileGrid& grid, const Carried& carried) {
  const Sheet& sheet = r.room.sheets[static_cast<std::size_t>(grid.sheet)];
  Work work(r, hand, plain_text(sheet.name, 30) + " from below", "ceiling");
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec2& p : sheet.region.outline) extend(low, high, p);
  Margins margins = dimensioned(work);
  margins.right += 8;  // names of rows
  margins.top += 4;    // and of columns
  fit_sheet(work, sheet.frame, low, high, margins);
  for (const Tile& tile : grid.tiles) draw_tile(work, tile, sheet.frame);
  name_lines(work, grid, sheet.frame, true, high);
  name_lines(work, grid, sheet.frame, false, high);
  work.draft.shape(on_paper(work.view, sheet.region.outline, sheet.frame), Pen{shade(0), 0.7, {}},
                   std::nullopt, "Outline");
  for (const Ring& hole : sheet.region.holes)
    work.draft.shape(on_paper(work.view, hole, sheet.frame), pen_of(LineKind::wide), std::nullopt);
  dimension_whole(work, carried, readings_of(work, sheet.region.outline));
  for (const int end : carried.ends) draw_end(work, end);
  const std::vector<Row> holes = draw_holes(work, carried, grid, sheet.frame);
  if (!holes.empty()) work.rows.push_back({"Holes to cut, and what passes them", true, {}});
  work.rows.insert(work.rows.end(), holes.begin(), holes.end());
  ShownStretches stretches{carried.on, carried.behind, {}, named_at(r, carried.ends)};
  stretches.seen.insert(stretches.seen.end(), carried.before.begin(), carried.before.end());
  draw_stretches(work, trunks, stretches);
  work.rows.push_back({"How to read it", true, {}});
  draw_coil_supports(work, carried.ends);
  for (const char* words :
       {"Seen from below, lying on your back with your feet toward the lower edge.",
        "Holes are dimensioned to their centres from the left and the lower edge of their tile as "
        "seen here; figures that find no room beside their line stand above.",
        "Grey tiles are not to be cut."})
    work.rows.push_back({words, false, {}});
  draw_foot(work);
  return finished(work);
}

}  // namespace

void draw_ceilings(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                   const Lettering& lettering) {
  const std::vector<Carried> all = carried_by(r, trunks);
  for (const TileGrid& grid : r.room.grids) {
    const Carried& carried = all[static_cast<std::size_t>(grid.sheet)];
    if (!carried.empty())
      append_legible(pages, lettering,
                     [&](const Hand& hand) { return ceiling(r, trunks, hand, grid, carried); });
  }
}

}  // namespace roomloom
