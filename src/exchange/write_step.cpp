#include "exchange/write_step.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <map>
#include <tuple>

#include "exchange/write_step_shapes.h"
#include "exchange/write_tube.h"

namespace roomloom {
namespace {

enum class Protocol { ap203, ap214, ap242 };

Protocol protocol_of(const std::vector<std::string>& schemas) {
  for (const std::string& schema : schemas) {
    if (schema.starts_with("AP242")) return Protocol::ap242;
    if (schema == "CONFIG_CONTROL_DESIGN") return Protocol::ap203;
  }
  return Protocol::ap214;
}

using ColourKey = std::tuple<float, float, float>;

/// STEP viewers take COLOUR_RGB as sRGB; our colours are linear. IEC 61966-2-1, 5.2.
double srgb(double linear) {
  const double v = std::clamp(linear, 0.0, 1.0);
  return v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055;
}

/// A part or an assembly, as its parent refers to it.
struct Product {
  Ref definition;
  Ref representation;
  Ref origin;  ///< the AXIS2_PLACEMENT_3D in its representation
};

/// Writes products, their assembly, colours and layers.
class Assembler {
 public:
  Assembler(std::uint64_t first_id, const FileFrame& frame, double unit_m, Protocol protocol)
      : text_(first_id), frame_(frame), protocol_(protocol) {
    write_application();
    write_units(unit_m);
  }

  /// A root with the groups and items of the annotation.
  void add_annotation(const Annotation& annotation);
  /// A root `Room` with planes.
  void add_room(const std::vector<PlanarFace>& sheets);
  /// Layers and the list of styled items: once, at the end.
  void finish();

  const std::string& text() const { return text_.text(); }
  const std::vector<std::string>& notes() const { return notes_; }

 private:
  void write_application();
  void write_units(double unit_m);
  Ref length_unit(double unit_m);
  Product product(const std::string& name, const StepShape& shape);
  void place(const Product& parent, const Product& child, const std::string& name);
  void dress(const StepShape& shape, const Colour& colour, const std::string& layer);
  Ref curve_style(const Colour& colour);
  Ref surface_style(const Colour& colour);
  void add_item(const Product& group, const AnnotationItem& item);
  void add_part(const Product& group, const std::string& name, const StepShape& shape,
                const Colour& colour, const std::string& layer);
  Ref colour(const Colour& colour);
  Ref own_axes();

  Part21Text text_;
  const FileFrame& frame_;
  Protocol protocol_;
  Ref application_, product_context_, definition_context_, context_;
  std::uint64_t uses_ = 0;
  std::vector<Ref> styled_;
  std::vector<Ref> products_;
  std::map<ColourKey, Ref> colours_;
  std::map<ColourKey, Ref> curve_styles_;
  std::map<std::tuple<float, float, float, float>, Ref> surface_styles_;
  std::map<std::string, std::vector<Ref>> layers_;
  std::vector<std::string> notes_;
};

void Assembler::write_application() {
  switch (protocol_) {
    case Protocol::ap203:
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
    case Protocol::ap242:
      application_ = text_.add("APPLICATION_CONTEXT('Managed model based 3d engineering')");
      text_.add(
          "APPLICATION_PROTOCOL_DEFINITION('international standard',"
          "'ap242_managed_model_based_3d_engineering',2013,",
          application_, ")");
      break;
    case Protocol::ap214:
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

Ref Assembler::length_unit(double unit_m) {
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

void Assembler::write_units(double unit_m) {
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
Ref Assembler::own_axes() {
  const Ref origin = text_.add("CARTESIAN_POINT('',", Vec3{}, ")");
  const Ref axis = text_.add("DIRECTION('',", Vec3{0, 0, 1}, ")");
  const Ref reference = text_.add("DIRECTION('',", Vec3{1, 0, 0}, ")");
  return text_.add("AXIS2_PLACEMENT_3D('',", origin, ",", axis, ",", reference, ")");
}

Product Assembler::product(const std::string& name, const StepShape& shape) {
  const std::string quoted = part21_string(name);
  const Ref product =
      text_.add("PRODUCT(", quoted, ",", quoted, ",'',", std::vector<Ref>{product_context_}, ")");
  products_.push_back(product);
  const bool ap203 = protocol_ == Protocol::ap203;
  const Ref formation =
      text_.add(ap203 ? "PRODUCT_DEFINITION_FORMATION_WITH_SPECIFIED_SOURCE('','',"
                      : "PRODUCT_DEFINITION_FORMATION('','',",
                product, ap203 ? ",.NOT_KNOWN.)" : ")");
  Product result;
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

void Assembler::place(const Product& parent, const Product& child, const std::string& name) {
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

Ref Assembler::colour(const Colour& c) {
  Ref& ref = colours_[{c.r, c.g, c.b}];
  // Four decimals: finer than any screen.
  const auto level = [](float value) { return std::round(1e4 * srgb(value)) / 1e4; };
  if (ref.id == 0)
    ref = text_.add("COLOUR_RGB('',", level(c.r), ",", level(c.g), ",", level(c.b), ")");
  return ref;
}

Ref Assembler::curve_style(const Colour& c) {
  Ref& ref = curve_styles_[{c.r, c.g, c.b}];
  if (ref.id != 0) return ref;
  const Ref paint = colour(c);
  const Ref font = text_.add("DRAUGHTING_PRE_DEFINED_CURVE_FONT('continuous')");
  const Ref style =
      text_.add("CURVE_STYLE('',", font, ",POSITIVE_LENGTH_MEASURE(0.1),", paint, ")");
  return ref = text_.add("PRESENTATION_STYLE_ASSIGNMENT((", style, "))");
}

Ref Assembler::surface_style(const Colour& c) {
  Ref& ref = surface_styles_[{c.r, c.g, c.b, c.a}];
  if (ref.id != 0) return ref;
  const Ref fill = text_.add("FILL_AREA_STYLE_COLOUR('',", colour(c), ")");
  const Ref area = text_.add("FILL_AREA_STYLE('',(", fill, "))");
  const Ref painted = text_.add("SURFACE_STYLE_FILL_AREA(", area, ")");
  const Ref side = text_.add("SURFACE_SIDE_STYLE('',(", painted, "))");
  const Ref usage = text_.add("SURFACE_STYLE_USAGE(.BOTH.,", side, ")");
  return ref = text_.add("PRESENTATION_STYLE_ASSIGNMENT((", usage, "))");
}

void Assembler::dress(const StepShape& shape, const Colour& c, const std::string& layer) {
  const bool curves = shape.kind == StepShapeKind::curves;
  for (const Ref item : shape.items) {
    const Ref style = curves ? curve_style(c) : surface_style(c);
    styled_.push_back(text_.add("STYLED_ITEM('color',(", style, "),", item, ")"));
    if (!layer.empty()) layers_[layer].push_back(item);
  }
}

void Assembler::add_part(const Product& group, const std::string& name, const StepShape& shape,
                         const Colour& c, const std::string& layer) {
  if (shape.items.empty()) return;
  dress(shape, c, layer);
  place(group, product(name, shape), name);
}

void Assembler::add_item(const Product& group, const AnnotationItem& item) {
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

void Assembler::add_annotation(const Annotation& annotation) {
  const Product root = product("Roomloom", {});
  for (const auto kind :
       {AnnotationGroup::runs, AnnotationGroup::raceway, AnnotationGroup::crossings,
        AnnotationGroup::supports, AnnotationGroup::labels}) {
    const auto belongs = [&](const AnnotationItem& item) { return item.group == kind; };
    if (std::none_of(annotation.items.begin(), annotation.items.end(), belongs)) continue;
    const Product group = product(to_string(kind), {});
    place(root, group, to_string(kind));
    for (const AnnotationItem& item : annotation.items)
      if (belongs(item)) add_item(group, item);
  }
}

void Assembler::add_room(const std::vector<PlanarFace>& sheets) {
  const Product root = product("Room", {});
  for (const PlanarFace& sheet : sheets) {
    const StepShape shape = step_face(text_, frame_, sheet);
    if (shape.items.empty())
      notes_.push_back("\"" + sheet.name + "\" has no area and was left out.");
    add_part(root, sheet.name, shape, sheet.colour, "Room");
  }
}

void Assembler::finish() {
  text_.add("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,", products_, ")");
  if (!styled_.empty())
    text_.add("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',", styled_, ",", context_,
              ")");
  for (const auto& [name, items] : layers_)
    text_.add("PRESENTATION_LAYER_ASSIGNMENT(", part21_string(name), ",'',", items, ")");
}

/// What to say of tubes that are not one solid.
std::vector<std::string> tube_notes(const Annotation& annotation) {
  std::vector<std::string> notes;
  for (const AnnotationItem& item : annotation.items) {
    const auto* tube = std::get_if<Tube>(&item.shape);
    if (tube == nullptr) continue;
    const TubeChains chains = tube_chains(*tube);
    if (chains.tight_bends > 0)
      notes.push_back(item.name + ": " + std::to_string(chains.tight_bends) +
                      " bend(s) tighter than the tube's own radius; drawn in separate pieces.");
    if (chains.kinks > 0)
      notes.push_back(item.name + ": " + std::to_string(chains.kinks) +
                      " corner(s) without an arc; drawn in separate pieces.");
  }
  return notes;
}

/// The unit in which a reader will take the original's numbers. A unit that the user has put in
/// its place turns into no other file's declaration: ours must lie where the original lies.
double declared_unit(const Part21Outline& outline, double unit_m) {
  const auto same = [&](double declared) { return std::abs(declared - unit_m) < 1e-9 * unit_m; };
  const std::vector<double>& all = outline.length_units_m;
  if (all.empty() || std::any_of(all.begin(), all.end(), same)) return unit_m;
  return all.front();
}

std::vector<std::string> schema_notes(const std::vector<std::string>& schemas) {
  if (schemas.empty()) return {"The file names no schema; ours is written as for AP214."};
  std::string all;
  for (const std::string& schema : schemas) {
    if (schema.starts_with("AUTOMOTIVE_DESIGN") || schema.starts_with("AP242") ||
        schema.starts_with("AP203"))
      return {};
    all += (all.empty() ? "" : ", ") + schema;
  }
  if (schemas.front() != "CONFIG_CONTROL_DESIGN")
    return {"The file's schema (" + all +
            ") is not one of AP203, AP214 and AP242; readers that keep to it may pass over ours."};
  std::vector<std::string> notes = {
      "The file's schema (" + all +
      ") wants approvals and persons for each product; ours carry none, which strict checkers "
      "will say."};
  const bool colours =
      std::find(schemas.begin(), schemas.end(), "SHAPE_APPEARANCE_LAYER_MIM") != schemas.end();
  if (!colours)
    notes.push_back(
        "The file's schema has no colours and layers; readers that keep to it may pass "
        "over those of ours.");
  return notes;
}

void append_all(std::vector<std::string>& to, const std::vector<std::string>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

/// ISO 8601, Universal Time: SOURCE_DATE_EPOCH, or the start of 1970. The clock would make two
/// equal plans differ.
std::string header_date() {
  std::time_t seconds = 0;
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH")) {
    const std::string_view text(epoch);
    std::from_chars(text.data(), text.data() + text.size(), seconds);
  }
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  std::array<char, 32> date{};
  std::strftime(date.data(), date.size(), "%Y-%m-%dT%H:%M:%S", &parts);
  return date.data();
}

}  // namespace

Result<StepFile> append_to_step(std::string_view original, const std::string& file,
                                const FileFrame& frame, const Annotation& annotation) {
  const auto outline = outline_part21(original, file);
  if (!outline) return outline.error();
  Assembler assembler(outline->last_id + 1, frame, declared_unit(*outline, frame.written.unit_m),
                      protocol_of(outline->schemas));
  assembler.add_annotation(annotation);
  assembler.finish();
  StepFile result;
  result.text.reserve(original.size() + assembler.text().size() + 1);
  result.text = original.substr(0, outline->insertion);
  if (!result.text.empty() && result.text.back() != '\n') result.text += '\n';
  result.text += assembler.text();
  result.text += original.substr(outline->insertion);
  result.notes = schema_notes(outline->schemas);
  append_all(result.notes, tube_notes(annotation));
  append_all(result.notes, assembler.notes());
  return result;
}

StepFile step_of_our_own(const FileFrame& frame, const Annotation& annotation,
                         const std::vector<PlanarFace>& sheets, const std::string& name,
                         const std::string& generator) {
  Assembler assembler(1, frame, frame.written.unit_m, Protocol::ap214);
  if (!sheets.empty()) assembler.add_room(sheets);
  if (sheets.empty() || !annotation.items.empty()) assembler.add_annotation(annotation);
  assembler.finish();
  StepFile result;
  result.text = "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('Cable runs'),'2;1');\nFILE_NAME(" +
                part21_string(name) + ",'" + header_date() + "',(''),('')," +
                part21_string(generator) + "," + part21_string(generator) +
                ",'');\nFILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 "
                "}'));\nENDSEC;\nDATA;\n";
  result.text += assembler.text();
  result.text += "ENDSEC;\nEND-ISO-10303-21;\n";
  result.notes = tube_notes(annotation);
  append_all(result.notes, assembler.notes());
  return result;
}

}  // namespace roomloom
