#include "job/read_living.h"

#include <algorithm>

#include "base/nearest.h"
#include "job/read_places.h"
#include "types/palette.h"

// What people do in the room: where they look from, where they walk, what they open and move.

namespace roomloom {
namespace {

constexpr double kAnywhere = -10000;

Vec2 read_pair(const Field& field) {
  Vec2 pair;
  const auto items = field.items();
  if (items.size() != 2) return pair;
  items[0].read_length(pair.x, kAnywhere);
  items[1].read_length(pair.y, kAnywhere);
  return pair;
}

EyeSpec read_eye(const Field& field) {
  EyeSpec eye;
  eye.pointer = field.pointer();
  field["name"].read(eye.name);
  eye.place = read_place(field);
  if (std::holds_alternative<std::monostate>(eye.place))
    field.problem("job.place", "The eye point \"" + eye.name + "\" has no place.",
                  "Give \"xyz\", a \"marker\", or \"at\" a part.");
  return eye;
}

FloorArea read_area(const Field& field) {
  FloorArea area;
  area.pointer = field.pointer();
  field["name"].read(area.name);
  const Vec2 a = read_pair(field["from"]), b = read_pair(field["to"]);
  area.low = {std::min(a.x, b.x), std::min(a.y, b.y)};
  area.high = {std::max(a.x, b.x), std::max(a.y, b.y)};
  return area;
}

}  // namespace

void read_colour(const Field& field, std::string& colour) {
  if (!field.given()) return;
  field.read(colour);
  if (!colour_named(colour))
    field.problem("job.colour", "\"" + colour + "\" is no colour.",
                  "Write \"#f0ece0\" or one of " + quoted_list(colour_words()) + ".");
}

void read_moving(const Field& part, PartRule& rule) {
  if (part["swing"].given()) {
    rule.swing_rad = 0;
    part["swing"].read_angle(*rule.swing_rad);
  }
  if (part["hinge"].given()) rule.hinge_left = part["hinge"].text() == "left";
  part["leaves"].read(rule.leaves);
  part["recline"].read_length(rule.recline_m);
  part["slide"].read_length(rule.slide_m);
  part["toward"].read(rule.toward);
  rule.see_through = part["see_through"].boolean();
  read_colour(part["colour"], rule.colour);
}

SightSpec read_sight(const Field& field) {
  SightSpec sight;
  for (const Field& eye : field["eyes"].items()) sight.eyes.push_back(read_eye(eye));
  field["seats"].read(sight.seats);
  field["doors"].read(sight.doors);
  field["curtains_closed"].read_share(sight.curtains_closed);
  field["hidden_weight"].read_share(sight.hidden_weight);
  field["blending_weight"].read_share(sight.blending_weight);
  read_colour(field["raceway_colour"], sight.raceway_colour);
  sight.model_colours = field["colours"].text() == "model";
  return sight;
}

std::vector<WalkwaySpec> read_walkways(const Field& field) {
  std::vector<WalkwaySpec> walkways;
  for (const Field& item : field.items()) {
    WalkwaySpec walkway;
    walkway.pointer = item.pointer();
    item["name"].read(walkway.name);
    if (walkway.name.empty()) walkway.name = "Walkway " + std::to_string(walkways.size() + 1);
    for (const Field& point : item["points"].items()) walkway.points.push_back(read_pair(point));
    item["width"].read_length(walkway.width_m, 0.1);
    walkways.push_back(std::move(walkway));
  }
  return walkways;
}

FloorSpec read_floor(const Field& field, bool& raceway_over_floor) {
  FloorSpec floor;
  const Field cross = field["cross"];
  const std::string word = cross.text();
  floor.anywhere = word == "anywhere";
  raceway_over_floor = word == "in raceway";
  if (!word.empty() && word != "anywhere" && word != "nowhere" && word != "in raceway")
    cross.problem("job.word", "\"" + word + "\" is no answer here.",
                  "Write \"nowhere\", \"anywhere\", \"in raceway\" or a list of rectangles.");
  for (const Field& area : cross.items()) {
    floor.areas.push_back(read_area(area));
    if (floor.areas.back().name.empty())
      floor.areas.back().name = "floor area " + std::to_string(floor.areas.size());
  }
  field["beside_wall"].read_length(floor.beside_wall_m);
  return floor;
}

}  // namespace roomloom
