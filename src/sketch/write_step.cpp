#include "sketch/write_step.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "exchange/write_part21.h"
#include "sketch/polyhedra.h"

namespace roomloom {
namespace {

/// Millimetres, free of the rounding that a factor of 1000 leaves.
Vec3 millimetres(const Vec3& p) {
  const auto rounded = [](double metres) { return std::round(metres * 1e9) / 1e6 + 0.0; };
  return {rounded(p.x), rounded(p.y), rounded(p.z)};
}

std::array<double, 3> key(const Vec3& p) { return {p.x, p.y, p.z}; }

/// IEC 61966-2-1, 5.2: what STEP viewers take COLOUR_RGB for.
double srgb(double linear) {
  const double v = std::clamp(linear, 0.0, 1.0);
  return std::round(1e4 * (v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055)) /
         1e4;
}

/// Faces that hang together by corners, each set with its number.
std::vector<Faces> shells_of(const Faces& faces) {
  std::vector<Faces> shells;
  std::vector<bool> taken(faces.size(), false);
  for (std::size_t first = 0; first < faces.size(); ++first) {
    if (taken[first]) continue;
    Faces shell{faces[first]};
    taken[first] = true;
    std::map<std::array<double, 3>, bool> corners;
    for (std::size_t done = 0; done < shell.size(); ++done) {
      for (const Vec3& p : shell[done].outline) corners[key(p)] = true;
      for (const auto& hole : shell[done].holes)
        for (const Vec3& p : hole) corners[key(p)] = true;
      for (std::size_t f = 0; f < faces.size(); ++f) {
        const auto known = [&](const Vec3& p) { return corners.count(key(p)) > 0; };
        if (taken[f] || std::none_of(faces[f].outline.begin(), faces[f].outline.end(), known))
          continue;
        taken[f] = true;
        shell.push_back(faces[f]);
      }
    }
    shells.push_back(std::move(shell));
  }
  return shells;
}

/// Writes one solid; its faces share corners and edges.
class SolidText {
 public:
  explicit SolidText(Part21Text& text) : text_(text) {}

  Ref solid(const SolidPart& part) {
    std::vector<Faces> shells = shells_of(part.faces);
    const auto outer = std::find_if(shells.begin(), shells.end(),
                                    [](const Faces& faces) { return volume(faces) > 0; });
    if (outer != shells.end()) std::iter_swap(shells.begin(), outer);
    const std::string name = part21_string(part.name);
    const Ref hull = shell(shells.front());
    if (shells.size() == 1) return text_.add("MANIFOLD_SOLID_BREP(", name, ",", hull, ")");
    std::vector<Ref> cavities;
    for (std::size_t k = 1; k < shells.size(); ++k)
      cavities.push_back(text_.add("ORIENTED_CLOSED_SHELL('',*,", shell(shells[k]), ",.T.)"));
    return text_.add("BREP_WITH_VOIDS(", name, ",", hull, ",", cavities, ")");
  }

 private:
  Ref shell(const Faces& faces) {
    std::vector<Ref> refs;
    for (const SolidFace& f : faces) refs.push_back(face(f));
    return text_.add("CLOSED_SHELL('',", refs, ")");
  }

  Ref face(const SolidFace& face) {
    std::vector<Ref> bounds{text_.add("FACE_OUTER_BOUND('',", loop(face.outline), ",.T.)")};
    for (const auto& hole : face.holes)
      bounds.push_back(text_.add("FACE_BOUND('',", loop(hole), ",.T.)"));
    const Vec3 along = longest_side(face.outline);
    const Ref at = text_.add("AXIS2_PLACEMENT_3D('',", point(face.outline.front()), ",",
                             direction(face_normal(face)), ",", direction(along), ")");
    const Ref plane = text_.add("PLANE('',", at, ")");
    return text_.add("ADVANCED_FACE('',", bounds, ",", plane, ",.T.)");
  }

  static Vec3 longest_side(const std::vector<Vec3>& ring) {
    Vec3 longest;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec3 side = ring[(i + 1) % ring.size()] - ring[i];
      if (norm(side) > norm(longest) + 1e-9) longest = side;
    }
    return normalized(longest);
  }

  Ref loop(const std::vector<Vec3>& ring) {
    std::vector<Ref> edges;
    for (std::size_t i = 0; i < ring.size(); ++i)
      edges.push_back(oriented_edge(ring[i], ring[(i + 1) % ring.size()]));
    return text_.add("EDGE_LOOP('',", edges, ")");
  }

  Ref oriented_edge(const Vec3& a, const Vec3& b) {
    const auto reversed = edges_.find({key(b), key(a)});
    if (reversed != edges_.end())
      return text_.add("ORIENTED_EDGE('',*,*,", reversed->second, ",.F.)");
    Ref& edge = edges_[{key(a), key(b)}];
    if (edge.id == 0) {
      const Ref vector = text_.add("VECTOR('',", direction(normalized(b - a)), ",1.)");
      const Ref line = text_.add("LINE('',", point(a), ",", vector, ")");
      edge = text_.add("EDGE_CURVE('',", vertex(a), ",", vertex(b), ",", line, ",.T.)");
    }
    return text_.add("ORIENTED_EDGE('',*,*,", edge, ",.T.)");
  }

  Ref vertex(const Vec3& p) {
    Ref& ref = vertices_[key(p)];
    if (ref.id == 0) ref = text_.add("VERTEX_POINT('',", point(p), ")");
    return ref;
  }

  Ref point(const Vec3& p) {
    Ref& ref = points_[key(p)];
    if (ref.id == 0) ref = text_.add("CARTESIAN_POINT('',", millimetres(p), ")");
    return ref;
  }

  Ref direction(const Vec3& d) {
    Ref& ref = directions_[key(d)];
    if (ref.id == 0) ref = text_.add("DIRECTION('',", d, ")");
    return ref;
  }

  using Key = std::array<double, 3>;
  Part21Text& text_;
  std::map<Key, Ref> points_, vertices_, directions_;
  std::map<std::pair<Key, Key>, Ref> edges_;
};

/// A part or an assembly, as its parent refers to it.
struct Product {
  Ref definition, representation, origin;
};

class StepMaker {
 public:
  std::string text(const Solids& solids) {
    write_context();
    const Product root = product(solids.name, "SHAPE_REPRESENTATION", {});
    std::map<std::string, Product> groups;
    for (const SolidPart& part : solids.parts) {
      const auto known = groups.find(part.group);
      if (known == groups.end() && !part.group.empty()) {
        groups[part.group] = product(part.group, "SHAPE_REPRESENTATION", {});
        place(root, groups[part.group], part.group);
      }
      place(part.group.empty() ? root : groups[part.group], part_product(part), part.name);
    }
    finish();
    return file(solids.name);
  }

 private:
  void write_context() {
    application_ =
        text_.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')");
    text_.add("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,",
              application_, ")");
    product_context_ = text_.add("PRODUCT_CONTEXT('',", application_, ",'mechanical')");
    definition_context_ =
        text_.add("PRODUCT_DEFINITION_CONTEXT('part definition',", application_, ",'design')");
    const Ref length = text_.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))");
    const Ref angle = text_.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
    const Ref solid = text_.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
    const Ref uncertainty = text_.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-05),",
                                      length, ",'distance_accuracy_value','confusion accuracy')");
    context_ =
        text_.add("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((",
                  uncertainty, "))GLOBAL_UNIT_ASSIGNED_CONTEXT((", length, ",", angle, ",", solid,
                  "))REPRESENTATION_CONTEXT('','3D'))");
  }

  Ref axes() {
    const Ref origin = text_.add("CARTESIAN_POINT('',", Vec3{}, ")");
    const Ref up = text_.add("DIRECTION('',", Vec3{0, 0, 1}, ")");
    const Ref right = text_.add("DIRECTION('',", Vec3{1, 0, 0}, ")");
    return text_.add("AXIS2_PLACEMENT_3D('',", origin, ",", up, ",", right, ")");
  }

  Product product(const std::string& name, const char* kind, const std::vector<Ref>& items) {
    const std::string quoted = part21_string(name);
    const Ref id =
        text_.add("PRODUCT(", quoted, ",", quoted, ",'',", std::vector<Ref>{product_context_}, ")");
    products_.push_back(id);
    const Ref formation = text_.add("PRODUCT_DEFINITION_FORMATION('','',", id, ")");
    Product made;
    made.definition =
        text_.add("PRODUCT_DEFINITION('design','',", formation, ",", definition_context_, ")");
    const Ref shape = text_.add("PRODUCT_DEFINITION_SHAPE('','',", made.definition, ")");
    made.origin = axes();
    std::vector<Ref> all{made.origin};
    all.insert(all.end(), items.begin(), items.end());
    made.representation = text_.add(kind, "(", quoted, ",", all, ",", context_, ")");
    text_.add("SHAPE_DEFINITION_REPRESENTATION(", shape, ",", made.representation, ")");
    return made;
  }

  void place(const Product& parent, const Product& child, const std::string& name) {
    const Ref use =
        text_.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('", std::to_string(++uses_), "',",
                  part21_string(name), ",'',", parent.definition, ",", child.definition, ",$)");
    const Ref shape = text_.add("PRODUCT_DEFINITION_SHAPE('','',", use, ")");
    const Ref stay =
        text_.add("ITEM_DEFINED_TRANSFORMATION('','',", child.origin, ",", parent.origin, ")");
    const Ref relation =
        text_.add("(REPRESENTATION_RELATIONSHIP('','',", child.representation, ",",
                  parent.representation, ")REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(", stay,
                  ")SHAPE_REPRESENTATION_RELATIONSHIP())");
    text_.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(", relation, ",", shape, ")");
  }

  Product part_product(const SolidPart& part) {
    if (part.kind == PartKind::mesh) {
      const Ref solid = SolidText(text_).solid(part);
      dress(solid, surface_style(part.colour), part.layer);
      return product(part.name, "ADVANCED_BREP_SHAPE_REPRESENTATION", {solid});
    }
    std::vector<Ref> points;
    for (const Vec3& p : part.points)
      points.push_back(text_.add("CARTESIAN_POINT('',", millimetres(p), ")"));
    const std::string name = part21_string(part.name);
    const Ref item =
        part.kind == PartKind::curve ? text_.add("POLYLINE(", name, ",", points, ")") : points[0];
    const Ref set = text_.add("GEOMETRIC_CURVE_SET(", name, ",", std::vector<Ref>{item}, ")");
    dress(set, curve_style(part.colour), part.layer);
    return product(part.name, "GEOMETRICALLY_BOUNDED_WIREFRAME_SHAPE_REPRESENTATION", {set});
  }

  void dress(Ref item, Ref style, const std::string& layer) {
    styled_.push_back(text_.add("STYLED_ITEM('',", std::vector<Ref>{style}, ",", item, ")"));
    if (!layer.empty()) layers_[layer].push_back(item);
  }

  Ref colour(const Colour& c) {
    Ref& ref = colours_[{c.r, c.g, c.b}];
    if (ref.id == 0)
      ref = text_.add("COLOUR_RGB('',", srgb(c.r), ",", srgb(c.g), ",", srgb(c.b), ")");
    return ref;
  }

  Ref surface_style(const Colour& c) {
    Ref& ref = surface_styles_[{c.r, c.g, c.b}];
    if (ref.id != 0) return ref;
    const Ref fill_colour = text_.add("FILL_AREA_STYLE_COLOUR('',", colour(c), ")");
    const Ref fill = text_.add("FILL_AREA_STYLE('',", std::vector<Ref>{fill_colour}, ")");
    const Ref area = text_.add("SURFACE_STYLE_FILL_AREA(", fill, ")");
    const Ref side = text_.add("SURFACE_SIDE_STYLE('',", std::vector<Ref>{area}, ")");
    const Ref usage = text_.add("SURFACE_STYLE_USAGE(.BOTH.,", side, ")");
    return ref = text_.add("PRESENTATION_STYLE_ASSIGNMENT(", std::vector<Ref>{usage}, ")");
  }

  Ref curve_style(const Colour& c) {
    Ref& ref = curve_styles_[{c.r, c.g, c.b}];
    if (ref.id != 0) return ref;
    const Ref font = text_.add("DRAUGHTING_PRE_DEFINED_CURVE_FONT('continuous')");
    const Ref style =
        text_.add("CURVE_STYLE('',", font, ",POSITIVE_LENGTH_MEASURE(0.1),", colour(c), ")");
    return ref = text_.add("PRESENTATION_STYLE_ASSIGNMENT(", std::vector<Ref>{style}, ")");
  }

  void finish() {
    text_.add("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,", products_, ")");
    for (const auto& [name, items] : layers_)
      text_.add("PRESENTATION_LAYER_ASSIGNMENT(", part21_string(name), ",'',", items, ")");
    text_.add("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',", styled_, ",", context_,
              ")");
  }

  std::string file(const std::string& name) const {
    return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('Room model made by Roomloom "
           "sketch'),'2;1');\n"
           "FILE_NAME(" +
           part21_string(name) +
           ",'1970-01-01T00:00:00',(''),(''),'Roomloom','Roomloom sketch','');\n"
           "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n" +
           text_.text() + "ENDSEC;\nEND-ISO-10303-21;\n";
  }

  using ColourKey = std::array<float, 3>;
  Part21Text text_{1};
  Ref application_, product_context_, definition_context_, context_;
  std::uint64_t uses_ = 0;
  std::vector<Ref> products_, styled_;
  std::map<std::string, std::vector<Ref>> layers_;
  std::map<ColourKey, Ref> colours_, surface_styles_, curve_styles_;
};

}  // namespace

std::string step_of(const Solids& solids) { return StepMaker().text(solids); }

}  // namespace roomloom
