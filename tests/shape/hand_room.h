#pragma once

#include <functional>
#include <string>
#include <vector>

#include "types/plan.h"

namespace roomloom::testing {

/// Room, tracks and plan drawn by hand, so that a stage's test needs no stage before it.
class HandRoom {
 public:
  Room room;
  Ends ends;
  Tracks tracks;
  Plan plan;
  Job job;

  HandRoom() {
    CableType speaker;
    speaker.id = "speaker";
    speaker.diameter_m = 0.006;
    speaker.bend_radius_m = 0.030;
    CableType network = speaker;
    network.id = "network";
    network.service = Service::network;
    network.diameter_m = 0.00635;
    network.bend_radius_m = 0.0254;
    CableType picture = speaker;
    picture.id = "picture";
    picture.service = Service::picture;
    picture.diameter_m = 0.008;
    picture.bend_radius_m = 0.064;
    picture.head_width_m = 0.021;
    picture.head_height_m = 0.011;
    job.catalogue.cables = {speaker, network, picture};
    RacewayType small;
    small.id = "16 x 16";
    small.width_m = small.depth_m = 0.016;
    small.inner_width_m = small.inner_depth_m = 0.0135;
    RacewayType large;
    large.id = "40 x 25";
    large.width_m = 0.040;
    large.depth_m = 0.025;
    large.inner_width_m = 0.037;
    large.inner_depth_m = 0.022;
    job.catalogue.raceways = {small, large};
    job.prefer.contingency = 0;
    job.prefer.cutting_step_m = 0;
    job.prefer.termination_m = 0;
  }

  int node(const Vec3& at) {
    for (std::size_t i = 0; i < tracks.nodes.size(); ++i)
      if (distance(tracks.nodes[i].position, at) < 1e-9) return static_cast<int>(i);
    tracks.nodes.push_back({at, {}, {}});
    return static_cast<int>(tracks.nodes.size()) - 1;
  }

  int edge(const Vec3& a, const Vec3& b, Medium medium, PlaceId home = {},
           EdgeKind kind = EdgeKind::along) {
    TrackEdge edge;
    edge.a = node(a);
    edge.b = node(b);
    edge.kind = kind;
    edge.medium = medium;
    edge.home = home;
    edge.length_m = distance(a, b);
    tracks.edges.push_back(edge);
    return static_cast<int>(tracks.edges.size()) - 1;
  }

  PlaceId sheet(const std::string& name, const Vec3& origin, const Vec3& u, const Vec3& v,
                double width, double height) {
    Sheet sheet;
    sheet.name = name;
    sheet.frame = {origin, u, v, cross(u, v)};
    sheet.region.outline = {{0, 0}, {width, 0}, {width, height}, {0, height}};
    room.sheets.push_back(sheet);
    return {PlaceKind::sheet, static_cast<int>(room.sheets.size()) - 1};
  }

  PlaceId plenum(double width, double depth, double z, double height) {
    Void space;
    space.name = "Plenum";
    space.frame.origin = {0, 0, z};
    space.plan.outline = {{0, 0}, {width, 0}, {width, depth}, {0, depth}};
    space.height_m = height;
    room.voids.push_back(space);
    return {PlaceKind::void_space, static_cast<int>(room.voids.size()) - 1};
  }

  /// A hole straight up at `at`, through `thickness`, in a 0.6 m tile about it.
  int tile_hole(const Vec3& at, double thickness, TileId tile) {
    Crossing crossing;
    crossing.name = "tile " + std::to_string(tile.row) + "." + std::to_string(tile.column);
    crossing.frame.origin = at - Vec3{0.3, 0.3, 0};
    crossing.region.outline = {{0, 0}, {0.6, 0}, {0.6, 0.6}, {0, 0.6}};
    crossing.thickness_m = thickness;
    crossing.tile = tile;
    room.crossings.push_back(crossing);
    const int index = edge(at, at + Vec3{0, 0, thickness}, Medium::none, {}, EdgeKind::crossing);
    tracks.edges.back().crossing = static_cast<int>(room.crossings.size()) - 1;
    return index;
  }

  int end(const std::string& id, const Vec3& at) {
    End end;
    end.id = id;
    end.place.position = at;
    ends.ends.push_back(end);
    return static_cast<int>(ends.ends.size()) - 1;
  }

  std::vector<Step> steps(const std::vector<Vec3>& way) {
    std::vector<Step> steps;
    for (std::size_t i = 0; i + 1 < way.size(); ++i) {
      const int a = node(way[i]);
      const int b = node(way[i + 1]);
      for (std::size_t e = 0; e < tracks.edges.size(); ++e) {
        const TrackEdge& edge = tracks.edges[e];
        if ((edge.a == a && edge.b == b) || (edge.a == b && edge.b == a)) {
          steps.push_back({static_cast<int>(e), edge.a == a});
          break;
        }
      }
    }
    return steps;
  }

  /// A run over the tracks through these points; edges of `medium` are made where none are.
  int run(const std::string& id, const std::vector<Vec3>& way, int cable = 0,
          Medium medium = Medium::none, PlaceId home = {}) {
    for (std::size_t i = 0; i + 1 < way.size(); ++i)
      if (steps({way[i], way[i + 1]}).empty()) edge(way[i], way[i + 1], medium, home);
    Run run;
    run.id = id;
    run.from = end(id + ".from", way.front());
    run.to = end(id + ".to", way.back());
    run.cable = cable;
    run.service = job.catalogue.cables[static_cast<std::size_t>(cable)].service;
    run.spec = static_cast<int>(job.runs.size());
    RunSpec spec;
    spec.id = id;
    job.runs.push_back(spec);
    ends.runs.push_back(run);
    PlannedRun planned;
    planned.run = static_cast<int>(plan.runs.size());
    planned.routed = true;
    planned.steps = steps(way);
    plan.runs.push_back(planned);
    return planned.run;
  }

  /// Buys a size of raceway for every edge with the medium raceway, with the runs that use it.
  void buy_raceway(int size, int count = 1) {
    for (std::size_t e = 0; e < tracks.edges.size(); ++e) {
      if (tracks.edges[e].medium != Medium::raceway) continue;
      PlannedRaceway bought;
      bought.edge = static_cast<int>(e);
      bought.option = static_cast<int>(tracks.options.size());
      bought.count = count;
      for (const PlannedRun& run : plan.runs)
        for (const Step& step : run.steps)
          if (step.edge == bought.edge) bought.runs.push_back(run.run);
      if (bought.runs.empty()) continue;
      tracks.options.push_back({size, 1, 0});
      plan.raceways.push_back(bought);
    }
  }

  /// Moves all that has a place; directions through `turn`, points through `move`.
  void transform(const std::function<Vec3(const Vec3&)>& move,
                 const std::function<Vec3(const Vec3&)>& turn) {
    const auto frame = [&](Frame& f) { f = {move(f.origin), turn(f.u), turn(f.v), turn(f.n)}; };
    for (TrackNode& node : tracks.nodes) node.position = move(node.position);
    for (End& end : ends.ends) {
      end.place.position = move(end.place.position);
      for (EndPlace& place : end.may_move_to) place.position = move(place.position);
    }
    for (Sheet& sheet : room.sheets) frame(sheet.frame);
    for (Void& space : room.voids) frame(space.frame);
    for (Crossing& crossing : room.crossings) frame(crossing.frame);
  }

  /// Swaps the ends of a run.
  void reverse(int index) {
    Run& run = ends.runs[static_cast<std::size_t>(index)];
    std::swap(run.from, run.to);
    std::vector<Step>& steps = plan.runs[static_cast<std::size_t>(index)].steps;
    std::reverse(steps.begin(), steps.end());
    for (Step& step : steps) step.forward = !step.forward;
  }
};

}  // namespace roomloom::testing
