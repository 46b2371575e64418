#include <algorithm>
#include <cmath>

#include "check/trade_check.h"
#include "trade/building.h"
#include "trade/jackets.h"

namespace roomloom::check {
namespace {

/// What bears tiles, such as a tee or an angle, is no ceiling to be asked about.
bool is_trim(const TradePart& part) {
  constexpr double kWidestTrim = 0.06;
  const Vec3 size = part.box.size();
  return std::min(size.x, size.y) < kWidestTrim;
}

/// What the job says of the air above its suspended ceilings; unknown if rules disagree or say
/// nothing. `ceiling` becomes a part that nothing is said of.
HandlesAir air_by_job(const TradeView& view, const TradePart** ceiling) {
  bool any = false, moves = false, unknown = false;
  for (const TradePart& part : view.parts) {
    if (part.role != Role::suspended_ceiling || is_trim(part)) continue;
    const HandlesAir air = part.rule == nullptr ? HandlesAir::unknown : part.rule->handles_air;
    any = true;
    moves |= air == HandlesAir::yes;
    if (air == HandlesAir::unknown && !unknown) *ceiling = &part;
    unknown |= air == HandlesAir::unknown;
  }
  if (moves) return HandlesAir::yes;
  return any && !unknown ? HandlesAir::no : HandlesAir::unknown;
}

/// Way of a run in voids of one kind, and a place of it there.
double metres_in(const TradeView& view, const TradeCase& run, const std::string& kind,
                 Vec3& where) {
  double metres = 0;
  for (const TradeSample& sample : run.samples) {
    const TradeVoid* space = sample.stretch ? view.plan.void_of(sample.stretch->place) : nullptr;
    if (space == nullptr || space->kind != kind) continue;
    if (metres <= 0) where = sample.at;
    metres += sample.step_m;
  }
  return metres;
}

bool passes(const TradeView& view, const TradeCase& run, const std::string& kind, Vec3& where) {
  return metres_in(view, run, kind, where) > 0;
}

enum class Marking { unknown, too_little, enough };

Marking marking(const CableType& cable, trade::JacketSpace space) {
  Marking best = Marking::unknown;
  for (const std::string& text : cable.jacket_marks) {
    if (trade::is_euroclass(text) && space == trade::JacketSpace::ordinary_void)
      return Marking::enough;
    const auto mark = trade::jacket_mark(text);
    if (!mark) continue;
    if (trade::jacket_suffices(*mark, space, cable.diameter_m)) return Marking::enough;
    best = Marking::too_little;
  }
  return best;
}

struct BadJackets {
  Gathered runs;
  std::vector<const CableType*> types;

  void add(const TradeCase& run, const Vec3& where) {
    runs.add(run.drawn->id, 0, where);
    if (std::find(types.begin(), types.end(), run.drawn->cable) == types.end())
      types.push_back(run.drawn->cable);
  }
};

std::string marks_of(const std::vector<const CableType*>& types) {
  std::vector<std::string> marks;
  for (const CableType* type : types)
    for (const std::string& mark : type->jacket_marks)
      if (std::find(marks.begin(), marks.end(), mark) == marks.end()) marks.push_back(mark);
  return marks.empty() ? "no mark" : listed(marks);
}

/// Types of the catalogue that could take its place there: the same by another jacket, else of its
/// own row of sizes, else what does no less.
std::vector<std::string> in_its_place(const Catalogue& catalogue, const CableType& cable,
                                      trade::JacketSpace space) {
  std::vector<std::string> same, row, all;
  for (const CableType& other : catalogue.cables) {
    if (other.service != cable.service || other.conductors != cable.conductors ||
        other.screened != cable.screened || other.rate_gbps < cable.rate_gbps ||
        other.conductor_area_m2 < cable.conductor_area_m2 ||
        marking(other, space) != Marking::enough)
      continue;
    all.push_back("\"" + other.id + "\"");
    if (other.id.starts_with(cable.id + " ")) same.push_back(all.back());
    if (!cable.series.empty() && other.series == cable.series) row.push_back(all.back());
  }
  return !same.empty() ? same : !row.empty() ? row : all;
}

/// "A, B or C".
std::string either(const std::vector<std::string>& names) {
  std::string text = listed(names);
  if (const auto last = text.rfind(" and "); last != std::string::npos)
    text.replace(last, 5, " or ");
  return text;
}

/// Names only what the catalogue has.
std::string other_jackets(const TradeView& view, const BadJackets& bad, trade::JacketSpace space,
                          const std::string& marks) {
  std::string text;
  for (const CableType* type : bad.types) {
    const auto others = in_its_place(view.job.catalogue, *type, space);
    text += others.empty() ? "The catalogue has nothing like " + type->id + " marked " + marks +
                                 ": find one, and name it with its \"jacket\" under \"cables\". "
                           : "Instead of " + type->id + " take " + either(others) + ". ";
  }
  return text;
}

void tell_jackets(const BadJackets& bad, Level level, const std::string& why,
                  const std::string& remedy, const std::string& limit, Findings& findings) {
  if (bad.runs.empty()) return;
  std::vector<std::string> ids;
  for (const CableType* type : bad.types) ids.push_back(type->id);
  tell(findings, "jacket", level, bad.runs.names.front(),
       runs_do(bad.runs.names, "lie") + why + " (" + listed(ids) + ").", bad.runs.where, remedy,
       {marks_of(bad.types), limit});
}

std::vector<const ListedHole*> holes_to_cut(const TradeView& view) {
  std::vector<const ListedHole*> all;
  for (const ListedHole& hole : view.written.plan.holes)
    if (!hole.existing) all.push_back(&hole);
  return all;
}

/// "3 holes, up to 41 mm".
std::string holes_text(const TradeView& view, const Gathered& holes) {
  const std::size_t count = holes.names.size();
  return std::to_string(count) + (count == 1 ? " hole of " : " holes, up to ") +
         view.small(holes.worst);
}

}  // namespace

void check_void_air(const TradeView& view, Findings& findings) {
  const TradePart* ceiling = nullptr;
  if (air_by_job(view, &ceiling) != HandlesAir::unknown || ceiling == nullptr) return;
  Gathered above;
  double metres = 0;
  for (const TradeCase& run : view.runs) {
    Vec3 where;
    const double inside = metres_in(view, run, "plenum", where);
    if (inside > 0) above.add(run.drawn->id, inside, where);
    metres += inside;
  }
  if (above.empty()) return;
  const std::string match = ceiling->rule == nullptr ? ceiling->part->name : ceiling->rule->match;
  tell(findings, "void-air", Level::should, ceiling->part->name,
       "Does the void above " + ceiling->part->name +
           " move air for heating or cooling, or is all air in ducts? " +
           runs_do(above.names, "lie") + " in it, and the job does not say.",
       above.where,
       "Ask whether return air is ducted, then say \"handles_air\": false (ducted, or no air) or "
       "true under \"parts\" at \"" +
           match + "\".",
       {view.length(metres) + " of cable in it", "the job says whether it moves air"});
}

void check_jackets(const TradeView& view, Findings& findings) {
  const TradePart* ceiling = nullptr;
  const bool air = air_by_job(view, &ceiling) == HandlesAir::yes;
  BadJackets in_air, in_void, unmarked;
  for (const TradeCase& run : view.runs) {
    if (!carries_signal(run) || run.spec->installed) continue;
    Vec3 where;
    const bool plenum = passes(view, run, "plenum", where);
    if (!plenum && !passes(view, run, "bay", where)) continue;
    const auto space =
        plenum && air ? trade::JacketSpace::air_void : trade::JacketSpace::ordinary_void;
    const Marking found = marking(*run.drawn->cable, space);
    if (found == Marking::enough) continue;
    if (plenum && air) {
      in_air.add(run, where);
    } else {
      (found == Marking::unknown ? unmarked : in_void).add(run, where);
    }
  }
  constexpr const char* kAirMarks = "CL2P, CL3P, CMP or OFNP";
  constexpr const char* kVoidMarks = "CL2, CL3, CM or OFN";
  tell_jackets(in_air, Level::must, " in a void that moves air without a plenum mark",
               other_jackets(view, in_air, trade::JacketSpace::air_void, kAirMarks) +
                   "Or keep out of that void.",
               kAirMarks, findings);
  tell_jackets(in_void, Level::should,
               view.told(" in a void or wall; X marks serve there only below 6.35 mm"),
               other_jackets(view, in_void, trade::JacketSpace::ordinary_void, kVoidMarks) +
                   "Or run it in raceway.",
               kVoidMarks, findings);
  tell_jackets(unmarked, Level::note,
               " in a void or wall, and no jacket mark that serves there is known",
               "Ask what your code wants there (CL2 or CM, a Euroclass), buy it so marked, and say "
               "\"jacket\" under \"cables\".",
               kVoidMarks, findings);
}

void check_fire_seal(const TradeView& view, Findings& findings) {
  Gathered rated, plates;
  for (const ListedHole& hole : view.written.plan.holes) {
    const TradePart* part = view.part_of_hole(hole);
    if (part != nullptr && part->rule != nullptr && part->rule->fire_rated)
      rated.add(hole.name, hole.diameter_m, hole.centre);
    else if (hole.kind == "plate hole")
      plates.add(hole.name, hole.diameter_m, hole.centre);
  }
  if (!rated.empty()) {
    tell(findings, "fire-seal", Level::should, rated.names.front(),
         "Holes in fire-rated parts: " + listed(rated.names) +
             ". Each needs a tested sealing system round its cables.",
         rated.where, "Ask for a listed system for this wall or ceiling and this bundle.",
         {holes_text(view, rated), "each sealed by a tested system"});
  }
  if (!plates.empty()) {
    tell(findings, "fire-seal", Level::note, plates.names.front(),
         "Holes through plates of stud walls: " + listed(plates.names) +
             ". They are sealed once the cables are in.",
         plates.where, "Fill them with fire-stopping material.",
         {holes_text(view, plates), "each sealed"});
  }
}

void check_old_material(const TradeView& view, Findings& findings) {
  const int year = view.job.building_year;
  if (year <= 0 || year >= trade::kAsbestosYear) return;
  Gathered cut;
  for (const ListedHole* hole : holes_to_cut(view)) cut.add(hole->name, 0, hole->centre);
  if (cut.empty()) return;
  tell(findings, "old-material", Level::should, cut.names.front(),
       "Built in " + std::to_string(year) + ": what is cut for " + listed(cut.names) +
           " may hold asbestos" + (year < trade::kLeadYear ? ", and its paint lead." : "."),
       cut.where, "Have tiles and coatings tested before anything is cut; do not drill until then.",
       {"built in " + std::to_string(year),
        year < trade::kLeadYear ? "paint " + std::to_string(trade::kLeadYear) + ", tiles " +
                                      std::to_string(trade::kAsbestosYear)
                                : std::to_string(trade::kAsbestosYear)});
}

}  // namespace roomloom::check
