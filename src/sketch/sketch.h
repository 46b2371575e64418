#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "geometry/polygon.h"
#include "types/job.h"
#include "types/scene.h"
#include "types/solids.h"

namespace roomloom {

/// The newest room file that this program reads, and the one that it writes.
constexpr int kSketchVersion = 1;

/// A room as a tape measure gives it, and the model made of it.
///
/// FRAME. Metres, right-handed: +x to the right and +y to the front as one stands in the room and
/// looks at its front wall, +z up. z = 0 is the finished floor. x = 0 and y = 0 touch the leftmost
/// and the rearmost point of the inside outline, so a rectangular room has its origin at the inside
/// rear left corner, and its front wall at y = depth.
///
/// WALLS are listed as one sees them turning to the right: front, right, back, left (clockwise seen
/// from above). A wall's left and right edge are those seen from inside the room. `from_left` and
/// `up` of a thing are measured to its left edge and lower edge, as a tape does.
///
/// USE, without any file:
///     RoomSketch sketch = rectangular_room("Test room", 4.2, 5.6, 2.9);
///     sketch.suspended_ceiling = SuspendedCeilingSketch{};          // 2.5 m, 600 mm tiles
///     sketch.openings.push_back(door("Door", "Wall back", 0.4, 0.9, 2.1));
///     const Result<Solids> solids = build_sketch(sketch);
///     const Scene scene = scene_of(*solids);                        // triangles, oriented
/// or from the file that `roomloom sketch` reads: build_sketch(*read_sketch("room.json")).
///
/// LIBRARIES. roomloom_sketch builds in memory; read_sketch, parse_sketch and write_solids are in
/// roomloom_sketch_files.

/// Where a thing stands or hangs: against a wall, or free in the room.
struct SketchPlace {
  std::string wall;                    ///< empty: free, by `at`
  std::optional<double> from_left_m;   ///< wall's left edge to the thing's left edge
  std::optional<double> from_right_m;  ///< or: wall's right edge to the thing's right edge
  double off_wall_m = 0;               ///< gap between wall and thing; negative: in the wall
  std::array<double, 2> at_m{0, 0};    ///< free: x, y of the footprint's centre
  double turn_rad = 0;                 ///< free: counter-clockwise seen from above
  double up_m = 0;                     ///< floor to the thing's lower side
};

struct WallSketch {
  std::string name;
  double length_m = 0;  ///< inside; 0 with an outline by walls = whatever closes the outline
  double corner_rad = kPi / 2;  ///< inside angle at its right end; outline by walls only
  Build build = Build::unknown;
  double thickness_m = 0.2;
};

enum class OutlineKind { width_and_depth, walls, points };

enum class OpeningKind { door, window, vent, hole, passage };

/// A hole through a wall, and the thin part that fills it (a passage has none).
struct OpeningSketch {
  std::string name;
  OpeningKind kind = OpeningKind::door;
  std::string wall;
  std::optional<double> from_left_m, from_right_m;
  double up_m = 0;  ///< floor to lower edge; 0 = reaches the floor
  double width_m = 0.9, height_m = 2.1;
  double diameter_m = 0;   ///< > 0: round, a regular 16-gon with its corners on that circle
  double panel_m = 0.04;   ///< thickness of the leaf, pane or grille
  double swing_rad = 0;    ///< door: how far it opens
  bool opens_in = true;    ///< door: into the room
  bool hinge_left = true;  ///< door: hinges at the left edge as seen from inside
};

struct SuspendedCeilingSketch {
  std::string name = "Ceiling tiles";       ///< of the one sheet; tiles are "Tile A1"
  double height_m = 2.5;                    ///< floor to the lower face
  std::array<double, 2> tile_m{0.6, 0.6};   ///< along x, y
  std::array<double, 2> grid_from_m{0, 0};  ///< x, y of any one corner of the grid
  double thickness_m = 0.015;
  bool tile_by_tile = false;  ///< each tile a part of its own, else one sheet
  /// Over a part of the room only: two opposite corners of a rectangle, or the corners of an
  /// outline within the room. Empty = over all of it. Under a slope it ends where it meets the
  /// slope.
  std::vector<Vec2> over_m = {};
};

/// A ceiling that rises from a wall: height at the wall (knee) and pitch.
struct SlopeSketch {
  std::string name;  ///< "Slope left"
  std::string wall;
  double knee_m = 1;
  double pitch_rad = kPi / 4;  ///< above the horizontal
};

enum class CeilingThingKind { luminaire, vent, hole };

/// Something let into the suspended ceiling, by tile or by place; or, where there is no suspended
/// ceiling, hung with its lower side at `up_m`.
struct CeilingThingSketch {
  std::string name;
  CeilingThingKind kind = CeilingThingKind::luminaire;
  std::string tile;                    ///< "B3": row letter from the rear, column from the left
  std::array<double, 2> at_m{0, 0};    ///< else x, y of its centre
  std::array<double, 2> size_m{0, 0};  ///< along x, y; 0, 0 = the whole tile
  double diameter_m = 0;               ///< hole
  double height_m = 0.1;               ///< of its body above the ceiling's lower face
  std::optional<double> up_m;          ///< hung: floor to lower side
};

enum class LineUse { duct, mains, conduit };

/// A duct, a mains line or a conduit: a section swept along straight stretches with mitred bends.
struct LineSketch {
  std::string name;
  LineUse kind = LineUse::duct;
  std::vector<Vec3> points;  ///< centreline; or, when `wall` is given, {from_left, up, off_wall}
  std::string wall;
  double diameter_m = 0;         ///< round: a regular 16-gon with its corners on that circle; or
  double width_m = 0;            ///< square: level side
  double height_m = 0;           ///< and upright side
  double inside_diameter_m = 0;  ///< conduit
  int circuits = 0;              ///< mains: single-phase circuits in it; 0 = not stated
  bool as_line = false;          ///< a curve without thickness instead of a solid
};

/// Beams under the slab.
struct JoistsSketch {
  std::string name = "Joist";
  bool along_x = true;
  double first_m = 0.4;  ///< of the first centre, along the other axis
  double spacing_m = 0.4;
  double width_m = 0.05, depth_m = 0.2;
  int count = 0;  ///< 0 = as many as fit
};

enum class BoxKind { furniture, cupboard, seat, obstacle, curtain, outlet, walkway };

struct BoxSketch {
  std::string name;
  BoxKind kind = BoxKind::furniture;
  SketchPlace place;
  double width_m = 1, depth_m = 0.5, height_m = 1;  ///< along the wall (x), away from it (y), up
  double board_m = 0;                               ///< > 0: hollow, of boards this thick
  double swing_rad = 0;            ///< cupboard: how far its doors open; 0 = it has none
  int leaves = 0;                  ///< cupboard: doors side by side; 0 = by its width
  std::optional<bool> hinge_left;  ///< cupboard of one door, as one stands before it
  double recline_m = 0;            ///< seat: how far it reaches out to front and rear
  double slide_m = 0;              ///< seat: how far it slides
};

struct MarkerSketch {
  std::string name;
  SketchPlace place;  ///< of the point itself; free: at, up
};

struct RoomSketch {
  std::string name = "Room";
  OutlineKind outline = OutlineKind::width_and_depth;
  double width_m = 4, depth_m = 5;  ///< inside, along x and y
  std::vector<Vec2> points_m;       ///< inside corners, clockwise; wall i runs from i to i + 1
  double close_within_m = 0.01;     ///< outline by walls: largest gap that is spread over the walls
  double height_m = 2.5;            ///< floor to the slab's lower face (its highest part)
  std::vector<WallSketch> walls;
  std::string floor_name = "Floor";
  double floor_thickness_m = 0.15;
  std::string deck_name = "Slab above";
  double deck_thickness_m = 0.2;
  std::optional<SuspendedCeilingSketch> suspended_ceiling;
  std::vector<SlopeSketch> slopes;
  std::vector<OpeningSketch> openings;
  std::vector<CeilingThingSketch> ceiling_things;
  std::vector<LineSketch> lines;
  std::vector<JoistsSketch> joists;
  std::vector<BoxSketch> boxes;
  std::vector<MarkerSketch> markers;
  std::string file = {};                             ///< where it was read, for messages
  std::map<std::string, std::string> pointers = {};  ///< of named things in that file
};

/// A bare box of a room: "Wall front", "Wall right", "Wall back", "Wall left", floor and slab.
RoomSketch rectangular_room(const std::string& name, double width_m, double depth_m,
                            double height_m, double wall_thickness_m = 0.2);
/// A door, hinged at the left, that swings 90 degrees into the room.
OpeningSketch door(const std::string& name, const std::string& wall, double from_left_m,
                   double width_m, double height_m);
OpeningSketch window(const std::string& name, const std::string& wall, double from_left_m,
                     double up_m, double width_m, double height_m);

/// Reads the room file of `roomloom sketch` (JSON; the walk-through is in README.md).
/// @error `file.*` · `sketch.syntax` not JSON · `sketch.is-job` · `sketch.invalid` every mistake at
///        once, each with its JSON pointer, what is expected and the nearest valid word.
Result<RoomSketch> read_sketch(const std::filesystem::path& file);
/// The same from text; `where` names it in messages.
Result<RoomSketch> parse_sketch(const std::string& text, const std::string& where);

/// Builds the model: closed solids with outward faces and names of their own.
/// @error `sketch.open-outline` lengths and angles do not close, with the gap · `sketch.impossible`
///        a thing does not fit (an opening beyond its wall, an unknown wall, ...), all at once.
Result<Solids> build_sketch(const RoomSketch& sketch);

/// The model as triangles in memory: parts of Closure::oriented in groups "<model>/<group>".
Scene scene_of(const Solids& solids);

/// Writes STEP (.step, .stp; millimetres, Z up), OBJ (.obj with .mtl beside; metres, Z up) or GLB
/// (.glb; metres, Y up), whole or not at all. The same solids give the same bytes.
/// @error `file.unwritable` · `sketch.unknown-format` · `step.unwritable`
Status write_solids(const Solids& solids, const std::filesystem::path& file);

}  // namespace roomloom
