#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "takeoff/cells.h"
#include "takeoff/spools.h"

namespace roomloom {
namespace {

struct NamedColour {
  const char* name;
  std::array<double, 3> rgb;  // as screens show it, 0..1; common names, no source
};
constexpr std::array<NamedColour, 14> kColours = {{{"black", {0.05, 0.05, 0.05}},
                                                   {"white", {0.97, 0.97, 0.95}},
                                                   {"grey", {0.5, 0.5, 0.5}},
                                                   {"gray", {0.5, 0.5, 0.5}},
                                                   {"brown", {0.4, 0.26, 0.13}},
                                                   {"beige", {0.93, 0.88, 0.77}},
                                                   {"cream", {0.98, 0.95, 0.82}},
                                                   {"blue", {0.1, 0.3, 0.7}},
                                                   {"green", {0.1, 0.55, 0.25}},
                                                   {"red", {0.8, 0.1, 0.1}},
                                                   {"yellow", {0.95, 0.85, 0.1}},
                                                   {"orange", {0.95, 0.5, 0.1}},
                                                   {"purple", {0.45, 0.2, 0.6}},
                                                   {"aqua", {0.2, 0.75, 0.75}}}};

const std::array<double, 3>* rgb_of(const std::string& name) {
  for (const NamedColour& colour : kColours)
    if (name == colour.name) return &colour.rgb;
  return nullptr;
}

double shown(float linear) {  // IEC 61966-2-1
  const double x = std::clamp(static_cast<double>(linear), 0.0, 1.0);
  return x <= 0.0031308 ? 12.92 * x : 1.055 * std::pow(x, 1 / 2.4) - 0.055;
}

std::optional<Colour> colour_of(const Sheet& sheet, const Scene* scene) {
  if (scene == nullptr) return std::nullopt;
  for (const int part : sheet.parts)
    if (const auto& colour = element(scene->parts, part).colour) return colour;
  return std::nullopt;
}

/// The offered colour that shows least on the face; offered colours of unknown look come last.
std::string best_colour(const std::vector<std::string>& offered,
                        const std::optional<Colour>& face) {
  std::string best = offered.front();
  double least = std::numeric_limits<double>::infinity();
  for (const std::string& name : offered) {
    const std::array<double, 3>* rgb = rgb_of(name);
    if (rgb == nullptr) continue;
    const double r = (*rgb)[0], g = (*rgb)[1], b = (*rgb)[2];
    const double score =
        face ? std::hypot(r - shown(face->r), g - shown(face->g), b - shown(face->b)) : r + g + b;
    if (score >= least) continue;
    least = score;
    best = name;
  }
  return best;
}

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
    if (!wishes[i].colour.empty() || face == nullptr) continue;
    const auto offered = offered_colours(element(job.catalogue.cables, run.cable), job);
    if (!offered.empty()) wishes[i].colour = best_colour(offered, colour_of(*face, scene));
  }
  return wishes;
}

}  // namespace roomloom
