#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "interview/interview.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

/// How square a room is without anybody having measured it (from memory, no source).
constexpr double kSquareness = 0.5 * kPi / 180;

struct Reader {
  const Answers& answers;
  const Assumed& assumed;

  double fraction(const std::string& key) const {
    const auto found = assumed.find(key);
    return found == assumed.end() ? 0.5 : found->second;
  }
  /// The answer, or what is assumed of it between `low` and `high`.
  double length(const std::string& key, double low, double high) const {
    return answers.length(key).value_or(low + fraction(key) * (high - low));
  }
};

std::vector<TapeMeasure> measures_of(const Answers& answers) {
  // Corners: back left, front left, front right, back right.
  struct Named {
    const char* key;
    const char* name;
    int from, to;
  };
  std::vector<TapeMeasure> all;
  for (const Named& n : {Named{"wall_left", "the left wall", 0, 1},
                         {"wall_front", "the front wall", 1, 2},
                         {"wall_right", "the right wall", 2, 3},
                         {"wall_back", "the back wall", 3, 0},
                         {"diagonal_1", "the diagonal from front left to back right", 1, 3},
                         {"diagonal_2", "the diagonal from front right to back left", 2, 0}}) {
    if (const auto metres = answers.length(n.key))
      all.push_back({n.name, n.from, n.to, -1, *metres, 0.005, false});
  }
  for (int corner = 0; corner < 4; ++corner)
    all.push_back({"a square corner", (corner + 3) % 4, (corner + 1) % 4, corner, kPi / 2,
                   kSquareness, true});
  return all;
}

Result<BalancedOutline> outline_of(const Answers& answers) {
  const double width = answers.length("wall_front").value_or(0);
  const double depth = answers.length("wall_left").value_or(0);
  const std::vector<Vec2> guess = {{0, 0}, {0, depth}, {width, depth}, {width, 0}};
  auto measures = measures_of(answers);
  auto judged = balance(guess, measures);
  if (!judged || !judged->blamed.empty()) return judged;
  // That corners are about square helps to tell which measure is wrong. Where lengths alone fix the
  // room, they alone shape it.
  std::erase_if(measures, [](const TapeMeasure& m) { return m.assumed; });
  auto measured = balance(guess, measures);
  return measured ? measured : judged;
}

/// Millimetres are all a tape gives.
double rounded(double metres) { return std::round(metres * 1000) / 1000; }

Json points_json(const std::vector<Vec2>& corners) {
  double left = 1e9, rear = 1e9;
  for (const Vec2& p : corners) left = std::min(left, p.x), rear = std::min(rear, p.y);
  Json points = Json::array();
  for (const Vec2& p : corners) points.push_back({rounded(p.x - left), rounded(p.y - rear)});
  return points;
}

std::string capital(std::string word) {
  if (!word.empty() && word[0] >= 'a' && word[0] <= 'z')
    word[0] = static_cast<char>(word[0] - 'a' + 'A');
  return word;
}

Json openings_json(const Reader& in, const std::string& what) {
  Json all = Json::array();
  for (int i = 1; i <= in.answers.count(what + "s"); ++i) {
    const std::string key = what + "_" + std::to_string(i);
    Json one = {{"name", capital(what) + " " + std::to_string(i)},
                {"wall", "Wall " + in.answers.text(key + "_wall")},
                {"from_left", in.length(key + "_from_left", 0.2, 0.2)},
                {"width", in.length(key + "_width", 0.9, 0.9)},
                {"height", in.length(key + "_height", 2, 2)}};
    if (what == "window") one["up"] = in.length(key + "_sill", 0.9, 0.9);
    if (what == "door") one["swing"] = 90;
    all.push_back(one);
  }
  return all;
}

std::array<double, 2> tile_of(const std::string& words) {
  if (words == "600 x 1200 mm") return {0.6, 1.2};
  if (words == "2 x 2 ft") return {0.6096, 0.6096};
  if (words == "2 x 4 ft") return {0.6096, 1.2192};
  return {0.6, 0.6};
}

constexpr double kTileThickness = 0.015;

/// Everything about the room that both files need.
struct RoomFacts {
  std::vector<Vec2> corners;  ///< of the room file: none below 0
  double height = 0, depth = 0;
  bool suspended = false, hollow = false;
};

Json room_json(const Reader& in, const RoomFacts& room) {
  const Answers& answers = in.answers;
  Json json = {{"name", answers.text("name")},
               {"outline",
                {{"points", points_json(room.corners)},
                 {"names", {"Wall left", "Wall front", "Wall right", "Wall back"}}}},
               {"height", room.height},
               {"wall_build", room.hollow ? "stud" : "outside"}};
  if (room.suspended) {
    const double above = in.length("void_depth", 0.15, 0.6);
    json["height"] = room.height + kTileThickness + above;
    json["suspended_ceiling"] = {{"height", room.height},
                                 {"tile", tile_of(answers.text("tile"))},
                                 {"thickness", kTileThickness}};
  }
  if (answers.count("doors") > 0) json["doors"] = openings_json(in, "door");
  if (answers.count("windows") > 0) json["windows"] = openings_json(in, "window");
  if (answers.text("loudspeakers") != "none") {
    const double from_front = in.length("listener", 0.5 * room.depth, 0.75 * room.depth);
    const Vec2 middle = 0.5 * (room.corners[1] + room.corners[2]);
    json["markers"] = Json::array({{{"name", "Listener"},
                                    {"at", {rounded(middle.x), rounded(middle.y - from_front)}},
                                    {"up", 1.1}}});
  }
  return json;
}

/// Adds ends and runs, and the ports that they start from.
class JobParts {
 public:
  explicit JobParts(bool feet) : feet_(feet) {}
  void run(const std::string& service, const std::string& to, const std::string& cable) {
    const std::string id = service + std::to_string(++counts_[service]);
    ports_.push_back(id);
    runs_.push_back({{"id", id}, {"from", "rack." + id}, {"to", to}, {"cable", cable}});
  }
  void end(Json end) { ends_.push_back(std::move(end)); }
  std::string loudspeaker_cable() const { return feet_ ? "speaker 2x14awg" : "speaker 2x2.5"; }
  const Json& ports() const { return ports_; }
  const Json& ends() const { return ends_; }
  const Json& runs() const { return runs_; }

 private:
  bool feet_;
  std::map<std::string, int> counts_;
  Json ports_ = Json::array(), ends_ = Json::array(), runs_ = Json::array();
};

void add_loudspeakers(const Reader& in, const RoomFacts& room, JobParts& job) {
  if (const auto* system = loudspeaker_system(in.answers.text("loudspeakers"))) {
    for (const LabelRange& label : system->labels)
      if (label.positioned) job.run("S", label.label, job.loudspeaker_cable());
  }
  Vec2 centre;
  for (const Vec2& p : room.corners) centre = centre + 0.25 * p;
  const std::pair<const char*, std::size_t> places[] = {{"subwoofer front left", 1},
                                                        {"subwoofer front right", 2},
                                                        {"subwoofer back left", 0},
                                                        {"subwoofer back right", 3}};
  for (int i = 0; i < in.answers.count("subwoofers"); ++i) {
    const auto& [name, corner] = places[i];
    const Vec2 inwards = centre - room.corners[corner];
    const Vec2 at = room.corners[corner] + (0.5 / norm(inwards)) * inwards;
    job.end({{"id", name}, {"xyz", {rounded(at.x), rounded(at.y), 0.15}}, {"mount", "on floor"}});
    job.run("W", name, "line coax");
  }
}

void add_the_rest(const Reader& in, const RoomFacts& room, JobParts& job) {
  if (in.answers.yes("projector")) {
    const double from_front =
        in.length("projector_from_front", 0.55 * room.depth, 0.85 * room.depth);
    const Vec2 middle = 0.5 * (room.corners[1] + room.corners[2]);
    job.end({{"id", "projector"},
             {"xyz", {rounded(middle.x), rounded(middle.y - from_front), room.height}},
             {"mount", "on sheet"}});
    job.run("V", "projector", "hdmi optical 48G");
  }
  for (int i = 1; i <= in.answers.count("network_points"); ++i) {
    const std::string key = "network_" + std::to_string(i);
    job.end({{"id", "network " + std::to_string(i)},
             {"at", "Wall " + in.answers.text(key + "_wall")},
             {"from_left", in.length(key + "_from_left", 0.3, 0.3)},
             {"up", 0.3}});
    job.run("N", "network " + std::to_string(i), "cat6");
  }
}

Json rack_json(const Reader& in, const RoomFacts& room, const Json& ports) {
  constexpr double kWidth = 0.6;
  const std::string wall = in.answers.text("rack_wall");
  const std::size_t corner = wall == "left" ? 0 : wall == "front" ? 1 : wall == "right" ? 2 : 3;
  const double along = norm(room.corners[(corner + 1) % 4] - room.corners[corner]);
  const double middle = in.length("rack_from_left", 0.25 * along, 0.75 * along);
  return {
      {"id", "rack"},
      {"box", {kWidth, 0.5, 0.9}},
      {"at", "Wall " + wall},
      {"from_left", rounded(std::clamp(middle - kWidth / 2, 0.0, std::max(0.0, along - kWidth)))},
      {"off_wall", 0.1},
      {"ports", ports}};
}

Json spools_json(const Answers& answers, const std::string& key, const std::string& cable) {
  Json all = Json::array();
  std::istringstream parts(answers.text(key));
  for (std::string part; std::getline(parts, part, ';');) {
    part.erase(0, std::min(part.find_first_not_of(' '), part.size()));
    if (const auto metres = parse_length(part); metres && *metres > 0)
      all.push_back({{"cable", cable}, {"length", *metres}});
  }
  return all;
}

Json job_json(const Reader& in, const RoomFacts& room) {
  const bool feet = in.answers.units() == DisplayUnits::feet_and_inches;
  JobParts parts(feet);
  add_loudspeakers(in, room, parts);
  add_the_rest(in, room, parts);
  Json json = {{"version", 1},
               {"name", in.answers.text("name")},
               {"units", feet ? "feet and inches" : "metric"},
               {"model", {{"file", "room.glb"}}}};
  json["gear"] = Json::array({rack_json(in, room, parts.ports())});
  if (in.answers.text("loudspeakers") != "none")
    json["layout"] = {{"system", in.answers.text("loudspeakers")},
                      {"listener", {{"marker", "Listener"}}},
                      {"facing", "Wall front"}};
  json["ends"] = parts.ends();
  json["runs"] = parts.runs();
  Json spools = spools_json(in.answers, "shelf_speaker", parts.loudspeaker_cable());
  for (const Json& spool : spools_json(in.answers, "shelf_network", "cat6"))
    spools.push_back(spool);
  if (!spools.empty()) json["stock"] = {{"spools", spools}};
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

Result<Composed> compose(const Answers& answers, const Assumed& assumed) {
  std::string missing;
  for (const char* key : {"name", "wall_front", "wall_left", "rack_wall"})
    if (!answers.has(key)) missing += std::string(missing.empty() ? "" : ", ") + key;
  if (!missing.empty())
    return Error{"answer.missing", "Without these there is no room: " + missing + ".", "",
                 "Run roomloom start."};
  const auto outline = outline_of(answers);
  if (!outline) return outline.error();
  const Reader in{answers, assumed};
  RoomFacts room;
  room.corners = in_room_file(outline->corners);
  room.height = in.length("height", 2.3, 2.7);
  room.depth = norm(room.corners[1] - room.corners[0]);
  room.suspended = answers.yes("suspended_ceiling");
  room.hollow = answers.text("hollow_walls") == "all" ||
                (answers.unknown("hollow_walls") && in.fraction("hollow_walls") > 0.5);
  return Composed{room_json(in, room).dump(1) + "\n", job_json(in, room).dump(1) + "\n", *outline};
}

std::string misclosure_text(const BalancedOutline& outline, DisplayUnits units) {
  if (outline.blamed.empty()) return {};
  std::string text =
      "The measures do not agree: " + outline.blamed + " is the likeliest to be wrong.";
  for (const BalancedMeasure& m : outline.measures)
    if (m.name == outline.blamed)
      text += " You measured " + format_length(m.measured, units, 3) + "; the others say about " +
              format_length(outline.blamed_value, units, 2) + ". Measure it again.";
  return text +
         " Until then the room is drawn as a compromise, with no length changed by more than " +
         format_length(outline.misclosure_m, units, 3) + ".";
}

}  // namespace roomloom
