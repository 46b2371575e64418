#include <nlohmann/json.hpp>

#include "room/roles.h"
#include "room/survey.h"

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

// To the tenth of a micrometre, so that the text does not show rounding noise.
double tidy(double value) {
  const double rounded = std::round(value * 1e7) / 1e7;
  return rounded == 0 ? 0 : rounded;
}

Json json_of(const Vec3& p) { return {tidy(p.x), tidy(p.y), tidy(p.z)}; }

Json json_of(const Ring& ring) {
  Json points = Json::array();
  for (const Vec2& p : ring) points.push_back({tidy(p.x), tidy(p.y)});
  return points;
}

Json json_of(const Polygon& polygon) {
  Json holes = Json::array();
  for (const Ring& hole : polygon.holes) holes.push_back(json_of(hole));
  return {{"outline", json_of(polygon.outline)}, {"holes", holes}};
}

Json json_of(const Frame& frame) {
  return {{"origin", json_of(frame.origin)},
          {"u", json_of(frame.u)},
          {"v", json_of(frame.v)},
          {"n", json_of(frame.n)}};
}

Json model_json(const Scene& scene) {
  static constexpr const char* kFormats[] = {"step", "obj", "gltf", "glb"};
  const Source& source = scene.source;
  Json notes = Json::array();
  for (const Note& note : scene.notes)
    notes.push_back({{"code", note.code}, {"text", note.text}, {"where", note.where}});
  return {{"file", source.path},
          {"sha256", source.sha256},
          {"format", kFormats[static_cast<int>(source.format)]},
          {"unit_m", source.unit_m},
          {"up", std::string(1, source.up)},
          {"chord_error_m", source.chord_error_m},
          {"parts", scene.parts.size()},
          {"triangles", scene.triangles.size()},
          {"notes", notes}};
}

Json parts_json(const Scene& scene, const Room& room) {
  Json parts = Json::array();
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    Json part = {{"name", scene.parts[i].name},
                 {"path", scene.parts[i].path},
                 {"is", to_string(room.roles[i].role)},
                 {"build", to_string(room.roles[i].build)},
                 {"why", room.roles[i].why}};
    if (room.roles[i].role == Role::marker && scene.parts[i].point_count > 0)
      part["at"] = json_of(scene.points[scene.parts[i].first_point]);
    parts.push_back(std::move(part));
  }
  return parts;
}

Json airs_json(const Room& room) {
  Json airs = Json::array();
  for (const Air& air : room.airs)
    airs.push_back({{"name", air.name},
                    {"kind", to_string(air.kind)},
                    {"volume_m3", tidy(air.volume_m3)},
                    {"seed", json_of(air.seed)},
                    {"open_sides", air.open_sides}});
  return airs;
}

Json sheets_json(const Room& room) {
  Json sheets = Json::array();
  for (const Sheet& sheet : room.sheets) {
    Json keep_outs = Json::array();
    for (const SheetKeepOut& keep : sheet.keep_outs)
      keep_outs.push_back({{"name", keep.name},
                           {"is", to_string(keep.what)},
                           {"clearance_m", tidy(keep.clearance_m)},
                           {"ring", json_of(keep.ring)}});
    sheets.push_back({{"name", sheet.name},
                      {"role", to_string(sheet.role)},
                      {"build", to_string(sheet.build)},
                      {"fixable", sheet.fixable},
                      {"area_m2", tidy(area(sheet.region))},
                      {"residual_m", tidy(sheet.residual_m)},
                      {"frame", json_of(sheet.frame)},
                      {"region", json_of(sheet.region)},
                      {"keep_outs", keep_outs}});
  }
  return sheets;
}

Json seams_json(const Room& room) {
  Json seams = Json::array();
  for (const Seam& seam : room.seams)
    seams.push_back({{"a", seam.a},
                     {"b", seam.b},
                     {"from", json_of(seam.from)},
                     {"to", json_of(seam.to)},
                     {"dihedral_rad", tidy(seam.dihedral_rad)},
                     {"convex", seam.convex},
                     {"gap_m", tidy(seam.gap_m)}});
  return seams;
}

Json voids_json(const Room& room) {
  static constexpr const char* kKinds[] = {"plenum", "bay", "underfloor", "hidden"};
  static constexpr const char* kHandles[] = {"unknown", "yes", "no"};
  Json voids = Json::array();
  for (const Void& space : room.voids) {
    Json obstacles = Json::array();
    for (const VoidObstacle& obstacle : space.obstacles)
      obstacles.push_back({{"name", obstacle.name},
                           {"low", json_of(obstacle.box.low)},
                           {"high", json_of(obstacle.box.high)},
                           {"clearance_m", tidy(obstacle.clearance_m)}});
    Json levels = Json::array();
    for (const double level : space.support_levels_m) levels.push_back(tidy(level));
    voids.push_back({{"name", space.name},
                     {"kind", kKinds[static_cast<int>(space.kind)]},
                     {"volume_m3", tidy(area(space.plan) * space.height_m)},
                     {"height_m", tidy(space.height_m)},
                     {"frame", json_of(space.frame)},
                     {"plan", json_of(space.plan)},
                     {"support_levels_m", levels},
                     {"handles_air", kHandles[static_cast<int>(space.handles_air)]},
                     {"obstacles", obstacles}});
  }
  return voids;
}

Json grids_json(const Room& room) {
  Json grids = Json::array();
  for (const TileGrid& grid : room.grids) {
    Json tiles = Json::array();
    for (const Tile& tile : grid.tiles) {
      Json one = {{"name", tile.name}, {"cuttable", tile.cuttable}};
      if (!tile.cuttable) one["reason"] = tile.reason;
      tiles.push_back(std::move(one));
    }
    grids.push_back({{"sheet", grid.sheet},
                     {"pitch_u_m", tidy(grid.pitch_u_m)},
                     {"pitch_v_m", tidy(grid.pitch_v_m)},
                     {"thickness_m", tidy(grid.thickness_m)},
                     {"tiles", tiles}});
  }
  return grids;
}

Json crossings_json(const Room& room) {
  Json crossings = Json::array();
  for (const Crossing& crossing : room.crossings)
    crossings.push_back({{"name", crossing.name},
                         {"kind", to_string(crossing.kind)},
                         {"existing", crossing.existing},
                         {"largest_diameter_m", tidy(crossing.largest_diameter_m)}});
  return crossings;
}

Json places_json(const Room& room) {
  Json conduits = Json::array(), zones = Json::array(), power = Json::array();
  Json swept = Json::array();
  for (const Conduit& conduit : room.conduits) {
    Json line = Json::array();
    for (const Vec3& p : conduit.line) line.push_back(json_of(p));
    conduits.push_back({{"name", conduit.name},
                        {"inside_diameter_m", tidy(conduit.inside_diameter_m)},
                        {"line", line}});
  }
  for (const Zone& zone : room.zones)
    zones.push_back({{"name", zone.name},
                     {"frame", json_of(zone.frame)},
                     {"size", json_of(zone.size)},
                     {"why", zone.why}});
  for (const PowerLine& line : room.power)
    power.push_back({{"name", line.name},
                     {"from", json_of(line.from)},
                     {"to", json_of(line.to)},
                     {"separation_m", tidy(line.separation_m)}});
  for (const Swept& one : room.swept) {
    const Box3 box = box_of(one.space);
    swept.push_back({{"kind", to_string(one.kind)},
                     {"name", one.name},
                     {"low", json_of(box.low)},
                     {"high", json_of(box.high)}});
  }
  return {{"conduits", conduits}, {"hidden", zones}, {"power", power}, {"swept", swept}};
}

Json bridged_json(const Scene& scene, const Room& room) {
  Json bridged = Json::array();
  for (const BridgedHole& hole : room.bridged) {
    Json parts = Json::array();
    for (const int part : hole.parts)
      parts.push_back(scene.parts[static_cast<std::size_t>(part)].path);
    bridged.push_back(
        {{"middle", json_of(hole.middle)}, {"area_m2", tidy(hole.area_m2)}, {"parts", parts}});
  }
  return bridged;
}

Json guesses_json(const Room& room) {
  Json guesses = Json::array();
  for (const Guess& guess : room.guesses)
    guesses.push_back({{"what", guess.what},
                       {"value", guess.value},
                       {"why", guess.why},
                       {"overrule", guess.overrule}});
  return guesses;
}

}  // namespace

std::string survey_json(const Scene& scene, const Room& room) {
  Json survey = {{"version", 1},
                 {"model", model_json(scene)},
                 {"parts", parts_json(scene, room)},
                 {"main_air", room.main_air},
                 {"floor_z_m", tidy(room.floor_z_m)},
                 {"airs", airs_json(room)},
                 {"sheets", sheets_json(room)},
                 {"seams", seams_json(room)},
                 {"voids", voids_json(room)},
                 {"tile_grids", grids_json(room)},
                 {"crossings", crossings_json(room)},
                 {"places", places_json(room)},
                 {"bridged", bridged_json(scene, room)},
                 {"guesses", guesses_json(room)},
                 {"warnings", room.warnings}};
  // Names that are no UTF-8 are shown with the replacement character instead of failing.
  return survey.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace roomloom
