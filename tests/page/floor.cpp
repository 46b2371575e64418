#include <cmath>
#include <cstdio>

#include "page/rooms.h"

namespace roomloom::testing {
namespace {

constexpr double kWide = 60, kDeep = 40, kHigh = 3, kVoid = 0.6;

struct Floor {
  Job job;
  Scene scene;
  Room room;
  Ends ends;
  Plan plan;
  CableShapes shapes;
  Takeoff takeoff;
  Annotation annotation;
  Findings findings;
};

void add_sheet(Room& room, const char* name, SheetRole role, const Frame& frame, double w,
               double h) {
  Sheet sheet;
  sheet.name = name;
  sheet.role = role;
  sheet.frame = frame;
  sheet.region.outline = {{0, 0}, {w, 0}, {w, h}, {0, h}};
  room.sheets.push_back(sheet);
}

void add_room(Room& room) {
  room.box.add(Vec3{0, 0, 0});
  room.box.add(Vec3{kWide, kDeep, kHigh + kVoid});
  add_sheet(room, "Floor", SheetRole::floor, {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, kWide,
            kDeep);
  add_sheet(room, "South", SheetRole::wall, {{kWide, 0, 0}, {-1, 0, 0}, {0, 0, 1}, {0, 1, 0}},
            kWide, kHigh);
  add_sheet(room, "North", SheetRole::wall, {{0, kDeep, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}},
            kWide, kHigh);
  add_sheet(room, "West", SheetRole::wall, {{0, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}}, kDeep,
            kHigh);
  add_sheet(room, "East", SheetRole::wall, {{kWide, kDeep, 0}, {0, -1, 0}, {0, 0, 1}, {-1, 0, 0}},
            kDeep, kHigh);
  add_sheet(room, "Tiles", SheetRole::suspended_ceiling,
            {{0, kDeep, kHigh}, {1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, kWide, kDeep);
  TileGrid grid;
  grid.sheet = 5;
  for (int row = 0; row < 66; ++row) {
    for (int column = 0; column < 100; ++column) {
      Tile tile;
      tile.id = {row, column};
      tile.name = std::to_string(row) + "/" + std::to_string(column);
      const double x = 0.6 * column;
      const double y = 0.6 * row;
      tile.ring = {{x, y}, {x + 0.6, y}, {x + 0.6, y + 0.6}, {x, y + 0.6}};
      grid.tiles.push_back(tile);
    }
  }
  room.grids = {grid};
}

/// Straight legs with rounded corners between them.
std::vector<Piece> rounded(const std::vector<Vec3>& corners, double radius) {
  std::vector<Piece> pieces;
  Vec3 at = corners.front();
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    const Vec3 in = normalized(corners[i] - corners[i - 1]);
    const Vec3 out = normalized(corners[i + 1] - corners[i]);
    Arc arc;
    arc.from = corners[i] - radius * in;
    arc.to = corners[i] + radius * out;
    arc.centre = corners[i] - radius * in + radius * out;
    arc.axis = cross(in, out);
    arc.radius_m = radius;
    arc.angle_rad = kPi / 2;
    pieces.push_back(Line3{at, arc.from});
    pieces.push_back(arc);
    at = arc.to;
  }
  pieces.push_back(Line3{at, corners.back()});
  return pieces;
}

void add_run(Floor& f, int i, int runs) {
  const int row = i / 40;
  const int column = i % 40;
  const double x = 3 + column * 1.4;
  const double y = 2 + row * 36.0 / (runs / 40.0);
  const double lane = 0.007 * (i % 30);
  const double level = kHigh + 0.15 + 0.007 * (i / 30 % 30);
  const Vec3 rack{1.0 + lane, 1.0, 1.2};
  const std::vector<Vec3> corners = {rack,
                                     {rack.x, 1, level},
                                     {rack.x, y + lane, level},
                                     {x - 0.7, y + lane, level},
                                     {x - 0.7, y + 0.4, level},
                                     {x, y + 0.4, level},
                                     {x, y + 0.4, 0.8}};
  const std::string id = "N" + std::to_string(i + 1);
  for (const Vec3& p : {corners.front(), corners.back()}) {
    End end;
    end.id = (&p == &corners.front() || p == rack ? "panel." : "desk ") + std::to_string(i + 1);
    end.gear = p == rack ? "rack" : "";
    end.place.position = p;
    f.ends.ends.push_back(end);
  }
  f.ends.runs.push_back({id, 2 * i, 2 * i + 1, 0, static_cast<Service>(i % 6), i % 9 == 0, -1});
  CableShape shape;
  shape.run = i;
  shape.routed = true;
  shape.pieces = rounded(corners, 0.05);
  for (const Piece& piece : shape.pieces) {
    const auto* line = std::get_if<Line3>(&piece);
    shape.drawn_m +=
        line != nullptr ? distance(line->from, line->to) : std::get<Arc>(piece).length_m();
  }
  RunRow row_of;
  row_of.run = i;
  row_of.id = id;
  row_of.from = f.ends.ends[static_cast<std::size_t>(2 * i)].id;
  row_of.to = f.ends.ends[static_cast<std::size_t>(2 * i + 1)].id;
  row_of.cable = "cat6";
  row_of.service = static_cast<Service>(i % 6);
  row_of.routed = true;
  row_of.drawn_m = shape.drawn_m;
  for (const char* name : kAddendNames) row_of.addends.push_back({name, 0.1});
  row_of.cut_m = shape.drawn_m + 1.1;
  for (int other = i / 40 * 40; other < i / 40 * 40 + 40 && other < runs; ++other)
    if (other != i) row_of.shared_with.push_back("N" + std::to_string(other + 1));
  AnnotationItem item;
  item.name = "Run " + id;
  item.shape = Tube{shape.pieces, 0.006};
  f.annotation.items.push_back(item);
  for (int k = 0; k < 3; ++k) {
    item.group = AnnotationGroup::supports;
    item.name = "Support " + std::to_string(3 * i + k);
    item.shape =
        Bar{{x, y, level - 0.01 * k}, {x + 0.02, y, level - 0.01 * k}, {0, 1, 0}, 0.1, 0.002};
    f.annotation.items.push_back(item);
  }
  HoleShape hole;
  hole.centre = {x, y + 0.4, kHigh};
  hole.normal = {0, 0, 1};
  hole.diameter_m = 0.025;
  hole.runs = {i};
  hole.name = "H" + std::to_string(i + 1);
  f.shapes.holes.push_back(hole);
  f.shapes.cables.push_back(shape);
  f.takeoff.cut_m += row_of.cut_m;
  f.takeoff.runs.push_back(row_of);
}

/// Lists of the size that such a job has.
void add_tables(Floor& f) {
  for (int k = 0; k < 8; ++k) {
    Table table;
    table.id = "list_" + std::to_string(k);
    table.title = "List " + std::to_string(k + 1);
    table.columns = {{"run", "Run", ColumnKind::text},       {"from", "From", ColumnKind::text},
                     {"to", "To", ColumnKind::text},         {"cable", "Cable", ColumnKind::text},
                     {"drawn", "Drawn", ColumnKind::length}, {"cut", "Cut", ColumnKind::length},
                     {"done", "Done", ColumnKind::tick}};
    for (const RunRow& row : f.takeoff.runs)
      table.rows.push_back({row.id, row.from, row.to, row.cable, row.drawn_m, row.cut_m, {}});
    f.takeoff.tables.push_back(table);
  }
}

}  // namespace

std::string page_of_floor(int runs) {
  Floor f;
  f.job.name = "A floor of " + std::to_string(runs) + " runs";
  CableType cable;
  cable.id = "cat6";
  f.job.catalogue.cables = {cable};
  add_room(f.room);
  GearBox rack;
  rack.id = "rack";
  rack.frame.origin = {0.8, 0.6, 0};
  rack.size = {0.8, 0.8, 2};
  f.ends.gear = {rack};
  for (int i = 0; i < runs; ++i) add_run(f, i, runs);
  add_tables(f);
  auto page = page_html({f.job,
                         f.scene,
                         f.room,
                         f.ends,
                         f.plan,
                         f.shapes,
                         f.takeoff,
                         f.annotation,
                         f.findings,
                         {},
                         {},
                         "roomloom test"});
  if (page) return std::move(*page);
  std::fprintf(stderr, "%s\n", to_text(page.error()).c_str());
  return {};
}

}  // namespace roomloom::testing
