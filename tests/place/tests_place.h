#pragma once

#include <gtest/gtest.h>

#include <string>

#include "box_room.h"
#include "place/place.h"

namespace roomloom::testing_rooms {

inline void expect_near(const Vec3& a, const Vec3& b, double within = 1e-9) {
  EXPECT_NEAR(a.x, b.x, within);
  EXPECT_NEAR(a.y, b.y, within);
  EXPECT_NEAR(a.z, b.z, within);
}

inline std::string problems_text(const Ends& ends) {
  std::string text;
  for (const Error& problem : ends.problems) text += problem.code + " " + to_text(problem) + "\n";
  return text;
}

inline bool reports(const Ends& ends, const std::string& code, const std::string& pointer) {
  for (const Error& problem : ends.problems)
    if (problem.code == code && problem.where.find(pointer) != std::string::npos) return true;
  return false;
}

inline EndSpec& add_end(Job& job, const std::string& id, const PlaceSpec& place) {
  EndSpec end;
  end.id = id;
  end.place = place;
  end.pointer = "/ends/" + std::to_string(job.ends.size());
  job.ends.push_back(end);
  return job.ends.back();
}

inline RunSpec& add_run(Job& job, const std::string& id, const std::string& from,
                        const std::string& to) {
  RunSpec run;
  run.id = id;
  run.from = from;
  run.to = to;
  run.cable = "wire";
  run.pointer = "/runs/" + std::to_string(job.runs.size());
  job.runs.push_back(run);
  if (job.catalogue.cables.empty()) {
    CableType wire;
    wire.id = "wire";
    job.catalogue.cables.push_back(wire);
  }
  return job.runs.back();
}

inline void set_listener(Job& job, const Vec3& ear, const std::string& system = "",
                         double facing_rad = 0) {
  LayoutSpec layout;
  layout.system = system;
  layout.listener = AtPoint{ear};
  layout.facing_rad = facing_rad;
  layout.facing_given = true;
  layout.pointer = "/layout";
  job.layout = layout;
}

inline const End* end_named(const Ends& ends, const std::string& id) {
  for (const End& end : ends.ends)
    if (end.id == id) return &end;
  return nullptr;
}

inline GearSpec& add_gear(Job& job, const std::string& id, const PlaceSpec& place, const Vec3& box,
                          double off_wall_m) {
  GearSpec gear;
  gear.id = id;
  gear.place = place;
  gear.box = box;
  gear.off_wall_m = off_wall_m;
  gear.pointer = "/gear/" + std::to_string(job.gear.size());
  job.gear.push_back(gear);
  return job.gear.back();
}

inline void add_component(GearSpec& gear, const std::string& id,
                          const std::vector<std::string>& ports) {
  gear.holds.push_back({id, ports, gear.pointer + "/holds/" + std::to_string(gear.holds.size())});
}

}  // namespace roomloom::testing_rooms
