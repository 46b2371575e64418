#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"
#include "geometry/polygon.h"
#include "geometry/prism.h"
#include "types/job.h"
#include "types/scene.h"

namespace roomloom {

/// Where a track lies.
enum class PlaceKind { none, sheet, void_space, zone, conduit };
struct PlaceId {
  PlaceKind kind = PlaceKind::none;
  int index = -1;  ///< into Room::sheets, Room::voids, Ends::zones or Room::conduits
  bool operator==(const PlaceId&) const = default;
  auto operator<=>(const PlaceId&) const = default;
};

enum class AirKind { room, plenum, bay, cupboard, underfloor, outdoors };
const char* to_string(AirKind kind);

/// A connected body of air found by the flood fill.
struct Air {
  AirKind kind = AirKind::room;
  std::string name;
  Vec3 seed;  ///< a point in it
  double volume_m3 = 0;
  Box3 box;
  std::vector<std::string> open_sides;  ///< virtual sides put where the fill escaped
};

enum class SheetRole {
  wall,
  floor,
  ceiling,
  suspended_ceiling,
  deck,
  slope,
  furniture,
  curtain,
  cupboard,
  open_side
};
const char* to_string(SheetRole role);

/// A region of a sheet that no raceway or hole may enter: an opening, a vent, furniture close by.
struct SheetKeepOut {
  Ring ring;               ///< in the sheet's plane
  double clearance_m = 0;  ///< outside the ring
  Role what = Role::obstacle;
  int part = -1;  ///< Scene part, -1 = a hole in the sheet itself
  std::string name;
};

/// A planar face that cables can be fixed to. Its normal looks into the air it belongs to.
/// Walls: u runs left to right as seen from inside, v up. Floors: u = +x. Ceilings seen from below.
struct Sheet {
  std::string name;        ///< from its part; made unique ("Wall left", "Wall left (2)")
  std::vector<int> parts;  ///< Scene parts that make it
  Frame frame;             ///< n toward the front air
  Polygon region;          ///< in frame u, v; holes are openings modelled as holes
  SheetRole role = SheetRole::wall;
  Build build = Build::unknown;
  int front_air = -1;
  int back_air = -1;             ///< what lies behind, if known
  bool fixable = true;           ///< false: glass, curtains, tiles, open sides
  double residual_m = 0;         ///< of the fitted plane: added to clearances
  double visible = 1;            ///< 1 open face .. 0 out of sight; of the face itself
  std::optional<Colour> colour;  ///< unknown: no cable on it blends in
  std::vector<SheetKeepOut> keep_outs;
};

/// Where two sheets of the same air meet.
struct Seam {
  int a = -1, b = -1;  ///< sheets
  Vec3 from, to;       ///< the common segment, room frame
  double dihedral_rad =
      0;                ///< angle of the air between them: pi/2 inside corner, 3pi/2 outside corner
  bool convex = false;  ///< true: an outside corner (the solid is convex)
  double gap_m = 0;     ///< joined though it was open by this much
};

/// A box of solid inside a void, in the void's frame.
struct VoidObstacle {
  Box3 box;  ///< u, v, n coordinates of the void's frame, without clearance
  double clearance_m = 0;
  int part = -1;
  std::string name;
};

enum class VoidKind { plenum, bay, underfloor, hidden };

/// A volume that cables can run in: a prism over `plan` from 0 to `height_m` along the frame's n.
struct Void {
  std::string name;
  VoidKind kind = VoidKind::plenum;
  Frame frame;          ///< n up; origin on the lower side (upper face of the tiles)
  Polygon plan;         ///< u, v
  double height_m = 0;  ///< clear
  std::vector<double> support_levels_m;  ///< heights along n at which runs lie, ascending
  std::vector<VoidObstacle> obstacles;
  HandlesAir handles_air = HandlesAir::unknown;
  bool upright_only = false;  ///< a stud bay
  bool supported = true;      ///< runs hang on hooks (plenum) or lie free
  int air = -1;
  int below = -1;  ///< the sheet under it (suspended ceiling), -1 unknown
  int wall = -1;   ///< a bay's wall sheet
};

struct TileId {
  int row = -1, column = -1;
  bool operator==(const TileId&) const = default;
};
struct Tile {
  TileId id;
  std::string name;  ///< "C4": row letter, column number, counted from the grid's first corner
  Ring ring;         ///< in the suspended ceiling sheet's plane, cut to the ceiling's outline
  bool cuttable = true;
  std::string reason;  ///< why not: "holds Luminaire 2"
};
struct TileGrid {
  int sheet = -1;  ///< the suspended ceiling
  double pitch_u_m = 0.6, pitch_v_m = 0.6;
  double thickness_m = 0.015;
  std::vector<Tile> tiles;
};

enum class CrossingKind { tile_cut, existing_hole, wall_plate, plate_hole, grommet, conduit_mouth };
const char* to_string(CrossingKind kind);

/// Where runs may pass from one place to another. The region is what is allowed for a hole's CENTRE
/// before the hole's own radius is taken off; tracks choose candidate points in it.
struct Crossing {
  std::string name;  ///< "tile C4"
  CrossingKind kind = CrossingKind::tile_cut;
  PlaceId from, to;  ///< e.g. suspended ceiling sheet -> plenum
  Frame frame;       ///< plane of the crossing; n from `from` to `to`
  Polygon region;    ///< in frame u, v: where material may be cut
  double thickness_m = 0.015;
  std::optional<TileId> tile;
  double largest_diameter_m = 0.08;
  bool existing = false;                ///< nothing to cut, no charge for cutting
  std::vector<SheetKeepOut> keep_outs;  ///< inside the region
};

/// A ready conduit or tray: a line of given inside size.
struct Conduit {
  std::string name;
  std::vector<Vec3> line;
  double inside_diameter_m = 0;
  double occupied_area_m2 = 0;
  int part = -1;
  std::vector<PlaceId> mouths;  ///< place at the first and the last point
};

/// A volume in which a run may lie free: behind gear, in furniture, behind a curtain.
struct Zone {
  std::string name;
  Frame frame;         ///< origin at a corner
  Vec3 size;           ///< along u, v, n
  double visible = 0;  ///< 0 = hidden
  int part = -1;
  std::string why;
};

/// A stretch of mains from which signal runs keep away.
struct PowerLine {
  Vec3 from, to;
  double half_size_m = 0.01;
  double separation_m = 0.3;
  int part = -1;
  std::string name;
};

/// A guess of the tool and how to overrule it.
struct Guess {
  std::string what;   ///< "Up axis"
  std::string value;  ///< "Y, as glTF says"
  std::string why;
  std::string overrule;  ///< "\"model\": { \"up\": \"z\" }"
};

/// Whether a part stands between an eye and what lies behind it.
enum class Hiding { no, always, curtain };

enum class MovingKind { door, cupboard, seat, walkway };
const char* to_string(MovingKind kind);

/// Where something moves: no run, raceway or coil lies there.
struct Swept {
  MovingKind kind = MovingKind::door;
  Prism space;
  int part = -1;     ///< Scene part, -1 = a walkway of the job
  std::string name;  ///< "where Door swings"
};

struct PartRole {
  Role role = Role::automatic;
  Build build = Build::unknown;
  int rule = -1;
  std::string why;
  bool by_shape = false;  ///< neither the job nor a name tells it
};

/// A layer under low air that looks like a suspended ceiling, and how a job could state it.
struct LikelyCeiling {
  std::vector<int> parts;     ///< Scene parts that are it; empty: it is part of a larger body
  std::string name;           ///< for a face stated in its place
  std::vector<Vec3> corners;  ///< of that face
};

/// A hole in a scan that was taken for a place that nobody measured, not for an opening.
struct BridgedHole {
  Vec3 middle;
  double area_m2 = 0;
  std::vector<int> parts;  ///< Scene parts whose plane it is in
};

/// The room as cables see it.
struct Room {
  std::vector<PartRole> roles;  ///< one a Scene part
  Box3 box;                     ///< of the room's air
  int main_air = -1;
  std::vector<Air> airs;
  std::vector<Sheet> sheets;
  std::vector<Seam> seams;
  std::vector<Void> voids;
  std::vector<TileGrid> grids;
  std::vector<Crossing> crossings;
  std::vector<Conduit> conduits;
  std::vector<Zone> zones;  ///< hidden places found in the model (curtain, furniture, cupboard)
  std::vector<PowerLine> power;
  std::vector<Swept> swept;    ///< where doors and seats move and people walk
  std::vector<Hiding> hiding;  ///< one a Scene part; empty = nothing hides
  double floor_z_m = 0;
  std::vector<BridgedHole> bridged;  ///< largest first
  std::vector<LikelyCeiling> likely_ceilings;
  std::vector<Guess> guesses;
  std::vector<std::string> warnings;
};

}  // namespace roomloom
