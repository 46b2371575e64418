#include "report/record_forget.h"

#include <algorithm>

#include "base/nearest.h"
#include "report/record_check.h"
#include "report/record_cuts.h"
#include "report/record_room.h"

// What was recorded by mistake is taken out again, and with a run what only it brought into the
// record.

namespace roomloom {
namespace {

std::string text_of(const Json& entry, const char* key) {
  return entry.is_object() ? entry.value(key, "") : std::string();
}

Error not_recorded(const std::string& kind, const std::string& name,
                   const std::vector<std::string>& known) {
  return {"record.unknown", "The record has no " + kind + " \"" + name + "\".", name,
          known.empty() ? "It holds none." : suggestion(name, known)};
}

/// A list of the record; an empty one where it has none.
Json& list_in(Json& record, const char* key) {
  Json& list = record[key];
  if (!list.is_array()) list = Json::array();
  return list;
}

/// Takes the last entry of that name out. @param key  of an entry that holds its name
Result<Json> taken_out(Json& record, const char* list_name, const char* key,
                       const std::string& kind, const std::string& name) {
  Json& list = list_in(record, list_name);
  std::vector<std::string> known;
  for (std::size_t i = list.size(); i-- > 0;) {
    const std::string own =
        list[i].is_string() ? list[i].get<std::string>() : text_of(list[i], key);
    if (own == name) {
      Json entry = list[i];
      list.erase(i);
      return entry;
    }
    known.push_back(own);
  }
  return not_recorded(kind, name, known);
}

/// Of runs by id the first that is recorded; empty if none is.
std::string recorded_of(const Json& ids, const Json& record) {
  const Json runs = record.value("runs", Json::array());
  for (const Json& id : ids)
    for (const Json& run : runs)
      if (run.value("run", "") == id) return id;
  return "";
}

/// Runs that the plan has in a thing of that name.
Json runs_of(const Json& plan, const char* list, const std::string& name) {
  for (const Json& thing : plan.value(list, Json::array()))
    if (thing.value("name", "") == name) return thing.value("runs", Json::array());
  return Json::array();
}

/// Holes and raceway that were recorded only because a run lay in them, unless another does.
void forget_beside(const Json& plan, const std::string& run, Json& record,
                   std::vector<std::string>& told) {
  for (const auto& [list_name, planned, kind] :
       {std::tuple("holes", "holes", "hole "), std::tuple("raceway", "pieces", "raceway ")}) {
    Json& list = list_in(record, list_name);
    for (std::size_t i = 0; i < list.size();) {
      const std::string name = text_of(list[i], "name");
      const bool came_with = text_of(list[i], "with") == run;
      const std::string other =
          came_with ? recorded_of(runs_of(plan, planned, name), record) : std::string();
      if (!other.empty()) list[i]["with"] = other;
      if (!came_with || !other.empty()) {
        ++i;
        continue;
      }
      told.push_back(kind + name);
      list.erase(i);
    }
  }
}

Status forget_run(const Json& plan, const std::string& name, Json& record,
                  std::vector<std::string>& told) {
  auto entry = taken_out(record, "runs", "run", "run", name);
  if (!entry) return entry.error();
  told.push_back("run " + name);
  const std::string provision = text_of(*entry, "took_over");
  if (!provision.empty()) {
    Json& runs = list_in(record, "runs");
    std::erase_if(runs.get_ref<Json::array_t&>(), [&](const Json& run) {
      return run.value("run", "") == provision + " (cut off)";
    });
    for (const Json& was : entry->value("was", Json::array())) runs.push_back(was);
    told.push_back(entry->contains("was")
                       ? "what it took of " + provision + ", which lies there as before"
                       : "with it the cable of " + provision +
                             " (record that again if it still lies)");
  }
  forget_beside(plan, name, record, told);
  return Done{};
}

/// A cord is recorded by what it lies in: a conduit, or the crossing of a hole.
Status forget_draw_cord(const Json& plan, const std::string& name, Json& record,
                        std::vector<std::string>& told) {
  const Json* hole = hole_named(plan, name);
  const std::string where = hole == nullptr ? name : hole->at("crossing").get<std::string>();
  auto entry = taken_out(record, "draw_cords", "", "draw cord in", where);
  if (!entry) return hole == nullptr ? entry.error() : not_recorded("draw cord in", name, {});
  told.push_back("draw cord in " + where);
  return Done{};
}

}  // namespace

Status forget_in(const Json& plan, const Recording& what, Json& record,
                 std::vector<std::string>& told) {
  if (!what.hole_m.empty())
    return Error{"record.nothing", "What is forgotten has no width.", what.hole_m.begin()->first,
                 "Name the hole alone: --forget --hole " + what.hole_m.begin()->first + "."};
  if (!what.run.empty() && !what.spool.empty())
    return Error{"record.nothing", "A run is forgotten with what was cut for it.", what.spool,
                 "Leave --spool out, or name it alone for its last spare cut."};
  if (!what.run.empty())
    if (Status done = forget_run(plan, what.run, record, told); !done) return done;
  if (what.run.empty() && !what.spool.empty())
    if (Status done = forget_spare_cut(what.spool, record, told); !done) return done;
  for (const auto& [list, key, kind, names] :
       {std::tuple("holes", "name", "hole", &what.holes),
        std::tuple("raceway", "name", "piece of raceway", &what.raceway),
        std::tuple("tiles", "", "tile", &what.tiles)})
    for (const std::string& name : *names) {
      auto entry = taken_out(record, list, key, kind, name);
      if (!entry) return entry.error();
      told.push_back(std::string(kind) + " " + name);
    }
  for (const std::string& name : what.draw_cords)
    if (Status done = forget_draw_cord(plan, name, record, told); !done) return done;
  if (!what.task.empty()) {
    auto entry = taken_out(record, "minutes", "task", "task", what.task);
    if (!entry) return entry.error();
    told.push_back("minutes of \"" + what.task + "\", the last that were recorded");
  }
  if (told.empty())
    return Error{"record.nothing", "Nothing was named that is to be forgotten.", "--forget",
                 "Name it as when it was recorded: --forget --run S4, --forget --hole H2."};
  return Done{};
}

}  // namespace roomloom
