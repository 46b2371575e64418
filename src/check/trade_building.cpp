#include <algorithm>
#include <cmath>

#include "base/glob.h"
#include "base/units.h"
#include "check/csv_table.h"
#include "check/trade_check.h"
#include "trade/building.h"

namespace roomloom::check {
namespace {

bool upright(const ListedHole& hole) { return std::abs(hole.normal.z) < 0.3; }

/// The stud wall whose framing a hole goes through: the nearest part with studs.
const TradePart* framing_of(const TradeView& view, const ListedHole& hole) {
  const TradePart* best = nullptr;
  double least = 0.3;
  for (const TradePart& part : view.parts) {
    if (part.role != Role::wall || part.rule == nullptr || part.rule->build != Build::stud)
      continue;
    double squares = 0;
    for (int axis = 0; axis < 3; ++axis) {
      const double off = std::max(
          {part.box.low[axis] - hole.centre[axis], 0.0, hole.centre[axis] - part.box.high[axis]});
      squares += off * off;
    }
    if (std::sqrt(squares) >= least) continue;
    least = std::sqrt(squares);
    best = &part;
  }
  return best;
}

void check_stud_hole(const TradeView& view, const ListedHole& hole, const PartRule& rule,
                     Findings& findings) {
  const double depth = rule.wall_depth_m;
  const bool bearing = rule.bearing.value_or(true);
  const double greatest = trade::greatest_stud_hole_m(depth, bearing);
  const double left = 0.5 * (depth - hole.diameter_m);
  if (hole.diameter_m <= greatest + 1e-6 && left >= trade::kStudEdge_m - 1e-6) return;
  const bool strap = hole.diameter_m > trade::kPlateStrapShare * depth;
  tell(findings, "stud-hole", Level::must, hole.name,
       "Hole " + hole.name + " of " + view.small(hole.diameter_m) + " goes through framing " +
           view.small(depth) + " deep; " + (bearing ? "bearing" : "non-bearing") +
           " framing takes " + view.small(greatest) +
           (rule.bearing ? "" : " (taken for bearing: the job does not say)") + ", with " +
           view.small(trade::kStudEdge_m) + " left at the edge.",
       hole.centre,
       strap
           ? "Split the runs over several holes; a plate cut by more than half gets a steel strap."
           : "Split the runs over several holes, or say \"bearing\": false if it carries nothing.",
       {view.small(hole.diameter_m) + ", " + view.small(left) + " left",
        view.small(greatest) + ", " + view.small(trade::kStudEdge_m) + " left"});
}

/// Of a tile's hole: distances of its middle from the tile's low sides; none if the list lacks it.
std::optional<Vec2> in_tile(const Written& written, const ListedHole& hole) {
  const CsvTable table(written.hole_list);
  const std::size_t key = table.column("Hole");
  if (key == CsvTable::npos) return std::nullopt;
  const auto* row = table.row_of(hole.name, key);
  const std::size_t left = table.column("From the first side");
  const std::size_t near = table.column("From the second side");
  if (row == nullptr || left == CsvTable::npos || near == CsvTable::npos) return std::nullopt;
  const auto u = table.length_m(*row, left), v = table.length_m(*row, near);
  if (!u || !v) return std::nullopt;
  return Vec2{*u, *v};
}

/// Pitch of the tiles round a hole, by the job; none where it does not say.
std::optional<Vec2> tile_pitch(const TradeView& view, const ListedHole& hole) {
  const TradePart* part = view.part_of_hole(hole);
  if (part == nullptr || part->role != Role::suspended_ceiling || part->rule == nullptr ||
      !part->rule->tile_m)
    return std::nullopt;
  return Vec2{(*part->rule->tile_m)[0], (*part->rule->tile_m)[1]};
}

constexpr double kWallEdge = 0.03;

/// Whether a wall is so near: a tile's edge there lies on the wall's trim, not on a tee.
bool wall_near(const TradeView& view, const ListedHole& hole, double within) {
  const Vec3 below = hole.centre - Vec3{0, 0, 0.03};
  for (const Vec3& way : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0}}) {
    const auto hit = view.tree.first_hit(below, way, 0, within);
    if (hit && view.part_at(hit->triangle).role != Role::suspended_ceiling) return true;
  }
  return false;
}

/// A hole that is there, through a member that the job tells of.
struct ReadyHole {
  const PartRule* rule = nullptr;
  double diameter_m = 0;
  double to_edge_m = 0;  ///< from its rim to the member's nearer edge; below 0 it is a notch
};

std::optional<ReadyHole> ready_hole(const TradeView& view, const ListedHole& hole) {
  if (!hole.existing) return std::nullopt;
  const PartRule* rule = nullptr;
  for (const PartRule& one : view.job.parts)
    if (rule == nullptr && matches_pattern(one.match, hole.crossing)) rule = &one;
  if (rule == nullptr || rule->member.empty()) return std::nullopt;
  const double diameter = rule->inside_diameter_m > 0 ? rule->inside_diameter_m : hole.diameter_m;
  return ReadyHole{rule, diameter, rule->member_edge_m - 0.5 * diameter};
}

void tell_member(const TradeView& view, const ListedHole& hole, const ReadyHole& ready,
                 const std::string& remedy, Findings& findings) {
  const PartRule& rule = *ready.rule;
  const bool stud = rule.member == "stud";
  const double greatest =
      stud ? trade::greatest_stud_hole_m(rule.member_depth_m, rule.bearing.value_or(true))
           : trade::greatest_joist_hole_m(rule.member_depth_m);
  const double least = stud ? trade::kStudEdge_m : trade::kJoistEdge_m;
  if (ready.diameter_m <= greatest + 1e-6 && ready.to_edge_m >= least - 1e-6) return;
  tell(findings, "member-hole", Level::must, hole.crossing,
       hole.crossing + " of " + view.small(ready.diameter_m) + " goes through a " + rule.member +
           " " + view.small(rule.member_depth_m) + " deep and leaves " +
           view.small(ready.to_edge_m) + " to its edge; such a " + rule.member +
           " takes a hole of " + view.small(greatest) + " and keeps " + view.small(least) +
           " at the edge.",
       hole.centre, remedy,
       {view.small(ready.diameter_m) + ", " + view.small(ready.to_edge_m) + " from the edge",
        view.small(greatest) + ", " + view.small(least) + " from the edge"});
}

/// Studs take shallow notches; what a joist takes, and where along it, is a builder's to say.
void tell_notch(const TradeView& view, const ListedHole& hole, const ReadyHole& ready,
                const std::string& remedy, Findings& findings) {
  const PartRule& rule = *ready.rule;
  const bool stud = rule.member == "stud";
  const double deep = ready.to_edge_m + ready.diameter_m;
  const double greatest =
      trade::greatest_stud_notch_m(rule.member_depth_m, rule.bearing.value_or(true));
  if (stud && deep <= greatest + 1e-6) return;
  tell(findings, "member-hole", Level::must, hole.crossing,
       hole.crossing + " is open at the edge of a " + rule.member + " " +
           view.small(rule.member_depth_m) + " deep: that is a notch of " + view.small(deep) +
           (stud ? ", and such a stud takes " + view.small(greatest) + "."
                 : "; a hole would keep " + view.small(trade::kJoistEdge_m) + " at the edge."),
       hole.centre, remedy,
       {"a notch of " + view.small(deep),
        stud ? view.small(greatest) : view.small(trade::kJoistEdge_m) + " from the edge"});
}

}  // namespace

void check_studs(const TradeView& view, Findings& findings) {
  Gathered guarded;
  const auto guard = [&](const std::string& name, const ListedHole& hole, double left) {
    if (left < trade::kNailGuard_m) guarded.add(name, -left, hole.centre);
  };
  for (const ListedHole& hole : view.written.plan.holes) {
    if (const auto ready = ready_hole(view, hole)) {
      if (ready->rule->member == "stud") guard(hole.crossing, hole, ready->to_edge_m);
      continue;
    }
    if (hole.kind != "plate hole" || hole.existing || upright(hole)) continue;
    const TradePart* wall = framing_of(view, hole);
    if (wall == nullptr) continue;
    check_stud_hole(view, hole, *wall->rule, findings);
    guard(hole.name, hole, 0.5 * (wall->rule->wall_depth_m - hole.diameter_m));
  }
  if (guarded.empty()) return;
  tell(findings, "nail-plate", Level::should, guarded.names.front(),
       "Holes through framing with as little as " + view.small(std::max(0.0, -guarded.worst)) +
           " to its edge: " + listed(guarded.names) + "; nails reach " +
           view.small(trade::kNailGuard_m) + ".",
       guarded.where, view.told("Guard each with a steel plate of 1.6 mm, or make it smaller."),
       {view.small(std::max(0.0, -guarded.worst)), view.small(trade::kNailGuard_m)});
}

void check_hole_sizes(const TradeView& view, Findings& findings) {
  const double most = view.job.prefer.largest_hole_m;
  Gathered wide;
  for (const ListedHole& hole : view.written.plan.holes)
    if (!hole.existing && hole.diameter_m > most + 1e-6)
      wide.add(hole.name, hole.diameter_m, hole.centre);
  if (wide.empty()) return;
  tell(findings, "hole-size", Level::should, wide.names.front(),
       "Holes up to " + view.small(wide.worst) + " are to be cut, where the job allows " +
           view.small(most) + ": " + listed(wide.names) + ".",
       wide.where,
       "Part the runs (\"not_with\", \"via\"), take thinner cable or smaller heads, or allow "
       "larger holes "
       "(\"prefer\": { \"largest_hole\": ... }).",
       {view.small(wide.worst), view.small(most)});
}

void check_members(const TradeView& view, Findings& findings) {
  for (const ListedHole& hole : view.written.plan.holes) {
    const auto ready = ready_hole(view, hole);
    if (!ready) continue;
    const std::string avoid = "send its runs another way (\"avoid\": \"" + hole.crossing + "\").";
    if (ready->rule->member == "engineered") {
      tell(findings, "member-hole", Level::should, hole.crossing,
           hole.crossing + " goes through an engineered member: only where its maker allows it.",
           hole.centre, "Look it up in the maker's hole chart, or " + avoid,
           {view.small(ready->diameter_m), "as its maker says"});
    } else if (ready->to_edge_m < 0) {
      tell_notch(view, hole, *ready, "Ask a builder before you use it, or " + avoid, findings);
    } else {
      tell_member(view, hole, *ready, "Ask a builder before you use it, or " + avoid, findings);
    }
  }
}

void check_tile_holes(const TradeView& view, Findings& findings) {
  for (const ListedHole& hole : view.written.plan.holes) {
    const auto pitch = tile_pitch(view, hole);
    if (!pitch || hole.kind != "tile cut") continue;
    const double radius = 0.5 * hole.diameter_m;
    if (const auto at = in_tile(view.written, hole)) {
      const double edge = std::min({at->x, at->y, pitch->x - at->x, pitch->y - at->y}) - radius;
      if (edge < view.job.prefer.tee_margin_m - 0.001 &&
          !wall_near(view, hole, radius + edge + kWallEdge))
        tell(findings, "tile-edge", Level::should, hole.name,
             "Hole " + hole.name + " leaves " + view.small(std::max(0.0, edge)) +
                 " to the edge of its tile; " + view.small(view.job.prefer.tee_margin_m) +
                 " is wanted.",
             hole.centre, "Move it toward the tile's middle.",
             {view.small(std::max(0.0, edge)), view.small(view.job.prefer.tee_margin_m)});
    }
    const double side = std::min(pitch->x, pitch->y);
    if (hole.diameter_m <= trade::kTileHoleShare * side + 1e-9) continue;
    tell(findings, "tile-hole", Level::should, hole.name,
         "Hole " + hole.name + " of " + view.small(hole.diameter_m) + " is large for a tile of " +
             view.small(side) + ": " + view.small(trade::kTileHoleShare * side) + " is the limit.",
         hole.centre, "Use several holes, or a tile made for it (a plate in place of the tile).",
         {view.small(hole.diameter_m), view.small(trade::kTileHoleShare * side)});
  }
}

void check_hidden_wiring(const TradeView& view, Findings& findings) {
  Gathered straight, beside;
  for (const ListedHole& hole : view.written.plan.holes) {
    if (hole.existing || !upright(hole)) continue;
    for (const TradePart& part : view.parts) {
      if (part.role != Role::outlet || part.box.empty()) continue;
      const Vec3 off = hole.centre - part.box.centre();
      if (std::abs(dot(off, hole.normal)) > 0.15) continue;  // another wall
      const Vec3 across = cross(Vec3{0, 0, 1}, hole.normal);
      const Vec3 size = part.box.size();
      const double rim = 0.5 * hole.diameter_m, reach = trade::kPresumedWiring_m;
      const double aside = std::abs(dot(off, across)) - rim - 0.5 * std::max(size.x, size.y);
      const double above = std::abs(off.z) - rim - 0.5 * size.z;
      if (aside < reach)
        straight.add(hole.name, -aside, hole.centre);
      else if (above < reach)
        beside.add(hole.name, -above, hole.centre);
    }
  }
  const std::string limit = view.small(trade::kPresumedWiring_m);
  const char* remedy = "Scan there first, switch the circuit off, or move the hole.";
  if (!straight.empty()) {
    tell(findings, "hidden-wiring", Level::should, straight.names.front(),
         "Straight above or below an outlet or switch is to be drilled for " +
             listed(straight.names) + ": presume mains in the wall within " + limit +
             " of its upright line.",
         straight.where, remedy, {view.small(std::max(0.0, -straight.worst)), limit});
  }
  if (!beside.empty()) {
    tell(findings, "hidden-wiring", Level::note, beside.names.front(),
         "At the height of an outlet or switch is to be drilled for " + listed(beside.names) +
             ": mains may run level between outlets, within " + limit + " of their height.",
         beside.where, remedy, {view.small(std::max(0.0, -beside.worst)), limit});
  }
}

}  // namespace roomloom::check
