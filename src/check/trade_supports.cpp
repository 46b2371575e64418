#include <algorithm>
#include <cmath>
#include <sstream>

#include "base/units.h"
#include "check/trade_check.h"
#include "trade/building.h"

namespace roomloom::check {
namespace {

constexpr double kSpacingSlack = 0.05;
constexpr double kAtSupport = 0.25;  // a run passes its hook within this
constexpr double kResting = 0.010;
constexpr double kNearHole = 0.20;  // here a run comes up through the tiles
constexpr double kStructureAbove = 1.5, kStructureBeside = 0.3;

struct Support {
  Vec3 at;
  std::vector<std::string> runs;
};

std::vector<Support> supports_of(const WrittenModel& model) {
  std::vector<Support> all;
  for (const WrittenThing& thing : model.things) {
    if (thing.path.empty() || thing.path.front() != "Supports" || thing.points.empty()) continue;
    Support support;
    Box3 box;
    for (const Vec3& p : thing.points) box.add(p);
    support.at = box.centre();
    const auto runs = thing.texts.find("runs");
    std::stringstream words(runs == thing.texts.end() ? "" : runs->second);
    for (std::string word; std::getline(words, word, ',');) {
      word.erase(0, word.find_first_not_of(' '));
      support.runs.push_back(word);
    }
    all.push_back(std::move(support));
  }
  return all;
}

bool in_plenum(const TradeView& view, const TradeSample& sample) {
  const TradeVoid* space = sample.stretch ? view.plan.void_of(sample.stretch->place) : nullptr;
  return space != nullptr && space->kind == "plenum";
}

bool level(const TradeSample& sample) { return std::abs(sample.along.z) < 0.3; }

/// Greatest level way of a run in one void without a support, metres; its middle in `where`.
double greatest_span(const TradeView& view, const TradeCase& run,
                     const std::vector<Support>& supports, Vec3& where) {
  std::vector<Vec3> own;
  for (const Support& support : supports)
    if (std::find(support.runs.begin(), support.runs.end(), run.drawn->id) != support.runs.end())
      own.push_back(support.at);
  double greatest = 0, open = 0;
  for (const TradeSample& sample : run.samples) {
    if (!in_plenum(view, sample)) {
      open = 0;
      continue;
    }
    if (level(sample)) open += sample.step_m;
    const bool held = std::any_of(own.begin(), own.end(), [&](const Vec3& at) {
      return distance(at, sample.at) <= kAtSupport;
    });
    if (open > greatest) {
      greatest = open;
      where = sample.at;
    }
    if (held) open = 0;
  }
  return greatest;
}

bool is_structure(Role role) {
  return role != Role::suspended_ceiling && role != Role::luminaire && role != Role::vent &&
         role != Role::ignore && role != Role::marker && role != Role::power;
}

bool structure_near(const TradeView& view, const Vec3& at) {
  for (const RayHit& hit : view.tree.hits(at, at + Vec3{0, 0, kStructureAbove}))
    if (is_structure(view.part_at(hit.triangle).role)) return true;
  for (const Vec3& side : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0}})
    for (const RayHit& hit : view.tree.hits(at, at + kStructureBeside * side))
      if (is_structure(view.part_at(hit.triangle).role)) return true;
  return false;
}

bool near_own_hole(const TradeView& view, const TradeCase& run, const Vec3& p) {
  return std::any_of(
      view.written.plan.holes.begin(), view.written.plan.holes.end(), [&](const ListedHole& hole) {
        const Vec3 off = p - hole.centre;
        const bool own =
            std::find(hole.runs.begin(), hole.runs.end(), run.drawn->id) != hole.runs.end();
        return own && std::hypot(off.x, off.y) <= kNearHole;
      });
}

/// Clearance of the run's underside above tiles at a sample; none where no tiles are below.
std::optional<double> clearance(const TradeView& view, const TradeCase& run,
                                const TradeSample& sample) {
  const auto down = view.tree.first_hit(sample.at, {0, 0, -1}, 0, 1.0);
  if (!down || view.part_at(down->triangle).role != Role::suspended_ceiling) return std::nullopt;
  return down->t - 0.5 * run.drawn->cable->diameter_m;
}

}  // namespace

void check_supports(const TradeView& view, Findings& findings) {
  if (view.job.prefer.lay_on_tiles) return;  // told by the clearance over tiles
  const auto supports = supports_of(view.written.glb);
  Gathered wide;
  for (const TradeCase& run : view.runs) {
    Vec3 where;
    const double span = greatest_span(view, run, supports, where);
    if (span > trade::kSupportSpacing_m + 2 * kAtSupport + kSpacingSlack)
      wide.add(run.drawn->id, span, where);
  }
  if (wide.empty()) return;
  tell(findings, "support-spacing", Level::should, wide.names.front(),
       runs_do(wide.names, "hang") + " up to " + view.length(wide.worst) +
           " without a support; the limit is " + view.length(trade::kSupportSpacing_m) + ".",
       wide.where, "Set prefer.support_spacing to that or less, or add a hook there.",
       {view.length(wide.worst), view.length(trade::kSupportSpacing_m)});
}

void check_support_structure(const TradeView& view, Findings& findings) {
  Gathered loose;
  int count = 0;
  for (const Support& support : supports_of(view.written.glb)) {
    if (structure_near(view, support.at)) continue;
    ++count;
    loose.add(support.runs.empty() ? "?" : support.runs.front(), 0, support.at);
  }
  if (count == 0) return;
  tell(findings, "support-structure", Level::should, loose.names.front(),
       std::to_string(count) + (count == 1 ? " support finds" : " supports find") +
           " nothing but the ceiling to hang from: no deck, beam or wall of the model within " +
           view.length(kStructureAbove) + " above or " + view.length(kStructureBeside) + " beside.",
       loose.where,
       "Add the slab or joists to the model, or fix a rail between walls; never to the grid.",
       {std::to_string(count), "0"});
}

void check_tile_clearance(const TradeView& view, Findings& findings) {
  Gathered low;
  for (const TradeCase& run : view.runs) {
    for (const TradeSample& sample : run.samples) {
      if (!in_plenum(view, sample) || !level(sample)) continue;
      const auto clear = clearance(view, run, sample);
      if (!clear || *clear >= trade::kOverTiles_m - 0.0005) continue;
      if (near_own_hole(view, run, sample.at)) continue;
      low.add(run.drawn->id, -*clear, sample.at);
    }
  }
  if (low.empty()) return;
  const double least = std::max(0.0, -low.worst);
  const bool rests = least < kResting;
  const bool chosen = view.job.prefer.lay_on_tiles;
  tell(findings, "tile-clearance",
       chosen  ? Level::note
       : rests ? Level::must
               : Level::should,
       low.names.front(),
       runs_do(low.names, rests ? "rest" : "run") +
           (rests ? " on the ceiling tiles" : " low over the tiles") + ": " + view.small(least) +
           view.told(" clear; 75 mm lets a tile be lifted.") +
           (chosen ? " The job chooses so (lay_on_tiles): the tiles carry the cable, lifting them "
                     "moves it, and code often forbids it."
                   : ""),
       low.where,
       chosen
           ? "Ask whether your code allows it, or hang them from the structure after all "
             "(prefer.lay_on_tiles false)."
           : view.told("Set prefer.tile_clearance to 75 mm or more where the void allows it; who "
                       "lays cable on tiles all the same says prefer.lay_on_tiles."),
       {view.small(least), view.small(trade::kOverTiles_m)});
}

void check_bundles(const TradeView& view, Findings& findings) {
  Gathered large;
  for (const Support& support : supports_of(view.written.glb)) {
    const auto count = static_cast<int>(support.runs.size());
    if (count > trade::kBundleGreatest) large.add(support.runs.front(), count, support.at);
  }
  if (large.empty()) return;
  tell(findings, "bundle-size", Level::note, large.names.front(),
       "Up to " + format_number(large.worst, 0) + " cables lie on one support; practice is " +
           std::to_string(trade::kBundleGreatest) + " in a bundle.",
       large.where, "Hang a second line of hooks, or split the bundle.",
       {format_number(large.worst, 0), std::to_string(trade::kBundleGreatest)});
}

namespace {

struct TileLoad {
  Gathered runs;
  double coiled_kg = 0, lying_kg = 0;
};
using TileLoads = std::map<std::pair<long, long>, TileLoad>;

/// Row and column of the tile below a point: by the job's grid, else in steps of 600 mm.
std::optional<std::pair<long, long>> tile_below(const TradeView& view, const Vec3& p) {
  const auto down = view.tree.first_hit(p + Vec3{0, 0, 0.05}, {0, 0, -1}, 0, 0.4);
  if (!down || view.part_at(down->triangle).role != Role::suspended_ceiling) return std::nullopt;
  const PartRule* rule = view.part_at(down->triangle).rule;
  const std::array<double, 2> none{0, 0}, usual{0.6, 0.6};
  const auto pitch = rule != nullptr && rule->tile_m ? *rule->tile_m : usual;
  const auto origin = rule != nullptr && rule->tile_origin_m ? *rule->tile_origin_m : none;
  return std::pair(std::lround(std::floor((p.x - origin[0]) / pitch[0])),
                   std::lround(std::floor((p.y - origin[1]) / pitch[1])));
}

void load_with_coils(const TradeView& view, TileLoads& loads) {
  for (const TradeCase& run : view.runs) {
    const TradeEnd* end = view.plan.end(run.drawn->listed->to);
    if (end == nullptr || end->state != "coiled") continue;
    const auto tile = tile_below(view, end->at);
    if (!tile) continue;
    double coil = 0;
    for (const char* name : {"loop at to", "movable end"}) {
      const auto found = run.drawn->listed->addends_m.find(name);
      if (found != run.drawn->listed->addends_m.end()) coil += found->second;
    }
    loads[*tile].coiled_kg += coil * run.drawn->cable->mass_kg_per_m;
    loads[*tile].runs.add(run.drawn->id, 0, end->at);
  }
}

void load_with_lying_cable(const TradeView& view, TileLoads& loads) {
  for (const TradeCase& run : view.runs)
    for (const TradeSample& sample : run.samples) {
      const auto clear = in_plenum(view, sample) ? clearance(view, run, sample) : std::nullopt;
      if (!clear || *clear >= kResting) continue;
      const auto tile = tile_below(view, sample.at);
      if (!tile) continue;
      loads[*tile].lying_kg += sample.step_m * run.drawn->cable->mass_kg_per_m;
      loads[*tile].runs.add(run.drawn->id, 0, sample.at);
    }
}

/// Tiles that bear too much of one kind of load, and the worst of them.
struct HeavyTiles {
  Gathered runs;
  int tiles = 0;

  void add(const TileLoad& load) {
    const double kilograms = load.coiled_kg + load.lying_kg;
    for (const std::string& run : load.runs.names) runs.add(run, kilograms, *load.runs.where);
    ++tiles;
  }
};

void tell_heavy(const HeavyTiles& heavy, bool lying, Findings& findings) {
  if (heavy.tiles == 0) return;
  const std::string figure = format_number(heavy.runs.worst, 2) + " kg";
  tell(findings, "tile-load", Level::should, heavy.runs.names.front(),
       (lying ? runs_do(heavy.runs.names, "put") + " "
              : "The coils of " + listed(heavy.runs.names) + " put ") +
           (heavy.tiles == 1 ? figure + " on one ceiling tile"
                             : "too much on each of " + std::to_string(heavy.tiles) +
                                   " ceiling tiles, up to " + figure) +
           "; half a kilogram is plenty.",
       heavy.runs.where,
       lying ? "Hang them from the structure (prefer.lay_on_tiles false), or share them out."
             : "Hang the coils from the structure.",
       {figure, format_number(trade::kTileCoil_kg, 2) + " kg"});
}

}  // namespace

void check_tile_load(const TradeView& view, Findings& findings) {
  TileLoads loads;
  load_with_coils(view, loads);
  load_with_lying_cable(view, loads);
  HeavyTiles coiled, lying;
  for (const auto& [tile, load] : loads) {
    if (load.coiled_kg + load.lying_kg <= trade::kTileCoil_kg) continue;
    (load.lying_kg > load.coiled_kg ? lying : coiled).add(load);
  }
  tell_heavy(coiled, false, findings);
  tell_heavy(lying, true, findings);
}

}  // namespace roomloom::check
