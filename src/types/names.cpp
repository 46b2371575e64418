#include <algorithm>
#include <array>
#include <utility>

#include "types/cable_shapes.h"
#include "types/catalogue.h"
#include "types/job.h"
#include "types/room.h"
#include "types/tracks.h"

namespace roomloom {
namespace {

constexpr std::array<std::pair<Role, const char*>, 22> kRoles = {{
    {Role::automatic, "automatic"},
    {Role::wall, "wall"},
    {Role::floor, "floor"},
    {Role::ceiling, "ceiling"},
    {Role::suspended_ceiling, "suspended ceiling"},
    {Role::deck, "deck"},
    {Role::door, "door"},
    {Role::window, "window"},
    {Role::vent, "vent"},
    {Role::luminaire, "luminaire"},
    {Role::obstacle, "obstacle"},
    {Role::furniture, "furniture"},
    {Role::curtain, "curtain"},
    {Role::cupboard, "cupboard"},
    {Role::power, "power"},
    {Role::outlet, "outlet"},
    {Role::conduit, "conduit"},
    {Role::hole, "hole"},
    {Role::seat, "seat"},
    {Role::walkway, "walkway"},
    {Role::marker, "marker"},
    {Role::ignore, "ignore"},
}};

template <std::size_t N>
const char* pick(const std::array<const char*, N>& names, std::size_t index) {
  return names[index];
}

}  // namespace

const char* to_string(Role role) {
  for (const auto& [value, name] : kRoles)
    if (value == role) return name;
  return "automatic";
}

std::optional<Role> role_from(const std::string& text) {
  for (const auto& [value, name] : kRoles)
    if (text == name) return value;
  return std::nullopt;
}

const char* to_string(Service service) {
  static constexpr std::array<const char*, 8> kNames = {
      "loudspeaker", "line level", "network", "picture", "television", "fibre", "control", "mains"};
  return pick(kNames, static_cast<std::size_t>(service));
}

const char* to_string(Build build) {
  static constexpr std::array<const char*, 6> kNames = {"unknown", "masonry",  "stud",
                                                        "outside", "concrete", "board"};
  return pick(kNames, static_cast<std::size_t>(build));
}

const char* to_string(AirKind kind) {
  static constexpr std::array<const char*, 6> kNames = {"room",     "plenum",     "bay",
                                                        "cupboard", "underfloor", "outdoors"};
  return pick(kNames, static_cast<std::size_t>(kind));
}

const char* to_string(SheetRole role) {
  static constexpr std::array<const char*, 10> kNames = {
      "wall",  "floor",     "ceiling", "suspended ceiling", "deck",
      "slope", "furniture", "curtain", "cupboard",          "open side"};
  return pick(kNames, static_cast<std::size_t>(role));
}

const char* to_string(MovingKind kind) {
  static constexpr std::array<const char*, 4> kNames = {"door", "cupboard", "seat", "walkway"};
  return pick(kNames, static_cast<std::size_t>(kind));
}

const char* to_string(CrossingKind kind) {
  static constexpr std::array<const char*, 6> kNames = {
      "tile cut", "existing hole", "wall plate", "plate hole", "grommet", "conduit mouth"};
  return pick(kNames, static_cast<std::size_t>(kind));
}

const char* to_string(Medium medium) {
  static constexpr std::array<const char*, 7> kNames = {"none",    "raceway", "support", "bay",
                                                        "conduit", "bare",    "free"};
  return pick(kNames, static_cast<std::size_t>(medium));
}

const char* to_string(ChargeKind kind) {
  static constexpr std::array<const char*, 8> kNames = {"hole", "raceway", "fitting", "support",
                                                        "bay",  "ladder",  "visible", "other"};
  return pick(kNames, static_cast<std::size_t>(kind));
}

std::string Catalogue::favourite(Service service) const {
  for (const auto& [own, id] : favourites)
    if (own == service) return id;
  return {};
}

const CableType* Catalogue::cable(const std::string& id) const {
  const auto found =
      std::find_if(cables.begin(), cables.end(), [&](const CableType& c) { return c.id == id; });
  return found == cables.end() ? nullptr : &*found;
}

double length_m(const Piece& piece) {
  if (const auto* line = std::get_if<Line3>(&piece)) return distance(line->from, line->to);
  return std::get<Arc>(piece).length_m();
}

}  // namespace roomloom
