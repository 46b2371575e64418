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

std::array<double, 2> tile_of(const Reader& in) {
  std::string words = in.answers.text("tile");
  if (in.answers.unknown("tile") || words.empty())
    for (const Question& question : questions(in.answers))
      if (question.key == "tile") words = question.between[in.fraction("tile") > 0.5 ? 1 : 0];
  if (words == "600 x 1200 mm") return {0.6, 1.2};
  if (words == "2 x 2 ft") return {0.6096, 0.6096};
  if (words == "625 x 625 mm") return {0.625, 0.625};
  if (words == "2 x 4 ft") return {0.6096, 1.2192};
  return {0.6, 0.6};
}

std::string capital(std::string word) {
  if (!word.empty() && word[0] >= 'a' && word[0] <= 'z')
    word[0] = static_cast<char>(word[0] - 'a' + 'A');
  return word;
}

/// What a door or window can be that nobody measured. Common practice, no source.
struct OpeningRange {
  double width_low, width_high, height_low, height_high;
};
constexpr OpeningRange kDoor = {0.6, 1, 1.9, 2.1}, kWindow = {0.5, 2, 0.5, 1.5};
constexpr double kSillLow = 0.4, kSillHigh = 1.2;

Json opening_json(const Reader& in, const RoomFacts& room, const std::string& key, bool door) {
  const std::string wall_name = in.answers.text(key + "_wall");
  const double wall = wall_length(room, wall_name);
  const OpeningRange& can = door ? kDoor : kWindow;
  const auto length = [&](const char* what, double low, double high) {
    return rounded(in.length(key + what, std::min(low, high), high));
  };
  const double width = length("_width", can.width_low, std::min(can.width_high, 0.9 * wall));
  const double left = wall - width;
  constexpr double kFromCorner = 0.1, kBelowCeiling = 0.05;
  const double sill = door ? 0 : length("_sill", kSillLow, kSillHigh);
  const double room_above = room.height - sill - kBelowCeiling;
  std::string name = capital(key);
  name[name.find('_')] = ' ';
  Json one = {{"name", name},
              {"wall", "Wall " + wall_name},
              {"from_left", length("_from_left", std::min(kFromCorner, left),
                                   std::max(kFromCorner, left - kFromCorner))},
              {"width", width},
              {"height", length("_height", can.height_low, std::min(can.height_high, room_above))}};
  if (door)
    one["swing"] = 90;
  else
    one["up"] = sill;
  return one;
}

Json openings_json(const Reader& in, const RoomFacts& room, const std::string& what) {
  Json all = Json::array();
  for (int i = 1; i <= in.answers.count(what + "s"); ++i)
    all.push_back(opening_json(in, room, what + "_" + std::to_string(i), what == "door"));
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
    json["suspended_ceiling"] = {
        {"height", room.height}, {"tile", tile_of(in)}, {"thickness", kTileThickness}};
  }
  if (answers.count("doors") > 0) json["doors"] = openings_json(in, room, "door");
  if (answers.count("windows") > 0) json["windows"] = openings_json(in, room, "window");
  if (const auto at = where_one_sits(in, room))
    json["markers"] = Json::array(
        {{{"name", "Listener"}, {"at", {rounded(at->x), rounded(at->y)}}, {"up", kEarsUp}}});
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

std::optional<Vec2> where_one_sits(const Reader& in, const RoomFacts& room) {
  if (in.answers.text("loudspeakers") == "none") return std::nullopt;
  const double from_front = in.length("listener", 0.5 * room.depth, 0.75 * room.depth);
  const Vec2 middle = 0.5 * (room.corners[1] + room.corners[2]);
  return Vec2{middle.x, middle.y - from_front};
}

Result<Composed> compose(const Answers& answers, const Assumed& assumed,
                         const HouseHabits& habits) {
  std::string missing;
  for (const char* key : {"name", "wall_front", "wall_left", "rack_wall"})
    if (!answers.has(key)) missing += std::string(missing.empty() ? "" : ", ") + key;
  if (!missing.empty())
    return Error{"answer.missing", "Without these there is no room: " + missing + ".", "",
                 "Run roomloom start."};
  std::map<std::string, TakenRange> taken;
  const Answers known = settled(answers);
  const Reader in{known, assumed, taken};
  const auto outline = outline_of(in);
  if (!outline) return outline.error();
  RoomFacts room;
  room.corners = in_room_file(outline->balanced.corners);
  room.suspended = in.is("suspended_ceiling", "yes");
  const BalancedHeights heights = heights_of(in, room.suspended);
  room.height = heights.ceiling;
  room.above = heights.above;
  room.depth = norm(room.corners[1] - room.corners[0]);
  room.hollow = in.is("hollow_walls", "all");
  const std::string room_text = room_json(in, room).dump(1) + "\n",
                    wired = job_text(in, room, habits);
  return Composed{room_text,          wired, outline->balanced, outline->or_not_square,
                  heights.misclosure, taken};
}

}  // namespace roomloom
