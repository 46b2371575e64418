#include "check/trade_plan.h"

#include <nlohmann/json.hpp>

#include "base/files.h"

namespace roomloom::check {
namespace {

using Json = nlohmann::json;

Vec3 point(const Json& j) { return {j.at(0), j.at(1), j.at(2)}; }

TradePlace place(const Json& j) { return {j.at("kind"), j.at("name")}; }

TradeRun run(const Json& j) {
  TradeRun one;
  one.id = j.at("id");
  for (const Json& stretch : j.at("stretches"))
    one.stretches.push_back({place(stretch.at("place")), stretch.at("metres")});
  for (const Json& bend : j.at("bends")) {
    one.bends.push_back({point(bend.at("at")), radians(bend.at("angle_deg").get<double>()),
                         bend.at("used_m"), place(bend.at("home"))});
  }
  return one;
}

/// Of a plan without "sight", written before there was any, nothing.
void read_sight(const Json& j, TradePlan& all) {
  if (!j.contains("sight")) return;
  const Json& sight = j.at("sight");
  for (const Json& eye : sight.at("eyes")) {
    TradeEye one;
    one.name = eye.at("name");
    for (const Json& at : eye.at("at")) one.at.push_back(point(at));
    for (const Json& seen : sight.at("seen")) {
      if (seen.at("eye") != one.name) continue;
      one.open_m = seen.at("open_m");
      one.closed_m = seen.at("closed_m");
    }
    if (!one.at.empty()) all.eyes.push_back(std::move(one));
  }
  for (const Json& box : sight.at("gear")) {
    all.gear.push_back(
        {box.at("name"),
         {point(box.at("origin")), point(box.at("u")), point(box.at("v")), point(box.at("n"))},
         point(box.at("size"))});
  }
  all.see_through = sight.at("see_through").get<std::vector<std::string>>();
  all.curtains = sight.at("curtains").get<std::vector<std::string>>();
}

void read_tried(const Json& j, TradePlan& all) {
  if (!j.contains("gauges")) return;
  for (const Json& one : j.at("gauges"))
    for (const Json& option : one.at("row"))
      if (!option.at("satisfies").get<bool>())
        all.tried.push_back({one.at("run"), option.at("cable"), option.at("loop_ohm")});
}

TradePlan plan(const Json& j) {
  TradePlan all;
  for (const Json& one : j.at("runs"))
    if (one.at("routed").get<bool>()) all.runs.push_back(run(one));
  for (const Json& one : j.at("ends"))
    all.ends.push_back({one.at("id"), one.at("state"), point(one.at("at")), place(one.at("home"))});
  for (const Json& one : j.at("raceways")) {
    all.raceways.push_back({one.at("size"), one.at("sheet"), point(one.at("from")),
                            point(one.at("to")), one.at("runs").get<std::vector<std::string>>()});
  }
  for (const Json& one : j.at("voids")) {
    all.voids.push_back({one.at("name"), one.at("kind"), one.at("below"), one.at("wall"),
                         one.at("handles_air"), one.at("tiles")});
  }
  read_sight(j, all);
  read_tried(j, all);
  if (j.contains("parts"))  // plans of before have none
    for (const Json& part : j.at("parts"))
      if (const auto role = role_from(part.at("is").get<std::string>()))
        all.roles[part.at("path").get<std::string>()] = *role;
  if (const Json& listener = j.at("listener"); listener.is_object()) {
    all.listener = point(listener.at("at"));
    all.facing_rad = radians(listener.at("facing_deg").get<double>());
  }
  return all;
}

template <typename T, typename Is>
const T* find_in(const std::vector<T>& all, Is is) {
  for (const T& one : all)
    if (is(one)) return &one;
  return nullptr;
}

}  // namespace

const TradeRun* TradePlan::run(const std::string& id) const {
  return find_in(runs, [&](const TradeRun& one) { return one.id == id; });
}

const TradeEnd* TradePlan::end(const std::string& id) const {
  return find_in(ends, [&](const TradeEnd& one) { return one.id == id; });
}

const TradeVoid* TradePlan::void_of(const TradePlace& place) const {
  if (place.kind != "void") return nullptr;
  return find_in(voids, [&](const TradeVoid& one) { return one.name == place.name; });
}

Result<TradePlan> read_trade_plan(const std::filesystem::path& file) {
  const auto text = read_file(file);
  if (!text) return text.error();
  const Json j = Json::parse(*text, nullptr, false);
  try {
    return plan(j);
  } catch (const Json::exception&) {
    return Error{"check.plan", "It is not a plan that this program wrote.", file.string(),
                 "Route again, or restore the file."};
  }
}

}  // namespace roomloom::check
