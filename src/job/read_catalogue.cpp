#include "job/read_catalogue.h"

#include <algorithm>
#include <cstdlib>

#include "base/nearest.h"
#include "base/units.h"
#include "job/embedded.h"
#include "job/job.h"

namespace roomloom {
namespace {

constexpr double kSquareMillimetre = 1e-6;

void read_service(const Field& field, Service& out) {
  const std::string word = field.text();
  for (int i = 0; i < kServiceCount; ++i)
    if (word == to_string(static_cast<Service>(i))) out = static_cast<Service>(i);
}

void read_scaled(const Field& field, double scale, double& out) {
  double found = out / scale;
  field.read_number(found);
  if (field.given()) out = found * scale;
}

void read_lengths(const Field& field, std::vector<double>& out) {
  if (!field.is(JsonValue::Kind::array)) return;
  out.clear();
  for (const Field& item : field.items())
    if (const auto length = item.length(0.001)) out.push_back(*length);
  std::sort(out.begin(), out.end());
}

/// One text from "source": as given, or "figure: source; ..." from an object.
void read_source(const Field& field, std::string& out) {
  field.read(out);
  const JsonValue* value = field.value();
  if (value == nullptr || value->kind != JsonValue::Kind::object) return;
  out.clear();
  for (const JsonMember& member : value->members)
    out += (out.empty() ? "" : "; ") + member.key + ": " + member.value.text;
}

void read_cable_figures(const Field& entry, CableType& cable) {
  read_service(entry["service"], cable.service);
  entry["series"].read(cable.series);
  entry["build"].read(cable.build);
  entry["rate_gbps"].read_number(cable.rate_gbps);
  entry["screened"].read(cable.screened);
  entry["diameter"].read_length(cable.diameter_m, 1e-4);
  entry["bend_radius"].read_length(cable.bend_radius_m);
  entry["pull_bend_radius"].read_length(cable.pull_bend_radius_m);
  entry["conductors"].read(cable.conductors);
  read_scaled(entry["conductor_area_mm2"], kSquareMillimetre, cable.conductor_area_m2);
  read_scaled(entry["resistance_ohm_per_km"], 1e-3, cable.resistance_ohm_per_m);
  read_scaled(entry["capacitance_pf_per_m"], 1e-12, cable.capacitance_f_per_m);
  entry["mass_kg_per_m"].read_number(cable.mass_kg_per_m);
  entry["pull_limit_n"].read_number(cable.pull_limit_n);
  entry["greatest_length"].read_length(cable.greatest_length_m);
  if (const auto head = entry["head"].items(); head.size() == 2) {
    head[0].read_length(cable.head_width_m);
    head[1].read_length(cable.head_height_m);
  }
  entry["directional"].read(cable.directional);
  entry["jacket"].read_words(cable.jacket_marks);
  entry["colours"].read_words(cable.colours);
  read_lengths(entry["put_ups"], cable.put_ups_m);
  entry["price_per_metre"].read_number(cable.price_per_m);
  read_source(entry["source"], cable.source);
}

/// Figures that the entry gives without a source of their own are the job's, whatever a catalogue
/// gave as theirs.
void credit_figures(const Field& entry, CableType& cable) {
  if (entry["source"].given()) return;
  constexpr std::pair<const char*, const char*> kFigures[] = {
      {"diameter", "diameter"},
      {"bend_radius", "bend_radius"},
      {"pull_bend_radius", "pulled"},
      {"resistance_ohm_per_km", "resistance_ohm_per_km"},
      {"mass_kg_per_m", "mass_kg_per_m"},
      {"pull_limit_n", "pull_limit_n"},
      {"rate_gbps", "rate_gbps"},
      {"greatest_length", "greatest_length"},
      {"head", "head"},
      {"put_ups", "put_ups"},
      {"jacket", "jacket"},
      {"capacitance_pf_per_m", "capacitance_pf_per_m"}};
  std::string credits;
  for (const auto& [key, name] : kFigures)
    if (entry[key].given())
      credits += (credits.empty() ? "" : "; ") + std::string(name) + ": the job's own figure";
  cable.source = credits + (credits.empty() || cable.source.empty() ? "" : "; ") + cable.source;
}

std::vector<std::string> cable_ids(const Catalogue& catalogue) {
  std::vector<std::string> ids;
  for (const CableType& cable : catalogue.cables) ids.push_back(cable.id);
  return ids;
}

/// What a new cable starts from: the one it is like, or figures that follow from its diameter.
CableType cable_to_start_from(const Field& entry, const Catalogue& catalogue) {
  CableType cable;
  const std::string like = entry["like"].text();
  if (!like.empty()) {
    if (const CableType* known = catalogue.cable(like))
      cable = *known;
    else
      entry["like"].problem("job.cable", "There is no cable \"" + like + "\".",
                            suggestion(like, cable_ids(catalogue)));
    return cable;
  }
  if (!entry["service"].given() || !entry["diameter"].given()) {
    entry.problem("job.cable", "A new cable needs at least its service and its diameter.",
                  "Or say \"like\": the id of a cable whose figures it shares.");
    return cable;
  }
  entry["diameter"].read_length(cable.diameter_m);
  cable.bend_radius_m = cable.pull_bend_radius_m = 15 * cable.diameter_m;
  cable.source = "bend_radius: 15 x diameter unless given, Fed-Std-1037C where none is published";
  return cable;
}

void read_cable(const Field& entry, Catalogue& catalogue) {
  const std::string id = entry["id"].text();
  const auto known = std::find_if(catalogue.cables.begin(), catalogue.cables.end(),
                                  [&](const CableType& cable) { return cable.id == id; });
  if (known != catalogue.cables.end()) {
    credit_figures(entry, *known);
    read_cable_figures(entry, *known);
    return;
  }
  CableType cable = cable_to_start_from(entry, catalogue);
  cable.id = id;
  credit_figures(entry, cable);
  read_cable_figures(entry, cable);
  catalogue.cables.push_back(std::move(cable));
}

void read_raceway(const Field& entry, Catalogue& catalogue) {
  const std::string id = entry["id"].text();
  auto known = std::find_if(catalogue.raceways.begin(), catalogue.raceways.end(),
                            [&](const RacewayType& raceway) { return raceway.id == id; });
  if (known == catalogue.raceways.end()) {
    if (!entry["width"].given() || !entry["depth"].given() || !entry["usable_area_mm2"].given())
      entry.problem("job.cable", "A new raceway needs its width, depth and usable_area_mm2.", "");
    RacewayType raceway;
    raceway.id = id;
    entry["width"].read_length(raceway.width_m, 0.001);
    entry["depth"].read_length(raceway.depth_m, 0.001);
    // Walls and lid of about 1.25 mm: estimated, no source; the entry may say better below.
    raceway.inner_width_m = std::max(0.0, raceway.width_m - 0.0025);
    raceway.inner_depth_m = std::max(0.0, raceway.depth_m - 0.0025);
    known = catalogue.raceways.insert(catalogue.raceways.end(), raceway);
  }
  entry["width"].read_length(known->width_m, 0.001);
  entry["depth"].read_length(known->depth_m, 0.001);
  entry["inner_width"].read_length(known->inner_width_m, 0.001);
  entry["inner_depth"].read_length(known->inner_depth_m, 0.001);
  read_scaled(entry["usable_area_mm2"], kSquareMillimetre, known->usable_area_m2);
  entry["stock_length"].read_length(known->stock_length_m, 0.1);
  entry["colours"].read_words(known->colours);
  entry["price_per_metre"].read_number(known->price_per_m);
  entry["price_fitting"].read_number(known->price_fitting);
  entry["price_end"].read_number(known->price_end);
  read_source(entry["source"], known->source);
  if (known->inner_width_m > known->width_m || known->inner_depth_m > known->depth_m)
    entry.problem("job.cable", "This raceway is larger inside than outside.", "");
}

/// The entry of that id, new if there is none yet.
template <typename T>
T& entry_of(std::vector<T>& known, const std::string& id) {
  for (T& one : known)
    if (one.id == id) return one;
  known.emplace_back().id = id;
  return known.back();
}

void read_hook(const Field& entry, HookType& hook) {
  entry["bundle"].read_length(hook.bundle_m, 0.001);
  entry["load_kg"].read_number(hook.load_kg);
  entry["price"].read_number(hook.price);
  read_source(entry["source"], hook.source);
}

void read_grommet(const Field& entry, GrommetType& grommet) {
  entry["kind"].read(grommet.kind);
  entry["hole"].read_length(grommet.hole_m, 0.001);
  entry["passes"].read_length(grommet.passes_m, 0.001);
  entry["price"].read_number(grommet.price);
  read_source(entry["source"], grommet.source);
  if (grommet.passes_m > grommet.hole_m)
    entry.problem("job.cable", "More passes this grommet than the hole that it sits in.", "");
}

void read_tile(const Field& entry, TileType& tile) {
  if (const auto size = entry["size"].items(); size.size() == 2) {
    size[0].read_length(tile.size_u_m, 0.05);
    size[1].read_length(tile.size_v_m, 0.05);
  }
  entry["thickness"].read_length(tile.thickness_m);
  entry["mass_kg_per_m2"].read_number(tile.mass_kg_per_m2);
  entry["price"].read_number(tile.price);
  read_source(entry["source"], tile.source);
}

void read_fitting(const Field& entry, FittingType& fitting) {
  entry["kind"].read(fitting.kind);
  entry["radius"].read_length(fitting.radius_m);
  entry["price_share"].read_number(fitting.price_share);
  read_source(entry["source"], fitting.source);
}

template <typename T>
void read_all(const Field& list, std::vector<T>& known, void (*read)(const Field&, T&)) {
  for (const Field& entry : list.items())
    if (!entry["id"].text().empty()) read(entry, entry_of(known, entry["id"].text()));
}

Catalogue read_built_in() {
  Catalogue catalogue;
  const Result<JsonValue> root = parse_json(embedded_catalogue(), "catalogue.json");
  if (!root) std::abort();  // a test reads it: cannot happen in a build that passed
  DocumentText document{*root, "catalogue.json", {}};
  read_catalogue(Field(&*root, "", document), catalogue);
  return catalogue;
}

}  // namespace

void read_catalogue(const Field& document, Catalogue& catalogue) {
  for (const Field& entry : document["cables"].items())
    if (!entry["id"].text().empty()) read_cable(entry, catalogue);
  for (const Field& entry : document["raceways"].items())
    if (!entry["id"].text().empty()) read_raceway(entry, catalogue);
  std::stable_sort(catalogue.raceways.begin(), catalogue.raceways.end(),
                   [](const RacewayType& a, const RacewayType& b) {
                     return a.usable_area_m2 < b.usable_area_m2;
                   });
  read_all(document["hooks"], catalogue.hooks, read_hook);
  read_all(document["grommets"], catalogue.grommets, read_grommet);
  read_all(document["tiles"], catalogue.tiles, read_tile);
  read_all(document["fittings"], catalogue.fittings, read_fitting);
  std::stable_sort(catalogue.hooks.begin(), catalogue.hooks.end(),
                   [](const HookType& a, const HookType& b) { return a.bundle_m < b.bundle_m; });
  std::stable_sort(
      catalogue.grommets.begin(), catalogue.grommets.end(),
      [](const GrommetType& a, const GrommetType& b) { return a.passes_m < b.passes_m; });
}

const Catalogue& built_in_catalogue() {
  static const Catalogue catalogue = read_built_in();
  return catalogue;
}

}  // namespace roomloom
