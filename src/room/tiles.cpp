#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "base/units.h"
#include "room/ceilings.h"
#include "room/roles.h"

namespace roomloom {
namespace {

constexpr double kDefaultTile = 0.6, kThickness = 0.015;

struct Grid {
  double pitch_u = kDefaultTile, pitch_v = kDefaultTile;
  Vec2 corner;  // in the ceiling's u and, with the sign turned, v: x to the right, y ahead
};

// The sheet's plane with y ahead instead of down: how tiles are counted.
Vec2 ahead(const Vec2& p) { return {p.x, -p.y}; }

std::vector<double> spread(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  std::vector<double> distinct;
  for (const double v : values)
    if (distinct.empty() || v > distinct.back() + 0.05) distinct.push_back(v);
  return distinct;
}

double median_step(const std::vector<double>& values) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < values.size(); ++i) steps.push_back(values[i] - values[i - 1]);
  if (steps.empty()) return 0;
  std::sort(steps.begin(), steps.end());
  return steps[steps.size() / 2];
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

Box2 box_on(const Scene& scene, const Sheet& sheet, int index) {
  const Part& part = scene.parts[static_cast<std::size_t>(index)];
  Box2 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    box.add(ahead(sheet.frame.to_plane(scene.points[part.first_point + i])));
  return box;
}

std::vector<Box2> pieces_on(const Scene& scene, const Sheet& sheet, int index) {
  const Part& part = scene.parts[static_cast<std::size_t>(index)];
  const std::vector<std::size_t> piece = pieces_of(scene, part);
  std::map<std::size_t, Box2> pieces;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    pieces[piece[i]].add(ahead(sheet.frame.to_plane(scene.points[part.first_point + i])));
  std::vector<Box2> boxes;
  for (const auto& [first, box] : pieces) boxes.push_back(box);
  return boxes;
}

constexpr double kWidestTrim = 0.06;

bool is_narrow(const Box2& box) {
  return std::min(box.high.x - box.low.x, box.high.y - box.low.y) < kWidestTrim;
}

// From tiles that are drawn one by one: lower corners of the full ones.
std::optional<Grid> grid_of_parts(const Scene& scene, const Sheet& sheet) {
  std::vector<Box2> boxes;
  std::vector<double> widths, depths;
  for (const int index : sheet.parts)
    for (const Box2& box : pieces_on(scene, sheet, index)) {
      if (is_narrow(box)) continue;
      boxes.push_back(box);
      widths.push_back(box.high.x - box.low.x);
      depths.push_back(box.high.y - box.low.y);
    }
  if (boxes.size() < 4) return std::nullopt;
  const double width = median(widths), depth = median(depths);
  std::vector<double> xs, ys;
  std::optional<Vec2> full;
  for (const Box2& box : boxes) {
    if (std::abs(box.high.x - box.low.x - width) > 0.01) continue;
    if (std::abs(box.high.y - box.low.y - depth) > 0.01) continue;
    xs.push_back(box.low.x);
    ys.push_back(box.low.y);
    if (!full) full = box.low;
  }
  if (!full) return std::nullopt;
  Grid grid;
  const double step_x = median_step(spread(xs)), step_y = median_step(spread(ys));
  // Steps of a whole tile and its tee; where tiles are missing the tile's own size serves.
  grid.pitch_u = step_x > 0.9 * width && step_x < width + 0.06 ? step_x : width;
  grid.pitch_v = step_y > 0.9 * depth && step_y < depth + 0.06 ? step_y : depth;
  grid.corner = *full - 0.5 * Vec2{grid.pitch_u - width, grid.pitch_v - depth};
  return grid;
}

std::optional<std::array<double, 2>> two_lengths(const Part& part, const std::string& key,
                                                 const std::string& between) {
  const auto extra = part.extras.find(key);
  if (extra == part.extras.end()) return std::nullopt;
  const std::size_t at = extra->second.find(between);
  if (at == std::string::npos) return std::nullopt;
  const auto first = parse_length(extra->second.substr(0, at));
  const auto second = parse_length(extra->second.substr(at + between.size()));
  if (!first || !second) return std::nullopt;
  return std::array<double, 2>{*first, *second};
}

double centred(double low, double high, double pitch) {
  // A whole number of tiles, or one half more at both ends, whichever leaves wider border tiles.
  const double middle = 0.5 * (low + high);
  const double rest = std::fmod(high - low, pitch);
  const bool even = static_cast<int>(std::floor((high - low) / pitch)) % 2 == 0;
  const bool line_in_middle = rest / 2 < 0.1 ? !even : even;
  return line_in_middle ? middle : middle + 0.5 * pitch;
}

struct Held {
  int part = -1;
  Region region;
};

// What is let into the ceiling, or hangs from it.
std::vector<Held> held_by(const Scene& scene, const Sheet& sheet, double thickness,
                          const std::vector<PartRole>& roles) {
  std::vector<Held> held;
  for (std::size_t i = 0; i < roles.size(); ++i) {
    const Role role = roles[i].role;
    if (role != Role::luminaire && role != Role::vent && role != Role::hole &&
        role != Role::obstacle && role != Role::outlet)
      continue;
    const Box3 box = box_of(scene, scene.parts[i]);
    const double z = sheet.frame.origin.z;
    if (box.empty() || box.low.z > z + thickness + 0.01 || box.high.z < z - 0.02) continue;
    const Region print = footprint_on(scene, scene.parts[i], sheet.frame, thickness + 0.012, 0.025);
    if (!print.empty()) held.push_back({static_cast<int>(i), print});
  }
  return held;
}

/// A luminaire's outline on the ceiling, in the turned plane that tiles are counted in.
Box2 outline_of(const Held& thing) {
  Ring turned;
  for (const Ring& ring : thing.region)
    for (const Vec2& p : ring) turned.push_back(ahead(p));
  return box_of(turned);
}

// Luminaires fill whole tiles: a corner of one is a corner of the grid.
std::optional<Vec2> corner_of_luminaire(const Sheet& sheet, const Grid& grid,
                                        const std::vector<Held>& held,
                                        const std::vector<PartRole>& roles, int& part) {
  const auto whole = [](double size, double pitch) {
    const double count = std::round(size / pitch);
    return count >= 1 && std::abs(size - count * pitch) < 0.03;
  };
  for (const Held& thing : held) {
    if (roles[static_cast<std::size_t>(thing.part)].role != Role::luminaire) continue;
    const Box2 box = outline_of(thing);
    const Vec2 size = box.high - box.low;
    if (!whole(size.x, grid.pitch_u) || !whole(size.y, grid.pitch_v)) continue;
    if (!contains(sheet.region.outline, ahead(0.5 * (box.low + box.high)))) continue;
    part = thing.part;
    const double left = std::round(size.x / grid.pitch_u) * grid.pitch_u - size.x;
    const double behind = std::round(size.y / grid.pitch_v) * grid.pitch_v - size.y;
    return box.low - 0.5 * Vec2{left, behind};
  }
  return std::nullopt;
}

/// How much smaller than whole tiles of a module a luminaire is, at its worse side; infinite where
/// it fills none.
double play_in(const Vec2& size, double module_m) {
  constexpr double kOver = 0.0015, kMostPlay = 0.012;
  double worst = -Box3::kInf;
  for (const double side : {size.x, size.y}) {
    const double count = std::round(side / module_m);
    const double play = count * module_m - side;
    if (count < 1 || play < -kOver || play > kMostPlay) return Box3::kInf;
    worst = std::max(worst, play);
  }
  return worst;
}

struct Module {
  double size_m = kDefaultTile;
  int luminaire = -1;  ///< that speaks for it
  Vec2 outline;
};

/// The module that most luminaires fill whole tiles of. Modules: common practice, no source.
std::optional<Module> module_of_luminaires(const std::vector<Held>& held,
                                           const std::vector<PartRole>& roles) {
  constexpr std::array<double, 3> kModules = {0.6, 0.6096, 0.625};
  std::array<int, 3> fill{};
  std::array<Module, 3> first;
  for (const Held& thing : held) {
    if (roles[static_cast<std::size_t>(thing.part)].role != Role::luminaire) continue;
    const Box2 box = outline_of(thing);
    const Vec2 size = box.high - box.low;
    std::size_t best = 0;
    for (std::size_t i = 1; i < kModules.size(); ++i)
      if (play_in(size, kModules[i]) < play_in(size, kModules[best]) - 1e-6) best = i;
    if (!std::isfinite(play_in(size, kModules[best]))) continue;
    if (++fill[best] == 1) first[best] = {kModules[best], thing.part, size};
  }
  const auto most = std::max_element(fill.begin(), fill.end());
  if (*most == 0) return std::nullopt;
  return first[static_cast<std::size_t>(most - fill.begin())];
}

/// What a sketch says of where its grid starts is lost where the model was turned since.
bool lies_as_sketched(const Sheet& sheet) {
  constexpr double kTurned = 1e-4;
  return std::min(std::abs(sheet.frame.u.x), std::abs(sheet.frame.u.y)) < kTurned;
}

bool is_alike(const Grid& a, const Grid& b) {
  constexpr double kNear = 0.005;
  return std::abs(a.pitch_u - b.pitch_u) < kNear && std::abs(a.pitch_v - b.pitch_v) < kNear;
}

Grid grid_of_sheet(const Scene& scene, const Job& job, const Sheet& sheet,
                   const std::vector<Held>& held, Room& room) {
  const auto part = static_cast<std::size_t>(first_tile(scene, sheet));
  const PartRule* rule = rule_of(job, room.roles[part]);
  const auto named_size = two_lengths(scene.parts[part], "tile", " x ");
  const auto named_corner = two_lengths(scene.parts[part], "grid_from", ", ");
  std::optional<std::array<double, 2>> size;
  if (rule != nullptr && rule->tile_m) size = *rule->tile_m;
  std::optional<std::array<double, 2>> corner = rule ? rule->tile_origin_m : std::nullopt;
  std::optional<Grid> drawn;
  if (!corner) drawn = grid_of_parts(scene, sheet);
  if (drawn && !size) return *drawn;
  const std::string match = "\"parts\": [{ \"match\": \"" + scene.parts[part].name + "\", ";
  if (!size && named_size) {
    size = named_size;
    room.guesses.push_back(
        {"Tiles of " + sheet.name,
         format_length((*size)[0], job.units, 4) + " x " + format_length((*size)[1], job.units, 4),
         "its extra \"tile\" says so", match + "\"tile\": [...] }]"});
  }
  if (!size) {
    const auto module = module_of_luminaires(held, room.roles);
    const double side = module ? module->size_m : kDefaultTile;
    const auto length = [&](double metres) { return format_length(metres, job.units, 3); };
    room.guesses.push_back(
        {"Tiles of " + sheet.name, format_length(side, job.units, module ? 4 : 2) + " square",
         module ? display_name(scene, module->luminaire) + ", " + length(module->outline.x) +
                      " x " + length(module->outline.y) +
                      ", fills whole tiles of that common size; neither the job nor the model says "
                      "otherwise"
                : "neither the job nor the model says otherwise; it is a common size",
         match + "\"tile\": [\"600 mm\", \"600 mm\"] }]"});
    size = std::array<double, 2>{side, side};
  }
  Grid grid;
  if (size) grid = {(*size)[0], (*size)[1], {}};
  if (grid.pitch_u < 0.1 || grid.pitch_v < 0.1) grid = {};
  // A job that tells the tiles' size, as a first job does, leaves them where they are drawn.
  if (drawn && is_alike(*drawn, grid)) return *drawn;
  if (!corner && named_corner && lies_as_sketched(sheet)) corner = named_corner;
  if (corner) {
    grid.corner = ahead(sheet.frame.to_plane({(*corner)[0], (*corner)[1], sheet.frame.origin.z}));
    return grid;
  }
  int luminaire = -1;
  if (const auto at = corner_of_luminaire(sheet, grid, held, room.roles, luminaire)) {
    grid.corner = *at;
    room.guesses.push_back({"Where the tiles of " + sheet.name + " start",
                            "so that " + display_name(scene, luminaire) + " fills whole tiles",
                            "neither the job nor the model says where a corner of the grid lies",
                            match + "\"tile_origin\": [x, y] }]"});
    return grid;
  }
  Ring turned;
  for (const Vec2& p : sheet.region.outline) turned.push_back(ahead(p));
  const Box2 box = box_of(turned);
  grid.corner = {centred(box.low.x, box.high.x, grid.pitch_u),
                 centred(box.low.y, box.high.y, grid.pitch_v)};
  room.guesses.push_back({"Where the tiles of " + sheet.name + " start",
                          "centred, border tiles alike on opposite sides",
                          "neither the job nor the model says where a corner of the grid lies",
                          match + "\"tile_origin\": [x, y] }]"});
  return grid;
}

void judge(const Scene& scene, const Job& job, const std::vector<Held>& held,
           const std::vector<PartRole>& roles, Tile& tile) {
  for (const Held& thing : held) {
    if (roles[static_cast<std::size_t>(thing.part)].role == Role::hole) continue;
    if (area(common({tile.ring}, thing.region)) < 1e-3) continue;
    tile.cuttable = false;
    tile.reason = "holds " + display_name(scene, thing.part);
    return;
  }
  if (!grown({tile.ring}, -job.prefer.tee_margin_m - 0.01).empty()) return;
  tile.cuttable = false;
  tile.reason = "is too narrow to cut";
}

}  // namespace

std::string row_letters(int row) {
  std::string text;
  for (int n = row + 1; n > 0; n = (n - 1) / 26)
    text.insert(text.begin(), static_cast<char>('A' + (n - 1) % 26));
  return text;
}

// There may be more of them than of tiles, which are never so narrow but where one was cut.
bool is_trim(const Scene& scene, const Sheet& sheet, int part) {
  return is_narrow(box_on(scene, sheet, part));
}

int first_tile(const Scene& scene, const Sheet& sheet) {
  for (const int part : sheet.parts)
    if (!is_trim(scene, sheet, part)) return part;
  return sheet.parts.front();
}

TileGrid tile_grid(const Scene& scene, const Job& job, int index, Room& room) {
  const Sheet& sheet = room.sheets[static_cast<std::size_t>(index)];
  TileGrid result;
  result.sheet = index;
  double top = sheet.frame.origin.z;
  for (const int part : sheet.parts)
    if (!is_trim(scene, sheet, part))
      top = std::max(top, box_of(scene, scene.parts[static_cast<std::size_t>(part)]).high.z);
  result.thickness_m = top - sheet.frame.origin.z;
  if (result.thickness_m < 0.002 || result.thickness_m > 0.2) result.thickness_m = kThickness;
  const auto held = held_by(scene, sheet, result.thickness_m, room.roles);
  const Grid grid = grid_of_sheet(scene, job, sheet, held, room);
  result.pitch_u_m = grid.pitch_u;
  result.pitch_v_m = grid.pitch_v;
  Ring turned;
  for (const Vec2& p : sheet.region.outline) turned.push_back(ahead(p));
  const Box2 box = box_of(turned);
  const auto first = [](double low, double corner, double pitch) {
    return corner + pitch * std::floor((low - corner) / pitch + 1e-4);
  };
  const double x0 = first(box.low.x, grid.corner.x, grid.pitch_u);
  const double y0 = first(box.low.y, grid.corner.y, grid.pitch_v);
  const Region outline{sheet.region.outline};
  for (int row = 0; y0 + row * grid.pitch_v < box.high.y - 1e-4; ++row) {
    for (int column = 0; x0 + column * grid.pitch_u < box.high.x - 1e-4; ++column) {
      const Vec2 low = ahead({x0 + column * grid.pitch_u, y0 + (row + 1) * grid.pitch_v});
      const Vec2 high = ahead({x0 + (column + 1) * grid.pitch_u, y0 + row * grid.pitch_v});
      const auto pieces = polygons(common(outline, {rectangle_ring(low, high)}));
      if (pieces.empty() || area(pieces.front()) < 1e-3) continue;
      Tile tile;
      tile.id = {row, column};
      tile.name = row_letters(row) + std::to_string(column + 1);
      tile.ring = pieces.front().outline;
      judge(scene, job, held, room.roles, tile);
      result.tiles.push_back(std::move(tile));
    }
  }
  return result;
}

}  // namespace roomloom
