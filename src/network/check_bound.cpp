// check_bound FILE: verifies a lower bound for a fixed-charge network design without any of the
// solver's code.
//
// Why it is a proof. Each run pays prices of its own on arcs, toward the charges they draw on, and
// is owed its shortest path at those prices. A plan costs what its paths cost at these prices, plus
// for each charge it opens its price less what its users pay toward it: at least the sum of the
// shortest paths less, for each charge, what can at worst be paid beyond its price. Users of one
// family (same root) pass an edge in one direction only, and the dearer counts: either the file
// says "outward" and the bound is for plans in which runs with a common end do so, or a family has
// proportional costs, and some optimal plan of it is a tree. On an edge with sizes only users pay
// that fit together into one: of all such sets the dearest.

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace {

constexpr double kFar = INFINITY;

struct Edge {
  std::size_t a, b;
  bool one_way;
  double cost;
  unsigned long long mask;
  std::vector<std::size_t> charges;
  std::vector<double> class_cost, sizes;  // sizes: capacity, price; ...
};

struct Commodity {
  std::size_t source, target, kind;
  double rate, load;
  std::vector<std::size_t> forbidden;
  std::vector<double> surcharges;  // edge, cost; ...
};

struct Payment {
  std::size_t arc, family = 0;
  long charge;  // -1: the edge's own price and size
  double amount, load = 0;
};

struct Run {
  std::size_t commodity = 0, family = 0;
  bool flipped = false;
  std::vector<Payment> payments;
};

struct Certificate {
  std::size_t nodes = 0, classes = 0;
  bool outward = false;
  std::vector<double> prices;
  std::vector<Edge> edges;
  std::vector<Commodity> commodities;
  std::vector<Run> runs;
  double besides = 0, bound = -1;
};

void need(bool ok, const char* otherwise) {
  if (ok) return;
  std::printf("refused: %s\n", otherwise);
  std::exit(1);
}

template <typename T>
std::vector<T> read_list(std::istream& in) {
  std::size_t count = 0;
  in >> count;
  need(in && count <= 100'000'000, "a list has no length");
  std::vector<T> list(count);
  for (T& item : list) in >> item;
  return list;
}

void read_line(const std::string& line, Certificate& c) {
  std::istringstream in(line);
  std::string word;
  in >> word;
  if (word == "problem") {
    in >> c.nodes >> c.classes >> c.outward;
  } else if (word == "charge") {
    in >> c.prices.emplace_back();
  } else if (word == "edge") {
    Edge& e = c.edges.emplace_back();
    in >> e.a >> e.b >> e.one_way >> e.cost >> e.mask;
    e.class_cost = read_list<double>(in);
    e.charges = read_list<std::size_t>(in);
    e.sizes = read_list<double>(in);
  } else if (word == "commodity") {
    Commodity& k = c.commodities.emplace_back();
    in >> k.source >> k.target >> k.kind >> k.rate >> k.load;
    k.forbidden = read_list<std::size_t>(in);
    k.surcharges = read_list<double>(in);
  } else if (word == "run") {
    Run& run = c.runs.emplace_back();
    in >> run.commodity >> run.flipped >> run.family;
  } else if (word == "pay") {
    need(!c.runs.empty(), "a payment belongs to no run");
    Payment& payment = c.runs.back().payments.emplace_back();
    in >> payment.arc >> payment.charge >> payment.amount;
  } else if (word == "besides" || word == "bound") {
    in >> (word == "bound" ? c.bound : c.besides);
  } else {
    need(false, "a line is of an unknown kind");
  }
  need(!!in, "a line is damaged");
}

Certificate read(const std::string& path) {
  std::ifstream file(path);
  std::string line;
  need(std::getline(file, line) && line == "roomloom-bound 2", "the file is no certificate");
  Certificate c;
  while (std::getline(file, line))
    if (!line.empty()) read_line(line, c);
  return c;
}

bool good(double x) { return std::isfinite(x) && x >= 0; }
bool good(const std::vector<double>& list) {
  return std::all_of(list.begin(), list.end(), [](double x) { return good(x); });
}

void check_ranges(const Certificate& c) {
  need(good(c.prices) && good(c.besides) && good(c.bound), "a price or the bound is negative");
  for (const Edge& e : c.edges) {
    need(e.a < c.nodes && e.b < c.nodes && good(e.cost), "an edge is out of range");
    need((e.class_cost.empty() || e.class_cost.size() == c.classes) && good(e.class_cost),
         "class costs are missing or negative");
    for (std::size_t g : e.charges) need(g < c.prices.size(), "an edge draws on an unknown charge");
    need(good(e.sizes) && e.sizes.size() % 2 == 0, "a size is out of range");
  }
  for (const Commodity& k : c.commodities)
    need(k.source < c.nodes && k.target < c.nodes &&
             k.kind < std::min<std::size_t>(c.classes, 64) && good(k.rate) && good(k.load) &&
             good(k.surcharges),
         "a commodity is out of range");
  std::vector<char> seen(c.commodities.size(), 0);
  for (const Run& run : c.runs) {
    need(run.commodity < seen.size() && !seen[run.commodity], "a commodity is counted twice");
    seen[run.commodity] = 1;
    for (const Payment& p : run.payments)
      need(p.arc < 2 * c.edges.size() && good(p.amount), "a payment is out of range");
  }
}

/// Cost of each arc for a commodity, as seen from its root; infinite where it must not go.
std::vector<double> costs(const Certificate& c, const Run& d) {
  const Commodity& k = c.commodities[d.commodity];
  std::vector<double> cost(2 * c.edges.size(), kFar);
  for (std::size_t e = 0; e < c.edges.size(); ++e) {
    const Edge& edge = c.edges[e];
    if ((edge.mask >> k.kind) & 1U) continue;
    const double price =
        edge.cost * k.rate + (edge.class_cost.empty() ? 0 : edge.class_cost[k.kind]);
    if (!edge.one_way || !d.flipped) cost[2 * e] = price;
    if (!edge.one_way || d.flipped) cost[2 * e + 1] = price;
  }
  for (std::size_t i = 0; i + 1 < k.surcharges.size(); i += 2) {
    const auto e = static_cast<std::size_t>(k.surcharges[i]);
    need(e < c.edges.size(), "a surcharge is on an unknown edge");
    for (const std::size_t arc : {2 * e, 2 * e + 1}) cost[arc] += k.surcharges[i + 1];
  }
  for (std::size_t e : k.forbidden) {
    need(e < c.edges.size(), "a forbidden edge is unknown");
    cost[2 * e] = cost[2 * e + 1] = kFar;
  }
  return cost;
}

std::size_t root_of(const Certificate& c, const Run& d) {
  return d.flipped ? c.commodities[d.commodity].target : c.commodities[d.commodity].source;
}

/// Length of the shortest path from a run's root to its other end.
double shortest(const Certificate& c, const Run& d, const std::vector<double>& length) {
  const Commodity& k = c.commodities[d.commodity];
  const std::size_t root = root_of(c, d), other_end = d.flipped ? k.source : k.target;
  const auto end = [&](auto arc) { return arc % 2 ? c.edges[arc / 2].a : c.edges[arc / 2].b; };
  std::vector<std::vector<std::size_t>> leaving(c.nodes);
  for (std::size_t arc = 0; arc < length.size(); ++arc)
    if (!std::isinf(length[arc])) leaving[end(arc ^ 1U)].push_back(arc);
  std::vector<double> distance(c.nodes, kFar);
  std::set<std::pair<double, std::size_t>> queue{{0, root}};
  distance[root] = 0;
  while (!queue.empty() && queue.begin()->second != other_end) {
    const auto [reached, node] = *queue.begin();
    queue.erase(queue.begin());
    for (const std::size_t arc : leaving[node]) {
      double& known = distance[end(arc)];
      if (reached + length[arc] >= known) continue;
      known = reached + length[arc];
      queue.emplace(known, end(arc));
    }
  }
  need(!std::isinf(distance[other_end]), "a commodity has no path");
  return distance[other_end];
}

bool proportional(const std::vector<double>& x, const std::vector<double>& y) {
  double scale = -1;
  for (std::size_t a = 0; a < x.size(); ++a) {
    if (std::isinf(x[a]) != std::isinf(y[a]) || (x[a] == 0) != (y[a] == 0)) return false;
    if (std::isinf(x[a]) || x[a] == 0) continue;
    if (scale < 0) scale = y[a] / x[a];
    if (std::abs(y[a] - scale * x[a]) > 1e-9 * y[a]) return false;
  }
  return true;
}

/// The most that users which fit into a room pay together.
double most_paid(const std::vector<Payment>& paid, double room) {
  std::map<double, double> best{{0, 0}};  // what they pay by what they fill; no more for less
  for (const Payment& p : paid) {
    std::map<double, double> next = best;
    for (const auto& [load, sum] : best)
      if (load + p.load <= room)
        next[load + p.load] = std::max(next[load + p.load], sum + p.amount);
    best.clear();
    for (double most = -1; const auto& [load, sum] : next)
      if (sum > most) most = best[load] = sum;
  }
  return best.rbegin()->second;
}

/// How far what is paid on an edge can be beyond its price, at the worst size and directions.
double excess(const std::vector<double>& sizes, double own, const std::vector<Payment>& paid) {
  std::map<std::size_t, std::size_t> rank;
  for (const Payment& p : paid) rank.emplace(p.family, rank.size());
  const bool both = rank.size() > 10;
  double worst = 0;
  for (std::size_t choice = 0; choice < (both ? 1U : std::size_t{1} << rank.size()); ++choice) {
    std::vector<Payment> going;
    double all = 0;
    for (const Payment& p : paid)
      if (both || p.arc % 2 == ((choice >> rank[p.family]) & 1U))
        going.push_back(p), all += p.amount;
    worst = std::max(worst, all - own - (sizes.empty() ? 0 : sizes.back()));
    for (std::size_t s = 0; s + 2 < sizes.size(); s += 2)
      if (all > own + sizes[s + 1])
        worst = std::max(worst, most_paid(going, sizes[s] * (1 + 1e-9)) - own - sizes[s + 1]);
  }
  return worst;
}

}  // namespace

int main(int count, char** words) {
  need(count == 2, "usage: check_bound FILE");
  const Certificate c = read(words[1]);
  check_ranges(c);
  std::vector<int> draws(c.prices.size(), 0);
  for (const Edge& e : c.edges)
    for (std::size_t g : e.charges) ++draws[g];
  std::map<std::size_t, std::pair<const Run*, std::vector<double>>> families;
  std::vector<std::vector<Payment>> on_edge(c.edges.size());
  std::map<std::size_t, std::map<std::size_t, std::vector<Payment>>> on_charge;  // and edge
  double sum = c.besides;
  for (const Run& d : c.runs) {
    std::vector<double> length = costs(c, d);
    const auto [first, cost] = families.try_emplace(d.family, &d, length).first->second;
    need(root_of(c, *first) == root_of(c, d), "a family has two roots");
    need(c.outward || (c.commodities[first->commodity].load == c.commodities[d.commodity].load &&
                       proportional(cost, length)),
         "a family is not alike");
    for (Payment p : d.payments) {
      p.family = d.family;
      p.load = c.commodities[d.commodity].load;
      length[p.arc] += p.amount;
      const auto& charges = c.edges[p.arc / 2].charges;
      const auto g = static_cast<std::size_t>(p.charge);
      need(p.charge < 0 || (std::count(charges.begin(), charges.end(), g) == 1 && draws[g] > 1),
           "a run pays toward what its arc does not draw on");
      (p.charge < 0 ? on_edge[p.arc / 2] : on_charge[g][p.arc / 2]).push_back(p);
    }
    sum += shortest(c, d, length);
  }
  for (std::size_t e = 0; e < c.edges.size(); ++e) {
    double own = 0;
    for (std::size_t g : c.edges[e].charges) own += draws[g] == 1 ? c.prices[g] : 0;
    sum -= excess(c.edges[e].sizes, own, on_edge[e]);
  }
  for (const auto& [g, edges] : on_charge) {
    double beyond = -c.prices[g];
    for (const auto& [e, paid] : edges) beyond += excess({}, 0, paid);
    sum -= std::max(0.0, beyond);
  }
  need(c.bound <= sum + 1e-6 * std::max(1.0, sum), "the bound stated is more than is proved");
  std::printf("proved: no plan costs less than %.9g (%.9g of it outside this graph, as told)\n",
              std::min(sum, c.bound), c.besides);
  return 0;
}
