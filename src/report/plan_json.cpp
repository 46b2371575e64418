#include <algorithm>

#include "report/plan_parts.h"
#include "report/plan_version.h"
#include "report/report.h"
#include "report/way_json.h"

namespace roomloom {
namespace {

Json guesses_json(const std::vector<Guess>& guesses) {
  Json all = Json::array();
  for (const Guess& g : guesses) {
    all.push_back({{"what", g.what}, {"value", g.value}, {"why", g.why}, {"overrule", g.overrule}});
  }
  return all;
}

Json place_json(const PlaceId& place, const Planned& planned) {
  const auto index = static_cast<std::size_t>(place.index);
  switch (place.kind) {
    case PlaceKind::sheet:
      return {{"kind", "sheet"}, {"name", planned.room.sheets[index].name}};
    case PlaceKind::void_space:
      return {{"kind", "void"}, {"name", planned.room.voids[index].name}};
    case PlaceKind::zone:
      return {{"kind", "zone"}, {"name", planned.ends.zones[index].name}};
    case PlaceKind::conduit:
      return {{"kind", "conduit"}, {"name", planned.room.conduits[index].name}};
    case PlaceKind::none:
      break;
  }
  return {{"kind", "none"}, {"name", ""}};
}

const char* to_text(EndState state) {
  return state == EndState::fitted         ? "fitted"
         : state == EndState::unterminated ? "unterminated"
                                           : "coiled";
}

Json ends_json(const Planned& planned) {
  Json all = Json::array();
  for (const End& end : planned.ends.ends) {
    Json one = {{"id", end.id},
                {"at", to_json(end.place.position)},
                {"outward", to_json(end.place.outward)},
                {"home", place_json(end.place.home, planned)},
                {"state", to_text(end.state)},
                {"how", end.how}};
    Json others = Json::array();
    for (const EndPlace& place : end.may_move_to) others.push_back(to_json(place.position));
    if (!others.empty()) one["may_move_to"] = others;
    all.push_back(std::move(one));
  }
  return all;
}

Json zones_json(const Ends& ends) {
  Json all = Json::array();
  for (const Zone& zone : ends.zones) {
    all.push_back({{"name", zone.name},
                   {"origin", to_json(zone.frame.origin)},
                   {"u", to_json(zone.frame.u)},
                   {"v", to_json(zone.frame.v)},
                   {"n", to_json(zone.frame.n)},
                   {"size", to_json(zone.size)},
                   {"why", zone.why}});
  }
  return all;
}

Json bends_json(const CableShape& shape, const Planned& planned) {
  Json all = Json::array();
  for (const Bend& bend : shape.bends) {
    all.push_back({{"at", to_json(bend.at)},
                   {"angle_deg", degrees(bend.angle_rad)},
                   {"required_m", bend.required_m},
                   {"available_m", bend.available_m},
                   {"used_m", bend.used_m},
                   {"home", place_json(bend.home, planned)},
                   {"in_fitting", bend.in_fitting}});
  }
  return all;
}

Json stretches_json(const CableShape& shape, const Planned& planned) {
  Json all = Json::array();
  for (std::size_t i = 0; i < shape.pieces.size(); ++i) {
    const double length = length_m(shape.pieces[i]);
    Json place = place_json(i < shape.homes.size() ? shape.homes[i] : PlaceId{}, planned);
    if (!all.empty() && all.back()["place"] == place) {
      all.back()["metres"] = all.back()["metres"].get<double>() + length;
    } else {
      all.push_back({{"place", std::move(place)}, {"metres", length}});
    }
  }
  return all;
}

Json shares_json(int run, const Planned& planned) {
  Json all = Json::array();
  for (const Trunk& trunk : planned.plan.trunks) {
    if (trunk.runs.size() < 2) continue;
    if (std::find(trunk.runs.begin(), trunk.runs.end(), run) == trunk.runs.end()) continue;
    Json with = Json::array();
    for (const int other : trunk.runs) {
      if (other != run) with.push_back(planned.ends.runs[static_cast<std::size_t>(other)].id);
    }
    all.push_back({{"metres", trunk.length_m}, {"with", std::move(with)}});
  }
  return all;
}

/// Places that an end may move to and that no way reaches: the cut length leaves them out.
Json missed_places_json(const PlannedRun& run, const Planned& planned) {
  Json missed = Json::array();
  for (std::size_t i = 0; i < run.alternative_steps.size(); ++i) {
    if (!run.alternative_steps[i].empty()) continue;
    const auto index = static_cast<std::size_t>(run.alternative_terminals[i]);
    const Terminal& terminal = planned.tracks.terminals[index];
    const End& end = planned.ends.ends[static_cast<std::size_t>(terminal.end)];
    const auto place = static_cast<std::size_t>(terminal.alternative);
    missed.push_back({{"end", end.id},
                      {"at", to_json(end.may_move_to[place].position)},
                      {"blocked_by", terminal.blocked_by}});
  }
  return missed;
}

Json run_json(std::size_t index, const Planned& planned) {
  const Run& run = planned.ends.runs[index];
  const CableShape& shape = planned.shapes.cables[index];
  const CableType& cable = planned.job.catalogue.cables[static_cast<std::size_t>(run.cable)];
  Json addends = Json::object();
  for (const Addend& addend : shape.addends) addends[addend.name] = addend.metres;
  Json one = {{"id", run.id},
              {"from", planned.ends.ends[static_cast<std::size_t>(run.from)].id},
              {"to", planned.ends.ends[static_cast<std::size_t>(run.to)].id},
              {"cable", cable.id},
              {"service", to_string(run.service)},
              {"diameter_m", cable.diameter_m},
              {"bend_radius_m", cable.bend_radius_m},
              {"provision", run.provision},
              {"routed", shape.routed},
              {"held", planned.plan.runs[index].held}};
  const RunRow& row = planned.takeoff.runs[index];
  if (!row.takes_over.empty()) one["takes_over"] = row.takes_over;
  if (!row.colour_why.empty()) one["colour_why"] = row.colour_why;
  if (!shape.routed) {
    one["blocked_by"] = planned.plan.runs[index].blocked_by;
    return one;
  }
  const PlannedRun& way = planned.plan.runs[index];
  if (!way.alternative_steps.empty()) {
    one["places_to_move_to"] = way.alternative_steps.size();
    one["places_without_way"] = missed_places_json(way, planned);
  }
  one["lane"] = to_json(shape.lane);
  one["track_m"] = shape.track_m;
  one["drawn_m"] = shape.drawn_m;
  one["addends_m"] = std::move(addends);
  one["cut_m"] = shape.cut_m;
  one["turns"] = turns_of(index, planned);
  one["way"] = way_json(index, planned);
  one["stretches"] = stretches_json(shape, planned);
  one["bends"] = bends_json(shape, planned);
  one["shares"] = shares_json(static_cast<int>(index), planned);
  return one;
}

Json charges_json(const Planned& planned) {
  Json all = Json::array();
  for (const PlannedCharge& paid : planned.plan.charges) {
    const Charge& charge = planned.tracks.charges[static_cast<std::size_t>(paid.charge)];
    all.push_back({{"kind", to_string(charge.kind)},
                   {"name", charge.name},
                   {"price", charge.price},
                   {"money", charge.money},
                   {"minutes", charge.minutes},
                   {"visible_m", charge.visible_m},
                   {"where", to_json(charge.where)},
                   {"runs", run_ids_json(paid.runs, planned.ends)}});
  }
  return all;
}

Json optimum_json(const Planned& planned) {
  const Plan& plan = planned.plan;
  Json terms = Json::array();
  for (const Term& term : plan.terms) {
    terms.push_back(
        {{"name", term.name}, {"amount", term.amount}, {"unit", term.unit}, {"cost", term.cost}});
  }
  const double gap = plan.bound > 0 ? (plan.objective - plan.bound) / plan.bound : 0;
  return {{"objective", plan.objective},
          {"bound", plan.bound},
          {"gap", gap},
          {"proven", plan.proven},
          {"model", plan.model},
          {"separate_objective", plan.separate_objective},
          {"nodes", planned.tracks.nodes.size()},
          {"edges", planned.tracks.edges.size()},
          {"coarsened", planned.tracks.coarsened},
          {"relaxations", plan.relaxations},
          {"notes", plan.notes},
          {"terms", std::move(terms)},
          {"charges", charges_json(planned)}};
}

Json findings_json(const Findings& findings) {
  Json all = Json::array();
  for (const Finding& f : findings.items) {
    Json one = {{"id", f.id},     {"level", to_string(f.level)}, {"subject", f.subject},
                {"text", f.text}, {"remedy", f.remedy},          {"source", f.source}};
    if (!f.figure.empty()) one["figure"] = f.figure;
    if (!f.limit.empty()) one["limit"] = f.limit;
    if (f.where) one["where"] = to_json(*f.where);
    all.push_back(std::move(one));
  }
  return all;
}

/// How far the real faces lie from the planes that were fitted to them, at most.
double residual_m(const Room& room) {
  double largest = 0;
  for (const Sheet& sheet : room.sheets) {
    if (sheet.fixable) largest = std::max(largest, sheet.residual_m);
  }
  return largest;
}

/// Parts that the plan takes for nothing that is there.
Json ignored_json(const Scene& scene, const Room& room) {
  Json all = Json::array();
  for (std::size_t i = 0; i < room.roles.size() && i < scene.parts.size(); ++i) {
    if (room.roles[i].role != Role::ignore) continue;
    all.push_back({{"part", scene.parts[i].name}, {"why", room.roles[i].why}});
  }
  return all;
}

Json model_json(const Scene& scene, const Room& room, const PlanStamp& stamp) {
  const Source& source = scene.source;
  Json notes = Json::array();
  for (const Note& note : scene.notes) {
    notes.push_back({{"code", note.code}, {"text", note.text}, {"where", note.where}});
  }
  return {{"file", stamp.model_file},
          {"sha256", source.sha256},
          {"unit_m", source.unit_m},
          {"up", std::string(1, source.up)},
          {"chord_error_m", source.chord_error_m},
          {"residual_m", residual_m(room)},
          {"ignored", ignored_json(scene, room)},
          {"to_room", source.to_room.m},
          {"notes", std::move(notes)}};
}

Json files_json(const std::vector<FileStamp>& files) {
  Json all = Json::array();
  for (const FileStamp& file : files) {
    all.push_back({{"name", file.name}, {"sha256", file.sha256}, {"notes", file.notes}});
  }
  return all;
}

Json totals_json(const Takeoff& takeoff) {
  Json all = Json::array();
  for (const CableTotal& total : takeoff.totals) {
    all.push_back({{"cable", total.cable},
                   {"colour", total.colour},
                   {"runs", total.runs},
                   {"drawn_m", total.drawn_m},
                   {"cut_m", total.cut_m},
                   {"longest_m", total.longest_m}});
  }
  return all;
}

const char* to_text(VoidKind kind) {
  return kind == VoidKind::plenum       ? "plenum"
         : kind == VoidKind::bay        ? "bay"
         : kind == VoidKind::underfloor ? "underfloor"
                                        : "hidden";
}

Json voids_json(const Room& room) {
  Json all = Json::array();
  const auto sheet = [&](int index) {
    return index < 0 ? std::string() : room.sheets[static_cast<std::size_t>(index)].name;
  };
  for (std::size_t i = 0; i < room.voids.size(); ++i) {
    const Void& one = room.voids[i];
    const bool tiles = std::any_of(room.grids.begin(), room.grids.end(), [&](const TileGrid& grid) {
      return grid.sheet >= 0 && grid.sheet == one.below && !grid.tiles.empty();
    });
    all.push_back({{"name", one.name},
                   {"kind", to_text(one.kind)},
                   {"below", sheet(one.below)},
                   {"wall", sheet(one.wall)},
                   {"tiles", tiles},
                   {"height_m", one.height_m},
                   {"handles_air", one.handles_air == HandlesAir::yes  ? "yes"
                                   : one.handles_air == HandlesAir::no ? "no"
                                                                       : "unknown"}});
  }
  return all;
}

Json listener_json(const Ends& ends) {
  if (!ends.listener) return nullptr;
  return {{"at", to_json(*ends.listener)}, {"facing_deg", degrees(ends.facing_rad)}};
}

Json gauges_json(const std::vector<GaugeChosen>& gauges) {
  Json all = Json::array();
  for (const GaugeChosen& one : gauges) {
    Json options = Json::array();
    for (const GaugeOption& option : one.options) {
      options.push_back({{"cable", option.cable},
                         {"loop_ohm", option.loss.loop_ohm},
                         {"share", option.loss.share},
                         {"loss_db", option.loss.loss_db},
                         {"damping", option.loss.damping},
                         {"lost_w", option.loss.lost_w},
                         {"satisfies", option.satisfies}});
    }
    all.push_back({{"run", one.run},
                   {"cable", one.cable},
                   {"length_m", one.length_m},
                   {"impedance_ohm", one.impedance_ohm},
                   {"impedance_assumed", one.impedance_assumed},
                   {"satisfied", one.satisfied},
                   {"why", one.why},
                   {"row", std::move(options)}});
  }
  return all;
}

/// Which files the job was read from, and as which of its variants.
Json job_json(const Job& job, const PlanStamp& stamp) {
  Json all = {{"file", stamp.job_file}, {"sha256", stamp.job_sha256}};
  if (!job.origin.chosen.empty()) all["variants"] = job.origin.chosen;
  if (!stamp.as_built_file.empty())
    all["as_built"] = {{"file", stamp.as_built_file}, {"sha256", job.origin.as_built_sha256}};
  if (!stamp.house_file.empty())
    all["house"] = {{"file", stamp.house_file},
                    {"sha256", job.origin.house_sha256},
                    {"stock", job.origin.house_stock},
                    {"raceway_stock", job.origin.house_raceway}};
  return all;
}

}  // namespace

std::string plan_json(const Planned& planned, const PlanStamp& stamp, const Findings& findings) {
  Json runs = Json::array();
  for (std::size_t i = 0; i < planned.ends.runs.size(); ++i) runs.push_back(run_json(i, planned));
  const Json root = {
      {"format", "roomloom-plan"},
      {"version", kPlanVersion},
      {"program", stamp.program},
      {"name", planned.job.name},
      {"currency", planned.job.currency},
      {"job", job_json(planned.job, stamp)},
      {"model", model_json(planned.scene, planned.room, stamp)},
      {"files", files_json(stamp.files)},
      {"parts", parts_json(planned)},
      {"room_guesses", guesses_json(planned.room.guesses)},
      {"room_warnings", planned.room.warnings},
      {"end_guesses", guesses_json(planned.ends.guesses)},
      {"ends", ends_json(planned)},
      {"zones", zones_json(planned.ends)},
      {"conduits", conduits_json(planned.room)},
      {"totals", totals_json(planned.takeoff)},
      {"runs", std::move(runs)},
      {"gauges", gauges_json(planned.takeoff.gauges)},
      {"voids", voids_json(planned.room)},
      {"listener", listener_json(planned.ends)},
      {"sight", sight_json(planned)},
      {"moving", swept_json(planned.room)},
      {"ramps", ramps_json(planned.takeoff)},
      {"overlaps", planned.shapes.overlaps},
      {"holes", holes_json(planned)},
      {"tiles", tiles_json(planned.room)},
      {"raceways", raceways_json(planned)},
      {"pieces", pieces_json(planned)},
      {"tables", tables_json(planned.takeoff.tables)},
      {"optimum", optimum_json(planned)},
      {"findings", findings_json(findings)},
  };
  // Names from a model may hold anything; what is no UTF-8 was replaced on reading already.
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace roomloom
