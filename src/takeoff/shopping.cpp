#include "takeoff/shopping.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/bundle.h"
#include "takeoff/built.h"
#include "takeoff/cells.h"
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
constexpr double kPlate = 2, kPlatePort = 1.5;  // invented

class Buyer {
 public:
  explicit Buyer(const Job& job) : job_(job) {}

  void add(const std::string& section, const std::string& item, double count,
           const std::string& unit, double price) {
    if (count <= 0) return;
    for (const ItemPrice& own : job_.work.prices)
      if (own.item == item) price = own.price;
    for (Purchase& purchase : purchases_)
      if (purchase.section == section && purchase.item == item && purchase.unit == unit &&
          purchase.price == price) {
        purchase.count += count;
        return;
      }
    purchases_.push_back({section, item, count, unit, price});
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

void buy_cable(Buyer& buyer, const Takeoff& takeoff, const Job& job) {
  for (const Spool& spool : takeoff.spools) {
    if (spool.on_shelf) continue;
    buyer.add("Cable", spool.cable + (spool.colour.empty() ? "" : ", " + spool.colour), 1,
              (spool.lead ? "lead of " : "spool of ") + format_length(spool.length_m, job.units, 1),
              spool.price);
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

/// The smallest hook that takes the bundle; null where the catalogue has none.
const HookType* hook_for(const SupportShape& support, const Ends& ends, const Job& job) {
  std::vector<double> diameters;
  for (const int run : support.runs)
    diameters.push_back(element(job.catalogue.cables, element(ends.runs, run).cable).diameter_m);
  const double bundle = bundle_diameter(diameters);
  for (const HookType& hook : job.catalogue.hooks)
    if (hook.bundle_m >= bundle) return &hook;
  return nullptr;
}

/// Runs that lie already have their supports.
bool all_installed(const std::vector<int>& runs, const Takeoff& takeoff) {
  return std::all_of(runs.begin(), runs.end(),
                     [&](int run) { return element(takeoff.runs, run).installed; });
}

void buy_holes(Buyer& buyer, const Takeoff& takeoff, const CableShapes& shapes, const Ends& ends,
               const Room& room, const Job& job) {
  const char* section = "Holes and supports";
  for (std::size_t i = 0; i < takeoff.holes.size(); ++i) {
    if (takeoff.holes[i].existing || is_cut(takeoff.holes[i], job.as_built) ||
        all_installed(shapes.holes[i].runs, takeoff))
      continue;
    const GrommetType* grommet =
        grommet_for(takeoff.holes[i], later_bundle_m(shapes.holes[i], ends, job),
                    element(room.crossings, shapes.holes[i].crossing), job);
    if (grommet != nullptr) buyer.add(section, grommet->id, 1, "piece", grommet->price);
  }
  for (const SupportShape& support : shapes.supports) {
    if (all_installed(support.runs, takeoff)) continue;
    const HookType* hook = hook_for(support, ends, job);
    buyer.add(section, hook == nullptr ? "support" : hook->id, 1, "piece",
              hook == nullptr ? job.prefer.support_price : hook->price);
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

double sum_of(const std::vector<Purchase>& purchases, const std::string& section = "") {
  double sum = 0;
  for (const Purchase& purchase : purchases)
    if (section.empty() || purchase.section == section) sum += purchase.total();
  return sum;
}

/// To the cent, as each line of a list is read.
double cents(double money) { return std::round(100 * money) / 100; }

}  // namespace

std::vector<Purchase> purchases_of(const Takeoff& takeoff,
                                   const std::vector<Termination>& terminations,
                                   const CableShapes& shapes, const Ends& ends, const Room& room,
                                   const Job& job) {
  Buyer buyer(job);
  buy_cable(buyer, takeoff, job);
  buy_raceway(buyer, takeoff, job);
  buy_holes(buyer, takeoff, shapes, ends, room, job);
  buy_ends(buyer, takeoff, terminations);
  std::vector<Purchase> purchases = buyer.take();
  const std::array<const char*, 5> order{"Cable", "Raceway", "Holes and supports", "Ends",
                                         "Small parts"};
  const auto rank = [&](const Purchase& purchase) {
    return std::find(order.begin(), order.end(), purchase.section) - order.begin();
  };
  std::stable_sort(purchases.begin(), purchases.end(),
                   [&](const Purchase& a, const Purchase& b) { return rank(a) < rank(b); });
  return purchases;
}

Table shopping_table(const std::vector<Purchase>& purchases, const Job& job) {
  Table table{"shopping",
              "Shopping list",
              "Prices are invented unless the job gives its own. What lies on the shelf is not "
              "bought again. In " +
                  job.currency + ".",
              {{"section", "Kind"},
               {"item", "Item"},
               {"count", "Count", ColumnKind::count},
               {"unit", "Unit"},
               {"price", "Price of one", ColumnKind::money},
               {"total", "Price", ColumnKind::money},
               {"done", "Bought", ColumnKind::tick}},
              {}};
  double sum = 0;
  for (const Purchase& purchase : purchases) {
    const double total = cents(purchase.total());
    sum += total;
    table.rows.push_back({purchase.section, purchase.item, purchase.count, purchase.unit,
                          purchase.price, total, tick_cell()});
  }
  table.rows.push_back(
      {std::string("All"), std::string(), Cell{}, std::string(), Cell{}, cents(sum), tick_cell()});
  return table;
}

Table quote_table(const std::vector<Purchase>& purchases, const Takeoff& takeoff, const Job& job) {
  const WorkSpec& work = job.work;
  Table table{
      "quote",
      "Quote for the customer",
      "Prices and minutes are invented unless the job gives its own. Mains and fire matters "
      "are for licensed people and not part of this.",
      {{"what", "What"},
       {"price", "Price", ColumnKind::money},
       {"least", "At best", ColumnKind::money},
       {"most", "At worst", ColumnKind::money}},
      {}};
  double price = 0, least = 0, most = 0;
  const auto add = [&](const std::string& what, double as_a_rule, double best, double worst) {
    table.rows.push_back({what, cents(as_a_rule), cents(best), cents(worst)});
    price += cents(as_a_rule);
    least += cents(best);
    most += cents(worst);
  };
  for (const char* section : {"Cable", "Raceway", "Holes and supports", "Ends", "Small parts"}) {
    const double sum = sum_of(purchases, section) * (1 + work.markup);
    if (sum > 0) add(section, sum, sum, sum);
  }
  double minutes = 0, best = 0, worst = 0;
  for (const WorkStep& step : takeoff.steps) {
    minutes += step.minutes;
    best += step.least;
    worst += step.most;
  }
  if (work.money_per_hour > 0)
    add("Work", minutes / 60 * work.money_per_hour, best / 60 * work.money_per_hour,
        worst / 60 * work.money_per_hour);
  else
    table.note += " Work is not priced: give \"money_per_hour\" under \"work\".";
  table.rows.push_back({std::string("All"), cents(price), cents(least), cents(most)});
  return table;
}

}  // namespace roomloom
