#include "job/read_places.h"

#include <charconv>
#include <cmath>

#include "base/nearest.h"

namespace roomloom {
namespace {

constexpr int kMostPorts = 1000;

OnPart read_on_part(const Field& field) {
  OnPart on;
  field["at"].read(on.part);
  on.from_left_m = field["from_left"].length();
  on.from_right_m = field["from_right"].length();
  on.up_m = field["up"].length();
  field["out"].read_length(on.out_m);
  if (on.from_left_m && on.from_right_m)
    field["from_right"].problem("job.place", "Both from_left and from_right are given.",
                                "Keep one of them.");
  return on;
}

/// An angle beyond what a direction can have is a slip of the pen, not a full turn more.
void read_bearing(const Field& field, int most_degrees, double& out) {
  constexpr double kRounding_rad = 1e-9;
  field.read_angle(out);
  if (std::abs(out) <= radians(most_degrees) + kRounding_rad) return;
  const std::string most = std::to_string(most_degrees);
  field.problem("job.range", "This angle is beyond " + most + " deg.",
                "Give one from -" + most + " to " + most + " deg.");
}

FromListener read_from_listener(const Field& field) {
  FromListener from;
  read_bearing(field["azimuth"], 360, from.azimuth_rad);
  read_bearing(field["elevation"], 90, from.elevation_rad);
  from.distance_m = field["distance"].length(0.1);
  return from;
}

std::vector<std::string> ways_given(const Field& field) {
  std::vector<std::string> ways;
  for (const char* key : {"xyz", "marker", "at", "azimuth", "label", "gear"})
    if (field[key].given()) ways.emplace_back(key);
  return ways;
}

void refuse_stray_measures(const Field& field, const std::string& way) {
  const auto stray = [&](const char* key, const char* needs) {
    if (field[key].given() && way != needs)
      field[key].problem(
          "job.place", std::string("\"") + key + "\" means nothing without \"" + needs + "\".", "");
  };
  for (const char* key : {"from_left", "from_right", "up", "out"}) stray(key, "at");
  for (const char* key : {"elevation", "distance"}) stray(key, "azimuth");
  stray("port", "gear");
}

void expand_ports(const Field& field, std::vector<std::string>& ports) {
  const std::vector<std::string> names = port_names(field.text());
  if (names.empty() && !field.text().empty())
    return field.problem("job.port", "\"" + field.text() + "\" is not a range of ports.",
                         "Write \"S1..S11\": the same letters, rising numbers.");
  ports.insert(ports.end(), names.begin(), names.end());
}

Component read_component(const Field& field) {
  Component component;
  component.pointer = field.pointer();
  field["id"].read(component.id);
  for (const Field& port : field["ports"].items()) expand_ports(port, component.ports);
  return component;
}

}  // namespace

std::vector<std::string> port_names(const std::string& text) {
  const std::size_t dots = text.find("..");
  if (dots == std::string::npos)
    return text.empty() ? std::vector<std::string>{} : std::vector<std::string>{text};
  const std::string first = text.substr(0, dots), last = text.substr(dots + 2);
  const auto digits_at = [](const std::string& name) {
    const std::size_t letter = name.find_last_not_of("0123456789");
    return letter == std::string::npos ? 0 : letter + 1;
  };
  const std::string prefix = first.substr(0, digits_at(first));
  int low = -1, high = -1;
  const auto number = [](const std::string& digits, int& out) {
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), out);
    if (read.ec != std::errc{}) out = -1;
  };
  number(first.substr(digits_at(first)), low);
  number(last.substr(digits_at(last)), high);
  const std::string last_prefix = last.substr(0, digits_at(last));
  if (low < 0 || high < low || high - low >= kMostPorts ||
      (!last_prefix.empty() && last_prefix != prefix))
    return {};
  const std::size_t width = first.size() - prefix.size();
  const bool padded = width > 1 && first[prefix.size()] == '0';
  std::vector<std::string> names;
  for (int i = low; i <= high; ++i) {
    std::string digits = std::to_string(i);
    if (padded && digits.size() < width) digits.insert(0, width - digits.size(), '0');
    names.push_back(prefix + digits);
  }
  return names;
}

PlaceSpec read_place(const Field& field) {
  const auto ways = ways_given(field);
  if (ways.size() > 1)
    field.problem("job.place", "The place is said in more than one way: " + quoted_list(ways) + ".",
                  "Keep one.");
  const std::string way = ways.empty() ? "" : ways.front();
  if (ways.size() < 2) refuse_stray_measures(field, way);
  if (way == "xyz") {
    AtPoint at;
    field["xyz"].read_point(at.point);
    return at;
  }
  if (way == "marker") return AtMarker{field["marker"].text()};
  if (way == "at") return read_on_part(field);
  if (way == "azimuth") return read_from_listener(field);
  if (way == "label") return AtLabel{field["label"].text()};
  if (way == "gear") return AtGear{field["gear"].text(), field["port"].text()};
  return std::monostate{};
}

namespace {

/// A point, or a measure as of an end.
PlaceSpec read_alternative(const Field& field) {
  if (field.is(JsonValue::Kind::object)) {
    PlaceSpec place = read_place(field);
    if (std::holds_alternative<std::monostate>(place))
      field.problem("job.place", "This place says nowhere.",
                    "Say \"at\" which part and how far from_left and up, or give \"xyz\", a "
                    "\"marker\" or an \"azimuth\".");
    return place;
  }
  AtPoint at;
  field.read_point(at.point);
  return at;
}

MayMove read_may_move(const Field& field) {
  MayMove move;
  field["radius"].read_length(move.radius_m, 0.001);
  if (const auto sides = field["rectangle"].items(); sides.size() == 2) {
    move.rectangle_m = std::array<double, 2>{};
    sides[0].read_length((*move.rectangle_m)[0]);
    sides[1].read_length((*move.rectangle_m)[1]);
  }
  for (const Field& place : field["alternatives"].items())
    move.alternatives.push_back(read_alternative(place));
  const int ways = (field["radius"].given() ? 1 : 0) + (field["rectangle"].given() ? 1 : 0) +
                   (field["alternatives"].given() ? 1 : 0);
  if (ways != 1)
    field.problem("job.place", "may_move needs one of radius, rectangle and alternatives.", "");
  return move;
}

}  // namespace

EndSpec read_end(const Field& field) {
  EndSpec end;
  if (!field.given()) return end;
  end.pointer = field.pointer();
  field["id"].read(end.id);
  end.place = read_place(field);
  const std::string mount = field["mount"].text();
  if (mount == "on sheet") end.mount = Mount::on_sheet;
  if (mount == "on floor") end.mount = Mount::on_floor;
  if (mount == "in furniture") end.mount = Mount::in_furniture;
  const std::string state = field["state"].text();
  end.state_given = !state.empty();
  if (state == "unterminated") end.state = EndState::unterminated;
  if (state == "coiled") end.state = EndState::coiled;
  if (field["may_move"].given()) end.may_move = read_may_move(field["may_move"]);
  end.slack_m = field["slack"].length();
  field["connector"].read(end.connector);
  end.powered = field["powered"].boolean();
  return end;
}

GearSpec read_gear(const Field& field) {
  GearSpec gear;
  gear.pointer = field.pointer();
  field["id"].read(gear.id);
  const auto sides = field["box"].items();
  if (sides.size() == 3)
    for (int axis = 0; axis < 3; ++axis)
      sides[static_cast<std::size_t>(axis)].read_length(gear.box[axis], 0.01);
  gear.place = read_place(field);
  if (std::holds_alternative<std::monostate>(gear.place))
    field.problem("job.place", "This gear has no place.",
                  "Say \"at\" which wall and from_left, or give \"xyz\" or a \"marker\".");
  field["off_wall"].read_length(gear.off_wall_m);
  field["pull_out"].read_length(gear.pull_out_m);
  gear.powered = field["powered"].boolean();
  for (const Field& item : field["holds"].items()) gear.holds.push_back(read_component(item));
  if (field["ports"].given()) {
    Component itself = read_component(field);
    gear.holds.insert(gear.holds.begin(), std::move(itself));
  }
  return gear;
}

}  // namespace roomloom
