#include <algorithm>
#include <set>

#include "base/files.h"
#include "base/nearest.h"
#include "base/version.h"
#include "sketch/entry.h"
#include "sketch/read_things.h"
#include "sketch/sketch.h"

namespace roomloom {
namespace {

const std::vector<std::string>& build_words() {
  static const std::vector<std::string> words = {"unknown", "masonry",  "stud",
                                                 "outside", "concrete", "board"};
  return words;
}

void read_build(Entry& entry, const char* key, Build& out) {
  int index = static_cast<int>(out);
  entry.word(key, index, build_words());
  out = static_cast<Build>(index);
}

// ---- outline and walls ------------------------------------------------------------------------

std::vector<std::string> wall_names(const RoomSketch& sketch) {
  std::vector<std::string> names;
  for (const WallSketch& wall : sketch.walls) names.push_back(wall.name);
  return names;
}

void name_walls(const std::vector<std::string>& names, RoomSketch& sketch) {
  for (const std::string& name : names) {
    sketch.walls.push_back({});
    sketch.walls.back().name = name;
  }
}

void read_outline_walls(Entry& outline, RoomSketch& sketch) {
  sketch.outline = OutlineKind::walls;
  for (Entry& entry : outline.entries("walls")) {
    WallSketch wall;
    read_name(entry, wall.name);
    entry.length("length", wall.length_m, 0.01);
    entry.angle("corner", wall.corner_rad, radians(10), radians(350));
    entry.finish();
    if (!sketch.walls.empty() && sketch.walls.back().length_m == 0)
      entry.complain("only the last wall's \"length\" may be left out; the wall before has none.");
    sketch.walls.push_back(wall);
  }
  outline.length("close_within", sketch.close_within_m, 0);
}

void read_outline_points(Entry& outline, RoomSketch& sketch) {
  sketch.outline = OutlineKind::points;
  for (const auto& p : outline.length_lists("points", 2)) sketch.points_m.push_back({p[0], p[1]});
  std::vector<std::string> names = outline.texts("names");
  if (outline.has("names") && names.size() != sketch.points_m.size())
    outline.complain("names", "expected one name for each of the " +
                                  std::to_string(sketch.points_m.size()) + " points.");
  while (names.size() < sketch.points_m.size())
    names.push_back("Wall " + std::to_string(names.size() + 1));
  name_walls(names, sketch);
}

void read_outline(Entry& root, RoomSketch& sketch) {
  root.require("outline");
  auto outline = root.entry("outline");
  if (!outline) return;
  const bool by_walls = outline->has("walls"), by_points = outline->has("points");
  const bool by_size = outline->has("width") || outline->has("depth");
  if (by_walls + by_points + by_size != 1) {
    outline->complain(
        "give the outline once: \"width\" and \"depth\", or \"walls\" with lengths and corners, or "
        "\"points\".");
  } else if (by_walls) {
    read_outline_walls(*outline, sketch);
  } else if (by_points) {
    read_outline_points(*outline, sketch);
  } else {
    outline->require("width");
    outline->require("depth");
    name_walls({"Wall front", "Wall right", "Wall back", "Wall left"}, sketch);
  }
  outline->length("width", sketch.width_m, 0.1);
  outline->length("depth", sketch.depth_m, 0.1);
  outline->finish();
}

void read_walls(Entry& root, RoomSketch& sketch) {
  WallSketch usual;
  root.length("wall_thickness", usual.thickness_m, 0.005);
  read_build(root, "wall_build", usual.build);
  for (WallSketch& wall : sketch.walls) {
    wall.thickness_m = usual.thickness_m;
    wall.build = usual.build;
  }
  for (Entry& entry : root.entries("walls")) {
    std::string name;
    read_name(entry, name);
    const auto wall = std::find_if(sketch.walls.begin(), sketch.walls.end(),
                                   [&](const WallSketch& w) { return w.name == name; });
    WallSketch nowhere;
    WallSketch& target = wall == sketch.walls.end() ? nowhere : *wall;
    if (wall == sketch.walls.end() && !name.empty())
      entry.complain("name", "the outline has no wall \"" + name + "\". " +
                                 suggestion(name, wall_names(sketch)));
    entry.length("thickness", target.thickness_m, 0.005);
    read_build(entry, "build", target.build);
    entry.finish();
  }
}

// ---- floor, slab, ceilings --------------------------------------------------------------------

void read_slabs(Entry& root, RoomSketch& sketch) {
  root.require("height");
  root.length("height", sketch.height_m, 0.1);
  if (auto floor = root.entry("floor")) {
    floor->text("name", sketch.floor_name);
    floor->length("thickness", sketch.floor_thickness_m, 0.001);
    floor->finish();
  }
  sketch.deck_name = root.has("suspended_ceiling") ? "Slab above" : "Ceiling";
  if (auto slab = root.entry("slab")) {
    slab->text("name", sketch.deck_name);
    slab->length("thickness", sketch.deck_thickness_m, 0.001);
    slab->finish();
  }
}

void read_suspended_ceiling(Entry& root, RoomSketch& sketch) {
  auto entry = root.entry("suspended_ceiling");
  if (!entry) return;
  SuspendedCeilingSketch ceiling;
  entry->text("name", ceiling.name);
  entry->require("height");
  entry->length("height", ceiling.height_m, 0.1);
  entry->lengths("tile", ceiling.tile_m.data(), 2);
  entry->lengths("grid_from", ceiling.grid_from_m.data(), 2);
  entry->length("thickness", ceiling.thickness_m, 0.001);
  int as = 0;
  entry->word("as", as, {"one sheet", "tiles"});
  ceiling.tile_by_tile = as == 1;
  for (const auto& p : entry->length_lists("over", 2)) ceiling.over_m.push_back({p[0], p[1]});
  if (ceiling.over_m.size() == 1 || (entry->has("over") && ceiling.over_m.empty()))
    entry->complain("over",
                    "expected two opposite corners of a rectangle, or all corners of an "
                    "outline, each [x, y].");
  entry->finish();
  sketch.suspended_ceiling = ceiling;
}

std::string slope_name(const std::string& wall) {
  const std::string before = "Wall ";
  return "Slope " + (wall.rfind(before, 0) == 0 ? wall.substr(before.size()) : wall);
}

void read_slopes(Entry& root, RoomSketch& sketch) {
  for (Entry& entry : root.entries("slopes")) {
    SlopeSketch slope;
    for (const char* key : {"wall", "knee", "pitch"}) entry.require(key);
    entry.text("wall", slope.wall);
    slope.name = slope_name(slope.wall);
    entry.text("name", slope.name);
    entry.length("knee", slope.knee_m, 0.1);
    entry.angle("pitch", slope.pitch_rad, radians(1), radians(85));
    entry.finish();
    sketch.slopes.push_back(slope);
  }
}

// ---- the whole --------------------------------------------------------------------------------

RoomSketch read_root(Entry& root) {
  RoomSketch sketch;
  root.has("$schema");
  root.has("version");
  read_name(root, sketch.name);
  read_outline(root, sketch);
  read_walls(root, sketch);
  read_slabs(root, sketch);
  read_suspended_ceiling(root, sketch);
  read_slopes(root, sketch);
  read_things(root, sketch);
  root.finish();
  return sketch;
}

/// Keys given twice in one object, which the parser would silently overwrite.
class RepeatedKeys {
 public:
  bool operator()(int, nlohmann::json::parse_event_t event, nlohmann::json& parsed) {
    using Event = nlohmann::json::parse_event_t;
    if (event == Event::object_start) open_.emplace_back();
    if (event == Event::object_end && !open_.empty()) open_.pop_back();
    if (event == Event::key && !open_.empty() && !open_.back().insert(parsed).second)
      found_.push_back("the key " + parsed.dump() + " is given twice in one object.");
    return true;
  }
  const std::vector<std::string>& found() const { return found_; }

 private:
  std::vector<std::set<std::string>> open_;
  std::vector<std::string> found_;
};

Error invalid(const std::vector<std::string>& lines, const std::string& where) {
  Error error{"sketch.invalid", "", where, ""};
  if (lines.size() == 1) {
    error.what = lines.front();
    return error;
  }
  error.what = std::to_string(lines.size()) + " mistakes:";
  for (const std::string& line : lines) error.what += "\n  " + line;
  return error;
}

/// What the file says under "version"; 0 = nothing, -1 = no number.
double version_of(const nlohmann::json& root) {
  const auto version = root.find("version");
  if (version == root.end()) return 0;
  return version->is_number() ? version->get<double>() : -1;
}

/// The parser's message without its own prefix "[json.exception...] ".
std::string plain(const std::string& message) {
  const std::size_t end = message.find("] ");
  return end == std::string::npos ? message : message.substr(end + 2);
}

void add_pointers(const nlohmann::json& value, const std::string& pointer,
                  std::map<std::string, std::string>& pointers) {
  if (value.is_object())
    if (const auto name = value.find("name"); name != value.end() && name->is_string())
      pointers.try_emplace(name->get<std::string>(), pointer);
  for (const auto& [key, inner] : value.items())
    if (inner.is_structured()) add_pointers(inner, pointer + "/" + key, pointers);
}

/// Where things stand in the file, by their names, given or not.
std::map<std::string, std::string> pointers_of(const nlohmann::json& root,
                                               const RoomSketch& sketch) {
  std::map<std::string, std::string> pointers;
  for (const auto& [key, inner] : root.items())  // the root's own name is the room's
    if (inner.is_structured()) add_pointers(inner, "/" + key, pointers);
  if (sketch.suspended_ceiling)
    pointers.try_emplace(sketch.suspended_ceiling->name, "/suspended_ceiling");
  for (std::size_t i = 0; i < sketch.slopes.size(); ++i)
    pointers.try_emplace(sketch.slopes[i].name, "/slopes/" + std::to_string(i));
  for (const WallSketch& wall : sketch.walls) pointers.try_emplace(wall.name, "/outline");
  return pointers;
}

/// A job names a model and has runs, and no walls of its own; comments in it are no fault.
bool is_a_job(const std::string& text) {
  const auto has = [&](const char* key) { return text.find(key) != std::string::npos; };
  return has("\"model\"") && has("\"runs\"") && !has("\"outline\"");
}

}  // namespace

Result<RoomSketch> parse_sketch(const std::string& text, const std::string& where) {
  if (is_a_job(text))
    return Error{"sketch.is-job", "This is a job, not a room file.", where,
                 "Plan it with roomloom route; sketch takes the measures of a room."};
  RepeatedKeys repeated;
  nlohmann::json root;
  try {
    root = nlohmann::json::parse(text, std::ref(repeated), true, true);
  } catch (const nlohmann::json::exception& fault) {
    return Error{"sketch.syntax", "The file is not JSON: " + plain(fault.what()) + ".", where,
                 "Mend it at that place: a comma, a bracket or a quote is missing or too many."};
  }
  if (const auto wrong = version_problem(version_of(root), kSketchVersion, "room file", where))
    return *wrong;
  EntryProblems problems{repeated.found()};
  Entry entry(root, "", problems);
  RoomSketch sketch = read_root(entry);
  if (!problems.lines.empty()) return invalid(problems.lines, where);
  sketch.file = where;
  sketch.pointers = pointers_of(root, sketch);
  return sketch;
}

Result<RoomSketch> read_sketch(const std::filesystem::path& file) {
  const Result<std::string> text = read_file(file, 16U << 20);
  if (!text) return text.error();
  return parse_sketch(*text, file.string());
}

}  // namespace roomloom
