#include <nlohmann/json.hpp>

#include "interview/room_facts.h"
#include "sketch/sketch.h"

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

Json points_json(const std::vector<Vec2>& corners) {
  double left = 1e9, rear = 1e9;
  for (const Vec2& p : corners) left = std::min(left, p.x), rear = std::min(rear, p.y);
  Json points = Json::array();
  for (const Vec2& p : corners) points.push_back({rounded(p.x - left), rounded(p.y - rear)});
  return points;
}

std::array<double, 2> tile_of(const std::string& words) {
  if (words == "600 x 1200 mm") return {0.6, 1.2};
  if (words == "2 x 2 ft") return {0.6096, 0.6096};
  if (words == "2 x 4 ft") return {0.6096, 1.2192};
  return {0.6, 0.6};
}

std::string capital(std::string word) {
  if (!word.empty() && word[0] >= 'a' && word[0] <= 'z')
    word[0] = static_cast<char>(word[0] - 'a' + 'A');
  return word;
}

Json openings_json(const Reader& in, const RoomFacts& room, const std::string& what) {
  Json all = Json::array();
  for (int i = 1; i <= in.answers.count(what + "s"); ++i) {
    const std::string key = what + "_" + std::to_string(i);
    const double width = in.length(key + "_width", 0.9, 0.9);
    const double left = wall_length(room, in.answers.text(key + "_wall")) - width;
    constexpr double kFromCorner = 0.1;
    Json one = {{"name", capital(what) + " " + std::to_string(i)},
                {"wall", "Wall " + in.answers.text(key + "_wall")},
                {"from_left", rounded(in.length(key + "_from_left", std::min(kFromCorner, left),
                                                std::max(kFromCorner, left - kFromCorner)))},
                {"width", width},
                {"height", in.length(key + "_height", 2, 2)}};
    if (what == "window") one["up"] = in.length(key + "_sill", 0.9, 0.9);
    if (what == "door") one["swing"] = 90;
    all.push_back(one);
  }
  return all;
}

Json room_json(const Reader& in, const RoomFacts& room) {
  const Answers& answers = in.answers;
  Json json = {{"version", kSketchVersion},
               {"name", answers.text("name")},
               {"outline",
                {{"points", points_json(room.corners)},
                 {"names", {"Wall left", "Wall front", "Wall right", "Wall back"}}}},
               {"height", room.height},
               {"wall_build", room.hollow ? "stud" : "outside"}};
  if (room.suspended) {
    json["height"] = room.height + kTileThickness + room.above;
    json["suspended_ceiling"] = {{"height", room.height},
                                 {"tile", tile_of(answers.text("tile"))},
                                 {"thickness", kTileThickness}};
  }
  if (answers.count("doors") > 0) json["doors"] = openings_json(in, room, "door");
  if (answers.count("windows") > 0) json["windows"] = openings_json(in, room, "window");
  if (answers.text("loudspeakers") != "none") {
    const double from_front = in.length("listener", 0.5 * room.depth, 0.75 * room.depth);
    const Vec2 middle = 0.5 * (room.corners[1] + room.corners[2]);
    json["markers"] = Json::array({{{"name", "Listener"},
                                    {"at", {rounded(middle.x), rounded(middle.y - from_front)}},
                                    {"up", 1.1}}});
  }
  return json;
}

/// The balanced corners, moved to where the room file counts from.
std::vector<Vec2> in_room_file(const std::vector<Vec2>& corners) {
  std::vector<Vec2> moved;
  for (const Json& p : points_json(corners))
    moved.push_back({p[0].get<double>(), p[1].get<double>()});
  return moved;
}

}  // namespace

Result<Composed> compose(const Answers& answers, const Assumed& assumed,
                         const HouseHabits& habits) {
  std::string missing;
  for (const char* key : {"name", "wall_front", "wall_left", "rack_wall"})
    if (!answers.has(key)) missing += std::string(missing.empty() ? "" : ", ") + key;
  if (!missing.empty())
    return Error{"answer.missing", "Without these there is no room: " + missing + ".", "",
                 "Run roomloom start."};
  const Reader in{answers, assumed};
  const auto outline = outline_of(in);
  if (!outline) return outline.error();
  RoomFacts room;
  room.corners = in_room_file(outline->corners);
  room.suspended = answers.yes("suspended_ceiling");
  const BalancedHeights heights = heights_of(in, room.suspended);
  room.height = heights.ceiling;
  room.above = heights.above;
  room.depth = norm(room.corners[1] - room.corners[0]);
  room.hollow = answers.text("hollow_walls") == "all" ||
                (answers.unknown("hollow_walls") && in.fraction("hollow_walls") > 0.5);
  return Composed{room_json(in, room).dump(1) + "\n", job_text(in, room, habits), *outline,
                  heights.misclosure};
}

}  // namespace roomloom
