// check_bound FILE
//
// Verifies a lower bound for a fixed-charge network design without any of the solver's code.
//
// Why it is a proof. Each commodity k has levels on the nodes: 0 at its terminal, V_k at its root;
// nodes not listed are at V_k. An arc u -> v that k may use spans the levels from that of v up to
// that of u. Every point of the span must be paid for: by the arc's cost for k, by what k draws on
// the price of the arc's own charges ("own"), or by lying in an interval of levels in which k draws
// on a charge of the edge that several edges share ("span"). A path from root to terminal covers
// [0, V_k] with the spans of its arcs, so its cost plus k's draws on the charges it opens is at
// least V_k. If all draws on a charge together stay within its price, the V_k sum up to a bound.
// For a charge of one edge, draws of a family (same root, same permitted arcs, proportional costs)
// count for each direction separately and the larger sum is taken: some optimal plan of such a
// family is a tree, in which no edge is used in both directions.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <limits>
#include <locale>
#include <map>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

struct Edge {
  std::size_t a, b;
  bool one_way;
  double cost;
  std::uint64_t mask;
  std::vector<double> class_cost;
  std::vector<std::size_t> charges;
};

struct Commodity {
  std::size_t source, target, kind;
  double rate;
  std::vector<std::size_t> forbidden;
};

struct Dual {
  std::size_t commodity = 0, family = 0;
  bool flipped = false;
  double value = 0;
  std::map<std::size_t, double> level, own;
  std::map<std::size_t, std::vector<std::pair<double, double>>> spans;
};

struct Certificate {
  std::size_t nodes = 0, classes = 0;
  std::vector<double> prices;
  std::vector<Edge> edges;
  std::vector<Commodity> commodities;
  std::vector<Dual> duals;
  double bound = -1;
};

[[noreturn]] void refuse(const std::string& why) {
  std::printf("refused: %s\n", why.c_str());
  std::exit(1);
}

template <typename T>
std::vector<T> read_list(std::istream& in) {
  std::size_t count = 0;
  in >> count;
  if (!in || count > 100'000'000) refuse("a list has no length");
  std::vector<T> list(count);
  for (T& item : list) in >> item;
  return list;
}

void read_line(const std::string& line, Certificate& c) {
  std::istringstream in(line);
  in.imbue(std::locale::classic());
  std::string word;
  in >> word;
  if (word == "problem") {
    in >> c.nodes >> c.classes;
  } else if (word == "charge") {
    in >> c.prices.emplace_back();
  } else if (word == "edge") {
    Edge& e = c.edges.emplace_back();
    in >> e.a >> e.b >> e.one_way >> e.cost >> e.mask;
    e.class_cost = read_list<double>(in);
    e.charges = read_list<std::size_t>(in);
  } else if (word == "commodity") {
    Commodity& k = c.commodities.emplace_back();
    in >> k.source >> k.target >> k.kind >> k.rate;
    k.forbidden = read_list<std::size_t>(in);
  } else if (word == "dual") {
    Dual& d = c.duals.emplace_back();
    in >> d.commodity >> d.flipped >> d.family >> d.value;
  } else if (word == "node" || word == "own") {
    if (c.duals.empty()) refuse("a level or a draw belongs to no commodity");
    std::size_t index = 0;
    double value = 0;
    in >> index >> value;
    auto& map = word == "node" ? c.duals.back().level : c.duals.back().own;
    if (!map.emplace(index, value).second) refuse("an item is listed twice: " + line);
  } else if (word == "span") {
    if (c.duals.empty()) refuse("a span belongs to no commodity");
    std::size_t charge = 0;
    std::pair<double, double> span;
    in >> charge >> span.first >> span.second;
    c.duals.back().spans[charge].push_back(span);
  } else if (word == "bound") {
    in >> c.bound;
  } else {
    refuse("unknown line: " + line);
  }
  if (!in) refuse("damaged line: " + line);
}

Certificate read(const std::string& path) {
  std::ifstream file(path);
  std::string line;
  if (!file || !std::getline(file, line)) refuse("the file cannot be read");
  if (line != "roomloom-bound 1") refuse("the file is no certificate");
  Certificate c;
  while (std::getline(file, line))
    if (!line.empty()) read_line(line, c);
  if (c.bound < 0) refuse("the file states no bound");
  return c;
}

bool good(double x) { return std::isfinite(x) && x >= 0; }

void check_ranges(const Certificate& c) {
  for (double price : c.prices)
    if (!good(price)) refuse("a price is negative");
  for (const Edge& e : c.edges) {
    if (e.a >= c.nodes || e.b >= c.nodes || !good(e.cost)) refuse("an edge is out of range");
    if (!e.class_cost.empty() && e.class_cost.size() != c.classes)
      refuse("class costs are missing");
    for (double x : e.class_cost)
      if (!good(x)) refuse("a class cost is negative");
    for (std::size_t g : e.charges)
      if (g >= c.prices.size()) refuse("an edge draws on an unknown charge");
  }
  for (const Commodity& k : c.commodities)
    if (k.source >= c.nodes || k.target >= c.nodes ||
        k.kind >= std::min<std::size_t>(c.classes, 64) || !good(k.rate))
      refuse("a commodity is out of range");
  std::vector<char> seen(c.commodities.size(), 0);
  for (const Dual& d : c.duals) {
    if (d.commodity >= c.commodities.size() || seen[d.commodity] || !good(d.value))
      refuse("a commodity is counted twice or unknown");
    seen[d.commodity] = 1;
    for (const auto& [arc, amount] : d.own)
      if (arc >= 2 * c.edges.size() || !good(amount)) refuse("a draw is out of range");
    for (const auto& [node, level] : d.level)
      if (node >= c.nodes || !good(level)) refuse("a level is out of range");
  }
}

/// Cost of each arc for a commodity, as seen from its root; infinite where it must not go.
std::vector<double> costs(const Certificate& c, const Dual& d) {
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
  for (std::size_t e : k.forbidden) {
    if (e >= c.edges.size()) refuse("a forbidden edge is unknown");
    cost[2 * e] = cost[2 * e + 1] = kFar;
  }
  return cost;
}

std::size_t root_of(const Certificate& c, const Dual& d) {
  const Commodity& k = c.commodities[d.commodity];
  return d.flipped ? k.target : k.source;
}

/// Length of the union of intervals, cut to [low, high].
double covered(std::vector<std::pair<double, double>> list, double low, double high) {
  std::sort(list.begin(), list.end());
  double sum = 0, reached = low;
  for (const auto& [from, to] : list) {
    const double start = std::max(from, reached), end = std::min(to, high);
    if (end > start) sum += end - start;
    reached = std::max(reached, end);
  }
  return sum;
}

void check_levels(const Certificate& c, const Dual& d, const std::vector<double>& cost,
                  const std::vector<int>& draws) {
  const Commodity& k = c.commodities[d.commodity];
  const std::size_t root = root_of(c, d), terminal = d.flipped ? k.source : k.target;
  const auto level = [&](std::size_t v) {
    const auto found = d.level.find(v);
    return found == d.level.end() ? d.value : std::min(found->second, d.value);
  };
  const double slack = 1e-7 * std::max(1.0, d.value);
  if (level(terminal) > slack || level(root) < d.value - slack)
    refuse("levels do not fit the ends");
  for (std::size_t arc = 0; arc < cost.size(); ++arc) {
    if (std::isinf(cost[arc])) continue;
    const Edge& edge = c.edges[arc / 2];
    const double high = level(arc % 2 == 0 ? edge.a : edge.b);
    const double low = level(arc % 2 == 0 ? edge.b : edge.a);
    if (high - low <= cost[arc] + slack) continue;
    double paid = cost[arc];
    const auto own = d.own.find(arc);
    if (own != d.own.end()) paid += own->second;
    std::vector<std::pair<double, double>> intervals;
    for (std::size_t g : edge.charges) {
      const auto found = d.spans.find(g);
      if (draws[g] > 1 && found != d.spans.end())
        intervals.insert(intervals.end(), found->second.begin(), found->second.end());
    }
    paid += covered(intervals, low, high);
    if (high - low > paid + slack)
      refuse("commodity " + std::to_string(d.commodity) + " does not pay for edge " +
             std::to_string(arc / 2));
  }
}

bool proportional(const std::vector<double>& x, const std::vector<double>& y) {
  double scale = -1;
  for (std::size_t a = 0; a < x.size(); ++a) {
    if (std::isinf(x[a]) != std::isinf(y[a])) return false;
    if (std::isinf(x[a]) || (x[a] == 0 && y[a] == 0)) continue;
    if (x[a] == 0 || y[a] == 0) return false;
    if (scale < 0) scale = y[a] / x[a];
    if (std::abs(y[a] - scale * x[a]) > 1e-9 * y[a]) return false;
  }
  return true;
}

}  // namespace

int main(int count, char** words) {
  if (count != 2) {
    std::fprintf(stderr, "usage: check_bound FILE\n");
    return 2;
  }
  const Certificate c = read(words[1]);
  check_ranges(c);
  std::vector<int> draws(c.prices.size(), 0);
  for (const Edge& e : c.edges)
    for (std::size_t g : e.charges) ++draws[g];
  std::vector<double> own(c.edges.size(), 0.0), shared(c.prices.size(), 0.0);
  for (std::size_t e = 0; e < c.edges.size(); ++e)
    for (std::size_t g : c.edges[e].charges)
      if (draws[g] == 1) own[e] += c.prices[g];
  std::map<std::size_t, std::pair<std::size_t, std::vector<double>>> families;
  std::map<std::size_t, std::map<std::size_t, double>> drawn;  // per family and arc
  double sum = 0;
  for (const Dual& d : c.duals) {
    const std::vector<double> cost = costs(c, d);
    const auto [family, is_new] = families.emplace(d.family, std::make_pair(root_of(c, d), cost));
    if (!is_new &&
        (family->second.first != root_of(c, d) || !proportional(family->second.second, cost)))
      refuse("a family is not alike");
    check_levels(c, d, cost, draws);
    for (const auto& [arc, amount] : d.own) drawn[d.family][arc] += amount;
    for (const auto& [charge, spans] : d.spans) {
      if (charge >= shared.size()) refuse("a span draws on an unknown charge");
      shared[charge] += covered(spans, 0, d.value);
    }
    sum += d.value;
  }
  std::vector<double> total(c.edges.size(), 0.0);
  for (const auto& [family, arcs] : drawn) {
    for (const auto& [arc, amount] : arcs) {
      const auto other = arcs.find(arc ^ 1U);
      const double back = other == arcs.end() ? 0 : other->second;
      if (amount > back || (amount == back && arc % 2 == 0)) total[arc / 2] += amount;
    }
  }
  for (std::size_t e = 0; e < total.size(); ++e)
    if (total[e] > own[e] + 1e-7 * std::max(1.0, own[e]))
      refuse("edge " + std::to_string(e) + " is drawn on beyond its price");
  for (std::size_t g = 0; g < shared.size(); ++g)
    if (shared[g] > c.prices[g] + 1e-7 * std::max(1.0, c.prices[g]))
      refuse("charge " + std::to_string(g) + " is drawn on beyond its price");
  if (c.bound > sum + 1e-6 * std::max(1.0, sum)) refuse("the bound stated is more than is proved");
  std::printf("proved: no plan costs less than %.9g\n", std::min(sum, c.bound));
  return 0;
}
