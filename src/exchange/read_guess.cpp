#include "exchange/read_guess.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "base/units.h"
#include "exchange/read_clean.h"

namespace roomloom {
namespace {

struct Unit {
  double metres;
  const char* name;
};

/// A unit under which the longest side of a room or house is of a likely size. Thresholds: our own
/// judgement, no source.
Unit likely_unit(double longest) {
  if (longest <= 100) return {1, "metres"};
  if (longest <= 2000) return {0.01, "centimetres"};
  return {0.001, "millimetres"};
}

/// The same where the height is known: what is too low for a room in centimetres, and as high as
/// one or two storeys in inches, is in inches.
Unit likely_unit(double longest, double height) {
  const Unit unit = likely_unit(longest);
  const bool low = height * unit.metres < 1.9 && longest * unit.metres < 10;
  const bool inches = height * 0.0254 > 2.1 && height * 0.0254 < 8;
  return unit.metres == 0.01 && low && inches ? Unit{0.0254, "inches"} : unit;
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  return text;
}

template <std::size_t N>
bool holds_any(const std::string& text, const char* const (&words)[N]) {
  return std::any_of(std::begin(words), std::end(words),
                     [&](const char* word) { return text.find(word) != std::string::npos; });
}

constexpr const char* kLevelWords[] = {"floor", "ceiling", "slab",     "boden",
                                       "decke", "plafond", "plancher", "suelo",
                                       "techo", "vloer",   "soffitto"};
constexpr const char* kUprightWords[] = {"wall", "partition", "door", "window", "wand",
                                         "mur",  "pared",     "muro", "lamp",   "skirting"};

/// What is at a door and not as high.
constexpr const char* kAtDoorWords[] = {"handle", "knob", "hinge",   "bell",
                                        "stop",   "sill", "doormat", "door mat"};

/// "Floor", "Ceiling tile A1"; not the "Wall of the ground floor".
bool is_level_by_name(const std::string& name) {
  const std::string low = lower(name);
  return holds_any(low, kLevelWords) && !holds_any(low, kUprightWords);
}

bool is_wall_by_name(const std::string& name) {
  const std::string low = lower(name);
  return low.find("wall") != std::string::npos || low.find("partition") != std::string::npos;
}

/// Area that faces along each axis (within about 8 degrees), of all parts or of those with certain
/// names.
struct FacingArea {
  double along[3] = {0, 0, 0};
  double total = 0;
};

using NameTest = bool (*)(const std::string& name);

/// @param of_name  null: all parts
FacingArea facing_area(const Scene& scene, NameTest of_name) {
  FacingArea area;
  for (const Part& part : scene.parts) {
    if (of_name != nullptr && !of_name(part.name)) continue;
    for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
      const auto& t = scene.triangles[part.first_triangle + i];
      const Vec3& a = scene.points[t[0]];
      const Vec3 n = cross(scene.points[t[1]] - a, scene.points[t[2]] - a);
      const double doubled = norm(n);
      area.total += doubled;
      for (int axis = 0; axis < 3; ++axis)
        if (std::abs(n[axis]) > 0.99 * doubled) area.along[axis] += doubled;
    }
  }
  return area;
}

struct UpGuess {
  char up;
  std::string why;
};

UpGuess likely_up(const Scene& scene) {
  const FacingArea level = facing_area(scene, is_level_by_name);
  // A sloped roof called "slab" says nothing: a good part of it must face along one axis.
  for (const auto& [axis, other, up] : {std::tuple(1, 2, 'y'), std::tuple(2, 1, 'z')})
    if (level.along[axis] > std::max(2 * level.along[other], 0.3 * level.total))
      return {up, "floors and ceilings by name face that way"};
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  const Vec3 size = box.size();
  if (size.y < 0.8 * size.z) return {'y', "rooms are lower than they are wide"};
  if (size.z < 0.8 * size.y) return {'z', "rooms are lower than they are wide"};
  const FacingArea all = facing_area(scene, nullptr);
  if (all.along[2] > 1.1 * all.along[1]) return {'z', "most level area faces that way"};
  return {'y', "OBJ files mostly have it so"};
}

/// Turns a frame with Y up into one with Z up, about X.
Transform axes_of(char up) {
  Transform turn;
  if (up == 'y') turn.m = {1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0};
  return turn;
}

Transform scaling(double factor) {
  Transform scale;
  scale.m[0] = scale.m[5] = scale.m[10] = factor;
  return scale;
}

/// The other axis, where the names of floors, ceilings and walls leave no doubt that it is up: what
/// is called level faces that way for the most part, and what is called a wall does not.
std::optional<char> up_by_names(const Scene& scene, char stated) {
  const int now = stated == 'y' ? 1 : 2, other = 3 - now;
  const FacingArea level = facing_area(scene, is_level_by_name);
  if (level.along[other] <= std::max(4 * level.along[now], 0.5 * level.total)) return std::nullopt;
  const FacingArea walls = facing_area(scene, is_wall_by_name);
  if (walls.along[other] > 0.3 * walls.total) return std::nullopt;
  return stated == 'y' ? 'z' : 'y';
}

/// STEP says nothing of an up axis; most programs have Z up in it.
char up_of_step(Scene& scene) {
  const std::optional<char> by_names = up_by_names(scene, 'z');
  if (by_names)
    scene.notes.push_back({"guess.up",
                           "The up axis is taken to be Y, since floors and ceilings by name face "
                           "that way; set model.up to overrule: \"model\": { \"up\": \"z\" }.",
                           scene.source.path});
  return by_names.value_or('z');
}

/// The format fixes the axis, but not every program keeps to it: says so when far more area lies
/// level if the other one is up, or when the names of parts say so.
void doubt_up(Scene& scene, char stated) {
  const FacingArea area = facing_area(scene, nullptr);
  const double now = area.along[stated == 'y' ? 1 : 2], other = area.along[stated == 'y' ? 2 : 1];
  const bool by_area = area.total > 0 && other >= 2.5 * now && other >= 0.2 * area.total;
  const std::optional<char> by_names = up_by_names(scene, stated);
  if (!by_area && !by_names) return;
  scene.notes.push_back(
      {"guess.up-doubtful",
       std::string("The format has ") + (stated == 'y' ? "Y" : "Z") + " up, but " +
           (by_names ? "floors and ceilings by name lie" : "most level area lies") + " as if " +
           (stated == 'y' ? "Z" : "Y") +
           " were; if the room lies on its side, set model.up: \"model\": { "
           "\"up\": \"" +
           (stated == 'y' ? "z" : "y") + "\" }.",
       scene.source.path});
}

char settle_up(Scene& scene, const ReadOptions& options) {
  if (options.up) return *options.up;
  if (scene.source.format != ModelFormat::obj) {
    const bool step = scene.source.format == ModelFormat::step;
    const char up = step ? up_of_step(scene) : 'y';
    if (!step || up == 'z') doubt_up(scene, up);
    return up;
  }
  const UpGuess guess = likely_up(scene);
  scene.notes.push_back({"guess.up",
                         std::string("The up axis is taken to be ") +
                             (guess.up == 'y' ? "Y" : "Z") + ", since " + guess.why +
                             "; set model.up to overrule.",
                         scene.source.path});
  return guess.up;
}

/// The format or the file fixes the unit, but not every program keeps to it: says so when the model
/// would be larger than any house.
void doubt_unit(Scene& scene) {
  constexpr double kLargest_m = 300;
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  if (box.empty()) return;
  const Vec3 size = box.size();
  const double longest = std::max({size.x, size.y, size.z});
  if (longest <= kLargest_m) return;
  const Unit unit = likely_unit(longest);
  const std::string word = unit.metres < 0.005 ? "mm" : "cm";
  scene.notes.push_back({"guess.unit-doubtful",
                         std::string(scene.source.format == ModelFormat::step
                                         ? "By the unit that the file states"
                                         : "In metres, which the format prescribes,") +
                             " the model is " + format_number(longest, 0) +
                             " m long; if it was drawn in " + unit.name + " (" +
                             format_number(longest * unit.metres, 2) +
                             " m), set model.unit: \"model\": { \"unit\": \"" + word + "\" }.",
                         scene.source.path});
}

constexpr double kFoot_m = 0.3048;

/// In the file's units, the middle one of all parts that are called doors; 0 if there is none.
double door_height(const Scene& scene, char up) {
  const int axis = up == 'y' ? 1 : 2;
  std::vector<double> heights;
  for (const Part& part : scene.parts) {
    const std::string low = lower(part.name);
    if (part.point_count == 0 || low.find("door") == std::string::npos ||
        holds_any(low, kAtDoorWords))
      continue;
    Box3 box;
    for (std::uint32_t i = 0; i < part.point_count; ++i)
      box.add(scene.points[part.first_point + i]);
    heights.push_back(box.size()[axis]);
  }
  if (heights.empty()) return 0;
  std::sort(heights.begin(), heights.end());
  return heights[heights.size() / 2];
}

/// 1.9 to 2.6 m; in metres no door of a room is as high. Our own judgement, no source.
bool is_high_as_a_door_in_feet(double height) { return height >= 6.2 && height <= 8.6; }

/// Metres a file unit, for a scene that is not in metres yet.
double settle_unit(Scene& scene, const ReadOptions& options, char up) {
  if (options.unit_m) return *options.unit_m;
  if (scene.source.format != ModelFormat::obj) {
    doubt_unit(scene);
    return scene.source.format == ModelFormat::step ? scene.source.unit_m : 1;
  }
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  const Vec3 size = box.size();
  const double longest = std::max({size.x, size.y, size.z});
  const double height = up == 'y' ? size.y : size.z;
  Unit unit = likely_unit(longest, height);
  const double door = door_height(scene, up);
  const bool by_door = unit.metres == 1 && is_high_as_a_door_in_feet(door);
  if (by_door) unit = {kFoot_m, "feet"};
  const bool may_be_feet = unit.metres == 1 && height >= 7 && height <= 14;
  scene.notes.push_back(
      {"guess.unit",
       "The file does not say its unit; the longest side is " + format_number(longest, 3) +
           " units, the height " + format_number(height, 3) +
           (by_door ? ", a door " + format_number(door, 3) + " high" : "") + ", so " + unit.name +
           " are taken (" + format_number(longest * unit.metres, 2) +
           " m); set model.unit to overrule." +
           (may_be_feet ? " If it was drawn in feet (" + format_number(longest * kFoot_m, 2) +
                              " m long, " + format_number(height * kFoot_m, 2) +
                              " m high): \"model\": { \"unit\": \"ft\" }."
                        : ""),
       scene.source.path});
  return unit.metres;
}

}  // namespace

void settle_frame(Scene& scene, const ReadOptions& options) {
  Source& source = scene.source;
  // STEP comes in metres by the unit that the file states; only an overruling changes that.
  const double present_m = source.format == ModelFormat::step ? source.unit_m : 1;
  source.up = settle_up(scene, options);
  source.unit_m = settle_unit(scene, options, source.up);
  source.to_room = axes_of(source.up) * scaling(source.unit_m);
  source.chord_error_m *= source.unit_m / present_m;
  place_in_room(scene, axes_of(source.up) * scaling(source.unit_m / present_m));
}

}  // namespace roomloom
