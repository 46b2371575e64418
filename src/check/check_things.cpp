#include <algorithm>
#include <set>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kPlace = 0.0005;   // metres: meshes hold 32-bit numbers
constexpr double kSolid = 0.001;    // a mesh of a round thing lies within its solid
constexpr double kNumber = 0.0001;  // of a length among the extras

void differs(const std::string& name, const std::string& text, Findings& findings) {
  findings.items.push_back({"thing-differs", Level::must, text, name, std::nullopt,
                            "Route again, or restore the file.", "geometry"});
}

Box3 box_of(const WrittenThing& thing) {
  Box3 box;
  for (const Vec3& p : thing.points) box.add(p);
  for (const auto& line : thing.lines) {
    for (const Vec3& p : line) box.add(p);
  }
  return box;
}

bool is_shape(const WrittenThing& thing) { return !thing.points.empty() || !thing.lines.empty(); }

bool is_centreline(const WrittenThing& thing) {
  return thing.name.find("centreline") != std::string::npos;
}

// The farthest that a side of one box lies off the other's.
double between(const Box3& a, const Box3& b) {
  double most = 0;
  for (int axis = 0; axis < 3; ++axis) {
    most = std::max(
        {most, std::abs(a.low[axis] - b.low[axis]), std::abs(a.high[axis] - b.high[axis])});
  }
  return most;
}

void compare_meshes(const WrittenThing& thing, const WrittenThing& other, const std::string& file,
                    Findings& findings) {
  const bool like = thing.points.size() == other.points.size() || file == "routed.obj";
  if (like && thing.triangles.size() == other.triangles.size() &&
      between(box_of(thing), box_of(other)) <= kPlace) {
    return;
  }
  differs(
      thing.name,
      "\"" + thing.name + "\" has another place, size or shape in " + file + " than in routed.glb.",
      findings);
}

// Solids have few vertices: they must lie within the mesh, and about its middle.
void compare_solid(const WrittenThing& thing, const WrittenThing& solid, const std::string& file,
                   Findings& findings) {
  const Box3 mesh = box_of(thing);
  const Box3 box = box_of(solid);
  const bool within = is_shape(solid) && mesh.grown(kSolid).contains(box.low) &&
                      mesh.grown(kSolid).contains(box.high);
  const bool run = !thing.path.empty() && thing.path.front() == "Runs";
  if (within && (run || distance(box.centre(), mesh.centre()) <= kSolid)) return;
  differs(thing.name,
          "\"" + thing.name + "\" has another place or size in " + file + " than in routed.glb.",
          findings);
}

void compare_models(const WrittenModel& model, const WrittenModel& other, bool solids,
                    Findings& findings) {
  for (const WrittenThing& thing : model.things) {
    if (!is_shape(thing)) continue;
    const WrittenThing* found = find_thing(other, thing.name);
    if (found == nullptr || (!solids && !is_shape(*found))) {
      differs(thing.name, "\"" + thing.name + "\" is missing from " + other.file + ".", findings);
      continue;
    }
    // A centreline hangs under its tube in glTF and beside it elsewhere.
    if (!is_centreline(thing) &&
        thing.path.front() != (found->path.empty() ? "" : found->path.front())) {
      differs(thing.name, "\"" + thing.name + "\" lies in another group in " + other.file + ".",
              findings);
    }
    if (is_centreline(thing)) continue;  // judged by check_lengths
    if (solids) {
      compare_solid(thing, *found, other.file, findings);
    } else {
      compare_meshes(thing, *found, other.file, findings);
    }
  }
}

// What the other model holds besides, or twice.
void find_strangers(const WrittenModel& model, const WrittenModel& other, Findings& findings) {
  std::set<std::string> seen;
  for (const WrittenThing& thing : other.things) {
    if (find_thing(model, thing.name) == nullptr) {
      differs(thing.name, other.file + " holds \"" + thing.name + "\", which routed.glb does not.",
              findings);
    }
    if (!seen.insert(thing.name).second) {
      differs(thing.name, other.file + " holds \"" + thing.name + "\" more than once.", findings);
    }
  }
}

// Round surfaces of a tube must have its cable's radius.
void check_solid_tube(const DrawnRun& run, const WrittenModel& model, Findings& findings) {
  const WrittenThing* solid = find_thing(model, "Run " + run.id);
  if (solid == nullptr) return;  // told already
  const double wanted = 0.5 * run.cable->diameter_m;
  const bool right =
      !solid->tube_radii_m.empty() &&
      std::all_of(solid->tube_radii_m.begin(), solid->tube_radii_m.end(),
                  [&](double radius) { return std::abs(radius - wanted) <= 0.01 * wanted; });
  if (right) return;
  findings.items.push_back(
      {"tube-thickness", Level::must,
       "Run " + run.id + " is not drawn " + length_text(2 * wanted, run.units) + " thick in " +
           model.file + ".",
       run.id, run.line.front(), "Route again, or restore the file.", "geometry"});
}

// A ring's solid has two cylinders: the hole's, and its own outside.
void check_solid_ring(const ListedHole& hole, const WrittenModel& model, DisplayUnits units,
                      Findings& findings) {
  const WrittenThing* solid = find_thing(model, "Hole " + hole.name);
  if (solid == nullptr) return;  // told already
  const auto least = std::min_element(solid->tube_radii_m.begin(), solid->tube_radii_m.end());
  const bool right =
      least != solid->tube_radii_m.end() && std::abs(2 * *least - hole.diameter_m) <= kPlace;
  if (right) return;
  findings.items.push_back(
      {"hole-ring", Level::must,
       "The ring of hole " + hole.name + " is not " + length_text(hole.diameter_m, units) +
           " wide inside in " + model.file + ".",
       hole.name, hole.centre, "Route again, or restore the file.", "geometry"});
}

std::string key_of(std::string addend) {
  std::replace_if(
      addend.begin(), addend.end(), [](char c) { return c == ' ' || c == '-'; }, '_');
  return addend + "_m";
}

bool has_text(const WrittenThing& thing, const std::string& key, const std::string& wanted) {
  const auto found = thing.texts.find(key);
  return found != thing.texts.end() && found->second == wanted;
}

bool has_number(const WrittenThing& thing, const std::string& key, double wanted) {
  const auto found = thing.numbers.find(key);
  return found != thing.numbers.end() && std::abs(found->second - wanted) <= kNumber;
}

void check_run_extras(const DrawnRun& run, const WrittenModel& model, Findings& findings) {
  const WrittenThing* thing = find_thing(model, "Run " + run.id);
  if (thing == nullptr) return;  // told already
  const ListedRun& listed = *run.listed;
  bool right = has_text(*thing, "run", run.id) && has_text(*thing, "from", listed.from) &&
               has_text(*thing, "to", listed.to) && has_text(*thing, "cable", listed.cable) &&
               has_number(*thing, "drawn_m", listed.drawn_m) &&
               has_number(*thing, "cut_m", listed.cut_m) &&
               has_number(*thing, "bends", listed.bends) &&
               has_number(*thing, "tight_bends", listed.tight_bends) &&
               has_number(*thing, "diameter_m", run.cable->diameter_m);
  for (const auto& [name, metres] : listed.addends_m) {
    right = right && has_number(*thing, key_of(name), metres);
  }
  if (right) return;
  differs(
      run.id,
      "The properties of \"Run " + run.id + "\" in " + model.file + " are not what plan.json says.",
      findings);
}

void check_hole_extras(const ListedHole& hole, const WrittenModel& model, Findings& findings) {
  const WrittenThing* thing = find_thing(model, "Hole " + hole.name);
  if (thing == nullptr) return;  // told by check_holes
  if (has_text(*thing, "crossing", hole.crossing) && has_text(*thing, "kind", hole.kind) &&
      has_number(*thing, "diameter_m", hole.diameter_m) &&
      has_number(*thing, "bundle_m", hole.bundle_m)) {
    return;
  }
  differs(hole.name,
          "The properties of \"Hole " + hole.name + "\" in " + model.file +
              " are not what plan.json says.",
          findings);
}

std::size_t things_in(const WrittenModel& model, const std::string& group) {
  return static_cast<std::size_t>(
      std::count_if(model.things.begin(), model.things.end(), [&](const WrittenThing& thing) {
        return is_shape(thing) && thing.path.size() == 1 && thing.path.front() == group;
      }));
}

void check_raceways(const Written& written, Findings& findings) {
  const auto& listed = written.plan.raceways;
  if (things_in(written.glb, "Raceway") != listed.size()) {
    differs("Raceway", "routed.glb and plan.json hold another number of pieces of raceway.",
            findings);
  }
  for (std::size_t i = 0; i < listed.size(); ++i) {
    const std::string name = "Raceway " + std::to_string(i + 1);
    const WrittenThing* thing = find_thing(written.glb, name);
    if (thing == nullptr) continue;
    const bool right =
        has_text(*thing, "size", listed[i].size) &&
        has_number(*thing, "length_m", distance(listed[i].from, listed[i].to)) &&
        distance(box_of(*thing).centre(), 0.5 * (listed[i].from + listed[i].to)) <= kSolid;
    if (!right) differs(name, "\"" + name + "\" is not where plan.json says.", findings);
  }
}

}  // namespace

void check_things(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings) {
  const std::size_t before = findings.items.size();
  compare_models(written.glb, written.runs_glb, false, findings);
  compare_models(written.glb, written.obj, false, findings);
  compare_models(written.glb, written.step, true, findings);
  compare_models(written.glb, written.runs_step, true, findings);
  for (const WrittenModel* other :
       {&written.glb, &written.runs_glb, &written.step, &written.runs_step}) {
    find_strangers(written.glb, *other, findings);
  }
  for (const DrawnRun& run : runs) {
    check_solid_tube(run, written.step, findings);
    check_solid_tube(run, written.runs_step, findings);
    check_run_extras(run, written.glb, findings);
    check_run_extras(run, written.runs_glb, findings);
  }
  for (const ListedHole& hole : written.plan.holes) {
    check_hole_extras(hole, written.glb, findings);
    check_hole_extras(hole, written.runs_glb, findings);
    check_solid_ring(hole, written.step, written.units, findings);
    check_solid_ring(hole, written.runs_step, written.units, findings);
  }
  const std::size_t holes = things_in(written.glb, "Crossings");
  if (holes != written.plan.holes.size()) {
    differs("Crossings", "routed.glb and plan.json hold another number of holes.", findings);
  }
  check_raceways(written, findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
