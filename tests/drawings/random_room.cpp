#include "drawings/random_room.h"

#include <algorithm>
#include <random>

namespace roomloom::testing {
namespace {

Ring rectangle(double x, double y, double width, double height) {
  return {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
}

class Builder {
 public:
  explicit Builder(const RandomRoomSpec& spec) : spec_(spec), dice_(spec.seed), made_(0) {
    made_.job.name = "Random room " + std::to_string(spec.seed);
    made_.shapes.holes.clear();
    made_.takeoff.holes.clear();
    made_.room.crossings.clear();
    made_.room.box = {};
    wide_ = between(3, 12);
    deep_ = between(3, 12);
    high_ = between(2.2, 3.2);
    made_.room.box.add(Vec3{0, 0, 0});
    made_.room.box.add(Vec3{wide_, deep_, high_});
  }

  HandMade build() {
    add_faces();
    add_catalogue();
    add_gear();
    add_sockets();
    add_ceiling_ends();
    add_floor_run();
    add_conduit_run();
    return std::move(made_);
  }

 private:
  double between(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(dice_);
  }
  std::string name(const std::string& start, int i) {
    std::string text = start + std::to_string(i);
    if (spec_.long_names && i % 3 == 0) text += " beside the window";
    return text;
  }

  void add_faces() {
    Room& room = made_.room;
    Sheet& front = room.sheets[0];
    front.frame.origin = {0, deep_, 0};
    front.region.outline = rectangle(0, 0, wide_, high_);
    for (int i = 0; i < 3; ++i) {
      SheetKeepOut keep;
      keep.what = i == 0 ? Role::door : i == 1 ? Role::furniture : Role::outlet;
      keep.name = name("Thing ", i);
      keep.ring = rectangle(between(0, wide_ - 1), 0, i == 2 ? 0.08 : 0.8, i == 2 ? 0.08 : 1.1);
      front.keep_outs.push_back(keep);
    }
    room.sheets[1].frame.origin = {0, deep_, high_};
    room.sheets[1].region.outline = rectangle(0, 0, wide_, deep_);
    Sheet floor;
    floor.name = "Floor";
    floor.role = SheetRole::floor;
    floor.region.outline = rectangle(0, 0, wide_, deep_);
    floor.front_air = 0;
    room.sheets.push_back(floor);
    TileGrid& grid = room.grids[0];
    grid.tiles.clear();
    for (int row = 0; row * 0.6 < deep_; ++row)
      for (int column = 0; column * 0.6 < wide_; ++column) {
        Tile tile;
        tile.id = {row, column};
        tile.name = std::string(1, static_cast<char>('A' + row)) + std::to_string(column + 1);
        tile.ring = rectangle(0.6 * column, 0.6 * row, std::min(0.6, wide_ - 0.6 * column),
                              std::min(0.6, deep_ - 0.6 * row));
        tile.cuttable = between(0, 1) > 0.1;
        if (!tile.cuttable) tile.reason = name("holds Luminaire ", row);
        grid.tiles.push_back(tile);
      }
    Void& space = room.voids[0];
    space.frame.origin = {0, 0, high_};
    space.plan.outline = rectangle(0, 0, wide_, deep_);
    for (int i = 0; i < 3; ++i) {
      VoidObstacle duct;
      duct.name = name("Duct ", i);
      const Vec3 low{between(0, wide_ - 1), between(0, deep_ - 1), between(0, 0.2)};
      duct.box.add(low);
      duct.box.add(low + Vec3{between(0.3, 1), between(0.3, 1), 0.2});
      duct.clearance_m = 0.05;
      space.obstacles.push_back(duct);
    }
  }

  void add_catalogue() {
    RacewayType small;
    small.id = "25 x 16";
    RacewayType large;
    large.id = "100 x 50";
    large.width_m = 0.1;
    large.depth_m = 0.05;
    large.inner_width_m = 0.096;
    large.inner_depth_m = 0.047;
    made_.job.catalogue.raceways = {small, large};
  }

  void add_gear() {
    GearBox& gear = made_.ends.gear[0];
    gear.frame.origin = {1.4, deep_ - 0.1, 0};
    Zone behind;
    behind.name = "behind the stand";
    made_.ends.zones = {behind};
    gear.zone = 0;
    made_.ends.listener = Vec3{wide_ / 2, deep_ / 3, 1.2};
  }

  int node(const Vec3& p) {
    made_.tracks.nodes.push_back({p, {}, {}});
    return static_cast<int>(made_.tracks.nodes.size()) - 1;
  }
  int edge(int a, int b, const PlaceId& home, EdgeKind kind = EdgeKind::along) {
    TrackEdge e;
    e.a = a;
    e.b = b;
    e.home = home;
    e.kind = kind;
    made_.tracks.edges.push_back(e);
    return static_cast<int>(made_.tracks.edges.size()) - 1;
  }
  const Vec3& at(int n) const { return made_.tracks.nodes[static_cast<std::size_t>(n)].position; }

  /// A run over the edges, from a port to an end at its last node.
  void add_run(const std::string& id, const PlaceId& end_home, const std::vector<int>& edges) {
    const int i = static_cast<int>(made_.ends.runs.size());
    End port;
    port.id = "amp." + std::to_string(i + 1);
    port.gear = "stand";
    const GearBox& gear = made_.ends.gear[0];
    port.place = {gear.frame.to_world(Vec3{0.05 + 0.08 * (i % 14), 0, 0.05 + 0.06 * (i / 14)}),
                  {PlaceKind::zone, 0},
                  {0, 1, 0}};
    End end;
    end.id = name("socket ", i + 1);
    Run run;
    run.id = id;
    run.from = 2 * i;
    run.to = 2 * i + 1;
    run.cable = 0;
    run.service = static_cast<Service>(i % 7);
    CableShape shape;
    shape.run = i;
    shape.routed = true;
    const Vec3 lane{0, 0.0075 * (i / 12 % 4) - 0.015, 0.0075 * (i % 12) - 0.043};
    PlannedRun planned;
    planned.run = i;
    planned.routed = true;
    for (const int e : edges) {
      const TrackEdge& way = made_.tracks.edges[static_cast<std::size_t>(e)];
      shape.pieces.push_back(Line3{at(way.a) + lane, at(way.b) + lane});
      shape.homes.push_back(way.home);
      shape.edges.push_back(e);
      planned.steps.push_back({e, true});
      end.place = {at(way.b), end_home, {0, -1, 0}};
    }
    RunRow row;
    row.run = i;
    row.id = id;
    row.from = port.id;
    row.to = end.id;
    row.cable = made_.job.catalogue.cables[0].id;
    row.service = run.service;
    row.routed = true;
    row.cut_m = 5 + i;
    made_.ends.ends.push_back(port);
    made_.ends.ends.push_back(end);
    made_.ends.runs.push_back(run);
    made_.plan.runs.push_back(planned);
    made_.shapes.cables.push_back(shape);
    made_.takeoff.runs.push_back(row);
    made_.takeoff.cut_m += row.cut_m;
  }

  /// One raceway from the stand along the wall, and a short drop from it to each socket.
  void add_sockets() {
    const PlaceId front{PlaceKind::sheet, 0};
    const double level = between(0.5, high_ - 0.3);
    const double face = deep_ - 0.01;
    std::vector<double> along;
    for (int i = 0; i < spec_.ends_on_front; ++i) along.push_back(between(0.2, wide_ - 0.2));
    std::sort(along.begin(), along.end());
    const Vec3 normal{0, -1, 0};
    std::vector<int> so_far;
    int from = node({0.1, face, level});
    std::vector<RacewayShape> trunk;
    for (std::size_t i = 0; i < along.size(); ++i) {
      const int to = node({along[i], face, level});
      so_far.push_back(edge(from, to, front));
      trunk.push_back({so_far.back(), at(from), at(to), normal, 1, 0, {}, 1});
      const int socket = node({along[i], face, level - between(0.08, 0.4)});
      std::vector<int> edges = so_far;
      edges.push_back(edge(to, socket, front));
      made_.shapes.raceways.push_back(
          {edges.back(), at(to), at(socket), normal, 0, 0, {static_cast<int>(i)}, 1});
      add_run(name("D", static_cast<int>(i) + 1), front, edges);
      for (RacewayShape& piece : trunk) piece.runs.push_back(static_cast<int>(i));
      from = to;
    }
    made_.shapes.raceways.insert(made_.shapes.raceways.end(), trunk.begin(), trunk.end());
  }

  void add_ceiling_ends() {
    const PlaceId ceiling{PlaceKind::sheet, 1};
    const PlaceId plenum{PlaceKind::void_space, 0};
    const int start = node({0.3, deep_ - 0.2, high_ + 0.15});
    for (int i = 0; i < spec_.ends_on_ceiling; ++i) {
      const Vec3 at_ceiling{between(0.2, wide_ - 0.2), between(0.2, deep_ - 0.2), high_};
      const int corner = node({at_ceiling.x, deep_ - 0.2, high_ + 0.15});
      const int above = node(at_ceiling + Vec3{0, 0, 0.15});
      const int end = node(at_ceiling);
      const std::string id = name("C", i + 1);
      const TileId tile{static_cast<int>((deep_ - at_ceiling.y) / 0.6),
                        static_cast<int>(at_ceiling.x / 0.6)};
      Crossing crossing;
      crossing.name = "tile";
      crossing.from = ceiling;
      crossing.to = plenum;
      crossing.tile = tile;
      made_.room.crossings.push_back(crossing);
      HoleShape hole;
      hole.crossing = i;
      hole.centre = at_ceiling;
      hole.normal = {0, 0, 1};
      hole.diameter_m = between(0.016, 0.06);
      hole.name = "H" + std::to_string(i + 1);
      hole.runs = {static_cast<int>(made_.ends.runs.size())};
      made_.shapes.holes.push_back(hole);
      HoleRow row;
      row.name = hole.name;
      row.crossing = crossing.name;
      row.diameter_m = hole.diameter_m;
      row.runs = {id};
      made_.takeoff.holes.push_back(row);
      add_run(id, ceiling,
              {edge(start, corner, plenum), edge(corner, above, plenum),
               edge(above, end, plenum, EdgeKind::crossing)});
    }
  }

  /// Free in a zone of its own, from the front wall to the middle of the room.
  void add_floor_run() {
    Zone way;
    way.name = "over the floor";
    made_.ends.zones.push_back(way);
    const PlaceId zone{PlaceKind::zone, static_cast<int>(made_.ends.zones.size()) - 1};
    add_run("F1", {PlaceKind::sheet, 2},
            {edge(node({wide_ / 2, deep_, 0}), node({wide_ / 2, deep_ / 2, 0}), zone)});
  }

  /// In a conduit within the front wall.
  void add_conduit_run() {
    Conduit pipe;
    pipe.name = "Conduit";
    pipe.inside_diameter_m = 0.025;
    pipe.line = {{wide_ - 0.1, deep_ + 0.05, 0.2}, {wide_ - 0.1, deep_ + 0.05, high_ - 0.2}};
    made_.room.conduits = {pipe};
    add_run("K1", {PlaceKind::sheet, 0},
            {edge(node(pipe.line[0]), node(pipe.line[1]), {PlaceKind::conduit, 0})});
  }

  RandomRoomSpec spec_;
  std::mt19937 dice_;
  HandMade made_;
  double wide_ = 0, deep_ = 0, high_ = 0;
};

}  // namespace

HandMade random_room(const RandomRoomSpec& spec) { return Builder(spec).build(); }

}  // namespace roomloom::testing
