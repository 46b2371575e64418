#include "room/survey.h"

#include <algorithm>
#include <map>
#include <numeric>

#include "room/roles.h"

namespace roomloom {
namespace {

class Lines {
 public:
  explicit Lines(DisplayUnits units) : units_(units) {}
  void title(const std::string& text) { out_ += (out_.empty() ? "" : "\n") + text + "\n"; }
  void line(const std::string& text) { out_ += "  " + text + "\n"; }
  std::string length(double metres) const { return format_length(metres, units_, 3); }
  std::string square(double m2) const { return format_number(m2, 2) + " m2"; }
  std::string cubic(double m3) const { return format_number(m3, 2) + " m3"; }
  std::string point(const Vec3& p) const {
    return "(" + length(p.x) + ", " + length(p.y) + ", " + length(p.z) + ")";
  }
  std::string take() { return std::move(out_); }

 private:
  DisplayUnits units_;
  std::string out_;
};

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
    out.line("note: " + note.text + (note.where.empty() ? "" : " [" + note.where + "]"));
}

void write_parts(const Scene& scene, const Room& room, Lines& out) {
  constexpr std::size_t kMostNames = 8;
  out.title("Parts by role");
  std::map<std::string, std::vector<int>> by_role;
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    std::string role = to_string(room.roles[i].role);
    if (room.roles[i].build != Build::unknown)
      role += std::string(", ") + to_string(room.roles[i].build);
    by_role[role].push_back(static_cast<int>(i));
  }
  for (const auto& [role, parts] : by_role) {
    std::string names;
    for (std::size_t i = 0; i < parts.size() && i < kMostNames; ++i)
      names += (i ? ", " : "") + display_name(scene, parts[i]);
    if (parts.size() > kMostNames)
      names += ", and " + std::to_string(parts.size() - kMostNames) + " more";
    out.line(role + " (" + std::to_string(parts.size()) + "): " + names);
  }
}

void write_airs(const Room& room, Lines& out) {
  out.title("Air");
  if (room.airs.empty()) out.line("none found");
  constexpr std::size_t kMostAirs = 15;
  std::vector<std::size_t> order(room.airs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto rank = [&](std::size_t i) {
    return static_cast<int>(i) == room.main_air ? Box3::kInf : room.airs[i].volume_m3;
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return rank(a) > rank(b); });
  if (order.size() > kMostAirs) {
    out.line("(the largest " + std::to_string(kMostAirs) + " of " + std::to_string(order.size()) +
             ")");
    order.resize(kMostAirs);
  }
  for (const std::size_t i : order) {
    const Air& air = room.airs[i];
    const bool main = static_cast<int>(i) == room.main_air;
    const Vec3 size = air.box.size();
    std::string text = air.name;
    if (air.kind != AirKind::outdoors)
      text += ": about " + out.cubic(air.volume_m3) + ", " + out.length(size.x) + " x " +
              out.length(size.y) + " x " + out.length(size.z) + ", holds " + out.point(air.seed);
    out.line(text + (main ? "  <- planned" : ""));
    for (const std::string& side : air.open_sides) out.line("  open side " + side);
  }
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

void write_sheets(const Room& room, Lines& out) {
  out.title("Sheets (planes that cables can be fixed to)");
  for (const Sheet& sheet : room.sheets) {
    std::string text =
        "\"" + sheet.name + "\": " + to_string(sheet.role) + ", " + out.square(area(sheet.region));
    if (sheet.build != Build::unknown) text += std::string(", ") + to_string(sheet.build);
    if (!sheet.fixable) text += ", nothing is fixed to it";
    if (sheet.residual_m > 0.001) text += ", flat within " + out.length(sheet.residual_m);
    if (!sheet.region.holes.empty())
      text += ", " + counted(sheet.region.holes.size(), "hole", "holes");
    out.line(text);
    for (const SheetKeepOut& keep : sheet.keep_outs) {
      Vec2 low{Box3::kInf, Box3::kInf}, high{-Box3::kInf, -Box3::kInf};
      for (const Vec2& p : keep.ring) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y)};
      }
      out.line("  kept clear: " + std::string(to_string(keep.what)) + " \"" + keep.name + "\", " +
               out.length(high.x - low.x) + " x " + out.length(high.y - low.y) + " at " +
               out.length(low.x) + ", " + out.length(low.y));
    }
  }
  out.line(counted(room.seams.size(), "seam", "seams") + " between them");
}

void write_grids(const Room& room, Lines& out) {
  for (const TileGrid& grid : room.grids) {
    out.title("Tile grid of \"" + room.sheets[static_cast<std::size_t>(grid.sheet)].name + "\"");
    std::size_t cuttable = 0;
    for (const Tile& tile : grid.tiles) cuttable += tile.cuttable;
    out.line(out.length(grid.pitch_u_m) + " x " + out.length(grid.pitch_v_m) + ", " +
             counted(grid.tiles.size(), "tile", "tiles") + ", " + std::to_string(cuttable) +
             " may be cut");
    for (const Tile& tile : grid.tiles)
      if (!tile.cuttable) out.line("tile " + tile.name + ": " + tile.reason);
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
  for (const Box3& box : room.swept)
    out.line("moves: " + out.point(box.low) + " to " + out.point(box.high));
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
  if (!room.guesses.empty()) out.title("Guesses, and how to overrule them in the job");
  for (const Guess& guess : room.guesses) {
    out.line(guess.what + ": " + guess.value + ", because " + guess.why + ".");
    out.line("  to overrule: " + guess.overrule);
  }
  if (!room.warnings.empty()) out.title("Warnings");
  for (const std::string& warning : room.warnings) out.line(warning);
}

}  // namespace

std::string survey_text(const Scene& scene, const Room& room, DisplayUnits units) {
  Lines out(units);
  write_model(scene, out);
  write_parts(scene, room, out);
  write_airs(room, out);
  write_sheets(room, out);
  write_grids(room, out);
  write_places(scene, room, out);
  write_guesses(room, out);
  return out.take();
}

}  // namespace roomloom
