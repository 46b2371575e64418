#include <algorithm>
#include <cmath>

#include "base/glob.h"
#include "base/nearest.h"
#include "base/steps.h"
#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

std::vector<std::string> names_of_ways(const Context& context) {
  std::vector<std::string> names = context.surfaces.surface_names();
  for (const Part& part : context.scene.parts)
    if (!part.name.empty()) names.push_back(part.name);
  for (const Void& v : context.room.voids) names.push_back(v.name);
  for (const Crossing& crossing : context.room.crossings) names.push_back(crossing.name);
  for (const Conduit& conduit : context.room.conduits) names.push_back(conduit.name);
  for (const Zone& zone : context.ends.zones) names.push_back(zone.name);
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  return names;
}

constexpr double kPlateEdge_m = 0.02;  ///< from a plate's middle to the stud, as in the tracks

bool takes_plate(const Crossing& plate, const Vec3& p) {
  const Vec2 at = plate.frame.to_plane(p);
  return contains(plate.region, at) && border_distance(plate.region, at) >= kPlateEdge_m &&
         std::none_of(plate.keep_outs.begin(), plate.keep_outs.end(),
                      [&](const SheetKeepOut& keep_out) { return contains(keep_out.ring, at); });
}

/// How far along the sheet from the end a plate has room, to the left negative; nothing where it
/// has room at the end itself, or no bay is near.
std::optional<double> shift_to_a_bay(const Context& context, const EndPlace& place) {
  constexpr double kStep_m = 0.01, kFarthest_m = 0.15;  // whole centimetres, as they are told
  const Vec3 along = context.surfaces.sheet(place.home.index).frame.u;
  const auto takes = [&](double shift) {
    return std::any_of(context.room.crossings.begin(), context.room.crossings.end(),
                       [&](const Crossing& one) {
                         return one.kind == CrossingKind::wall_plate && one.from == place.home &&
                                takes_plate(one, place.position + shift * along);
                       });
  };
  if (takes(0)) return std::nullopt;
  for (const double off : steps_below(kStep_m, kFarthest_m + 1e-9, kStep_m))
    for (const double side : {-off, off})
      if (takes(side)) return side;
  return std::nullopt;
}

/// What the job says of where an end lies, null where it is measured on no part.
const OnPart* measured_on(const Job& job, const std::string& end) {
  for (const EndSpec& spec : job.ends)
    if (spec.id == end) return std::get_if<OnPart>(&spec.place);
  for (const RunSpec& run : job.runs)
    if (run.to == end) return std::get_if<OnPart>(&run.end.place);
  return nullptr;
}

/// "3.00 m from Wall left", of the wall that one comes to in that direction; empty where none is.
std::string from_wall(const Context& context, const Vec3& p, const Vec3& toward) {
  const int wall = context.surfaces.nearest_wall(p, toward);
  if (wall < 0) return "";
  const Sheet& sheet = context.surfaces.sheet(wall);
  return context.length(sheet.frame.height(p)) + " from " + sheet.name;
}

}  // namespace

void tell_ends_on_level_sheets(Context& context) {
  std::string told;
  for (const End& end : context.ends.ends) {
    if (end.place.home.kind != PlaceKind::sheet) continue;
    const Sheet& sheet = context.surfaces.sheet(end.place.home.index);
    const OnPart* place = measured_on(context.job, end.id);
    if (place == nullptr || !place->up_m || !is_level(sheet)) continue;
    const Vec3 aside = (place->from_right_m ? 1 : -1) * sheet.frame.u;
    const std::string beside = from_wall(context, end.place.position, aside);
    const std::string behind =
        from_wall(context, end.place.position, -way_ahead(sheet) * sheet.frame.v);
    const std::string both = beside + (beside.empty() || behind.empty() ? "" : " and ") + behind;
    if (!both.empty()) told += (told.empty() ? "\"" : "; \"") + end.id + "\" " + both;
  }
  if (!told.empty())
    context.ends.guesses.push_back(
        {"Ends on floors and ceilings", told,
         "\"up\" counts there from the near edge, as one stands with the plan's y ahead",
         "another \"up\" of the end, or its \"xyz\""});
}

void tell_ends_on_studs(Context& context) {
  std::vector<Guess> told;
  for (const End& end : context.ends.ends) {
    if (end.place.home.kind != PlaceKind::sheet) continue;
    const auto shift = shift_to_a_bay(context, end.place);
    if (!shift) continue;
    told.push_back({"Way into the wall at \"" + end.id + "\"", "none: its cable lies on the wall",
                    "a stud or its edge is behind it, and no plate has room there",
                    "a place " + context.length(std::abs(*shift)) +
                        (*shift < 0 ? " farther left" : " farther right") +
                        ", over a bay; or \"studs\" of the wall's rule, if they stand elsewhere"});
  }
  context.ends.guesses.insert(context.ends.guesses.end(), told.begin(), told.end());
}

std::string room_reach(const Context& context) {
  const Box3& box = context.room.box;
  return "The room reaches from x " + context.length(box.low.x) + ", y " +
         context.length(box.low.y) + " to x " + context.length(box.high.x) + ", y " +
         context.length(box.high.y) + ".";
}

void check_way_names(Context& context) {
  std::vector<std::string> names;
  const auto check = [&](const std::vector<std::string>& words, const std::string& pointer) {
    if (!words.empty() && names.empty()) names = names_of_ways(context);
    for (const std::string& word : words)
      if (std::none_of(names.begin(), names.end(),
                       [&](const std::string& name) { return matches_pattern(word, name); }))
        context.problem(pointer, "place.name",
                        "No part, void or crossing is called \"" + word + "\".",
                        suggestion(word, names));
  };
  for (const RunSpec& run : context.job.runs) {
    check(run.via, run.pointer + "/via");
    check(run.avoid, run.pointer + "/avoid");
  }
}

}  // namespace roomloom::place

namespace roomloom {
namespace {

/// 0 where neither job nor catalogue says. What the job says is sold stands for what the catalogue
/// says.
double longest_piece(const CableType& cable, const Job& job) {
  double longest = 0;
  bool sold = false;
  for (const SpoolSpec& spool : job.spools) {
    if (spool.cable != cable.id) continue;
    longest = std::max(longest, spool.length_m);
    sold = sold || !spool.on_shelf;
  }
  if (!sold)
    for (const double length : cable.put_ups_m) longest = std::max(longest, length);
  return longest;
}

}  // namespace

std::vector<Error> short_cables(const Ends& ends, const Job& job) {
  std::vector<Error> problems;
  for (const Run& run : ends.runs) {
    const CableType& cable = job.catalogue.cables[static_cast<std::size_t>(run.cable)];
    const double longest = longest_piece(cable, job);
    const auto at = [&](int end) {
      return ends.ends[static_cast<std::size_t>(end)].place.position;
    };
    const double straight = distance(at(run.from), at(run.to));
    if (longest <= 0 || straight <= longest) continue;
    const std::string pointer = job.runs[static_cast<std::size_t>(run.spec)].pointer + "/cable";
    problems.push_back({"place.spool",
                        "The run \"" + run.id + "\" is " + format_length(straight, job.units, 2) +
                            " as the crow flies; the longest piece of \"" + cable.id + "\" is " +
                            format_length(longest, job.units, 2) + ".",
                        job.path.empty() ? pointer : job.path + " " + pointer,
                        "Choose another cable, or add a longer spool under \"stock\"."});
  }
  return problems;
}

}  // namespace roomloom
