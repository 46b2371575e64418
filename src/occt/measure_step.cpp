#include "occt/measure_step.h"

#include <BRepCheck_Analyzer.hxx>
#include <BRepGProp.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPControl_Reader.hxx>
#include <Standard_Failure.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Shape.hxx>
#include <XSControl_TransferReader.hxx>
#include <XSControl_WorkSession.hxx>
#include <sstream>

namespace roomloom {
namespace {

constexpr double kCubicMetresACubicMillimetre = 1e-9;

std::string solid_name(const STEPControl_Reader& reader, const TopoDS_Shape& solid) {
  const TopoDS_Shape unplaced = solid.Located(TopLoc_Location());
  const auto item = Handle(StepRepr_RepresentationItem)::DownCast(
      reader.WS()->TransferReader()->EntityFromShapeResult(unplaced, 1));
  return item.IsNull() || item->Name().IsNull() ? std::string{} : item->Name()->ToCString();
}

bool all_shells_closed(const TopoDS_Shape& solid) {
  for (TopExp_Explorer at(solid, TopAbs_SHELL); at.More(); at.Next())
    if (!BRep_Tool::IsClosed(at.Current())) return false;
  return true;
}

StepSolid measured(const STEPControl_Reader& reader, const TopoDS_Shape& solid) {
  GProp_GProps properties;
  BRepGProp::VolumeProperties(solid, properties);
  return {solid_name(reader, solid), BRepCheck_Analyzer(solid).IsValid() == Standard_True,
          all_shells_closed(solid), properties.Mass() * kCubicMetresACubicMillimetre};
}

}  // namespace

Result<std::vector<StepSolid>> measure_step_solids(const std::string& text) {
  const Error failed{"model.syntax", "OpenCASCADE cannot read the STEP file.", "", ""};
  try {
    Message::DefaultMessenger()->ChangePrinters().Clear();
    STEPControl_Reader reader;
    Interface_Static::SetCVal("xstep.cascade.unit", "MM");
    std::istringstream stream(text);
    if (reader.ReadStream("model.step", stream) != IFSelect_RetDone) return failed;
    if (reader.TransferRoots() == 0) return failed;
    std::vector<StepSolid> solids;
    const TopoDS_Shape all = reader.OneShape();
    for (TopExp_Explorer at(all, TopAbs_SOLID); at.More(); at.Next())
      solids.push_back(measured(reader, at.Current()));
    return solids;
  } catch (const Standard_Failure& failure) {
    return Error{failed.code, failed.what + " " + failure.GetMessageString(), "", ""};
  }
}

}  // namespace roomloom
