#include "check/trade_check.h"

#include <algorithm>

#include "base/glob.h"
#include "base/units.h"
#include "geometry/rectangle.h"
#include "trade/rules.h"

namespace roomloom::check {
namespace {

constexpr double kStep = 0.05;

constexpr TradeRule kChecks[] = {check_loudspeaker_loss,
                                 check_gauge_choice,
                                 check_line_roll_off,
                                 check_cable_length,
                                 check_piece_length,
                                 check_network_link,
                                 check_picture_rate,
                                 check_signal_direction,
                                 check_pull_bends,
                                 check_pull_radius,
                                 check_pull_tension,
                                 check_raceway_fill,
                                 check_conduits,
                                 check_hole_fill,
                                 check_heads,
                                 check_spare,
                                 check_supports,
                                 check_support_structure,
                                 check_tile_clearance,
                                 check_bundles,
                                 check_tile_load,
                                 check_power,
                                 check_power_wish,
                                 check_luminaires,
                                 check_void_air,
                                 check_jackets,
                                 check_fire_seal,
                                 check_old_material,
                                 check_studs,
                                 check_members,
                                 check_hole_sizes,
                                 check_tile_holes,
                                 check_hidden_wiring,
                                 check_pinch_points,
                                 check_walkways,
                                 check_gear_place,
                                 check_floor_crossings,
                                 check_sight,
                                 check_loudspeaker_angles,
                                 check_loudspeaker_heights,
                                 check_loudspeaker_distances,
                                 check_loudspeaker_symmetry,
                                 check_listener_wall,
                                 check_label_likeness,
                                 check_outlets};

const PartRule* rule_for(const Job& job, const Part& part) {
  for (const PartRule& rule : job.parts) {
    if (matches_pattern(rule.match, part.name) || matches_pattern(rule.match, part.path)) {
      return &rule;
    }
  }
  return nullptr;
}

/// Turned by less than half a right angle: a part that stands along x and y is measured along them.
UprightBox upright_box(const Scene& scene, const Part& part) {
  std::vector<Vec2> plan;
  UprightBox upright;
  for (std::uint32_t i = 0; i < part.point_count; ++i) {
    const Vec3& p = scene.points[part.first_point + i];
    plan.push_back({p.x, p.y});
  }
  const TurnedRectangle least = least_rectangle(std::move(plan));
  for (const Vec2& u : {least.u, least.v(), Vec2{} - least.u, Vec2{} - least.v()})
    if (u.x > 0 && u.x > std::abs(u.y)) upright.u = u;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    upright.box.add(upright.local(scene.points[part.first_point + i]));
  return upright;
}

bool moves_or_is_walked_on(Role role) {
  return role == Role::door || role == Role::seat || role == Role::cupboard ||
         role == Role::furniture || role == Role::walkway;
}

TradePart trade_part(const Scene& scene, const Part& part, const Job& job, const TradePlan& plan) {
  TradePart one;
  one.part = &part;
  one.role = role_in_job(job, part);
  one.told = one.role != Role::automatic;
  if (const auto taken = plan.roles.find(part.path); !one.told && taken != plan.roles.end())
    one.role = taken->second;
  one.rule = rule_for(job, part);
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    one.box.add(scene.points[part.first_point + i]);
  one.upright.box = one.box;
  if (moves_or_is_walked_on(one.role)) one.upright = upright_box(scene, part);
  return one;
}

// The stretch that holds the metre s of the drawn line.
const TradeStretch* stretch_at(const TradeRun& run, double s) {
  double end = 0;
  for (const TradeStretch& stretch : run.stretches) {
    end += stretch.metres;
    if (s <= end + 1e-9) return &stretch;
  }
  return run.stretches.empty() ? nullptr : &run.stretches.back();
}

std::vector<TradeSample> sampled(const std::vector<Vec3>& line, const TradeRun& run) {
  std::vector<TradeSample> samples;
  double s = 0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec3 way = line[i + 1] - line[i];
    const double length = norm(way);
    if (length <= 0) continue;
    const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep)));
    for (int k = 0; k < steps; ++k) {
      const double t = (k + 0.5) / steps;
      samples.push_back({line[i] + t * way, way / length, s + t * length, length / steps,
                         stretch_at(run, s + t * length)});
    }
    s += length;
  }
  return samples;
}

std::vector<TradeCase> cases(const std::vector<DrawnRun>& runs, const TradePlan& plan,
                             const Job& job) {
  std::vector<TradeCase> all;
  for (const DrawnRun& run : runs) {
    TradeCase one;
    one.drawn = &run;
    one.plan = plan.run(run.id);
    for (const RunSpec& spec : job.runs)
      if (spec.id == run.id) one.spec = &spec;
    if (one.plan == nullptr || one.spec == nullptr) continue;  // told by other checks
    one.samples = sampled(run.line, *one.plan);
    all.push_back(std::move(one));
  }
  return all;
}

std::vector<int> part_of_each(const Scene& scene) {
  std::vector<int> parts(scene.triangles.size(), 0);
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    const Part& part = scene.parts[i];
    for (std::uint32_t k = 0; k < part.triangle_count; ++k)
      parts[part.first_triangle + k] = static_cast<int>(i);
  }
  return parts;
}

}  // namespace

const TradeCase* TradeView::run(const std::string& id) const {
  for (const TradeCase& one : runs)
    if (one.drawn->id == id) return &one;
  return nullptr;
}

const TradePart* TradeView::part_of_hole(const ListedHole& hole) const {
  const double reach = hole.thickness_m + 0.05;
  // Beside the axis as well: where the hole is there already, its middle is open.
  const Vec3 across =
      std::abs(hole.normal.z) < 0.9 ? cross(hole.normal, {0, 0, 1}) : cross(hole.normal, {1, 0, 0});
  for (const double aside : {0.0, 0.5 * hole.diameter_m + 0.01}) {
    const Vec3 middle = hole.centre + aside * normalized(across);
    for (const RayHit& hit : tree.hits(middle - reach * hole.normal, middle + reach * hole.normal))
      return &part_at(hit.triangle);
  }
  return nullptr;
}

bool TradeView::is_component(const std::string& end) const {
  const std::string owner = end.substr(0, end.rfind('.'));
  for (const GearSpec& gear : job.gear)
    for (const Component& held : gear.holds)
      if (held.id == owner) return true;
  return false;
}

std::string TradeView::length(double metres) const { return format_length(metres, job.units, 2); }

std::string TradeView::small(double metres) const { return length_text(metres, job.units); }

std::string TradeView::told(const char* text) const { return lengths_told_in(text, job.units); }

void tell(Findings& findings, const char* rule, Level level, const std::string& subject,
          const std::string& text, std::optional<Vec3> where, const std::string& remedy,
          const Measured& measured) {
  const trade::Rule* known = trade::rule(rule);
  findings.items.push_back({rule, level, text, subject, where, remedy,
                            known == nullptr ? "" : known->source, measured.figure,
                            measured.limit});
}

std::string listed(const std::vector<std::string>& names) {
  constexpr std::size_t kShown = 4;
  std::string text;
  const std::size_t shown = names.size() > kShown + 1 ? kShown - 1 : names.size();
  for (std::size_t i = 0; i < shown; ++i) {
    const bool last = i + 1 == names.size();
    text += (i == 0 ? "" : last ? " and " : ", ") + names[i];
  }
  if (shown < names.size()) text += " and " + std::to_string(names.size() - shown) + " more";
  return text;
}

std::string listed_runs(const std::vector<std::string>& names) {
  return (names.size() == 1 ? "Run " : "Runs ") + listed(names);
}

std::string runs_do(const std::vector<std::string>& names, const std::string& verb) {
  const char* one = verb.ends_with('s') ? "es" : "s";
  return listed_runs(names) + " " + verb + (names.size() == 1 ? one : "");
}

void Gathered::add(const std::string& name, double badness, const Vec3& at) {
  if (names.empty() || badness > worst) {
    worst = badness;
    where = at;
  }
  if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

bool carries_signal(const TradeCase& run) { return run.drawn->cable->service != Service::mains; }

bool closed_way(const TradeView& view, const TradePlace& place) {
  if (place.kind == "conduit") return true;
  const TradeVoid* space = view.plan.void_of(place);
  return space != nullptr && !(space->kind == "plenum" && space->tiles);
}

std::map<std::string, std::vector<const TradeCase*>> runs_in_conduits(const TradeView& view) {
  std::map<std::string, std::vector<const TradeCase*>> all;
  for (const TradeCase& run : view.runs) {
    std::set<std::string> names;
    for (const TradeStretch& stretch : run.plan->stretches)
      if (stretch.place.kind == "conduit") names.insert(stretch.place.name);
    for (const std::string& name : names) all[name].push_back(&run);
  }
  return all;
}

double conduit_inside_m(const TradePart& part) {
  if (part.rule != nullptr && part.rule->inside_diameter_m > 0) return part.rule->inside_diameter_m;
  const auto said = part.part->extras.find("inside_diameter");
  if (said == part.part->extras.end()) return 0;
  const auto length = parse_length(said->second);
  return length ? *length : 0;
}

bool shut_away(const TradeSample& sample) {
  return sample.stretch != nullptr &&
         (sample.stretch->place.kind == "void" || sample.stretch->place.kind == "conduit");
}

double inside_m(const Box3& box, const Vec3& p, int axes) {
  double least = 1e9;
  for (int axis = 0; axis < axes; ++axis)
    least = std::min({least, p[axis] - box.low[axis], box.high[axis] - p[axis]});
  return least;
}

const TradePart* part_named(const TradeView& view, const std::string& name) {
  for (const TradePart& part : view.parts)
    if (part.part->name == name) return &part;
  return nullptr;
}

Status check_trade(const std::filesystem::path& folder, const Written& written,
                   const std::vector<DrawnRun>& runs, const Scene& original, const Job& job,
                   Findings& findings) {
  const auto plan = read_trade_plan(folder / "plan.json");
  if (!plan) return plan.error();
  const TriangleTree tree(original.points, original.triangles);
  TradeView view{written, *plan, original, job, cases(runs, *plan, job), {}, part_of_each(original),
                 tree};
  for (const Part& part : original.parts)
    view.parts.push_back(trade_part(original, part, job, view.plan));
  for (const TradeRule check : kChecks) {
    const std::size_t before = findings.items.size();
    check(view, findings);
    if (findings.items.size() == before) ++findings.quiet;
  }
  return Done{};
}

}  // namespace roomloom::check
