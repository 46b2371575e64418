#pragma once

#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "exchange/write_step_shapes.h"

namespace roomloom {

/// The application protocols of ISO 10303 whose products we can write.
enum class StepProtocol { ap203, ap214, ap242 };

/// A part or an assembly, as its parent refers to it.
struct StepProduct {
  Ref definition;
  Ref representation;
  Ref origin;  ///< the AXIS2_PLACEMENT_3D in its representation
};

/// Writes products, their assembly, colours and layers.
class StepAssembler {
 public:
  StepAssembler(std::uint64_t first_id, const FileFrame& frame, double unit_m,
                StepProtocol protocol)
      : text_(first_id), frame_(frame), protocol_(protocol) {
    write_application();
    write_units(unit_m);
  }

  /// A root with the groups and items of the annotation.
  void add_annotation(const Annotation& annotation);
  /// A root `Room` with planes.
  void add_room(const std::vector<SheetPlane>& sheets);
  /// Layers and the list of styled items: once, at the end.
  void finish();

  const std::string& text() const { return text_.text(); }
  const std::vector<std::string>& notes() const { return notes_; }

 private:
  void write_application();
  void write_units(double unit_m);
  Ref length_unit(double unit_m);
  StepProduct product(const std::string& name, const StepShape& shape);
  void place(const StepProduct& parent, const StepProduct& child, const std::string& name);
  void dress(const StepShape& shape, const Colour& colour, const std::string& layer);
  Ref curve_style(const Colour& colour);
  Ref surface_style(const Colour& colour);
  void add_item(const StepProduct& group, const AnnotationItem& item);
  void add_part(const StepProduct& group, const std::string& name, const StepShape& shape,
                const Colour& colour, const std::string& layer);
  Ref colour(const Colour& colour);
  Ref own_axes();

  Part21Text text_;
  const FileFrame& frame_;
  StepProtocol protocol_;
  Ref application_, product_context_, definition_context_, context_;
  std::uint64_t uses_ = 0;
  std::vector<Ref> styled_;
  std::vector<Ref> products_;
  using ColourKey = std::tuple<float, float, float>;
  std::map<ColourKey, Ref> colours_;
  std::map<ColourKey, Ref> curve_styles_;
  std::map<std::tuple<float, float, float, float>, Ref> surface_styles_;
  std::map<std::string, std::vector<Ref>> layers_;
  std::vector<std::string> notes_;
};

}  // namespace roomloom
