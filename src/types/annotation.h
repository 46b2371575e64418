#pragma once

#include <map>
#include <string>
#include <variant>
#include <vector>

#include "types/cable_shapes.h"
#include "types/scene.h"

namespace roomloom {

/// What we add to the user's model. Room frame, metres; writers turn it into the file's own frame.
enum class AnnotationGroup { runs, raceway, crossings, supports, labels };
inline const char* to_string(AnnotationGroup group) {
  constexpr const char* kNames[] = {"Runs", "Raceway", "Crossings", "Supports", "Labels"};
  return kNames[static_cast<int>(group)];
}

struct Tube {
  std::vector<Piece> pieces;
  double diameter_m = 0.006;
};
/// A straight bar of rectangular section centred on from -> to; `width_axis` is unit, square to it.
struct Bar {
  Vec3 from, to;
  Vec3 width_axis;
  double width_m = 0, depth_m = 0;
};
/// A flat ring (a washer) round a hole: half its thickness to either side of `centre`.
struct RingShape {
  Vec3 centre, normal;
  double inner_m = 0, outer_m = 0;  ///< diameters
  double thickness_m = 0;
};
/// Text drawn with strokes as flat geometry that any viewer shows. `right` and `up` are unit.
struct Tag {
  std::string text;        ///< UTF-8; a line feed starts a line below
  Vec3 origin, right, up;  ///< origin: left end of the first line's base
  double height_m = 0.05;  ///< of a capital letter
};

using AnnotationShape = std::variant<Tube, Bar, RingShape, Tag>;

struct AnnotationItem {
  AnnotationGroup group = AnnotationGroup::runs;
  std::string name;  ///< unique within its group: "Run S1", "Hole H1"
  Colour colour;
  std::string layer;                         ///< STEP layer: "Runs loudspeaker"
  std::map<std::string, std::string> texts;  ///< glTF extras
  std::map<std::string, double> numbers;     ///< glTF extras; metres unless the key says otherwise
  AnnotationShape shape;
};

struct Annotation {
  std::vector<AnnotationItem> items;
};

}  // namespace roomloom
