#pragma once

#include <string>

#include "route/route.h"
#include "tracks/graph_check.h"
#include "tracks/tracks.h"

/// Rooms of tests with their runs planned.
namespace roomloom::testing {

struct Planned {
  Case c;
  Tracks tracks;
  Plan plan;
};

inline Planned plan_case(const Case& c, RouteEffort effort = RouteEffort::quick) {
  Planned p{c, build_tracks(c.scene, c.room, c.ends, c.job), {}};
  p.plan = route_runs(p.tracks, p.c.ends, p.c.room, p.c.job, {effort, 0});
  return p;
}

/// A room with a stand at the front, and a run to each of the places told.
inline Case stand_case(int count) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  const int zone = add_zone(c, prism, "Behind the stand", {1.3, 0, 0}, {1.6, 0.1, 0.6});
  const Vec3 places[] = {{4.2, 1.0, 1.2}, {4.2, 4.1, 1.2}, {3.1, 5.4, 1.2}, {0.5, 5.4, 2.1},
                         {0, 4.0, 1.2},   {0, 1.3, 2.1},   {4.2, 2.6, 2.1}, {0, 2.6, 0.4}};
  const char* walls[] = {"Wall 2", "Wall 2", "Wall 3", "Wall 3",
                         "Wall 4", "Wall 4", "Wall 2", "Wall 4"};
  for (int i = 0; i < count; ++i)
    add_run(c, "r" + std::to_string(i),
            add_port(c, prism, "p" + std::to_string(i), zone, {1.6 + 0.12 * i, 0.1, 0.4}),
            add_end(c, prism, "e" + std::to_string(i), walls[i], places[i]), i % 2);
  return c;
}

}  // namespace roomloom::testing
