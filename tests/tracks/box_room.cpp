#include "tracks/box_room.h"

#include <algorithm>
#include <cmath>

namespace roomloom::testing {
namespace {

Ring clipped(Ring ring, const Ring& window) {
  for (std::size_t i = 0; i < window.size(); ++i) {
    const Vec2 a = window[i], b = window[(i + 1) % window.size()];
    const auto left = [&](const Vec2& p) { return cross(b - a, p - a); };
    Ring kept;
    for (std::size_t k = 0; k < ring.size(); ++k) {
      const Vec2 p = ring[k], q = ring[(k + 1) % ring.size()];
      const double lp = left(p), lq = left(q);
      if (lp >= 0) kept.push_back(p);
      if (lp * lq < 0) kept.push_back(p + (lp / (lp - lq)) * (q - p));
    }
    ring = kept;
  }
  return ring;
}

Job plain_job() {
  Job job;
  CableType speaker;
  speaker.id = "speaker";
  speaker.diameter_m = 0.007;
  speaker.bend_radius_m = 0.03;
  speaker.price_per_m = 1.5;
  CableType network = speaker;
  network.id = "network";
  network.service = Service::network;
  network.diameter_m = 0.006;
  network.price_per_m = 0.8;
  job.catalogue.cables = {speaker, network};
  const auto raceway = [](const char* id, double w, double d, double price) {
    RacewayType type;
    type.id = id;
    type.width_m = w;
    type.depth_m = d;
    type.inner_width_m = w - 0.002;
    type.inner_depth_m = d - 0.002;
    type.price_per_m = price;
    type.price_fitting = 1.2;
    return type;
  };
  job.catalogue.raceways = {raceway("16 x 16", 0.016, 0.016, 2),
                            raceway("25 x 16", 0.025, 0.016, 3),
                            raceway("40 x 25", 0.040, 0.025, 5), raceway("50 x 50", 0.05, 0.05, 9)};
  return job;
}

/// The outline in world plan coordinates, counter-clockwise; `order` tells which edge is which.
Ring world_outline(const PrismRoom& prism, std::vector<int>& order) {
  Ring ring;
  for (std::size_t i = 0; i < prism.outline.size(); ++i) {
    const Vec3 p = prism.place({prism.outline[i].x, prism.outline[i].y, 0});
    ring.push_back({p.x, p.y});
    order.push_back(static_cast<int>(i));
  }
  if (signed_area(ring) < 0) {
    std::reverse(ring.begin(), ring.end());
    // Edge k of the reversed ring joins old points n-1-k and n-2-k: it is old edge n-2-k.
    const int n = static_cast<int>(ring.size());
    for (int k = 0; k < n; ++k) order[static_cast<std::size_t>(k)] = ((n - 2 - k) % n + n) % n;
  }
  return ring;
}

void add_walls(Case& c, const PrismRoom& prism, const Ring& ring, const std::vector<int>& order) {
  const std::size_t n = ring.size();
  const double z = prism.moved.z;
  std::vector<int> wall_of_edge(n);
  for (std::size_t name = 0; name < n; ++name) {
    const auto k = static_cast<std::size_t>(
        std::find(order.begin(), order.end(), static_cast<int>(name)) - order.begin());
    const Vec2 a = ring[k], b = ring[(k + 1) % n];
    const Vec2 d = (1 / norm(b - a)) * (b - a);
    Sheet wall;
    wall.name = "Wall " + std::to_string(name + 1);
    wall.frame = {{b.x, b.y, z}, {-d.x, -d.y, 0}, {0, 0, 1}, {-d.y, d.x, 0}};
    const double length = norm(b - a);
    wall.region.outline = {{0, 0}, {length, 0}, {length, prism.height_m}, {0, prism.height_m}};
    wall.front_air = 0;
    wall_of_edge[k] = static_cast<int>(c.room.sheets.size());
    c.room.sheets.push_back(wall);
  }
  for (std::size_t k = 0; k < n; ++k) {
    const Vec2 before = ring[k] - ring[(k + n - 1) % n], after = ring[(k + 1) % n] - ring[k];
    Seam seam;
    seam.a = wall_of_edge[(k + n - 1) % n];
    seam.b = wall_of_edge[k];
    seam.from = {ring[k].x, ring[k].y, z};
    seam.to = {ring[k].x, ring[k].y, z + prism.height_m};
    seam.dihedral_rad = kPi - std::atan2(cross(before, after), dot(before, after));
    c.room.seams.push_back(seam);
  }
  for (std::size_t k = 0; k < n; ++k)
    for (const bool top : {false, true}) {
      const Vec2 a = ring[k], b = ring[(k + 1) % n];
      const double level = z + (top ? prism.height_m : 0);
      Seam seam;
      seam.a = wall_of_edge[k];
      seam.b = static_cast<int>(n) + (top ? 1 : 0);
      seam.from = {a.x, a.y, level};
      seam.to = {b.x, b.y, level};
      seam.dihedral_rad = kPi / 2;
      c.room.seams.push_back(seam);
    }
}

void add_floor_and_ceiling(Case& c, const PrismRoom& prism, const Ring& ring) {
  Sheet floor;
  floor.name = "Floor";
  floor.role = SheetRole::floor;
  floor.frame = {{0, 0, prism.moved.z}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  floor.region.outline = ring;
  floor.front_air = 0;
  c.room.sheets.push_back(floor);
  Sheet ceiling;
  ceiling.name = "Ceiling";
  ceiling.role = prism.plenum_m > 0 ? SheetRole::suspended_ceiling : SheetRole::ceiling;
  ceiling.fixable = prism.plenum_m <= 0;
  // Seen from below: u = +x, v = -y.
  ceiling.frame = {{0, 0, prism.moved.z + prism.height_m}, {1, 0, 0}, {0, -1, 0}, {0, 0, -1}};
  for (const Vec2& p : ring) ceiling.region.outline.push_back({p.x, -p.y});
  std::reverse(ceiling.region.outline.begin(), ceiling.region.outline.end());
  ceiling.front_air = 0;
  c.room.sheets.push_back(ceiling);
}

void add_tiles(Case& c, const PrismRoom& prism, const Ring& ring, int ceiling) {
  constexpr double kThickness_m = 0.015;
  const double top = prism.moved.z + prism.height_m;
  Void plenum;
  plenum.name = "Void above the ceiling";
  plenum.frame = {{0, 0, top + kThickness_m}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  plenum.plan.outline = ring;
  plenum.height_m = prism.plenum_m;
  plenum.support_levels_m = {0.15};
  plenum.below = ceiling;
  c.room.voids.push_back(plenum);
  TileGrid grid;
  grid.sheet = ceiling;
  Vec2 high{0, 0};
  for (const Vec2& p : prism.outline) high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  for (int row = 0; row * prism.tile_m < high.y; ++row)
    for (int column = 0; column * prism.tile_m < high.x; ++column) {
      const double x = column * prism.tile_m, y = row * prism.tile_m, s = prism.tile_m;
      const Ring cut = clipped({{x, y}, {x + s, y}, {x + s, y + s}, {x, y + s}}, prism.outline);
      if (cut.size() < 3 || std::abs(signed_area(cut)) < 0.01) continue;
      Tile tile;
      tile.id = {row, column};
      tile.name = std::string(1, static_cast<char>('A' + row)) + std::to_string(column + 1);
      Crossing crossing;
      crossing.name = "tile " + tile.name;
      crossing.from = {PlaceKind::sheet, ceiling};
      crossing.to = {PlaceKind::void_space, 0};
      crossing.frame = {{0, 0, top}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
      crossing.thickness_m = kThickness_m;
      crossing.tile = tile.id;
      for (const Vec2& p : cut) {
        const Vec3 q = prism.place({p.x, p.y, 0});
        crossing.region.outline.push_back({q.x, q.y});
        tile.ring.push_back({q.x, -q.y});
      }
      if (signed_area(crossing.region.outline) < 0)
        std::reverse(crossing.region.outline.begin(), crossing.region.outline.end());
      if (signed_area(tile.ring) < 0) std::reverse(tile.ring.begin(), tile.ring.end());
      grid.tiles.push_back(tile);
      c.room.crossings.push_back(crossing);
    }
  c.room.grids.push_back(grid);
}

}  // namespace

Vec3 PrismRoom::place(const Vec3& p) const {
  const double x = mirrored ? -p.x : p.x;
  const double c = std::cos(turn_rad), s = std::sin(turn_rad);
  return Vec3{c * x - s * p.y, s * x + c * p.y, p.z} + moved;
}

PrismRoom box_prism(double width_m, double depth_m) {
  PrismRoom prism;
  prism.outline = {{0, 0}, {width_m, 0}, {width_m, depth_m}, {0, depth_m}};
  return prism;
}

Case make_case(const PrismRoom& prism) {
  Case c;
  c.job = plain_job();
  std::vector<int> order;
  const Ring ring = world_outline(prism, order);
  c.room.airs.push_back({AirKind::room, "Room", {}, 0, {}, {}});
  c.room.main_air = 0;
  c.room.floor_z_m = prism.moved.z;
  add_walls(c, prism, ring, order);
  add_floor_and_ceiling(c, prism, ring);
  if (prism.plenum_m > 0) add_tiles(c, prism, ring, static_cast<int>(ring.size()) + 1);
  return c;
}

int sheet_named(const Room& room, const std::string& name) {
  for (std::size_t i = 0; i < room.sheets.size(); ++i)
    if (room.sheets[i].name == name) return static_cast<int>(i);
  return -1;
}

int add_end(Case& c, const PrismRoom& prism, const std::string& id, const std::string& sheet,
            const Vec3& at) {
  End end;
  end.id = id;
  end.place.position = prism.place(at);
  end.place.home = {PlaceKind::sheet, sheet_named(c.room, sheet)};
  end.place.outward = c.room.sheets[static_cast<std::size_t>(end.place.home.index)].frame.n;
  c.ends.ends.push_back(end);
  return static_cast<int>(c.ends.ends.size()) - 1;
}

int add_run(Case& c, const std::string& id, int from, int to, int cable) {
  Run run;
  run.id = id;
  run.from = from;
  run.to = to;
  run.cable = cable;
  run.service = c.job.catalogue.cables[static_cast<std::size_t>(cable)].service;
  run.spec = static_cast<int>(c.job.runs.size());
  RunSpec spec;
  spec.id = id;
  spec.cable = c.job.catalogue.cables[static_cast<std::size_t>(cable)].id;
  c.job.runs.push_back(spec);
  c.ends.runs.push_back(run);
  return static_cast<int>(c.ends.runs.size()) - 1;
}

int add_zone(Case& c, const PrismRoom& prism, const std::string& name, const Vec3& at,
             const Vec3& size) {
  Zone zone;
  zone.name = name;
  zone.size = size;
  zone.frame.u = prism.place_direction({1, 0, 0});
  zone.frame.v = prism.place_direction({0, 1, 0});
  zone.frame.n = {0, 0, 1};
  zone.frame.origin = prism.place(at);
  c.ends.zones.push_back(zone);
  return static_cast<int>(c.ends.zones.size()) - 1;
}

int add_port(Case& c, const PrismRoom& prism, const std::string& id, int zone, const Vec3& at) {
  End end;
  end.id = id;
  end.place.position = prism.place(at);
  end.place.home = {PlaceKind::zone, zone};
  c.ends.ends.push_back(end);
  return static_cast<int>(c.ends.ends.size()) - 1;
}

void add_floor_way(Case& c, int end, const std::string& wall) {
  const Vec3 tip = c.ends.ends[static_cast<std::size_t>(end)].place.position;
  FloorWay way;
  way.end = end;
  way.wall = sheet_named(c.room, wall);
  const Frame& frame = c.room.sheets[static_cast<std::size_t>(way.wall)].frame;
  way.foot = {tip.x, tip.y, c.room.floor_z_m};
  way.wall_foot = way.foot - frame.height(way.foot) * frame.n;
  Zone zone;
  zone.frame.n = {0, 0, 1};
  zone.frame.v = frame.n;
  zone.frame.u = cross(frame.n, zone.frame.n);
  zone.frame.origin = way.wall_foot - 0.05 * zone.frame.u;
  zone.size = {0.1, frame.height(way.foot) + 0.05, 0.06};
  zone.visible = 1;
  zone.name = "floor to " + c.ends.ends[static_cast<std::size_t>(end)].id;
  way.along_zone = static_cast<int>(c.ends.zones.size());
  c.ends.zones.push_back(zone);
  zone.frame.origin = way.foot - 0.05 * (zone.frame.u + zone.frame.v);
  zone.size = {0.1, 0.1, tip.z - c.room.floor_z_m + 0.09};
  zone.name = "up to " + c.ends.ends[static_cast<std::size_t>(end)].id;
  way.up_zone = static_cast<int>(c.ends.zones.size());
  c.ends.zones.push_back(zone);
  c.ends.floor_ways.push_back(way);
}

void add_keep_out(Case& c, const PrismRoom& prism, const std::string& sheet, const Vec3& low,
                  const Vec3& high, double clearance_m, const std::string& name) {
  Sheet& on = c.room.sheets[static_cast<std::size_t>(sheet_named(c.room, sheet))];
  const Vec2 a = on.frame.to_plane(prism.place(low)), b = on.frame.to_plane(prism.place(high));
  const Vec2 p{std::min(a.x, b.x), std::min(a.y, b.y)}, q{std::max(a.x, b.x), std::max(a.y, b.y)};
  on.keep_outs.push_back({{p, {q.x, p.y}, q, {p.x, q.y}}, clearance_m, Role::door, -1, name});
}

void add_duct(Case& c, const PrismRoom& prism, const Vec3& low, const Vec3& high,
              const std::string& name) {
  Void& v = c.room.voids[0];
  VoidObstacle duct;
  duct.box.add(v.frame.to_local(prism.place(low)));
  duct.box.add(v.frame.to_local(prism.place(high)));
  duct.name = name;
  v.obstacles.push_back(duct);
}

}  // namespace roomloom::testing
