#include "exchange/write.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "base/files.h"
#include "base/sha256.h"
#include "base/units.h"
#include "exchange/write_frame.h"
#include "exchange/write_gltf.h"
#include "exchange/write_mesh.h"
#include "exchange/write_obj.h"
#include "exchange/write_step.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

/// A file that is ready to be written.
struct Prepared {
  WrittenFile file;
  std::string content;
};

/// All that the single files are made from.
struct Work {
  const WriteRequest& request;
  std::string original;             ///< its bytes
  FileFrame own;                    ///< of the original
  std::vector<DrawnItem> drawings;  ///< one an item
  std::vector<Prepared> files;

  const Scene& scene() const { return request.scene; }
  const fs::path& destination() const {
    return request.destination.empty() ? request.folder : request.destination;
  }
  const Annotation& annotation() const { return request.annotation; }
  bool is_gltf() const {
    const ModelFormat format = scene().source.format;
    return format == ModelFormat::glb || format == ModelFormat::gltf;
  }
  bool is(ModelFormat format) const {
    return format == ModelFormat::glb ? is_gltf() : scene().source.format == format;
  }
  FileFrame frame(ModelFormat format) const {
    return is(format) ? own : customary_frame(scene().source, format);
  }
  void prepare(const std::string& name, const FileFrame& frame, std::string content,
               std::vector<std::string> notes) {
    Prepared prepared{{name, "", content.size(), frame.written, std::move(notes)}, ""};
    prepared.content = std::move(content);
    files.push_back(std::move(prepared));
  }
};

bool is_unit(const Vec3& v) { return std::abs(norm(v) - 1) < 1e-6; }

std::string fault(const Tube& tube) {
  if (!(tube.diameter_m > 0) || !std::isfinite(tube.diameter_m)) return "has no diameter";
  if (tube.pieces.empty()) return "has no pieces";
  for (const Piece& piece : tube.pieces) {
    if (const auto* line = std::get_if<Line3>(&piece)) {
      if (!is_finite(line->from) || !is_finite(line->to)) return "has a point that is no number";
      continue;
    }
    const Arc& arc = std::get<Arc>(piece);
    if (!is_finite(arc.from) || !is_finite(arc.to) || !is_finite(arc.centre) ||
        !std::isfinite(arc.angle_rad) || !is_unit(arc.axis))
      return "has an arc that is no arc";
    const double off = std::max(std::abs(distance(arc.from, arc.centre) - arc.radius_m),
                                std::abs(distance(arc.to, arc.centre) - arc.radius_m));
    if (off > 1e-6) return "has an arc whose ends do not lie on it";
  }
  const bool all_nothing = std::all_of(tube.pieces.begin(), tube.pieces.end(), [](const Piece& p) {
    return std::visit([](const auto& piece) { return distance(piece.from, piece.to) < 1e-9; }, p);
  });
  return all_nothing ? "has no length" : "";
}

std::string fault(const Bar& bar) {
  if (!is_finite(bar.from) || !is_finite(bar.to) || distance(bar.from, bar.to) < 1e-9)
    return "has no length";
  if (!(bar.width_m > 0) || !(bar.depth_m > 0)) return "has no width or depth";
  const Vec3 along = normalized(bar.to - bar.from);
  if (!is_unit(bar.width_axis) || std::abs(dot(along, bar.width_axis)) > 1e-6)
    return "has a width axis that is not square to it";
  return "";
}

std::string fault(const RingShape& ring) {
  if (!is_finite(ring.centre) || !is_unit(ring.normal)) return "has no centre or normal";
  if (!(ring.inner_m > 0) || !(ring.outer_m > ring.inner_m) || !(ring.thickness_m > 0))
    return "is no ring";
  return "";
}

std::string fault(const Tag& tag) {
  if (!is_finite(tag.origin) || !is_unit(tag.right) || !is_unit(tag.up) ||
      std::abs(dot(tag.right, tag.up)) > 1e-6)
    return "has no place to stand";
  return tag.height_m > 0 ? "" : "has no height";
}

Status check_items(const Annotation& annotation) {
  std::set<std::pair<AnnotationGroup, std::string>> names;
  for (const AnnotationItem& item : annotation.items) {
    std::string what = std::visit([](const auto& shape) { return fault(shape); }, item.shape);
    for (const auto& [key, value] : item.numbers)
      if (!std::isfinite(value)) what = "has a number \"" + key + "\" that is not finite";
    if (item.name.empty() || !names.insert({item.group, item.name}).second)
      what = "has no name of its own in its group";
    if (!what.empty())
      return Error{"write.bad-item", "It cannot be drawn: it " + what + ".",
                   std::string(to_string(item.group)) + "/" + item.name,
                   "This is a fault of the program; please report it."};
  }
  return Done{};
}

bool same_file(const fs::path& a, const fs::path& b) {
  std::error_code failed;
  if (fs::equivalent(a, b, failed) && !failed) return true;
  const fs::path whole_a = fs::weakly_canonical(a, failed);
  if (failed) return a.lexically_normal() == b.lexically_normal();
  const fs::path whole_b = fs::weakly_canonical(b, failed);
  return !failed && whole_a == whole_b;
}

/// The original and what it refers to.
std::vector<fs::path> protected_files(const Work& work) {
  std::vector<fs::path> files = {work.request.original};
  const auto names = work.is_gltf()              ? gltf_references(work.original)
                     : work.is(ModelFormat::obj) ? obj_libraries(work.original)
                                                 : std::vector<std::string>{};
  for (const std::string& name : names) files.push_back(work.request.original.parent_path() / name);
  return files;
}

Status check_targets(const Work& work, const std::vector<fs::path>& keep) {
  for (const Prepared& prepared : work.files)
    for (const fs::path& file : keep)
      if (const fs::path target = work.destination() / prepared.file.name; same_file(target, file))
        return Error{"write.over-original", "It would be written over the model itself.",
                     target.string(),
                     "Choose another folder for the results, or rename the model."};
  return Done{};
}

/// A result that is routed again keeps the runs it already has.
void note_earlier_runs(const Scene& scene, std::vector<std::string>& notes) {
  const bool routed = std::any_of(scene.groups.begin(), scene.groups.end(),
                                  [](const Group& group) { return group.name == "Roomloom"; });
  if (routed)
    notes.push_back("The model already holds a group Roomloom, which was kept beside the new one.");
}

std::string conversion_note(const Work& work) {
  const double chord = work.scene().source.chord_error_m;
  if (chord <= 0) return "Converted from the model's meshes; metres, Y up.";
  return "Converted from the model's surfaces; curved ones are within " +
         format_number(1000 * chord, 2) + " mm; metres, Y up.";
}

Status prepare_glb(Work& work) {
  const FileFrame frame = work.frame(ModelFormat::glb);
  const auto& request = work.request;
  if (!work.is_gltf()) {
    GlbFile made =
        glb_of_our_own(frame, work.annotation(), work.drawings, &work.scene(), request.generator);
    made.notes.push_back(conversion_note(work));
    work.prepare("routed.glb", frame, std::move(made.bytes), std::move(made.notes));
    return Done{};
  }
  auto made =
      append_to_gltf(work.original, request.original, frame, work.annotation(), work.drawings);
  if (!made) return made.error();
  note_earlier_runs(work.scene(), made->notes);
  if (work.scene().source.format == ModelFormat::gltf)
    made->notes.push_back("The glTF file and what it refers to were put into one GLB container.");
  work.prepare("routed.glb", frame, std::move(made->bytes), std::move(made->notes));
  return Done{};
}

Status prepare_step(Work& work) {
  const FileFrame frame = work.frame(ModelFormat::step);
  const auto& request = work.request;
  if (work.is(ModelFormat::step)) {
    auto made = append_to_step(work.original, request.original.string(), frame, work.annotation());
    if (!made) return made.error();
    note_earlier_runs(work.scene(), made->notes);
    work.prepare("routed.step", frame, std::move(made->text), std::move(made->notes));
    return Done{};
  }
  StepFile made =
      step_of_our_own(frame, work.annotation(), request.sheets, "routed.step", request.generator);
  made.notes.push_back("The model is a mesh: of it this file holds " +
                       std::to_string(request.sheets.size()) +
                       " plane(s) only; millimetres, Z up.");
  work.prepare("routed.step", frame, std::move(made.text), std::move(made.notes));
  return Done{};
}

/// The libraries that an OBJ original names, so that its colours are found beside the new file.
void prepare_libraries(Work& work, std::vector<std::string>& notes) {
  const fs::path from = work.request.original.parent_path();
  for (const std::string& name : obj_libraries(work.original)) {
    const fs::path relative = fs::path(name).lexically_normal();
    const fs::path target = work.destination() / relative;
    if (same_file(from / relative, target)) continue;
    const bool plain = !relative.has_parent_path() && !relative.empty();
    const auto content = plain ? read_file(from / relative) : Result<std::string>(Error{});
    const auto present = plain ? read_file(target) : Result<std::string>(Error{});
    if (!content)
      notes.push_back("The material library \"" + name + "\" was not found beside the model.");
    else if (present && *present != *content)
      notes.push_back("The material library \"" + name +
                      "\" was not copied: another file of that name lies in the folder.");
    else
      work.prepare(name, work.own, *content, {"A copy of the model's own material library."});
  }
}

void prepare_obj(Work& work) {
  const FileFrame frame = work.frame(ModelFormat::obj);
  const std::string library = "routed.mtl";
  std::vector<std::string> notes;
  ObjFile made;
  if (work.is(ModelFormat::obj)) {
    made = append_to_obj(work.original, frame, work.annotation(), work.drawings, library);
  } else {
    made = obj_of_our_own(frame, work.annotation(), work.drawings, work.scene(), library,
                          work.request.generator);
    notes.push_back(conversion_note(work));
  }
  work.prepare("routed.obj", frame, std::move(made.text), std::move(notes));
  work.prepare(library, frame, std::move(made.materials), {});
}

void prepare_runs(Work& work) {
  const FileFrame glb_frame = work.frame(ModelFormat::glb);
  GlbFile glb =
      glb_of_our_own(glb_frame, work.annotation(), work.drawings, nullptr, work.request.generator);
  work.prepare("runs.glb", glb_frame, std::move(glb.bytes), std::move(glb.notes));
  const FileFrame step_frame = work.frame(ModelFormat::step);
  StepFile step =
      step_of_our_own(step_frame, work.annotation(), {}, "runs.step", work.request.generator);
  work.prepare("runs.step", step_frame, std::move(step.text), std::move(step.notes));
}

Status prepare_all(Work& work) {
  if (const Status glb = prepare_glb(work); !glb) return glb;
  if (const Status step = prepare_step(work); !step) return step;
  prepare_obj(work);
  const std::size_t obj = work.files.size() - 2;
  prepare_runs(work);
  const std::vector<fs::path> keep = protected_files(work);
  if (const Status free = check_targets(work, keep); !free) return free;
  if (work.is(ModelFormat::obj)) {
    std::vector<std::string> notes;
    prepare_libraries(work, notes);
    auto& to = work.files[obj].file.notes;
    to.insert(to.end(), notes.begin(), notes.end());
  }
  return Done{};
}

}  // namespace

Result<std::vector<WrittenFile>> write_models(const WriteRequest& request) {
  if (const Status good = check_items(request.annotation); !good) return good.error();
  auto original = read_file(request.original);
  if (!original) return original.error();
  if (sha256(*original) != request.scene.source.sha256)
    return Error{"write.original-changed", "It is not the file that was read before.",
                 request.original.string(), "Run the command again."};
  const auto own = own_frame(request.scene.source);
  if (!own) return own.error();
  Work work{request, std::move(*original), *own, {}, {}};
  for (const AnnotationItem& item : request.annotation.items)
    work.drawings.push_back(drawn(item.shape));
  if (const Status prepared = prepare_all(work); !prepared) return prepared.error();
  std::vector<WrittenFile> written;
  for (Prepared& prepared : work.files) {
    const Status done = write_file(request.folder / prepared.file.name, prepared.content);
    if (!done) return done.error();
    prepared.file.sha256 = sha256(prepared.content);
    written.push_back(std::move(prepared.file));
  }
  return written;
}

}  // namespace roomloom
