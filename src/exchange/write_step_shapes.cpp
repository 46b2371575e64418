#include "exchange/write_step_shapes.h"

#include <array>
#include <cmath>

#include "exchange/write_font.h"
#include "exchange/write_tube.h"

namespace roomloom {
namespace {

/// Writes geometry and topology; room frame in, file coordinates out.
class Shaper {
 public:
  Shaper(Part21Text& text, const FileFrame& frame) : text_(text), frame_(frame) {}

  Ref point(const Vec3& p) { return text_.add("CARTESIAN_POINT('',", frame_.point(p), ")"); }
  Ref direction(const Vec3& d) { return text_.add("DIRECTION('',", frame_.direction(d), ")"); }
  Ref axes(const Vec3& origin, const Vec3& axis, const Vec3& reference) {
    const Ref o = point(origin);
    const Ref a = direction(axis);
    const Ref r = direction(reference);
    return text_.add("AXIS2_PLACEMENT_3D('',", o, ",", a, ",", r, ")");
  }
  Ref line(const Vec3& from, const Vec3& to) {
    const Ref p = point(from);
    const Ref d = direction(normalized(to - from));
    const Ref v = text_.add("VECTOR('',", d, ",1.)");
    return text_.add("LINE('',", p, ",", v, ")");
  }
  Ref circle(const Vec3& centre, const Vec3& axis, const Vec3& reference, double radius) {
    const Ref place = axes(centre, axis, reference);
    return text_.add("CIRCLE('',", place, ",", frame_.length(radius), ")");
  }
  Ref vertex(const Vec3& p) { return text_.add("VERTEX_POINT('',", point(p), ")"); }
  Ref edge(Ref from, Ref to, Ref curve) {
    return text_.add("EDGE_CURVE('',", from, ",", to, ",", curve, ",.T.)");
  }
  /// An edge of a loop: `forward` as the edge itself runs.
  Ref use(Ref edge, bool forward) {
    return text_.add("ORIENTED_EDGE('',*,*,", edge, forward ? ",.T.)" : ",.F.)");
  }
  Ref loop(const std::vector<Ref>& uses) { return text_.add("EDGE_LOOP('',", uses, ")"); }
  Ref outer(const std::vector<Ref>& uses) {
    return text_.add("FACE_OUTER_BOUND('',", loop(uses), ",.T.)");
  }
  Ref inner(const std::vector<Ref>& uses) {
    return text_.add("FACE_BOUND('',", loop(uses), ",.T.)");
  }
  Ref face(const std::vector<Ref>& bounds, Ref surface, bool same_sense = true) {
    return text_.add("ADVANCED_FACE('',", bounds, ",", surface, same_sense ? ",.T.)" : ",.F.)");
  }
  Ref plane(const Vec3& origin, const Vec3& normal, const Vec3& reference) {
    return text_.add("PLANE('',", axes(origin, normal, reference), ")");
  }
  Ref cylinder(const TubeRing& ring, double radius) {
    return text_.add("CYLINDRICAL_SURFACE('',", axes(ring.centre, ring.along, ring.across), ",",
                     frame_.length(radius), ")");
  }
  Ref torus(const Arc& arc, double radius) {
    const Vec3 outward = normalized(arc.from - arc.centre);
    return text_.add("TOROIDAL_SURFACE('',", axes(arc.centre, arc.axis, outward), ",",
                     frame_.length(arc.radius_m), ",", frame_.length(radius), ")");
  }
  Ref solid(const std::vector<Ref>& faces, const std::string& name) {
    const Ref shell = text_.add("CLOSED_SHELL('',", faces, ")");
    return text_.add("MANIFOLD_SOLID_BREP(", part21_string(name), ",", shell, ")");
  }
  Part21Text& text() { return text_; }
  const FileFrame& frame() const { return frame_; }

 private:
  Part21Text& text_;
  const FileFrame& frame_;
};

/// A circle round a tube, parted in two at angles 0 and pi, so that no face needs a seam.
struct SplitCircle {
  std::array<Vec3, 2> at;
  std::array<Ref, 2> vertices;
  std::array<Ref, 2> halves;  ///< from 0 to pi, from pi to 2 pi
};

SplitCircle split_circle(Shaper& shaper, const TubeRing& ring, double radius) {
  SplitCircle split;
  split.at = {ring.centre + radius * ring.across, ring.centre - radius * ring.across};
  split.vertices = {shaper.vertex(split.at[0]), shaper.vertex(split.at[1])};
  const Ref circle = shaper.circle(ring.centre, ring.along, ring.across, radius);
  split.halves = {shaper.edge(split.vertices[0], split.vertices[1], circle),
                  shaper.edge(split.vertices[1], split.vertices[0], circle)};
  return split;
}

/// The two edges along a piece, from the vertices of one circle to those of the next.
std::array<Ref, 2> side_edges(Shaper& shaper, const Piece& piece, const SplitCircle& from,
                              const SplitCircle& to) {
  std::array<Ref, 2> edges;
  const auto* arc = std::get_if<Arc>(&piece);
  for (std::size_t i = 0; i < 2; ++i) {
    Ref curve;
    if (arc == nullptr) {
      curve = shaper.line(from.at[i], to.at[i]);
    } else {
      const Vec3 arm = from.at[i] - arc->centre;
      const Vec3 out = arm - dot(arm, arc->axis) * arc->axis;
      curve = shaper.circle(from.at[i] - out, arc->axis, normalized(out), norm(out));
    }
    edges[i] = shaper.edge(from.vertices[i], to.vertices[i], curve);
  }
  return edges;
}

/// The two faces between neighbouring circles. `outward` false: the wall of a hole.
void add_sleeve(Shaper& shaper, std::vector<Ref>& faces, const SplitCircle& from,
                const SplitCircle& to, const std::array<Ref, 2>& sides, Ref surface,
                bool outward = true) {
  for (std::size_t half = 0; half < 2; ++half) {
    const std::size_t other = 1 - half;
    std::vector<Ref> uses = {
        shaper.use(from.halves[half], outward), shaper.use(sides[other], outward),
        shaper.use(to.halves[half], !outward), shaper.use(sides[half], !outward)};
    if (!outward) uses = {uses[0], uses[3], uses[2], uses[1]};
    faces.push_back(shaper.face({shaper.outer(uses)}, surface, outward));
  }
}

/// Both halves of a circle as a loop: counter-clockwise round the ring's direction, or the other
/// way.
std::vector<Ref> round(Shaper& shaper, const SplitCircle& circle, bool forward) {
  const std::size_t first = forward ? 0 : 1;
  return {shaper.use(circle.halves[first], forward), shaper.use(circle.halves[1 - first], forward)};
}

Ref tube_solid(Shaper& shaper, const TubeChain& chain, double radius, const std::string& name) {
  std::vector<Ref> faces;
  const TubeRing& start = chain.rings.front();
  const TubeRing& end = chain.rings.back();
  SplitCircle from = split_circle(shaper, start, radius);
  faces.push_back(shaper.face({shaper.outer(round(shaper, from, false))},
                              shaper.plane(start.centre, -start.along, start.across)));
  for (std::size_t i = 0; i < chain.pieces.size(); ++i) {
    const SplitCircle to = split_circle(shaper, chain.rings[i + 1], radius);
    const auto* arc = std::get_if<Arc>(&chain.pieces[i]);
    const Ref surface = arc ? shaper.torus(*arc, radius) : shaper.cylinder(chain.rings[i], radius);
    add_sleeve(shaper, faces, from, to, side_edges(shaper, chain.pieces[i], from, to), surface);
    from = to;
  }
  faces.push_back(shaper.face({shaper.outer(round(shaper, from, true))},
                              shaper.plane(end.centre, end.along, end.across)));
  return shaper.solid(faces, name);
}

/// Trimmed by points and by parameters: readers may want either.
Ref trimmed(Shaper& shaper, const Piece& piece) {
  Ref basis;
  double last = 0;
  if (const auto* arc = std::get_if<Arc>(&piece)) {
    basis =
        shaper.circle(arc->centre, arc->axis, normalized(arc->from - arc->centre), arc->radius_m);
    last = arc->angle_rad;
  } else {
    const Line3& line = std::get<Line3>(piece);
    basis = shaper.line(line.from, line.to);
    last = shaper.frame().length(distance(line.from, line.to));
  }
  const Ref from = shaper.point(piece_from(piece));
  const Ref to = shaper.point(piece_to(piece));
  return shaper.text().add("TRIMMED_CURVE('',", basis, ",(", from, ",PARAMETER_VALUE(0.)),(", to,
                           ",PARAMETER_VALUE(", last, ")),.T.,.PARAMETER.)");
}

Ref curve_set(Part21Text& text, const std::vector<Ref>& curves, const std::string& name) {
  return text.add("GEOMETRIC_CURVE_SET(", part21_string(name), ",", curves, ")");
}

/// A closed polygon of straight edges.
struct EdgedPolygon {
  std::vector<Vec3> at;
  std::vector<Ref> vertices;
  std::vector<Ref> edges;  ///< from each vertex to the next
};

EdgedPolygon edged_polygon(Shaper& shaper, const std::vector<Vec3>& corners) {
  EdgedPolygon polygon{corners, {}, {}};
  for (const Vec3& corner : corners) polygon.vertices.push_back(shaper.vertex(corner));
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const std::size_t next = (i + 1) % corners.size();
    polygon.edges.push_back(shaper.edge(polygon.vertices[i], polygon.vertices[next],
                                        shaper.line(corners[i], corners[next])));
  }
  return polygon;
}

std::vector<Ref> round(Shaper& shaper, const EdgedPolygon& polygon, bool forward) {
  const std::vector<Ref>& edges = polygon.edges;
  std::vector<Ref> uses;
  for (std::size_t i = 0; i < edges.size(); ++i)
    uses.push_back(shaper.use(edges[forward ? i : edges.size() - 1 - i], forward));
  return uses;
}

/// Newell's sum: along the normal, twice the area long.
Vec3 newell(const std::vector<Vec3>& ring) {
  Vec3 sum;
  for (std::size_t i = 0; i < ring.size(); ++i)
    sum += cross(ring[i] - ring[0], ring[(i + 1) % ring.size()] - ring[0]);
  return sum;
}

/// Into the plane, without repeated points.
std::vector<Vec3> flattened(const std::vector<Vec3>& ring, const Vec3& origin, const Vec3& normal) {
  std::vector<Vec3> result;
  for (const Vec3& p : ring) {
    const Vec3 flat = p - dot(p - origin, normal) * normal;
    if (result.empty() || distance(result.back(), flat) > 1e-6) result.push_back(flat);
  }
  while (result.size() > 1 && distance(result.front(), result.back()) <= 1e-6) result.pop_back();
  return result;
}

}  // namespace

StepShape step_tube(Part21Text& text, const FileFrame& frame, const Tube& tube,
                    const std::string& name) {
  Shaper shaper(text, frame);
  StepShape shape;
  for (const TubeChain& chain : tube_chains(tube).chains)
    shape.items.push_back(tube_solid(shaper, chain, tube.diameter_m / 2, name));
  return shape;
}

StepShape step_centreline(Part21Text& text, const FileFrame& frame, const Tube& tube,
                          const std::string& name) {
  Shaper shaper(text, frame);
  std::vector<Ref> curves;
  std::vector<Ref> segments;
  const auto finish = [&] {
    if (!segments.empty())
      curves.push_back(text.add("COMPOSITE_CURVE(", part21_string(name), ",", segments, ",.F.)"));
    segments.clear();
  };
  Vec3 last;
  for (const Piece& piece : tidied(tube.pieces)) {
    if (!segments.empty() && distance(last, piece_from(piece)) > 1e-6) finish();
    segments.push_back(
        text.add("COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,", trimmed(shaper, piece), ")"));
    last = piece_to(piece);
  }
  finish();
  return {StepShapeKind::curves, {curve_set(text, curves, name)}};
}

StepShape step_bar(Part21Text& text, const FileFrame& frame, const Bar& bar,
                   const std::string& name) {
  Shaper shaper(text, frame);
  const Vec3 along = normalized(bar.to - bar.from);
  const Vec3 depth_axis = cross(along, bar.width_axis);
  const Vec3 w = 0.5 * bar.width_m * bar.width_axis;
  const Vec3 d = 0.5 * bar.depth_m * depth_axis;
  const std::array<Vec3, 4> round_corners = {w + d, d - w, -w - d, w - d};
  std::vector<Vec3> low;
  std::vector<Vec3> high;
  for (const Vec3& corner : round_corners) {
    low.push_back(bar.from + corner);
    high.push_back(bar.to + corner);
  }
  const EdgedPolygon bottom = edged_polygon(shaper, low);
  const EdgedPolygon top = edged_polygon(shaper, high);
  std::array<Ref, 4> upright;
  for (std::size_t i = 0; i < 4; ++i)
    upright[i] = shaper.edge(bottom.vertices[i], top.vertices[i], shaper.line(low[i], high[i]));
  std::vector<Ref> faces = {shaper.face({shaper.outer(round(shaper, bottom, false))},
                                        shaper.plane(bar.from, -along, bar.width_axis)),
                            shaper.face({shaper.outer(round(shaper, top, true))},
                                        shaper.plane(bar.to, along, bar.width_axis))};
  for (std::size_t i = 0; i < 4; ++i) {
    const std::size_t next = (i + 1) % 4;
    const Ref loop =
        shaper.outer({shaper.use(bottom.edges[i], true), shaper.use(upright[next], true),
                      shaper.use(top.edges[i], false), shaper.use(upright[i], false)});
    const Vec3 normal = normalized(round_corners[i] + round_corners[next]);
    faces.push_back(shaper.face({loop}, shaper.plane(low[i], normal, along)));
  }
  return {StepShapeKind::solids, {shaper.solid(faces, name)}};
}

StepShape step_ring(Part21Text& text, const FileFrame& frame, const RingShape& ring,
                    const std::string& name) {
  Shaper shaper(text, frame);
  const Vec3 lift = 0.5 * ring.thickness_m * ring.normal;
  const Vec3 across = square_to(ring.normal);
  const TubeRing low{ring.centre - lift, ring.normal, across};
  const TubeRing high{ring.centre + lift, ring.normal, across};
  std::array<SplitCircle, 2> bottom;  // outer, inner
  std::array<SplitCircle, 2> top;
  std::vector<Ref> faces;
  for (std::size_t i = 0; i < 2; ++i) {
    const double radius = (i == 0 ? ring.outer_m : ring.inner_m) / 2;
    bottom[i] = split_circle(shaper, low, radius);
    top[i] = split_circle(shaper, high, radius);
    const auto sides = side_edges(shaper, Line3{low.centre, high.centre}, bottom[i], top[i]);
    add_sleeve(shaper, faces, bottom[i], top[i], sides, shaper.cylinder(low, radius), i == 0);
  }
  faces.push_back(shaper.face(
      {shaper.outer(round(shaper, top[0], true)), shaper.inner(round(shaper, top[1], false))},
      shaper.plane(high.centre, high.along, across)));
  faces.push_back(shaper.face(
      {shaper.outer(round(shaper, bottom[0], false)), shaper.inner(round(shaper, bottom[1], true))},
      shaper.plane(low.centre, -low.along, across)));
  return {StepShapeKind::solids, {shaper.solid(faces, name)}};
}

StepShape step_tag(Part21Text& text, const FileFrame& frame, const Tag& tag,
                   const std::string& name) {
  Shaper shaper(text, frame);
  std::vector<Ref> curves;
  for (const auto& stroke : text_strokes(tag.text)) {
    std::vector<Ref> points;
    for (const Vec2& p : stroke)
      points.push_back(shaper.point(tag.origin + tag.height_m * (p.x * tag.right + p.y * tag.up)));
    curves.push_back(text.add("POLYLINE('',", points, ")"));
  }
  if (curves.empty()) return {StepShapeKind::curves, {}};
  return {StepShapeKind::curves, {curve_set(text, curves, name)}};
}

StepShape step_face(Part21Text& text, const FileFrame& frame, const SheetPlane& face) {
  Shaper shaper(text, frame);
  const StepShape nothing{StepShapeKind::surface, {}};
  if (face.outline.size() < 3) return nothing;
  const Vec3 normal = normalized(newell(face.outline));
  const Vec3 origin = face.outline.front();
  const std::vector<Vec3> outline = flattened(face.outline, origin, normal);
  if (outline.size() < 3 || norm(newell(outline)) < 1e-8) return nothing;
  std::vector<Ref> bounds = {shaper.outer(round(shaper, edged_polygon(shaper, outline), true))};
  for (const auto& ring : face.holes) {
    const std::vector<Vec3> hole = flattened(ring, origin, normal);
    if (hole.size() < 3 || norm(newell(hole)) < 1e-8) continue;
    const bool same_way = dot(newell(hole), normal) > 0;
    bounds.push_back(shaper.inner(round(shaper, edged_polygon(shaper, hole), !same_way)));
  }
  const Ref surface = shaper.plane(origin, normal, normalized(outline[1] - outline[0]));
  const Ref shell = text.add("OPEN_SHELL('',", std::vector<Ref>{shaper.face(bounds, surface)}, ")");
  return {StepShapeKind::surface,
          {text.add("SHELL_BASED_SURFACE_MODEL(", part21_string(face.name), ",",
                    std::vector<Ref>{shell}, ")")}};
}

}  // namespace roomloom
