#include "drawings/to_scale.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "base/units.h"
#include "drawings/checks.h"
#include "drawings/text.h"

namespace roomloom::testing {
namespace {

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all.at(static_cast<std::size_t>(index));
}

/// The sheet and the model it is held against.
struct Held : HeldSheet {
  const DrawingRequest& r;
  Vec3 zero = {};  ///< of running dimensions: a corner of the model, as the small circles have it
};

/// Metres that a dimension's figure says: whole millimetres, or feet and inches.
double said_m(const std::string& figure, DisplayUnits units) {
  if (units == DisplayUnits::metric) return std::strtod(figure.c_str(), nullptr) / 1000;
  const auto length = parse_length(figure);
  EXPECT_TRUE(length) << figure;
  return length ? *length : -1;
}

/// What a figure may be off by being rounded: to a millimetre, or to a sixteenth of an inch.
double rounding_m(DisplayUnits units) {
  return units == DisplayUnits::metric ? 0.0005 : 0.0254 / 32;
}

/// Running dimensions: from the small circle at the origin to each arrow, along one line.
void hold_running(const Held& held, const std::string& name, Measured& measured) {
  const auto paths = held.svg.paths_named(name + " ");
  if (paths.empty()) return;
  const Vec2 zero = paths.front()->points.front();
  EXPECT_TRUE(std::any_of(held.svg.circles.begin(), held.svg.circles.end(),
                          [&](const SvgCircle& c) { return norm(c.centre - zero) < 0.01; }))
      << held.title << ": no origin of " << name;
  for (const SvgPath* path : paths) {
    const std::string figure = path->name.substr(name.size() + 1);
    const Vec2 way = path->points.back() - zero;  // to the right and upward counts
    EXPECT_NEAR((way.x - way.y) * held.metres, said_m(figure, held.r.job.units),
                rounding_m(held.r.job.units) + kTolerance_m)
        << held.title << ": " << path->name;
    EXPECT_TRUE(std::any_of(
        held.svg.texts.begin(), held.svg.texts.end(),
        [&](const SvgText& text) { return text.text == figure || holds_word(text.text, figure); }))
        << held.title << ": the figure " << figure << " is not written";
    ++measured.dimensions;
  }
}

/// Who is told to measure from a corner must find one there: not a corner of the paper's box round
/// a bay, which is in the air.
void find_zero(Held& held, const std::vector<Vec3>& outline, const char* across, const char* up) {
  const auto level = held.svg.paths_named(std::string(across) + " ");
  const auto plumb = held.svg.paths_named(std::string(up) + " ");
  ASSERT_FALSE(level.empty() || plumb.empty()) << held.title;
  held.zero = held.on_plane({level.front()->points.front().x, plumb.front()->points.front().y});
  const auto in_plane = [&](const Vec3& p) { return Vec2{dot(p, held.u), dot(p, held.v)}; };
  EXPECT_TRUE(std::any_of(
      outline.begin(), outline.end(),
      [&](const Vec3& p) { return norm(in_plane(p) - in_plane(held.zero)) < kTolerance_m; }))
      << held.title << ": dimensions are read from where no corner is";
}

/// The reading that tells of a coordinate is there, its arrow at the coordinate.
void expect_reading(const Held& held, const std::string& name, double metres,
                    const std::string& what) {
  constexpr double kTakenAsOne = 0.003;
  if (std::abs(metres) < kTakenAsOne) return;
  const auto paths = held.svg.paths_named(name + " ");
  EXPECT_TRUE(std::any_of(
      paths.begin(), paths.end(),
      [&](const SvgPath* path) {
        return std::abs(said_m(path->name.substr(name.size() + 1), held.r.job.units) - metres) <=
               kTakenAsOne + rounding_m(held.r.job.units);
      }))
      << held.title << ": " << what << " at " << metres << " m is not dimensioned (" << name << ")";
}

void hold_hole(const Held& held, const HoleShape& hole, Measured& measured) {
  std::vector<const SvgCircle*> found = held.svg.circles_named("Hole ");
  found.erase(std::remove_if(found.begin(), found.end(),
                             [&](const SvgCircle* circle) {
                               return circle->name != "Hole " + plain_text(hole.name, 16);
                             }),
              found.end());
  ASSERT_EQ(found.size(), 1U) << held.title << ": hole " << hole.name;
  EXPECT_LT(held.off(hole.centre, found[0]->centre), kTolerance_m)
      << held.title << ": hole " << hole.name;
  constexpr double kLeastRadius_mm = 0.35;  // smaller ones would not be seen
  EXPECT_NEAR(found[0]->radius, std::max(kLeastRadius_mm, hole.diameter_m / 2 / held.metres),
              kTolerance_m / held.metres)
      << held.title << ": size of hole " << hole.name;
  ++measured.holes;
}

/// Then the hole is dimensioned, from its tile.
bool at_hole(const Held& held, const End& end) {
  return std::any_of(
      held.r.shapes.holes.begin(), held.r.shapes.holes.end(),
      [&](const HoleShape& hole) { return distance(hole.centre, end.place.position) < 0.03; });
}

void hold_ends(const Held& held, int sheet, Measured& measured) {
  for (const End& end : held.r.ends.ends) {
    if (!end.gear.empty() || end.place.home != PlaceId{PlaceKind::sheet, sheet}) continue;
    const auto found = held.svg.circles_named("End " + plain_text(end.id, 24));
    ASSERT_FALSE(found.empty()) << held.title << ": end " << end.id;
    EXPECT_TRUE(std::any_of(found.begin(), found.end(),
                            [&](const SvgCircle* circle) {
                              return held.off(end.place.position, circle->centre) < kTolerance_m;
                            }))
        << held.title << ": end " << end.id << " is elsewhere";
    ++measured.ends;
    if (at_hole(held, end)) continue;
    const Vec3 from = end.place.position - held.zero;
    expect_reading(held, "Dimension across", dot(from, held.u), end.id);
    expect_reading(held, "Dimension height", dot(from, held.v), end.id);
  }
}

/// Where a piece ends in a cap is dimensioned along the piece.
void hold_caps(const Held& held, int sheet) {
  for (const RacewayPiece& piece : held.r.takeoff.raceway_pieces) {
    if (piece.sheet != sheet) continue;
    const Vec3 way = piece.to - piece.from;
    for (const auto& [end, words] : {std::pair{piece.from, piece.start}, {piece.to, piece.end}}) {
      if (words.find("end cap") == std::string::npos) continue;
      const bool level = std::abs(dot(way, held.u)) > std::abs(dot(way, held.v));
      expect_reading(held, level ? "Dimension across" : "Dimension height",
                     dot(end - held.zero, level ? held.u : held.v), "cap of " + piece.name);
    }
  }
}

void hold_raceways(const Held& held, int sheet, Measured& measured) {
  for (const RacewayShape& piece : held.r.shapes.raceways) {
    if (piece.sheet != sheet) continue;
    const RacewayType& type = at(held.r.job.catalogue.raceways, piece.raceway);
    const Vec3 side = 0.5 * type.width_m * normalized(cross(piece.normal, piece.to - piece.from));
    const std::vector<Vec3> ring = {piece.from + side, piece.from - side, piece.to + side,
                                    piece.to - side};
    const auto drawn = held.svg.paths_named("Raceway " + plain_text(type.id, 20));
    EXPECT_TRUE(std::any_of(drawn.begin(), drawn.end(),
                            [&](const SvgPath* path) { return held.has_ring(ring, *path); }))
        << held.title << ": raceway " << type.id << " of edge " << piece.edge << " is elsewhere";
    ++measured.raceways;
  }
}

double distance_to(const Piece& piece, const Vec3& p) {
  if (const auto* line = std::get_if<Line3>(&piece)) {
    const Vec3 way = line->to - line->from;
    const double t = dot(way, way) > 0 ? dot(p - line->from, way) / dot(way, way) : 0;
    return distance(p, line->from + std::clamp(t, 0.0, 1.0) * way);
  }
  const Arc& arc = std::get<Arc>(piece);
  return std::abs(distance(p, arc.centre) - arc.radius_m);
}

/// The line of a run alone lies where its cable does, seen in this plane, as near as lanes do.
void hold_lines(const Held& held, Measured& measured) {
  constexpr double kLanes_m = 0.12;
  const Vec3 n = cross(held.u, held.v);
  const auto flat = [&](const Vec3& p) { return p - dot(p, n) * n; };
  for (std::size_t i = 0; i < held.r.ends.runs.size(); ++i) {
    for (const SvgPath* path :
         held.svg.paths_named("Run " + plain_text(held.r.ends.runs[i].id, 16))) {
      if (path->name != "Run " + plain_text(held.r.ends.runs[i].id, 16)) continue;
      for (std::size_t k = 0; k + 1 < path->points.size(); ++k) {
        const Vec3 p = flat(held.on_plane(0.5 * (path->points[k] + path->points[k + 1])));
        double least = 1e30;
        for (Piece piece : held.r.shapes.cables[i].pieces) {
          if (auto* line = std::get_if<Line3>(&piece)) *line = {flat(line->from), flat(line->to)};
          if (auto* arc = std::get_if<Arc>(&piece)) arc->centre = flat(arc->centre);
          least = std::min(least, distance_to(piece, p));
        }
        EXPECT_LT(least, kLanes_m) << held.title << ": " << path->name << " is off its cable";
        ++measured.lines;
      }
    }
  }
}

bool passes(const Room& room, const HoleShape& hole, const PlaceId& place) {
  const Crossing& crossing = at(room.crossings, hole.crossing);
  return crossing.from == place || crossing.to == place;
}

void hold_face(Held& held, Measured& measured) {
  const Sheet& face = at(held.r.room.sheets, held.index);
  find_zero(held, in_room(face.region.outline, face.frame), "Dimension across", "Dimension height");
  hold_ends(held, held.index, measured);
  for (const HoleShape& hole : held.r.shapes.holes)
    if (passes(held.r.room, hole, {PlaceKind::sheet, held.index})) hold_hole(held, hole, measured);
  hold_raceways(held, held.index, measured);
  hold_caps(held, held.index);
  hold_lines(held, measured);
  for (const char* name : {"Dimension across", "Dimension height"})
    hold_running(held, name, measured);
}

/// The hole's row in the column, over as many lines as it has, tells the figure.
bool column_says(const Held& held, const HoleShape& hole, double metres, const std::string& side) {
  std::string row;
  for (const SvgText& text : held.svg.texts) {
    if (text.text.rfind(plain_text(hole.name, 16) + " in ", 0) == 0)
      row = text.text;
    else if (!row.empty() && text.text.rfind("  ", 0) == 0)
      row += text.text.substr(1);
    else if (!row.empty())
      break;
  }
  const std::size_t end = row.find(" from " + side);
  if (end == std::string::npos) return false;
  const std::size_t comma = row.rfind(", ", end);
  const std::string figure = row.substr(comma + 2, end - comma - 2);
  return std::abs(said_m(figure, held.r.job.units) - metres) <=
         rounding_m(held.r.job.units) + kTolerance_m;
}

/// The drawing itself tells both figures: each at its line, or the hole's name both of them.
bool drawing_says(const Held& held, const HoleShape& hole, const std::vector<double>& metres) {
  const std::string start = plain_text(hole.name, 16) + " ⌀";
  const bool metric = held.r.job.units == DisplayUnits::metric;
  const auto said = [&](const std::string& figure, double length) {
    const auto metres = parse_length(metric ? figure + " mm" : figure);
    return metres && std::abs(*metres - length) <= rounding_m(held.r.job.units) + kTolerance_m;
  };
  for (const SvgText& text : held.svg.texts) {
    if (text.text.rfind(start, 0) != 0) continue;
    const std::size_t left = text.text.find("→"), below = text.text.find("↑");
    if (left == std::string::npos || below == std::string::npos) continue;
    const std::size_t arrow = std::string("→").size();
    return said(text.text.substr(left + arrow, below - left - arrow - 1), metres[0]) &&
           said(text.text.substr(below + arrow), metres[1]);
  }
  constexpr double kNear_mm = 16;
  const Vec2 centre = held.mm(hole.centre);
  return std::all_of(metres.begin(), metres.end(), [&](double length) {
    return std::any_of(held.svg.texts.begin(), held.svg.texts.end(), [&](const SvgText& text) {
      return text.text.find_first_not_of("0123456789/ ftin") == std::string::npos &&
             said(text.text, length) && norm(text.at - centre) < kNear_mm + length / held.metres;
    });
  });
}

/// From two edges of its tile to a hole's centre, the line as well as the figure in the column.
void hold_tiles(const Held& held, int index, Measured& measured) {
  for (const TileGrid& grid : held.r.room.grids) {
    if (grid.sheet != index) continue;
    const Frame& frame = at(held.r.room.sheets, index).frame;
    for (const Tile& tile : grid.tiles) {
      const std::vector<Vec3> ring = in_room(tile.ring, frame);
      const auto drawn = held.svg.paths_named("Tile " + tile.name);
      EXPECT_TRUE(std::any_of(drawn.begin(), drawn.end(),
                              [&](const SvgPath* path) {
                                return path->name == "Tile " + tile.name &&
                                       held.has_ring(ring, *path);
                              }))
          << held.title << ": tile " << tile.name;
      for (const HoleShape& hole : held.r.shapes.holes) {
        const Crossing& crossing = at(held.r.room.crossings, hole.crossing);
        if (!crossing.tile || !(*crossing.tile == tile.id) ||
            !passes(held.r.room, hole, {PlaceKind::sheet, index}))
          continue;
        double left = 1e30;
        double below = 1e30;
        for (const Vec3& p : ring) {
          left = std::min(left, dot(p, held.u));
          below = std::min(below, dot(p, held.v));
        }
        for (const auto& [side, metres] : {std::pair{"left", dot(hole.centre, held.u) - left},
                                           {"below", dot(hole.centre, held.v) - below}}) {
          const auto lines =
              held.svg.paths_named("Dimension " + plain_text(hole.name, 16) + " from " + side);
          ASSERT_EQ(lines.size(), 1U) << held.title << ": hole " << hole.name << " from " << side;
          EXPECT_NEAR(norm(lines[0]->points.back() - lines[0]->points.front()) * held.metres,
                      metres, kTolerance_m)
              << held.title << ": hole " << hole.name << " from " << side;
          EXPECT_TRUE(column_says(held, hole, metres, side)) << held.title << ": " << hole.name;
          ++measured.dimensions;
        }
        // In feet and inches a figure is longer than a tile on small paper: the column must do
        // there.
        EXPECT_TRUE(
            drawing_says(held, hole,
                         {dot(hole.centre, held.u) - left, dot(hole.centre, held.v) - below}) ||
            (held.r.job.units == DisplayUnits::feet_and_inches && held.r.paper != Paper::a3))
            << held.title << ": no figure at hole " << hole.name;
      }
    }
  }
}

void hold_space(Held& held, Measured& measured) {
  const Void& space = at(held.r.room.voids, held.index);
  find_zero(held, in_room(space.plan.outline, space.frame), "Dimension x", "Dimension y");
  const PlaceId self{PlaceKind::void_space, held.index};
  for (const HoleShape& hole : held.r.shapes.holes)
    if (passes(held.r.room, hole, self)) hold_hole(held, hole, measured);
  for (const VoidObstacle& obstacle : space.obstacles) {
    std::vector<Vec3> ring;
    for (const double x : {obstacle.box.low.x, obstacle.box.high.x})
      for (const double y : {obstacle.box.low.y, obstacle.box.high.y})
        ring.push_back(space.frame.origin + x * space.frame.u + y * space.frame.v);
    const auto drawn = held.svg.paths_named("Obstacle " + plain_text(obstacle.name));
    EXPECT_TRUE(std::any_of(drawn.begin(), drawn.end(),
                            [&](const SvgPath* path) { return held.has_ring(ring, *path); }))
        << held.title << ": obstacle " << obstacle.name;
  }
  hold_lines(held, measured);
  for (const char* name : {"Dimension x", "Dimension y"}) hold_running(held, name, measured);
}

/// Cut faces have their cable's diameter, lie within their raceway and not in each other.
void hold_sections(const Held& held, Measured& measured) {
  std::vector<SvgCircle> faces;
  for (std::size_t i = 0; i < held.r.ends.runs.size(); ++i) {
    const Run& run = held.r.ends.runs[i];
    for (const SvgCircle* face : held.svg.circles_named("Run ")) {
      if (face->name != "Run " + plain_text(run.id, 16)) continue;
      EXPECT_NEAR(2 * face->radius * held.metres,
                  at(held.r.job.catalogue.cables, run.cable).diameter_m, kTolerance_m)
          << held.title << ": " << face->name;
      faces.push_back(*face);
      ++measured.cables;
    }
  }
  for (std::size_t i = 0; i < faces.size(); ++i) {
    for (std::size_t k = i + 1; k < faces.size(); ++k) {
      const double gap =
          norm(faces[i].centre - faces[k].centre) - faces[i].radius - faces[k].radius;
      EXPECT_GT(gap * held.metres, -kTolerance_m)
          << held.title << ": " << faces[i].name << " lies in " << faces[k].name;
    }
  }
  for (const RacewayType& type : held.r.job.catalogue.raceways) {
    for (const SvgPath* ring : held.svg.paths_named("Raceway ")) {
      if (ring->name != "Raceway " + plain_text(type.id, 20)) continue;
      const auto [low, high] = bounds_of(ring->points);
      EXPECT_NEAR((high.x - low.x) * held.metres, type.width_m, kTolerance_m) << ring->name;
      EXPECT_NEAR((high.y - low.y) * held.metres, type.depth_m, kTolerance_m) << ring->name;
      const double wall_mm = (type.width_m - type.inner_width_m) / 2 / held.metres;
      for (const SvgCircle& face : faces) {
        if (face.centre.x < low.x || face.centre.x > high.x || face.centre.y < low.y ||
            face.centre.y > high.y)
          continue;
        EXPECT_GE(face.centre.x - face.radius, low.x + wall_mm - kTolerance_m / held.metres);
        EXPECT_LE(face.centre.x + face.radius, high.x - wall_mm + kTolerance_m / held.metres);
      }
      ++measured.raceways;
    }
  }
}

void hold_gear(const Held& held, Measured& measured) {
  const GearBox& gear = at(held.r.ends.gear, held.index);
  for (const Run& run : held.r.ends.runs) {
    const auto ports = held.svg.circles_named("Port " + plain_text(run.id, 10));
    for (const int end : {run.from, run.to}) {
      if (at(held.r.ends.ends, end).gear != gear.id) continue;
      EXPECT_TRUE(std::any_of(ports.begin(), ports.end(),
                              [&](const SvgCircle* port) {
                                return held.off(at(held.r.ends.ends, end).place.position,
                                                port->centre) < kTolerance_m;
                              }))
          << held.title << ": port of run " << run.id;
      ++measured.ports;
    }
  }
}

}  // namespace

void expect_to_scale(const HeldSheet& sheet, const DrawingRequest& r, Measured& measured) {
  Held held{sheet, r};
  ++measured.sheets;
  switch (held.kind) {
    case HeldSheet::face:
      hold_face(held, measured);
      hold_tiles(held, held.index, measured);
      return;
    case HeldSheet::space:
      hold_space(held, measured);
      return;
    case HeldSheet::gear:
      hold_gear(held, measured);
      return;
    case HeldSheet::other:
      hold_sections(held, measured);
  }
}

}  // namespace roomloom::testing
