#include <nlohmann/json.hpp>
#include <sstream>

#include "interview/room_facts.h"
#include "job/job.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

/// Adds ends and runs, and the ports that they start from.
class JobParts {
 public:
  void run(const std::string& service, const std::string& to, const std::string& cable) {
    const std::string id = service + std::to_string(++counts_[service]);
    ports_.push_back(id);
    runs_.push_back({{"id", id}, {"from", "rack." + id}, {"to", to}, {"cable", cable}});
  }
  void end(Json end) { ends_.push_back(std::move(end)); }
  const Json& ports() const { return ports_; }
  const Json& ends() const { return ends_; }
  const Json& runs() const { return runs_; }

 private:
  std::map<std::string, int> counts_;
  Json ports_ = Json::array(), ends_ = Json::array(), runs_ = Json::array();
};

/// Which cables are laid: the house's favourites, else what is common.
struct Cables {
  std::string loudspeaker, line, picture, network;
  std::string loudspeaker_spools;  ///< what the shelf holds of it
};

Cables cables_of(const Answers& answers, const HouseHabits& habits) {
  const bool feet = answers.units() == DisplayUnits::feet_and_inches;
  const auto favourite = [&](Service service, const char* usual) {
    const auto own = habits.favourites.find(service);
    return own == habits.favourites.end() ? std::string(usual) : own->second;
  };
  const char* pair = feet ? "speaker 2x14awg" : "speaker 2x2.5";
  Cables cables{favourite(Service::loudspeaker, pair), favourite(Service::line_level, "line coax"),
                favourite(Service::picture, "hdmi optical 48G"),
                favourite(Service::network, "cat6"), ""};
  cables.loudspeaker_spools = cables.loudspeaker == "speaker" ? pair : cables.loudspeaker;
  return cables;
}

void add_loudspeakers(const Reader& in, const RoomFacts& room, const Cables& cables,
                      JobParts& job) {
  if (const auto* system = loudspeaker_system(in.answers.text("loudspeakers"))) {
    for (const LabelRange& label : system->labels)
      if (label.positioned) job.run("S", label.label, cables.loudspeaker);
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
    const Vec2 at = room.corners[corner] + (kSubwooferFromCorner / norm(inwards)) * inwards;
    job.end({{"id", name}, {"xyz", {rounded(at.x), rounded(at.y), 0.15}}, {"mount", "on floor"}});
    job.run("W", name, cables.line);
  }
}

/// In front of the middle of the front wall, at the height of the eyes.
void add_screen(const Reader& in, const RoomFacts& room, const Cables& cables, JobParts& job) {
  const double from_front = in.length("screen_from_front", 0, 1);
  constexpr double kOnTheWall = 0.3;
  if (from_front <= kOnTheWall) {
    const double along = wall_length(room, "front");
    job.end({{"id", "screen"},
             {"at", "Wall front"},
             {"from_left", rounded(along / 2)},
             {"up", kScreenUp}});
  } else {
    const Vec2 middle = 0.5 * (room.corners[1] + room.corners[2]);
    job.end({{"id", "screen"},
             {"xyz", {rounded(middle.x), rounded(middle.y - from_front), 0.3}},
             {"mount", "on floor"}});
  }
  job.run("V", "screen", cables.picture);
}

void add_the_rest(const Reader& in, const RoomFacts& room, const Cables& cables, JobParts& job) {
  if (in.answers.yes("screen")) add_screen(in, room, cables, job);
  if (in.answers.yes("projector")) {
    const double from_front =
        in.length("projector_from_front", 0.55 * room.depth, 0.85 * room.depth);
    const Vec2 middle = 0.5 * (room.corners[1] + room.corners[2]);
    job.end({{"id", "projector"},
             {"xyz", {rounded(middle.x), rounded(middle.y - from_front), room.height}},
             {"mount", "on sheet"}});
    job.run("V", "projector", cables.picture);
  }
  for (int i = 1; i <= in.answers.count("network_points"); ++i) {
    const std::string key = "network_" + std::to_string(i);
    const std::string wall = in.answers.text(key + "_wall");
    job.end(
        {{"id", "network " + std::to_string(i)},
         {"at", "Wall " + wall},
         {"from_left", rounded(in.length(key + "_from_left", 0.3, wall_length(room, wall) - 0.3))},
         {"up", kOutletUp}});
    job.run("N", "network " + std::to_string(i), cables.network);
  }
}

Json rack_json(const Reader& in, const RoomFacts& room, const Json& ports) {
  const std::string wall = in.answers.text("rack_wall");
  const double along = wall_length(room, wall);
  const double middle = in.length("rack_from_left", 0.25 * along, 0.75 * along);
  return {{"id", "rack"},
          {"box", {kRackWidth, kRackDepth, kRackHeight}},
          {"at", "Wall " + wall},
          {"from_left",
           rounded(std::clamp(middle - kRackWidth / 2, 0.0, std::max(0.0, along - kRackWidth)))},
          {"off_wall", kRackOffWall},
          {"ports", ports}};
}

Json spools_json(const Answers& answers, const std::string& key, const std::string& cable,
                 const HouseHabits& habits) {
  Json all = Json::array();
  if (answers.text(key) == kAsInHouse) {
    for (const SpoolSpec& spool : habits.spools) {
      if (spool.cable != cable) continue;
      Json one = {{"cable", cable}, {"length", spool.length_m}, {"count", spool.count}};
      if (!spool.colour.empty()) one["colour"] = spool.colour;
      if (spool.price > 0) one["price"] = spool.price;
      if (!spool.on_shelf) one["on_shelf"] = false;
      all.push_back(std::move(one));
    }
  }
  std::istringstream parts(answers.text(key));
  for (std::string part; std::getline(parts, part, ';');) {
    part.erase(0, std::min(part.find_first_not_of(' '), part.size()));
    if (const auto metres = parse_length(part); metres && *metres > 0)
      all.push_back({{"cable", cable}, {"length", *metres}});
  }
  return all;
}

/// What is on the shelf, where the answers say so; the house file says it otherwise, and a job that
/// lists spools of its own overrules that.
void add_stock(const Answers& answers, const Cables& cables, const HouseHabits& habits, Json& job) {
  bool own = !answers.house_stock();
  for (const char* key : {"shelf_speaker", "shelf_network"})
    own = own || (answers.has(key) && answers.text(key) != kAsInHouse);
  if (!own) return;
  Json spools = spools_json(answers, "shelf_speaker", cables.loudspeaker_spools, habits);
  for (const Json& spool : spools_json(answers, "shelf_network", cables.network, habits))
    spools.push_back(spool);
  if (!spools.empty() || answers.house_stock()) job["stock"] = {{"spools", spools}};
}

}  // namespace

std::string job_text(const Reader& in, const RoomFacts& room, const HouseHabits& habits) {
  const bool feet = in.answers.units() == DisplayUnits::feet_and_inches;
  const Cables cables = cables_of(in.answers, habits);
  JobParts parts;
  add_loudspeakers(in, room, cables, parts);
  add_the_rest(in, room, cables, parts);
  Json json = {{"version", kJobVersion},
               {"name", in.answers.text("name")},
               {"units", feet ? "feet and inches" : "metric"},
               {"model", {{"file", "room.glb"}}}};
  if (room.hollow)
    json["parts"] = Json::array({{{"match", "Wall *"},
                                  {"is", "wall"},
                                  {"build", "stud"},
                                  {"studs", {{"pitch", in.length("stud_pitch", 0.3, 0.6)}}}}});
  json["gear"] = Json::array({rack_json(in, room, parts.ports())});
  if (in.answers.text("loudspeakers") != "none")
    json["layout"] = {{"system", in.answers.text("loudspeakers")},
                      {"listener", {{"marker", "Listener"}}},
                      {"facing", "Wall front"}};
  if (const auto eye = where_one_sits(in, room)) {
    Json sits = {{"name", "your seat"}, {"xyz", {rounded(eye->x), rounded(eye->y), kEyesUp}}};
    json["sight"] = {{"eyes", Json::array({sits})}};
  }
  json["ends"] = parts.ends();
  json["runs"] = parts.runs();
  add_stock(in.answers, cables, habits, json);
  return json.dump(1) + "\n";
}

}  // namespace roomloom
