#pragma once

#include <map>

#include "check/written.h"
#include "types/job.h"

namespace roomloom::check {

/// A name of plan.json's with its kind: sheet, void, zone, conduit, none.
struct TradePlace {
  std::string kind, name;
  bool operator==(const TradePlace&) const = default;
};

struct TradeBend {
  Vec3 at;
  double angle_rad = 0, used_m = 0;
  TradePlace home;
};

/// Consecutive metres of a run's drawn line in one place.
struct TradeStretch {
  TradePlace place;
  double metres = 0;
};

struct TradeRun {
  std::string id;
  std::vector<TradeStretch> stretches;  ///< from -> to
  std::vector<TradeBend> bends;
};

struct TradeEnd {
  std::string id, state;
  Vec3 at;
  TradePlace home;
};

struct TradeRaceway {
  std::string size, sheet;
  Vec3 from, to;
  std::vector<std::string> runs;
};

struct TradeVoid {
  std::string name, kind, below, wall, handles_air;
  bool tiles = false;
};

/// An eye point, and what the plan says that it sees.
struct TradeEye {
  std::string name;
  std::vector<Vec3> at;
  double open_m = 0, closed_m = 0;
};

struct TradeBox {
  std::string name;
  Frame frame;
  Vec3 size;
};

/// A cable that the plan says would not serve a run of open gauge, by the loop that it would be.
struct TradeTried {
  std::string run, cable;
  double loop_ohm = 0;
};

/// What plan.json says beyond WrittenPlan: facts that only the checks of the trade ask for.
struct TradePlan {
  std::vector<TradeRun> runs;  ///< routed ones
  std::vector<TradeEnd> ends;
  std::vector<TradeRaceway> raceways;
  std::vector<TradeVoid> voids;
  std::vector<TradeEye> eyes;
  std::vector<TradeBox> gear;
  std::vector<TradeTried> tried;
  std::vector<std::string> see_through, curtains;  ///< names of parts
  std::map<std::string, Role> roles;               ///< by path: what the plan took parts for
  std::optional<Vec3> listener;
  double facing_rad = 0;

  const TradeRun* run(const std::string& id) const;
  const TradeEnd* end(const std::string& id) const;
  const TradeVoid* void_of(const TradePlace& place) const;
};

/// @error `check.plan`
Result<TradePlan> read_trade_plan(const std::filesystem::path& file);

}  // namespace roomloom::check
