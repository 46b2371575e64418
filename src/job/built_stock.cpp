#include "job/built_stock.h"

#include <algorithm>
#include <functional>
#include <map>
#include <set>

#include "job/item_cut_from.h"

namespace roomloom {
namespace {

/// One cut, from the spool or length that a plan calls by that name.
struct Cut {
  std::string plan, name, kind, colour;
  double whole_m = 0;  ///< of the spool or length, as that plan found it
  double taken_m = 0;
  bool from_shelf = false;
};

/// A spool or length that was begun.
struct Begun {
  std::string kind, colour;
  double left_m = 0;
  std::vector<double> was_m;    ///< left after each cut
  std::set<std::string> plans;  ///< that cut from it
  double longer_m = 0;          ///< than the record has it, by the job's list of now
};

/// Which of those begun before a plan found on the shelf: as long as it is now, or, where the plan
/// before was recorded by once more since, as it was. Null if it was none of them.
Begun* rest_found(std::vector<Begun>& begun, const Cut& cut) {
  Begun* once = nullptr;
  for (Begun& one : begun) {
    if (one.kind != cut.kind || one.colour != cut.colour || one.plans.contains(cut.plan)) continue;
    // A plan that was made before the job's list was corrected found it as the record has it.
    const auto found = [&](double left_m) {
      return same_length(left_m, cut.whole_m) || same_length(left_m + one.longer_m, cut.whole_m);
    };
    if (found(one.left_m)) return &one;
    const bool was = std::any_of(one.was_m.begin(), one.was_m.end(), found);
    if (was && once == nullptr) once = &one;
  }
  return once;
}

/// All that was begun, in the order of recording.
/// @param take_whole  takes one off the shelf that no one had cut from before; its length
std::vector<Begun> all_begun(const std::vector<Cut>& cuts,
                             const std::function<double(const Cut&)>& take_whole) {
  std::vector<Begun> begun;
  std::map<std::pair<std::string, std::string>, std::size_t> known;  // by plan and name
  for (const Cut& cut : cuts) {
    const auto [found, fresh] = known.try_emplace({cut.plan, cut.name}, begun.size());
    if (Begun* rest = fresh && cut.from_shelf ? rest_found(begun, cut) : nullptr) {
      found->second = static_cast<std::size_t>(rest - begun.data());
    } else if (fresh) {
      const double longer_m = cut.from_shelf ? take_whole(cut) - cut.whole_m : 0;
      begun.push_back({cut.kind, cut.colour, cut.whole_m, {}, {}, longer_m});
    }
    Begun& own = begun[found->second];
    own.plans.insert(cut.plan);
    own.left_m -= cut.taken_m;
    own.was_m.push_back(own.left_m);
  }
  for (Begun& one : begun) one.left_m += one.longer_m;
  return begun;
}

/// Takes off a list the item that was cut from, and tells if it is not as the record has it.
template <typename Item, typename IsAlike>
double taken_off(std::vector<Item>& list, const Cut& cut, const IsAlike& is_alike, Job& job) {
  const auto own = item_cut_from(list, cut.whole_m, cut.taken_m, is_alike);
  const bool found = own != list.end();
  const double length_m = found ? own->length_m : cut.whole_m;
  if (!found || !same_length(length_m, cut.whole_m))
    job.origin.notes.push_back(
        unlisted_text(cut.name, cut.whole_m, cut.kind, cut.colour, "the job's stock", job.units) +
        taken_instead_text(found ? length_m : 0, job.units) +
        " List what the record was begun with; what is gone since is recorded: record --spool.");
  if (found && --own->count == 0) list.erase(own);
  return length_m;
}

}  // namespace

void return_leftovers(const AsBuilt& built, Job& job) {
  std::vector<Cut> cuts;
  for (const BuiltRun& run : built.runs)
    if (!run.spool.empty() && run.spool_m > 0 && !run.in_house)
      cuts.push_back({run.plan, run.spool, run.cable, run.colour, run.spool_m, run.measured_m,
                      run.from_shelf});
  const std::vector<Begun> spools = all_begun(cuts, [&](const Cut& cut) {
    return taken_off(
        job.spools, cut,
        [&](const SpoolSpec& spool) {
          return spool.on_shelf && spool.cable == cut.kind &&
                 (spool.colour.empty() || spool.colour == cut.colour);
        },
        job);
  });
  for (const Begun& begun : spools) {
    const CableType* cable = job.catalogue.cable(begun.kind);
    const bool lead = cable != nullptr && cable->head_width_m > 0;  // with its connectors: used up
    if (lead || begun.left_m < kShortestLeft_m) continue;
    SpoolSpec& rest = job.spools.emplace_back();
    rest.cable = begun.kind;
    rest.colour = begun.colour;
    rest.length_m = begun.left_m;
  }
}

void return_raceway(const AsBuilt& built, Job& job) {
  std::vector<RacewayStock>& shelf = job.work.raceway;
  std::vector<Cut> cuts;
  for (const BuiltRaceway& piece : built.raceway)
    if (!piece.stock.empty() && piece.stock_m > 0 && !piece.in_house)
      cuts.push_back({piece.plan, piece.stock, piece.raceway, "", piece.stock_m, piece.cut_m,
                      piece.from_shelf});
  const std::vector<Begun> lengths = all_begun(cuts, [&](const Cut& cut) {
    return taken_off(
        shelf, cut, [&](const RacewayStock& one) { return one.raceway == cut.kind; }, job);
  });
  for (const Begun& begun : lengths)
    if (begun.left_m >= kShortestRaceway_m) shelf.push_back({begun.kind, begun.left_m, 1});
}

}  // namespace roomloom
