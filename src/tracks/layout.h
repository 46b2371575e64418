#pragma once

#include <array>
#include <map>
#include <optional>
#include <vector>

#include "tracks/graph.h"
#include "tracks/plane.h"
#include "tracks/prices.h"
#include "types/hollow.h"
#include "types/scene.h"

namespace roomloom::tracks {

/// Something that tracks must reach: a place of an end, a hole's mouth, a conduit's mouth.
struct Anchor {
  Vec3 position;
  PlaceId home;
  int point = -1;  ///< in the draft, in a layer of its own
  int end = -1;    ///< into Ends::ends, when it is a terminal
  int alternative = -1;
  int crossing = -1;    ///< into Room::crossings
  bool joined = false;  ///< reaches tracks by a hole of its own
  std::string blocked_by;
};

/// A hole, as chosen among the points that a crossing allows.
struct ChosenHole {
  int crossing = -1;
  Vec3 mouth;           ///< on the `from` face
  Vec3 back;            ///< on the `to` face
  int wall_plane = -1;  ///< plane that asked for it, or -1
  double largest_m = 0;
  int end_anchor = -1;  ///< the anchor at whose very place the hole is
  bool shared = false;  ///< wished besides by something that is no end
  bool cut = false;     ///< it is there already: `largest_m` is its diameter
  bool led_to = false;  ///< a free way leads from a wall's tracks to its mouth
};

/// A coordinate at which a track is wanted.
struct Demand {
  int plane = -1;
  int direction = 0;  ///< 0: a track along v at x = value; 1: along u at y = value
  double value = 0;
  int priority = 0;  ///< 0 seam, 1 border, 2 keep-out, 3 crossing, 4 end, 5 alternative, 6 other
  int side = 0;      ///< +1, -1: the open side of what asks for it lies above, below
};

/// Everything the steps share while a room's tracks are laid.
struct Layout {
  const Scene& scene;
  const Room& room;
  const Ends& ends;
  const Job& job;
  NominalRaceway nominal;
  CableNeeds needs;
  double tolerance_m = 0.05;
  int coarseness = 0;  ///< 1: no alternatives' own tracks; 2: nor those of power and zones

  std::vector<TrackPlane> planes{};
  std::map<int, int> plane_of_sheet{};
  std::map<int, std::vector<int>> planes_of_void{};  ///< lowest level first
  std::map<int, int> layer_of_void{};
  std::map<int, Vec2> bay_upright{};  ///< plan coordinates in the bay's frame
  std::vector<Anchor> anchors{};
  std::vector<ChosenHole> holes{};
  GraphDraft draft{};
  std::vector<Charge> charges{};
  std::map<std::string, int> ladder_charges{};
};

const Sheet& sheet_of(const Layout& layout, int index);
int sheet_index(const TrackPlane& plane);

/// Planes for every sheet that can be fixed to and every support level of every void.
void add_sheet_planes(Layout& layout);
void add_void_planes(Layout& layout);

/// A hole through a crossing, passed where that is nearest to `at`.
ChosenHole hole_at(const Layout& layout, int crossing, const Vec3& at);

/// Places of ends, alternatives, and mouths of crossings and conduits.
void collect_anchors(Layout& layout);
/// From point to point, fixed to nothing.
Stretch free_way(int a, int b, const PlaceId& home);
Anchor& add_anchor(Layout& layout, const Vec3& position, const PlaceId& home);
void choose_holes(Layout& layout);
/// How far an end in a tiled ceiling may be from its hole.
constexpr double kFarthestBelowTile_m = 0.5;
/// Within this of it, a hole is straight above the end.
constexpr double kAtItsPlace_m = 0.001;
/// How far from a hole a cable that comes down through it can be turned up again to its end.
double turn_below_m(const Layout& layout);
/// Below a tiled ceiling a raceway ends a little short of it, and the cables lean over to a hole
/// close to the wall.
void attach_jogs(Layout& layout, const Anchor& mouth);
/// To holes farther off the wall they hang bare, fixed to nothing: only from walls that no hole
/// close by serves, and to holes that are there already.
void attach_far_jogs(Layout& layout);
/// Below a tiled ceiling: through the hole straight above, and only where the tile allows none
/// there straight to the holes close by. Those of other ends, or of places that this one may move
/// to later, are no reason to hang cable below the tiles.
void attach_below_tiles(Layout& layout, Anchor& anchor);
/// Cable may lean so far from one surface to the next: its middle is half as far from either.
constexpr double kFarthestSlant_m = 0.12;
/// What hangs on below the tiles is seen as much as on a wall.
void weigh_below_tiles(const Layout& layout, Stretch& way);
/// Whether it can: the hole is at the end's very place, or far enough off.
bool can_turn_below(const Layout& layout, const Anchor& end, const Vec3& hole);
/// Plates in walls with stud bays, and the holes through the bays' heads.
void choose_bay_holes(Layout& layout);
/// Where the upright of bay `index` passes the height of `at`.
Vec3 bay_foot(const Layout& layout, int index, const Vec3& at);

/// Joins an end on the floor to the walls: straight where it hugs one or a hidden place holds it,
/// else by the ways over the floor that were declared for it.
void attach_on_floor(Layout& layout, Anchor& anchor);
/// How a job says that cables may lie in furniture.
std::string may_hold(const std::string& part);
/// The ways over the floor alone. @return whether one was joined; else what refuses it is told
bool join_over_floor(Layout& layout, Anchor& anchor);
/// Whether zone `index` is one of a way over the floor: it gives rise to no tracks of its own.
bool is_floor_zone(const Layout& layout, int index);

/// Turns what asks for tracks into coordinates of tracks in every plane.
void settle_demands(Layout& layout);

/// Joins anchors to the tracks about them.
void attach_anchors(Layout& layout);
void attach_free_zones(Layout& layout);
void add_conduits(Layout& layout);
void add_direct_paths(Layout& layout);
/// Stubs from a point of the plane, in its two directions, to the nearest tracks; the point is
/// moved onto a track that it all but lies on. False if there is no track to be reached.
bool lead_in(Layout& layout, const TrackPlane& plane, Vec2& at, EdgeKind kind);

/// Points where a line enters or leaves a hidden place or the neighbourhood of a power line.
void cut_lines(Layout& layout);
/// Media, visibility, rules and clearances of each stretch; drops those that may not be.
void decorate(Layout& layout);

/// Lowers the weight of what no eye sees, and of what blends into its background.
void weigh_by_sight(Layout& layout);

/// Holes of written ways and of the record of what was built: they come before all others.
void take_written_holes(Layout& layout);
/// Stretches of written ways as lines of their planes.
void add_written_lines(Layout& layout);
/// What else they need: uprights, and where cable lies free.
void add_written_ways(Layout& layout);
bool upright_is_clear(const Layout& layout, int index, const Vec3& a, const Vec3& b);
/// The raceway that the record of what was built calls fixed, on its tracks.
std::vector<WayStretch> fixed_raceway(const Layout& layout);
/// Takes the charges off what is there already, and holds it to the size that it has.
void pay_for_what_is_there(const Layout& layout, Tracks& tracks);

/// The finished graph.
Tracks finish(Layout& layout);

}  // namespace roomloom::tracks
