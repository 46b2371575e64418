#include "drawings/hand_made.h"

#include <cmath>

namespace roomloom::testing {
namespace {

constexpr double kWide = 4, kDeep = 3, kHigh = 2.4;
const PlaceId kFront{PlaceKind::sheet, 0}, kCeiling{PlaceKind::sheet, 1};
const PlaceId kVoid{PlaceKind::void_space, 0};

Ring rectangle(double width, double height) {
  return {{0, 0}, {width, 0}, {width, height}, {0, height}};
}

void add_room(Room& room) {
  room.box.add(Vec3{0, 0, 0});
  room.box.add(Vec3{kWide, kDeep, kHigh});
  room.main_air = 0;
  room.airs.resize(1);
  Sheet front;
  front.name = "Wall front";
  front.frame = {{0, kDeep, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
  front.region.outline = rectangle(kWide, kHigh);
  front.front_air = 0;
  Sheet ceiling;
  ceiling.name = "Ceiling tiles";
  ceiling.role = SheetRole::suspended_ceiling;
  ceiling.frame = {{0, kDeep, kHigh}, {1, 0, 0}, {0, -1, 0}, {0, 0, -1}};
  ceiling.region.outline = rectangle(kWide, kDeep);
  ceiling.front_air = 0;
  room.sheets = {front, ceiling};
  TileGrid grid;
  grid.sheet = 1;
  for (int row = 0; row < 5; ++row) {
    for (int column = 0; column < 6; ++column) {
      Tile tile;
      tile.id = {row, column};
      tile.name = std::string(1, static_cast<char>('A' + row)) + std::to_string(column + 1);
      for (const Vec2& p : rectangle(0.6, 0.6))
        tile.ring.push_back(p + Vec2{0.6 * column, 0.6 * row});
      grid.tiles.push_back(tile);
    }
  }
  room.grids = {grid};
  Void space;
  space.name = "plenum";
  space.frame = {{0, 0, kHigh}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  space.plan.outline = rectangle(kWide, kDeep);
  space.height_m = 0.4;
  space.below = 1;
  room.voids = {space};
  Crossing crossing;
  crossing.name = "tile A4";
  crossing.from = kCeiling;
  crossing.to = kVoid;
  crossing.tile = TileId{0, 3};
  room.crossings = {crossing};
}

}  // namespace

HandMade::HandMade(int runs) {
  job.name = "Hand-made room";
  CableType cable;
  cable.id = "round cable";
  cable.diameter_m = 0.007;
  job.catalogue.cables = {cable};
  add_room(room);
  const Vec3 start{1.0, kDeep - 0.05, 0.3};
  const Vec3 hole_at{2.0, kDeep - 0.1, kHigh};
  GearBox stand;
  stand.id = "stand";
  stand.frame = {{2.0, kDeep - 0.1, 0}, {-1, 0, 0}, {0, -1, 0}, {0, 0, 1}};
  stand.size = {1.2, 0.4, 0.6};
  ends.gear = {stand};
  ends.listener = Vec3{2, 1, 1.2};
  HoleShape hole;
  hole.crossing = 0;
  hole.centre = hole_at;
  hole.normal = {0, 0, 1};
  hole.diameter_m = 0.04;
  hole.name = "H1";
  HoleRow hole_row;
  hole_row.name = "H1";
  hole_row.crossing = "tile A4";
  hole_row.diameter_m = 0.04;
  const auto node = [&](const Vec3& p) {
    tracks.nodes.push_back({p, {}, {}});
    return static_cast<int>(tracks.nodes.size()) - 1;
  };
  const auto edge = [&](int a, int b, const PlaceId& home, EdgeKind kind = EdgeKind::along) {
    TrackEdge e;
    e.a = a;
    e.b = b;
    e.home = home;
    e.kind = kind;
    tracks.edges.push_back(e);
    return static_cast<int>(tracks.edges.size()) - 1;
  };
  const int foot = node({2.0, kDeep, 0.3});
  const int head = node({2.0, kDeep, kHigh});
  const int above = node(hole_at + Vec3{0, 0, 0.1});
  const int turn = node({2.0, 1.5, kHigh + 0.1});
  const int up = edge(foot, head, kFront);
  const int through = edge(head, above, kVoid, EdgeKind::crossing);
  const int along = edge(above, turn, kVoid);
  for (int i = 0; i < runs; ++i) {
    const std::string id = "R" + std::to_string(i + 1);
    const double x = 0.3 + 3.4 * (i + 0.5) / runs;
    End port;
    port.id = "amp." + std::to_string(i + 1);
    port.gear = "stand";
    port.place = {start + Vec3{0.9 * i / runs, 0, 0}, {}, {0, 1, 0}};
    End end;
    end.id = "E" + std::to_string(i + 1);
    end.place = {{x, 1.5, kHigh}, kCeiling, {0, 0, -1}};
    ends.ends.push_back(port);
    ends.ends.push_back(end);
    Run run;
    run.id = id;
    run.from = 2 * i;
    run.to = 2 * i + 1;
    run.cable = 0;
    run.service = static_cast<Service>(i % 7);
    ends.runs.push_back(run);
    const int last = edge(turn, node({x, 1.5, kHigh + 0.1}), kVoid);
    plan.runs.push_back(
        {i, true, {{up, true}, {through, true}, {along, true}, {last, true}}, {}, {}, ""});
    CableShape shape;
    shape.run = i;
    shape.routed = true;
    const Vec3 lane{0.008 * (i % 5), 0, 0.008 * (i / 5)};
    const Vec3 turn_at = Vec3{2.0, 1.5, kHigh + 0.1} + lane;
    shape.pieces = {Line3{hole_at + Vec3{0, 0, 0.1} + lane, turn_at},
                    Line3{turn_at, Vec3{x, 1.5, kHigh + 0.1} + lane}};
    shape.homes = {kVoid, kVoid};
    shape.edges = {along, last};
    shapes.cables.push_back(shape);
    hole.runs.push_back(i);
    RunRow row;
    row.run = i;
    row.id = id;
    row.from = port.id;
    row.to = end.id;
    row.cable = cable.id;
    row.service = run.service;
    row.routed = true;
    row.cut_m = 5 + i;
    takeoff.runs.push_back(row);
    takeoff.cut_m += row.cut_m;
    hole_row.runs.push_back(id);
  }
  shapes.holes = {hole};
  takeoff.holes = {hole_row};
}

DrawingRequest HandMade::request(const std::filesystem::path& folder, Paper paper) const {
  return {job, scene, room, ends, tracks, plan, shapes, takeoff, folder, paper, "roomloom test"};
}

}  // namespace roomloom::testing
