#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "route/costs.h"

// What raceway must be clear inside so that the cables that turn in it keep their bend radius.

namespace roomloom::route {
namespace {

constexpr double kOutOfPlane = 0.7;  ///< cosine: the cable turns off the sheet, not on it

/// A straight stretch of raceway that a run takes, and the bends at its two ends.
struct Leg {
  std::vector<int> edges;
  Vec3 direction;
  struct Bend {
    Vec3 other;  ///< direction of the leg on the other side
    double angle_rad = 0;
  };
  std::vector<Bend> bends;
};

const TrackEdge& edge_at(const Setting& setting, int edge) {
  return setting.tracks.edges[static_cast<std::size_t>(edge)];
}

Vec3 direction_of(const Setting& setting, const Step& step) {
  const TrackEdge& edge = edge_at(setting, step.edge);
  const Vec3 along = setting.tracks.nodes[static_cast<std::size_t>(edge.b)].position -
                     setting.tracks.nodes[static_cast<std::size_t>(edge.a)].position;
  return normalized(step.forward ? along : -along);
}

std::vector<Leg> legs_of(const Setting& setting, const std::vector<Step>& way) {
  std::vector<Leg> legs;
  bool open = false;
  for (const Step& step : way) {
    const TrackEdge& edge = edge_at(setting, step.edge);
    if (edge.length_m <= 0) continue;
    if (!is_leg(edge)) {
      open = false;
      continue;
    }
    const Vec3 direction = direction_of(setting, step);
    const double angle = open ? angle_between(legs.back().direction, direction) : 0;
    if (!open || angle > kNoBend) {
      Leg leg{{}, direction, {}};
      if (open) {
        legs.back().bends.push_back({direction, angle});
        leg.bends.push_back({legs.back().direction, angle});
      }
      legs.push_back(leg);
      open = true;
    }
    legs.back().edges.push_back(step.edge);
  }
  return legs;
}

void ask(const Setting& setting, const RunNeeds& run, const Leg& leg, ClearNeeds& needs) {
  for (const Leg::Bend& bend : leg.bends)
    for (const int e : leg.edges) {
      const auto sheet = static_cast<std::size_t>(edge_at(setting, e).home.index);
      const ClearNeed asked = need_of_bend(run, leg.direction, bend.other, bend.angle_rad,
                                           setting.room.sheets[sheet].frame.n);
      ClearNeed& need = needs[e];
      need.width_m = std::max(need.width_m, asked.width_m);
      need.depth_m = std::max(need.depth_m, asked.depth_m);
    }
}

}  // namespace

bool is_leg(const TrackEdge& edge) {
  return edge.length_m > 0 && !edge.options.empty() && edge.home.kind == PlaceKind::sheet;
}

ClearNeed need_of_bend(const RunNeeds& run, const Vec3& direction, const Vec3& other,
                       double angle_rad, const Vec3& normal) {
  const double clear = least_clear_m(run.bend_radius_m, run.diameter_m, angle_rad);
  const Vec3 across = normalized(other - dot(other, direction) * direction);
  return std::abs(dot(across, normal)) > kOutOfPlane ? ClearNeed{0, clear} : ClearNeed{clear, 0};
}

double least_clear_m(double radius_m, double diameter_m, double angle_rad) {
  const double k = 1 / std::cos(std::min(angle_rad, 0.95 * kPi) / 2);
  return (radius_m * (k - 1) + diameter_m * (1 + k) / 2) / k;
}

ClearNeeds clear_needs(const Setting& setting, const Ways& ways) {
  ClearNeeds needs;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Leg& leg : legs_of(setting, ways[run])) ask(setting, setting.runs[run], leg, needs);
  return needs;
}

}  // namespace roomloom::route
