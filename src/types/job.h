#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/units.h"
#include "base/vec.h"
#include "types/as_built.h"
#include "types/catalogue.h"
#include "types/work.h"

namespace roomloom {

/// What a part is. `automatic` = let the room stage decide.
enum class Role {
  automatic,
  wall,
  floor,
  ceiling,
  suspended_ceiling,
  deck,
  door,
  window,
  vent,
  luminaire,
  obstacle,
  furniture,
  curtain,
  cupboard,
  power,
  outlet,
  conduit,
  hole,
  seat,
  walkway,
  marker,
  ignore
};
const char* to_string(Role role);  ///< as a job spells it: "suspended ceiling"
std::optional<Role> role_from(const std::string& text);

/// What a wall is made of, which decides whether it can be fished.
enum class Build { unknown, masonry, stud, outside, concrete, board };
const char* to_string(Build build);
enum class HandlesAir { unknown, yes, no };

/// Stands where a pattern of part names gets its meaning. First match wins.
struct PartRule {
  std::string match;  ///< glob over name or path: '*' and '?'; case-insensitive
  Role role = Role::automatic;
  Build build = Build::unknown;
  std::optional<bool> fixable;   ///< may anything be fixed to it?
  std::optional<bool> fishable;  ///< overrides what `build` says
  double stud_pitch_m = 0;       ///< 0 = none
  double stud_first_m = 0;       ///< from the wall's left edge to the first stud's centre
  double stud_width_m = 0.045;
  double wall_depth_m = 0.089;                         ///< clear depth of a bay
  std::vector<double> blocking_m;                      ///< heights above the floor
  std::optional<std::array<double, 2>> tile_m;         ///< u, v pitch of the grid
  std::optional<std::array<double, 2>> tile_origin_m;  ///< room x, y of one grid corner
  std::optional<double> clearance_m;
  HandlesAir handles_air = HandlesAir::unknown;
  double inside_diameter_m = 0;  ///< conduit or hole
  double occupied_area_m2 = 0;   ///< of a conduit: what is in it already
  int occupied_count = 0;        ///< cables that it holds
  bool hides = false;            ///< cable behind or in it is out of sight and may lie bare
  /// A door's or a cupboard door's swing into the room; 0 = none, unsaid = by the model.
  std::optional<double> swing_rad;
  std::optional<bool> hinge_left;   ///< of a door, as seen from inside the room
  int leaves = 0;                   ///< of a door or cupboard, side by side; 0 = by the width
  std::optional<bool> bearing;      ///< a stud wall carries load; unknown is judged as yes
  bool fire_rated = false;          ///< part of a fire-rated assembly
  bool screened = false;            ///< mains: in earthed metal or screened
  int circuits = 0;                 ///< mains: single-phase circuits in it; 0 = not stated
  std::optional<bool> fluorescent;  ///< a luminaire with tubes; unknown is judged as yes
  std::optional<bool> powered;      ///< a seat or furniture that needs an outlet
  double recline_m = 0;             ///< how far a seat reaches out to front and rear
  double slide_m = 0;               ///< how far a seat slides
  std::string toward;  ///< part that a seat slides to or a cupboard opens to; empty = by the room
  std::optional<bool> see_through;  ///< glass and the like: hides nothing
  std::string colour;               ///< "white" or "#f0ece0"; empty = not stated
  /// What a ready hole goes through: "joist", "stud" or "engineered"; empty = nothing is said.
  std::string member;
  double member_depth_m = 0;
  double member_edge_m = 0;  ///< from the hole's middle to the nearer edge
  std::string pointer;       ///< JSON pointer of the rule, for messages
};

/// How an end or a piece of gear gets its place.
struct AtPoint {
  Vec3 point;
};
struct AtMarker {
  std::string name;
};
/// Measured on a part as seen from inside the room: from its left edge, up from the floor.
struct OnPart {
  std::string part;
  std::optional<double> from_left_m, from_right_m;
  std::optional<double>
      up_m;          ///< above the floor (walls); for floor and ceiling: from the near edge
  double out_m = 0;  ///< away from the face
};
struct FromListener {
  double azimuth_rad = 0, elevation_rad = 0;
  std::optional<double> distance_m;
};
/// A loudspeaker label of ITU-R BS.2051, placed by the layout.
struct AtLabel {
  std::string label;
};
struct AtGear {
  std::string gear;
  std::string port;
};
using PlaceSpec =
    std::variant<std::monostate, AtPoint, AtMarker, OnPart, FromListener, AtLabel, AtGear>;

enum class Mount { automatic, on_sheet, on_floor, in_furniture };
enum class EndState { fitted, unterminated, coiled };

/// Where an end may be moved to later.
struct MayMove {
  double radius_m = 0;                               ///< in the plane of its sheet
  std::optional<std::array<double, 2>> rectangle_m;  ///< full width and height about the place
  std::vector<PlaceSpec> alternatives;               ///< listed; neither labels nor gear
};

/// An end of a run that is not a port of gear.
struct EndSpec {
  std::string id;
  PlaceSpec place;
  Mount mount = Mount::automatic;
  EndState state = EndState::fitted;
  bool state_given = false;  ///< false: a provision is left coiled instead
  std::optional<MayMove> may_move;
  std::optional<double> slack_m;  ///< service loop at this end; else Preferences
  std::string connector;
  std::optional<bool> powered;  ///< needs an outlet; unknown is judged by its runs
  std::string pointer;
};

struct Component {
  std::string id;
  std::vector<std::string> ports;
  std::string pointer;
};

/// A stand, rack or other box holding components.
struct GearSpec {
  std::string id;
  Vec3 box{0.6, 0.6, 1.0};   ///< width, depth, height, metres
  PlaceSpec place;           ///< OnPart: the wall it stands against
  double off_wall_m = 0.05;  ///< gap between its back and the wall
  double pull_out_m = 0;     ///< allowance so that it can be pulled out with everything connected
  std::optional<bool> powered;  ///< needs an outlet; unknown: holding something, it does
  std::vector<Component> holds;
  std::string pointer;
};

struct LayoutSpec {
  std::string system;  ///< "4+5+0" of BS.2051, or empty
  PlaceSpec listener;  ///< reference point, ear height
  double facing_rad =
      0;  ///< direction the listener looks, from room +Y toward -X (counter-clockwise)
  std::optional<std::string> facing_part;  ///< or: looks square at this part
  bool facing_given = false;               ///< false: facing_rad is only a default
  double distance_m = 0;                   ///< 0 = by ray to the surfaces
  std::string pointer;
};

struct RunSpec {
  std::string id;
  std::string from, to;  ///< end id, "gear", "component" or "component.port", or a BS.2051 label
  std::string cable;     ///< catalogue id; of an open gauge the one chosen, once planned
  /// The word that leaves the gauge open ("speaker"), or empty: then `cable` is the user's own.
  std::string open_cable;
  std::string series;        ///< of an open gauge: the row to choose from; empty = by the units
  int conductors = 2;        ///< of an open gauge
  double power_w = 0;        ///< at the loudspeaker; 0 = not stated
  double impedance_ohm = 0;  ///< nominal, of the loudspeaker; 0 = not stated
  /// Largest loop resistance as a share of the impedance. 5 %: common practice.
  double loss_limit = 0.05;
  std::optional<double> loss_limit_db;  ///< largest insertion loss
  std::optional<double> damping_least;  ///< at the loudspeaker
  double amplifier_damping = 0;         ///< the amplifier's own; 0 = taken for without limit
  double source_ohm = 0;                ///< of a line-level source; 0 = not stated
  std::string picture;                  ///< what a picture run must carry: "4k60"; empty = unsaid
  std::optional<double> cords_m;        ///< of a network link, both together
  bool signal_from_to = false;          ///< true: the `to` end sends
  bool provision = false;
  EndSpec end;                          ///< overrides of the `to` end (state, may_move, slack)
  std::vector<std::string> via, avoid;  ///< part or crossing or void names
  /// Wanted path: its corners in the room frame, from either end to the other; empty = none. Tracks
  /// are laid along it, and the run keeps as near to it as it can.
  std::vector<Vec3> way;
  std::vector<std::string> same_way_as, not_with;  ///< run ids
  bool installed = false;
  bool own_cable = false;  ///< takes over none that lies ready
  std::optional<double> measured_m;
  /// Id of the recorded provision whose cable it now is; set by planning (take_over of job/job.h).
  std::string takes_over;
  std::optional<double> slack_m;  ///< each end, overrides Preferences
  std::string colour;
  std::string pointer;
};

/// Cable on the shelf, or a put-up as it is sold.
struct SpoolSpec {
  std::string cable;
  double length_m = 0;  ///< what is left on it
  std::string colour;
  double price = 0;      ///< of one, where it is to be bought; the shelf costs nothing
  int count = 1;         ///< on the shelf; of what is sold there is no end
  bool on_shelf = true;  ///< false: an offer, which replaces the catalogue's put-ups of the cable
};

/// Room to keep free for cables that come later.
struct SpareSpec {
  std::string cable;  ///< catalogue id
  int count = 1;
  bool heads_fitted = false;       ///< their moulded heads must pass as well
  std::vector<std::string> along;  ///< run ids; empty = every way that runs share
  std::string pointer;
};

enum class Preset { balanced, least_cable, least_seen, least_work };
enum class VoidPaths { square, direct };

/// A place from which people look.
struct EyeSpec {
  std::string name;
  PlaceSpec place;
  std::string pointer;
};

/// From where things are seen, and what being seen counts.
struct SightSpec {
  std::vector<EyeSpec> eyes;     ///< besides seats and doors
  bool seats = true;             ///< each seat is an eye point
  bool doors = true;             ///< so is each door, for one who comes in
  double curtains_closed = 0.5;  ///< share of the time
  double hidden_weight = 0.2;    ///< what a metre counts that no eye sees, against 1
  double blending_weight = 0.3;  ///< what a metre counts that has its background's colour
  std::string raceway_colour;    ///< empty = not stated: no background hides it
  bool model_colours = false;    ///< walls have the model's colours where the job says none
};

/// Where people walk: a line over the floor with a width. x and y of the room.
struct WalkwaySpec {
  std::string name;
  std::vector<Vec2> points;
  double width_m = 0.9;
  std::string pointer;
};

/// A rectangle of floor, x and y of the room, that cable may cross under a ramp.
struct FloorArea {
  std::string name;
  Vec2 low, high;
  std::string pointer;
};

/// Where the user allows cable over the floor, away from the walls.
struct FloorSpec {
  bool anywhere = false;  ///< save on walkways: those only by an area
  std::vector<FloorArea> areas;
  /// This near the wall that it comes from, cable lies behind what stands there and crosses
  /// nothing. Common practice, no source.
  double beside_wall_m = 0.6;
};

/// Weights of the one objective and the trade's margins. Money in the job's currency.
struct Preferences {
  Preset preset = Preset::balanced;
  double cable_weight = 1;  ///< times the cable's price
  double money_per_minute = 0.5;
  /// Open face = 1; a corner, skirting or ceiling line costs less. At 2, raceway stays at the ends'
  /// height on the open wall; at 6 it goes along skirting or ceiling line where that is not much
  /// longer.
  double money_per_visible_m = 6;
  double minutes_per_hole = 15;
  double minutes_per_raceway_m = 6;
  double minutes_per_fitting = 3;
  double minutes_per_bend = 0.5;  ///< each run
  double minutes_per_ladder_move = 4;
  double minutes_per_void_m = 2;   ///< shared: a line of supports
  double minutes_per_run_m = 0.3;  ///< each run: pulling
  double hole_price = 3;           ///< grommet, fire stop
  double support_price = 1.5;      ///< a hook with its fixing
  double support_spacing_m = 1.2;
  double fill_limit = 0.40;
  double tee_margin_m = 0.03;      ///< hole edge to the grid's tee
  double tile_clearance_m = 0.10;  ///< cables over tiles
  double obstacle_clearance_m = 0.025;
  double power_separation_m = 0.3;    ///< common practice, no source
  double service_loop_start_m = 0.5;  ///< at the gear
  double service_loop_end_m = 0.3;
  double mains_lead_m = 1.5;        ///< of powered gear; common practice, no source
  double pull_friction = 0.5;       ///< between a cable and a closed way; from memory
  double temperature_c = 20;        ///< of cables in use
  bool lay_on_tiles = false;        ///< the user's own choice: cable may rest on tiles
  double termination_m = 0.05;      ///< each fitted end
  double coil_m = 1.0;              ///< left coiled at a provision
  double contingency = 0.02;        ///< share of drawn
  double cutting_step_m = 0.05;     ///< cut lengths are rounded up to it
  bool cutting_step_given = false;  ///< false: it follows the units that people read
  double sag = 0.02;                ///< largest sag between supports, share of the spacing
  double largest_hole_m = 0.08;
  VoidPaths void_paths = VoidPaths::square;
  bool symmetric = false;       ///< crossings of left and right mirrored as a rule
  double symmetry_worth = 0.5;  ///< else: what a pair of runs whose crossings mirror may cost more
  bool over_floor = false;      ///< raceway may lie on the floor, away from the walls too
};

/// A flat face that the job states where the model has none, or none that can be understood.
struct StatedFace {
  std::string name;
  Role role = Role::wall;
  std::vector<Vec3> points;  ///< its corners in order; of a whole plane, three points in it
  bool whole_plane = false;  ///< it reaches as far as the model does
  std::string pointer;
};

struct ModelInput {
  std::string file;  ///< as written in the job
  std::vector<StatedFace> faces;
  std::optional<double> unit_m;
  std::optional<char> up;
  std::optional<Vec3> seed;  ///< a point in the room, room frame
};

/// Which house file a job was read with, as which of its variants, and what was odd in it.
struct JobOrigin {
  std::string house;                  ///< path of the house file; empty = none
  std::string house_sha256;           ///< of its bytes
  bool house_stock = false;           ///< what lies on the shelf is the house's, not the job's own
  bool house_raceway = false;         ///< so is raceway
  std::vector<std::string> variants;  ///< names of all variants, in the job's order
  std::vector<std::string> chosen;    ///< of them, those that it was read as; empty = as written
  std::vector<std::string> notes;     ///< what was taken for granted though it is odd
  std::string as_built;               ///< path of the record of what was built; empty = none
  std::string as_built_sha256;        ///< of its bytes
};

/// What only people know of a sheet's title block (ISO 7200), as they wrote it; empty = left blank.
struct TitleBlock {
  std::string owner;        ///< "legal owner"
  std::string date;         ///< "date of issue", in the user's own words
  std::string approved_by;  ///< "approval person"
  std::string drawn_by;     ///< "creator"
};

/// What the user says.
struct Job {
  std::string path;  ///< of the job file; model.file is relative to its folder
  std::string name;
  TitleBlock title_block;
  DisplayUnits units = DisplayUnits::metric;
  ModelInput model;
  std::vector<PartRule> parts;
  std::vector<GearSpec> gear;
  std::vector<EndSpec> ends;
  std::optional<LayoutSpec> layout;
  std::vector<RunSpec> runs;
  std::vector<SpoolSpec> spools;
  std::vector<SpareSpec> spares;
  int building_year = 0;  ///< of ceiling and walls; 0 = not stated
  SightSpec sight;
  std::vector<WalkwaySpec> walkways;
  FloorSpec floor;
  WorkSpec work;
  std::vector<WrittenWay> written;  ///< of runs that lie, and of the plan to start from
  /// What a metre off its written way costs a run that need not leave it; nothing: it never does.
  std::optional<double> moving_price;
  GivenNames names;     ///< of the record, or of the plan to start from: things keep them
  AsBuilt as_built;     ///< taken up already: its runs are installed, the shelf holds what is left
  Catalogue catalogue;  ///< built in, with the job's additions
  Preferences prefer;
  std::string currency = "EUR";
  JobOrigin origin;
};

}  // namespace roomloom
