#include "room/survey.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "room/roles.h"

namespace roomloom {
namespace {

class Lines {
 public:
  explicit Lines(DisplayUnits units) : units_(units) {}
  void title(const std::string& text) { out_ += (out_.empty() ? "" : "\n") + text + "\n"; }
  void line(const std::string& text) { out_ += "  " + text + "\n"; }
  std::string length(double metres) const { return format_length(metres, units_, 3); }
  std::string square(double m2) const { return format_area(m2, units_); }
  std::string cubic(double m3) const { return format_volume(m3, units_); }
  std::string point(const Vec3& p) const {
    return "(" + length(p.x) + ", " + length(p.y) + ", " + length(p.z) + ")";
  }
  std::string take() { return std::move(out_); }

 private:
  DisplayUnits units_;
  std::string out_;
};

constexpr std::size_t kMostNames = 6;
constexpr std::size_t kMostAirs = 8;
constexpr std::size_t kMostSheets = 12;
constexpr std::size_t kMostTiles = 8;
constexpr std::size_t kMostHoles = 8;
constexpr std::size_t kMostGuesses = 10;
constexpr std::size_t kMostWarnings = 3;  // of one kind

// Converters' names are long; their beginning tells most.
std::string shortened(const std::string& name) {
  constexpr std::size_t kLongest = 60;
  if (name.size() <= kLongest) return name;
  std::size_t end = kLongest - 3;
  while (end > 0 && (static_cast<unsigned char>(name[end]) & 0xC0U) == 0x80) --end;
  return name.substr(0, end) + "...";
}

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

void write_model(const Scene& scene, Lines& out) {
  static constexpr const char* kFormats[] = {"STEP", "OBJ", "glTF", "GLB"};
  const Source& source = scene.source;
  out.title("Model");
  if (!source.path.empty()) out.line("file: " + source.path);
  out.line(std::string("format: ") + kFormats[static_cast<int>(source.format)] +
           (source.schema.empty() ? "" : ", " + source.schema));
  out.line("unit: one file unit is " + format_number(source.unit_m, 6) +
           " m; up axis: " + std::string(1, source.up));
  if (source.chord_error_m > 0)
    out.line("curved faces are met within " + out.length(source.chord_error_m));
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  const Vec3 size = box.size();
  out.line(counted(scene.parts.size(), "part", "parts") + ", " +
           counted(scene.triangles.size(), "triangle", "triangles") + ", " + out.length(size.x) +
           " x " + out.length(size.y) + " x " + out.length(size.z));
  for (const Note& note : scene.notes)
    out.line("note: " + note.text +
             (note.where.empty() || note.where == source.path ? "" : " [" + note.where + "]"));
}

// "IfcMember (20), Cube.001 to Cube.006"; the parts of one beginning count as one.
std::string grouped_names(const Scene& scene, const std::vector<int>& parts) {
  std::vector<std::pair<std::string, std::vector<int>>> groups;
  std::map<std::string, std::size_t> known;
  for (const int part : parts) {
    const std::string start = name_stem(scene.parts[static_cast<std::size_t>(part)].name);
    const auto [at, fresh] = known.try_emplace(start, groups.size());
    if (fresh) groups.emplace_back(start, std::vector<int>{});
    groups[at->second].second.push_back(part);
  }
  std::string text;
  for (std::size_t i = 0; i < groups.size() && i < kMostNames; ++i) {
    const auto& [start, members] = groups[i];
    const bool one = members.size() == 1 || start.empty();
    text +=
        (i ? ", " : "") + (one ? shortened(display_name(scene, members.front()))
                               : shortened(start) + "* (" + std::to_string(members.size()) + ")");
  }
  if (groups.size() > kMostNames)
    text += ", and " + std::to_string(groups.size() - kMostNames) + " more";
  return text;
}

void write_parts(const Scene& scene, const Room& room, Lines& out) {
  out.title("Parts by role");
  std::map<std::string, std::vector<int>> by_role;
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    std::string role = to_string(room.roles[i].role);
    if (room.roles[i].build != Build::unknown)
      role += std::string(", ") + to_string(room.roles[i].build);
    by_role[role].push_back(static_cast<int>(i));
  }
  for (const auto& [role, parts] : by_role)
    out.line(role + " (" + std::to_string(parts.size()) + "): " + grouped_names(scene, parts));
  out.line("to overrule: \"parts\": [{ \"match\": \"name or pattern*\", \"is\": \"wall\" }]");
}

// The planned one first, then by size; nothing is told of what lies outside.
std::vector<std::size_t> airs_to_tell(const Room& room) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < room.airs.size(); ++i)
    if (room.airs[i].kind != AirKind::outdoors) order.push_back(i);
  const auto rank = [&](std::size_t i) {
    return static_cast<int>(i) == room.main_air ? Box3::kInf : room.airs[i].volume_m3;
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return rank(a) > rank(b); });
  return order;
}

/// The hollow of a door, or a space between storeys, is air like a plenum, but takes no cable.
bool is_a_void(const Room& room, const Air& air) {
  return std::any_of(room.voids.begin(), room.voids.end(), [&](const Void& space) {
    const Vec3 local = space.frame.to_local(air.seed);
    return local.z > 0 && local.z < space.height_m && contains(space.plan, {local.x, local.y});
  });
}

void write_airs(const Room& room, Lines& out) {
  out.title("Air");
  const std::vector<std::size_t> order = airs_to_tell(room);
  if (order.empty()) out.line("no closed space");
  for (std::size_t k = 0; k < order.size() && k < kMostAirs; ++k) {
    const Air& air = room.airs[order[k]];
    const bool main = static_cast<int>(order[k]) == room.main_air;
    const Vec3 size = air.box.size();
    out.line(air.name + ": about " + out.cubic(air.volume_m3) + ", " + out.length(size.x) + " x " +
             out.length(size.y) + " x " + out.length(size.z) + ", round " + out.point(air.seed) +
             (main                   ? "  <- planned"
              : is_a_void(room, air) ? ""
                                     : "  (no cable runs there)"));
    for (const std::string& side : air.open_sides) out.line("  open side " + side);
  }
  if (order.size() > kMostAirs)
    out.line("and " + std::to_string(order.size() - kMostAirs) + " smaller ones");
  std::map<int, std::size_t> bays;
  for (const Void& space : room.voids)
    if (space.kind == VoidKind::bay) ++bays[space.wall];
  for (const auto& [wall, count] : bays)
    out.line(counted(count, "bay", "bays") + " in \"" +
             room.sheets[static_cast<std::size_t>(wall)].name + "\"");
  for (const Void& space : room.voids) {
    if (space.kind == VoidKind::bay) continue;
    out.line("void \"" + space.name + "\": " + out.cubic(area(space.plan) * space.height_m) + ", " +
             out.length(space.height_m) + " high, " +
             counted(space.obstacles.size(), "obstacle", "obstacles"));
  }
}

// "1 door, 3 windows": what raceway and holes keep out of.
std::string kept_clear(const Sheet& sheet) {
  std::map<std::string, std::set<std::string>> kinds;
  for (const SheetKeepOut& keep : sheet.keep_outs) kinds[to_string(keep.what)].insert(keep.name);
  std::string text;
  for (const auto& [kind, names] : kinds)
    text += (text.empty() ? "" : ", ") + kind + " " +
            (names.size() == 1 ? "\"" + shortened(*names.begin()) + "\""
                               : "(" + std::to_string(names.size()) + ")");
  return text;
}

/// Sheets of one part differ by a number alone: whoever measures on one must know where it is.
bool is_numbered(const Room& room, const Sheet& sheet) {
  const std::string name = sheet.name.substr(0, sheet.name.rfind(" ("));
  return name != sheet.name ||
         std::any_of(room.sheets.begin(), room.sheets.end(),
                     [&](const Sheet& other) { return other.name == name + " (2)"; });
}

void write_sheet(const Room& room, const Sheet& sheet, Lines& out) {
  std::string text =
      "\"" + sheet.name + "\": " + to_string(sheet.role) + ", " + out.square(area(sheet.region));
  if (sheet.build != Build::unknown) text += std::string(", ") + to_string(sheet.build);
  if (!sheet.fixable) text += ", nothing is fixed to it";
  if (sheet.residual_m > 0.001) text += ", flat within " + out.length(sheet.residual_m);
  if (!sheet.region.holes.empty())
    text += ", " + counted(sheet.region.holes.size(), "hole", "holes");
  if (is_numbered(room, sheet))
    text += ", round " + out.point(sheet.frame.to_world(interior_point(sheet.region)));
  out.line(text);
  if (!sheet.keep_outs.empty()) out.line("  kept clear: " + kept_clear(sheet));
}

void write_sheets(const Room& room, Lines& out) {
  out.title(
      "Sheets (planes that cables can be fixed to; ends are measured on them by these names)");
  std::vector<std::size_t> order(room.sheets.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return area(room.sheets[a].region) > area(room.sheets[b].region);
  });
  if (order.empty()) out.line("none");
  double rest = 0;
  for (std::size_t k = 0; k < order.size(); ++k) {
    if (k < kMostSheets)
      write_sheet(room, room.sheets[order[k]], out);
    else
      rest += area(room.sheets[order[k]].region);
  }
  if (order.size() > kMostSheets)
    out.line("and " + std::to_string(order.size() - kMostSheets) + " smaller ones, together " +
             out.square(rest));
}

void write_bridged(const Room& room, Lines& out) {
  if (room.bridged.empty()) return;
  out.title("Holes of the scan that were taken for surface");
  for (std::size_t i = 0; i < room.bridged.size() && i < kMostHoles; ++i)
    out.line(out.square(room.bridged[i].area_m2) + " round " + out.point(room.bridged[i].middle));
  if (room.bridged.size() > kMostHoles)
    out.line("and " + std::to_string(room.bridged.size() - kMostHoles) + " smaller ones");
}

void write_grids(const Room& room, Lines& out) {
  for (const TileGrid& grid : room.grids) {
    out.title("Tile grid of \"" + room.sheets[static_cast<std::size_t>(grid.sheet)].name + "\"");
    std::size_t cuttable = 0;
    for (const Tile& tile : grid.tiles) cuttable += tile.cuttable;
    out.line(out.length(grid.pitch_u_m) + " x " + out.length(grid.pitch_v_m) + ", " +
             counted(grid.tiles.size(), "tile", "tiles") + ", " + std::to_string(cuttable) +
             " may be cut");
    std::size_t told = 0;
    for (const Tile& tile : grid.tiles)
      if (!tile.cuttable && ++told <= kMostTiles)
        out.line("tile " + tile.name + ": " + tile.reason);
    if (told > kMostTiles)
      out.line("and " + std::to_string(told - kMostTiles) + " more that may not be cut");
  }
}

void write_places(const Scene& scene, const Room& room, Lines& out) {
  std::map<std::string, int> kinds;
  for (const Crossing& crossing : room.crossings) ++kinds[to_string(crossing.kind)];
  if (!kinds.empty()) out.title("Crossings");
  for (const auto& [kind, count] : kinds) out.line(std::to_string(count) + " x " + kind);
  if (!room.conduits.empty() || !room.zones.empty() || !room.power.empty() || !room.swept.empty())
    out.title("Other places");
  for (const Conduit& conduit : room.conduits)
    out.line("conduit \"" + conduit.name + "\": inside " + out.length(conduit.inside_diameter_m));
  for (const Zone& zone : room.zones)
    out.line("hidden place \"" + zone.name + "\": " + out.length(zone.size.x) + " x " +
             out.length(zone.size.y) + " x " + out.length(zone.size.z) + " (" + zone.why + ")");
  for (const PowerLine& line : room.power)
    out.line("power \"" + line.name + "\": " + out.point(line.from) + " to " + out.point(line.to) +
             ", kept " + out.length(line.separation_m) + " away");
  if (!room.swept.empty())
    out.line(counted(room.swept.size(), "place", "places") +
             " kept clear because something moves or people walk there");
  std::vector<std::pair<std::string, int>> moving;  // a door that opens both ways sweeps twice
  for (const Swept& one : room.swept) {
    const auto known = std::find_if(moving.begin(), moving.end(),
                                    [&](const auto& other) { return other.first == one.name; });
    if (known == moving.end())
      moving.emplace_back(one.name, 1);
    else
      ++known->second;
  }
  for (const auto& [name, count] : moving)
    out.line("  " + name + (count > 1 ? " (" + std::to_string(count) + " spaces)" : ""));
  bool first = true;
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    if (room.roles[i].role != Role::marker || scene.parts[i].point_count == 0) continue;
    if (first) out.title("Markers");
    first = false;
    out.line("\"" + scene.parts[i].name + "\" at " +
             out.point(scene.points[scene.parts[i].first_point]));
  }
}

void write_guesses(const Room& room, Lines& out) {
  std::vector<const Guess*> told;  // those of roles stand with the parts
  for (const Guess& guess : room.guesses)
    if (guess.what.rfind("Role of ", 0) != 0) told.push_back(&guess);
  if (!told.empty()) out.title("Guesses, and how to overrule them in the job");
  for (std::size_t i = 0; i < told.size() && i < kMostGuesses; ++i) {
    out.line(told[i]->what + ": " + told[i]->value + ", because " + told[i]->why + ".");
    out.line("  to overrule: " + told[i]->overrule);
  }
  if (told.size() > kMostGuesses)
    out.line("and " + std::to_string(told.size() - kMostGuesses) + " more");
}

// Warnings that end alike are of one kind.
void write_warnings(const Room& room, Lines& out) {
  if (!room.warnings.empty()) out.title("Warnings");
  std::map<std::string, std::size_t> kinds;
  const auto kind_of = [](const std::string& text) {
    return text.size() < 24 ? text : text.substr(text.size() - 24);
  };
  for (const std::string& warning : room.warnings)
    if (++kinds[kind_of(warning)] <= kMostWarnings) out.line(warning);
  std::size_t more = 0;
  for (const auto& [kind, count] : kinds) more += count - std::min(count, kMostWarnings);
  if (more > 0) out.line("and " + std::to_string(more) + " more of these kinds");
}

// One list of steps, for what was asked: with a first job just written, or with a job at hand, the
// steps before it are done.
void write_next(const Scene& scene, const Room& room, const SurveyAsked& asked, Lines& out) {
  out.title("What to do next");
  if (room.main_air < 0) {
    out.line("No room was found, so nothing can be planned in this model yet. If it is a room:");
    out.line("- say which parts are walls, floor and ceiling, under \"parts\" in a job;");
    out.line("- or name a point in the room: \"model\": { \"seed\": [x, y, z] };");
    out.line("- or check its unit and up axis: \"model\": { \"unit\": \"mm\", \"up\": \"z\" };");
    out.line("- or state what is missing, as a plane by three points or by its corners:");
    out.line(
        "  \"model\": { \"faces\": [ { \"name\": \"Wall east\", \"plane\": [[4, 0, 0], [4, 3, 0], "
        "[4, 0, 2]] } ] };");
    out.line("- or give the room's outline where there are no walls:");
    out.line(
        "  \"model\": { \"outline\": { \"corners\": [[0, 0], [4, 0], [4, 3], [0, 3]], \"height\": "
        "2.5 } };");
    out.line("- or measure the room with a tape and build a model: roomloom sketch --help");
    return;
  }
  const std::string job = !asked.start.empty() ? asked.start
                          : !asked.job.empty() ? asked.job
                                               : std::string("job.json");
  int step = 0;
  const auto number = [&] { return std::to_string(++step) + ". "; };
  if (asked.job.empty() && asked.start.empty())
    out.line(number() + "roomloom survey " + scene.source.path + " --start " + job +
             "   writes a job with all this filled in");
  if (asked.job.empty())
    out.line(number() + "in " + job +
             ", answer what is marked \"to answer\" and mend wrong guesses");
  out.line(number() +
           (asked.job.empty() ? "add gear, ends and runs to it" : "gear, ends and runs in " + job) +
           ": an end is \"at\" a sheet's name, \"from_left\" and \"up\"");
  out.line(number() + "roomloom route " + job + "   plans the cables");
  out.line("Everything found, without the \"and more\": roomloom survey --json");
}

}  // namespace

std::string survey_text(const Scene& scene, const Room& room, DisplayUnits units,
                        const SurveyAsked& asked) {
  Lines out(units);
  write_model(scene, out);
  write_parts(scene, room, out);
  write_airs(room, out);
  write_sheets(room, out);
  write_bridged(room, out);
  write_grids(room, out);
  write_places(scene, room, out);
  write_guesses(room, out);
  write_warnings(room, out);
  write_next(scene, room, asked, out);
  return out.take();
}

}  // namespace roomloom
