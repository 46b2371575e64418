#include "drawings/trunks.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <tuple>

namespace roomloom {
namespace {

using Key = std::array<long, 3>;
Key key_of(const Vec3& p) {
  return {std::lround(p.x * 1e4), std::lround(p.y * 1e4), std::lround(p.z * 1e4)};
}

struct Piece2 {
  Vec3 a, b;
};

bool goes_on(const Vec3& a, const Vec3& b, const Vec3& c) {
  return norm(cross(normalized(b - a), normalized(c - b))) < 1e-6 && dot(b - a, c - b) > 0;
}

/// Joins pieces end to end into lines, without the points at which they go straight on.
std::vector<std::vector<Vec3>> chained(const std::vector<Piece2>& pieces) {
  std::map<Key, std::vector<std::size_t>> at;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    at[key_of(pieces[i].a)].push_back(i);
    at[key_of(pieces[i].b)].push_back(i);
  }
  std::vector<char> used(pieces.size(), 0);
  std::vector<std::vector<Vec3>> lines;
  const auto follow = [&](Vec3 p) {
    std::vector<Vec3> line = {p};
    for (bool found = true; found;) {
      found = false;
      for (const std::size_t i : at[key_of(p)]) {
        if (used[i] != 0) continue;
        used[i] = 1;
        p = key_of(pieces[i].a) == key_of(p) ? pieces[i].b : pieces[i].a;
        if (line.size() > 1 && goes_on(line[line.size() - 2], line.back(), p)) line.pop_back();
        line.push_back(p);
        found = at[key_of(p)].size() <= 2;
        break;
      }
    }
    if (line.size() > 1) lines.push_back(std::move(line));
  };
  for (const auto& [key, touching] : at) {  // from ends and branches first, then closed loops
    if (touching.size() == 2) continue;
    for (const std::size_t i : touching)
      if (used[i] == 0) follow(key_of(pieces[i].a) == key ? pieces[i].a : pieces[i].b);
  }
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (used[i] == 0) follow(pieces[i].a);
  return lines;
}

bool behind_gear(const DrawingRequest& r, const PlaceId& home) {
  return home.kind == PlaceKind::zone &&
         std::any_of(r.ends.gear.begin(), r.ends.gear.end(),
                     [&](const GearBox& gear) { return gear.zone == home.index; });
}

/// "T12" for "T", whatever the case of the letters.
bool numbered(const std::string& name, const std::string& letters) {
  if (name.size() <= letters.size()) return false;
  for (std::size_t i = 0; i < name.size(); ++i) {
    const auto c = static_cast<unsigned char>(name[i]);
    if (i < letters.size() ? std::toupper(c) != letters[i] : std::isdigit(c) == 0) return false;
  }
  return true;
}

/// Letters that no name of the user's goes by with a number after them.
std::string free_letters(const DrawingRequest& r) {
  std::vector<const std::string*> names;
  for (const Run& run : r.ends.runs) names.push_back(&run.id);
  for (const End& end : r.ends.ends) names.push_back(&end.id);
  for (const HoleShape& hole : r.shapes.holes) names.push_back(&hole.name);
  for (std::string letters : {"T", "TR", "TK", "TX"}) {
    if (std::none_of(names.begin(), names.end(),
                     [&](const std::string* name) { return numbered(*name, letters); }))
      return letters;
  }
  return "Trunk ";
}

void name_sets(const DrawingRequest& r, Trunks& trunks) {
  constexpr double kLeastNamed_m = 0.05;  // what is shorter is a dot on paper
  std::set<std::vector<int>> sets;
  for (const Stretch& stretch : trunks.stretches) {
    if (stretch.runs.size() > 1 && !behind_gear(r, stretch.home) &&
        line_length(stretch) >= kLeastNamed_m)
      sets.insert(stretch.runs);
  }
  trunks.sets.assign(sets.begin(), sets.end());
  std::stable_sort(trunks.sets.begin(), trunks.sets.end(),
                   [](const auto& a, const auto& b) { return a.size() > b.size(); });
  const std::string letters = free_letters(r);
  for (std::size_t i = 0; i < trunks.sets.size(); ++i)
    trunks.names.push_back(letters + std::to_string(i + 1));
  for (Stretch& stretch : trunks.stretches) {
    const auto found = std::find(trunks.sets.begin(), trunks.sets.end(), stretch.runs);
    if (found != trunks.sets.end()) stretch.trunk = static_cast<int>(found - trunks.sets.begin());
  }
}

/// Where the straight of a cable that crosses the plane at `at_m` from `from` lies in that plane;
/// none if it bends there or does not come by.
std::optional<Vec2> lane_in(const CableShape& shape, const Vec3& from, const Vec3& to,
                            const Vec3& away, double at_m, double slant_rad) {
  constexpr double kFar = 0.15;  // what lies farther off is no part of it
  const Vec3 along = normalized(to - from);
  const Vec3 across = normalized(cross(away, along));
  for (const Piece& piece : shape.pieces) {
    const auto* line = std::get_if<Line3>(&piece);
    if (line == nullptr) continue;
    if (norm(cross(normalized(line->to - line->from), along)) > slant_rad) continue;
    const double s = dot(line->from - from, along);
    const double t = dot(line->to - from, along);
    if (at_m < std::min(s, t) || at_m > std::max(s, t)) continue;
    const Vec3 off =
        line->from + (at_m - s) / (t - s) * (line->to - line->from) - from - at_m * along;
    if (norm(off) <= kFar) return Vec2{dot(off, across), dot(off, away)};
  }
  return std::nullopt;
}

/// By how much the two deepest in each other overlap; 0 = all are clear.
double overlap_m(const DrawingRequest& r, const std::map<int, Vec2>& lanes) {
  const auto radius = [&](int run) {
    const int cable = r.ends.runs[static_cast<std::size_t>(run)].cable;
    return r.job.catalogue.cables[static_cast<std::size_t>(cable)].diameter_m / 2;
  };
  double most = 0;
  for (auto a = lanes.begin(); a != lanes.end(); ++a)
    for (auto b = std::next(a); b != lanes.end(); ++b)
      most = std::max(most, radius(a->first) + radius(b->first) - norm(a->second - b->second));
  return most;
}

}  // namespace

Trunks trunks_of(const DrawingRequest& r) {
  std::map<int, std::vector<int>> runs_on;  // track edge -> runs
  for (const PlannedRun& run : r.plan.runs) {
    if (!run.routed) continue;
    for (const Step& step : run.steps) {
      std::vector<int>& runs = runs_on[step.edge];
      if (runs.empty() || runs.back() != run.run) runs.push_back(run.run);
    }
  }
  std::map<std::pair<PlaceId, std::vector<int>>, std::vector<Piece2>> groups;
  for (auto& [index, runs] : runs_on) {
    const TrackEdge& edge = r.tracks.edges[static_cast<std::size_t>(index)];
    const Vec3& a = r.tracks.nodes[static_cast<std::size_t>(edge.a)].position;
    const Vec3& b = r.tracks.nodes[static_cast<std::size_t>(edge.b)].position;
    if (edge.kind == EdgeKind::crossing || key_of(a) == key_of(b)) continue;
    std::sort(runs.begin(), runs.end());
    runs.erase(std::unique(runs.begin(), runs.end()), runs.end());
    groups[{edge.home, runs}].push_back({a, b});
  }
  Trunks trunks;
  for (const auto& [key, pieces] : groups) {
    for (std::vector<Vec3>& line : chained(pieces))
      trunks.stretches.push_back({std::move(line), key.first, key.second, -1});
  }
  name_sets(r, trunks);
  return trunks;
}

double line_length(const Stretch& stretch) { return polyline_length(stretch.line); }

std::map<int, Vec2> lanes_beside(const DrawingRequest& r, const std::vector<int>& runs,
                                 const Vec3& from, const Vec3& to, const Vec3& away) {
  constexpr int kPlanes = 41;
  constexpr double kAlong_rad = 0.005, kStepsAside_rad = 0.1;
  const double length = distance(from, to);
  std::map<int, Vec2> best;
  std::size_t most = 0;
  double least = 0;
  // From the middle outwards: the first plane where most cables keep their lane, and keep clear of
  // each other as they do not where one steps aside in a fitting.
  for (int i = 0; i < kPlanes; ++i) {
    const double aside = (i % 2 == 0 ? -1 : 1) * ((i + 1) / 2) / static_cast<double>(kPlanes + 1);
    const double at_m = (0.5 + aside) * length;
    std::map<int, Vec2> lanes;
    std::size_t along = 0;
    for (const int run : runs) {
      const CableShape& shape = r.shapes.cables[static_cast<std::size_t>(run)];
      auto lane = lane_in(shape, from, to, away, at_m, kAlong_rad);
      along += lane ? 1 : 0;
      if (!lane) lane = lane_in(shape, from, to, away, at_m, kStepsAside_rad);
      if (lane) lanes[run] = *lane;
    }
    const double overlap = overlap_m(r, lanes);
    if (!best.empty() &&
        std::tuple(lanes.size(), along, -overlap) <= std::tuple(best.size(), most, -least))
      continue;
    most = along;
    least = overlap;
    best = std::move(lanes);
  }
  return best;
}

}  // namespace roomloom
