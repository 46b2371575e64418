#pragma once

#include <array>
#include <string>
#include <variant>
#include <vector>

#include "geometry/arc.h"
#include "types/plan.h"

namespace roomloom {

struct Line3 {
  Vec3 from, to;
};
using Piece = std::variant<Line3, Arc>;
double length_m(const Piece& piece);

struct Bend {
  Vec3 at;  ///< corner point
  double angle_rad = 0;
  double required_m = 0;   ///< the cable's least radius
  double available_m = 0;  ///< what the place allows
  double used_m = 0;       ///< min of both
  PlaceId home;
  bool in_fitting = false;  ///< within 4 diameters of a fitting, where drawn cables may overlap
};

/// A named part of the cut length.
struct Addend {
  std::string name;
  double metres = 0;
};

/// Order and names of the addends; a column each. What each one holds is told in shape/addends.h.
inline const std::array<const char*, 11> kAddendNames = {
    "lane",     "sag",         "drop",        "loop at from", "loop at to", "termination",
    "pull-out", "movable end", "contingency", "rounding",     "measured"};

/// The shape and length of one run.
struct CableShape {
  int run = -1;  ///< into Ends::runs
  bool routed = false;
  std::vector<Piece> pieces;   ///< from -> to, joined end to end
  std::vector<PlaceId> homes;  ///< one a piece
  std::vector<int> edges;      ///< one a piece: the track edge it follows (an arc: the edge before)
  std::vector<Bend> bends;
  Vec3 lane;                    ///< offset from the trunk's centreline on the longest stretch
  double track_m = 0;           ///< length of the track path before lanes and fillets
  double drawn_m = 0;           ///< sum of pieces
  std::vector<Addend> addends;  ///< kAddendNames in order
  double cut_m = 0;             ///< drawn + addends
};

/// A hole as it will be cut.
struct HoleShape {
  int crossing = -1;      ///< into Room::crossings
  Vec3 centre;            ///< on the `from` face
  Vec3 normal;            ///< along the passage
  double bundle_m = 0;    ///< least circle round the cables
  double diameter_m = 0;  ///< to cut; of one that is there, its own
  double bare_m = 0;      ///< to cut if nothing lined it
  int grommet = -1;       ///< that lines it, into Catalogue::grommets; -1 = none
  double built_m = 0;     ///< recorded as cut so wide; less than diameter_m: to widen; 0 = not told
  double thickness_m = 0;
  std::vector<int> runs;
  std::string name;     ///< "H1"
  Vec3 passed_at;       ///< where the tracks pass it, on the `from` face
  int recorded = -1;    ///< into recorded_holes() of the job's record; -1 = nobody cut it
  int no_grommet = -1;  ///< would line it, had it been cut as that asks; into Catalogue::grommets
  /// Recorded as cut, and wide enough: nothing to do.
  bool is_cut() const { return recorded >= 0 && (built_m <= 0 || built_m >= diameter_m - 1e-6); }
};

/// A straight piece of raceway.
struct RacewayShape {
  int edge = -1;     ///< the first of `edges`
  Vec3 from, to;     ///< centreline
  Vec3 normal;       ///< away from the sheet
  int raceway = -1;  ///< into Catalogue::raceways
  int sheet = -1;
  std::vector<int> runs;  ///< that lie in this one
  int count = 1;          ///< how many of this size lie side by side here, this one among them
  std::vector<int> edges = {};  ///< of the tracks, that it is planned for
  int place = 0;                ///< it lies so many widths beside the track
  Vec3 aside = {};              ///< from the track to there, along the sheet
};

struct SupportShape {
  Vec3 at;
  std::vector<int> runs;
  Vec3 direction;
};

struct CableShapes {
  std::vector<CableShape> cables;  ///< one for each of Ends::runs
  std::vector<HoleShape> holes;
  std::vector<RacewayShape> raceways;
  std::vector<SupportShape> supports;
  std::vector<std::string> overlaps;  ///< runs that could not get lanes of their own, and where
};

/// The point of the cable's straight pieces that lies nearest to p; p where it has none.
Vec3 nearest_on(const CableShape& cable, const Vec3& p);

}  // namespace roomloom
