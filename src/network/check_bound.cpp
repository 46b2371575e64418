// check_bound FILE: verifies a lower bound for a network design without any of the solver's code.
//
// Why it is a proof. Each run pays prices of its own on arcs, toward the charges they draw on, and
// is owed its shortest path at those prices. A plan costs what its paths cost at these prices, plus
// for each charge it opens its price less what its users pay toward it: at least the sum of the
// shortest paths less, for each charge, what can at worst be paid beyond its price. Users of one
// family (same root) pass an edge in one direction only, and the dearer counts: either the file
// says "outward" and the bound is for plans in which runs with a common end do so, or a family has
// proportional costs, and some optimal plan of it is a tree. Of edges that pass one thing of a
// charge a run uses one at most: what it pays most on counts. Where there are sizes, only users pay
// that fit together into one which serves them: of all such sets the dearest.

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
struct Size {
  double capacity = kFar, price = 0;
  unsigned long levels = 0;  // bit l: it serves level l
};
using Charge = std::pair<double, std::vector<Size>>;  // price, and sizes on top of it
struct Edge {
  std::size_t a, b;
  bool one_way;
  double cost;
  unsigned long long mask;
  std::vector<double> class_cost;
  std::vector<std::size_t> charges, passes;  // passes: by charge, 2 * thing + way
  unsigned level;
};
struct Payment {
  std::size_t arc = 0, charge = 0, run = 0, family = 0;
  double amount = 0, load = 0;
  unsigned level = 0;
};
struct Run {
  std::size_t source, target, kind;
  double rate, load;
  std::vector<std::size_t> forbidden;
  std::vector<double> surcharges;  // edge, cost; ...
  bool counted = false, flipped = false;
  std::size_t family = 0;
  std::vector<Payment> payments;
  std::size_t root() const { return flipped ? target : source; }
  std::size_t other_end() const { return flipped ? source : target; }
};
struct Certificate {
  std::size_t nodes = 0, classes = 0, told = 0;  // told: the run whose payments come
  bool outward = false;
  std::vector<Charge> charges;
  std::vector<Edge> edges;
  std::vector<Run> runs;
  double besides = 0, bound = -1;
};

void need(bool ok, const char* otherwise) {
  if (ok) return;
  std::printf("refused: %s\n", otherwise);
  std::exit(1);
}

std::istream& operator>>(std::istream& in, Size& s) {
  return in >> s.capacity >> s.price >> s.levels;
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
    c.charges.emplace_back().second = read_list<Size>(in);
    in >> c.charges.back().first;
  } else if (word == "edge") {
    Edge& e = c.edges.emplace_back();
    in >> e.a >> e.b >> e.one_way >> e.cost >> e.mask;
    e.class_cost = read_list<double>(in);
    e.charges = read_list<std::size_t>(in);
    e.passes = read_list<std::size_t>(in);
    in >> e.level;
  } else if (word == "commodity") {
    Run& k = c.runs.emplace_back();
    in >> k.source >> k.target >> k.kind >> k.rate >> k.load;
    k.forbidden = read_list<std::size_t>(in);
    k.surcharges = read_list<double>(in);
  } else if (word == "run") {
    in >> c.told;
    need(c.told < c.runs.size() && !c.runs[c.told].counted, "a run is unknown or counted twice");
    c.runs[c.told].counted = true;
    in >> c.runs[c.told].flipped >> c.runs[c.told].family;
  } else if (word == "pay") {
    need(c.told < c.runs.size(), "a payment belongs to no run");
    Payment& p = c.runs[c.told].payments.emplace_back();
    in >> p.arc >> p.charge >> p.amount;
  } else {
    need(word == "besides" || word == "bound", "a line is of an unknown kind");
    in >> (word == "bound" ? c.bound : c.besides);
  }
  need(!!in, "a line is damaged");
}

Certificate read(const std::string& path) {
  std::ifstream file(path);
  std::string line;
  need(std::getline(file, line) && line == "roomloom-bound 3", "the file is no certificate");
  Certificate c;
  while (std::getline(file, line))
    if (!line.empty()) read_line(line, c);
  return c;
}

bool good(double x) { return std::isfinite(x) && x >= 0; }
bool good(const Size& size) { return good(size.capacity) && good(size.price); }
template <typename T>
bool good(const std::vector<T>& list) {
  return std::all_of(list.begin(), list.end(), [](const T& item) { return good(item); });
}

void check_ranges(const Certificate& c) {
  need(good(c.besides) && good(c.bound), "the bound is negative");
  for (const auto& [price, sizes] : c.charges)
    need(good(price) && good(sizes), "a charge is out of range");
  for (const Edge& e : c.edges) {
    need(e.a < c.nodes && e.b < c.nodes && good(e.cost) && good(e.class_cost) && e.level < 32 &&
             (e.class_cost.empty() || e.class_cost.size() == c.classes) &&
             e.passes.size() == e.charges.size(),
         "an edge is out of range");
    for (std::size_t g : e.charges) need(g < c.charges.size(), "a charge is unknown");
  }
  for (const Run& k : c.runs) {
    need(k.source < c.nodes && k.target < c.nodes && good(k.rate) && good(k.load) &&
             k.kind < std::min<std::size_t>(c.classes, 64) && good(k.surcharges),
         "a run is out of range");
    std::set<std::pair<std::size_t, std::size_t>> paid;
    for (const Payment& p : k.payments)
      need(p.arc < 2 * c.edges.size() && good(p.amount) && paid.emplace(p.arc, p.charge).second,
           "a payment is out of range or told twice");
  }
}

/// Cost of each arc for a run, as seen from its root; infinite where it must not go.
std::vector<double> costs(const Certificate& c, const Run& k) {
  std::vector<double> cost(2 * c.edges.size(), kFar);
  for (std::size_t e = 0; e < c.edges.size(); ++e) {
    const Edge& edge = c.edges[e];
    if ((edge.mask >> k.kind) & 1U) continue;
    const double price =
        edge.cost * k.rate + (edge.class_cost.empty() ? 0 : edge.class_cost[k.kind]);
    if (!edge.one_way || !k.flipped) cost[2 * e] = price;
    if (!edge.one_way || k.flipped) cost[2 * e + 1] = price;
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

/// Length of the shortest path from a run's root to its other end.
double shortest(const Certificate& c, const Run& k, const std::vector<double>& length) {
  const auto end = [&](auto arc) { return arc % 2 ? c.edges[arc / 2].a : c.edges[arc / 2].b; };
  std::vector<std::vector<std::size_t>> leaving(c.nodes);
  for (std::size_t arc = 0; arc < length.size(); ++arc)
    if (!std::isinf(length[arc])) leaving[end(arc ^ 1U)].push_back(arc);
  std::vector<double> distance(c.nodes, kFar);
  std::set<std::pair<double, std::size_t>> queue{{0, k.root()}};
  distance[k.root()] = 0;
  while (!queue.empty() && queue.begin()->second != k.other_end()) {
    const auto [reached, node] = queue.extract(queue.begin()).value();
    for (const std::size_t arc : leaving[node]) {
      double& known = distance[end(arc)];
      if (reached + length[arc] < known) queue.emplace(known = reached + length[arc], end(arc));
    }
  }
  need(!std::isinf(distance[k.other_end()]), "a run has no path");
  return distance[k.other_end()];
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

/// The most that users which a size serves and holds pay together, each once. The last size of a
/// charge serves and holds everybody.
double most_paid(const std::vector<Payment>& paid, const Size& size, bool last) {
  std::map<std::size_t, Payment> of_run;
  for (const Payment& p : paid)
    if (last || ((size.levels >> p.level) & 1U))
      if (Payment& known = of_run[p.run]; p.amount > known.amount) known = p;
  std::map<double, double> best{{0, 0}};  // what they pay by what they fill; no more for less
  for (const auto& [run, p] : of_run) {
    std::map<double, double> next = best;
    for (const auto& [filled, sum] : best)
      if (const double load = last ? 0 : filled + p.load; load <= size.capacity * (1 + 1e-9))
        next[load] = std::max(next[load], sum + p.amount);
    best.clear();
    for (double most = -1; const auto& [load, sum] : next)
      if (sum > most) most = best[load] = sum;
  }
  return best.rbegin()->second;
}

/// How far what is paid can be beyond a price, at the worst size and ways of passing.
double excess(std::vector<Size> sizes, double price, const std::vector<Payment>& paid) {
  if (sizes.empty()) sizes.emplace_back();
  std::map<std::size_t, std::size_t> rank;
  for (const Payment& p : paid) rank.emplace(p.family, rank.size());
  const bool both = rank.size() > 10;
  double worst = 0;
  for (std::size_t choice = 0; choice < (both ? 1U : std::size_t{1} << rank.size()); ++choice) {
    std::vector<Payment> going;
    for (const Payment& p : paid)
      if (both || p.arc % 2 == ((choice >> rank[p.family]) & 1U)) going.push_back(p);
    const double all = most_paid(going, {}, true) - price;
    for (std::size_t s = 0; s < sizes.size(); ++s)
      if (all - sizes[s].price > worst)
        worst = std::max(
            worst, most_paid(going, sizes[s], s + 1 == sizes.size()) - price - sizes[s].price);
  }
  return worst;
}

}  // namespace

int main(int count, char** words) {
  need(count == 2, "usage: check_bound FILE");
  const Certificate c = read(words[1]);
  check_ranges(c);
  std::map<std::size_t, std::pair<const Run*, std::vector<double>>> families;
  std::map<std::size_t, std::map<std::size_t, std::vector<Payment>>> on_charge;  // and thing
  double sum = c.besides;
  for (std::size_t run = 0; run < c.runs.size(); ++run) {
    const Run& k = c.runs[run];
    if (!k.counted) continue;
    std::vector<double> length = costs(c, k);
    const auto& [first, cost] = families.try_emplace(k.family, &k, length).first->second;
    need(first->root() == k.root() &&
             (c.outward || (first->load == k.load && proportional(cost, length))),
         "a family is not alike");
    for (Payment p : k.payments) {
      const Edge& edge = c.edges[p.arc / 2];
      const auto drawn = std::find(edge.charges.begin(), edge.charges.end(), p.charge);
      need(drawn != edge.charges.end(), "a run pays toward what its arc does not draw on");
      length[p.arc] += p.amount;
      p.run = run;
      p.family = k.family;
      p.load = k.load;
      p.level = edge.level;
      p.arc = edge.passes[static_cast<std::size_t>(drawn - edge.charges.begin())] ^ (p.arc & 1U);
      on_charge[p.charge][p.arc / 2].push_back(p);
    }
    sum += shortest(c, k, length);
  }
  for (const auto& [g, things] : on_charge) {
    const auto& [price, sizes] = c.charges[g];
    need(sizes.empty() || things.size() == 1, "sizes are of more than one thing");
    double beyond = sizes.empty() ? -price : 0;
    for (const auto& [thing, paid] : things)
      beyond += excess(sizes, sizes.empty() ? 0 : price, paid);
    sum -= std::max(0.0, beyond);
  }
  need(c.bound <= sum + 1e-6 * std::max(1.0, sum), "the bound stated is more than is proved");
  std::printf("proved: no plan costs less than %.9g (%.9g of it outside this graph, as told)\n",
              std::min(sum, c.bound), c.besides);
  return 0;
}
