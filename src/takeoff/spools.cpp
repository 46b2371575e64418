#include "takeoff/spools.h"

#include <algorithm>
#include <compare>

#include "cutting/cutting.h"
#include "takeoff/cells.h"
#include "takeoff/colours.h"

namespace roomloom {
namespace {

/// Something a run can be cut from: pieces on the shelf, or what is sold.
struct Offer {
  double length_m = 0;
  double price = 0;
  std::string colour;
  bool on_shelf = false;
  int count = 0;  ///< on the shelf
};

struct Wanted {
  std::size_t row = 0;  ///< into Takeoff::runs
  double length_m = 0;
};

/// Runs of one cable that take the same stock.
struct Demand {
  std::string colour;  ///< empty: any
  std::vector<Wanted> runs;
};

/// What became of a demand: bars, by offer.
struct Share {
  struct Bar {
    Offer offer;
    std::vector<Wanted> runs;
    double left_m = 0;
  };
  std::vector<Bar> bars;
  std::vector<Wanted> too_long;
  double price = 0;   ///< what must be paid
  double weight = 0;  ///< what was made least: the price, or metres where none is known
  bool proven = true;
};

bool fits_colour(const std::string& wish, const std::string& colour) {
  return wish.empty() || colour.empty() || wish == colour;
}

std::vector<Offer> offers_of(const CableType& cable, const std::string& wish, const Job& job) {
  std::vector<Offer> offers;
  bool sold = false;
  for (const SpoolSpec& spool : job.spools) {
    if (spool.cable != cable.id || spool.length_m <= 0) continue;
    sold = sold || !spool.on_shelf;
    if (fits_colour(wish, spool.colour))
      offers.push_back({spool.length_m, spool.price, spool.colour, spool.on_shelf, spool.count});
  }
  if (sold) return offers;
  const std::string colour = !wish.empty() ? wish : colour_by_service(cable.service, cable.colours);
  for (const double length : cable.put_ups_m)
    offers.push_back({length, length * cable.price_per_m, colour, false, 0});
  return offers;
}

/// Without prices the least cable is bought.
double weight_of(const Offer& offer, bool priced) {
  return offer.on_shelf ? 0 : priced ? offer.price : offer.length_m;
}

bool any_price(const std::vector<Offer>& offers) {
  return std::any_of(offers.begin(), offers.end(),
                     [](const Offer& offer) { return !offer.on_shelf && offer.price > 0; });
}

void take_out_too_long(std::vector<Wanted>& runs, const std::vector<Offer>& offers,
                       std::vector<Wanted>& too_long) {
  double longest = 0;
  for (const Offer& offer : offers) longest = std::max(longest, offer.length_m);
  std::erase_if(runs, [&](const Wanted& run) {
    if (run.length_m <= longest) return false;
    too_long.push_back(run);
    return true;
  });
}

CutJob cut_job(const std::vector<Wanted>& runs, const std::vector<Offer>& offers,
               const Takeoff& takeoff) {
  CutJob job;
  for (const Wanted& run : runs) job.pieces.push_back({takeoff.runs[run.row].id, run.length_m});
  const bool priced = any_price(offers);
  for (std::size_t i = 0; i < offers.size(); ++i) {
    CutStock stock;
    stock.id = std::to_string(i);
    stock.length_m = offers[i].length_m;
    stock.price = weight_of(offers[i], priced);
    stock.on_shelf = offers[i].on_shelf;
    if (offers[i].on_shelf) stock.available = offers[i].count;
    job.stock.push_back(stock);
  }
  return job;
}

/// Where it costs no more and takes no more spools, each is left with the contingency of its
/// length.
CutPlan with_something_left(CutJob job, const CutPlan& plan, double contingency) {
  if (!plan.proven) return plan;
  for (const CutStock& stock : job.stock)
    job.minimum_remainder_m = std::max(job.minimum_remainder_m, contingency * stock.length_m);
  const Result<CutPlan> roomier = plan_cuts(job);
  const bool as_good = roomier && roomier->proven && roomier->cost <= plan.cost &&
                       roomier->bars.size() <= plan.bars.size();
  return as_good ? *roomier : plan;
}

/// The shelf may be too short where nothing more is sold: the longest runs are then left out, one
/// by one, and told.
Share share_out(std::vector<Wanted> runs, const std::vector<Offer>& offers, const Takeoff& takeoff,
                double contingency) {
  Share share;
  take_out_too_long(runs, offers, share.too_long);
  while (!runs.empty()) {
    const CutJob job = cut_job(runs, offers, takeoff);
    Result<CutPlan> plan = plan_cuts(job);
    if (plan) plan = with_something_left(job, *plan, contingency);
    if (!plan) {
      const auto longest = std::max_element(
          runs.begin(), runs.end(),
          [](const Wanted& a, const Wanted& b) { return a.length_m < b.length_m; });
      share.too_long.push_back(*longest);
      share.proven = false;
      runs.erase(longest);
      continue;
    }
    for (const CutBar& bar : plan->bars) {
      Share::Bar used{element(offers, bar.stock), {}, bar.remainder_m};
      for (const int piece : bar.pieces) used.runs.push_back(element(runs, piece));
      if (!used.offer.on_shelf) share.price += used.offer.price;
      share.bars.push_back(std::move(used));
    }
    share.weight = plan->cost;
    share.proven = share.proven && plan->proven;
    break;
  }
  return share;
}

/// A ready-made lead serves one run. The longest runs choose first from the shelf, the shortest
/// lead that is long enough: the leads that fit a run fit every shorter one, and no run costs less
/// to buy for than a shorter one, so that this saves most (the greedy rule of nested matchings).
Share share_out_leads(std::vector<Wanted> runs, std::vector<Offer> offers) {
  Share share;
  std::stable_sort(runs.begin(), runs.end(),
                   [](const Wanted& a, const Wanted& b) { return a.length_m > b.length_m; });
  const bool priced = any_price(offers);
  for (const Wanted& run : runs) {
    const Offer* best = nullptr;
    for (const Offer& offer : offers) {
      if (offer.on_shelf || offer.length_m < run.length_m) continue;
      if (best == nullptr || weight_of(offer, priced) < weight_of(*best, priced) ||
          (weight_of(offer, priced) == weight_of(*best, priced) && offer.length_m < best->length_m))
        best = &offer;
    }
    Offer* shelf = nullptr;
    for (Offer& offer : offers)
      if (offer.on_shelf && offer.count > 0 && offer.length_m >= run.length_m &&
          (shelf == nullptr || offer.length_m < shelf->length_m))
        shelf = &offer;
    if (shelf != nullptr) {
      --shelf->count;
      share.bars.push_back({*shelf, {run}, shelf->length_m - run.length_m});
    } else if (best != nullptr) {
      share.price += best->price;
      share.weight += weight_of(*best, priced);
      share.bars.push_back({*best, {run}, best->length_m - run.length_m});
    } else {
      share.too_long.push_back(run);
    }
  }
  return share;
}

class SpoolPlanner {
 public:
  SpoolPlanner(Takeoff& takeoff, const std::vector<JacketWish>& wishes, const Ends& ends,
               const Job& job)
      : takeoff_(takeoff), wishes_(wishes), ends_(ends), job_(job) {}

  void run() {
    std::vector<int> cables;  // in the order of their first run
    for (const RunRow& row : takeoff_.runs) {
      const int cable = element(ends_.runs, row.run).cable;
      if (!row.routed || row.lies()) continue;
      if (std::find(cables.begin(), cables.end(), cable) == cables.end()) cables.push_back(cable);
    }
    for (std::size_t i = 0; i < cables.size(); ++i) plan_cable(cables[i], letters(i));
    for (const CableTotal& total : takeoff_.totals) takeoff_.cut_m += total.cut_m;
  }

 private:
  static std::string letters(std::size_t index) {
    std::string name(1, static_cast<char>('A' + index % 26));
    return index < 26 ? name : letters(index / 26 - 1) + name;
  }

  /// Shares a demand out over what others leave on the shelf.
  Share shared(const Demand& demand, const std::vector<Share>& others,
               const CableType& cable) const {
    std::vector<Offer> offers = offers_of(cable, demand.colour, job_);
    for (const Share& share : others)
      for (const Share::Bar& bar : share.bars)
        if (bar.offer.on_shelf) take_one(offers, bar.offer);
    std::erase_if(offers, [](const Offer& offer) { return offer.on_shelf && offer.count <= 0; });
    return cable.head_width_m > 0
               ? share_out_leads(demand.runs, offers)
               : share_out(demand.runs, offers, takeoff_, job_.prefer.contingency);
  }

  static void take_one(std::vector<Offer>& offers, const Offer& taken) {
    for (Offer& offer : offers) {
      if (!offer.on_shelf || offer.count <= 0 || offer.colour != taken.colour ||
          offer.length_m != taken.length_m)
        continue;
      --offer.count;
      return;
    }
  }

  std::vector<Demand> demands_of(int cable) const {
    std::vector<Demand> demands;
    for (std::size_t i = 0; i < takeoff_.runs.size(); ++i) {
      const RunRow& row = takeoff_.runs[i];
      if (!row.routed || row.lies() || element(ends_.runs, row.run).cable != cable) continue;
      const std::string& colour = wishes_[i].colour;
      auto found = std::find_if(demands.begin(), demands.end(),
                                [&](const Demand& demand) { return demand.colour == colour; });
      if (found == demands.end()) found = demands.insert(demands.end(), {colour, {}});
      found->runs.push_back({i, row.cut_m});
    }
    // Runs that must have a colour come before those that take any.
    std::stable_sort(demands.begin(), demands.end(), [](const Demand& a, const Demand& b) {
      return !a.colour.empty() && b.colour.empty();
    });
    return demands;
  }

  /// Runs that take any colour are tried by themselves, and together with those of each colour.
  std::vector<Share> best_way(const std::vector<Demand>& demands, const CableType& cable) const {
    std::vector<std::vector<Share>> ways{shares_of(demands, cable)};
    if (demands.size() > 1 && demands.back().colour.empty()) {
      for (std::size_t with = 0; with + 1 < demands.size(); ++with) {
        std::vector<Demand> joined(demands.begin(), demands.end() - 1);
        joined[with].runs.insert(joined[with].runs.end(), demands.back().runs.begin(),
                                 demands.back().runs.end());
        ways.push_back(shares_of(joined, cable));
      }
    }
    const auto best = std::min_element(
        ways.begin(), ways.end(), [](const auto& a, const auto& b) { return sum(a) < sum(b); });
    if (demands.size() > 1) prove(*best, demands, cable);
    return std::move(*best);
  }

  std::vector<Share> shares_of(const std::vector<Demand>& demands, const CableType& cable) const {
    std::vector<Share> way;
    for (const Demand& demand : demands) way.push_back(shared(demand, way, cable));
    return way;
  }

  struct Sum {
    std::size_t too_long = 0;
    double weight = 0;
    std::size_t bars = 0;
    auto operator<=>(const Sum&) const = default;
  };
  static Sum sum(const std::vector<Share>& way) {
    Sum all;
    for (const Share& share : way) {
      all.too_long += share.too_long.size();
      all.weight += share.weight;
      all.bars += share.bars.size();
    }
    return all;
  }

  /// With several colours, a way is proven where it costs no more than if colours were free.
  void prove(std::vector<Share>& way, const std::vector<Demand>& demands,
             const CableType& cable) const {
    Demand all;
    for (const Demand& demand : demands)
      all.runs.insert(all.runs.end(), demand.runs.begin(), demand.runs.end());
    const Share free = shared(all, {}, cable);
    const Sum made = sum(way);
    const bool proven =
        free.proven && made.weight <= free.weight + 1e-9 && made.bars <= free.bars.size();
    for (Share& share : way) share.proven = proven;
  }

  void plan_cable(int index, const std::string& letter) {
    const CableType& cable = element(job_.catalogue.cables, index);
    int number = 0;
    for (const Share& share : best_way(demands_of(index), cable)) {
      for (const Share::Bar& bar : share.bars)
        add_spool(bar, share, cable, letter + std::to_string(++number));
      for (const Wanted& run : share.too_long) {
        const RunRow& row = takeoff_.runs[run.row];
        CableTotal& total = total_of(wishes_[run.row].colour, cable);
        count(total, row);
        total.too_long.push_back(row.id);
        total.proven = false;
      }
    }
  }

  CableTotal& total_of(const std::string& colour, const CableType& cable) {
    for (CableTotal& total : takeoff_.totals)
      if (total.cable == cable.id && total.colour == colour) return total;
    CableTotal total;
    total.cable = cable.id;
    total.colour = colour;
    total.service = cable.service;
    total.shelf_enough = total.proven = true;
    for (const SpoolSpec& spool : job_.spools)
      if (spool.cable == cable.id && spool.on_shelf && fits_colour(colour, spool.colour))
        total.shelf_m += spool.count * spool.length_m;
    takeoff_.totals.push_back(total);
    return takeoff_.totals.back();
  }

  static std::string why_of(const JacketWish& wish, const Offer& offer) {
    const std::string from = offer.on_shelf ? "from the shelf" : "bought";
    if (!wish.why.empty()) return wish.why + "; " + from;
    if (offer.colour.empty()) return "";
    return offer.on_shelf ? "hidden: what lies on the shelf" : "hidden: bought by service";
  }

  static void count(CableTotal& total, const RunRow& row) {
    ++total.runs;
    total.drawn_m += row.drawn_m;
    total.cut_m += row.cut_m;
    total.longest_m = std::max(total.longest_m, row.cut_m);
  }

  void add_spool(const Share::Bar& bar, const Share& share, const CableType& cable,
                 const std::string& name) {
    const bool unnamed = bar.offer.colour.empty();
    const std::string colour = unnamed ? wishes_[bar.runs.front().row].colour : bar.offer.colour;
    Spool spool;
    spool.name = name;
    spool.cable = cable.id;
    spool.colour = colour;
    spool.length_m = bar.offer.length_m;
    spool.on_shelf = bar.offer.on_shelf;
    spool.price = bar.offer.on_shelf ? 0 : bar.offer.price;
    spool.lead = cable.head_width_m > 0;
    spool.left_m = bar.left_m;
    CableTotal& total = total_of(colour, cable);
    double drawn = 0;
    for (const Wanted& run : bar.runs) {
      RunRow& row = takeoff_.runs[run.row];
      row.colour = colour;
      row.colour_why = why_of(wishes_[run.row], bar.offer);
      if (spool.lead) row.lead_m = spool.length_m;
      spool.cuts.push_back({row.run, row.id, run.length_m});
      drawn += row.drawn_m;
      count(total, row);
    }
    spool.nearly_out = !spool.lead && bar.left_m < job_.prefer.contingency * drawn - 1e-9;
    ++total.spools;
    total.put_up_m = std::max(total.put_up_m, spool.length_m);
    total.left_over_m += spool.left_m;
    total.price += spool.price;
    total.shelf_enough = total.shelf_enough && spool.on_shelf;
    total.proven = total.proven && share.proven;
    takeoff_.spools.push_back(std::move(spool));
  }

  Takeoff& takeoff_;
  const std::vector<JacketWish>& wishes_;
  const Ends& ends_;
  const Job& job_;
};

}  // namespace

void plan_spools(Takeoff& takeoff, const std::vector<JacketWish>& wishes, const Ends& ends,
                 const Job& job) {
  SpoolPlanner(takeoff, wishes, ends, job).run();
  for (CableTotal& total : takeoff.totals)
    total.shelf_enough = total.shelf_enough && total.too_long.empty();
}

}  // namespace roomloom
