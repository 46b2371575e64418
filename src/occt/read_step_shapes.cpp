#include "occt/read_step_shapes.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepTools_WireExplorer.hxx>
#include <BRep_Tool.hxx>
#include <GCPnts_TangentialDeflection.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_Triangulation.hxx>
#include <Standard_Failure.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>

namespace roomloom::occt {
namespace {

/// Coarser than this a round column shows corners, whatever chord error is allowed.
constexpr double kLargestTurnRad = 0.5;
/// Farther out the mesher may run for ever; 1,000 km.
constexpr double kFarthestMm = 1e9;
constexpr double kSamePointM = 1e-7;

Vec3 to_metres(const gp_Pnt& p) { return {p.X() / 1000, p.Y() / 1000, p.Z() / 1000}; }

bool lies_too_far(const TopoDS_Shape& shape) {
  for (TopExp_Explorer at(shape, TopAbs_VERTEX); at.More(); at.Next()) {
    const gp_Pnt p = BRep_Tool::Pnt(TopoDS::Vertex(at.Current()));
    const double farthest = std::max({std::abs(p.X()), std::abs(p.Y()), std::abs(p.Z())});
    if (!(farthest < kFarthestMm)) return true;
  }
  return false;
}

void tessellate(const TopoDS_Shape& shape, double chord_error_mm) {
  IMeshTools_Parameters parameters;
  parameters.Deflection = chord_error_mm;
  parameters.DeflectionInterior = chord_error_mm;
  parameters.Angle = kLargestTurnRad;
  parameters.AngleInterior = kLargestTurnRad;
  parameters.InParallel = false;  // one order of points, whatever the machine
  const BRepMesh_IncrementalMesh mesher(shape, parameters);
}

std::vector<Vec3> edge_points(const TopoDS_Edge& edge, double chord_error_mm) {
  std::vector<Vec3> points;
  if (BRep_Tool::Degenerated(edge)) return points;
  const BRepAdaptor_Curve curve(edge);
  const GCPnts_TangentialDeflection sampled(curve, kLargestTurnRad, chord_error_mm);
  for (int i = 1; i <= sampled.NbPoints(); ++i) points.push_back(to_metres(sampled.Value(i)));
  if (edge.Orientation() == TopAbs_REVERSED) std::reverse(points.begin(), points.end());
  return points;
}

/// Appends `edge` to `line` where it goes on from its end, or, for the second edge, from its start;
/// false when it does neither.
bool continues(std::vector<Vec3>& line, std::vector<Vec3> edge) {
  if (line.size() < 2) return false;
  const auto meet = [](const Vec3& a, const Vec3& b) { return distance(a, b) <= kSamePointM; };
  if (meet(line.front(), line.back())) return false;  // closed already
  if (meet(line.back(), edge.back())) std::reverse(edge.begin(), edge.end());
  if (!meet(line.back(), edge.front())) {
    std::reverse(line.begin(), line.end());
    if (meet(line.back(), edge.back())) std::reverse(edge.begin(), edge.end());
    if (!meet(line.back(), edge.front())) {
      std::reverse(line.begin(), line.end());
      return false;
    }
  }
  line.insert(line.end(), edge.begin() + 1, edge.end());
  return true;
}

}  // namespace

Transform to_transform(const TopLoc_Location& location) {
  const gp_Trsf placement = location.Transformation();
  Transform result;
  for (int row = 1; row <= 3; ++row)
    for (int col = 1; col <= 4; ++col)
      result.m[static_cast<std::size_t>((row - 1) * 4 + col - 1)] =
          placement.Value(row, col) / (col == 4 ? 1000 : 1);
  return result;
}

void ShapeCollector::add_mesh(const TopoDS_Shape& shape, Part part) {
  if (!TopExp_Explorer(shape, TopAbs_FACE).More()) return;
  if (lies_too_far(shape)) {
    scene_.notes.push_back({"reader.part-too-far",
                            "A part lies more than 1,000 km from the origin and was left out.",
                            part.path});
    return;
  }
  tessellate(shape, chord_error_mm_);
  part.kind = PartKind::mesh;
  part.first_point = static_cast<std::uint32_t>(scene_.points.size());
  part.first_triangle = static_cast<std::uint32_t>(scene_.triangles.size());
  std::int32_t face_index = 0;
  int empty_faces = 0;
  for (TopExp_Explorer at(shape, TopAbs_FACE); at.More(); at.Next(), ++face_index) {
    faces_.Add(at.Current().Located(TopLoc_Location()));
    if (add_face(at.Current(), face_index) == 0) ++empty_faces;
  }
  part.point_count = static_cast<std::uint32_t>(scene_.points.size()) - part.first_point;
  part.triangle_count = static_cast<std::uint32_t>(scene_.triangles.size()) - part.first_triangle;
  if (empty_faces > 0)
    scene_.notes.push_back({"reader.face-not-tessellated",
                            std::to_string(empty_faces) + " of " + std::to_string(face_index) +
                                " faces could not be turned into triangles and are missing.",
                            part.path});
  if (part.triangle_count > 0) scene_.parts.push_back(std::move(part));
}

std::size_t ShapeCollector::add_face(const TopoDS_Shape& shape, std::int32_t face_index) {
  TopLoc_Location location;
  const Handle(Poly_Triangulation) mesh = BRep_Tool::Triangulation(TopoDS::Face(shape), location);
  if (mesh.IsNull()) return 0;
  const gp_Trsf placement = location.Transformation();
  // A mirroring placement turns the face inside out as well.
  const bool flip = (shape.Orientation() == TopAbs_REVERSED) != placement.IsNegative();
  const auto first = static_cast<std::uint32_t>(scene_.points.size());
  for (int i = 1; i <= mesh->NbNodes(); ++i)
    scene_.points.push_back(to_metres(mesh->Node(i).Transformed(placement)));
  for (int i = 1; i <= mesh->NbTriangles(); ++i) {
    int a = 0, b = 0, c = 0;
    mesh->Triangle(i).Get(a, b, c);
    if (flip) std::swap(b, c);
    const auto index = [first](int node) { return first + static_cast<std::uint32_t>(node - 1); };
    scene_.triangles.push_back({index(a), index(b), index(c)});
    scene_.face.push_back(face_index);
  }
  return static_cast<std::size_t>(mesh->NbTriangles());
}

void ShapeCollector::add_curve(const std::vector<Vec3>& points, Part part) {
  if (points.size() < 2) return;
  part.kind = PartKind::curve;
  part.first_point = static_cast<std::uint32_t>(scene_.points.size());
  part.point_count = static_cast<std::uint32_t>(points.size());
  part.first_triangle = static_cast<std::uint32_t>(scene_.triangles.size());
  scene_.points.insert(scene_.points.end(), points.begin(), points.end());
  scene_.parts.push_back(std::move(part));
}

void ShapeCollector::add_loose_curves(const TopoDS_Shape& shape, const Part& part) {
  for (TopExp_Explorer at(shape, TopAbs_WIRE, TopAbs_FACE); at.More(); at.Next()) {
    std::vector<Vec3> line;
    for (BRepTools_WireExplorer edge(TopoDS::Wire(at.Current())); edge.More(); edge.Next())
      for (const Vec3& p : edge_points(edge.Current(), chord_error_mm_))
        if (line.empty() || distance(line.back(), p) > kSamePointM) line.push_back(p);
    add_curve(line, part);
  }
  // STEP has no wires of its own: one comes back as its edges, in order.
  std::vector<Vec3> line;
  for (TopExp_Explorer at(shape, TopAbs_EDGE, TopAbs_WIRE); at.More(); at.Next()) {
    const std::vector<Vec3> edge = edge_points(TopoDS::Edge(at.Current()), chord_error_mm_);
    if (edge.empty() || continues(line, edge)) continue;
    add_curve(line, part);
    line = edge;
  }
  add_curve(line, part);
}

void ShapeCollector::add_loose_points(const TopoDS_Shape& shape, const Part& part) {
  for (TopExp_Explorer at(shape, TopAbs_VERTEX, TopAbs_EDGE); at.More(); at.Next()) {
    Part marker = part;
    marker.kind = PartKind::marker;
    marker.first_point = static_cast<std::uint32_t>(scene_.points.size());
    marker.point_count = 1;
    marker.first_triangle = static_cast<std::uint32_t>(scene_.triangles.size());
    scene_.points.push_back(to_metres(BRep_Tool::Pnt(TopoDS::Vertex(at.Current()))));
    scene_.parts.push_back(std::move(marker));
  }
}

}  // namespace roomloom::occt
