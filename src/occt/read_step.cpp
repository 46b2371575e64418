#include "occt/read_step.h"

#include <Interface_CheckIterator.hxx>
#include <Interface_InterfaceModel.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPCAFControl_Controller.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <STEPControl_Reader.hxx>
#include <Standard_Failure.hxx>
#include <Standard_OutOfMemory.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TDocStd_Document.hxx>
#include <XCAFApp_Application.hxx>
#include <XSControl_WorkSession.hxx>
#include <algorithm>
#include <sstream>

#include "occt/read_step_tree.h"

namespace roomloom {
namespace {

/// Metres a unit, by the names OpenCASCADE gives to the units of a file ("millimetre", "INCH", …).
std::optional<double> metres_of(std::string name) {
  std::transform(name.begin(), name.end(), name.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  static const std::vector<std::pair<std::string_view, double>> kUnits = {
      {"millimet", 0.001}, {"centimet", 0.01}, {"decimet", 0.1},
      {"kilomet", 1000},   {"micromet", 1e-6}, {"micro inch", 2.54e-8},
      {"mil", 2.54e-5},    {"mm", 0.001},      {"cm", 0.01},
      {"inch", 0.0254},    {"in", 0.0254},     {"feet", 0.3048},
      {"foot", 0.3048},    {"ft", 0.3048},     {"yard", 0.9144},
      {"mile", 1609.344},  {"met", 1},         {"m", 1}};
  for (const auto& [start, metres] : kUnits)
    if (name.starts_with(start)) return metres;
  return std::nullopt;
}

void read_unit(const STEPControl_Reader& step, Scene& scene, const std::string& file) {
  TColStd_SequenceOfAsciiString lengths, angles, solid_angles;
  const_cast<STEPControl_Reader&>(step).FileUnits(lengths, angles, solid_angles);
  std::string all;
  std::optional<double> first;
  bool several = false;
  for (int i = 1; i <= lengths.Length(); ++i) {
    const auto metres = metres_of(lengths.Value(i).ToCString());
    all += (i > 1 ? ", " : "") + std::string(lengths.Value(i).ToCString());
    if (!first) first = metres;
    several = several || (first && metres && *metres != *first);
  }
  scene.source.unit_m = first.value_or(0.001);
  if (!first)
    scene.notes.push_back({"reader.unit-unknown",
                           "The file's length unit" + (all.empty() ? "" : " (" + all + ")") +
                               " is not known; millimetres are taken. Set model.unit to overrule.",
                           file});
  if (several)
    scene.notes.push_back(
        {"reader.several-units",
         "The file uses several length units (" + all + "); each part was read in its own.", file});
}

std::uint32_t tessellated_faces(const Part21Facts& facts) {
  return facts.count({"TRIANGULATED_FACE", "COMPLEX_TRIANGULATED_FACE", "TRIANGULATED_SURFACE_SET",
                      "COMPLEX_TRIANGULATED_SURFACE_SET", "CUBIC_BEZIER_TRIANGULATED_FACE"});
}

/// Tells what the file declares and the library did not bring through.
void note_losses(const Part21Facts& facts, int faces_seen, Scene& scene, const std::string& file) {
  const std::uint32_t declared = facts.count({"ADVANCED_FACE", "FACE_SURFACE"});
  if (std::cmp_less(faces_seen, declared))
    scene.notes.push_back({"reader.lost-faces",
                           std::to_string(declared) + " faces are declared in the file, " +
                               std::to_string(faces_seen) + " came through.",
                           file});
  const std::uint32_t tessellated = tessellated_faces(facts);
  if (tessellated > 0)
    scene.notes.push_back({"reader.lost-tessellation",
                           std::to_string(tessellated) +
                               " tessellated faces (AP242) are not read. Export exact geometry, or "
                               "OBJ or GLB.",
                           file});
  if (facts.count({"DOCUMENT_FILE"}) > 0)
    scene.notes.push_back({"reader.external-parts",
                           "The file refers to parts in other files, which are not read.", file});
}

void note_check_fails(const Interface_CheckIterator& checks, Scene& scene,
                      const std::string& file) {
  int fails = 0;
  std::string first;
  Interface_CheckIterator at = checks;
  for (at.Start(); at.More(); at.Next()) {
    if (!at.Value()->HasFailed()) continue;
    if (fails++ == 0 && at.Number() > 0)
      first = ", the first in entity " + std::to_string(at.Number());
  }
  if (fails > 0)
    scene.notes.push_back({"reader.step-faults",
                           std::to_string(fails) + " entities break the schema's rules" + first +
                               "; their parts may be missing or wrong.",
                           file});
}

Error no_shapes(const std::string& file, const Part21Facts& facts) {
  const std::uint32_t tessellated = tessellated_faces(facts);
  if (tessellated > 0)
    return {"model.unsupported",
            "The STEP file holds " + std::to_string(tessellated) +
                " tessellated faces (AP242) and no exact shape; such faces are not read.",
            file, "Export exact geometry, or the triangles as OBJ or GLB."};
  return {"model.empty", "No shape could be read from the STEP file.", file,
          "Open it in a CAD program, check that it shows something, and export it again."};
}

Result<Scene> read_checked(const std::string& text, const std::string& file,
                           const Part21Facts& facts, double chord_error_m) {
  Message::DefaultMessenger()->ChangePrinters().Clear();  // the library talks to the terminal
  STEPCAFControl_Controller::Init();
  Interface_Static::SetCVal("xstep.cascade.unit", "MM");
  Interface_Static::SetIVal("read.surfacecurve.mode", 0);
  STEPCAFControl_Reader reader;
  reader.SetColorMode(true);
  reader.SetNameMode(true);
  reader.SetLayerMode(true);
  std::istringstream stream(text);
  if (reader.ChangeReader().ReadStream("model.step", stream) != IFSelect_RetDone)
    return Error{"model.syntax", "OpenCASCADE cannot read the STEP file.", file,
                 "Export the model again, or load and save it with a CAD program."};
  Scene scene;
  scene.source.format = ModelFormat::step;
  scene.source.schema = facts.schema;
  scene.source.chord_error_m = chord_error_m;
  note_check_fails(reader.Reader().WS()->ModelCheckList(), scene, file);
  read_unit(reader.Reader(), scene, file);

  Handle(TDocStd_Document) document;
  const Handle(XCAFApp_Application) application = XCAFApp_Application::GetApplication();
  application->NewDocument("MDTV-XCAF", document);
  if (!reader.Transfer(document)) return no_shapes(file, facts);
  const occt::TreeOutcome tree = occt::read_tree(reader, document, chord_error_m, scene);
  application->Close(document);
  if (tree.too_deep)
    return Error{"model.too-large", "Assemblies are nested more than 200 deep.", file,
                 "Export the room without its containing assemblies."};
  if (scene.parts.empty()) return no_shapes(file, facts);
  note_losses(facts, tree.faces_seen, scene, file);
  return scene;
}

}  // namespace

Result<Scene> read_step(const std::string& text, const std::string& file, const Part21Facts& facts,
                        double chord_error_m) {
  const Error out_of_memory{"model.too-large", "Reading the model needs more memory than allowed.",
                            file, "Give a simpler model or raise the memory limit."};
  try {
    return read_checked(text, file, facts, chord_error_m);
  } catch (const Standard_OutOfMemory&) {
    return out_of_memory;
  } catch (const Standard_Failure& failure) {
    const char* reason = failure.GetMessageString();
    return Error{"model.syntax",
                 "OpenCASCADE gave up on the STEP file" +
                     (reason != nullptr && *reason ? " (" + std::string(reason) + ")" : "") + ".",
                 file, "Export the model again, or load and save it with a CAD program."};
  } catch (const std::bad_alloc&) {
    return out_of_memory;
  } catch (const std::exception& failure) {
    return Error{"model.syntax",
                 "OpenCASCADE gave up on the STEP file (" + std::string(failure.what()) + ").",
                 file, "Export the model again, or load and save it with a CAD program."};
  }
}

}  // namespace roomloom
