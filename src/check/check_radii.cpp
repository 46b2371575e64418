#include <algorithm>

#include "base/units.h"
#include "check/original.h"
#include "check/trade_check.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kSharp = 0.26;  // 15 degrees at one point: no arc's tessellation turns so much
constexpr double kUnresolved =
    5e-5;                           // metres: between points so near, rounding gives the direction
constexpr double kTogether = 0.3;   // metres: bends so near are those of one bundle
constexpr double kOffTile = 0.001;  // metres: faces so near the tile's upper one are the tile's

/// Bends of one run that are too tight, and the worst of them.
struct Tight {
  const DrawnRun* run = nullptr;
  int count = 0;
  double badness = 0;       ///< more is worse
  std::string figure = {};  ///< of the worst
  Vec3 where = {};          ///< of the worst
  std::string places = {};  ///< all, in words

  void add(double bad, const std::string& measured, const std::string& place, const Vec3& at) {
    places += (count++ == 0 ? "" : "; ") + place;
    if (count > 1 && bad <= badness) return;
    badness = bad;
    figure = measured;
    where = at;
  }
};

/// Where bends are, as one finds them in the room: "at 1.20 / 0.03 / 2.45 m".
std::string place_text(const Vec3& at, DisplayUnits units) {
  return "at " + format_length(at.x, units, 2) + " / " + format_length(at.y, units, 2) + " / " +
         format_length(at.z, units, 2);
}

/// What is above the holes of tiles on which cable lies.
struct OverTiles {
  const std::vector<ListedHole>& holes;
  Faces faces;
  TriangleTree tree;

  OverTiles(const Written& written, const Scene& scene, const Job& job)
      : holes(written.plan.holes),
        faces(faces_of(scene, believed_roles(written.plan, scene, job), false)),
        tree(scene.points, faces.triangles) {}

  /// From the tile's upper face to the model's next part, else as high as guessed voids are.
  double room_m(const ListedHole& hole) const {
    const Vec3 upper = hole.centre + Vec3{0, 0, hole.thickness_m};
    const auto above = tree.first_hit(upper, {0, 0, 1}, kOffTile);
    return above ? above->t : kGuessedVoid;
  }

  /// Whether the bend at a point is that in which a run comes up out of its tile, and an arch of
  /// its cable has room there.
  bool arches_at(const DrawnRun& run, const Vec3& at) const {
    const double radius = run.cable->bend_radius_m;
    return std::any_of(holes.begin(), holes.end(), [&](const ListedHole& hole) {
      const Vec3 off = at - hole.centre;
      const double reach = 0.5 * hole.diameter_m + 2 * radius;
      return hole.kind == "tile cut" && off.z > 0 && off.z <= reach &&
             std::hypot(off.x, off.y) <= reach &&
             std::find(hole.runs.begin(), hole.runs.end(), run.id) != hole.runs.end() &&
             room_m(hole) >= radius + run.cable->diameter_m;
    });
  }
};

/// `tiles`: where the job lays cable on them, else null.
Tight tight_arcs(const DrawnRun& run, const WrittenThing& curve, const OverTiles* tiles) {
  Tight tight{&run};
  for (std::size_t i = 0; i < curve.radii_m.size(); ++i) {
    const double radius = curve.radii_m[i];
    if (radius >= run.cable->bend_radius_m - 0.0001) continue;
    // Drawn as it lies, flat on the tile; it rises from its hole in an arch of its own and sinks.
    if (tiles != nullptr && tiles->arches_at(run, curve.arcs_at[i])) continue;
    const std::string figure = length_text(radius, run.units);
    tight.add(-radius, figure, figure + " " + place_text(curve.arcs_at[i], run.units),
              curve.arcs_at[i]);
  }
  return tight;
}

/// The line with its ends, but without points that its file cannot tell from their neighbours.
std::vector<Vec3> resolved(const std::vector<Vec3>& line) {
  std::vector<Vec3> points;
  for (const Vec3& p : line)
    if (points.empty() || distance(points.back(), p) >= kUnresolved) points.push_back(p);
  if (points.size() > 1) points.back() = line.back();
  return points;
}

Tight corners(const DrawnRun& run) {
  Tight tight{&run};
  const std::vector<Vec3> line = resolved(run.line);
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    const double turn = angle_between(line[i] - line[i - 1], line[i + 1] - line[i]);
    if (turn < kSharp) continue;
    tight.add(turn, format_number(degrees(turn), 0) + " degrees", place_text(line[i], run.units),
              line[i]);
  }
  return tight;
}

/// Cables of one type that bend together, as they come out of a wall or round a corner, are one
/// thing to mend.
std::vector<std::vector<Tight>> together(const std::vector<Tight>& all) {
  std::vector<std::vector<Tight>> groups;
  for (const Tight& one : all) {
    if (one.count == 0) continue;
    const auto joined = std::find_if(groups.begin(), groups.end(), [&](const auto& group) {
      return group.front().run->cable == one.run->cable &&
             distance(group.front().where, one.where) <= kTogether;
    });
    if (joined == groups.end()) {
      groups.push_back({one});
    } else {
      joined->push_back(one);
    }
  }
  return groups;
}

const Tight& worst_of(const std::vector<Tight>& group) {
  return *std::max_element(group.begin(), group.end(),
                           [](const Tight& a, const Tight& b) { return a.badness < b.badness; });
}

std::vector<std::string> names_of(const std::vector<Tight>& group) {
  std::vector<std::string> names;
  for (const Tight& one : group) names.push_back(one.run->id);
  return names;
}

std::string places_text(int count) {
  return std::to_string(count) + (count == 1 ? " place" : " places");
}

void tell_arcs(const std::vector<Tight>& group, Findings& findings) {
  const Tight& worst = worst_of(group);
  const DrawnRun& run = *worst.run;
  const std::string limit = length_text(run.cable->bend_radius_m, run.units);
  const std::string text =
      group.size() == 1
          ? "Run " + run.id + " bends to " + worst.figure + " in " + places_text(worst.count) +
                "; its cable wants " + limit + ": " + worst.places + "."
          : listed_runs(names_of(group)) + " bend together, to as little as " + worst.figure + " " +
                place_text(worst.where, run.units) + " (run " + run.id + "); " + run.cable->id +
                " wants " + limit + ".";
  findings.items.push_back(
      {"bend-radius", Level::should, text, run.id, worst.where,
       "Use a fitting with a radius, the next larger raceway, or a cable that bends tighter.",
       figure_source(*run.cable, "bend_radius"), worst.figure, limit});
}

void tell_corners(const std::vector<Tight>& group, Findings& findings) {
  const Tight& worst = worst_of(group);
  const DrawnRun& run = *worst.run;
  const std::string text =
      group.size() == 1
          ? "Run " + run.id + " turns without any radius in " + places_text(worst.count) +
                ", where no arc fits: " + worst.places + "."
          : listed_runs(names_of(group)) +
                " turn together without any radius, where no arc fits, " + "by up to " +
                worst.figure + " " + place_text(worst.where, run.units) + " (run " + run.id + ").";
  findings.items.push_back({"bend-kink", Level::should, text, run.id, worst.where,
                            "Move the end or the gear so that a bend fits, or accept it with care.",
                            figure_source(*run.cable, "bend_radius"), worst.figure,
                            format_number(degrees(kSharp), 0) + " degrees"});
}

}  // namespace

void check_radii(const Written& written, const std::vector<DrawnRun>& runs, const Scene& original,
                 const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  std::optional<OverTiles> tiles;
  if (job.prefer.lay_on_tiles) tiles.emplace(written, original, job);
  std::vector<Tight> arcs, sharp;
  for (const DrawnRun& run : runs) {
    if (const auto* curve = find_thing(written.step, "Run " + run.id + " centreline"))
      arcs.push_back(tight_arcs(run, *curve, tiles ? &*tiles : nullptr));
    sharp.push_back(corners(run));
  }
  for (const auto& group : together(arcs)) tell_arcs(group, findings);
  for (const auto& group : together(sharp)) tell_corners(group, findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
