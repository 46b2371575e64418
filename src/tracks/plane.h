#pragma once

#include <string>
#include <utility>
#include <vector>

#include "geometry/crossing.h"
#include "geometry/polygon.h"
#include "tracks/graph.h"

namespace roomloom::tracks {

/// A piece of a plane's border from which tracks keep `inset_m` away (0: they may reach it).
struct Border {
  Vec2 a, b;
  double inset_m = 0;
  int seam = -1;  ///< into Room::seams when it is one
};

/// A region that tracks keep out of, by `inset_m`.
struct PlaneKeepOut {
  Ring ring;
  double inset_m = 0;  ///< for tracks
  double bare_m = 0;   ///< for the short lead-in of an end
  std::string name;
  bool from_power = false;
  bool open_inside = false;  ///< cables may lie in it: only what passes close by keeps off
};

/// The line that the tracks of two sheets share at their seam, in one sheet's own plane.
struct SeamLine {
  int seam = -1;
  Vec2 a, b;
  double reach_m = 0;     ///< how far from it an end of a track may be and still be drawn to it
  bool is_track = false;  ///< an inside corner: the line is a track itself
  bool owner = false;     ///< of the track: the other sheet leaves it to this one
  double visible_weight = 1;
};

/// A straight track in a plane, already cut to where it may lie.
struct PlaneLine {
  Vec2 a, b;
  double visible_weight = 1;
  bool made_elsewhere = false;  ///< its stretches belong to the sheet on the other side of a seam
  bool written = false;         ///< of a way in a plan of before
};

/// A plane that tracks lie in: a sheet, or a support level of a void. Coordinates are metres in
/// `frame`, whose origin lies on the plane of the tracks themselves (at the stand-off).
struct TrackPlane {
  PlaceId home;
  int layer = 0;
  Frame frame;
  Polygon region;
  std::vector<Border> borders;
  std::vector<PlaneKeepOut> keep_outs;
  std::vector<SeamLine> seam_lines;
  std::vector<double> values[2];  ///< coordinates of tracks: [0] of those along v, [1] along u
  std::vector<PlaneLine> lines;
  double visible = 1;
  Medium medium = Medium::raceway;
};

/// How strictly pieces of a line are judged.
enum class Strictness { track, lead_in };

/// The pieces of a -> b, as parameters in [0, 1], on which a cable may lie. Borders of seam
/// `skip_seam` are not kept away from (its own track runs along them).
std::vector<std::pair<double, double>> allowed_pieces(const TrackPlane& plane, const Vec2& a,
                                                      const Vec2& b, Strictness strictness,
                                                      int skip_seam = -1);

/// The name of the keep-out that a -> b runs into first, or empty.
std::string first_block(const TrackPlane& plane, const Vec2& a, const Vec2& b);

/// The nearest line of the plane that is met within `limit` metres of `from`, not just at it, and
/// where. False if there is none.
bool nearest_line(const TrackPlane& plane, const Vec2& from, const Vec2& direction, double limit,
                  Vec2& at);

/// Fills `plane.lines` from its values and seam lines.
void lay_lines(TrackPlane& plane);

/// Puts points where the plane's lines cross and end, and the lines themselves, into the draft.
void draw_lines(const TrackPlane& plane, GraphDraft& draft);

/// Low and high corner of the region.
std::pair<Vec2, Vec2> extent(const Ring& ring);

}  // namespace roomloom::tracks
