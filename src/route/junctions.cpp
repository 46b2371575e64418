#include "route/junctions.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>
#include <numeric>

namespace roomloom::route {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

constexpr double kStraight = 1 - 2e-6;  ///< cosine of 2e-3 radians
constexpr double kAngle = 5e-3;         ///< more than two such lines are off together, radians
constexpr std::size_t kMostAtPoint = 7;

/// Sets that grow together.
class Unions {
 public:
  explicit Unions(std::size_t count) : parent_(count) {
    std::iota(parent_.begin(), parent_.end(), 0);
  }
  int find(int item) {
    while (parent_[at(item)] != item) item = parent_[at(item)] = parent_[at(parent_[at(item)])];
    return item;
  }
  void join(int a, int b) { parent_[at(find(a))] = find(b); }

 private:
  std::vector<int> parent_;
};

bool is_plain_turn(const TrackEdge& edge) {
  return edge.closed_to == 0 && edge.only_end < 0 && edge.capacity_m2 <= 0 &&
         edge.options.empty() && edge.largest_diameter_m >= 1;
}

bool covers(const Hop& first, const Hop& second) {
  return first.cost <= second.cost + 1e-12 &&
         std::includes(second.charges.begin(), second.charges.end(), first.charges.begin(),
                       first.charges.end());
}

}  // namespace

ClearNeed least_need_between(const RunNeeds& run, const Line& line, const Line& next) {
  constexpr double kSurelyOn = 0.65, kSurelyOff = 0.75;  // the cosine between is 0.7
  const double angle = std::acos(std::min(1.0, std::abs(dot(line.direction, next.direction))));
  if (angle <= kNoBend + kAngle) return {};
  const Vec3 across =
      normalized(next.direction - dot(next.direction, line.direction) * line.direction);
  const double off = std::abs(dot(across, line.normal));
  if (off > kSurelyOn && off < kSurelyOff) return {};
  ClearNeed least{1, 1};
  for (const double turn : {angle, kPi - angle})
    for (const double error : {-kAngle, kAngle}) {
      const ClearNeed need =
          need_of_bend(run, line.direction, next.direction, turn + error, line.normal);
      least.width_m = std::min(least.width_m, need.width_m);
      least.depth_m = std::min(least.depth_m, need.depth_m);
    }
  return least;
}

Junctions::Junctions(const Setting& setting) : setting_(setting) {
  find_lines();
  split_nodes();
  find_points();
  find_kinds_of_node();
  for (const std::vector<int>& point : points_)
    for (const int node : point) find_hops(node);
}

int Junctions::room_node(int node) const {
  const auto own = setting_.tracks.nodes.size();
  return at(node) < own ? node : room_node_[at(node) - own];
}

int Junctions::end_of_stretch(int edge, int node) const {
  const bool split = split_[at(node)] >= 0 && !is_leg(setting_.tracks.edges[at(edge)]);
  return split ? split_[at(node)] : node;
}

const Line& Junctions::line_of(int node) const { return lines_[at(line_at_[at(node)])]; }

/// Stretches of raceway that meet at a node of the tracks are of one line.
void Junctions::find_lines() {
  const Tracks& tracks = setting_.tracks;
  Unions unions(tracks.nodes.size());
  for (const TrackEdge& edge : tracks.edges)
    if (is_leg(edge)) unions.join(edge.a, edge.b);
  line_at_.assign(tracks.nodes.size(), -1);
  std::map<int, int> line_of_set;
  for (const TrackEdge& edge : tracks.edges) {
    if (!is_leg(edge)) continue;
    const Vec3 direction =
        normalized(tracks.nodes[at(edge.b)].position - tracks.nodes[at(edge.a)].position);
    const Vec3 normal = setting_.room.sheets[at(edge.home.index)].frame.n;
    const auto [found, added] =
        line_of_set.try_emplace(unions.find(edge.a), static_cast<int>(lines_.size()));
    if (added) lines_.push_back({direction, normal, true});
    Line& line = lines_[at(found->second)];
    if (std::abs(dot(line.direction, direction)) < kStraight ||
        std::abs(dot(line.normal, normal)) < kStraight)
      line.straight = false;
    line_at_[at(edge.a)] = line_at_[at(edge.b)] = found->second;
  }
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.length_m > 0 || line_at_[at(edge.a)] < 0 || line_at_[at(edge.b)] < 0) continue;
    Line& a = lines_[at(line_at_[at(edge.a)])];
    Line& b = lines_[at(line_at_[at(edge.b)])];
    const double angle = std::acos(std::min(1.0, std::abs(dot(a.direction, b.direction))));
    if (&a == &b || angle <= kNoBend + kAngle) a.straight = b.straight = false;
  }
}

void Junctions::split_nodes() {
  const Tracks& tracks = setting_.tracks;
  const std::size_t count = tracks.nodes.size();
  split_.assign(count, -1);
  for (const TrackEdge& edge : tracks.edges)
    for (const int node : {edge.a, edge.b}) {
      if (edge.length_m <= 0 || is_leg(edge) || line_at_[at(node)] < 0 || split_[at(node)] >= 0)
        continue;
      split_[at(node)] = static_cast<int>(count + room_node_.size());
      room_node_.push_back(node);
    }
  turns_.resize(count + room_node_.size());
  for (std::size_t node = 0; node < count; ++node)
    if (const int made = split_[node]; made >= 0) {
      turns_[node].push_back({made, -1, true});
      turns_[at(made)].push_back({static_cast<int>(node), -1, true});
    }
  for (std::size_t e = 0; e < tracks.edges.size(); ++e) {
    const TrackEdge& edge = tracks.edges[e];
    const int index = static_cast<int>(e);
    if (edge.length_m > 0) continue;
    turns_[at(edge.a)].push_back({edge.b, index, true});
    turns_[at(edge.b)].push_back({edge.a, index, false});
  }
}

void Junctions::find_points() {
  Unions unions(turns_.size());
  for (std::size_t node = 0; node < turns_.size(); ++node)
    for (const Turn& turn : turns_[node]) unions.join(static_cast<int>(node), turn.to);
  std::map<int, std::vector<int>> sets;
  for (std::size_t node = 0; node < turns_.size(); ++node)
    sets[unions.find(static_cast<int>(node))].push_back(static_cast<int>(node));
  for (auto& [root, nodes] : sets)
    if (nodes.size() > 1) points_.push_back(std::move(nodes));
}

void Junctions::find_kinds_of_node() {
  copied_.assign(turns_.size(), 0);
  parted_ = plain_ = copied_;
  std::vector<char> kept(turns_.size(), 0);
  for (std::size_t node = 0; node < setting_.is_terminal.size(); ++node)
    kept[node] = setting_.is_terminal[node];
  for (const RunNeeds& run : setting_.runs) {
    for (const int node : {run.from_node, run.to_node})
      if (node >= 0) kept[at(node)] = 1;
    for (const int node : run.via_nodes) kept[at(node)] = 1;
  }
  for (std::size_t node = 0; node < turns_.size(); ++node)
    copied_[node] = node < line_at_.size() && line_at_[node] >= 0 && kept[node] == 0 &&
                    line_of(static_cast<int>(node)).straight;
  for (const std::vector<int>& point : points_) {
    bool plain = point.size() <= kMostAtPoint;
    for (const int node : point)
      for (const Turn& turn : turns_[at(node)])
        plain = plain && (turn.edge < 0 || is_plain_turn(setting_.tracks.edges[at(turn.edge)]));
    for (const int node : point) {
      plain_[at(node)] = plain ? 1 : 0;
      parted_[at(node)] = plain && kept[at(node)] == 0 ? 1 : 0;
      if (!plain) copied_[at(node)] = 0;
    }
  }
}

Hop Junctions::led_on(const Hop& hop, const Turn& turn) const {
  Hop next = hop;
  next.to = turn.to;
  if (turn.edge < 0) return next;
  const TrackEdge& edge = setting_.tracks.edges[at(turn.edge)];
  next.steps.push_back({turn.edge, turn.forward});
  next.cost += edge.per_run_cost;
  next.turn_rad += edge.turn_rad;
  next.charges.insert(next.charges.end(), edge.charges.begin(), edge.charges.end());
  std::sort(next.charges.begin(), next.charges.end());
  next.charges.erase(std::unique(next.charges.begin(), next.charges.end()), next.charges.end());
  return next;
}

void Junctions::find_hops(int from) {
  std::deque<Hop> open{Hop{from, from, {}, {}, 0, 0, plain_[at(from)] != 0}};
  std::vector<Hop> found;
  while (!open.empty()) {
    const Hop hop = open.front();
    open.pop_front();
    for (const Turn& turn : turns_[at(hop.to)]) {
      if (turn.to == from || (!hop.one_way && turn.to < from)) continue;
      const Hop next = led_on(hop, turn);
      const auto better = [&](const Hop& known) {
        return known.to == next.to && covers(known, next);
      };
      if (std::any_of(found.begin(), found.end(), better)) continue;
      std::erase_if(found,
                    [&](const Hop& known) { return known.to == next.to && covers(next, known); });
      found.push_back(next);
      if (next.one_way) open.push_back(next);
    }
  }
  hops_.insert(hops_.end(), found.begin(), found.end());
}

}  // namespace roomloom::route
