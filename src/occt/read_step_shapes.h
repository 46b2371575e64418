#pragma once

#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS_Shape.hxx>
#include <string>
#include <vector>

#include "types/scene.h"

namespace roomloom::occt {

/// Turns shapes into the points and triangles of a scene, and counts what became of them.
class ShapeCollector {
 public:
  ShapeCollector(Scene& scene, double chord_error_m)
      : scene_(scene), chord_error_mm_(chord_error_m * 1000) {}

  /// Appends `shape`'s faces as one mesh part; no part when it has no face that can be tessellated.
  void add_mesh(const TopoDS_Shape& shape, Part part);
  /// Appends each wire that belongs to no face, and each chain of such edges, as a curve part.
  void add_loose_curves(const TopoDS_Shape& shape, const Part& part);
  /// Appends each vertex that belongs to no edge as a marker part.
  void add_loose_points(const TopoDS_Shape& shape, const Part& part);

  int faces_seen() const { return faces_.Extent(); }

 private:
  std::size_t add_face(const TopoDS_Shape& face, std::int32_t face_index);
  void add_curve(const std::vector<Vec3>& points, Part part);

  Scene& scene_;
  double chord_error_mm_;
  TopTools_IndexedMapOfShape faces_;  ///< distinct, wherever their instances stand
};

/// An OpenCASCADE placement, whose lengths are millimetres, with lengths in metres.
Transform to_transform(const TopLoc_Location& location);

}  // namespace roomloom::occt
