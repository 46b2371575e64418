#include "takeoff/shopping.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/bundle.h"
#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/high_work.h"
#include "takeoff/holes.h"

namespace roomloom {
namespace {

/// INVENTED prices of small things; a job's "prices" overrule them.
constexpr std::array<std::pair<const char*, double>, 14> kPrices = {{
    {"network plug", 0.6},
    {"network jack", 4.5},
    {"loudspeaker plug", 3},
    {"phono plug", 3},
    {"3-pin audio plug", 4},
    {"F plug", 1},
    {"aerial socket", 4},
    {"fibre connector", 6},
    {"terminal block", 1},
    {"picture plug", 8},
    {"wall box", 3},
    {"screw and plug", 0.1},
    {"hook-and-loop tie", 0.2},
    {"label", 0.1},
}};
constexpr const char* kHung = "Holes and supports";
constexpr double kPlate = 2, kPlatePort = 1.5;  // invented

class Buyer {
 public:
  explicit Buyer(const Job& job) : job_(job) {}

  void add(const std::string& section, const std::string& item, double count,
           const std::string& unit, double price, bool invented = true) {
    if (count <= 0) return;
    for (const ItemPrice& own : job_.work.prices)
      if (own.item == item) {
        price = own.price;
        invented = false;
      }
    for (Purchase& purchase : purchases_)
      if (purchase.section == section && purchase.item == item && purchase.unit == unit &&
          purchase.price == price) {
        purchase.count += count;
        return;
      }
    purchases_.push_back({section, item, count, unit, price, invented});
  }

  void add_small(const std::string& section, const std::string& item, double count) {
    double price = 0;
    for (const auto& [name, invented] : kPrices)
      if (item == name) price = invented;
    add(section, item, count, "piece", price);
  }

  std::vector<Purchase> take() { return std::move(purchases_); }

 private:
  const Job& job_;
  std::vector<Purchase> purchases_;
};

/// Whether the job itself says what such a spool costs.
bool offered(const Spool& spool, const Job& job) {
  return std::any_of(job.spools.begin(), job.spools.end(), [&](const SpoolSpec& offer) {
    return !offer.on_shelf && offer.cable == spool.cable && offer.length_m == spool.length_m &&
           offer.price == spool.price;
  });
}

void buy_cable(Buyer& buyer, const Takeoff& takeoff, const Job& job) {
  for (const Spool& spool : takeoff.spools) {
    if (spool.on_shelf) continue;
    buyer.add("Cable", spool.cable + (spool.colour.empty() ? "" : ", " + spool.colour), 1,
              (spool.lead ? "lead of " : "spool of ") + format_length(spool.length_m, job.units, 1),
              spool.price, !offered(spool, job));
  }
}

void buy_raceway(Buyer& buyer, const Takeoff& takeoff, const Job& job) {
  for (const RacewayRow& row : takeoff.raceways) {
    double price = 0;
    for (const RacewayType& type : job.catalogue.raceways)
      if (type.id == row.raceway) price = type.price_per_m * type.stock_length_m;
    buyer.add("Raceway", "raceway " + row.raceway, row.to_buy,
              "length of " + format_length(row.stock_length_m, job.units, 1), price);
  }
  for (const RacewayFitting& fitting : takeoff.raceway_fittings)
    buyer.add("Raceway", fitting.kind + " " + fitting.raceway, fitting.count, "piece",
              fitting.price);
  double screws = 0;
  for (const RacewayPiece& piece : takeoff.raceway_pieces)
    if (!piece.fixed) screws += piece.fixings;
  buyer.add_small("Small parts", "screw and plug", screws);
}

/// In lengths of a metre, as wide and high inside as its cables ask.
void buy_ramps(Buyer& buyer, const Takeoff& takeoff, const Job& job) {
  constexpr double kPrice = 15, kLength_m = 1;  // invented
  constexpr const char* kItem = "floor cable ramp";
  double price = kPrice;
  bool invented = true;
  for (const ItemPrice& own : job.work.prices)
    if (own.item == kItem) {
      price = own.price;
      invented = false;
    }
  const auto at_least = [&](double size_m) {
    return size_text(1e-3 * std::ceil(1e3 * size_m - 1e-6), job.units);
  };
  for (const RampRow& ramp : takeoff.ramps)
    if (!ramp.there)
      buyer.add("Raceway",
                std::string(kItem) + ", inside " + at_least(ramp.inside_width_m) + " x " +
                    at_least(ramp.inside_m),
                std::ceil(ramp.length_m / kLength_m - 1e-9),
                "length of " + format_length(kLength_m, job.units, 1), price, invented);
}

/// The smallest hook that takes the cables, or what the job says a support costs.
void buy_hook(Buyer& buyer, const std::vector<double>& diameters, const Job& job) {
  const double bundle = bundle_diameter(diameters);
  for (const HookType& hook : job.catalogue.hooks)
    if (hook.bundle_m >= bundle) return buyer.add(kHung, hook.id, 1, "piece", hook.price);
  buyer.add(kHung, "support", 1, "piece", job.prefer.support_price);
}

/// Runs that lie already have their holes and supports there.
bool all_lie(const std::vector<int>& runs, const Vec3& at, const Takeoff& takeoff, const Ends& ends,
             const Job& job) {
  return std::all_of(runs.begin(), runs.end(), [&](int run) {
    return needs_nothing_at(element(takeoff.runs, run), at, ends, job.as_built);
  });
}

/// A coil hangs on a support of its own: one that holds its turns.
void buy_coil_hooks(Buyer& buyer, const std::vector<Termination>& terminations, const Ends& ends,
                    const Job& job) {
  constexpr double kTurn_m = 0.8;  // of a coil of 0.25 m: common practice, no source
  const auto turns = static_cast<std::size_t>(std::ceil(job.prefer.coil_m / kTurn_m));
  for (const Termination& one : terminations) {
    if (one.state != "leave coiled") continue;
    const double thick =
        element(job.catalogue.cables, element(ends.runs, one.run).cable).diameter_m;
    buy_hook(buyer, std::vector<double>(std::max<std::size_t>(1, turns), thick), job);
  }
}

void buy_holes(Buyer& buyer, const Takeoff& takeoff, const CableShapes& shapes, const Ends& ends,
               const Job& job) {
  for (std::size_t i = 0; i < takeoff.holes.size(); ++i) {
    if (takeoff.holes[i].existing || takeoff.holes[i].cut_already ||
        all_lie(shapes.holes[i].runs, shapes.holes[i].centre, takeoff, ends, job))
      continue;
    if (shapes.holes[i].grommet < 0) continue;
    const GrommetType& grommet = element(job.catalogue.grommets, shapes.holes[i].grommet);
    buyer.add(kHung, grommet.id, 1, "piece", grommet.price);
  }
  for (const SupportShape& support : shapes.supports) {
    if (on_recorded_way(support.at, job.as_built) ||
        all_lie(support.runs, support.at, takeoff, ends, job))
      continue;
    std::vector<double> diameters;
    for (const int run : support.runs)
      diameters.push_back(element(job.catalogue.cables, element(ends.runs, run).cable).diameter_m);
    buy_hook(buyer, diameters, job);
  }
}

void buy_ends(Buyer& buyer, const Takeoff& takeoff, const std::vector<Termination>& terminations) {
  for (const Termination& one : terminations) {
    buyer.add_small("Ends", one.connector, one.count);
    if (one.box_kind.empty()) continue;
    double ports = 0;
    for (const Termination& other : terminations) ports += other.box == one.box ? 1 : 0;
    buyer.add_small("Ends", "wall box", 1);
    buyer.add("Ends", "plate with " + format_number(ports, 0) + (ports == 1 ? " port" : " ports"),
              1, "piece", kPlate + kPlatePort * ports);
  }
  double labels = 0, ties = 0;
  for (const RunRow& row : takeoff.runs) labels += row.routed && !row.installed ? 2 : 0;
  for (const WorkStep& step : takeoff.steps) ties += step.task == "tie a bundle" ? step.count : 0;
  buyer.add_small("Small parts", "hook-and-loop tie", ties);
  buyer.add_small("Small parts", "label", labels);
}

double sum_of(const std::vector<Purchase>& purchases, const std::string& section) {
  double sum = 0;
  for (const Purchase& purchase : purchases)
    if (purchase.section == section) sum += purchase.total();
  return sum;
}

/// To the cent, as each line of a list is read.
double cents(double money) { return std::round(100 * money) / 100; }

}  // namespace

std::vector<Purchase> purchases_of(const Takeoff& takeoff,
                                   const std::vector<Termination>& terminations,
                                   const CableShapes& shapes, const Ends& ends, const Job& job) {
  Buyer buyer(job);
  buy_cable(buyer, takeoff, job);
  buy_raceway(buyer, takeoff, job);
  buy_ramps(buyer, takeoff, job);
  buy_holes(buyer, takeoff, shapes, ends, job);
  buy_coil_hooks(buyer, terminations, ends, job);
  buy_ends(buyer, takeoff, terminations);
  std::vector<Purchase> purchases = buyer.take();
  const std::array<const char*, 5> order{"Cable", "Raceway", kHung, "Ends", "Small parts"};
  const auto rank = [&](const Purchase& purchase) {
    return std::find(order.begin(), order.end(), purchase.section) - order.begin();
  };
  std::stable_sort(purchases.begin(), purchases.end(),
                   [&](const Purchase& a, const Purchase& b) { return rank(a) < rank(b); });
  return purchases;
}

namespace {

/// As a rule, at best, at worst.
struct Minutes {
  double usual = 0, least = 0, most = 0;
};

Minutes minutes_of(const Takeoff& takeoff) {
  Minutes sum;
  for (const WorkStep& step : takeoff.steps) {
    sum.usual += step.minutes;
    sum.least += step.least;
    sum.most += step.most;
  }
  return sum;
}

std::string whole(double minutes) { return format_number(std::round(minutes), 0); }

}  // namespace

double cost_to_buy(const std::vector<Purchase>& purchases) {
  double sum = 0;
  for (const Purchase& purchase : purchases) sum += cents(purchase.total());
  return cents(sum);
}

Table shopping_table(const std::vector<Purchase>& purchases, const Takeoff& takeoff,
                     const Job& job) {
  Table table{"shopping",
              "Shopping list",
              "Prices are invented where \"Price from\" says so; a job's own overrule them. What "
              "lies on the shelf is not bought again. In " +
                  job.currency + ".",
              {{"section", "Kind"},
               {"item", "Item"},
               {"count", "Count", ColumnKind::count},
               {"unit", "Unit"},
               {"price", "Price of one", ColumnKind::money},
               {"total", "Price", ColumnKind::money},
               {"from", "Price from"},
               {"done", "Bought", ColumnKind::tick}},
              {}};
  for (const Purchase& purchase : purchases) {
    const double total = cents(purchase.total());
    table.rows.push_back({purchase.section, purchase.item, purchase.count, purchase.unit,
                          purchase.price, total,
                          std::string(purchase.invented ? "invented" : "the job"), tick_cell()});
  }
  const Minutes work = minutes_of(takeoff);
  table.rows.push_back({std::string("Work"), std::string("by the ladder sheet"),
                        std::round(work.usual),
                        "minutes (" + whole(work.least) + " to " + whole(work.most) + ")", Cell{},
                        Cell{}, std::string("minutes: see the list of minutes"), tick_cell()});
  table.rows.push_back({std::string("All"), std::string(), Cell{}, std::string(), Cell{},
                        cents(takeoff.to_buy), std::string(), tick_cell()});
  return table;
}

Table quote_table(const std::vector<Purchase>& purchases, const Takeoff& takeoff, const Job& job) {
  const WorkSpec& work = job.work;
  const bool invented =
      std::any_of(purchases.begin(), purchases.end(), [](const Purchase& p) { return p.invented; });
  Table table{"quote",
              "Quote for the customer",
              std::string(invented ? "Prices of materials are invented in part. " : "") +
                  (work.money_per_hour_given || work.money_per_hour <= 0
                       ? ""
                       : "The rate of " + format_number(work.money_per_hour, 2) +
                             " an hour is invented until the job gives its own. ") +
                  "Mains and fire matters are for licensed people and not part of this.",
              {{"what", "What"},
               {"price", "Price", ColumnKind::money},
               {"least", "At best", ColumnKind::money},
               {"most", "At worst", ColumnKind::money},
               {"from", "Prices from"}},
              {}};
  double price = 0, least = 0, most = 0;
  const auto add = [&](const std::string& what, double as_a_rule, double best, double worst,
                       bool made_up) {
    table.rows.push_back({what, cents(as_a_rule), cents(best), cents(worst),
                          std::string(made_up ? "invented" : "the job")});
    price += cents(as_a_rule);
    least += cents(best);
    most += cents(worst);
  };
  for (const char* section : {"Cable", "Raceway", kHung, "Ends", "Small parts"}) {
    const double sum = sum_of(purchases, section) * (1 + work.markup);
    const bool made_up = std::any_of(purchases.begin(), purchases.end(), [&](const Purchase& p) {
      return p.section == section && p.invented;
    });
    if (sum > 0) add(section, sum, sum, sum, made_up);
  }
  const Minutes minutes = minutes_of(takeoff);
  const double rate = work.money_per_hour / 60;
  if (rate > 0)
    add("Work", minutes.usual * rate, minutes.least * rate, minutes.most * rate,
        !work.money_per_hour_given);
  table.rows.push_back({std::string(rate > 0 ? "All" : "All, without work"), cents(price),
                        cents(least), cents(most), std::string()});
  return table;
}

}  // namespace roomloom
