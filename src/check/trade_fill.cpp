#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/trade_check.h"
#include "geometry/bundle.h"
#include "trade/fill.h"

namespace roomloom::check {
namespace {

std::string percent(double share) { return format_number(100 * share, 0) + " %"; }

Vec3 middle(const TradeRaceway& piece) { return 0.5 * (piece.from + piece.to); }

const RacewayType* raceway_type(const Job& job, const std::string& size) {
  for (const RacewayType& type : job.catalogue.raceways)
    if (type.id == size) return &type;
  return nullptr;
}

/// Pieces of one size with the same runs that lie side by side share their cables.
int side_by_side(const TradePlan& plan, const TradeRaceway& piece) {
  return static_cast<int>(
      std::count_if(plan.raceways.begin(), plan.raceways.end(), [&](const TradeRaceway& other) {
        const double length = distance(piece.from, piece.to);
        return other.size == piece.size && other.sheet == piece.sheet && other.runs == piece.runs &&
               std::abs(distance(other.from, other.to) - length) < 0.01 &&
               distance(middle(other), middle(piece)) < 0.3 * length + 0.05 &&
               norm(cross(other.to - other.from, piece.to - piece.from)) < 1e-3 * length;
      }));
}

std::vector<double> diameters_of(const TradeView& view, const std::vector<std::string>& ids) {
  std::vector<double> all;
  for (const std::string& id : ids)
    if (const TradeCase* run = view.run(id)) all.push_back(run->drawn->cable->diameter_m);
  return all;
}

double area_of(const std::vector<double>& diameters) {
  double area = 0;
  for (const double d : diameters) area += trade::circle_area_m2(d);
  return area;
}

/// Heads pass one after the other, the largest first, beside the cables of those before.
double room_for_heads(std::vector<const CableType*> cables) {
  std::erase_if(cables, [](const CableType* cable) { return head_diagonal_m(*cable) <= 0; });
  std::stable_sort(cables.begin(), cables.end(), [](const CableType* a, const CableType* b) {
    return head_diagonal_m(*a) > head_diagonal_m(*b);
  });
  double need = 0;
  std::vector<double> passed;
  for (const CableType* cable : cables) {
    need = std::max(need, head_diagonal_m(*cable) + bundle_diameter(passed));
    passed.push_back(cable->diameter_m);
  }
  return need;
}

/// Cables that are pulled with their heads on: not those that lie there already.
std::vector<const CableType*> pulled_cables(const TradeView& view,
                                            const std::vector<std::string>& ids) {
  std::vector<const CableType*> all;
  for (const std::string& id : ids) {
    const TradeCase* run = view.run(id);
    if (run != nullptr && !run->spec->installed) all.push_back(run->drawn->cable);
  }
  return all;
}

void check_heads_in(const TradeView& view, const std::string& what, double inside,
                    const std::vector<const CableType*>& cables, const Vec3& where,
                    Findings& findings) {
  const double need = room_for_heads(cables);
  if (need <= inside + 0.0005) return;
  const CableType& thickest =
      **std::max_element(cables.begin(), cables.end(), [](const CableType* a, const CableType* b) {
        return head_diagonal_m(*a) < head_diagonal_m(*b);
      });
  const double largest = head_diagonal_m(thickest);
  tell(findings, "head-passes", largest > inside + 0.0005 ? Level::must : Level::should, what,
       what + " is " + view.small(inside) + " wide; the heads that must pass it need " +
           view.small(need) + ".",
       where, "Make it wider, or take cable whose connectors are fitted afterwards.",
       {view.small(need), view.small(inside)});
  findings.items.back().source = "geometry; head: " + figure_source(thickest, "head");
}

std::vector<std::string> ids_of(const std::vector<const TradeCase*>& runs) {
  std::vector<std::string> ids;
  for (const TradeCase* run : runs) ids.push_back(run->drawn->id);
  return ids;
}

Vec3 where_in(const TradeCase& run, const std::string& conduit) {
  for (const TradeSample& sample : run.samples)
    if (sample.stretch != nullptr && sample.stretch->place.name == conduit) return sample.at;
  return run.drawn->line.front();
}

double thickest_of(const std::vector<double>& diameters) {
  return diameters.empty() ? 0 : *std::max_element(diameters.begin(), diameters.end());
}

double inside_m(const RacewayType& type) {
  return std::min(type.inner_width_m, type.inner_depth_m);
}

/// The smallest raceway of the catalogue that takes these cables, by its name; else what to do.
std::string raceway_remedy(const Job& job, double area_m2, double thickest_m) {
  const RacewayType* best = nullptr;
  for (const RacewayType& type : job.catalogue.raceways) {
    if (area_m2 > job.prefer.fill_limit * type.usable_area_m2 || thickest_m > inside_m(type))
      continue;
    if (best == nullptr || type.usable_area_m2 < best->usable_area_m2) best = &type;
  }
  if (best != nullptr) return "Take " + best->id + ", or send some runs another way.";
  return "No raceway of the catalogue takes them: send some runs another way, or name a larger one "
         "under \"raceways\".";
}

/// Raceway of one size that is too full or too narrow, with the worst piece.
struct BadRaceway {
  Gathered sheets;
  double area_m2 = 0, thickest_m = 0;  ///< of the worst piece

  void add(const TradeRaceway& piece, double badness, double area, double thickest) {
    if (sheets.empty() || badness > sheets.worst) {
      area_m2 = area;
      thickest_m = thickest;
    }
    sheets.add(piece.sheet, badness, middle(piece));
  }
};

void tell_narrow(const TradeView& view, const RacewayType& type, const BadRaceway& bad,
                 Findings& findings) {
  const std::string figure = view.small(bad.thickest_m), limit = view.small(inside_m(type));
  tell(findings, "raceway-fill", Level::must, type.id,
       "Raceway " + type.id + " on " + listed(bad.sheets.names) + " is to hold a cable of " +
           figure + ", and is " + limit + " inside.",
       bad.sheets.where, raceway_remedy(view.job, bad.area_m2, bad.thickest_m), {figure, limit});
}

void tell_full(const TradeView& view, const RacewayType& type, const BadRaceway& bad,
               Findings& findings) {
  const std::string figure = percent(bad.sheets.worst), limit = percent(view.job.prefer.fill_limit);
  tell(findings, "raceway-fill", bad.sheets.worst > 1 ? Level::must : Level::should, type.id,
       "Raceway " + type.id + " on " + listed(bad.sheets.names) + " is filled to " + figure +
           " of its clear cross-section; the limit is " + limit + ".",
       bad.sheets.where,
       raceway_remedy(view.job, bad.area_m2, bad.thickest_m) + " Of its thickest cable " + type.id +
           " takes " +
           std::to_string(trade::cable_count(type.usable_area_m2, bad.thickest_m,
                                             view.job.prefer.fill_limit)) +
           ".",
       {figure, limit});
}

constexpr double kPublishedFill = 0.40;  // TIA-569

/// Fuller than is published, since the job allows more.
void tell_allowed(const TradeView& view, const RacewayType& type, const BadRaceway& bad,
                  Findings& findings) {
  const std::string figure = percent(bad.sheets.worst), limit = percent(kPublishedFill);
  tell(findings, "raceway-fill", Level::note, type.id,
       "Raceway " + type.id + " on " + listed(bad.sheets.names) + " is filled to " + figure +
           " of its clear cross-section. The job allows " + percent(view.job.prefer.fill_limit) +
           "; published practice is " + limit + ".",
       bad.sheets.where, "See that the lid closes and that cables can be added and taken out.",
       {figure, limit});
}

}  // namespace

void check_raceway_fill(const TradeView& view, Findings& findings) {
  std::map<std::string, BadRaceway> full, allowed, narrow;
  for (const TradeRaceway& piece : view.plan.raceways) {
    const RacewayType* type = raceway_type(view.job, piece.size);
    if (type == nullptr || type->usable_area_m2 <= 0) continue;
    const auto diameters = diameters_of(view, piece.runs);
    const int beside = std::max(1, side_by_side(view.plan, piece));
    const double area = area_of(diameters) / beside, thickest = thickest_of(diameters);
    const double fill = area / type->usable_area_m2;
    if (thickest > inside_m(*type) + 1e-6) {
      narrow[piece.size].add(piece, thickest, area, thickest);
    } else if (fill > view.job.prefer.fill_limit + 1e-6) {
      full[piece.size].add(piece, fill, area, thickest);
    } else if (fill > kPublishedFill + 1e-6) {
      allowed[piece.size].add(piece, fill, area, thickest);
    }
  }
  for (const auto& [size, bad] : narrow)
    tell_narrow(view, *raceway_type(view.job, size), bad, findings);
  for (const auto& [size, bad] : full)
    tell_full(view, *raceway_type(view.job, size), bad, findings);
  for (const auto& [size, bad] : allowed)
    tell_allowed(view, *raceway_type(view.job, size), bad, findings);
}

namespace {

/// Names the smallest tubing of the code's table that takes these cables.
std::string conduit_remedy(double area_m2, int count) {
  for (const trade::Tubing& tube : trade::metallic_tubing())
    if (area_m2 <= trade::nec_conduit_share(count) * trade::circle_area_m2(tube.inside_m))
      return "Send a run another way, or put in a wider conduit: metallic tubing of trade size " +
             std::string(tube.trade_size) + " in would take them.";
  return "Send a run another way, or put in a second conduit.";
}

}  // namespace

void check_conduits(const TradeView& view, Findings& findings) {
  for (const auto& [name, runs] : runs_in_conduits(view)) {
    const TradePart* part = part_named(view, name);
    if (part == nullptr) continue;
    const double inside = conduit_inside_m(*part);
    if (inside <= 0) {
      tell(findings, "conduit-fill", Level::note, name,
           "How wide " + name +
               " is inside is said nowhere; neither its fill nor whether heads pass "
               "is judged.",
           where_in(*runs.front(), name),
           "Measure it: \"parts\": [{ \"match\": \"" + name + "\", \"inside\": \"25 mm\" }].");
      continue;
    }
    const PartRule* rule = part->rule;
    const auto diameters = diameters_of(view, ids_of(runs));
    const int count = static_cast<int>(diameters.size()) + (rule ? rule->occupied_count : 0);
    const double area = area_of(diameters) + (rule ? rule->occupied_area_m2 : 0);
    const double fill = area / trade::circle_area_m2(inside);
    const double limit = trade::nec_conduit_share(count);
    const Vec3 where = where_in(*runs.front(), name);
    if (fill > limit + 1e-6) {
      tell(findings, "conduit-fill", fill > 1 ? Level::must : Level::should, name,
           name + " of " + view.small(inside) + " is filled to " + percent(fill) + " by " +
               std::to_string(count) + (count == 1 ? " cable" : " cables") + "; the limit is " +
               percent(limit) + ".",
           where, conduit_remedy(area, count), {percent(fill), percent(limit)});
    }
    if (count == 3 && trade::may_jam(inside, diameters)) {
      tell(findings, "conduit-jam", Level::note, name,
           "Three equal cables in " + name + " may wedge in a bend: " + view.small(inside) +
               " over " + view.small(diameters[0]) + " lies between 2.8 and 3.2.",
           where, "Pull them together and lubricated, or send one another way.",
           {format_number(inside / diameters[0], 2), "not 2.8 to 3.2"});
    }
    check_heads_in(view, name, inside, pulled_cables(view, ids_of(runs)), where, findings);
  }
}

void check_hole_fill(const TradeView& view, Findings& findings) {
  for (const ListedHole& hole : view.written.plan.holes) {
    const double least = trade::least_bundle_m(diameters_of(view, hole.runs));
    if (least <= hole.diameter_m + 0.0001) continue;
    tell(findings, "hole-fill", Level::must, hole.name,
         "Hole " + hole.name + " of " + view.small(hole.diameter_m) + " cannot hold its " +
             std::to_string(hole.runs.size()) + " cables: they need " + view.small(least) +
             " at least.",
         hole.centre, "Cut it wider, or send some runs through another hole.",
         {view.small(least), view.small(hole.diameter_m)});
  }
}

void check_heads(const TradeView& view, Findings& findings) {
  for (const ListedHole& hole : view.written.plan.holes)
    check_heads_in(view, "Hole " + hole.name, hole.diameter_m, pulled_cables(view, hole.runs),
                   hole.centre, findings);
}

namespace {

/// Whether the spare cables shall be able to go where these runs go.
bool concerns(const SpareSpec& spare, const std::vector<std::string>& runs) {
  if (spare.along.empty()) return runs.size() >= 2;
  return std::any_of(spare.along.begin(), spare.along.end(), [&](const std::string& id) {
    return std::find(runs.begin(), runs.end(), id) != runs.end();
  });
}

/// @returns the widest hole that they need of those that are too narrow; 0: none is
double spare_in_holes(const TradeView& view, const SpareSpec& spare, const CableType& cable,
                      Gathered& tight) {
  double widest = 0;
  for (const ListedHole& hole : view.written.plan.holes) {
    if (!concerns(spare, hole.runs)) continue;
    auto diameters = diameters_of(view, hole.runs);
    diameters.insert(diameters.end(), static_cast<std::size_t>(spare.count), cable.diameter_m);
    double need = bundle_diameter(diameters);
    if (spare.heads_fitted && head_diagonal_m(cable) > 0) {
      diameters.pop_back();
      need = std::max(need, bundle_diameter(diameters) + head_diagonal_m(cable));
    }
    if (need <= hole.diameter_m + 0.0005) continue;
    widest = std::max(widest, need);
    tight.add("hole " + hole.name, need / hole.diameter_m, hole.centre);
  }
  return widest;
}

std::string wider_hole(const TradeView& view, double need_m) {
  const double most = view.job.prefer.largest_hole_m;
  if (need_m <= most + 1e-6) return "Cut the hole wider";
  return "It needs a hole of " + view.small(need_m) + ", and none may be wider than " +
         view.small(most) + ": raise \"prefer\": { \"largest_hole\" } where the sheet allows it";
}

void spare_in_raceways(const TradeView& view, const SpareSpec& spare, const CableType& cable,
                       Gathered& tight) {
  for (const TradeRaceway& piece : view.plan.raceways) {
    const RacewayType* type = raceway_type(view.job, piece.size);
    if (type == nullptr || type->usable_area_m2 <= 0 || !concerns(spare, piece.runs)) continue;
    const int beside = std::max(1, side_by_side(view.plan, piece));
    const double area = area_of(diameters_of(view, piece.runs)) +
                        spare.count * trade::circle_area_m2(cable.diameter_m);
    const double fill = area / (beside * type->usable_area_m2);
    if (fill > view.job.prefer.fill_limit + 1e-6)
      tight.add("raceway " + piece.size + " on " + piece.sheet, fill / view.job.prefer.fill_limit,
                middle(piece));
  }
}

void spare_in_conduits(const TradeView& view, const SpareSpec& spare, const CableType& cable,
                       Gathered& tight) {
  for (const auto& [name, runs] : runs_in_conduits(view)) {
    const TradePart* part = part_named(view, name);
    const double inside = part == nullptr ? 0 : conduit_inside_m(*part);
    if (inside <= 0 || !concerns(spare, ids_of(runs))) continue;
    const PartRule* rule = part->rule;
    const int count =
        static_cast<int>(runs.size()) + spare.count + (rule ? rule->occupied_count : 0);
    const double area = area_of(diameters_of(view, ids_of(runs))) +
                        spare.count * trade::circle_area_m2(cable.diameter_m) +
                        (rule ? rule->occupied_area_m2 : 0);
    const double share = area / trade::circle_area_m2(inside) / trade::nec_conduit_share(count);
    const double head = spare.heads_fitted ? head_diagonal_m(cable) / inside : 0;
    const double used = std::max(share, head);
    if (used > 1 + 1e-6) tight.add(name, used, where_in(*runs.front(), name));
  }
}

}  // namespace

void check_spare(const TradeView& view, Findings& findings) {
  for (const SpareSpec& spare : view.job.spares) {
    const CableType* cable = view.job.catalogue.cable(spare.cable);
    if (cable == nullptr) continue;  // told when the job is read
    Gathered tight;
    const double hole = spare_in_holes(view, spare, *cable, tight);
    spare_in_raceways(view, spare, *cable, tight);
    spare_in_conduits(view, spare, *cable, tight);
    if (tight.empty()) continue;
    tell(findings, "spare-capacity", Level::should, spare.cable,
         "The room asked for, " + std::to_string(spare.count) + " " + spare.cable +
             (spare.heads_fitted ? ", heads fitted" : "") + ", is not left in " +
             listed(tight.names) + ": the worst would be used to " + percent(tight.worst) +
             " of what it takes.",
         tight.where,
         wider_hole(view, hole) +
             ", take the next size of raceway, or plan the cables as provisions.",
         {percent(tight.worst), "100 %"});
  }
}

}  // namespace roomloom::check
