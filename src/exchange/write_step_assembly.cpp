#include "exchange/write_step_assembly.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace roomloom {
namespace {

/// STEP viewers take COLOUR_RGB as sRGB; our colours are linear. IEC 61966-2-1, 5.2.
double srgb(double linear) {
  const double v = std::clamp(linear, 0.0, 1.0);
  return v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055;
}

}  // namespace

void StepAssembler::write_application() {
  switch (protocol_) {
    case StepProtocol::ap203:
      application_ = text_.add(
          "APPLICATION_CONTEXT('configuration controlled 3D designs of mechanical parts and "
          "assemblies')");
      text_.add(
          "APPLICATION_PROTOCOL_DEFINITION('international standard','config_control_design',"
          "1994,",
          application_, ")");
      product_context_ = text_.add("MECHANICAL_CONTEXT('',", application_, ",'mechanical')");
      definition_context_ = text_.add("DESIGN_CONTEXT('',", application_, ",'design')");
      return;
    case StepProtocol::ap242:
      application_ = text_.add("APPLICATION_CONTEXT('Managed model based 3d engineering')");
      text_.add(
          "APPLICATION_PROTOCOL_DEFINITION('international standard',"
          "'ap242_managed_model_based_3d_engineering',2013,",
          application_, ")");
      break;
    case StepProtocol::ap214:
      application_ =
          text_.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')");
      text_.add(
          "APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,",
          application_, ")");
      break;
  }
  product_context_ = text_.add("PRODUCT_CONTEXT('',", application_, ",'mechanical')");
  definition_context_ =
      text_.add("PRODUCT_DEFINITION_CONTEXT('part definition',", application_, ",'design')");
}

Ref StepAssembler::length_unit(double unit_m) {
  constexpr std::array<std::pair<double, const char*>, 5> kPrefixes = {
      {{1, "$"}, {1e-3, ".MILLI."}, {1e-2, ".CENTI."}, {1e-1, ".DECI."}, {1e-6, ".MICRO."}}};
  for (const auto& [metres, prefix] : kPrefixes)
    if (std::abs(unit_m - metres) < 1e-9 * metres)
      return text_.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(", prefix, ",.METRE.))");
  const bool inch = std::abs(unit_m - 0.0254) < 1e-12;
  const bool foot = std::abs(unit_m - 0.3048) < 1e-12;
  const Ref metre = text_.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))");
  const Ref measure =
      text_.add("LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(", unit_m, "),", metre, ")");
  const Ref dimensions = text_.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)");
  return text_.add("(CONVERSION_BASED_UNIT(",
                   inch   ? "'INCH',"
                   : foot ? "'FOOT',"
                          : "'UNIT',",
                   measure, ")LENGTH_UNIT()NAMED_UNIT(", dimensions, "))");
}

void StepAssembler::write_units(double unit_m) {
  const Ref length = length_unit(unit_m);
  const Ref angle = text_.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
  const Ref solid = text_.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
  constexpr double kUncertainty_m = 1e-8;
  const Ref uncertainty =
      text_.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(", kUncertainty_m / unit_m, "),",
                length, ",'distance_accuracy_value','confusion accuracy')");
  context_ = text_.add("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((",
                       uncertainty, "))GLOBAL_UNIT_ASSIGNED_CONTEXT((", length, ",", angle, ",",
                       solid, "))REPRESENTATION_CONTEXT('Roomloom','3D'))");
}

/// The file's own origin and axes.
Ref StepAssembler::own_axes() {
  const Ref origin = text_.add("CARTESIAN_POINT('',", Vec3{}, ")");
  const Ref axis = text_.add("DIRECTION('',", Vec3{0, 0, 1}, ")");
  const Ref reference = text_.add("DIRECTION('',", Vec3{1, 0, 0}, ")");
  return text_.add("AXIS2_PLACEMENT_3D('',", origin, ",", axis, ",", reference, ")");
}

StepProduct StepAssembler::product(const std::string& name, const StepShape& shape) {
  const std::string quoted = part21_string(name);
  const Ref product =
      text_.add("PRODUCT(", quoted, ",", quoted, ",'',", std::vector<Ref>{product_context_}, ")");
  products_.push_back(product);
  const bool ap203 = protocol_ == StepProtocol::ap203;
  const Ref formation =
      text_.add(ap203 ? "PRODUCT_DEFINITION_FORMATION_WITH_SPECIFIED_SOURCE('','',"
                      : "PRODUCT_DEFINITION_FORMATION('','',",
                product, ap203 ? ",.NOT_KNOWN.)" : ")");
  StepProduct result;
  result.definition =
      text_.add("PRODUCT_DEFINITION('design','',", formation, ",", definition_context_, ")");
  const Ref property = text_.add("PRODUCT_DEFINITION_SHAPE('','',", result.definition, ")");
  result.origin = own_axes();
  std::vector<Ref> items = {result.origin};
  items.insert(items.end(), shape.items.begin(), shape.items.end());
  constexpr std::array<const char*, 3> kKinds = {
      "ADVANCED_BREP_SHAPE_REPRESENTATION(",
      "GEOMETRICALLY_BOUNDED_WIREFRAME_SHAPE_REPRESENTATION(",
      "MANIFOLD_SURFACE_SHAPE_REPRESENTATION("};
  const char* kind =
      shape.items.empty() ? "SHAPE_REPRESENTATION(" : kKinds[static_cast<std::size_t>(shape.kind)];
  result.representation = text_.add(kind, quoted, ",", items, ",", context_, ")");
  text_.add("SHAPE_DEFINITION_REPRESENTATION(", property, ",", result.representation, ")");
  return result;
}

void StepAssembler::place(const StepProduct& parent, const StepProduct& child,
                          const std::string& name) {
  const std::string number = std::to_string(++uses_);
  const Ref use = text_.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('", number, "',", part21_string(name),
                            ",'',", parent.definition, ",", child.definition, ",$)");
  const Ref shape = text_.add("PRODUCT_DEFINITION_SHAPE('','',", use, ")");
  const Ref move =
      text_.add("ITEM_DEFINED_TRANSFORMATION('','',", child.origin, ",", parent.origin, ")");
  const Ref relation =
      text_.add("(REPRESENTATION_RELATIONSHIP('','',", child.representation, ",",
                parent.representation, ")REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(", move,
                ")SHAPE_REPRESENTATION_RELATIONSHIP())");
  text_.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(", relation, ",", shape, ")");
}

Ref StepAssembler::colour(const Colour& c) {
  Ref& ref = colours_[{c.r, c.g, c.b}];
  // Four decimals: finer than any screen.
  const auto level = [](float value) { return std::round(1e4 * srgb(value)) / 1e4; };
  if (ref.id == 0)
    ref = text_.add("COLOUR_RGB('',", level(c.r), ",", level(c.g), ",", level(c.b), ")");
  return ref;
}

Ref StepAssembler::curve_style(const Colour& c) {
  Ref& ref = curve_styles_[{c.r, c.g, c.b}];
  if (ref.id != 0) return ref;
  const Ref paint = colour(c);
  const Ref font = text_.add("DRAUGHTING_PRE_DEFINED_CURVE_FONT('continuous')");
  const Ref style =
      text_.add("CURVE_STYLE('',", font, ",POSITIVE_LENGTH_MEASURE(0.1),", paint, ")");
  return ref = text_.add("PRESENTATION_STYLE_ASSIGNMENT((", style, "))");
}

Ref StepAssembler::surface_style(const Colour& c) {
  Ref& ref = surface_styles_[{c.r, c.g, c.b, c.a}];
  if (ref.id != 0) return ref;
  const Ref fill = text_.add("FILL_AREA_STYLE_COLOUR('',", colour(c), ")");
  const Ref area = text_.add("FILL_AREA_STYLE('',(", fill, "))");
  const Ref painted = text_.add("SURFACE_STYLE_FILL_AREA(", area, ")");
  const Ref side = text_.add("SURFACE_SIDE_STYLE('',(", painted, "))");
  const Ref usage = text_.add("SURFACE_STYLE_USAGE(.BOTH.,", side, ")");
  return ref = text_.add("PRESENTATION_STYLE_ASSIGNMENT((", usage, "))");
}

void StepAssembler::dress(const StepShape& shape, const Colour& c, const std::string& layer) {
  const bool curves = shape.kind == StepShapeKind::curves;
  for (const Ref item : shape.items) {
    const Ref style = curves ? curve_style(c) : surface_style(c);
    styled_.push_back(text_.add("STYLED_ITEM('color',(", style, "),", item, ")"));
    if (!layer.empty()) layers_[layer].push_back(item);
  }
}

void StepAssembler::add_part(const StepProduct& group, const std::string& name,
                             const StepShape& shape, const Colour& c, const std::string& layer) {
  if (shape.items.empty()) return;
  dress(shape, c, layer);
  place(group, product(name, shape), name);
}

void StepAssembler::add_item(const StepProduct& group, const AnnotationItem& item) {
  const auto shape = [&]() -> StepShape {
    if (const auto* tube = std::get_if<Tube>(&item.shape))
      return step_tube(text_, frame_, *tube, item.name);
    if (const auto* bar = std::get_if<Bar>(&item.shape))
      return step_bar(text_, frame_, *bar, item.name);
    if (const auto* ring = std::get_if<RingShape>(&item.shape))
      return step_ring(text_, frame_, *ring, item.name);
    return step_tag(text_, frame_, std::get<Tag>(item.shape), item.name);
  };
  add_part(group, item.name, shape(), item.colour, item.layer);
  if (const auto* tube = std::get_if<Tube>(&item.shape)) {
    const std::string name = item.name + " centreline";
    add_part(group, name, step_centreline(text_, frame_, *tube, name), item.colour, item.layer);
  }
}

void StepAssembler::add_annotation(const Annotation& annotation) {
  const StepProduct root = product("Roomloom", {});
  for (const auto kind :
       {AnnotationGroup::runs, AnnotationGroup::raceway, AnnotationGroup::crossings,
        AnnotationGroup::supports, AnnotationGroup::labels}) {
    const auto belongs = [&](const AnnotationItem& item) { return item.group == kind; };
    if (std::none_of(annotation.items.begin(), annotation.items.end(), belongs)) continue;
    const StepProduct group = product(to_string(kind), {});
    place(root, group, to_string(kind));
    for (const AnnotationItem& item : annotation.items)
      if (belongs(item)) add_item(group, item);
  }
}

void StepAssembler::add_room(const std::vector<SheetPlane>& sheets) {
  const StepProduct root = product("Room", {});
  for (const SheetPlane& sheet : sheets) {
    const StepShape shape = step_face(text_, frame_, sheet);
    if (shape.items.empty())
      notes_.push_back("\"" + sheet.name + "\" has no area and was left out.");
    add_part(root, sheet.name, shape, sheet.colour, "Room");
  }
}

void StepAssembler::finish() {
  text_.add("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,", products_, ")");
  if (!styled_.empty())
    text_.add("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',", styled_, ",", context_,
              ")");
  for (const auto& [name, items] : layers_)
    text_.add("PRESENTATION_LAYER_ASSIGNMENT(", part21_string(name), ",'',", items, ")");
}

}  // namespace roomloom
