#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "tracks/layout.h"
#include "tracks/tracks.h"

namespace roomloom {
namespace tracks {
namespace {

constexpr double kLeastMerge_m = 0.05;
constexpr double kMostMerge_m = 0.15;
constexpr double kCoarser = 1.5;
constexpr int kMostAttempts = 6;

Tracks lay(const Scene& scene, const Room& room, const Ends& ends, const Job& job,
           double tolerance_m, int coarseness) {
  Layout layout{.scene = scene,
                .room = room,
                .ends = ends,
                .job = job,
                .nominal = nominal_raceway(job.catalogue),
                .needs = cable_needs(ends, job),
                .tolerance_m = tolerance_m,
                .coarseness = coarseness};
  add_sheet_planes(layout);
  add_void_planes(layout);
  collect_anchors(layout);
  settle_demands(layout);
  for (TrackPlane& plane : layout.planes) lay_lines(plane);
  for (const TrackPlane& plane : layout.planes) draw_lines(plane, layout.draft);
  attach_anchors(layout);
  add_direct_paths(layout);
  cut_lines(layout);
  attach_free_zones(layout);
  layout.draft.split_lines();
  decorate(layout);
  return finish(layout);
}

std::string coarsened_text(double tolerance_m, int coarseness, std::size_t edges,
                           DisplayUnits units) {
  std::string text = "tracks closer than " + format_length(tolerance_m, units, 3) +
                     " were merged to keep the graph within " + std::to_string(kTrackEdgeBudget) +
                     " edges (" + std::to_string(edges) + " before)";
  if (coarseness > 0) text += "; places an end may move to got no tracks of their own";
  if (coarseness > 1) text += "; nor did mains lines and the sides of hidden places";
  return text;
}

}  // namespace
}  // namespace tracks

double track_stand_off_m(const Catalogue& catalogue) {
  return tracks::nominal_raceway(catalogue).stand_off_m();
}

Tracks build_tracks(const Scene& scene, const Room& room, const Ends& ends, const Job& job) {
  const double wanted = 2 * tracks::cable_needs(ends, job).bend_radius_m;
  double tolerance = std::clamp(wanted, tracks::kLeastMerge_m, tracks::kMostMerge_m);
  Tracks built = tracks::lay(scene, room, ends, job, tolerance, 0);
  std::vector<std::string> coarsened;
  for (int attempt = 1; attempt <= tracks::kMostAttempts; ++attempt) {
    if (static_cast<int>(built.edges.size()) <= kTrackEdgeBudget) break;
    const int coarseness = std::min(attempt, 2);
    tolerance *= tracks::kCoarser;
    coarsened = {tracks::coarsened_text(tolerance, coarseness, built.edges.size(), job.units)};
    built = tracks::lay(scene, room, ends, job, tolerance, coarseness);
  }
  built.coarsened = coarsened;
  return built;
}

}  // namespace roomloom
