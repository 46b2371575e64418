#include "network/instance_files.h"

#include <charconv>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string_view>
#include <utility>
#include <vector>

namespace roomloom::network {
namespace {

constexpr double kMostNodes = 50'000'000;

struct Line {
  int number = 0;
  std::vector<std::string_view> words;
};

struct Text {
  std::string path;
  std::string bytes;
  std::vector<Line> lines;  ///< without empty ones and comments
};

Error wrong(const Text& text, const Line& line, const std::string& what) {
  return {"instance.format", what, text.path + ", line " + std::to_string(line.number),
          "Check the file against its format."};
}

void split(Text& text) {
  const std::string_view all = text.bytes;
  std::size_t start = 0;
  for (int number = 1; start < all.size(); ++number) {
    const std::size_t end = std::min(all.find('\n', start), all.size());
    const std::string_view row = all.substr(start, end - start);
    Line line{number, {}};
    for (std::size_t i = 0; i < row.size();) {
      const std::size_t from = row.find_first_not_of(" \t\r", i);
      if (from == std::string_view::npos) break;
      const std::size_t to = std::min(row.find_first_of(" \t\r", from), row.size());
      line.words.push_back(row.substr(from, to - from));
      i = to;
    }
    if (!line.words.empty() && line.words[0].front() != '#') text.lines.push_back(std::move(line));
    start = end + 1;
  }
}

bool to_number(std::string_view word, double& value) {
  const auto [end, code] = std::from_chars(word.data(), word.data() + word.size(), value);
  return code == std::errc{} && end == word.data() + word.size() && std::isfinite(value);
}

/// Numbers of a line from word `first` on; false when one is not a number or too few are there.
bool numbers(const Line& line, std::size_t first, std::size_t count, std::vector<double>& out) {
  out.assign(count, 0);
  if (line.words.size() < first + count) return false;
  for (std::size_t i = 0; i < count; ++i)
    if (!to_number(line.words[first + i], out[i])) return false;
  return true;
}

bool is_node(double value, int count) {
  return value >= 1 && value <= count && value == std::floor(value);
}

Result<Instance> read_steiner(const Text& text) {
  Problem problem;
  std::vector<int> terminals;
  bool in_graph = false, in_terminals = false;
  std::vector<double> n;
  for (const Line& line : text.lines) {
    const std::string_view word = line.words[0];
    if (word == "SECTION") {
      in_graph = line.words.size() > 1 && line.words[1] == "Graph";
      in_terminals = line.words.size() > 1 && line.words[1] == "Terminals";
    } else if (word == "END") {
      in_graph = in_terminals = false;
    } else if (in_graph && word == "Nodes") {
      if (!numbers(line, 1, 1, n) || n[0] < 1 || n[0] > kMostNodes)
        return wrong(text, line, "The number of nodes is missing or out of range.");
      problem.node_count = static_cast<int>(n[0]);
    } else if (in_graph && word == "E") {
      if (!numbers(line, 1, 3, n) || !is_node(n[0], problem.node_count) ||
          !is_node(n[1], problem.node_count) || n[2] < 0)
        return wrong(text, line, "An edge needs two nodes and a cost that is not negative.");
      if (n[0] == n[1]) continue;
      Edge edge;
      edge.a = static_cast<int>(n[0]) - 1;
      edge.b = static_cast<int>(n[1]) - 1;
      edge.charges.push_back(static_cast<int>(problem.charges.size()));
      problem.charges.push_back({n[2]});
      problem.edges.push_back(edge);
    } else if (in_terminals && word == "T") {
      if (!numbers(line, 1, 1, n) || !is_node(n[0], problem.node_count))
        return wrong(text, line, "A terminal must be a node.");
      terminals.push_back(static_cast<int>(n[0]) - 1);
    }
  }
  for (std::size_t i = 1; i < terminals.size(); ++i) {
    Commodity commodity;
    commodity.source = terminals[0];
    commodity.target = terminals[i];
    problem.commodities.push_back(commodity);
  }
  if (terminals.empty())
    return Error{"instance.format", "There is no terminal.", text.path,
                 "A Steiner instance needs a section Terminals."};
  return Instance{"steiner", std::move(problem)};
}

struct Balance {
  std::vector<FlowArc> arcs;
  std::vector<double> demand;  ///< one a node; negative: a source
};

Result<Balance> read_balance(const Text& text) {
  Balance balance;
  std::vector<double> n;
  int nodes = 0;
  for (const Line& line : text.lines) {
    const std::string_view word = line.words[0];
    if (word == "nodes") {
      if (!numbers(line, 1, 1, n) || n[0] < 1 || n[0] > kMostNodes)
        return wrong(text, line, "The number of nodes is missing or out of range.");
      nodes = static_cast<int>(n[0]);
      balance.demand.assign(static_cast<std::size_t>(nodes), 0.0);
    } else if (word == "a") {
      if (!numbers(line, 1, 4, n) || !is_node(n[0], nodes) || !is_node(n[1], nodes) || n[2] < 0 ||
          n[3] < 0)
        return wrong(text, line, "An arc needs two nodes and two prices that are not negative.");
      balance.arcs.push_back(
          {static_cast<int>(n[0]) - 1, static_cast<int>(n[1]) - 1, n[2], n[3], kUnlimited});
    } else if (word == "d") {
      if (!numbers(line, 1, 2, n) || !is_node(n[0], nodes))
        return wrong(text, line, "A demand needs a node and an amount.");
      balance.demand[static_cast<std::size_t>(n[0]) - 1] += n[1];
    } else if (word != "arcs") {
      return wrong(text, line, "The line is none of nodes, arcs, a and d.");
    }
  }
  return balance;
}

Problem paths_from(const Balance& balance, int source) {
  Problem problem;
  problem.node_count = static_cast<int>(balance.demand.size());
  for (const FlowArc& arc : balance.arcs) {
    if (arc.tail == arc.head) continue;
    Edge edge;
    edge.a = arc.tail;
    edge.b = arc.head;
    edge.one_way = true;
    edge.cost = arc.cost;
    if (arc.fixed > 0) {
      edge.charges.push_back(static_cast<int>(problem.charges.size()));
      problem.charges.push_back({arc.fixed});
    }
    problem.edges.push_back(edge);
  }
  for (int v = 0; v < problem.node_count; ++v) {
    const double demand = balance.demand[static_cast<std::size_t>(v)];
    if (demand <= 0) continue;
    Commodity commodity;
    commodity.source = source;
    commodity.target = v;
    commodity.rate = demand;
    problem.commodities.push_back(commodity);
  }
  return problem;
}

Result<Instance> read_flow(const Text& text) {
  Result<Balance> read = read_balance(text);
  if (!read) return read.error();
  const Balance& balance = *read;
  std::vector<int> sources;
  double sum = 0;
  for (std::size_t v = 0; v < balance.demand.size(); ++v) {
    if (balance.demand[v] < 0) sources.push_back(static_cast<int>(v));
    sum += balance.demand[v];
  }
  if (sources.empty() || sum > 1e-6)
    return Error{"instance.format", "The sources give less than the sinks take.", text.path,
                 "Check the lines that begin with d."};
  if (sources.size() == 1) return Instance{"fixed-charge flow", paths_from(balance, sources[0])};
  FlowProblem problem;
  problem.node_count = static_cast<int>(balance.demand.size()) + 1;
  problem.arcs = balance.arcs;
  const int origin = problem.node_count - 1;
  for (int v : sources)
    problem.arcs.push_back({origin, v, 0, 0, -balance.demand[static_cast<std::size_t>(v)]});
  for (int v = 0; v < origin; ++v)
    if (balance.demand[static_cast<std::size_t>(v)] > 0)
      problem.demands.push_back({origin, v, balance.demand[static_cast<std::size_t>(v)]});
  return Instance{"fixed-charge flow", std::move(problem)};
}

/// First line a title, then nodes, arcs and commodities; tail head cost capacity fixed . .;
/// from to amount.
Result<Instance> read_capacitated(const Text& text) {
  FlowProblem problem;
  std::vector<double> n;
  const Line& sizes = text.lines[1];
  if (!numbers(sizes, 0, 3, n) || n[0] < 1 || n[1] < 0 || n[2] < 0 || n[0] > kMostNodes)
    return wrong(text, sizes, "Expected the numbers of nodes, arcs and commodities.");
  problem.node_count = static_cast<int>(n[0]);
  const auto arcs = static_cast<std::size_t>(n[1]), demands = static_cast<std::size_t>(n[2]);
  if (text.lines.size() < 2 + arcs + demands)
    return wrong(text, sizes, "The file holds fewer lines than it announces.");
  for (std::size_t i = 0; i < arcs; ++i) {
    const Line& line = text.lines[2 + i];
    if (!numbers(line, 0, 5, n) || !is_node(n[0], problem.node_count) ||
        !is_node(n[1], problem.node_count) || n[2] < 0 || n[3] < 0 || n[4] < 0)
      return wrong(text, line, "An arc needs two nodes, cost, capacity and fixed price.");
    problem.arcs.push_back(
        {static_cast<int>(n[0]) - 1, static_cast<int>(n[1]) - 1, n[4], n[2], n[3]});
  }
  for (std::size_t i = 0; i < demands; ++i) {
    const Line& line = text.lines[2 + arcs + i];
    if (!numbers(line, 0, 3, n) || !is_node(n[0], problem.node_count) ||
        !is_node(n[1], problem.node_count) || n[2] < 0)
      return wrong(text, line, "A commodity needs two nodes and an amount.");
    problem.demands.push_back({static_cast<int>(n[0]) - 1, static_cast<int>(n[1]) - 1, n[2]});
  }
  return Instance{"capacitated design", std::move(problem)};
}

}  // namespace

Result<Instance> read_instance(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file)
    return Error{"instance.unreadable", "The file cannot be opened.", path, "Check the path."};
  std::ostringstream buffer;
  buffer << file.rdbuf();
  Text text{path, buffer.str(), {}};
  split(text);
  double number = 0;
  if (!text.lines.empty()) {
    const Line& first = text.lines[0];
    if (first.words[0] == "SECTION" || first.words[0] == "33D32945") return read_steiner(text);
    if (first.words[0] == "nodes") return read_flow(text);
    if (text.lines.size() > 1 && to_number(text.lines[1].words[0], number))
      return read_capacitated(text);
  }
  return Error{"instance.format", "The file is none of the formats known.", path,
               "Give a Steiner tree graph (.gr), a fixed-charge flow (.fcn) or a capacitated "
               "design (.dow)."};
}

}  // namespace roomloom::network
