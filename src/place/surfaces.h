#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "geometry/triangles.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom::place {

/// Where a ray from inside the room ends.
struct Landing {
  int sheet = -1;  ///< -1: it leaves the room
  Vec3 position;
  double distance_m = 0;
  std::string blocked_by;  ///< opening, keep-out or obstacle in the way; empty = free
  bool at_edge = false;    ///< free, but closer to the sheet's edge than a loudspeaker is wide
  bool over_tee = false;   ///< free, but no hole can be cut just there: a tee of the grid is near
};

/// A sheet near a point.
struct NearSheet {
  int sheet = -1;
  double distance_m = 0;
};

/// Questions asked of the room's sheets and the model's parts. Holds references.
class Surfaces {
 public:
  /// @param with_rays  false spares the tree of a large model where no direction is asked for.
  Surfaces(const Scene& scene, const Room& room, bool with_rays);

  const Room& room() const { return room_; }
  const Scene& scene() const { return scene_; }
  const Sheet& sheet(int index) const { return room_.sheets[static_cast<std::size_t>(index)]; }

  /// First sheet along the unit `direction`, and what is in the way.
  Landing land(const Vec3& from, const Vec3& direction) const;
  /// The sheet of that name, else a part's: those of the main air first, of these the side that one
  /// means by it (of a ceiling the underside, of a floor the top, of a wall no ledge), the largest.
  std::optional<int> sheet_named(const std::string& name) const;
  /// A marker of that name.
  std::optional<Vec3> marker(const std::string& name) const;
  /// What the part of that name was taken for; none where the model has no such part.
  std::optional<Role> role_of_part(const std::string& name) const;
  std::vector<std::string> surface_names() const;  ///< for suggestions; sorted, unique
  std::vector<std::string> marker_names() const;

  /// The sheet nearest to a point in front of it (or just behind); open sides do not count.
  NearSheet nearest(const Vec3& p) const;
  /// The wall nearest to a point in plan, within its length, -1 if none; of those only that one
  /// meets in the unit direction `toward`, within about 30 degrees, where it is given.
  int nearest_wall(const Vec3& p, const std::optional<Vec3>& toward = std::nullopt) const;
  /// The floor under a point, -1 if none.
  int floor_under(const Vec3& p) const;
  /// The nearest level ceiling over a point, -1 if none.
  int ceiling_over(const Vec3& p) const;
  /// Index into Room::zones of one that holds the point, -1 if none.
  int zone_at(const Vec3& p) const;
  bool inside_room(const Vec3& p) const;

  /// What a point of a sheet's plane lies in, empty if nothing: the name of an opening or a lamp
  /// or, with `any_keep_out`, of whatever keeps others out; within `margin_m` of it counts too.
  std::string obstruction(int sheet, const Vec2& at, double margin_m, bool any_keep_out) const;

 private:
  bool near_tee(int sheet, const Vec2& at) const;
  std::string first_part(const Vec3& from, const Vec3& direction) const;
  std::string in_the_way(const Vec3& from, const Vec3& direction, double reach_m,
                         const Sheet& target) const;

  const Scene& scene_;
  const Room& room_;
  std::vector<int> part_of_;                             ///< of each of the triangles below
  std::vector<std::array<std::uint32_t, 3>> triangles_;  ///< of parts that block a ray
  TriangleTree tree_;
};

/// Left and right ends of the outline on the level line v; of the whole outline if none.
std::pair<double, double> edges_at(const Sheet& sheet, double v);
Box3 box_of(const Scene& scene, const Part& part);
/// Sheets that one walks on or looks up at: measured from their near edge.
bool is_level(const Sheet& sheet);
/// Of a level sheet: 1 where its v runs away from one who stands with the plan's y ahead, as a
/// floor's does; -1 where it runs toward one, as that of a ceiling seen from below does.
double way_ahead(const Sheet& sheet);
bool same_name(const std::string& a, const std::string& b);  ///< ASCII case ignored
/// An opening or a lamp: nothing can be mounted in it.
bool takes_no_end(Role role);

}  // namespace roomloom::place
