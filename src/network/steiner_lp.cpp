#include "network/steiner_lp.h"

#include <algorithm>
#include <cmath>
#include <coin/ClpSimplex.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <limits>

namespace roomloom::network {
namespace {

constexpr double kViolated = 2e-6;
constexpr double kUnbalanced = 1e-5;
constexpr double kTiny = 1e-9;
/// Capacity of every arc beside its value, so that cuts stay small.
constexpr double kCreep = 1e-6;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

SteinerLp::SteinerLp(const SteinerCore& core, const SteinerDual& dual)
    : core_(core),
      dual_(dual),
      root_(dual.root),
      simplex_(std::make_unique<ClpSimplex>()),
      entering_row_(at(core.node_count), -1),
      held_(at(core.node_count), -1),
      fixed_(2 * core.edges.size(), 0) {
  build();
}

SteinerLp::~SteinerLp() = default;

void SteinerLp::build() {
  const int arcs = static_cast<int>(2 * core_.edges.size());
  std::vector<int> tails, heads, rows, columns;
  std::vector<double> elements, row_low, row_high, cost;
  const auto put = [&](int row, int column, double element) {
    rows.push_back(row);
    columns.push_back(column);
    elements.push_back(element);
  };
  for (int arc = 0; arc < arcs; ++arc) {
    tails.push_back(core_.tail(arc));
    heads.push_back(core_.head(arc));
    cost.push_back(core_.edges[at(arc >> 1)].cost);
  }
  flow_ = std::make_unique<MaxFlow>(core_.node_count, tails, heads);
  for (int v = 0; v < core_.node_count; ++v) {
    if (v == root_ || !core_.is_terminal[at(v)]) continue;
    const int row = entering_row_[at(v)] = static_cast<int>(row_low.size());
    row_low.push_back(1);
    row_high.push_back(1);
    for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
      const int leaving = core_.leaving[at(i)];
      put(row, leaving ^ 1, 1);
    }
  }
  std::vector<double> low(at(arcs), 0.0), high(at(arcs), 1.0);
  for (int i = core_.begin[at(root_)]; i < core_.begin[at(root_) + 1]; ++i) {
    high[at(core_.leaving[at(i)] ^ 1)] = 0;
    fixed_[at(core_.leaving[at(i)] ^ 1)] = 1;
  }
  const double shift = lower_terminals(cost);
  CoinPackedMatrix matrix(true, rows.data(), columns.data(), elements.data(),
                          static_cast<CoinBigIndex>(rows.size()));
  matrix.setDimensions(static_cast<int>(row_low.size()), arcs);
  simplex_->setLogLevel(0);
  simplex_->setPerturbation(50);  // these programmes are most degenerate
  simplex_->loadProblem(matrix, low.data(), high.data(), cost.data(), row_low.data(),
                        row_high.data());
  simplex_->setObjectiveOffset(-shift);
  for (const std::vector<int>& cut : dual_.cuts) {
    new_columns_.push_back(cut);
    new_elements_.emplace_back(cut.size(), 1.0);
    new_low_.push_back(1);
  }
  flush();
}

/// One arc enters each terminal but the root: what all of them cost can be paid beforehand, so that
/// a large share common to all does not drown the differences. @return what is paid
double SteinerLp::lower_terminals(std::vector<double>& cost) const {
  double paid = 0;
  for (int t : core_.terminals) {
    if (t == root_) continue;
    double least = std::numeric_limits<double>::infinity();
    for (int i = core_.begin[at(t)]; i < core_.begin[at(t) + 1]; ++i)
      least = std::min(least, cost[at(core_.leaving[at(i)] ^ 1)]);
    for (int i = core_.begin[at(t)]; i < core_.begin[at(t) + 1]; ++i)
      cost[at(core_.leaving[at(i)] ^ 1)] -= least;
    paid += least;
  }
  return paid;
}

void SteinerLp::flush() {
  if (new_columns_.empty()) return;
  std::vector<CoinBigIndex> starts{0};
  std::vector<int> columns;
  std::vector<double> elements;
  for (std::size_t i = 0; i < new_columns_.size(); ++i) {
    columns.insert(columns.end(), new_columns_[i].begin(), new_columns_[i].end());
    elements.insert(elements.end(), new_elements_[i].begin(), new_elements_[i].end());
    starts.push_back(static_cast<CoinBigIndex>(columns.size()));
  }
  const std::vector<double> high(new_low_.size(), COIN_DBL_MAX);
  simplex_->addRows(static_cast<int>(new_low_.size()), new_low_.data(), high.data(), starts.data(),
                    columns.data(), elements.data());
  new_columns_.clear();
  new_elements_.clear();
  new_low_.clear();
}

SteinerLp::State SteinerLp::resolve(double limit, double seconds_left) {
  simplex_->setMaximumSeconds(seconds_left);
  simplex_->dual();
  iterations_ += simplex_->numberIterations();
  if (simplex_->status() == 1) return State::infeasible;
  if (simplex_->status() != 0) return State::stopped;
  return simplex_->objectiveValue() >= limit ? State::infeasible : State::solved;
}

double SteinerLp::value() const { return simplex_->objectiveValue(); }

double SteinerLp::violation_of(const std::vector<char>& sink_side,
                               const std::vector<double>& x) const {
  double sum = 0;
  for (int arc = 0; arc < static_cast<int>(x.size()); ++arc)
    if (sink_side[at(core_.head(arc))] && !sink_side[at(core_.tail(arc))]) sum += x[at(arc)];
  return 1 - sum;
}

/// x(cut) >= 1 for a terminal; x(cut) >= what enters the node for a node held in the tree.
bool SteinerLp::add_cut(const std::vector<char>& sink_side, int node) {
  std::vector<int> columns;
  std::vector<double> elements;
  const bool terminal = core_.is_terminal[at(node)] != 0;
  for (int arc = 0; arc < static_cast<int>(2 * core_.edges.size()); ++arc) {
    if (fixed_[at(arc)]) continue;
    const int tail = core_.tail(arc), head = core_.head(arc);
    double element = sink_side[at(head)] && !sink_side[at(tail)] ? 1 : 0;
    if (!terminal && head == node) element -= 1;
    if (element == 0) continue;
    columns.push_back(arc);
    elements.push_back(element);
  }
  if (terminal && !seen_cuts_.insert(columns).second) return false;
  add_row(std::move(columns), std::move(elements), terminal ? 1 : 0);
  return true;
}

void SteinerLp::add_row(std::vector<int> columns, std::vector<double> elements, double low) {
  new_columns_.push_back(std::move(columns));
  new_elements_.push_back(std::move(elements));
  new_low_.push_back(low);
}

/// What leaves a node is no less than what enters it, and that at most 1.
int SteinerLp::separate_nodes(const std::vector<double>& x) {
  int found = 0;
  for (int v = 0; v < core_.node_count; ++v) {
    if (v == root_ || core_.is_terminal[at(v)]) continue;
    double in = 0, out = 0;
    std::vector<int> entering, all;
    std::vector<double> signs;
    for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
      const int leaving = core_.leaving[at(i)];
      in += x[at(leaving ^ 1)];
      out += x[at(leaving)];
      entering.push_back(leaving ^ 1);
      all.insert(all.end(), {leaving, leaving ^ 1});
      signs.insert(signs.end(), {1.0, -1.0});
    }
    if (in > out + kUnbalanced) {
      add_row(std::move(all), std::move(signs), 0);
      ++found;
    }
    if (in > 1 + kUnbalanced) {
      const std::vector<double> minus(entering.size(), -1.0);
      add_row(std::move(entering), minus, -1);
      ++found;
    }
  }
  return found;
}

int SteinerLp::separate(const std::function<bool()>& out_of_time) {
  const std::vector<double> x = arc_values();
  const int at_nodes = separate_nodes(x);
  int found = guide_.empty() ? 0 : separate_cuts(x, true, out_of_time);
  if (found == 0) found = separate_cuts(x, false, out_of_time);
  flush();
  return found + at_nodes;
}

int SteinerLp::separate_cuts(const std::vector<double>& x, bool guided,
                             const std::function<bool()>& out_of_time) {
  std::vector<int> goals;
  for (int v = 0; v < core_.node_count; ++v)
    if (v != root_ && (core_.is_terminal[at(v)] || held_[at(v)] == 1)) goals.push_back(v);
  std::vector<double> capacity = x;
  for (std::size_t a = 0; a < capacity.size(); ++a)
    capacity[a] = fixed_[a] ? -1 : std::max(0.0, capacity[a]);
  if (guided)
    for (std::size_t a = 0; a < capacity.size(); ++a)
      if (!fixed_[a]) capacity[a] = (capacity[a] + guide_[a]) / 2;
  seen_cuts_.clear();
  const int wanted = std::max(500, std::min(2000, 3 * static_cast<int>(goals.size())));
  std::vector<char> covered(at(core_.node_count), 0);
  int found = 0;
  const auto add = [&](const std::vector<char>& sink_side, int goal) {
    if (violation_of(sink_side, x) <= kViolated) return false;
    found += add_cut(sink_side, goal) ? 1 : 0;
    return true;
  };
  for (std::size_t i = 0; i < goals.size() && found < wanted && !out_of_time(); ++i) {
    const int goal = goals[(turn_ + i) % goals.size()];
    if (covered[at(goal)]) continue;  // by a cut of this round, which holds for it too
    std::vector<double> nested = capacity;
    for (int depth = 0; depth < 3; ++depth) {
      const double flow = flow_->run(root_, goal, nested, 1);
      if (flow >= 1 - kViolated || flow_->widen(flow, kCreep, nested, 1) >= 1 - kTiny) break;
      const std::vector<char> near = flow_->sink_side();
      std::vector<char> far = flow_->source_side();
      for (char& c : far) c = !c;
      if (add(near, goal) && depth == 0 && core_.is_terminal[at(goal)])
        for (int other : goals) covered[at(other)] |= near[at(other)];
      if (far != near) add(far, goal);
      for (int arc = 0; arc < static_cast<int>(nested.size()); ++arc) {
        const bool in_near = near[at(core_.head(arc))] && !near[at(core_.tail(arc))];
        const bool in_far = far[at(core_.head(arc))] && !far[at(core_.tail(arc))];
        if (in_near || in_far) nested[at(arc)] = 1;
      }
    }
    if (found >= wanted) turn_ = (turn_ + i + 1) % goals.size();
  }
  return found;
}

std::vector<double> SteinerLp::arc_values() const {
  const double* x = simplex_->getColSolution();
  return {x, x + simplex_->numberColumns()};
}

std::vector<double> SteinerLp::edge_values() const {
  const std::vector<double> x = arc_values();
  std::vector<double> values(core_.edges.size());
  for (std::size_t e = 0; e < values.size(); ++e) values[e] = std::max(x[2 * e], x[2 * e + 1]);
  return values;
}

std::vector<double> SteinerLp::node_values() const {
  const std::vector<double> x = arc_values();
  std::vector<double> values(at(core_.node_count), 0.0);
  for (int arc = 0; arc < static_cast<int>(x.size()); ++arc)
    values[at(core_.head(arc))] += x[at(arc)];
  return values;
}

/// By the ways that a tree with the arc has: from the root to it, and on to a terminal.
int SteinerLp::fix_arcs(double limit) {
  const double* reduced = simplex_->getReducedCost();
  SteinerDual dual;
  dual.root = root_;
  dual.bound = simplex_->objectiveValue();
  for (std::size_t a = 0; a < fixed_.size(); ++a)
    dual.reduced.push_back(fixed_[a] ? std::numeric_limits<double>::infinity()
                                     : std::max(0.0, reduced[a]));
  const std::vector<char> usable = usable_arcs(core_, dual, limit + 1e-9 * std::abs(limit));
  int count = 0;
  for (std::size_t a = 0; a < fixed_.size(); ++a) {
    if (!fixed_[a] && !usable[a]) {
      fixed_[a] = 1;
      simplex_->setColumnUpper(static_cast<int>(a), 0);
    }
    count += fixed_[a];
  }
  return count;
}

std::vector<char> SteinerLp::dead_edges() const {
  std::vector<char> dead(core_.edges.size());
  for (std::size_t e = 0; e < dead.size(); ++e) dead[e] = fixed_[2 * e] && fixed_[2 * e + 1];
  return dead;
}

void SteinerLp::hold(int node, int state) {
  held_[at(node)] = state;
  int& row = entering_row_[at(node)];
  if (row < 0) {
    std::vector<int> columns;
    for (int i = core_.begin[at(node)]; i < core_.begin[at(node) + 1]; ++i)
      columns.push_back(core_.leaving[at(i)] ^ 1);
    const std::vector<double> ones(columns.size(), 1.0);
    row = simplex_->numberRows();
    simplex_->addRow(static_cast<int>(columns.size()), columns.data(), ones.data(), 0, 1);
  }
  simplex_->setRowBounds(row, state == 1 ? 1 : 0, state == 0 ? 0 : 1);
}

void SteinerLp::hold_arc(int arc, int state) {
  const double high = state == 0 || fixed_[at(arc)] ? 0 : 1;
  simplex_->setColumnBounds(arc, state == 1 ? 1 : 0, high);
}

void SteinerLp::drop_slack_rows() {
  const auto rows = at(simplex_->numberRows());
  std::vector<char> of_node(rows, 0);
  for (int row : entering_row_)
    if (row >= 0) of_node[at(row)] = 1;
  std::vector<int> slack, number(rows);
  const double* activity = simplex_->getRowActivity();
  for (std::size_t r = 0; r < rows; ++r) {
    const int row = static_cast<int>(r);
    number[r] = row - static_cast<int>(slack.size());
    if (!of_node[r] && simplex_->getRowStatus(row) == ClpSimplex::basic &&
        activity[r] > simplex_->getRowLower()[r] + 1e-3)
      slack.push_back(row);
  }
  if (slack.size() <= 100) return;
  simplex_->deleteRows(static_cast<int>(slack.size()), slack.data());
  for (int& row : entering_row_)
    if (row >= 0) row = number[at(row)];
}

}  // namespace roomloom::network
