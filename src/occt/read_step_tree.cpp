#include "occt/read_step_tree.h"

#include <NCollection_DataMap.hxx>
#include <Quantity_ColorRGBA.hxx>
#include <STEPControl_Reader.hxx>
#include <StepData_StepModel.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <TColStd_HSequenceOfExtendedString.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDataStd_Name.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_ShapeMapHasher.hxx>
#include <TransferBRep.hxx>
#include <Transfer_TransientProcess.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_LayerTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <XSControl_TransferReader.hxx>
#include <XSControl_WorkSession.hxx>
#include <algorithm>
#include <set>

#include "occt/read_step_shapes.h"

namespace roomloom::occt {
namespace {

/// Product trees deeper than this are refused: real ones have a dozen levels.
constexpr int kDeepestTree = 200;

std::string label_name(const TDF_Label& label) {
  Handle(TDataStd_Name) name;
  if (label.IsNull() || !label.FindAttribute(TDataStd_Name::GetID(), name)) return {};
  const TCollection_ExtendedString& text = name->Get();
  std::string utf8(static_cast<std::size_t>(text.LengthOfCString()) + 1, '\0');
  Standard_PCharacter out = utf8.data();
  const int length = text.ToUTF8CString(out);
  utf8.resize(static_cast<std::size_t>(std::max(length, 0)));
  return utf8;
}

bool all_digits(std::string_view text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// Names that programs give to an instance when nobody named it: "", "12", "NAUO12", "=>[0:1:1:2]".
bool is_counter(std::string_view name) {
  if (name.starts_with("=>[")) return true;
  if (name.starts_with("NAUO")) name.remove_prefix(4);
  return all_digits(name);
}

/// Names that OpenCASCADE gives to the pieces of a compound that have none.
bool is_shape_type(std::string_view name) {
  for (const std::string_view type :
       {"COMPOUND", "COMPSOLID", "SOLID", "SHELL", "FACE", "WIRE", "EDGE", "VERTEX"})
    if (name == type) return true;
  return false;
}

/// The walk through the product tree; one per file.
class TreeReader {
 public:
  TreeReader(STEPCAFControl_Reader& reader, const Handle(TDocStd_Document) & document, Scene& scene,
             double chord_error_m)
      : session_(reader.Reader().WS()),
        shapes_(XCAFDoc_DocumentTool::ShapeTool(document->Main())),
        colours_(XCAFDoc_DocumentTool::ColorTool(document->Main())),
        layers_(XCAFDoc_DocumentTool::LayerTool(document->Main())),
        scene_(scene),
        collector_(scene, chord_error_m) {}

  void read_all() {
    index_entities();
    TDF_LabelSequence roots;
    shapes_->GetFreeShapes(roots);
    for (int i = 1; i <= roots.Length(); ++i) visit(roots.Value(i), Branch{});
  }

  int faces_seen() const { return collector_.faces_seen(); }
  bool too_deep() const { return too_deep_; }

 private:
  /// What a node hands down to its children.
  struct Branch {
    TopLoc_Location location;
    int group = -1;
    int depth = 0;
    std::string path;
    std::string layer;
    std::optional<Colour> colour;
  };

  static std::string joined(const std::string& path, const std::string& name) {
    return path.empty() ? name : path + "/" + name;
  }

  void visit(const TDF_Label& label, Branch branch) {
    if (++branch.depth > kDeepestTree) {
      too_deep_ = true;
      return;
    }
    TDF_Label product = label;
    if (XCAFDoc_ShapeTool::IsReference(label)) {
      XCAFDoc_ShapeTool::GetReferredShape(label, product);
      branch.location = branch.location * XCAFDoc_ShapeTool::GetLocation(label);
    }
    const std::string instance_name = label_name(label);
    const std::string name = is_counter(instance_name) ? label_name(product) : instance_name;
    branch.path = joined(branch.path, name);
    // The instance's own colour and layer win over the product's, and those over the parent's.
    for (const TDF_Label& source : {product, label}) {
      if (const auto colour = label_colour(source)) branch.colour = colour;
      if (const std::string layer = label_layer(source); !layer.empty()) branch.layer = layer;
    }
    TDF_LabelSequence components;
    XCAFDoc_ShapeTool::GetComponents(product, components);
    if (!XCAFDoc_ShapeTool::IsAssembly(product) || all_nameless(components)) {
      add_leaf(product, name, branch);
      return;
    }
    branch.group = add_group(name, branch.group);
    for (int i = 1; i <= components.Length(); ++i) visit(components.Value(i), branch);
  }

  /// Then the "assembly" is one product made of several bodies.
  static bool all_nameless(const TDF_LabelSequence& components) {
    for (int i = 1; i <= components.Length(); ++i) {
      TDF_Label product;
      XCAFDoc_ShapeTool::GetReferredShape(components.Value(i), product);
      const std::string name = label_name(components.Value(i));
      if (!is_counter(name) && !is_shape_type(name)) return false;
      if (!product.IsNull() && !is_shape_type(label_name(product))) return false;
    }
    return true;
  }

  int add_group(const std::string& name, int parent) {
    scene_.groups.push_back({name, parent});
    return static_cast<int>(scene_.groups.size()) - 1;
  }

  void add_leaf(const TDF_Label& product, const std::string& name, const Branch& branch) {
    const TopoDS_Shape plain = XCAFDoc_ShapeTool::GetShape(product);
    if (plain.IsNull()) return;
    Part part;
    part.name = name;
    part.path = branch.path;
    part.parent = branch.group;
    part.layer = branch.layer;
    part.colour = branch.colour;
    part.transform = to_transform(branch.location);

    const std::vector<TopoDS_Shape> solids = named_solids(plain);
    if (solids.empty()) {
      part.native_reference = native_reference(plain);
      add_shape(plain, branch.location, part);
      return;
    }
    part.parent = add_group(name, branch.group);
    for (const TopoDS_Shape& solid : solids) {
      Part own = part;
      own.name = entity_name(solid);
      own.path = joined(branch.path, own.name);
      own.native_reference = native_reference(solid);
      add_shape(solid, branch.location, own);
    }
    for (TopExp_Explorer at(plain, TopAbs_SHELL, TopAbs_SOLID); at.More(); at.Next())
      add_shape(at.Current(), branch.location, part);
    add_loose(plain, branch.location, part);
  }

  void add_shape(const TopoDS_Shape& plain, const TopLoc_Location& location, Part part) {
    if (const auto colour = shape_colour(plain)) part.colour = colour;
    if (part.layer.empty()) part.layer = shape_layer(plain);
    collector_.add_mesh(plain.Moved(location), part);
    if (plain.ShapeType() != TopAbs_SOLID) add_loose(plain, location, part);
  }

  void add_loose(const TopoDS_Shape& plain, const TopLoc_Location& location, Part part) {
    for (TopExp_Explorer at(plain, TopAbs_EDGE, TopAbs_FACE); !part.colour && at.More(); at.Next())
      part.colour = colour_of(at.Current(), XCAFDoc_ColorCurv);
    collector_.add_loose_curves(plain.Moved(location), part);
    collector_.add_loose_points(plain.Moved(location), part);
  }

  /// The solids of a compound, if there are several and each has a name of its own; else none.
  std::vector<TopoDS_Shape> named_solids(const TopoDS_Shape& shape) const {
    std::vector<TopoDS_Shape> solids;
    std::set<std::string> names;
    for (TopExp_Explorer at(shape, TopAbs_SOLID); at.More(); at.Next()) {
      solids.push_back(at.Current());
      names.insert(entity_name(at.Current()));
    }
    const bool all_differ = solids.size() > 1 && names.size() == solids.size() && !names.count("");
    return all_differ ? solids : std::vector<TopoDS_Shape>{};
  }

  /// Remembers which entity of the file each shape came from; the library's own search is linear.
  void index_entities() {
    const Handle(Transfer_TransientProcess) process =
        session_->TransferReader()->TransientProcess();
    for (int i = 1; i <= process->NbMapped(); ++i) {
      const Handle(Standard_Transient) entity = process->Mapped(i);
      // An entity of a damaged file may be mapped as none.
      if (entity.IsNull() || !entity->IsKind(STANDARD_TYPE(StepRepr_RepresentationItem))) continue;
      const TopoDS_Shape shape = TransferBRep::ShapeResult(process, entity);
      if (!shape.IsNull()) entities_.Bind(shape.Located(TopLoc_Location()), entity);
    }
  }

  Handle(Standard_Transient) entity_of(const TopoDS_Shape& shape) const {
    const Handle(Standard_Transient)* found = entities_.Seek(shape.Located(TopLoc_Location()));
    return found != nullptr ? *found : Handle(Standard_Transient)();
  }

  std::string entity_name(const TopoDS_Shape& shape) const {
    const auto item = Handle(StepRepr_RepresentationItem)::DownCast(entity_of(shape));
    if (item.IsNull() || item->Name().IsNull()) return {};
    return item->Name()->ToCString();
  }

  /// "#123" of the shape, else of its first body; empty when the library does not tell.
  std::string native_reference(const TopoDS_Shape& shape) const {
    const auto model = Handle(StepData_StepModel)::DownCast(session_->Model());
    const auto id_of = [&](const TopoDS_Shape& part) {
      const Handle(Standard_Transient) entity = entity_of(part);
      return entity.IsNull() || model.IsNull() ? 0 : model->IdentLabel(entity);
    };
    int id = id_of(shape);
    for (const auto level : {TopAbs_SOLID, TopAbs_SHELL, TopAbs_FACE, TopAbs_EDGE, TopAbs_VERTEX})
      if (const TopExp_Explorer at(shape, level); id <= 0 && at.More()) id = id_of(at.Current());
    return id > 0 ? "#" + std::to_string(id) : std::string{};
  }

  static std::optional<Colour> to_colour(const Quantity_ColorRGBA& read) {
    const Quantity_Color& rgb = read.GetRGB();
    return Colour{static_cast<float>(rgb.Red()), static_cast<float>(rgb.Green()),
                  static_cast<float>(rgb.Blue()), read.Alpha()};
  }

  std::optional<Colour> label_colour(const TDF_Label& label) const {
    Quantity_ColorRGBA read;
    for (const auto type : {XCAFDoc_ColorSurf, XCAFDoc_ColorGen, XCAFDoc_ColorCurv})
      if (colours_->GetColor(label, type, read)) return to_colour(read);
    return std::nullopt;
  }

  std::optional<Colour> colour_of(const TopoDS_Shape& shape, XCAFDoc_ColorType type) const {
    Quantity_ColorRGBA read;
    if (colours_->GetColor(shape, type, read)) return to_colour(read);
    return std::nullopt;
  }

  /// The colour of the shape, else of its first solid, shell or face that has one.
  std::optional<Colour> shape_colour(const TopoDS_Shape& shape) const {
    for (const auto type : {XCAFDoc_ColorSurf, XCAFDoc_ColorGen})
      if (const auto colour = colour_of(shape, type)) return colour;
    for (const auto level : {TopAbs_SOLID, TopAbs_SHELL, TopAbs_FACE})
      for (TopExp_Explorer at(shape, level); at.More(); at.Next())
        if (const auto colour = colour_of(at.Current(), XCAFDoc_ColorSurf)) return colour;
    return std::nullopt;
  }

  std::string first_layer(const Handle(TColStd_HSequenceOfExtendedString) & names) const {
    if (names.IsNull() || names->IsEmpty()) return {};
    const TCollection_ExtendedString& text = names->First();
    std::string utf8(static_cast<std::size_t>(text.LengthOfCString()) + 1, '\0');
    Standard_PCharacter out = utf8.data();
    utf8.resize(static_cast<std::size_t>(std::max(text.ToUTF8CString(out), 0)));
    return utf8;
  }
  std::string label_layer(const TDF_Label& label) const {
    return first_layer(layers_->GetLayers(label));
  }
  std::string shape_layer(const TopoDS_Shape& shape) const {
    for (const auto level : {TopAbs_SOLID, TopAbs_SHELL, TopAbs_FACE, TopAbs_EDGE})
      for (TopExp_Explorer at(shape, level); at.More(); at.Next()) {
        const std::string layer = first_layer(layers_->GetLayers(at.Current()));
        if (!layer.empty()) return layer;
      }
    return {};
  }

  Handle(XSControl_WorkSession) session_;
  NCollection_DataMap<TopoDS_Shape, Handle(Standard_Transient), TopTools_ShapeMapHasher> entities_;
  Handle(XCAFDoc_ShapeTool) shapes_;
  Handle(XCAFDoc_ColorTool) colours_;
  Handle(XCAFDoc_LayerTool) layers_;
  Scene& scene_;
  ShapeCollector collector_;
  bool too_deep_ = false;
};

}  // namespace

TreeOutcome read_tree(STEPCAFControl_Reader& reader, const Handle(TDocStd_Document) & document,
                      double chord_error_m, Scene& scene) {
  TreeReader tree(reader, document, scene, chord_error_m);
  tree.read_all();
  return {tree.faces_seen(), tree.too_deep()};
}

}  // namespace roomloom::occt
