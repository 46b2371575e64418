#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "types/annotation.h"
#include "types/scene.h"

namespace roomloom {

/// A planar face of the room that the STEP file shows where the model itself is a mesh.
struct SheetPlane {
  std::string name;
  std::vector<Vec3> outline;             ///< room frame, metres; closed implicitly
  std::vector<std::vector<Vec3>> holes;  ///< inside the outline, apart from each other
  Colour colour;
};

/// What to write, and where.
struct WriteRequest {
  const Scene& scene;              ///< as read from `original`
  const Annotation& annotation;    ///< ours
  std::filesystem::path original;  ///< the user's model; read again, never written
  std::filesystem::path folder;    ///< must exist
  std::vector<SheetPlane> sheets;  ///< drawn in routed.step when the original is a mesh
  std::string generator = "Roomloom";
  /// Where the folder's files will be in the end, when that is another place; else empty.
  std::filesystem::path destination = {};
};

/// Where a written file's numbers lie.
struct WrittenFrame {
  Transform from_room;  ///< room frame, metres -> the file's own coordinates
  double unit_m = 1;    ///< metres a unit of the file
  char up = 'z';        ///< the file's up axis, 'y' or 'z'
};

struct WrittenFile {
  std::string name;    ///< inside WriteRequest::folder
  std::string sha256;  ///< of its bytes
  std::size_t bytes = 0;
  WrittenFrame frame;              ///< material libraries: meaningless
  std::vector<std::string> notes;  ///< one sentence each: what was converted, embedded or left out
};

/// Writes the annotated model and the additions alone, each file whole or not at all:
/// `routed.glb`, `routed.step`, `routed.obj` with `routed.mtl`, `runs.glb`, `runs.step`, in this
/// order, then copies of the material libraries that an OBJ original names.
///
/// In the original's own format the routed file is the original's bytes plus ours, in its own
/// coordinates, and so is the runs file. In another format the routed file is a conversion of the
/// scene, and both keep the original's origin and follow that format's custom: glTF metres and
/// Y up, OBJ likewise, STEP millimetres and Z up. A mesh becomes no STEP faces; `sheets` do.
///
/// Ours hang under one root `Roomloom`, in the groups `Runs`, `Raceway`, `Crossings`, `Supports`
/// and `Labels` (a group without items is left out). Runs are tubes in true diameter, with a
/// centreline named "<run> centreline": in STEP lines and arcs, elsewhere a polyline that is at
/// most 0.05 mm too short. Where a bend is tighter than the tube's own radius, the tube is drawn in
/// separate pieces, and a note says so. OBJ names are `obj_name`d; one that the original already
/// has gets a number. `sheets` hang under a root `Room`.
///
/// Nothing is written unless everything could be built. Same input, same bytes; the date in the
/// header of files of our own is SOURCE_DATE_EPOCH, or 1970 where that is not set.
///
/// @error `write.over-original` a file to write is the original or one it refers to ·
///        `write.original-changed` its bytes are not those the scene was read from ·
///        `write.bad-item` an item with a shape, number or name that cannot be drawn ·
///        `write.bad-frame` the scene's Source::to_room is no rotation and scale ·
///        `write.original-syntax` our additions found no place in the original ·
///        `file.…` as in base/files.h.
Result<std::vector<WrittenFile>> write_models(const WriteRequest& request);

/// The name an item has in OBJ files, whose names end at white space for many readers:
/// "Run S1" becomes "Run_S1".
std::string obj_name(const std::string& name);

}  // namespace roomloom
