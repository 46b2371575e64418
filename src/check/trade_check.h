#pragma once

#include "check/drawn_runs.h"
#include "check/trade_plan.h"
#include "geometry/triangles.h"

namespace roomloom::check {

/// A point of a run's drawn line, every 50 mm or less.
struct TradeSample {
  Vec3 at, along;  ///< along: unit direction
  double s_m = 0;  ///< from the run's beginning
  double step_m = 0;
  const TradeStretch* stretch = nullptr;
};

/// A run with all that the checks of the trade ask of it.
struct TradeCase {
  const DrawnRun* drawn = nullptr;
  const RunSpec* spec = nullptr;  ///< of the job
  const TradeRun* plan = nullptr;
  std::vector<TradeSample> samples;
};

/// A box about the vertical, turned as the part stands in the room: measured along u, along u
/// turned left, and up.
struct UprightBox {
  Vec2 u{1, 0};
  Box3 box;

  Vec3 local(const Vec3& p) const { return {p.x * u.x + p.y * u.y, p.y * u.x - p.x * u.y, p.z}; }
};

/// A part of the original with the job's rule for it.
struct TradePart {
  const Part* part = nullptr;
  Role role = Role::automatic;
  bool told = true;  ///< by the job or the model; else the role is what the plan took it for
  const PartRule* rule = nullptr;  ///< of the job; may be null
  Box3 box;
  UprightBox upright;  ///< of what moves and of walkways; else as `box`
};

/// What every check of the trade looks at.
struct TradeView {
  const Written& written;
  const TradePlan& plan;
  const Scene& original;
  const Job& job;
  std::vector<TradeCase> runs;
  std::vector<TradePart> parts;       ///< one a scene part
  std::vector<int> part_of_triangle;  ///< of `tree`
  const TriangleTree& tree;           ///< all triangles of the original

  const TradeCase* run(const std::string& id) const;
  const TradePart& part_at(std::uint32_t triangle) const {
    return parts[static_cast<std::size_t>(part_of_triangle[triangle])];
  }
  /// The part whose surface a hole's axis passes, within its thickness and 50 mm; null if none.
  const TradePart* part_of_hole(const ListedHole& hole) const;
  bool is_component(const std::string& end) const;  ///< "amplifier.S1": a port of the gear
  std::string length(double metres) const;          ///< as the user reads it, centimetres
  std::string small(double metres) const;           ///< as the user reads it, millimetres
  std::string told(const char* text) const;         ///< metric lengths in it, as the user reads
};

/// What was found, and what was wanted.
struct Measured {
  std::string figure, limit;
};

/// Adds a finding of this rule; its source is the rule's.
void tell(Findings& findings, const char* rule, Level level, const std::string& subject,
          const std::string& text, std::optional<Vec3> where, const std::string& remedy,
          const Measured& measured = {});

/// "S1", "S1 and S2", "S1, S2, S3 and 5 more".
std::string listed(const std::vector<std::string>& names);
/// "Run S1", "Runs S1 and S2".
std::string listed_runs(const std::vector<std::string>& names);

/// "Run S1 crosses", "Runs S1 and S2 cross".
std::string runs_do(const std::vector<std::string>& names, const std::string& verb);

/// Findings of one kind that are told as one, with the worst.
struct Gathered {
  std::vector<std::string> names;
  double worst = 0;
  std::optional<Vec3> where;

  void add(const std::string& name, double badness, const Vec3& at);
  bool empty() const { return names.empty(); }
};

using TradeRule = void (*)(const TradeView&, Findings&);

// One function a rule or a pair of rules that look at the same thing.
void check_loudspeaker_loss(const TradeView&, Findings&);
void check_gauge_choice(const TradeView&, Findings&);
void check_line_roll_off(const TradeView&, Findings&);
void check_cable_length(const TradeView&, Findings&);
void check_piece_length(const TradeView&, Findings&);
void check_network_link(const TradeView&, Findings&);
void check_picture_rate(const TradeView&, Findings&);
void check_signal_direction(const TradeView&, Findings&);
void check_pull_bends(const TradeView&, Findings&);
void check_pull_radius(const TradeView&, Findings&);
void check_pull_tension(const TradeView&, Findings&);
void check_raceway_fill(const TradeView&, Findings&);
void check_conduits(const TradeView&, Findings&);
void check_hole_fill(const TradeView&, Findings&);
void check_heads(const TradeView&, Findings&);
void check_spare(const TradeView&, Findings&);
void check_supports(const TradeView&, Findings&);
void check_support_structure(const TradeView&, Findings&);
void check_tile_clearance(const TradeView&, Findings&);
void check_bundles(const TradeView&, Findings&);
void check_tile_load(const TradeView&, Findings&);
void check_power(const TradeView&, Findings&);
void check_power_wish(const TradeView&, Findings&);
void check_luminaires(const TradeView&, Findings&);
void check_void_air(const TradeView&, Findings&);
void check_jackets(const TradeView&, Findings&);
void check_fire_seal(const TradeView&, Findings&);
void check_old_material(const TradeView&, Findings&);
void check_studs(const TradeView&, Findings&);
void check_members(const TradeView&, Findings&);
void check_hole_sizes(const TradeView&, Findings&);
void check_tile_holes(const TradeView&, Findings&);
void check_hidden_wiring(const TradeView&, Findings&);
void check_pinch_points(const TradeView&, Findings&);
void check_sight(const TradeView&, Findings&);
void check_walkways(const TradeView&, Findings&);
void check_gear_place(const TradeView&, Findings&);
void check_floor_crossings(const TradeView&, Findings&);
void check_loudspeaker_angles(const TradeView&, Findings&);
void check_loudspeaker_heights(const TradeView&, Findings&);
void check_loudspeaker_distances(const TradeView&, Findings&);
void check_loudspeaker_symmetry(const TradeView&, Findings&);
void check_listener_wall(const TradeView&, Findings&);
void check_label_likeness(const TradeView&, Findings&);
void check_outlets(const TradeView&, Findings&);

/// Cables of a service other than mains.
bool carries_signal(const TradeCase& run);
/// A way that cannot be opened between its ends: conduit, stud bay, void without tiles.
bool closed_way(const TradeView& view, const TradePlace& place);
/// The runs of a conduit by its name, each once.
std::map<std::string, std::vector<const TradeCase*>> runs_in_conduits(const TradeView& view);
/// Inside diameter by the job's rule, else the model's word; 0 if neither says.
double conduit_inside_m(const TradePart& part);
/// In a void, a bay or a conduit nothing moves and nobody walks.
bool shut_away(const TradeSample& sample);
/// From a point in a box to its nearest side, of the first `axes` axes; 0 or less outside.
double inside_m(const Box3& box, const Vec3& p, int axes);
const TradePart* part_named(const TradeView& view, const std::string& name);

/// A place before a door: along it from its left end as one faces it, and away from its face.
struct Front {
  double along = 0, away = 0, width = 0;
};
/// p before the box's face on the side where p is, both turned as the door stands.
Front before_door(const Box3& box, const Vec3& p);
/// How far inside of what moves the place is, metres; 0 = nothing moves there, or within a
/// millimetre of its edge.
double swept_m(const TradeView& view, const TradePart& part, const Vec3& at);
/// How far inside a walkway's side a point is that is low enough to be in the way; 0 = outside.
double on_walkway_m(const TradeView& view, const Vec3& p);

/// All checks of the trade on a written result. Every check that has nothing to say counts as
/// quiet.
/// @error `check.plan` plan.json cannot be read
Status check_trade(const std::filesystem::path& folder, const Written& written,
                   const std::vector<DrawnRun>& runs, const Scene& original, const Job& job,
                   Findings& findings);

}  // namespace roomloom::check
