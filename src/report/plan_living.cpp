#include "report/plan_parts.h"

namespace roomloom {

Json sight_json(const Planned& planned) {
  Json eyes = Json::array(), seen = Json::array(), screens = Json::array();
  for (const EyePoint& eye : planned.ends.eyes) {
    Json at = Json::array();
    for (const Vec3& p : eye.at) at.push_back(to_json(p));
    eyes.push_back({{"name", eye.name}, {"at", std::move(at)}, {"how", eye.how}});
  }
  for (const SeenFrom& one : planned.takeoff.seen) {
    seen.push_back({{"eye", one.eye},
                    {"open_m", one.open_m},
                    {"closed_m", one.closed_m},
                    {"open_weighted_m", one.open_weighted_m},
                    {"closed_weighted_m", one.closed_weighted_m},
                    {"open_things", one.open_things},
                    {"closed_things", one.closed_things},
                    {"where", one.where},
                    {"words", one.words}});
  }
  for (const GearBox& box : planned.ends.gear) {
    screens.push_back({{"name", box.id},
                       {"origin", to_json(box.frame.origin)},
                       {"u", to_json(box.frame.u)},
                       {"v", to_json(box.frame.v)},
                       {"n", to_json(box.frame.n)},
                       {"size", to_json(box.size)}});
  }
  Json see_through = Json::array(), curtains = Json::array();
  for (std::size_t i = 0; i < planned.room.hiding.size(); ++i) {
    if (planned.scene.parts[i].kind != PartKind::mesh) continue;
    const Hiding hiding = planned.room.hiding[i];
    if (hiding == Hiding::no) see_through.push_back(planned.scene.parts[i].name);
    if (hiding == Hiding::curtain) curtains.push_back(planned.scene.parts[i].name);
  }
  return {{"eyes", std::move(eyes)},
          {"seen", std::move(seen)},
          {"gear", std::move(screens)},
          {"see_through", std::move(see_through)},
          {"curtains", std::move(curtains)}};
}

Json parts_json(const Planned& planned) {
  Json parts = Json::array();
  for (std::size_t i = 0; i < planned.room.roles.size() && i < planned.scene.parts.size(); ++i) {
    const Part& part = planned.scene.parts[i];
    parts.push_back({{"path", part.path}, {"is", to_string(planned.room.roles[i].role)}});
  }
  return parts;
}

Json swept_json(const Room& room) {
  Json all = Json::array();
  for (const Swept& one : room.swept) {
    Json ring = Json::array();
    for (const Vec2& p : one.space.plan) ring.push_back(Json::array({p.x, p.y}));
    all.push_back({{"kind", to_string(one.kind)},
                   {"name", one.name},
                   {"plan", std::move(ring)},
                   {"low_m", one.space.low_z_m},
                   {"high_m", one.space.high_z_m}});
  }
  return all;
}

Json conduits_json(const Room& room) {
  Json names = Json::array();
  for (const Conduit& conduit : room.conduits) names.push_back(conduit.name);
  return names;
}

Json ramps_json(const Takeoff& takeoff) {
  Json all = Json::array();
  for (const RampRow& one : takeoff.ramps) {
    all.push_back({{"name", one.name},
                   {"end", one.end},
                   {"from", to_json(one.from)},
                   {"to", to_json(one.to)},
                   {"metres", one.length_m},
                   {"walkway", one.on_walkway},
                   {"runs", one.runs}});
  }
  return all;
}

}  // namespace roomloom
