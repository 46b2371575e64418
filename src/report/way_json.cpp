#include "report/way_json.h"

#include <algorithm>

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

Json point(const Vec3& p) { return Json::array({p.x, p.y, p.z}); }

void name_place(const TrackEdge& edge, const Planned& planned, Json& stretch) {
  const auto index = static_cast<std::size_t>(edge.home.index);
  if (edge.crossing >= 0) {
    stretch["kind"] = "crossing";
    stretch["place"] = planned.room.crossings[static_cast<std::size_t>(edge.crossing)].name;
  } else if (edge.home.kind == PlaceKind::sheet) {
    stretch["kind"] = "sheet";
    stretch["place"] = planned.room.sheets[index].name;
  } else if (edge.home.kind == PlaceKind::void_space) {
    stretch["kind"] = "void";
    stretch["place"] = planned.room.voids[index].name;
  } else if (edge.home.kind == PlaceKind::conduit) {
    stretch["kind"] = "conduit";
    stretch["place"] = planned.room.conduits[index].name;
  } else {
    stretch["kind"] = "zone";
    stretch["place"] =
        edge.home.kind == PlaceKind::zone ? planned.ends.zones[index].name : std::string();
  }
}

const PlannedRaceway* raceway_on(const Plan& plan, int edge) {
  for (const PlannedRaceway& raceway : plan.raceways)
    if (raceway.edge == edge) return &raceway;
  return nullptr;
}

const RacewayShape* shape_on(const CableShapes& shapes, int edge, int run) {
  for (const RacewayShape& shape : shapes.raceways)
    if (std::find(shape.edges.begin(), shape.edges.end(), edge) != shape.edges.end() &&
        std::find(shape.runs.begin(), shape.runs.end(), run) != shape.runs.end())
      return &shape;
  return nullptr;
}

double hole_diameter_m(const TrackEdge& edge, const Vec3& from, const Vec3& to,
                       const Planned& planned) {
  const double length = distance(from, to);
  for (const HoleShape& hole : planned.shapes.holes)
    if (hole.crossing == edge.crossing &&
        distance(hole.centre, 0.5 * (from + to)) < length / 2 + hole.diameter_m)
      return hole.diameter_m;
  return 0;
}

bool runs_on(const Json& before, const Json& next, const Vec3& from, const Vec3& to) {
  for (const char* key : {"kind", "place", "medium", "raceway", "count", "beside"})
    if (before.contains(key) != next.contains(key) ||
        (next.contains(key) && before[key] != next[key]))
      return false;
  if (next["kind"] == "crossing") return false;
  const auto at = [&](const char* key) {
    return Vec3{before[key][0], before[key][1], before[key][2]};
  };
  return dot(normalized(at("to") - at("from")), normalized(to - from)) > 1 - 1e-9;
}

}  // namespace

int turns_of(std::size_t run, const Planned& planned) {
  const std::vector<Step>& steps = planned.plan.runs[run].steps;
  return static_cast<int>(std::count_if(steps.begin(), steps.end(), [&](const Step& step) {
    const TrackEdge& edge = planned.tracks.edges[static_cast<std::size_t>(step.edge)];
    return (edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold) && edge.per_run_cost > 0;
  }));
}

Json way_json(std::size_t run, const Planned& planned) {
  Json way = Json::array();
  for (const Step& step : planned.plan.runs[run].steps) {
    const TrackEdge& edge = planned.tracks.edges[static_cast<std::size_t>(step.edge)];
    if (edge.length_m <= 0) continue;
    Vec3 from = planned.tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    Vec3 to = planned.tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    if (!step.forward) std::swap(from, to);
    Json stretch = {{"from", point(from)}, {"to", point(to)}};
    name_place(edge, planned, stretch);
    stretch["medium"] = to_string(edge.medium);
    if (const PlannedRaceway* raceway = raceway_on(planned.plan, step.edge)) {
      const int type = planned.tracks.options[static_cast<std::size_t>(raceway->option)].raceway;
      stretch["raceway"] = planned.job.catalogue.raceways[static_cast<std::size_t>(type)].id;
      const RacewayShape* shape = shape_on(planned.shapes, step.edge, static_cast<int>(run));
      const int count = shape == nullptr ? raceway->count : shape->count;
      if (count > 1) stretch["count"] = count;
      if (shape != nullptr && shape->place > 0) stretch["beside"] = shape->place;
    }
    if (edge.crossing >= 0)
      if (const double diameter = hole_diameter_m(edge, from, to, planned); diameter > 0)
        stretch["hole_diameter_m"] = diameter;
    if (!way.empty() && runs_on(way.back(), stretch, from, to))
      way.back()["to"] = point(to);
    else
      way.push_back(std::move(stretch));
  }
  return way;
}

}  // namespace roomloom
