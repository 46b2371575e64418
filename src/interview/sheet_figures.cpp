#include "base/steps.h"
#include "interview/sheet_page.h"

namespace roomloom {
namespace {

using NumberOf = std::function<std::string(const std::string&)>;

/// Plans look from above, the front wall upwards.
void draw_outline(SheetPage& page, double x, double y, const NumberOf& number) {
  const double left = x + 8, top = y + 6, right = x + 54, bottom = y + 38;
  page.box(left, top, right - left, bottom - top);
  page.line(left, top, right, bottom, true);
  page.line(right, top, left, bottom, true);
  page.number(left + 10, top + 7, number("diagonal_1"));
  page.number(right - 10, top + 7, number("diagonal_2"));
  page.number((left + right) / 2, top, number("wall_front"));
  page.number((left + right) / 2, bottom, number("wall_back"));
  page.number(left, (top + bottom) / 2, number("wall_left"));
  page.number(right, (top + bottom) / 2, number("wall_right"));
  page.text(left + 15, top - 6, 30, "front wall", 7);
  page.text(left + 15, bottom + 2.5, 30, "back wall", 7);
}

/// From the side.
void draw_heights(SheetPage& page, double x, double y, const NumberOf& number) {
  const double floor = y + 40, ceiling = y + 18, above = y + 6, left = x + 4, right = x + 58;
  page.line(left, floor, right, floor);
  page.line(left, above, right, above);
  page.line(left, floor, left, above);
  page.line(right, floor, right, above);
  page.line(left, ceiling, right, ceiling, true);
  page.measure(x + 14, floor, x + 14, ceiling, number("height"));
  page.measure(x + 30, ceiling, x + 30, above, number("void_depth"));
  page.measure(x + 46, floor, x + 46, above, number("height_above"));
  page.text(x + 16, floor + 0.5, 20, "floor", 7);
  page.text(x + 34, ceiling + 0.5, 10, "tiles", 7);
}

void draw_tiles(SheetPage& page, double x, double y, const NumberOf& number) {
  const double left = x + 8, top = y + 6, right = x + 56, bottom = y + 40;
  page.box(left, top, right - left, bottom - top);
  constexpr double kTile = 11, kCutLeft = 7, kCutFront = 8;
  for (const double at : steps_below(left + kCutLeft, right, kTile))
    page.line(at, top, at, bottom, true);
  for (const double at : steps_below(top + kCutFront, bottom, kTile))
    page.line(left, at, right, at, true);
  const double tile = left + kCutLeft + kTile;
  page.measure(left, bottom - 4, left + kCutLeft, bottom - 4, number("tile_cut_left"));
  page.measure(right - 7, top, right - 7, top + kCutFront, number("tile_cut_front"));
  page.measure(tile, top + kCutFront + 5, tile + kTile, top + kCutFront + 5, number("tile"));
  page.text(left + 14, top - 5, 30, "front wall", 7);
}

/// A wall cut through, from above.
void draw_studs(SheetPage& page, double x, double y, const NumberOf& number) {
  page.line(x + 4, y + 14, x + 58, y + 14);
  page.line(x + 4, y + 24, x + 58, y + 24);
  for (const double at : {8.0, 24.0, 40.0, 56.0}) page.box(x + at - 1.5, y + 14, 3, 10);
  page.measure(x + 24, y + 29, x + 40, y + 29, number("stud_pitch"));
  page.text(x + 4, y + 6, 54, "the wall cut through, from above", 7);
}

/// A wall as one faces it from inside, with a door or a window.
void draw_opening(SheetPage& page, double x, double y, const NumberOf& number,
                  const std::string& thing, bool door) {
  const double left = x + 4, right = x + 58, floor = y + 38, ceiling = y + 4;
  page.box(left, ceiling, right - left, floor - ceiling);
  const double at = x + 24, width = 15, top = y + 12, bottom = door ? floor : y + 27;
  page.box(at, top, width, bottom - top);
  page.measure(left, y + 32, at, y + 32, number(thing + "_from_left"));
  page.measure(at, top - 3.5, at + width, top - 3.5, number(thing + "_width"));
  page.measure(at + width + 5, top, at + width + 5, bottom, number(thing + "_height"));
  if (!door) page.measure(at + 7, bottom, at + 7, floor, number(thing + "_sill"));
  page.text(left, floor + 1, 54, "a wall as you face it from inside", 7);
}

void draw_rack(SheetPage& page, double x, double y, const NumberOf& number) {
  const double left = x + 4, right = x + 58, wall = y + 10;
  page.line(left, wall, right, wall);
  page.line(left, wall, left, y + 34);
  page.line(right, wall, right, y + 34);
  page.box(x + 28, wall + 2, 13, 10);
  page.text(x + 29.5, wall + 5, 12, "rack", 7);
  page.measure(left, y + 27, x + 34.5, y + 27, number("rack_from_left"));
  page.line(x + 34.5, wall + 12, x + 34.5, y + 30, true);
  page.text(x + 10, wall - 6, 45, "its wall, from above", 7);
}

void draw_listening(SheetPage& page, double x, double y, const NumberOf& number) {
  const double left = x + 8, top = y + 6, right = x + 56, bottom = y + 42;
  page.box(left, top, right - left, bottom - top);
  page.box(x + 24, top + 5, 16, 1.5);
  page.text(x + 25, top + 6.5, 14, "screen", 6);
  page.measure(x + 43, top, x + 43, top + 5.7, number("screen_from_front"));
  page.box(x + 29, top + 20, 6, 6);
  page.text(x + 28.5, top + 26, 10, "seat", 6);
  page.measure(x + 18, top, x + 18, top + 23, number("listener"));
  page.box(x + 37, top + 26, 5, 4);
  page.text(x + 34.5, top + 30, 16, "projector", 6);
  page.measure(x + 51, top, x + 51, top + 28, number("projector_from_front"));
  page.text(x + 22, top - 5, 30, "front wall", 7);
}

void draw_outlet(SheetPage& page, double x, double y, const NumberOf& number,
                 const std::string& thing) {
  const double left = x + 4, right = x + 58, floor = y + 34, ceiling = y + 4;
  page.box(left, ceiling, right - left, floor - ceiling);
  page.box(x + 34, floor - 8, 4, 4);
  page.measure(left, floor - 12, x + 36, floor - 12, number(thing + "_from_left"));
  page.line(x + 36, floor - 8, x + 36, floor - 14, true);
  page.text(left, floor + 1, 54, "its wall as you face it from inside", 7);
}

}  // namespace

SheetFigure figure_of(const std::string& key) {
  const auto starts = [&](const char* with) { return key.starts_with(with); };
  if (key == "units" || key == "name") return {"The room", {}};
  if (starts("wall_") || starts("diagonal_") || starts("angle")) return {"Walls", draw_outline};
  if (starts("tile")) return {"Ceiling tiles", draw_tiles};
  if (starts("height") || starts("suspended") || starts("void")) return {"Heights", draw_heights};
  if (starts("hollow") || starts("stud")) return {"Inside the walls", draw_studs};
  for (const bool door : {true, false}) {
    const std::string what = door ? "door" : "window";
    if (!starts((what + "_").c_str())) continue;
    const std::string thing = key.substr(0, key.find('_', what.size() + 1));
    return {(door ? "Door " : "Window ") + thing.substr(what.size() + 1),
            [thing, door](SheetPage& page, double x, double y, const NumberOf& number) {
              draw_opening(page, x, y, number, thing, door);
            }};
  }
  if (starts("doors") || starts("windows")) return {"Doors and windows", {}};
  if (starts("rack")) return {"The rack", draw_rack};
  if (key == "network_points") return {"Network outlets", {}};
  if (starts("network_")) {
    const std::string thing = key.substr(0, key.find('_', 8));
    return {"Network outlet " + thing.substr(8),
            [thing](SheetPage& page, double x, double y, const NumberOf& number) {
              draw_outlet(page, x, y, number, thing);
            }};
  }
  if (starts("shelf")) return {"On the shelf", {}};
  return {"Where you sit and look", draw_listening};
}

}  // namespace roomloom
