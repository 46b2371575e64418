#include <algorithm>

#include "takeoff/cells.h"
#include "takeoff/colours.h"
#include "takeoff/spools.h"

namespace roomloom {
namespace {

/// The open face on which most of the run lies bare; null where none does, or but a hand's breadth.
const Sheet* bare_on(const PlannedRun& run, const Tracks& tracks, const Room& room) {
  constexpr double kShows_m = 0.15;
  std::vector<double> metres(room.sheets.size(), 0);
  for (const Step& step : run.steps) {
    const TrackEdge& edge = element(tracks.edges, step.edge);
    if (edge.medium != Medium::bare || edge.home.kind != PlaceKind::sheet) continue;
    if (edge.visible_m <= 1e-3) continue;
    metres[static_cast<std::size_t>(edge.home.index)] += edge.length_m;
  }
  const auto most = std::max_element(metres.begin(), metres.end());
  if (most == metres.end() || *most < kShows_m) return nullptr;
  return &room.sheets[static_cast<std::size_t>(most - metres.begin())];
}

/// What can be had: the catalogue's colours, and those of the job's spools.
std::vector<std::string> offered_colours(const CableType& cable, const Job& job) {
  std::vector<std::string> colours = cable.colours;
  for (const SpoolSpec& spool : job.spools)
    if (spool.cable == cable.id && !spool.colour.empty() &&
        std::find(colours.begin(), colours.end(), spool.colour) == colours.end())
      colours.push_back(spool.colour);
  return colours;
}

}  // namespace

std::vector<JacketWish> jacket_wishes(const Plan& plan, const Tracks& tracks, const Ends& ends,
                                      const Room& room, const Job& job, const Scene* scene) {
  std::vector<JacketWish> wishes(ends.runs.size());
  for (std::size_t i = 0; i < ends.runs.size(); ++i) {
    const Run& run = ends.runs[i];
    const Sheet* face = bare_on(plan.runs[i], tracks, room);
    wishes[i].exposed = face != nullptr;
    if (run.spec >= 0) wishes[i].colour = element(job.runs, run.spec).colour;
    if (!wishes[i].colour.empty()) wishes[i].why = "as the job says";
    if (!wishes[i].colour.empty() || face == nullptr) continue;
    const auto offered = offered_colours(element(job.catalogue.cables, run.cable), job);
    const auto colour = face_colour(*face, scene);
    wishes[i].colour = colour_least_seen(offered, colour);
    wishes[i].why = "seen on " + face->name +
                    (colour ? ": shows least there" : ", whose colour is not known: the darkest");
  }
  return wishes;
}

}  // namespace roomloom
