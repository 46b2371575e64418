#include "write/step_reading.h"

#include <BRepBndLib.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepGProp.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Controller.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <TColStd_HSequenceOfExtendedString.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_LayerTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>

namespace roomloom::step_reading {
namespace {

/// OpenCASCADE works in millimetres.
constexpr double kUnit_m = 0.001;

std::string name_of(const TDF_Label& label) {
  Handle(TDataStd_Name) name;
  if (!label.FindAttribute(TDataStd_Name::GetID(), name)) return "";
  const TCollection_ExtendedString& text = name->Get();
  std::string utf8(static_cast<std::size_t>(text.LengthOfCString()) + 1, '\0');
  Standard_PCharacter target = utf8.data();
  text.ToUTF8CString(target);
  utf8.resize(utf8.size() - 1);
  return utf8;
}

int count(const TopoDS_Shape& shape, TopAbs_ShapeEnum kind) {
  TopTools_IndexedMapOfShape all;
  TopExp::MapShapes(shape, kind, all);
  return all.Extent();
}

double edge_length_m(const TopoDS_Shape& shape) {
  TopTools_IndexedMapOfShape edges;
  TopExp::MapShapes(shape, TopAbs_EDGE, edges);
  double sum = 0;
  for (int i = 1; i <= edges.Extent(); ++i) {
    GProp_GProps properties;
    BRepGProp::LinearProperties(edges(i), properties);
    sum += properties.Mass();
  }
  return sum * kUnit_m;
}

double volume_m3(const TopoDS_Shape& shape) {
  GProp_GProps properties;
  BRepGProp::VolumeProperties(shape, properties);
  return properties.Mass() * kUnit_m * kUnit_m * kUnit_m;
}

class Collector {
 public:
  explicit Collector(const Handle(TDocStd_Document) & document)
      : shapes_(XCAFDoc_DocumentTool::ShapeTool(document->Main())),
        colours_(XCAFDoc_DocumentTool::ColorTool(document->Main())),
        layers_(XCAFDoc_DocumentTool::LayerTool(document->Main())) {}

  std::vector<ReadPart> all() {
    TDF_LabelSequence roots;
    shapes_->GetFreeShapes(roots);
    for (int i = 1; i <= roots.Length(); ++i) visit(roots(i), {}, "");
    return std::move(parts_);
  }

 private:
  void visit(const TDF_Label& label, const TopLoc_Location& place, const std::string& path) {
    TDF_Label part = label;
    if (XCAFDoc_ShapeTool::IsReference(label)) XCAFDoc_ShapeTool::GetReferredShape(label, part);
    const TopLoc_Location at = place * XCAFDoc_ShapeTool::GetLocation(label);
    const std::string name = name_of(part);
    if (XCAFDoc_ShapeTool::IsAssembly(part)) {
      TDF_LabelSequence components;
      XCAFDoc_ShapeTool::GetComponents(part, components);
      for (int i = 1; i <= components.Length(); ++i)
        visit(components(i), at, path.empty() ? name : path + "/" + name);
      return;
    }
    add(part, XCAFDoc_ShapeTool::GetShape(part).Moved(at), name, path);
  }

  void add(const TDF_Label& label, const TopoDS_Shape& shape, const std::string& name,
           const std::string& path) {
    ReadPart part;
    part.name = name;
    part.path = path;
    part.solids = count(shape, TopAbs_SOLID);
    part.faces = count(shape, TopAbs_FACE);
    part.edges = count(shape, TopAbs_EDGE);
    part.valid = BRepCheck_Analyzer(shape).IsValid();
    if (part.solids > 0) part.volume_m3 = volume_m3(shape);
    part.edge_length_m = edge_length_m(shape);
    part.colour = colour(label);
    Bnd_Box box;
    BRepBndLib::Add(shape, box);
    if (!box.IsVoid()) {
      const gp_Pnt low = box.CornerMin();
      const gp_Pnt high = box.CornerMax();
      part.box.add(kUnit_m * Vec3{low.X(), low.Y(), low.Z()});
      part.box.add(kUnit_m * Vec3{high.X(), high.Y(), high.Z()});
    }
    Handle(TColStd_HSequenceOfExtendedString) layers;
    if (layers_->GetLayers(label, layers))
      for (int i = 1; i <= layers->Length(); ++i)
        part.layers.push_back(TCollection_AsciiString(layers->Value(i)).ToCString());
    parts_.push_back(part);
  }

  /// Of the part itself or the first of its sub-shapes that has one.
  std::optional<Colour> colour(const TDF_Label& label) const {
    TDF_LabelSequence places;
    XCAFDoc_ShapeTool::GetSubShapes(label, places);
    places.Prepend(label);
    for (int i = 1; i <= places.Length(); ++i) {
      for (const auto kind : {XCAFDoc_ColorSurf, XCAFDoc_ColorCurv, XCAFDoc_ColorGen}) {
        Quantity_Color found;
        if (colours_->GetColor(places(i), kind, found))
          return Colour{static_cast<float>(found.Red()), static_cast<float>(found.Green()),
                        static_cast<float>(found.Blue()), 1};
      }
    }
    return std::nullopt;
  }

  Handle(XCAFDoc_ShapeTool) shapes_;
  Handle(XCAFDoc_ColorTool) colours_;
  Handle(XCAFDoc_LayerTool) layers_;
  std::vector<ReadPart> parts_;
};

}  // namespace

std::vector<ReadPart> read_parts(const std::string& file) {
  STEPCAFControl_Controller::Init();
  Message::DefaultMessenger()->ChangePrinters().Clear();
  Interface_Static::SetCVal("xstep.cascade.unit", "MM");
  Handle(TDocStd_Document) document;
  XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document);
  STEPCAFControl_Reader reader;
  reader.SetColorMode(true);
  reader.SetNameMode(true);
  reader.SetLayerMode(true);
  if (reader.ReadFile(file.c_str()) != IFSelect_RetDone || !reader.Transfer(document)) return {};
  return Collector(document).all();
}

const ReadPart* find(const std::vector<ReadPart>& parts, const std::string& name) {
  for (const ReadPart& part : parts)
    if (part.name == name) return &part;
  return nullptr;
}

}  // namespace roomloom::step_reading
