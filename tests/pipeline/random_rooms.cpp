#include "pipeline/random_rooms.h"

#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <random>

namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

/// Numbers from a seed, the same with every library.
class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  unsigned below(unsigned limit) { return static_cast<unsigned>(engine_() % limit); }
  bool one_in(unsigned count) { return below(count) == 0; }
  /// In steps of a centimetre.
  double between(double low, double high) {
    return low + 0.01 * below(static_cast<unsigned>((high - low) * 100) + 1);
  }
  template <typename T>
  const T& any(const std::vector<T>& all) {
    return all[below(static_cast<unsigned>(all.size()))];
  }

 private:
  std::mt19937 engine_;
};

struct Size {
  double width, depth, height;
  bool tiles;
};

Json room_json(const Size& size) {
  Json room{{"name", "Made up"},
            {"outline", {{"width", size.width}, {"depth", size.depth}}},
            {"height", size.height},
            {"outlets",
             Json::array(
                 {{{"name", "Outlet"}, {"wall", "Wall front"}, {"from_left", 0.3}, {"up", 0.3}}})}};
  if (size.tiles)
    room["suspended_ceiling"] = {{"name", "Ceiling"},
                                 {"height", size.height - 0.4},
                                 {"tile", {0.6, 0.6}},
                                 {"grid_from", {0, 0}}};
  return room;
}

Json end_json(const std::string& id, const Size& size, Dice& dice) {
  if (size.tiles && dice.one_in(4))
    return {{"id", id},
            {"xyz",
             {dice.between(0.7, size.width - 0.7), dice.between(0.7, size.depth - 1.2),
              size.height - 0.4}},
            {"mount", "on sheet"}};
  const std::string wall = dice.any<std::string>({"Wall left", "Wall right", "Wall back"});
  const double length = wall == "Wall back" ? size.width : size.depth;
  return {{"id", id},
          {"at", wall},
          {"from_left", dice.between(0.4, length - 0.4)},
          {"up", dice.between(0.3, size.height - 0.8)}};
}

Json run_json(const std::string& number, Dice& dice) {
  Json run{{"id", "R" + number}, {"from", "box." + number}, {"to", "end " + number}};
  run["cable"] = dice.any<std::string>({"speaker 2x1.5", "speaker 2x2.5", "speaker 4x2.5", "cat6",
                                        "cat6", "line balanced", "tv coax", "hdmi optical 48G"});
  if (dice.one_in(5)) {
    run["provision"] = true;
    run["end"] = {{"state", "coiled"}};
  }
  return run;
}

Json stock_json(Dice& dice) {
  Json spools = Json::array();
  for (const char* cable : {"speaker 2x1.5", "speaker 2x2.5", "cat6"})
    if (dice.one_in(2))
      spools.push_back(
          {{"cable", cable}, {"length", dice.between(8, 60)}, {"count", 1 + dice.below(3)}});
  Json raceways = Json::array();
  if (dice.one_in(2))
    raceways.push_back({{"raceway", "25 x 16"}, {"length", dice.between(0.8, 2.4)}, {"count", 2}});
  return {{"spools", spools}, {"raceways", raceways}};
}

Json job_json(const Size& size, Dice& dice) {
  Json job{
      {"model", {{"file", "room.glb"}}},
      {"parts", Json::array({{{"match", "Outlet"}, {"is", "outlet"}}})},
      {"gear", Json::array({{{"id", "rack"},
                             {"box", {0.6, 0.4, 0.9}},
                             {"at", "Wall front"},
                             {"from_left", dice.between(0.3, size.width - 0.9)},
                             {"off_wall", 0.15},
                             {"holds", Json::array({{{"id", "box"}, {"ports", {"1..20"}}}})}}})},
      {"stock", stock_json(dice)}};
  if (size.tiles)
    job["parts"].push_back({{"match", "Ceiling"},
                            {"is", "suspended ceiling"},
                            {"tile", {0.6, 0.6}},
                            {"tile_origin", {0, 0}},
                            {"handles_air", false}});
  const unsigned runs = 4 + dice.below(10);
  for (unsigned i = 1; i <= runs; ++i) {
    const std::string number = std::to_string(i);
    job["ends"].push_back(end_json("end " + number, size, dice));
    job["runs"].push_back(run_json(number, dice));
  }
  job["work"] = {{"day_minutes", dice.any<int>({120, 200, 300, 420})},
                 {"raceway_corners", dice.any<std::string>({"covered", "mitre", "butt"})},
                 {"kerf", dice.any<std::string>({"0 mm", "2 mm", "3 mm"})}};
  if (dice.one_in(2)) job["spare"] = dice.any<std::string>({"2 cat6", "1 line balanced", "3 cat6"});
  return job;
}

std::unique_ptr<PlannedRoom> made_up(unsigned seed) {
  Dice dice(seed);
  const Size size{dice.between(2.6, 5.5), dice.between(3.2, 7), dice.between(2.6, 3.2),
                  !dice.one_in(4)};
  const TestFolder folder;
  sketch_model(room_json(size).dump(), folder, ".glb");
  auto planned = plan(job_json(size, dice).dump(), folder);
  if (planned) return std::make_unique<PlannedRoom>(std::move(*planned));
  ADD_FAILURE() << to_text(planned.error());
  return nullptr;
}

}  // namespace

const PlannedRoom* planned_by_name(const std::string& name) {
  static std::map<std::string, std::unique_ptr<PlannedRoom>> known;
  const auto [found, added] = known.try_emplace(name);
  if (!added) return found->second.get();
  if (name.rfind("room ", 0) == 0) {
    found->second = made_up(static_cast<unsigned>(std::stoul(name.substr(5))));
    return found->second.get();
  }
  auto planned = plan_job(std::filesystem::path(ROOMLOOM_SOURCE_DIR) / "models" / name / "job.json",
                          test_options());
  if (planned)
    found->second = std::make_unique<PlannedRoom>(std::move(*planned));
  else
    ADD_FAILURE() << to_text(planned.error());
  return found->second.get();
}

}  // namespace roomloom::testing
