#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "geometry/arc.h"
#include "tracks/layout.h"

// From points and stretches to nodes and edges: a copy of each point for every direction in which
// tracks leave it, joined by turns that carry the bend and, in raceway, the fitting. What lies free
// has no direction of its own; where it meets a track each such way has a copy for itself, so that
// it joins the track and no other free way: neither through the mouth of a hole that nobody cuts
// nor round a bend that nobody pays.

namespace roomloom::tracks {
namespace {

constexpr double kSameAxis = 0.9998;  ///< cosine of about one degree
constexpr double kNoBend = 0.1745;    ///< 10 degrees: flatter turns need neither bend nor fitting

/// A direction in which tracks leave a point, and what lies that way.
struct Copy {
  Vec3 axis;
  PlaceId home;
  bool raceway = false;
  std::uint32_t media = 0;
  int node = -1;
};

struct Finisher {
  Layout& layout;
  Tracks tracks;
  std::vector<std::vector<Copy>> copies;
  std::vector<char> on_track;  ///< by point: something but a free way leaves it

  const Vec3& position(int point) const {
    return layout.draft.points[static_cast<std::size_t>(point)].position;
  }

  Copy& copy_for(int point, const Stretch& stretch) {
    std::vector<Copy>& here = copies[static_cast<std::size_t>(point)];
    const Vec3 axis = stretch.free_direction || stretch.kind == EdgeKind::crossing
                          ? crossing_axis(stretch)
                          : normalized(position(stretch.b) - position(stretch.a));
    const bool by_itself = on_track[static_cast<std::size_t>(point)] != 0;
    const auto same = [&](const Copy& copy) {
      if (axis == Vec3{}) return copy.axis == Vec3{} && !by_itself;
      return std::abs(dot(copy.axis, axis)) > kSameAxis;
    };
    for (Copy& copy : here)
      if (same(copy)) return copy;
    TrackNode node{position(point), stretch.home, axis};
    here.push_back({axis, stretch.home, false, 0, static_cast<int>(tracks.nodes.size())});
    tracks.nodes.push_back(node);
    return here.back();
  }

  Vec3 crossing_axis(const Stretch& stretch) const {
    if (stretch.free_direction) return {};
    return normalized(position(stretch.b) - position(stretch.a));
  }

  int charge(const Charge& made) {
    tracks.charges.push_back(made);
    return static_cast<int>(tracks.charges.size()) - 1;
  }
};

/// The fill limit's share of the published clear area; of the inner section where none is
/// published.
double raceway_capacity_m2(const RacewayType& raceway, const Preferences& prefer) {
  const double inner = raceway.inner_width_m * raceway.inner_depth_m;
  return (raceway.usable_area_m2 > 0 ? raceway.usable_area_m2 : inner) * prefer.fill_limit;
}

void add_options(Finisher& finisher, TrackEdge& edge) {
  const Job& job = finisher.layout.job;
  for (std::size_t i = 0; i < job.catalogue.raceways.size(); ++i) {
    const RacewayType& raceway = job.catalogue.raceways[i];
    edge.options.push_back(static_cast<int>(finisher.tracks.options.size()));
    finisher.tracks.options.push_back({static_cast<int>(i),
                                       raceway_capacity_m2(raceway, job.prefer),
                                       raceway.price_per_m * edge.length_m});
  }
}

void charge_by_metre(Finisher& finisher, TrackEdge& edge, const Vec3& middle) {
  const Preferences& prefer = finisher.layout.job.prefer;
  switch (edge.medium) {
    case Medium::raceway:
      edge.charges.push_back(
          finisher.charge(raceway_charge(prefer, edge.length_m, edge.visible_m, middle)));
      add_options(finisher, edge);
      break;
    case Medium::support:
      edge.charges.push_back(finisher.charge(support_charge(prefer, edge.length_m, middle)));
      break;
    case Medium::bare:
    case Medium::bay:
      edge.charges.push_back(
          finisher.charge(bare_charge(prefer, edge.length_m, edge.visible_m, middle)));
      if (edge.medium == Medium::bay) finisher.tracks.charges.back().kind = ChargeKind::bay;
      break;
    default:
      if (edge.visible_m > 0) {
        Charge seen{.kind = ChargeKind::visible, .where = middle, .name = "seen"};
        seen.visible_m = edge.visible_m;
        seen.price = seen.visible_m * prefer.money_per_visible_m;
        edge.charges.push_back(finisher.charge(seen));
      }
      break;
  }
}

void add_stretch(Finisher& finisher, const Stretch& stretch) {
  TrackEdge edge;
  edge.a = finisher.copy_for(stretch.a, stretch).node;
  edge.b = finisher.copy_for(stretch.b, stretch).node;
  if (stretch.medium == Medium::raceway) {
    finisher.copy_for(stretch.a, stretch).raceway = true;
    finisher.copy_for(stretch.b, stretch).raceway = true;
  }
  edge.kind = stretch.kind;
  edge.medium = stretch.medium;
  edge.home = stretch.home;
  edge.length_m = distance(finisher.position(stretch.a), finisher.position(stretch.b));
  edge.visible_m = stretch.visible_weight * edge.length_m;
  edge.closed_to = stretch.closed_to;
  edge.largest_diameter_m = stretch.largest_diameter_m;
  edge.capacity_m2 = stretch.capacity_m2;
  edge.charges = stretch.charges;
  edge.crossing = stretch.crossing;
  edge.only_end = stretch.only_end;
  charge_by_metre(finisher, edge,
                  0.5 * (finisher.position(stretch.a) + finisher.position(stretch.b)));
  finisher.tracks.edges.push_back(edge);
}

int seam_between(const Room& room, const PlaceId& a, const PlaceId& b) {
  for (std::size_t i = 0; i < room.seams.size(); ++i)
    if ((room.seams[i].a == a.index && room.seams[i].b == b.index) ||
        (room.seams[i].a == b.index && room.seams[i].b == a.index))
      return static_cast<int>(i);
  return -1;
}

const char* fitting_name(const Room& room, const TrackEdge& turn) {
  if (turn.kind != EdgeKind::fold) return "flat elbow";
  return room.seams[static_cast<std::size_t>(turn.seam)].dihedral_rad < kPi ? "inside corner"
                                                                            : "outside corner";
}

/// Tracks that leave a point on two sheets fold at the sheets' seam, unless one runs along it.
void find_fold(const Finisher& finisher, const Copy& from, const Copy& to, TrackEdge& turn) {
  if (from.home == to.home || from.home.kind != PlaceKind::sheet ||
      to.home.kind != PlaceKind::sheet)
    return;
  const int seam = seam_between(finisher.layout.room, from.home, to.home);
  if (seam < 0) return;
  const Seam& line = finisher.layout.room.seams[static_cast<std::size_t>(seam)];
  const Vec3 along = normalized(line.to - line.from);
  if (std::abs(dot(along, from.axis)) > kSameAxis || std::abs(dot(along, to.axis)) > kSameAxis)
    return;
  turn.kind = EdgeKind::fold;
  turn.seam = seam;
}

/// The change of direction between two tracks. Both are lines without a sense; the turn that a
/// cable makes is the smaller angle for tracks of one plane, and at a fold the seam's own.
double turn_angle(const Finisher& finisher, const Copy& from, const Copy& to,
                  const TrackEdge& turn) {
  if (from.axis == Vec3{} || to.axis == Vec3{}) return 0;
  if (turn.kind == EdgeKind::fold) {
    const Seam& seam = finisher.layout.room.seams[static_cast<std::size_t>(turn.seam)];
    const Vec3 along = normalized(seam.to - seam.from);
    if (std::abs(dot(along, from.axis)) < 0.01 && std::abs(dot(along, to.axis)) < 0.01)
      return std::abs(kPi - seam.dihedral_rad);
  }
  return std::acos(std::min(1.0, std::abs(dot(from.axis, to.axis))));
}

void add_turn(Finisher& finisher, const Copy& from, const Copy& to) {
  const Preferences& prefer = finisher.layout.job.prefer;
  if (from.axis == Vec3{} && to.axis == Vec3{}) return;
  TrackEdge turn;
  turn.kind = EdgeKind::turn;
  turn.a = from.node;
  turn.b = to.node;
  turn.home = from.home;
  turn.medium = from.raceway && to.raceway ? Medium::raceway : Medium::none;
  find_fold(finisher, from, to, turn);
  turn.turn_rad = turn_angle(finisher, from, to, turn);
  const bool is_free = from.axis == Vec3{} || to.axis == Vec3{};
  if (turn.turn_rad > kNoBend || is_free) turn.per_run_cost = bend_cost(prefer);
  if (turn.turn_rad > kNoBend && turn.medium == Medium::raceway) {
    const Vec3 where = finisher.tracks.nodes[static_cast<std::size_t>(from.node)].position;
    turn.charges.push_back(finisher.charge(fitting_charge(
        prefer, finisher.layout.nominal, fitting_name(finisher.layout.room, turn), where)));
  }
  finisher.tracks.edges.push_back(turn);
}

std::string what_moves_at(const Room& room, const Vec3& p) {
  for (const Swept& swept : room.swept)
    if (contains(swept.space, p)) return "the space " + swept.name;
  return "the space where something moves";
}

/// Raceway that ends at an end's own box needs nothing over its end, and what goes on passes
/// through the box. Where an end may only move to, there is no box.
bool at_a_box(const Ends& ends, const Vec3& p) {
  constexpr double kAtBox_m = 0.06;
  return std::any_of(ends.ends.begin(), ends.ends.end(),
                     [&](const End& end) { return distance(end.place.position, p) < kAtBox_m; });
}

/// Where raceway ends, its end is closed by an end piece, and where cable leaves it halfway an
/// outlet is cut: one of the two on each track at such a point, shared by all that leave it there.
/// It is paid on the step from a track with raceway to one without; for each track by itself, else
/// cable would leave one and enter the next for less than the elbow between them.
void charge_end_pieces(Finisher& finisher) {
  const Preferences& prefer = finisher.layout.job.prefer;
  std::map<std::size_t, int> charge_at;
  const auto charge_of = [&](std::size_t node, const Vec3& where) {
    const auto [found, added] = charge_at.try_emplace(node, -1);
    if (added)
      found->second = finisher.charge(end_piece_charge(prefer, finisher.layout.nominal, where));
    return found->second;
  };
  std::vector<char> raceway(finisher.tracks.nodes.size(), 0);
  for (const TrackEdge& edge : finisher.tracks.edges)
    if (edge.medium == Medium::raceway && edge.kind != EdgeKind::turn &&
        edge.kind != EdgeKind::fold)
      raceway[static_cast<std::size_t>(edge.a)] = raceway[static_cast<std::size_t>(edge.b)] = 1;
  for (TrackEdge& edge : finisher.tracks.edges) {
    const auto a = static_cast<std::size_t>(edge.a), b = static_cast<std::size_t>(edge.b);
    const bool turn = edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold;
    if (edge.medium == Medium::raceway) continue;
    for (const std::size_t node : {a, b}) {
      // A turn leaves raceway where its other side has none; a stretch where it has none itself.
      if (raceway[node] == 0 || (turn && raceway[a] == raceway[b])) continue;
      const Vec3& where = finisher.tracks.nodes[node].position;
      if (!at_a_box(finisher.layout.ends, where)) edge.charges.push_back(charge_of(node, where));
    }
  }
}

void add_terminals(Finisher& finisher) {
  for (const Anchor& anchor : finisher.layout.anchors) {
    if (anchor.end < 0) continue;
    Terminal terminal;
    terminal.end = anchor.end;
    terminal.alternative = anchor.alternative;
    const auto& copies = finisher.copies[static_cast<std::size_t>(anchor.point)];
    if (!copies.empty())
      terminal.node = copies.front().node;
    else
      terminal.blocked_by = anchor.blocked_by.empty()
                                ? what_moves_at(finisher.layout.room, anchor.position)
                                : anchor.blocked_by;
    finisher.tracks.terminals.push_back(terminal);
  }
}

void drop_repeats(GraphDraft& draft) {
  std::map<std::tuple<int, int, EdgeKind, Medium, int>, double> seen;
  for (Stretch& stretch : draft.stretches) {
    if (!stretch.alive) continue;
    const auto key = std::tuple(std::min(stretch.a, stretch.b), std::max(stretch.a, stretch.b),
                                stretch.kind == EdgeKind::lead_in ? EdgeKind::along : stretch.kind,
                                stretch.medium, stretch.only_end);
    if (!seen.try_emplace(key, stretch.visible_weight).second) stretch.alive = false;
  }
}

}  // namespace

Tracks finish(Layout& layout) {
  drop_repeats(layout.draft);
  layout.draft.tidy();
  weigh_by_sight(layout);  // after tidying: stretches of one line would no longer be alike
  Finisher finisher{layout, {}, {}, {}};
  finisher.copies.resize(layout.draft.points.size());
  finisher.tracks.charges = layout.charges;
  finisher.tracks.merge_tolerance_m = layout.tolerance_m;
  finisher.on_track.resize(layout.draft.points.size(), 0);
  for (const Stretch& stretch : layout.draft.stretches)
    if (stretch.alive && !stretch.free_direction)
      for (const int point : {stretch.a, stretch.b})
        finisher.on_track[static_cast<std::size_t>(point)] = 1;
  for (const Stretch& stretch : layout.draft.stretches)
    if (stretch.alive) add_stretch(finisher, stretch);
  for (const std::vector<Copy>& here : finisher.copies)
    for (std::size_t i = 0; i < here.size(); ++i)
      for (std::size_t j = i + 1; j < here.size(); ++j) add_turn(finisher, here[i], here[j]);
  charge_end_pieces(finisher);
  add_terminals(finisher);
  return std::move(finisher.tracks);
}

}  // namespace roomloom::tracks
