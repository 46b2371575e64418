#include "report/record_check.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "base/vec.h"

namespace roomloom {
namespace {

// Common practice, no source: cable cuts corners a little; one who pulls may leave a long loop.
constexpr double kLeastOfDrawn = 0.85, kMostOfPlanned = 1.5, kMostMore_m = 2;
constexpr double kLeastOfStraight = 0.98;  ///< a tape sags and slips: common practice, no source
constexpr double kSameLead_m = 0.05, kShareOfLead = 0.02;  ///< makers' tolerances: from memory
/// No hole for a cable is narrower; wider ones than this, or than three times what was planned, are
/// openings. Common practice, no source.
constexpr double kNarrowest_m = 0.003, kWidest_m = 0.155, kMostTimesPlanned = 3;

std::string metres(double length_m) {
  return format_number(length_m, 2) + " m (" + format_number(length_m / 0.3048, 1) + " ft)";
}

std::string millimetres(double width_m) {
  return format_number(1000 * width_m, 1) + " mm (" + format_number(width_m / 0.0254, 2) + " in)";
}

Error implausible(const std::string& text, const std::string& where, const std::string& remedy) {
  return {"record.implausible", text, where,
          remedy + " If it is right all the same, record it with --anyway."};
}

constexpr const char* kLengthRemedy =
    "Check the tape and the unit: a number by itself is metres, \"41 ft\" is feet.";

/// Length of the ready-made lead that the plan gives a run; 0 = it is cut from a spool.
double lead_m(const Json& plan, const std::string& run) {
  const PlanList leads(plan, "leads");
  const Json* row = leads.row(run, leads.column("run"));
  if (row == nullptr) return 0;
  const Json& length = leads.cell(*row, "length_m");
  return length.is_number() ? length.get<double>() : 0;
}

/// How far the ends of a run are from each other in the plan; 0 where it does not tell.
double apart_m(const Json& plan, const std::string& run) {
  std::vector<Vec3> places;
  for (const Json& one : plan.at("runs"))
    for (const char* side : {"from", "to"})
      for (const Json& end : plan.at("ends"))
        if (one.at("id") == run && end.at("id") == one.at(side) && end.contains("at"))
          places.push_back({end.at("at").at(0), end.at("at").at(1), end.at("at").at(2)});
  return places.size() == 2 ? distance(places[0], places[1]) : 0;
}

double spool_length_m(const Json& plan, const std::string& name) {
  const PlanList spools(plan, "spools");
  const Json* row = spools.row(name);
  return row == nullptr ? 0 : spools.cell(*row, "length_m").get<double>();
}

/// The entry of a list that goes by a name; null where there is none.
const Json* entry_named(const Json& record, const char* list, const char* key,
                        const std::string& name) {
  const auto found = record.find(list);
  if (found == record.end() || !found->is_array()) return nullptr;
  for (const Json& one : *found)
    if (one.is_object() && one.value(key, "") == name) return &one;
  return nullptr;
}

std::string was_and_is(const std::string& what, const std::string& was, const std::string& is) {
  return what + (was == is ? " was recorded before, as " + is : " was " + was + ", is now " + is);
}

}  // namespace

std::vector<std::string> said_again(const Json& before, const Json& after, const Recording& what) {
  std::vector<std::string> words;
  const Json* old = entry_named(before, "runs", "run", what.run);
  const Json* now = entry_named(after, "runs", "run", what.run);
  if (!what.run.empty() && old != nullptr && now != nullptr)
    words.push_back(
        was_and_is("run " + what.run, metres(length_of(*old)), metres(length_of(*now))));
  for (const std::string& name : what.holes) {
    old = entry_named(before, "holes", "name", name);
    now = entry_named(after, "holes", "name", name);
    if (old != nullptr && now != nullptr)
      words.push_back(was_and_is("hole " + name, millimetres(old->value("diameter_m", 0.0)),
                                 millimetres(now->value("diameter_m", 0.0))));
  }
  for (const std::string& name : what.raceway)
    if (entry_named(before, "raceway", "name", name) != nullptr)
      words.push_back("raceway " + name + " was recorded before");
  return words;
}

double length_of(const Json& run) {
  return run.contains("measured")
             ? run.at("measured").get<double>()
             : std::abs(run.value("mark_end", 0.0) - run.value("mark_start", 0.0));
}

Recording measured_or_lead(const Json& plan, const Recording& what) {
  Recording told = what;
  const double lead = lead_m(plan, what.run);
  if (lead > 0 && !what.measured_m && !(what.mark_start_m && what.mark_end_m))
    told.measured_m = lead;
  return told;
}

Status plausible_length(const Json& plan, const Recording& what, double measured_m) {
  if (what.anyway) return Done{};
  const std::string told = metres(measured_m);
  if (const double lead = lead_m(plan, what.run); lead > 0) {
    if (std::abs(measured_m - lead) <= kSameLead_m + kShareOfLead * lead) return Done{};
    return implausible(told + " is implausible: " + what.run + " is a ready-made lead of " +
                           metres(lead) + ", which is taken whole.",
                       what.run, "Leave its length out, or name the lead that it is: --spool.");
  }
  if (const double apart = apart_m(plan, what.run); measured_m < kLeastOfStraight * apart)
    return implausible(told + " is implausible: it is less than the straight line. The ends of " +
                           what.run + " are " + metres(apart) + " apart as the crow flies.",
                       what.run, kLengthRemedy);
  for (const Json& run : plan.at("runs")) {
    if (run.at("id") != what.run || !run.value("routed", false)) continue;
    const double drawn = run.at("drawn_m"), planned = run.at("cut_m");
    if (measured_m < kLeastOfDrawn * drawn)
      return implausible(told + " is implausible: the way of " + what.run + " is drawn " +
                             metres(drawn) + " long, and cable reaches no farther than it is long.",
                         what.run, kLengthRemedy);
    if (measured_m > kMostOfPlanned * std::max(planned, drawn) + kMostMore_m)
      return implausible(told + " is implausible: " + what.run + " is planned to be cut " +
                             metres(planned) + " long.",
                         what.run, kLengthRemedy);
  }
  const std::string spool = what.spool.empty() ? spool_of(plan, what.run) : what.spool;
  const double whole = spool.empty() ? 0 : spool_length_m(plan, spool);
  if (whole > 0 && measured_m > whole + 1e-3)
    return implausible(told + " is implausible: spool " + spool + " is " + metres(whole) + " long.",
                       what.run, "Name the spool that it was cut from: --spool A2.");
  return Done{};
}

Status spool_holds(const Json& record, const Recording& what) {
  if (what.anyway) return Done{};
  Json spool;
  for (const Json& run : record.at("runs"))
    if (run.value("run", "") == what.run && run.contains("spool")) spool = run.at("spool");
  if (spool.is_null()) return Done{};
  double sum = 0;
  for (const Json& run : record.at("runs"))
    if (run.contains("spool") && run.at("spool").value("plan", "") == spool.value("plan", "") &&
        run.at("spool").value("name", "") == spool.value("name", ""))
      sum += length_of(run);
  const double whole = spool.value("length", 0.0);
  // A tape is not exact, and nor is what a spool says that it holds.
  if (whole <= 0 || sum <= 1.01 * whole + 0.1) return Done{};
  return implausible("More is recorded from spool " + spool.value("name", "") +
                         " than it holds: " + metres(sum) + " of " + metres(whole) + ".",
                     what.run, "Name the spool that it was cut from: --spool A2.");
}

Status plausible_width(const std::string& hole, double width_m, double planned_m, bool anyway) {
  if (!(width_m > 0))
    return Error{"record.length", "A hole is wider than nothing.", hole,
                 "Give its width: --hole " + hole + "=29mm"};
  const double widest = std::max(kWidest_m, kMostTimesPlanned * planned_m);
  if (anyway || (width_m >= kNarrowest_m && width_m <= widest)) return Done{};
  return implausible(millimetres(width_m) + " is implausible as the width of " + hole +
                         ", planned " + millimetres(planned_m) + ".",
                     hole,
                     "A number by itself is millimetres: " + hole + "=29, " + hole + "=29mm, " +
                         hole + "=1.25in.");
}

}  // namespace roomloom
