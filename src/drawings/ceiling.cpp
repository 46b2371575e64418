#include <algorithm>
#include <cmath>
#include <map>
#include <set>

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
    const double cap = work.draft.cap_mm(kGridName);
    const Vec2 at =
        level ? Vec2{middle.x - width / 2, corner.y - 3} : Vec2{corner.x + 3, middle.y + cap / 2};
    if (work.draft.text(span.name, at, kGridName)) continue;
    // Narrow ones by turns: the next stands out, in line with what it names.
    constexpr double kOut = 1.9;
    const Vec2 out = level ? Vec2{0, -kOut * cap} : Vec2{kOut * cap, 0};
    if (!work.draft.text(span.name, at + out, kGridName)) {
      work.draft.label({span.name, at, kGridName, 1, {}, ""});
      continue;
    }
    const Vec2 from = level ? Vec2{middle.x, corner.y - 1} : Vec2{corner.x + 1, middle.y};
    work.draft.path({from, from + out}, pen_of(LineKind::narrow, shade(0.6)));
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

struct InTile {
  Vec2 centre, from_edges;  ///< of the view's plane; from the left and the lower edge, as seen
};

std::optional<InTile> in_tile(const Work& work, const HoleShape& hole, const TileGrid& grid,
                              const Frame& frame) {
  const Crossing& crossing = work.request.room.crossings[static_cast<std::size_t>(hole.crossing)];
  for (const Tile& tile : grid.tiles) {
    if (!crossing.tile || !(tile.id == *crossing.tile)) continue;
    Vec2 low{1e30, 1e30};
    Vec2 high{-1e30, -1e30};
    for (const Vec2& p : tile.ring) extend(low, high, work.view.frame.to_plane(frame.to_world(p)));
    const Vec2 centre = work.view.frame.to_plane(hole.centre);
    return InTile{centre, centre - low};
  }
  return std::nullopt;
}

void dimension_hole(Work& work, const std::string& hole, const InTile& place, bool with_figures) {
  const Vec2& c = place.centre;
  const Vec2 at = work.view.at(c);
  const std::string name = "Dimension " + hole;
  dimension_between(work, work.view.at({c.x - place.from_edges.x, c.y}), at, place.from_edges.x,
                    name + " from left", with_figures);
  dimension_between(work, work.view.at({c.x, c.y - place.from_edges.y}), at, place.from_edges.y,
                    name + " from below", with_figures);
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

/// Holes whose figures find no room at their lines: their names tell them.
using ToldByName = std::set<std::string>;

/// Each hole with its dimensions; returns what the column says of them.
std::vector<Row> draw_holes(Work& work, const Carried& carried, const TileGrid& grid,
                            const Frame& frame, const ToldByName& told) {
  const DrawingRequest& r = work.request;
  std::vector<Row> rows;
  for (const HoleShape* hole : carried.holes) {
    const std::string name = plain_text(hole->name, 16);
    const std::optional<InTile> place = in_tile(work, *hole, grid, frame);
    const bool by_name = place && told.count(name) > 0;
    draw_hole(work, *hole,
              by_name ? " →" + dimension(place->from_edges.x, r.job.units) + " ↑" +
                            dimension(place->from_edges.y, r.job.units)
                      : "");
    if (place) dimension_hole(work, name, *place, !by_name);
    const auto index = static_cast<std::size_t>(hole - r.shapes.holes.data());
    if (index < r.takeoff.holes.size())
      rows.push_back({hole_row(r, r.takeoff.holes[index],
                               place ? std::optional<Vec2>(place->from_edges) : std::nullopt),
                      false,
                      {}});
  }
  return rows;
}

std::vector<Page> ceiling(const DrawingRequest& r, const Trunks& trunks, const Hand& hand,
                          const TileGrid& grid, const Carried& carried, const ToldByName& told) {
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
  const std::vector<Row> holes = draw_holes(work, carried, grid, sheet.frame, told);
  if (!holes.empty()) work.rows.push_back({"Holes to cut, and what passes them", true, {}});
  work.rows.insert(work.rows.end(), holes.begin(), holes.end());
  ShownStretches stretches{carried.on, carried.behind, {}, named_at(r, carried.ends)};
  stretches.seen.insert(stretches.seen.end(), carried.before.begin(), carried.before.end());
  draw_stretches(work, trunks, stretches);
  name_walls(work);
  work.rows.push_back({"How to read it", true, {}});
  draw_coil_supports(work, carried.ends);
  for (const char* words :
       {"Seen from below, lying on your back with your feet toward the lower edge.",
        "Holes are dimensioned to their centres from the left (→) and the lower edge (↑) of their "
        "tile as seen here.",
        "Grey tiles are not to be cut."})
    work.rows.push_back({words, false, {}});
  draw_foot(work);
  return finished(work);
}

/// Once more with the figures in the names of holes where they find no room at their lines; unless
/// names grow so long that they are worse to read than the figures in the column.
std::vector<Page> ceiling_with_figures(const DrawingRequest& r, const Trunks& trunks,
                                       const Hand& hand, const TileGrid& grid,
                                       const Carried& carried) {
  constexpr int kRounds = 2;  // then all are told so
  const auto flaws = [](const Page& page) { return page.unnamed + page.crossed + page.covering; };
  ToldByName told;
  std::vector<Page> plain = ceiling(r, trunks, hand, grid, carried, told);
  std::vector<Page> pages = plain;
  for (int round = 0; round < kRounds && !pages.front().left_out.empty(); ++round) {
    const std::vector<std::string> out = pages.front().left_out;
    for (const HoleShape* hole : carried.holes) {
      const std::string name = plain_text(hole->name, 16);
      const std::string start = "Dimension " + name + " from ";
      const auto lacks = [&](const std::string& one) { return one.rfind(start, 0) == 0; };
      if (round + 1 == kRounds || std::any_of(out.begin(), out.end(), lacks)) told.insert(name);
    }
    pages = ceiling(r, trunks, hand, grid, carried, told);
  }
  return flaws(pages.front()) > flaws(plain.front()) ? plain : pages;
}

}  // namespace

void draw_ceilings(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                   const Lettering& lettering) {
  const std::vector<Carried> all = carried_by(r, trunks);
  for (const TileGrid& grid : r.room.grids) {
    const Carried& carried = all[static_cast<std::size_t>(grid.sheet)];
    if (!carried.empty())
      append_legible(pages, lettering, [&](const Hand& hand) {
        return ceiling_with_figures(r, trunks, hand, grid, carried);
      });
  }
}

}  // namespace roomloom
